"""A face of a box body laid flat: a sheet bent across its length where the frames are.

Side, top and bottom of a box each turn about lines at right angles to their length only, so they
unroll without stretch: what was measured along the profile becomes x, what lies across stays y.
The face that is whole keeps its length: the outer one where a sheet bends inwards, the inner one
where it bends outwards and the outside is cut.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.inside import Chain, value
from plansgen.patterns.flat import Outline, Point

Array = NDArray[np.float64]

NO_BEND = math.radians(0.5)
"""A sheet that turns by less needs no line: it gives. [rad]"""

_SAME = 1e-9


@dataclass(frozen=True)
class Bend:
    """Where a sheet turns. x: along the body. s: along the flat sheet. [m]

    angle: towards the inside, below 0 outwards [rad]. room: length of sheet that the bend takes in
    the flat and gives back on the outside: nothing where the outer face stays whole. [m]
    mitre: from the bend to where the other face's bend comes to lie. [m]
    """

    x: float
    s: float
    angle: float
    room: float
    mitre: float


class Unrolled:
    """A sheet along a profile, from one x to another."""

    def __init__(self, chain: Chain, *, thickness: float, outward: float) -> None:
        """From the outside of the sheet.

        Args:
            chain: x and height (or half width) of its outer face, without steps. [m]
            thickness: Of the sheet. [m]
            outward: 1 where the outside lies above the profile, -1 below.
        """
        self.chain = chain
        self.thickness = thickness
        self.outward = outward

    @cached_property
    def _slopes(self) -> tuple[float, ...]:
        return tuple(math.atan2(v1 - v0, x1 - x0) for (x0, v0), (x1, v1) in pairwise(self.chain))

    @cached_property
    def _starts(self) -> tuple[float, ...]:
        """Where each stretch begins on the flat sheet. [m]"""
        found, s = [0.0], 0.0
        for number, (a, b) in enumerate(pairwise(self.chain)):
            s += math.dist(a, b)
            if number + 1 < len(self._slopes):
                s += self._room(number)
                found.append(s)
        return tuple(found)

    def _angle(self, number: int) -> float:
        return (self._slopes[number] - self._slopes[number + 1]) * self.outward

    def _room(self, number: int) -> float:
        angle = self._angle(number)
        return 2 * self.thickness * math.tan(-angle / 2) if angle < 0 else 0.0

    @cached_property
    def bends(self) -> tuple[Bend, ...]:
        """Where it turns, fore to aft."""
        found = []
        for number, (x, _) in enumerate(self.chain[1:-1]):
            angle, room = self._angle(number), self._room(number)
            if abs(angle) < _SAME:
                continue
            mitre = self.thickness * math.tan(abs(angle) / 2)
            found.append(Bend(x, self._starts[number + 1] - room / 2, angle, room, mitre))
        return tuple(found)

    @property
    def length(self) -> float:
        """Of the flat sheet. [m]"""
        return self.at(self.chain[-1][0])

    def at(self, x: float, *, ahead: bool = False) -> float:
        """Place on the flat sheet of a place along the body, on the outer face. [m]

        Args:
            x: Along the body; beyond an end the sheet runs straight on. [m]
            ahead: Just ahead of a bend at x, where the bend takes room.
        """
        last = len(self._slopes) - 1
        number = 0
        while number < last and (x > self.chain[number + 1][0] - (-_SAME if ahead else _SAME)):
            number += 1
        return self._starts[number] + (x - self.chain[number][0]) / math.cos(self._slopes[number])

    def slope(self, x: float) -> float:
        """Angle between the sheet and the body's length at x. [rad]"""
        ends = [end for end, _ in self.chain[1:-1]]
        return self._slopes[int(np.searchsorted(ends, x + _SAME, side="right"))]

    def edge(self, line: Sequence[Point]) -> Outline:
        """A line over x as it comes to lie on the flat sheet; it bends with the sheet. [m]"""
        found: list[Point] = [(self.at(line[0][0]), line[0][1])]
        for (x0, v0), (x1, v1) in pairwise(line):
            for bend in self.bends:
                if min(x0, x1) + _SAME < bend.x < max(x0, x1) - _SAME:
                    v = v0 + (v1 - v0) * (bend.x - x0) / (x1 - x0)
                    sides = (self.at(bend.x, ahead=True), self.at(bend.x))
                    found += [(s, v) for s in (sides if x1 > x0 else sides[::-1])]
            found.append((self.at(x1, ahead=x1 > x0), v1))
            if self.at(x1) != found[-1][0] and x1 > x0 and line[-1][0] > x1:
                found.append((self.at(x1), v1))
        return _once(found)


