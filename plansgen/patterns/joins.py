"""Where pages are cut and how they meet: trim marks, and diamonds with the neighbour's letters.

Drawing millimetres. Both pages of a join find the same places for its diamonds.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from plansgen.patterns.ink import Item, Stroke, Words
from plansgen.patterns.linework import operation_strokes, outline_strokes
from plansgen.patterns.looks import NARROW
from plansgen.patterns.room import TEXT
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.tiles import Tile, Tiling, full_name

_DIAMOND = 3.0  # half a join mark [mm]
_TRIM = 4.0  # half a trim mark [mm]
_TRIM_LINE = (8.0, 2.0, 0.3, 2.0)
_REACH = 18.0  # a join mark with the longest usual name beside it [mm]
_SHARES = ((0.2, 0.14, 0.26, 0.08, 0.32, 0.38), (0.8, 0.86, 0.74, 0.92, 0.68, 0.62))


def join_marks(sheet: Sheet, tiling: Tiling, tile: Tile, number: int) -> list[Item]:
    """What joins a tile to its neighbours: a thin line, diamonds on it, names beside them.

    Args:
        sheet: The drawing.
        tiling: How it is cut.
        tile: Whose marks.
        number: Of the drawing in its set, 0 when it is alone.
    """
    west, south, east, north = tile.core
    edges = {
        "left": ((west, south), (west, north)),
        "right": ((east, south), (east, north)),
        "up": ((west, north), (east, north)),
        "down": ((west, south), (east, south)),
    }
    neighbours = _neighbours(tiling, tile)
    near = _near(sheet, tile) if neighbours else ()
    lines = shapely.union_all([_line(stroke) for stroke in near])
    items: list[Item] = []
    for side, other in neighbours:
        a, b = edges[side]
        items.append(Stroke((a, b), 0.13, _TRIM_LINE, grey=0.4))
        for shares in _SHARES:
            places = [_along(a, b, share) for share in shares]
            crossed = [_crossed(_room(x, y, side), lines) for x, y in places]
            x, y = places[crossed.index(min(crossed))]
            items += _diamond(x, y, side, full_name(number, other), tiling.overlap)
    return [*items, *_trim_marks(tile)]


def _near(sheet: Sheet, tile: Tile) -> Iterator[Stroke]:
    """Lines of all pieces in and around a tile, the same for both neighbours of an edge."""
    west, south, east, north = tile.core
    around = (west - _REACH, south - _REACH, east + _REACH, north + _REACH)
    for piece in sheet.pieces:
        yield from outline_strokes(piece.part, around)
        yield from operation_strokes(piece.part, around)


def _line(stroke: Stroke) -> LineString:
    return LineString([*stroke.points, stroke.points[0]] if stroke.closed else stroke.points)


def _along(a: tuple[float, float], b: tuple[float, float], share: float) -> tuple[float, float]:
    # Rounded, so that the last bit of a coordinate cannot make two pages disagree.
    return round(a[0] + share * (b[0] - a[0]), 6), round(a[1] + share * (b[1] - a[1]), 6)


def _crossed(room: Polygon, lines: BaseGeometry) -> float:
    """Length of lines in the room, rounded for the same reason. [mm]"""
    return round(float(shapely.length(shapely.intersection(room, lines))), 3)


def _room(x: float, y: float, side: str) -> Polygon:
    """What a join mark takes with the names on both of its sides, so that both pages agree."""
    if side in ("left", "right"):
        return shapely.box(x - _REACH, y - _DIAMOND - 0.5, x + _REACH, y + _DIAMOND + 0.5)
    wide, high = _REACH - _DIAMOND, _DIAMOND + 2 * TEXT
    return shapely.box(x - wide / 2, y - high, x + wide / 2, y + high)


def _neighbours(tiling: Tiling, tile: Tile) -> list[tuple[str, Tile]]:
    """The tiles that this one is joined to, with the side."""
    at = {(t.column, t.row): t for t in tiling.tiles}
    sides = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}
    found = ((side, at.get((tile.column + c, tile.row + r))) for side, (c, r) in sides.items())
    return [(side, other) for side, other in found if other]


def _diamond(x: float, y: float, side: str, name: str, overlap: float) -> list[Item]:
    half = min(_DIAMOND, overlap / 2) or 0.0
    items: list[Item] = []
    if half:
        points = ((x - half, y), (x, y - half), (x + half, y), (x, y + half))
        items.append(Stroke(points, NARROW, closed=True))
    # The name stands on this page's own side, where the joined neighbour does not cover it.
    gap = half + 1.0
    place = {
        "left": Words(x + gap, y - TEXT / 2, name, TEXT),
        "right": Words(x - gap, y - TEXT / 2, name, TEXT, align="right"),
        "up": Words(x, y - gap - TEXT, name, TEXT, align="center"),
        "down": Words(x, y + gap, name, TEXT, align="center"),
    }
    return [*items, place[side]]


def _trim_marks(tile: Tile) -> list[Item]:
    """Crosses at the corners of the core, as far as the window reaches."""
    west, south, east, north = tile.core
    box = tile.window
    items: list[Item] = []
    for x in (west, east):
        for y in (south, north):
            across = (max(x - _TRIM, box[0]), y), (min(x + _TRIM, box[2]), y)
            along = (x, max(y - _TRIM, box[1])), (x, min(y + _TRIM, box[3]))
            items += [Stroke(across, NARROW), Stroke(along, NARROW)]
    return items
