"""The lines of a piece as strokes, cut exactly at the edge of what a page shows. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np
import shapely
from shapely import LineString, Polygon

from plansgen.patterns.flat import FlatPart, PatternLine
from plansgen.patterns.ink import Stroke
from plansgen.patterns.looks import LOOKS, NARROW

_TICK = (6.0, 1.0)  # distance and half length of strokes across a line [mm]
_CROSS = 1.5  # half size of a cross [mm]
_HATCH = 3.0  # distance of hatching lines [mm]

Box = tuple[float, float, float, float]
Points = list[tuple[float, float]]


def outline_strokes(part: FlatPart, window: Box) -> Iterator[Stroke]:
    """Outline and holes, as far as a window shows them."""
    look = LOOKS["cut"]
    for edge in (part.outline, *part.holes):
        yield from clipped(_mm(edge), look.width, look.dash, window, closed=True)


def operation_strokes(part: FlatPart, window: Box) -> Iterator[Stroke]:
    """All lines on the part with their ticks, crosses and hatching."""
    for line in part.lines:
        look = LOOKS[line.kind]
        points = _mm(line.points)
        if _misses(points, window):
            continue
        if len(points) > 1:
            yield from clipped(points, look.width, look.dash, window, closed=line.closed)
        for extra in extras(line):
            yield from clipped(extra, NARROW, (), window)


def _misses(points: Points, window: Box) -> bool:
    """Whether neither a line nor a tick or cross on it can be in a window."""
    xs, ys = zip(*points, strict=True)
    reach = 2 * max(_TICK[1], _CROSS)
    west, south, east, north = window
    beside = min(xs) > east + reach or max(xs) < west - reach
    return bool(beside or min(ys) > north + reach or max(ys) < south - reach)


def clipped(
    points: Points, width: float, dash: tuple[float, ...], window: Box, *, closed: bool = False
) -> Iterator[Stroke]:
    """A line as far as it lies in a window; whole if it lies in it altogether."""
    xs, ys = zip(*points, strict=True)
    west, south, east, north = window
    if min(xs) > east or max(xs) < west or min(ys) > north or max(ys) < south:
        return
    if min(xs) >= west and max(xs) <= east and min(ys) >= south and max(ys) <= north:
        yield Stroke(tuple(points), width, dash, closed)
        return
    ring = [*points, points[0]] if closed else points
    seen = shapely.clip_by_rect(LineString(ring), *window)
    for run in shapely.get_parts(shapely.line_merge(seen)):
        if isinstance(run, LineString) and run.length > 0:
            yield Stroke(_points(run), width, dash)


def _mm(points: Iterable[tuple[float, float]]) -> Points:
    return [(1000 * x, 1000 * y) for x, y in points]


def _points(run: LineString) -> Points:
    return [(x, y) for x, y in run.coords]


def extras(line: PatternLine, *, scale: float = 1.0) -> Iterator[Points]:
    """Ticks, crosses and hatching that tell a line from others of the same dashes. [mm]

    scale: how much larger than on paper, for pictures that are shown small.
    """
    look, points = LOOKS[line.kind], _mm(line.points)
    if look.ticks:
        yield from _ticks(LineString(points), scale)
    if look.crosses:
        half = _CROSS * scale
        for x, y in dict.fromkeys((points[0], points[-1])):
            yield [(x - half, y), (x + half, y)]
            yield [(x, y - half), (x, y + half)]
    if look.hatched and line.closed:
        yield from _hatching(Polygon(points), _HATCH * scale)


def _ticks(way: LineString, scale: float) -> Iterator[Points]:
    """Short strokes aslant across a line, in even steps."""
    step, half = (scale * length for length in _TICK)
    count = max(1, round(way.length / step))
    for k in range(count):
        at = (k + 0.5) * way.length / count
        a, b = way.interpolate(at - 0.1), way.interpolate(at + 0.1)
        turn = math.atan2(b.y - a.y, b.x - a.x) + math.radians(60)
        u, v = half * math.cos(turn), half * math.sin(turn)
        m = way.interpolate(at)
        yield [(m.x - u, m.y - v), (m.x + u, m.y + v)]


def _hatching(area: Polygon, distance: float) -> Iterator[Points]:
    """Lines at 45 degrees inside an area, all of one raster so that neighbours agree."""
    west, south, east, north = area.bounds
    step = distance * math.sqrt(2)
    first = math.ceil((west - north) / step)
    offsets = step * np.arange(first, math.floor((east - south) / step) + 1)
    rays = [LineString([(o + south, south), (o + north, north)]) for o in offsets]
    for run in shapely.get_parts(shapely.intersection(rays, area)):
        for part in shapely.get_parts(run):
            if isinstance(part, LineString) and part.length > 0:
                yield _points(part)
