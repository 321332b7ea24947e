"""Which way each edge goes for each stick, and what two sticks at once make of a mixed control.

Orders are: nose up, roll to the right, turn to the right, flaps out. A sense of +1 sends the
trailing edge down: for a panel that stands upright, to the side that its underside looks to when
it is laid flat. Two orders to one control add up by their shares; beyond full travel the servo
stops, which is told as clipping.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from plansgen.airframe.build import Airframe, ControlSurface, LiftingSurface
from plansgen.flight.controls import Motion
from plansgen.flight.result import FlightResult
from plansgen.library.models import ControlKind
from plansgen.quantity import Quantity

Side = Literal["port", "starboard", "centre"]
Sense = Literal[-1, 1]
Way = Literal["up", "down", "left", "right", "straight"]

ORDERS: Mapping[ControlKind, tuple[Motion, ...]] = {
    "aileron": ("roll",),
    "elevator": ("pitch",),
    "rudder": ("yaw",),
    "flap": ("flap",),
    "elevon": ("pitch", "roll"),
    "flaperon": ("roll", "flap"),
    "ruddervator": ("pitch", "yaw"),
}
STICKS: Mapping[tuple[Motion, Literal[-1, 1]], str] = {
    ("pitch", 1): "elevator stick back (nose up)",
    ("pitch", -1): "elevator stick forward (nose down)",
    ("roll", 1): "aileron stick right",
    ("roll", -1): "aileron stick left",
    ("yaw", 1): "rudder stick right",
    ("yaw", -1): "rudder stick left",
    ("flap", 1): "flaps out",
}
UPRIGHT = math.radians(60.0)  # of dihedral, from where left and right say more than up and down


@dataclass(frozen=True)
class MixRow:
    """Where both edges go for some sticks. Angles: trailing edge down positive.

    clipped: it stops at full travel, short of what the sticks ask for.
    """

    sticks: str
    port: Annotated[float, Quantity("rad", "Port", "controls-mixing")]
    starboard: Annotated[float, Quantity("rad", "Starboard", "controls-mixing")]
    port_edge: Annotated[float, Quantity("m", "Port edge", "controls-edge")]
    starboard_edge: Annotated[float, Quantity("m", "Starboard edge", "controls-edge")]
    clipped: bool


@dataclass(frozen=True)
class MixTable:
    """A mixed control: its shares and every pair of sticks.

    shares: of the full travel, by order, in the order of ``ORDERS``. assumed: the usual halves.
    lost: greatest share of the asked-for travel that clipping takes; 0 when nothing is clipped.
    """

    key: str
    title: str
    kind: ControlKind
    orders: tuple[Motion, ...]
    shares: tuple[float, ...]
    assumed: bool
    rows: tuple[MixRow, ...]
    lost: Annotated[float, Quantity("1", "Lost by clipping", "controls-mixing", "%")]


def tilt_of(control: ControlSurface) -> float:
    """Dihedral of the control's hinge line, root to tip. [rad]"""
    (_, y0, z0), (_, y1, z1) = control.hinge[0], control.hinge[-1]
    return math.atan2(z1 - z0, y1 - y0)


def is_upright(control: ControlSurface) -> bool:
    """Whether its edge goes left and right rather than up and down."""
    return abs(math.sin(tilt_of(control))) >= math.sin(UPRIGHT)


def sides_of(surface: LiftingSurface) -> tuple[Side, ...]:
    """Which halves there are, port first."""
    return ("port", "starboard") if surface.mirrored else ("centre",)


def sense_of(
    airframe: Airframe,
    surface: LiftingSurface,
    control: ControlSurface,
    order: Motion,
    side: Side,
    flight: FlightResult | None = None,
) -> Sense:
    """Which way the edge goes for an order, +1 down.

    flight: tells whether the control works ahead of the balance point or behind it; without it the
    wing's quarter chord stands in for the balance point.
    """
    other: Literal[-1, 1] = -1 if side == "port" else 1
    if order == "flap":
        return 1
    if order == "roll":
        return 1 if side == "port" else -1
    behind = _behind(airframe, surface, control, order, flight)
    if order == "pitch":
        return -1 if behind else 1
    right = _signed(other * math.sin(tilt_of(control)))
    return right if behind else _signed(-right)


