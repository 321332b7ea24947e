"""The outside of a surface in space: fine sections, mitred where panels bend, ruled between.

Where two panels meet at an angle both end in the plane that halves it, so that their edges are the
same curve; at the centre line that plane is the model's own. Sections of a panel between are the
straight mix of its ends, as everywhere else.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import LiftingSurface
from plansgen.airframe.planform import panel_tilts
from plansgen.airframe.sections import cosine_points, naca_outline
from plansgen.library.models import Section, Surface

Array = NDArray[np.float64]

_FINE = 96  # points a side of a round section
_PIECES = 8  # pieces that each flat of a folded sheet is split into
_STRAIGHT = 0.0003  # a station so near to the line between its neighbours is no bend [m]
_LEVEL = math.radians(0.05)  # and panels so nearly in line are one [rad]


@dataclass(frozen=True, eq=False)
class Curve:
    """One side of a section from the leading edge aft, as shares of the chord, (n, 2).

    bends: numbers of the points where a sheet is folded.
    """

    points: Array
    bends: tuple[int, ...] = ()

    def index(self, share: float) -> float:
        """Number of the point, or between two, at a share of the chord."""
        if share <= 0.0:
            return 0.0
        if share >= 1.0:
            return float(len(self.points) - 1)
        x = np.maximum.accumulate(self.points[:, 0])
        return float(np.interp(share, x, np.arange(len(x))))


@dataclass(frozen=True, eq=False)
class Sides:
    """Upper and lower side of a station's section."""

    upper: Curve
    lower: Curve


def sides_of(section: Section, outline: Array) -> Sides:
    """Fine sides of a section; stations of one kind have as many points, which belong together.

    Args:
        section: As the design says.
        outline: As kept for drawing, in chords, for kinds without a formula.
    """
    if section.kind == "naca":
        upper, lower = naca_outline(section.digits or "0000", _FINE)
        return Sides(Curve(upper), Curve(lower))
    nose = int(outline[:, 0].argmin())
    upper, lower = outline[: nose + 1][::-1], outline[nose:]
    if section.kind == "folded sheet":
        return Sides(_pieces(upper, (0, 1)), _pieces(lower, (1,)))
    grid = cosine_points(_FINE)
    return Sides(*(Curve(np.column_stack([grid, _at(grid, s)])) for s in (upper, lower)))


def _even(sides: Sides) -> Sides:
    """Sections of several kinds on one surface: points at the same shares of the chord."""
    grid = cosine_points(_FINE)
    upper, lower = (_at(grid, side.points) for side in (sides.upper, sides.lower))
    return Sides(Curve(np.column_stack([grid, upper])), Curve(np.column_stack([grid, lower])))


def _at(grid: Array, side: Array) -> Array:
    return np.interp(grid, np.maximum.accumulate(side[:, 0]), side[:, 1])


def _pieces(corners: Array, bends: Sequence[int]) -> Curve:
    """A side of flats, each split evenly; bends: which corners are folded."""
    rows = [corners[:1]]
    for a, b in pairwise(corners):
        rows.append(a + (b - a) * np.linspace(0.0, 1.0, _PIECES + 1)[1:, None])
    return Curve(np.vstack(rows), tuple(n * _PIECES for n in bends))


@dataclass(frozen=True)
class Panel:
    """Stations between which a surface runs straight on; first and last are numbers of them."""

    first: int
    last: int


class SurfaceSolid:
    """The starboard (or only) half of a surface in space."""

    def __init__(self, surface: LiftingSurface, file: Surface) -> None:
        """From the surface's stations and the file's sections."""
        self.surface = surface
        self.file = file
        self.stations = surface.stations
        current, sides, kinds = file.section, list[Sides](), set[str]()
        for station, given in zip(self.stations, file.stations, strict=True):
            current = given.section or current
            assert current is not None  # the model refuses a surface without a section
            kinds.add(current.kind)
            sides.append(sides_of(current, np.asarray(station.outline)))
        same = len({(len(s.upper.points), len(s.lower.points)) for s in sides}) == 1
        self.sections = tuple(sides if same else map(_even, sides))
        self.folded = kinds == {"folded sheet"}

    @cached_property
    def tilts(self) -> tuple[float, ...]:
        """Dihedral of each panel. [rad]"""
        return tuple(panel_tilts(self.stations)[1:])

    @property
    def centred(self) -> bool:
        """Whether the two halves meet on the centre line."""
        return self.surface.mirrored and abs(self.stations[0].y) < 1e-9

    @cached_property
    def _ups(self) -> tuple[Array, ...]:
        """Upwards at each station, stretched so that heights come out right on both panels."""
        normals = [np.array([0.0, -math.sin(t), math.cos(t)]) for t in self.tilts]
        first = normals[0]
        if self.centred and abs(math.cos(self.tilts[0])) > 0.1:
            first = np.array([0.0, 0.0, 1.0 / math.cos(self.tilts[0])])
        ups = [first]
        for a, b in pairwise(normals):
            middle = a + b
            ups.append(middle / float(middle @ a))  # the mitre: as high over both panels
        return (*ups, normals[-1])

    @cached_property
    def panels(self) -> tuple[Panel, ...]:
        """Stretches of the half without a bend in plan, in height or in section."""
        found, start = [], 0
        for number in range(1, len(self.stations)):
            if number == len(self.stations) - 1 or not self._straight_on(number):
                found.append(Panel(start, number))
                start = number
        return tuple(found)

    def _straight_on(self, number: int) -> bool:
        if abs(self.tilts[number] - self.tilts[number - 1]) > _LEVEL:
            return False
        before, here, after = (self.stations[n].span for n in (number - 1, number, number + 1))
        share = (here - before) / (after - before)
        for side in ("upper", "lower"):
            rows = [self._station(n, side) for n in (number - 1, number, number + 1)]
            mixed = rows[0] + (rows[2] - rows[0]) * share
            if np.linalg.norm(mixed - rows[1], axis=1).max() > _STRAIGHT:
                return False
        return True

    def placed(self, number: int, points: Array) -> Array:
        """Points of a station's plane, along the chord and up [m], in space."""
        station = self.stations[number]
        sin, cos = math.sin(station.twist), math.cos(station.twist)
        x = points[:, 0] * cos + points[:, 1] * sin
        z = points[:, 1] * cos - points[:, 0] * sin
        origin = np.array([station.x, station.y, station.z])
        return np.asarray(origin + np.outer(x, [1.0, 0.0, 0.0]) + np.outer(z, self._ups[number]))

    def _station(self, number: int, side: str) -> Array:
        curve: Curve = getattr(self.sections[number], side)
        return self.placed(number, curve.points * self.stations[number].chord)

    def between(self, span: float) -> tuple[int, float]:
        """The station inboard of a developed span, and the share of the way to the next. [m]"""
        for number, (a, b) in enumerate(pairwise(self.stations)):
            if span < b.span - 1e-12:
                return number, max((span - a.span) / (b.span - a.span), 0.0)
        return len(self.stations) - 2, 1.0

    def flat_section(self, span: float, side: str) -> Array:
        """A side of the section at a span, upright to its panel, from the leading edge. [m]"""
        number, share = self.between(span)
        rows = [
            getattr(self.sections[n], side).points * self.stations[n].chord
            for n in (number, number + 1)
        ]
        return np.asarray(rows[0] + (rows[1] - rows[0]) * share)

    def chord(self, span: float) -> float:
        """Chord at a developed span. [m]"""
        number, share = self.between(span)
        a, b = self.stations[number], self.stations[number + 1]
        return a.chord + (b.chord - a.chord) * share