def _once(points: Sequence[Point]) -> Outline:
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(kept[-1], point) > _SAME:
            kept.append(point)
    return tuple(kept)


def between(edge: Outline, west: float, east: float) -> Outline:
    """The part of an edge between two places, upright steps at its ends left out."""
    found: list[tuple[float, float]] = []
    for (x0, y0), (x1, y1) in pairwise(edge):
        if x1 - x0 < _SAME:
            continue
        a, b = max(x0, west), min(x1, east)
        if b - a < _SAME:
            continue
        for x in (a, b):
            point = (x, y0 + (y1 - y0) * (x - x0) / (x1 - x0))
            if not found or math.dist(found[-1], point) > 1e-9:
                found.append(point)
    return tuple(found)


def clipped(chain: Chain, start: float, end: float) -> Chain:
    """A profile between two places, straight on beyond its ends. [m]"""
    inner = [(x, v) for x, v in chain if start + _SAME < x < end - _SAME]
    return ((start, value(chain, start)), *inner, (end, value(chain, end)))


@dataclass(frozen=True)
class Pose:
    """How a flat face stands in space.

    start: place of the flat origin. along: direction of the flat x axis on the first stretch, in
    the body's frame. across: of the flat y axis. bends: place on the flat sheet, room and angle of
    each bend about ``across``; the angle turns ``along`` towards ``inward``.
    """

    start: tuple[float, float, float]
    along: tuple[float, float, float]
    across: tuple[float, float, float]
    inward: tuple[float, float, float]
    bends: tuple[tuple[float, float, float], ...] = ()

    def space(self, points: Sequence[Point], *, deep: float = 0.0) -> Array:
        """Points of the flat sheet, folded back: where they lie in the body frame. [m]

        Args:
            points: On the flat sheet. [m]
            deep: How far below its outer face. [m]
        """
        return np.array([self._one(s, v, deep) for s, v in points])

    def _one(self, s: float, v: float, deep: float) -> Array:
        along, inward = np.array(self.along), np.array(self.inward)
        place = np.array(self.start)
        gone = 0.0
        for where, room, angle in self.bends:
            if s <= where:
                break
            place = place + along * (where - room / 2 - gone)
            gone = where + room / 2
            cos, sin = math.cos(angle), math.sin(angle)
            along, inward = along * cos + inward * sin, inward * cos - along * sin
        return np.asarray(
            place
            + along * max(s - gone, 0.0 if gone else -math.inf)
            + np.array(self.across) * v
            + inward * deep
        )


def pose_of(sheet: Unrolled, *, face: str, y: float) -> Pose:
    """Where a face stands; its flat y axis is z for sides, y from the middle for top and bottom.

    Args:
        sheet: The face.
        face: ``starboard``, ``top`` or ``bottom``.
        y: Of the body's middle. [m]
    """
    (x0, v0), (x1, v1) = sheet.chain[:2]
    run = math.hypot(x1 - x0, v1 - v0)
    dx, dv = (x1 - x0) / run, (v1 - v0) / run
    bends = tuple((b.s, b.room, b.angle) for b in sheet.bends)
    inx, inv = dv * sheet.outward, -dx * sheet.outward
    if face == "starboard":
        return Pose((x0, y + v0, 0.0), (dx, dv, 0.0), (0.0, 0.0, 1.0), (inx, inv, 0.0), bends)
    return Pose((x0, y, v0), (dx, 0.0, dv), (0.0, 1.0, 0.0), (inx, 0.0, inv), bends)
