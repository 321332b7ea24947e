"""The page map: which page is where, what is on it, and what the lines mean."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from shapely import Polygon, box

from plansgen.patterns import typeface
from plansgen.patterns.ink import Fill, Item, Page, Stroke, Words, moved
from plansgen.patterns.linework import clipped
from plansgen.patterns.looks import LOOKS, NARROW
from plansgen.patterns.marking import how_many
from plansgen.patterns.pages import Numbering, Title, foot, furniture
from plansgen.patterns.room import TEXT, Region, number_pieces
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.tiles import BAR_STRIP, FOOT_STRIP, Box, Paper, Tiling, full_name

MakePage = Callable[[Title, Numbering], Page]

_COLUMN = 88.0  # least width of a column of words [mm]
_PITCH = 4.4  # from line to line [mm]
_SAMPLE = 24.0  # length of a line in the key [mm]
_SHORT = 297.0  # a map on a roll is no longer than this [mm]


@dataclass(frozen=True)
class _Row:
    """One line of the lists: words, and perhaps a piece of line before them."""

    text: str
    bold: bool = False
    sample: tuple[Item, ...] = ()


def map_pages(sheet: Sheet, tiling: Tiling, *, number: int) -> list[MakePage]:
    """The pages that explain a drawing's tiles, each waiting for its place in the file.

    Args:
        sheet: The drawing.
        tiling: How it is cut.
        number: Of the drawing in its set, 0 when it is alone.
    """
    paper = _map_paper(tiling.paper)
    west, south, east, north = _area(paper)
    map_high = 0.45 * (north - south)
    picture = _picture(sheet, tiling, number, (west, north - 9 - map_high, east, north - 9))
    rows = list(_rows(sheet, tiling, number, (east - west) / _columns(west, east)))
    first = _flow(rows, (west, south, east, north - 13 - map_high))
    pages = [[*picture, *next(first)]]
    pages += list(first)
    return [
        partial(
            _page,
            sheet,
            paper,
            tiling,
            tuple(items),
            name=f"Page map {number}" if number else "Page map",
        )
        for items in pages
    ]


def _map_paper(paper: Paper) -> Paper:
    if not paper.roll:
        return paper
    if paper.width < paper.height:
        return replace(paper, height=min(paper.height, _SHORT))
    return replace(paper, width=min(paper.width, _SHORT))


def _area(paper: Paper) -> Box:
    edge = paper.margin + 1.0
    low = paper.margin + FOOT_STRIP
    return edge + BAR_STRIP, low, paper.width - edge, paper.height - edge


def _page(
    sheet: Sheet,
    paper: Paper,
    tiling: Tiling,
    items: tuple[Item, ...],
    title: Title,
    numbering: Numbering,
    *,
    name: str,
) -> Page:
    west, _, east, north = _area(paper)
    heading = typeface.fit(f"Page map: {sheet.name}", east - west, 3.5, bold=True)
    text = (
        "Print at 100 %, without fitting to the page. Measure the bars before you cut: when 100 mm "
        "is not 100 mm, print again with the correction for your printer."
    )
    drawn = (
        Words(west, north - 4.0, heading, 3.5, bold=True),
        *items,
        *furniture(paper, tiling.correction),
        *foot(paper, title, numbering, heading=name, sheet=sheet.name, text=text),
    )
    return Page(paper.width, paper.height, drawn, f"{name} {sheet.name}")


def _picture(sheet: Sheet, tiling: Tiling, number: int, room: Box) -> list[Item]:
    """The drawing made small, with the grid of pages over it."""
    windows = [tile.window for tile in tiling.tiles]
    all_x = [x for w in windows for x in (w[0], w[2])]
    all_y = [y for w in windows for y in (w[1], w[3])]
    wide, high = max(all_x) - min(all_x), max(all_y) - min(all_y)
    scale = min((room[2] - room[0]) / wide, (room[3] - room[1]) / high)
    left = room[0] - scale * min(all_x)
    low = room[3] - scale * max(all_y)

    def at(x: float, y: float) -> tuple[float, float]:
        return left + scale * x, low + scale * y

    items: list[Item] = []
    shapes = []
    for index, piece in enumerate(sheet.pieces):
        outline = [at(1000 * x, 1000 * y) for x, y in piece.part.outline]
        shapes.append((index + 1, Polygon(outline)))
        items.append(Fill(tuple(outline), 0.93))
        items.append(Stroke(tuple(outline), NARROW, closed=True))
    taken = []
    for tile in tiling.tiles:
        (x0, y0), (x1, y1) = at(*tile.core[:2]), at(*tile.core[2:])
        items.append(
            Stroke(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), NARROW, (3.0, 1.0), True, 0.3)
        )
        words = Words(x0 + 1.2, y1 - 4.4, full_name(number, tile), 3.5, bold=True)
        corners = words.box
        taken.append(box(*Polygon(corners).buffer(0.3).bounds))
        items += [Fill(tuple(corners), 1.0), words]
    marks = number_pieces(shapes, Region(room, frozenset()), taken=taken)
    return [*items, *marks.items]


def _rows(sheet: Sheet, tiling: Tiling, number: int, wide: float) -> Iterator[_Row]:
    yield _Row("What the lines mean", bold=True)
    for kind, look in LOOKS.items():
        yield _Row(f"{kind}: {look.meaning}", sample=tuple(_sample(kind)))
    yield _Row("Numbers without a unit are millimetres.")
    yield _Row("")
    yield _Row("Pages", bold=True)
    for sentence in _about_pages(tiling, number):
        for line in typeface.wrap(sentence, wide - 4.0, TEXT):
            yield _Row(line)
    yield _Row("")
    yield _Row("Parts and their pages", bold=True)
    for index, piece in enumerate(sheet.pieces):
        where = [full_name(number, tile) for tile in tiling.tiles if index in tile.pieces]
        words = (f"{index + 1} {piece.part.name}", how_many(piece), " ".join(where))
        for k, line in enumerate(typeface.wrap(", ".join(filter(None, words)), wide - 8.0, TEXT)):
            yield _Row(line if k == 0 else f"   {line}")


def _about_pages(tiling: Tiling, number: int) -> Iterator[str]:
    count, grid = len(tiling.tiles), f"{tiling.columns} across, {tiling.rows} down"
    if count == 1 and not tiling.empty:
        yield f"1 page, {tiling.paper.name}; nothing to join."
        return
    yield f"{count} pages, {tiling.paper.name}, {grid}; they overlap by {tiling.overlap:g} mm."
    if tiling.empty:
        names = ", ".join(full_name(number, name) for name in tiling.empty)
        yield f"Left out because nothing is on them: {names}."
    yield (
        "To join two pages, cut one of them along the thin line through the diamonds, lay it over "
        "the other so that the diamonds meet, and tape. The letters beside a diamond name the "
        "page that joins there."
    )


def _sample(kind: str) -> Iterator[Item]:
    look = LOOKS[kind]  # type: ignore[index]
    start = 1.5 if look.crosses else 0.0
    line = [(start, 1.2), (_SAMPLE - start, 1.2)]
    yield from clipped(line, look.width, look.dash, (-1, -5, _SAMPLE + 1, 5))
    if look.ticks:
        for k in range(4):
            yield Stroke(((2.5 + 6 * k, 0.3), (3.5 + 6 * k, 2.1)), NARROW)
    if look.crosses:
        for x in (start, _SAMPLE - start):
            yield Stroke(((x, -0.3), (x, 2.7)), NARROW)
            yield Stroke(((x - 1.5, 1.2), (x + 1.5, 1.2)), NARROW)
    if look.hatched:
        for k in range(8):
            yield Stroke(((1 + 3 * k, -0.2), (2.4 + 3 * k, 1.2)), NARROW)


def _columns(west: float, east: float) -> int:
    return max(1, int((east - west) // _COLUMN))


def _flow(rows: list[_Row], first: Box) -> Iterator[list[Item]]:
    """Rows down one column after another; what is left goes on further pages."""
    west, south, east, top = first
    columns = _columns(west, east)
    per_column = max(1, int((top - south) // _PITCH))
    wide = (east - west) / columns
    for start in range(0, max(1, len(rows)), per_column * columns):
        items: list[Item] = []
        for k, row in enumerate(rows[start : start + per_column * columns]):
            x = west + (k // per_column) * wide
            y = top - _PITCH * (k % per_column + 1)
            items += [moved(item, x, y) for item in row.sample]
            shift = _SAMPLE + 3.0 if row.sample else 0.0
            text = typeface.fit(row.text, wide - shift - 2.0, TEXT, bold=row.bold)
            indent = 3.0 if row.text.startswith("   ") else 0.0
            items.append(Words(x + shift + indent, y, text, TEXT, bold=row.bold))
        yield items
