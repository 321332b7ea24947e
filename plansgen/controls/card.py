"""The control check card: for each stick, which edge goes which way, seen from behind.

Right is to starboard. Read from the geometry and the mixing, never from habit: on a canard the
elevator goes down for nose up, and on a V-tail both edges follow the rudder stick.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plansgen.airframe.build import Airframe
from plansgen.controls.mixing import ORDERS, STICKS, Side, Way, sense_of, sides_of, way_of
from plansgen.flight.controls import Motion
from plansgen.flight.result import FlightResult

_SEQUENCE: tuple[Motion, ...] = ("pitch", "roll", "yaw", "flap")
WHY = {
    "pitch": "the nose must come up",
    "roll": "the right wing must go down",
    "yaw": "the nose must turn right",
    "flap": "both sides alike, or it rolls",
}


@dataclass(frozen=True)
class Edge:
    """One edge. part: what the control is called, with its side where there are two."""

    key: str
    part: str
    side: Side
    way: Way


@dataclass(frozen=True)
class StickCheck:
    """One stick moved one way, and every edge that must move with it."""

    motion: Motion
    stick: str
    why: str
    edges: tuple[Edge, ...]


def check_card(airframe: Airframe, flight: FlightResult | None) -> tuple[StickCheck, ...]:
    """Every order that the design obeys, in the order in which it is checked at the field."""
    checks = []
    for motion in _SEQUENCE:
        edges = tuple(_edges(airframe, flight, motion))
        if edges:
            stick = STICKS[motion, 1]
            checks.append(StickCheck(motion, f"{stick[:1].upper()}{stick[1:]}", WHY[motion], edges))
    return tuple(checks)


def _edges(airframe: Airframe, flight: FlightResult | None, motion: Motion) -> Iterator[Edge]:
    for surface in airframe.surfaces:
        for control in surface.controls:
            if motion not in ORDERS[control.kind]:
                continue
            name = control.key.replace("_", " ")
            for side in sides_of(surface):
                sense = sense_of(airframe, surface, control, motion, side, flight)
                way = way_of(control, sense, side)
                part = name if side == "centre" else f"{side} {name}"
                yield Edge(f"{surface.key}.{control.key}", part, side, way)
