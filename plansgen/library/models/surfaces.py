"""Wings, tailplanes, fins and their controls: chains of panels between stations."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal, Self

from pydantic import Field
from pydantic import model_validator as check

from plansgen.library.models.fields import (
    ControlKind,
    FileModel,
    Key,
    Line,
    Point,
    SurfaceRole,
    assumed,
)
from plansgen.library.models.parts import Component
from plansgen.library.models.sections import SectionField
from plansgen.library.units import (
    Angle,
    ChordShare,
    Length,
    NonNegativeLength,
    PositiveLength,
    Share,
    Throw,
)

TRAVEL = math.radians(20.0)  # estimate: what small servos and simple horns usually give


LINKAGE = (0.001, 0.2)
"""Servo arms and horns of models, small and large (estimate). [m]"""
HornSide = Literal["below", "above"]


class Station(FileModel):
    """One rib station of a surface: where its leading edge is, and how long its chord.

    Say how far out it is either by ``span`` (measured along the wing, as it lies flat on the
    bench) with the panel's ``dihedral``, or by ``y`` and ``z`` (measured on the drawing).
    """

    span: NonNegativeLength | None = Field(
        None, description="Distance from the root along the surface, as it lies flat on the bench."
    )
    y: Length | None = Field(None, description="Distance outboard of the surface's root.")
    z: Length | None = Field(None, description="Height above the surface's root.")
    x: Length = Field(0.0, description="Leading edge, aft of the surface's root leading edge.")
    chord: NonNegativeLength = Field(description="Chord; zero only at a pointed tip.")
    dihedral: Angle | None = Field(
        None, description="Dihedral of the panel that ends here, with span; 90 deg stands upright."
    )
    washout: Angle | None = Field(
        None,
        description="Nose-down twist against the root; where left out, straight between the "
        "stations that give it.",
    )
    section: SectionField | None = Field(None, description="Section from here outboard.")

    @check(mode="after")
    def _placed_once(self) -> Self:
        if (self.span is None) == (self.y is None and self.z is None):
            raise ValueError("give span (along the surface) or y and z (on the drawing), not both")
        if self.span is None and self.dihedral is not None:
            raise ValueError("dihedral goes with span; with y and z the heights say it")
        return self


class Control(FileModel):
    """A movable part at a surface's trailing edge."""

    kind: ControlKind = Field(description="What it does.")
    from_: NonNegativeLength = Field(alias="from", description="Inboard end, along the surface.")
    to: PositiveLength = Field(description="Outboard end, along the surface.")
    chord: ChordShare = Field(description="Its chord as a share of the local chord.")
    travel: Angle = assumed(
        "Greatest deflection each way.", "20° of travel each way (estimate)", default=TRAVEL
    )
    up: Throw | None = Field(
        None, description="Travel with its trailing edge up, where it is less than travel."
    )
    down: Throw | None = Field(
        None, description="Travel with its trailing edge down, where it is less than travel."
    )
    servo: Line | None = Field(None, description="Name of the servo among the items.")
    arm: PositiveLength | None = Field(
        None, description="Length of the servo arm, from its shaft to the rod's hole."
    )
    horn: PositiveLength | None = Field(
        None, description="Length of the horn, from the hinge line to the rod's hole."
    )
    horn_ahead: Length = Field(
        0.0, description="How far the horn's hole lies ahead of the hinge line; negative, behind."
    )
    horn_side: HornSide = Field(
        "below", description="Side that the horn stands on; below is starboard on an upright one."
    )
    neutral: Angle = Field(
        0.0,
        description="How far its trailing edge stands up with the sticks in the middle; travel, up "
        "and down are counted from there.",
    )
    slop: Throw | None = Field(None, description="Free play, from one stop to the other.")
    balanced: bool = Field(
        False, description="True when a mass ahead of the hinge balances it.", strict=True
    )

    @check(mode="after")
    def _runs_outboard(self) -> Self:
        if self.to <= self.from_:
            raise ValueError("to must lie outboard of from")
        if self.chord == 0.0:
            raise ValueError("chord must be above 0")
        return self

    @check(mode="after")
    def _throws_and_linkage(self) -> Self:
        if not 0.0 <= self.travel <= math.pi / 2 + 1e-9:
            raise ValueError("travel must be from 0 to 90 deg")
        for name in ("up", "down"):
            if (getattr(self, name) or 0.0) > self.travel + 1e-9:
                raise ValueError(f"{name} is more than travel, which is the greater of the two")
        if (self.arm is None) != (self.horn is None):
            raise ValueError("arm and horn go together")
        for name in ("arm", "horn"):
            if not LINKAGE[0] <= (getattr(self, name) or LINKAGE[0]) <= LINKAGE[1]:
                raise ValueError(f"{name} must be from 1 mm to 200 mm long")
        if self.horn is not None and abs(self.horn_ahead) >= self.horn:
            raise ValueError("horn_ahead must be less than the length of the horn")
        if self.horn is None and self.horn_ahead != 0.0:
            raise ValueError("horn_ahead goes with horn")
        if abs(self.neutral) > self.travel:
            raise ValueError("neutral must be no more than travel")
        return self

    @property
    def most_up(self) -> float:
        """Greatest deflection with the trailing edge up. [rad]"""
        return self.travel if self.up is None else self.up

    @property
    def most_down(self) -> float:
        """Greatest deflection with the trailing edge down. [rad]"""
        return self.travel if self.down is None else self.down


