"""Where a motor's shaft goes through the front or rear of a body, and how its motor is packed.

The propeller stays where the design puts it; a shaft that is turned against the datum line goes
through the plate beside that line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import box

from plansgen.library.models import DesignFile, Item
from plansgen.patterns.flat import Outline, PatternLine, Point
from plansgen.patterns.panel import Panel

_NEAR = 0.06  # a motor so near to an end plate is screwed to it [m]
_ARM = 0.012  # half of the cross at most [m]
_SQUARE = math.radians(0.05)  # a shaft turned by less stands square


@dataclass(frozen=True)
class Shaft:
    """A shaft at the outer face of a plate.

    place: y from the body's middle and z. [m] words: what the builder packs. arm: of its cross. [m]
    """

    place: Point
    words: str
    square: bool
    arm: float

    @property
    def lines(self) -> tuple[PatternLine, PatternLine]:
        """The cross."""
        label = "motor shaft, square to this" if self.square else "motor shaft"
        (y, z), arm = self.place, self.arm
        across: Outline = ((y - arm, z), (y + arm, z))
        upright: Outline = ((y, z - arm), (y, z + arm))
        return PatternLine("mark", across, label=label), PatternLine("mark", upright)


def thrust_angles(file: DesignFile, motor: Item) -> tuple[float, float]:
    """Down and side thrust of a motor: nose of the shaft down, and to starboard. [rad]

    Nothing of both where the design does not say what drives it.
    """
    for drive in file.power.drives if file.power else ():
        if drive.motor == motor.name:
            return drive.down, drive.side
    return 0.0, 0.0


def shafts_through(panel: Panel, file: DesignFile) -> Iterator[Shaft]:
    """The shafts of the motors that are screwed to a front or a rear."""
    if panel.face not in ("front", "rear"):
        return
    plate = panel.start if panel.face == "front" else panel.end
    west, south, east, north = panel.polygon.bounds
    for motor in file.items:
        if motor.kind != "motor" or abs(motor.at.x - plate) > _NEAR:
            continue
        down, side = thrust_angles(file, motor)
        hub = _hub(file, motor).at
        aft = plate - hub.x
        y = hub.y - aft * math.tan(side) - panel.body.frames[0].y
        z = hub.z + aft * math.tan(down)
        if not box(west, south, east, north).covers(box(y, z, y, z)):
            continue
        moved = (-aft * math.tan(side), aft * math.tan(down))
        square = max(abs(down), abs(side)) < _SQUARE
        words = (
            "No side or down thrust is given: the shaft stands square to it."
            if square
            else _packing(motor, down, side, moved, ahead=motor.at.x < plate, panel=panel)
        )
        yield Shaft((y, z), words, square, min(_ARM, (east - west) / 4, (north - south) / 4))


def _hub(file: DesignFile, motor: Item) -> Item:
    """The propeller that a motor turns; the motor itself where the design names none."""
    names = [
        d.propeller for d in (file.power.drives if file.power else ()) if d.motor == motor.name
    ]
    return next((item for item in file.items if item.name in names), motor)


def _packing(
    motor: Item, down: float, side: float, moved: Point, *, ahead: bool, panel: Panel
) -> str:
    """How the motor is packed off the plate, and where its cross has gone."""
    turned, packed, shifted = [], [], []
    wide = motor.size or None
    for angle, ways, edges, across, off, sides in (
        (
            down,
            ("down", "up"),
            ("top", "bottom"),
            wide.z if wide else 0.0,
            moved[1],
            ("up", "down"),
        ),
        (
            side,
            ("to starboard", "to port"),
            ("port edge", "starboard edge"),
            wide.y if wide else 0.0,
            moved[0],
            ("to starboard", "to port"),
        ),
    ):
        if abs(angle) < _SQUARE:
            continue
        turned.append(f"{math.degrees(abs(angle)):.1f}° {ways[0 if angle > 0 else 1]}")
        # The face of a motor ahead of its plate stands off at the top when its nose goes down;
        # behind the plate it stands off underneath.
        edge = edges[0 if (angle > 0) == ahead else 1]
        high = 1000 * across * math.tan(abs(angle))
        packed.append(f"{high:.1f} mm at the {edge}" if high else f"at the {edge}")
        if abs(off) > 5e-5:
            shifted.append(f"{abs(off) * 1000:.1f} mm {sides[0 if off > 0 else 1]}")
    words = f"The front of the shaft points {' and '.join(turned)}: pack the motor "
    words += " and ".join(packed)
    words += ", measured over its full width." if wide else "."
    if shifted:
        words += (
            f" The cross lies {' and '.join(shifted)}, so that the propeller stays on its line."
        )
    if panel.body.mirrored and abs(side) >= _SQUARE:
        words += " The other one is the mirror image."
    return words
