"""Pages of a tiled drawing: the tiles with their bars and marks.

Page millimetres from the lower left corner. Everything lies inside the printable area.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import Polygon

from plansgen.patterns import typeface
from plansgen.patterns.ink import Item, Page, Stroke, Words
from plansgen.patterns.linework import operation_strokes, outline_strokes
from plansgen.patterns.looks import NARROW, WIDE
from plansgen.patterns.marking import SMALL, TEXT, Markings, Region, mark_pieces
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.tiles import BAR_STRIP, FOOT_STRIP, Correction, Paper, Tile, Tiling

_DIAMOND = 3.0  # half a join mark [mm]
_TRIM = 4.0  # half a trim mark [mm]
_TRIM_LINE = (8.0, 2.0, 0.3, 2.0)


@dataclass(frozen=True)
class Title:
    """What stands on every page.

    Attributes:
        design: Name of the design.
        revision: Its revision.
        fingerprint: Short hash of what the drawings were made from.
    """

    design: str
    revision: str
    fingerprint: str


@dataclass(frozen=True)
class Numbering:
    """Place of a page in its file."""

    page: int
    pages: int

    def __str__(self) -> str:
        return f"page {self.page} of {self.pages}"


def full_name(number: int, tile: Tile | str) -> str:
    """Name of a tile in a set: the sheet's number, when there are several, and the tile's."""
    name = tile if isinstance(tile, str) else tile.name
    return f"{number}.{name}" if number else name


def tile_page(
    sheet: Sheet,
    tiling: Tiling,
    tile: Tile,
    *,
    number: int,
    title: Title,
    numbering: Numbering,
) -> tuple[Page, list[str]]:
    """One tile as a page.

    Args:
        sheet: The drawing.
        tiling: How it is cut.
        tile: Which part of it.
        number: Of the sheet in its set, 0 when it is alone.
        title: What stands on every page.
        numbering: Place of the page in the file.

    Returns:
        The page, and the words that found no room on it.
    """
    numbered = [(index + 1, sheet.pieces[index]) for index in tile.pieces]
    joins = list(_join_marks(tiling, tile, number))
    taken = [Polygon(item.box) for item in joins if isinstance(item, Words)]
    taken += [Polygon(s.points) for s in joins if isinstance(s, Stroke) and s.closed]
    region = Region(_inner(tile.core), homes_of(sheet, tiling)[tile.name])
    marks: Markings = mark_pieces(numbered, region, taken=taken)
    drawing: list[Item] = []
    for _, piece in numbered:
        drawing += operation_strokes(piece.part, tile.window)
        drawing += outline_strokes(piece.part, tile.window)
    drawing += [*joins, *marks.items]
    name = full_name(number, tile)
    names = _names_on(sheet, tile)
    items = [
        *(_to_page(item, tiling, tile) for item in drawing),
        *furniture(tiling.paper, tiling.correction),
        *foot(tiling.paper, title, numbering, heading=f"{name}  {sheet.name}", text=names),
    ]
    return (
        Page(tiling.paper.width, tiling.paper.height, tuple(items), f"{name} {sheet.name}"),
        marks.unplaced,
    )


def homes_of(sheet: Sheet, tiling: Tiling) -> dict[str, frozenset[int]]:
    """For every tile the numbers of the pieces of which it shows more than any other tile."""
    best: dict[int, tuple[float, str]] = {}
    for tile in tiling.tiles:
        core = shapely.box(*tile.core)
        for index in tile.pieces:
            outline = Polygon([(1000 * x, 1000 * y) for x, y in sheet.pieces[index].part.outline])
            area = round(shapely.intersection(core, outline).area, 3)
            if area > best.get(index, (-1.0, ""))[0]:
                best[index] = (area, tile.name)
    return {
        tile.name: frozenset(i + 1 for i, (_, name) in best.items() if name == tile.name)
        for tile in tiling.tiles
    }


def furniture(paper: Paper, correction: Correction) -> list[Item]:
    """Check bars: 100 mm and 4 in across the page, 100 mm up its side, corrected like the rest."""
    left, low = paper.margin + BAR_STRIP, paper.margin
    items: list[Item] = []
    items += _bar((left + 1.0, low + 8.2), 10 * [10.0], (correction.x, 0.0))
    items.append(Words(left + 1.0, low + 11.4, "100 mm: measure this bar", SMALL))
    items += _bar((left + 1.0, low + 1.6), 4 * [25.4], (correction.x, 0.0))
    items.append(Words(left + 1.0, low + 4.8, "4 in", SMALL))
    up = paper.margin + FOOT_STRIP + 1.0
    items += _bar((paper.margin + 5.5, up), 10 * [10.0], (0.0, correction.y))
    items.append(Words(paper.margin + 3.2, up, "100 mm", SMALL, 90.0))
    if (correction.x, correction.y) != (1.0, 1.0):
        text = f"drawn for a printer corrected × {correction.x:g} across, × {correction.y:g} along"
        items.append(Words(paper.margin + 3.2, up + 14.0, text, SMALL, 90.0))
    return items


def foot(
    paper: Paper, title: Title, numbering: Numbering, *, heading: str, text: str
) -> list[Item]:
    """Names at the foot of a page: what it shows, the design, the place of the page."""
    left, right = paper.margin + BAR_STRIP + 1.0, paper.width - paper.margin - 1.0
    low = paper.margin
    items: list[Item] = list(_block(text, left, right, low + FOOT_STRIP - 4.0))
    side = left + 116.0
    room = right - side
    revision = f"{title.design}, {title.revision}" if title.revision else title.design
    rows = ((heading, 3.5, True), (revision, TEXT, False))
    for y, (words, height, bold) in zip((11.0, 6.4), rows, strict=True):
        items.append(Words(side, low + y, typeface.fit(words, room, height, bold=bold), height, bold=bold))
    last = typeface.fit(f"{numbering}, {title.fingerprint}", room, TEXT)
    items.append(Words(side, low + 1.6, last, TEXT))
    return items


def _block(text: str, left: float, right: float, top: float) -> list[Words]:
    """Two lines, or three small ones, cut with a word of warning where even they do not hold it."""
    for height, pitch, most in ((TEXT, 4.2, 2), (SMALL, 2.9, 3)):
        lines = typeface.wrap(text, right - left, height)
        if len(lines) <= most:
            break
    else:
        lines = lines[:most]
        end = " … and more, see the page map"
        lines[-1] = typeface.fit(lines[-1], right - left - typeface.width(end, SMALL), SMALL) + end
    return [Words(left, top - i * pitch, line, height) for i, line in enumerate(lines)]


def _names_on(sheet: Sheet, tile: Tile) -> str:
    return "On this page: " + "; ".join(
        f"{index + 1} {sheet.pieces[index].part.name}" for index in tile.pieces
    )


def _bar(
    start: tuple[float, float], steps: Sequence[float], way: tuple[float, float]
) -> list[Stroke]:
    """A scale bar: one line with strokes across at every step."""
    x, y = start
    u, v = way
    whole = sum(steps)
    strokes = [Stroke(((x, y), (x + whole * u, y + whole * v)), WIDE)]
    done = 0.0
    for k, step in enumerate((0.0, *steps)):
        done += step
        half = 1.4 if k in (0, len(steps)) else 0.8
        px, py = x + done * u, y + done * v
        across = (half if v else 0.0, half if u else 0.0)
        ends = ((px - across[0], py - across[1]), (px + across[0], py + across[1]))
        strokes.append(Stroke(ends, NARROW))
    return strokes


def _inner(core: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    return core[0] + 0.6, core[1] + 0.6, core[2] - 0.6, core[3] - 0.6


def _neighbours(tiling: Tiling, tile: Tile) -> list[tuple[str, Tile]]:
    """The tiles that this one is joined to, with the side."""
    at = {(t.column, t.row): t for t in tiling.tiles}
    sides = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}
    found = ((side, at.get((tile.column + c, tile.row + r))) for side, (c, r) in sides.items())
    return [(side, other) for side, other in found if other]


def _join_marks(tiling: Tiling, tile: Tile, number: int) -> list[Item]:
    """Where to cut and what to join: a thin line, diamonds on it, the neighbour's name beside it."""
    west, south, east, north = tile.core
    edges = {
        "left": ((west, south), (west, north)),
        "right": ((east, south), (east, north)),
        "up": ((west, north), (east, north)),
        "down": ((west, south), (east, south)),
    }
    items: list[Item] = []
    for side, other in _neighbours(tiling, tile):
        a, b = edges[side]
        items.append(Stroke((a, b), 0.13, _TRIM_LINE, grey=0.4))
        for share in (0.2, 0.8):
            x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
            items += _diamond(x, y, side, full_name(number, other), tiling.overlap)
    items += _trim_marks(tiling, tile)
    return items


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


def _trim_marks(tiling: Tiling, tile: Tile) -> list[Item]:
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


def _to_page(item: Item, tiling: Tiling, tile: Tile) -> Item:
    """From drawing millimetres to those of the page, corrected for the printer."""
    (ox, oy), (wx, wy) = tiling.origin, tile.window[:2]
    fx, fy = tiling.correction.x, tiling.correction.y
    if isinstance(item, Words):
        return replace(item, x=ox + (item.x - wx) * fx, y=oy + (item.y - wy) * fy)
    points = tuple((ox + (x - wx) * fx, oy + (y - wy) * fy) for x, y in item.points)
    return replace(item, points=points)