MixKind = Literal["elevon", "v-tail", "flaperon"]
MIXED: dict[MixKind, tuple[ControlKind, str, str]] = {
    "elevon": ("elevon", "pitch", "roll"),
    "v-tail": ("ruddervator", "pitch", "yaw"),
    "flaperon": ("flaperon", "roll", "flap"),
}
"""Which controls each kind of mixing moves, and for which two of the pilot's orders."""
EVEN = 0.5
"""Share of the travel that either order gets where nothing is said."""


class Mixing(FileModel):
    """How two orders share the travel of the same control surfaces."""

    kind: MixKind = Field(
        description="Elevon: pitch, roll. V-tail: pitch, yaw. Flaperon: roll, flap."
    )
    pitch: Share | None = Field(None, description="Share of the travel for full elevator stick.")
    roll: Share | None = Field(None, description="Share of the travel for full aileron stick.")
    yaw: Share | None = Field(None, description="Share of the travel for full rudder stick.")
    flap: Share | None = Field(None, description="Share of the travel for full flap.")

    @check(mode="after")
    def _orders_of_its_kind(self) -> Self:
        _, first, second = MIXED[self.kind]
        for name in ("pitch", "roll", "yaw", "flap"):
            if name not in (first, second) and getattr(self, name) is not None:
                raise ValueError(f"{name} does not go with {self.kind}: give {first} and {second}")
        return self

    @property
    def shares(self) -> tuple[tuple[str, float], tuple[str, float]]:
        """Both orders with their share of the travel; an even half where nothing is said."""
        _, first, second = MIXED[self.kind]
        given = {name: getattr(self, name) for name in (first, second)}
        return (
            (first, EVEN if given[first] is None else given[first]),
            (second, EVEN if given[second] is None else given[second]),
        )