def _signed(value: float) -> Sense:
    return 1 if value >= 0.0 else -1


def _behind(
    airframe: Airframe,
    surface: LiftingSurface,
    control: ControlSurface,
    order: Motion,
    flight: FlightResult | None,
) -> bool:
    if flight is not None and order in ("pitch", "yaw"):
        name = f"{surface.key}.{control.key}.{order}"
        for found in flight.derivatives.controls:
            slope = found.slopes.pitch if order == "pitch" else found.slopes.yaw
            if found.mode.name == name and slope != 0.0:
                return slope < 0.0
    x = sum(place[0] for place in control.hinge) / len(control.hinge)
    return x > airframe.reference.quarter_chord_x


def way_of(control: ControlSurface, sense: Sense, side: Side) -> Way:
    """Where the edge goes, seen from behind."""
    tilt = tilt_of(control)
    if not is_upright(control):
        return "down" if sense > 0 else "up"
    out = 1 if side == "port" else -1
    # an upright panel's underside looks outboard; the edge goes there with sense +1
    right = sense * out * math.sin(tilt) < 0.0
    return "right" if right else "left"


def mixed(
    commands: tuple[float, ...], shares: tuple[float, ...], senses: tuple[int, ...]
) -> tuple[float, float]:
    """What the servo gets and what was asked for, −1 to +1 of full travel, trailing edge down +.

    commands: of the orders, −1 to +1.
    """
    asked = sum(c * s * way for c, s, way in zip(commands, shares, senses, strict=True))
    return min(max(asked, -1.0), 1.0), asked


def mix_table(
    airframe: Airframe,
    surface: LiftingSurface,
    control: ControlSurface,
    *,
    shares: tuple[float, ...],
    assumed: bool,
    down: float,
    up: float,
    chord: float,
    flight: FlightResult | None,
) -> MixTable:
    """Every stick and every pair of sticks of one mixed control.

    shares: by order. down, up: its full travel. [rad] chord: true. [m]
    """
    orders = ORDERS[control.kind]
    senses = {
        side: tuple(sense_of(airframe, surface, control, o, side, flight) for o in orders)
        for side in ("port", "starboard")
    }
    rows, lost = [], 0.0
    for commands in _combinations(orders):
        angles, clipped = [], False
        for side in ("port", "starboard"):
            got, asked = mixed(commands, shares, senses[side])
            if abs(asked) > 1.0 + 1e-9:
                clipped, lost = True, max(lost, 1 - 1 / abs(asked))
            angles.append(got * (down if got > 0.0 else up))
        rows.append(
            MixRow(
                sticks=_words(orders, commands),
                port=angles[0],
                starboard=angles[1],
                port_edge=chord * math.sin(angles[0]),
                starboard_edge=chord * math.sin(angles[1]),
                clipped=clipped,
            )
        )
    return MixTable(
        key=f"{surface.key}.{control.key}",
        title=f"{surface.title}, {control.key.replace('_', ' ')}",
        kind=control.kind,
        orders=orders,
        shares=shares,
        assumed=assumed,
        rows=tuple(rows),
        lost=lost,
    )


def _combinations(orders: tuple[Motion, ...]) -> list[tuple[float, ...]]:
    """Each order alone, both ways, then both at once; flaps only go out."""
    first, second = ((1.0,) if order == "flap" else (1.0, -1.0) for order in orders)
    found: list[tuple[float, ...]] = [(a, 0.0) for a in first]
    found += [(0.0, b) for b in second]
    return found + [(a, b) for a in first for b in second]


def _words(orders: tuple[Motion, ...], commands: tuple[float, ...]) -> str:
    said = [
        STICKS[order, 1 if command > 0.0 else -1]
        for order, command in zip(orders, commands, strict=True)
        if command
    ]
    text = " and ".join(said)
    return f"{text[:1].upper()}{text[1:]}"
