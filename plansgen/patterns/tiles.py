"""Cutting a drawing larger than the paper into tiles.

Millimetres. A tile's window is all it shows; its core is what remains when the pages have been cut
at the middle of their overlaps, so that cores cover the plane once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely import Polygon, STRtree, box

from plansgen.library.printing import TRUE, Printer
from plansgen.library.tables import paper_sizes
from plansgen.patterns.sheets import Sheet

OVERLAP = 10.0
"""How much of the neighbour's drawing a page repeats. [mm]"""
EDGE = 2.0
"""Room around the drawing, so that no line lies on the edge of a page. [mm]"""
LONGEST = 5000.0
"""Longest page that every PDF reader shows: 14 400 pt, rounded down. [mm]"""
BAR_STRIP = 9.0
"""Room for the upright check bar at the left. [mm]"""
FOOT_STRIP = 27.0
"""Room for names and check bars at the foot. [mm]"""

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Paper:
    """Paper as it lies in the printer, portrait.

    Attributes:
        name: What it is called.
        width: Shorter side. [mm]
        height: Longer side; the longest page for a roll. [mm]
        margin: What the printer cannot reach, on all sides. [mm]
        roll: Whether a page is as long as the drawing needs.
    """

    name: str
    width: float
    height: float
    margin: float = 5.0
    roll: bool = False

    @property
    def landscape(self) -> Paper:
        """The paper turned by a quarter."""
        return replace(self, width=self.height, height=self.width)


@dataclass(frozen=True)
class Correction:
    """How much larger to draw, because the printer prints too small: one factor a direction.

    x: along the shorter side of the paper, as it goes through the printer; y: along the longer.
    Of a tiling they are those of its pages: level and upright.

    Raises:
        ValueError: a factor outside 0.9 to 1.1, which is a wrong print setting and not a printer.
    """

    x: float = 1.0
    y: float = 1.0

    def __post_init__(self) -> None:
        for name, factor in (("across", self.x), ("along", self.y)):
            if not 0.9 <= factor <= 1.1:
                raise ValueError(
                    f"printer correction {name} is {factor:g}, but must be from 0.9 to 1.1; "
                    "first print at 100 %, without fitting to the page"
                )

    @property
    def turned(self) -> Correction:
        """The same for pages that lie on their side."""
        return Correction(self.y, self.x)


def correction_for(printer: Printer) -> Correction:
    """What makes a printer's pages true."""
    return Correction(TRUE / printer.across, TRUE / printer.along)


@dataclass(frozen=True)
class Tile:
    """One page's part of a drawing; windows and cores in drawing millimetres.

    Attributes:
        name: Column letter and row number, A1 at the upper left.
        column: From 0 at the left.
        row: From 0 at the top.
        window: What the page shows.
        core: What it keeps when joined to its neighbours.
        pieces: Indices of the pieces on it.
    """

    name: str
    column: int
    row: int
    window: Box
    core: Box
    pieces: tuple[int, ...]


@dataclass(frozen=True)
class Tiling:
    """How a drawing is cut.

    Attributes:
        paper: As it lies: width and height are those of every page.
        columns: Of the whole grid.
        rows: Of the whole grid.
        tiles: Those that show something, row by row.
        empty: Names of those left out because nothing is on them.
        origin: Where a tile's window starts on its page. [mm]
        overlap: Of neighbouring windows. [mm]
        correction: Of the printer, as its pages lie.
    """

    paper: Paper
    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    empty: tuple[str, ...]
    origin: tuple[float, float]
    overlap: float
    correction: Correction


def papers() -> dict[str, Paper]:
    """Papers by id: A4, A3 and Letter sheets, and rolls of 594, 610 and 914 mm."""
    sizes = paper_sizes()
    found = {
        key: Paper(sizes[key].name, sizes[key].width * 1000, sizes[key].height * 1000)
        for key in ("a4", "letter", "a3")
    }
    for wide in (594, 610, 914):
        found[f"roll-{wide}"] = Paper(f"{wide} mm roll", float(wide), LONGEST, roll=True)
    return found


