"""Pages of a tiled drawing: the tiles with their bars and marks.

Page millimetres from the lower left corner. Everything lies inside the printable area.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import shapely
from shapely import Polygon

from plansgen.patterns import typeface
from plansgen.patterns.ink import Item, Page, Stroke, Words
from plansgen.patterns.joins import join_marks
from plansgen.patterns.linework import operation_strokes, outline_strokes
from plansgen.patterns.looks import NARROW, WIDE
from plansgen.patterns.marking import mark_pieces
from plansgen.patterns.room import SMALL, TEXT, Markings, Region
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.tiles import (
    BAR_STRIP,
    FOOT_STRIP,
    Correction,
    Paper,
    Tile,
    Tiling,
    full_name,
)


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


MakePage = Callable[[Title, Numbering], Page]
"""A page that only waits for what it is called and where it comes to stand in its file."""


def tile_page(
    sheet: Sheet, tiling: Tiling, tile: Tile, homes: frozenset[int], *, number: int
) -> tuple[MakePage, Markings]:
    """One tile as a page.

    Args:
        sheet: The drawing.
        tiling: How it is cut.
        tile: Which part of it.
        homes: Its own among :func:`homes_of`.
        number: Of the sheet in its set, 0 when it is alone.

    Returns:
        The page, waiting for its place in a file, and which words found room on it.
    """
    numbered = [(index + 1, sheet.pieces[index]) for index in tile.pieces]
    joins = join_marks(sheet, tiling, tile, number)
    taken = [Polygon(item.box) for item in joins if isinstance(item, Words)]
    taken += [Polygon(s.points) for s in joins if isinstance(s, Stroke) and s.closed]
    region = Region(_inner(tile.core), homes)
    marks = mark_pieces(numbered, region, taken=taken)
    drawing: list[Item] = []
    for _, piece in numbered:
        drawing += operation_strokes(piece.part, tile.window)
        drawing += outline_strokes(piece.part, tile.window)
    drawing += [*joins, *marks.items]
    items = (
        *(_to_page(item, tiling, tile) for item in drawing),
        *furniture(tiling.paper, tiling.correction),
    )
    name = full_name(number, tile)
    return partial(_footed, items, sheet, tile, tiling.paper, name), marks


def _footed(
    items: tuple[Item, ...],
    sheet: Sheet,
    tile: Tile,
    paper: Paper,
    name: str,
    title: Title,
    numbering: Numbering,
) -> Page:
    names = _names_on(sheet, tile)
    below = foot(paper, title, numbering, heading=name, sheet=sheet.name, text=names)
    return Page(paper.width, paper.height, (*items, *below), f"{name} {sheet.name}")


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
    items += _bar((left + 1.0, low + 9.2), 10 * [10.0], (correction.x, 0.0))
    items.append(Words(left + 1.0, low + 12.2, "100 mm: measure this bar", SMALL))
    items += _bar((left + 1.0, low + 1.6), 4 * [25.4], (correction.x, 0.0))
    items.append(Words(left + 1.0, low + 4.8, "4 in", SMALL))
    up = paper.margin + FOOT_STRIP + 1.0
    items += _bar((paper.margin + 5.5, up), 10 * [10.0], (0.0, correction.y))
    items.append(Words(paper.margin + 3.2, up, "100 mm", SMALL, 90.0))
    if (correction.x, correction.y) != (1.0, 1.0):
        text = (
            f"for one printer only: drawn × {correction.x:.4g} level, × {correction.y:.4g} upright"
        )
        items.append(Words(paper.margin + 3.2, up + 14.0, text, SMALL, 90.0))
    return items


def foot(
    paper: Paper, title: Title, numbering: Numbering, *, heading: str, sheet: str, text: str
) -> list[Item]:
    """Names at the foot of a page: what it shows, the design, the place of the page."""
    left, right = paper.margin + BAR_STRIP + 1.0, paper.width - paper.margin - 1.0
    low = paper.margin
    items: list[Item] = list(_block(text, left, right, low + FOOT_STRIP - 4.0))
    side = left + 116.0
    room = right - side
    revision = f"{title.design}, {title.revision}" if title.revision else title.design
    items.append(
        Words(side, low + 14.0, typeface.fit(heading, room, 3.5, bold=True), 3.5, bold=True)
    )
    for y, words in ((9.6, sheet), (5.6, revision), (1.6, f"{numbering}, {title.fingerprint}")):
        small = typeface.width(typeface.clean(words), TEXT) > room
        height = SMALL if small else TEXT
        items.append(Words(side, low + y, typeface.fit(words, room, height), height))
    return items


def _block(text: str, left: float, right: float, top: float) -> list[Words]:
    """Two lines, or three small ones, cut with a word of warning where even they are too few."""
    room = right - left
    height, pitch, most = TEXT, 4.2, 2
    lines = typeface.wrap(text, room, height)
    if len(lines) > most:
        height, pitch, most = SMALL, 2.9, 3
        lines = typeface.wrap(text, room, height)
    if len(lines) > most:
        end = " and more, see the page map"
        short = room - typeface.width("…" + end, height)
        lines = [*lines[: most - 1], typeface.fit(lines[most - 1], short, height) + end]
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


def _to_page(item: Item, tiling: Tiling, tile: Tile) -> Item:
    """From drawing millimetres to those of the page, corrected for the printer."""
    (ox, oy), (wx, wy) = tiling.origin, tile.window[:2]
    fx, fy = tiling.correction.x, tiling.correction.y
    if isinstance(item, Words):
        return replace(item, x=ox + (item.x - wx) * fx, y=oy + (item.y - wy) * fy)
    points = tuple((ox + (x - wx) * fx, oy + (y - wy) * fy) for x, y in item.points)
    return replace(item, points=points)
