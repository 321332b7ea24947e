"""Lightening holes: as much as a part may lose, with webs left all round."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

WEB = 0.008
"""Board left round every hole. [m]"""

_LONGEST = 1.6  # a hole is at most so many times as long as high
_SMALLEST = 6e-5  # a smaller hole is not worth cutting [m²]
_NARROWEST = 0.006  # [m]
_CORNER = 0.003  # radius of its corners [m]
_HALVINGS = 24


def lightened(pieces: Sequence[Polygon], wanted: float) -> list[Polygon]:
    """Cut holes so that pieces lose an area together, as far as webs allow.

    Args:
        pieces: What is lightened. [m]
        wanted: Area to lose. [m²]

    Returns:
        The pieces with their holes; fewer and smaller ones than wanted where there is no room.
    """
    cells = [_cells(piece) for piece in pieces]
    if wanted < _SMALLEST or not any(cells):
        return list(pieces)
    low, high = 0.0, 0.05
    if _area(cells, low) > wanted:
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if _area(cells, middle) > wanted else (low, middle)
    found = list(pieces)
    for number, own in enumerate(cells):
        left = pieces[number].difference(shapely.union_all(_shrunk(own, low)))
        if isinstance(left, Polygon):  # holes inside webs never cut a piece in two
            found[number] = left
    return found


def _area(cells: Sequence[Sequence[Polygon]], by: float) -> float:
    return sum(hole.area for own in cells for hole in _shrunk(own, by))


def _shrunk(cells: Sequence[Polygon], by: float) -> list[Polygon]:
    """Cells made smaller all round, with round corners; what becomes too small is left out."""
    found = []
    for cell in cells:
        rounded = cell.buffer(-by - _CORNER).buffer(_CORNER, quad_segs=6)
        found += [hole for hole in _polygons(rounded) if hole.area >= _SMALLEST]
    return found


def _cells(piece: Polygon) -> list[Polygon]:
    """Room for holes inside the webs, divided by upright webs where it is long."""
    found = []
    for room in _polygons(piece.buffer(-WEB, join_style="mitre")):
        west, south, east, north = room.bounds
        if min(east - west, north - south) < _NARROWEST:
            continue
        number = max(1, round((east - west) / (_LONGEST * (north - south) + WEB)))
        edges = np.linspace(west - WEB / 2, east + WEB / 2, number + 1)
        for a, b in pairwise(edges):
            cell = room.intersection(box(a + WEB / 2, south, b - WEB / 2, north))
            found += [p for p in _polygons(cell) if p.area >= _SMALLEST]
    return found


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    return sorted(shape.geoms, key=lambda p: p.bounds) if isinstance(shape, MultiPolygon) else []
