"""The ways a part may lie on a stock sheet, in whole micrometres, as nesting takes them.

Sheets are filled along their longer side. A sheet that stands upright is therefore worked on lying
on its side; only the last step, :meth:`Attitude.origin`, turns it back.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from shapely import Polygon

from plansgen.patterns.flat import FlatPart, placed
from plansgen.patterns.raster import Ints, Shape, shape_of
from plansgen.patterns.stock import StockSheet

Rings = tuple[tuple[tuple[int, int], ...], ...]

MICRO = 1_000_000  # micrometres in a metre

_MITRE = 2.0  # corners sharper than 60° are widened to twice half the gap at most
_QUARTER = math.pi / 2


def micrometres(value: float) -> int:
    """A length in whole micrometres. [µm]"""
    return round(value * MICRO)


def upright(stock: StockSheet) -> bool:
    """Whether a sheet is taller than wide."""
    return stock.height > stock.width


def allowed_angles(part: FlatPart, stock: StockSheet, *, mirrored: bool) -> tuple[float, ...]:
    """Angles at which a part may lie on a sheet, counter-clockwise. [rad]

    Grain lies along the sheet's grain, either way; where one of the two has none, any quarter turn
    will do.
    """
    if part.grain is None or stock.grain == "none":
        return tuple(quarter * _QUARTER for quarter in range(4))
    own = math.pi - part.grain if mirrored else part.grain
    wanted = 0.0 if stock.grain == "width" else _QUARTER
    angle = math.remainder(wanted - own, math.pi)
    if abs(angle) > _QUARTER - 1e-9:
        angle = _QUARTER  # and never -90° after a rounding error: the same on every machine
    return angle, angle + math.pi


@dataclass(frozen=True, eq=False)
class Attitude:
    """A part, widened by half the gap all round, at one angle.

    angle: on the sheet [rad]. rings: outline and holes of the widened part, the least x and y being
    0 [µm]. offset: where the part's own origin lies among them [µm]. turned: whether they are
    worked on lying on their side.
    """

    angle: float
    rings: Rings
    offset: tuple[int, int]
    turned: bool

    @cached_property
    def extent(self) -> tuple[int, int]:
        """Width and height of the widened part. [µm]"""
        xs, ys = zip(*self.rings[0], strict=True)
        return max(xs), max(ys)

    @cached_property
    def centroid_x(self) -> int:
        """Where the centroid of the widened outline lies along the sheet. [µm]"""
        ring = self.rings[0]
        edges = list(zip(ring, ring[1:] + ring[:1], strict=True))
        turns = [ax * by - bx * ay for (ax, ay), (bx, by) in edges]
        moment = sum((a[0] + b[0]) * turn for (a, b), turn in zip(edges, turns, strict=True))
        return moment // (3 * sum(turns))

    def origin(self, x: int, y: int, stock: StockSheet) -> tuple[float, float]:
        """Where the part's origin comes to lie on the sheet. [m]

        Args:
            x: Of the lower left corner of the rings, from the corner of the sheet. [µm]
            y: The same, upwards. [µm]
            stock: The sheet.
        """
        u, v = x + self.offset[0], y + self.offset[1]
        if self.turned:
            u, v = micrometres(stock.width) - v, u
        return u / MICRO, v / MICRO


def attitudes(
    part: FlatPart, stock: StockSheet, *, mirrored: bool, gap: float
) -> tuple[Attitude, ...]:
    """The different attitudes a part may have; those that look the same are given once."""
    found: dict[Rings, Attitude] = {}
    for angle in allowed_angles(part, stock, mirrored=mirrored):
        attitude = _attitude(part, angle, turned=upright(stock), mirrored=mirrored, gap=gap)
        found.setdefault(attitude.rings, attitude)
    return tuple(found.values())


def widened(polygon: Polygon, gap: int) -> Polygon:
    """A part with half the gap all round, so that parts that do not meet keep the whole gap. [µm]

    Corners are mitred, never rounded: a rounded corner drawn with chords would be too small.
    """
    half = (gap + 1) // 2
    if half == 0:
        return polygon
    wide = polygon.buffer(half, join_style="mitre", mitre_limit=_MITRE)
    return wide if isinstance(wide, Polygon) else polygon.convex_hull.buffer(half)


def _attitude(
    part: FlatPart, angle: float, *, turned: bool, mirrored: bool, gap: float
) -> Attitude:
    shown = angle - _QUARTER if turned else angle
    rings = [
        [(micrometres(x), micrometres(y)) for x, y in placed(ring, angle=shown, flip=mirrored)]
        for ring in (part.outline, *part.holes)
    ]
    wide = widened(Polygon(rings[0], rings[1:]), micrometres(gap))
    west, south = (math.floor(value + 0.5) for value in wide.bounds[:2])
    edges = (wide.exterior, *sorted(wide.interiors, key=lambda ring: ring.bounds))
    return Attitude(
        angle,
        tuple(_ring(list(edge.coords), west, south) for edge in edges),
        (-west, -south),
        turned,
    )


def _ring(points: list[tuple[float, ...]], west: int, south: int) -> tuple[tuple[int, int], ...]:
    """Whole micrometres, always counter-clockwise from the least point."""
    whole = [(math.floor(p[0] + 0.5) - west, math.floor(p[1] + 0.5) - south) for p in points[:-1]]
    turns = sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(whole, whole[1:] + whole[:1], strict=True)
    )
    if turns < 0:
        whole.reverse()
    start = whole.index(min(whole))
    return tuple(whole[start:] + whole[:start])


class Shapes:
    """Attitudes on the grid; the same outline is put there once."""

    def __init__(self, cell: int) -> None:
        """For cells of one side. [µm]"""
        self.cell = cell
        self._by_attitude: dict[Attitude, Shape] = {}
        self._by_rings: dict[Rings, Shape] = {}

    def of(self, attitude: Attitude) -> Shape:
        """The attitude's cells."""
        shape = self._by_attitude.get(attitude) or self._by_rings.get(attitude.rings)
        if shape is None:
            rings: list[Ints] = [np.array(ring, dtype=np.int64) for ring in attitude.rings]
            shape = self._by_rings[attitude.rings] = shape_of(rings, self.cell)
        self._by_attitude[attitude] = shape
        return shape