class Surface(Component):
    """A wing, tailplane, fin, V-tail or canard: a chain of flat panels between stations."""

    role: SurfaceRole = Field(description="What it is to the layout.")
    at: Point = Field(Point(), description="Leading edge of the root, from the datum.")
    incidence: Angle = assumed(
        "Nose-up angle of the root against the datum line.", "no incidence", default=0.0
    )
    mirror: bool | None = Field(
        None,
        description="Built on both sides. Left out: yes, but for a fin on the centre line.",
        strict=True,
    )
    section: SectionField | None = Field(
        None, description="Section, unless a station says otherwise."
    )
    stations: tuple[Station, ...] = Field(
        min_length=2, max_length=60, description="From the root outboard."
    )
    controls: dict[Key, Control] = Field({}, description="Control surfaces.")

    @check(mode="after")
    def _stations_in_order(self) -> Self:
        by_span = {station.span is not None for station in self.stations}
        if len(by_span) == 2:
            raise ValueError("all stations of a surface are placed the same way: span, or y and z")
        for number, (inner, outer) in enumerate(
            zip(self.stations, self.stations[1:], strict=False), 1
        ):
            if by_span == {True}:
                if outer.span <= inner.span:  # type: ignore[operator]
                    raise ValueError(f"stations[{number}].span must lie outboard of the one before")
            elif (inner.y or 0.0, inner.z or 0.0) == (outer.y or 0.0, outer.z or 0.0):
                raise ValueError(f"stations[{number}] lies on the one before")
            elif (outer.y or 0.0) < (inner.y or 0.0) - 1e-12:
                raise ValueError(f"stations[{number}].y crosses back over the one before")
            if inner.chord == 0.0:
                raise ValueError(
                    f"stations[{number - 1}].chord is zero; only the tip may be pointed"
                )
        first = self.stations[0]
        if by_span == {True} and first.span != 0.0:
            raise ValueError("stations[0].span must be 0: the root")
        if by_span == {False} and ((first.y or 0.0) != 0.0 or (first.z or 0.0) != 0.0):
            raise ValueError("stations[0] must be the root: y 0, z 0; use at to place the surface")
        if self.section is None and first.section is None:
            raise ValueError("section is missing: give it to the surface or to its first station")
        if self.role == "wing" and (self.mirror is False or self.at.y != 0.0):
            raise ValueError(
                "a wing starts on the centre line and is mirrored; leave out mirror and at.y"
            )
        return self

    @check(mode="after")
    def _faces_the_air(self) -> Self:
        """Width and height as the role needs them; without, it would have no area in its view."""
        for number, station in enumerate(self.stations):
            if station.dihedral is not None and abs(station.dihedral) > math.pi / 2 + 1e-9:
                raise ValueError(f"stations[{number}].dihedral must lie from -90 to 90 deg")
        level = self.places[-1][1] > 1e-6
        upright = any(abs(b[2] - a[2]) > 1e-6 for a, b in pairwise(self.places))
        if self.role == "vee-tail" and not (level and upright):
            raise ValueError("a vee-tail needs dihedral; a level one is a tailplane")
        if self.role == "fin" and not upright:
            raise ValueError("a fin needs height; a level one is a tailplane")
        if self.role != "fin" and not level:
            raise ValueError(f"a {self.role} needs width; an upright one is a fin")
        if self.role == "fin" and self.mirror and not level and self.at.y == 0.0:
            raise ValueError("a mirrored fin needs at.y: how far out it sits")
        return self

    @check(mode="after")
    def _never_folds_back(self) -> Self:
        """A panel that lies upon the one before it has no outside."""
        steps = [(b[1] - a[1], b[2] - a[2]) for a, b in pairwise(self.places)]
        for number, ((y, z), (next_y, next_z)) in enumerate(pairwise(steps), 2):
            turned = abs(math.atan2(y * next_z - z * next_y, y * next_y + z * next_z))
            if turned > math.pi - 1e-6:
                raise ValueError(f"stations[{number}] leads back over the panel before it")
        return self

    @check(mode="after")
    def _within_span(self) -> Self:
        """What runs along the surface ends on it."""
        span = self.span + 1e-9
        ends = [(f"controls.{key}", c.from_, c.to) for key, c in self.controls.items()]
        for number, part in enumerate(self.parts):
            ends.append((f"parts[{number}]", part.from_ or 0.0, part.to or self.span))
            if part.run is not None:
                ends.append((f"parts[{number}].run", part.run.from_, part.run.to))
            if part.ribs is not None and part.ribs.at[-1] > span:
                raise ValueError(
                    f"parts[{number}].ribs.at ends at {part.ribs.at[-1] * 1000:g} mm, but the "
                    f"surface at {self.span * 1000:g} mm along its span"
                )
        for where, start, end in ends:
            if start < 0.0 or end > span or start >= span - 2e-9:
                raise ValueError(
                    f"{where} runs from {start * 1000:g} to {end * 1000:g} mm, but the surface "
                    f"only from 0 to {self.span * 1000:g} mm along its span"
                )
        return self

    @property
    def places(self) -> tuple[tuple[float, float, float], ...]:
        """Developed span, y and z of each station, from the root. [m]

        A panel without a dihedral has that of the one before; the first is level, or upright on a
        fin.
        """
        span = y = z = 0.0
        dihedral = math.pi / 2 if self.role == "fin" else 0.0
        places = [(span, y, z)]
        for inner, outer in pairwise(self.stations):
            if outer.span is not None and inner.span is not None:
                width = outer.span - inner.span
                dihedral = outer.dihedral if outer.dihedral is not None else dihedral
                dy, dz = width * math.cos(dihedral), width * math.sin(dihedral)
                dy = 0.0 if abs(dy) < 1e-12 else dy
            else:
                dy = (outer.y or 0.0) - (inner.y or 0.0)
                dz = (outer.z or 0.0) - (inner.z or 0.0)
                width = math.hypot(dy, dz)
            span, y, z = span + width, y + dy, z + dz
            places.append((span, y, z))
        return tuple(places)

    @property
    def span(self) -> float:
        """Developed distance from root to tip. [m]"""
        return self.places[-1][0]

    @property
    def mirrored(self) -> bool:
        """Whether the surface is built on both sides."""
        if self.mirror is not None:
            return self.mirror
        return self.role != "fin" or self.at.y != 0.0
