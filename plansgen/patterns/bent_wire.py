"""Bent wire: how long to cut it, and where to bend it.

A wire keeps its length on its middle. Bent round a radius it takes a short cut at every corner, so
the straight lengths from corner to corner add up to more than the wire that is needed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plansgen.patterns.allowance import bend_deduction

RADIUS = 2.0
"""Inside radius of a bend, in diameters: tighter cracks hard wire. Common practice, no source."""

_STRAIGHT = math.radians(0.2)


@dataclass(frozen=True)
class WireBend:
    """One bend. at: from the end where the wire begins to the middle of the bend, flat [m]."""

    at: float
    angle: float


@dataclass(frozen=True)
class BentWire:
    """A wire straight, before it is bent. radius: inside, of every bend. [m]"""

    length: float
    radius: float
    bends: tuple[WireBend, ...]

    @property
    def words(self) -> str:
        """Where to bend and by how much; empty for a straight one."""
        if not self.bends:
            return ""
        at = ", ".join(f"{math.degrees(b.angle):.1f}° at {b.at * 1000:.0f} mm" for b in self.bends)
        return f"bend {at}; inside radius {self.radius * 1000:.1f}"


def bent_wire(
    points: Sequence[tuple[float, float, float]], *, diameter: float, radius: float | None = None
) -> BentWire:
    """Work out a wire from the corners that its middle would have with sharp bends.

    Args:
        points: Corners of the middle line. [m]
        diameter: Of the wire. [m]
        radius: Inside radius of its bends; two diameters if left out. [m]

    Raises:
        ValueError: two bends are so near to each other that their arcs overlap.
    """
    inside = RADIUS * diameter if radius is None else radius
    corners = np.asarray(points, dtype=float)
    steps = np.diff(corners, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    bends: list[WireBend] = []
    gone, taken, before = 0.0, 0.0, 0.0
    for number in range(1, len(steps)):
        cos = float(steps[number - 1] @ steps[number] / (lengths[number - 1] * lengths[number]))
        angle = math.acos(min(max(cos, -1.0), 1.0))
        gone += float(lengths[number - 1])
        middle = inside + diameter / 2
        tangent = middle * math.tan(angle / 2)
        if tangent + before > lengths[number - 1] or tangent > lengths[number]:
            raise ValueError("two bends of a wire are too near to each other for their radius")
        before = tangent
        # Of its own middle line a wire has no thickness: the plain rule with that radius.
        less = bend_deduction(angle=angle, radius=middle, thickness=0.0)
        if angle > _STRAIGHT:
            bends.append(WireBend(gone - taken - less / 2, angle))
        taken += less
    return BentWire(float(lengths.sum()) - taken, inside, tuple(bends))