def tile(
    sheet: Sheet,
    paper: Paper,
    *,
    overlap: float = OVERLAP,
    correction: Correction | None = None,
) -> Tiling:
    """Cut a drawing into as few pages as the paper allows, portrait or landscape.

    Args:
        sheet: What is drawn.
        paper: Portrait.
        overlap: Of neighbouring pages. [mm]
        correction: Of the printer; none by default.

    Raises:
        ValueError: the overlap is negative or leaves nothing of a page.
    """
    correction = correction or Correction()
    tries = [
        _tiling(sheet, paper, overlap, correction),
        _tiling(sheet, paper.landscape, overlap, correction.turned),
    ]
    return min(tries, key=lambda t: (len(t.tiles), t.paper.width * t.paper.height))


def full_name(number: int, tile: Tile | str) -> str:
    """Name of a tile in a set: the sheet's number, when there are several, and the tile's."""
    name = tile if isinstance(tile, str) else tile.name
    return f"{number}.{name}" if number else name


def _tiling(sheet: Sheet, paper: Paper, overlap: float, correction: Correction) -> Tiling:
    west, south, east, north = (1000 * side for side in sheet.bounds)
    need = (east - west + 2 * EDGE, north - south + 2 * EDGE)
    paper = _cut_to_length(paper, need, correction) if paper.roll else paper
    room = _room(paper)
    size = (room[0] / correction.x, room[1] / correction.y)
    if not 0 <= overlap < min(size) / 2:
        raise ValueError(
            f"overlap is {overlap:g} mm, but must be from 0 to less than {min(size) / 2:.0f} mm, "
            f"half of what {paper.name} shows"
        )
    columns, rows = (_count(n, s, overlap) for n, s in zip(need, size, strict=True))
    pitch = (size[0] - overlap, size[1] - overlap)
    # What is left over goes to both sides alike.
    left = (west + east - columns * pitch[0] - overlap) / 2
    top = (south + north + rows * pitch[1] + overlap) / 2
    shapes = [_in_mm(piece.part.outline) for piece in sheet.pieces]
    tree = STRtree(shapes)
    tiles, empty = [], []
    for row in range(rows):
        for column in range(columns):
            x, y = left + column * pitch[0], top - row * pitch[1]
            window = (x, y - size[1], x + size[0], y)
            core = _core(window, overlap, (column, row), (columns, rows))
            name = f"{_letters(column)}{row + 1}"
            on_it = tuple(sorted(int(i) for i in tree.query(box(*core), predicate="intersects")))
            if on_it:
                tiles.append(Tile(name, column, row, window, core, on_it))
            else:
                empty.append(name)
    origin = (paper.margin + BAR_STRIP, paper.margin + FOOT_STRIP)
    return Tiling(paper, columns, rows, tuple(tiles), tuple(empty), origin, overlap, correction)


def _in_mm(outline: tuple[tuple[float, float], ...]) -> Polygon:
    return Polygon([(1000 * x, 1000 * y) for x, y in outline])


def _room(paper: Paper) -> tuple[float, float]:
    """What a page can show of a drawing: the printable area less the strips. [mm]"""
    return (
        paper.width - 2 * paper.margin - BAR_STRIP,
        paper.height - 2 * paper.margin - FOOT_STRIP,
    )


def _cut_to_length(paper: Paper, need: tuple[float, float], correction: Correction) -> Paper:
    """The page as long as the drawing, in whole millimetres, with room for the check bars."""
    upright = paper.width < paper.height
    if upright:
        long = need[1] * correction.y + 2 * paper.margin + FOOT_STRIP
    else:
        long = need[0] * correction.x + 2 * paper.margin + BAR_STRIP
    long = min(max(float(math.ceil(long + 1)), 210.0), LONGEST)
    return replace(paper, height=long) if upright else replace(paper, width=long)


def _count(need: float, size: float, overlap: float) -> int:
    return max(1, math.ceil((need - overlap) / (size - overlap) - 1e-9))


def _core(window: Box, overlap: float, place: tuple[int, int], grid: tuple[int, int]) -> Box:
    """The window less half the overlap on every side that has a neighbour."""
    half = overlap / 2
    (column, row), (columns, rows) = place, grid
    return (
        window[0] + (half if column else 0.0),
        window[1] + (half if row < rows - 1 else 0.0),
        window[2] - (half if column < columns - 1 else 0.0),
        window[3] - (half if row else 0.0),
    )


def _letters(index: int) -> str:
    """A to Z, then AA, AB and on."""
    name = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(65 + rest) + name
    return name
