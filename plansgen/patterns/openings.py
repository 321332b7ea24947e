"""Openings that a design gives: where they lie on flat parts, and whether they fit there."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

import shapely
from shapely import LineString, Polygon

from plansgen.library.models import Opening
from plansgen.patterns.flat import FlatPart, Label, Outline, PatternLine, Point
from plansgen.patterns.typeface import width

RIM = 0.001
"""Least sheet between an opening and the edge of its part, or another hole. Estimate. [m]"""

_ROUND = 48  # corners of a round opening
_ALONG = 8  # stretches of a straight edge on a sheet that is bent or unrolled
_LETTERS = 0.003
_LEAST_LINE = 0.001  # what is left of a mark beside an opening and shorter is not drawn [m]


@dataclass(frozen=True)
class Cutout:
    """An opening on a flat part. where: within what it may lie, in words."""

    name: str
    ring: Outline
    where: str


def shape(opening: Opening) -> tuple[tuple[float, float], ...]:
    """Its outline within a box of -1 to 1 both ways, counter-clockwise."""
    if opening.round:
        turns = (2 * math.pi * n / _ROUND for n in range(_ROUND))
        return tuple((math.cos(a), math.sin(a)) for a in turns)
    even = [-1 + 2 * n / _ALONG for n in range(_ALONG)]
    return (
        *((u, -1.0) for u in even),
        *((1.0, v) for v in even),
        *((-u, 1.0) for u in even),
        *((-1.0, -v) for v in even),
    )


def ring_of(
    opening: Opening, *, ends: tuple[float, float], place: Callable[[float, float], Point]
) -> Outline:
    """Its outline on a flat part.

    Args:
        opening: What is cut.
        ends: Between which it reaches along the part. [m]
        place: From a place along the part [m] and one across, -1 to 1, to the flat part.
    """
    middle, half = (ends[0] + ends[1]) / 2, (ends[1] - ends[0]) / 2
    points = [place(middle + half * u, v) for u, v in shape(opening)]
    ring = Polygon(shapely.get_coordinates(Polygon(points).simplify(1e-6)))
    turned = shapely.geometry.polygon.orient(ring).exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in turned)


def opened(part: FlatPart, cutouts: Iterable[Cutout]) -> tuple[FlatPart, list[str]]:
    """A part with its openings cut, and in words those that do not fit.

    Marks that run over an opening end at its edge; its name stands in it.
    """
    wrong: list[str] = []
    for cutout in cutouts:
        hole = Polygon(cutout.ring)
        where = f'opening "{cutout.name}" of {part.name}'
        if not hole.is_valid or not Polygon(part.outline).buffer(-RIM).covers(hole):
            wrong.append(f"{where} does not lie inside it: {cutout.where}")
        elif any(hole.distance(Polygon(other)) < RIM for other in part.holes):
            wrong.append(f"{where} runs into another hole of it, a slot or an opening")
        else:
            part = replace(
                part,
                holes=(*part.holes, cutout.ring),
                lines=tuple(line for old in part.lines for line in _beside(old, hole)),
                labels=(*part.labels, _label(cutout.name, hole)),
            )
    return part, wrong


def _label(name: str, hole: Polygon) -> Label:
    west, south, east, north = hole.bounds
    upright = north - south > east - west
    room = (north - south if upright else east - west) * 0.9
    # As small as letters are printed, where a word is longer than its hole.
    size = _LETTERS * min(1.0, 1000 * room / width(name, 1000 * _LETTERS))
    return Label(
        (west + east) / 2,
        (south + north) / 2,
        name,
        angle=math.pi / 2 if upright else 0.0,
        size=size,
    )


def _beside(line: PatternLine, hole: Polygon) -> Iterator[PatternLine]:
    """What is left of a line where an opening is cut."""
    points = (*line.points, line.points[0]) if line.closed else line.points
    if len(points) < 2 or not (way := LineString(points)).intersects(hole):
        yield line
        return
    rest = way.difference(hole.buffer(_LEAST_LINE, join_style="mitre") if line.closed else hole)
    pieces = [p for p in shapely.get_parts(rest) if p.length > _LEAST_LINE]
    pieces.sort(key=lambda p: -p.length)
    for number, piece in enumerate(pieces):
        kept = tuple((float(x), float(y)) for x, y in piece.coords)
        words = "" if number and line.kind == "mark" else line.label
        yield replace(line, points=kept, closed=False, label=words)


def mm(*values: float) -> str:
    """Lengths as the file may give them: ``0 to 200``."""
    return " to ".join(f"{1000 * value:.0f}" for value in values)
