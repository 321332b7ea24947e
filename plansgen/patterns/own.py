"""Places that the designer chose: they are taken as they are, and the rest is laid around them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely import GeometryCollection, MultiPolygon, Polygon, box
from shapely.affinity import affine_transform

from plansgen.library.models import DesignFile
from plansgen.patterns.attitudes import MICRO, upright, widened
from plansgen.patterns.filling import Bench
from plansgen.patterns.flat import FlatPart, placed
from plansgen.patterns.layout import LeftOut, OwnPlacement, Placement
from plansgen.patterns.raster import Bools, covered
from plansgen.patterns.stock import StockSheet
from plansgen.problems import nearest_name


@dataclass(frozen=True)
class OwnSheet:
    """One sheet with the designer's places on it; stock: its number on the bench."""

    stock: int
    placements: tuple[Placement, ...]
    polygons: tuple[Polygon, ...]

    def cells(self, bench: Bench, cell: int) -> Bools:
        """The cells of the sheet that are taken."""
        wide, high = bench.usable(self.stock)
        nx, ny = -(-wide // cell), -(-high // cell)
        taken: Bools = np.zeros((nx, ny), dtype=np.bool_)
        room = box(0, 0, nx * cell, ny * cell)
        for polygon in self.polygons:
            lying = _lying(polygon, bench.stocks[self.stock], bench.edge)
            for piece in _polygons(widened(lying, bench.gap).intersection(room)):
                rings = [
                    np.rint(np.asarray(ring.coords[:-1])).astype(np.int64)
                    for ring in (piece.exterior, *piece.interiors)
                ]
                taken |= covered(rings, nx=nx, ny=ny, cell=cell)
        return taken


@dataclass(frozen=True)
class OwnPlaces:
    """Sheets that the designer began, which copies lie on them, and what could not be taken."""

    sheets: tuple[OwnSheet, ...]
    copies: frozenset[tuple[str, int]]
    refused: tuple[LeftOut, ...]


def places_of(file: DesignFile) -> tuple[OwnPlacement, ...]:
    """The places that a design's file gives."""
    return tuple(
        OwnPlacement(
            stock=place.stock,
            sheet=place.sheet,
            key=place.part,
            x=place.x,
            y=place.y,
            angle=place.angle,
            mirrored=place.mirrored,
        )
        for place in file.nesting.places
    )


def strangers(file: DesignFile, parts: Sequence[FlatPart]) -> tuple[str, ...]:
    """Places of the file for parts that there are none of, each with the nearest key there is."""
    keys = sorted(part.key for part in parts)
    found = []
    for name in dict.fromkeys(place.part for place in file.nesting.places):
        if name not in keys:
            near = nearest_name(name, keys)
            found.append(f'no part "{name}"' + (f', perhaps "{near}"' if near else ""))
    return tuple(found)


def own_places(
    parts: Sequence[FlatPart], stocks: Sequence[StockSheet], own: Sequence[OwnPlacement]
) -> OwnPlaces:
    """Sort the designer's places by sheet.

    Args:
        parts: Of one material.
        stocks: That serve it.
        own: Of these parts; others are not looked at.

    Returns:
        The places. A stock that does not serve the part, and more places than copies, are refused
        and said so; overlaps and overhangs are taken, for the proof of the layout to tell.
    """
    by_key = {part.key: part for part in parts}
    names = [stock.name for stock in stocks]
    given: dict[tuple[int, int], list[Placement]] = {}
    refused: list[LeftOut] = []
    used: Counter[tuple[str, bool]] = Counter()
    for place in own:
        if place.key not in by_key:
            continue
        part, hand = by_key[place.key], (place.key, place.mirrored)
        if place.stock not in names:
            why = f'its own place is on "{place.stock}", which is no stock of its material'
            refused.append(LeftOut(part.key, part.name, 0, why))
        elif used[hand] >= (part.mirrored if place.mirrored else part.count):
            why = "it has more places of its own than copies"
            refused.append(LeftOut(part.key, part.name, 0, why))
        else:
            used[hand] += 1
            copy = used[hand] + (part.count if place.mirrored else 0)
            given.setdefault((names.index(place.stock), place.sheet), []).append(
                Placement(place.key, copy, place.mirrored, place.x, place.y, place.angle)
            )
    sheets = tuple(
        OwnSheet(stock, tuple(places), tuple(_polygon(by_key[p.key], p) for p in places))
        for (stock, _), places in sorted(given.items())
    )
    copies = frozenset((p.key, p.copy) for sheet in sheets for p in sheet.placements)
    return OwnPlaces(sheets, copies, tuple(refused))


def _polygon(part: FlatPart, place: Placement) -> Polygon:
    outline, *holes = (
        placed(ring, x=place.x, y=place.y, angle=place.angle, flip=place.mirrored)
        for ring in (part.outline, *part.holes)
    )
    return Polygon(outline, holes)


def _lying(polygon: Polygon, stock: StockSheet, edge: int) -> Polygon:
    """A part on a sheet as the grid sees it: in micrometres, the longer side along x."""
    if upright(stock):
        matrix = (0, MICRO, -MICRO, 0, -edge, stock.width * MICRO - edge)
    else:
        matrix = (MICRO, 0, 0, MICRO, -edge, -edge)
    return affine_transform(polygon, matrix)


def _polygons(shape: object) -> list[Polygon]:
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    if isinstance(shape, MultiPolygon | GeometryCollection):
        return [piece for part in shape.geoms for piece in _polygons(part)]
    return []
