"""Bottom-left fill of the sheets of one material, long parts first, on whole cells.

Method: every part in turn goes to the best place, by a rule, of all its allowed attitudes, on the
first open sheet with room for it (bottom-left fill: Baker, Coffman & Rivest 1980, SIAM J. Comput.
9:846; the raster is common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from plansgen.patterns.attitudes import Attitude, Shapes, micrometres
from plansgen.patterns.flat import FlatPart
from plansgen.patterns.raster import Bools, Grid
from plansgen.patterns.stock import StockSheet


@dataclass(frozen=True)
class Piece:
    """One copy of a part, and its attitudes on each of the stocks that it fits; never empty."""

    part: FlatPart
    copy: int
    mirrored: bool
    attitudes: dict[int, tuple[Attitude, ...]]  # by number of the stock
    area: float

    @property
    def extent(self) -> tuple[int, int]:
        """Longer and shorter side, in the attitude where the longer is least. [µm]"""
        sides = (a.extent for ways in self.attitudes.values() for a in ways)
        return min((max(side), min(side)) for side in sides)


@dataclass(frozen=True)
class Bench:
    """What a material is cut from, and how much must stay free. Lengths in micrometres."""

    stocks: tuple[StockSheet, ...]
    gap: int
    margin: int

    @property
    def edge(self) -> int:
        """From a sheet's corner to where widened parts may begin; negative with a wide gap."""
        return self.margin - (self.gap + 1) // 2

    def usable(self, stock: int) -> tuple[int, int]:
        """Longer and shorter side of the room for widened parts."""
        sheet = self.stocks[stock]
        sides = sorted((micrometres(sheet.width), micrometres(sheet.height)), reverse=True)
        return sides[0] - 2 * self.edge, sides[1] - 2 * self.edge

    def holds(self, stock: int, attitude: Attitude) -> bool:
        """Whether a part fits an empty sheet."""
        room, size = self.usable(stock), attitude.extent
        return size[0] <= room[0] and size[1] <= room[1]


@dataclass
class Filled:
    """A sheet while it is being filled: pieces with their attitude and cell."""

    stock: int
    grid: Grid
    laid: list[tuple[Piece, Attitude, int, int]] = field(default_factory=list)
    # Before this column there is no room for the attitude, and never will be.
    searched: dict[Attitude, int] = field(default_factory=dict)

    @property
    def reach(self) -> int:
        """How far along the sheet its parts go, from where they may begin. [µm]"""
        return max((x * self.grid.cell + a.extent[0] for _, a, x, _ in self.laid), default=0)


@dataclass(frozen=True)
class Rule:
    """Which place is best: that of the least 2 x + ends · width + weights · x of the centroid.

    x is the left edge, both others from there on: (0, 0) is the place that begins soonest along the
    sheet, (2, 0) the one that ends soonest, (1, 2) the mean of box and centroid. Measured on sets
    of parts of model aeroplanes, the last needs the fewest sheets. Of equals, the lowest is best,
    and then the one that lies most along the sheet.
    """

    ends: int
    weights: int

    def reach(self, attitude: Attitude) -> int:
        """What an attitude adds to 2 x. [µm]"""
        return self.ends * attitude.extent[0] + self.weights * attitude.centroid_x


MEAN = Rule(1, 2)
SOONEST_BEGUN = Rule(0, 0)
SOONEST_ENDED = Rule(2, 0)


def longest_first(piece: Piece) -> tuple[float, ...]:
    """Sort key: by half the way round the part's box, then by area."""
    return (-sum(piece.extent), -piece.area)


def fill(
    pieces: Sequence[Piece],
    bench: Bench,
    *,
    shapes: Shapes,
    ranking: Sequence[int],
    taken: Sequence[tuple[int, Bools]] = (),
    limit: int,
    rule: Rule = MEAN,
) -> list[Filled] | None:
    """Lay all pieces on as few sheets as this takes.

    Args:
        pieces: Each fits at least one of the stocks in ``ranking``.
        bench: The stocks, gap and margin.
        shapes: The attitudes on cells of one size.
        ranking: Numbers of the stocks, that to take a new sheet from first.
        taken: Sheets with places already taken: stock, and its cells.
        limit: Give up when more sheets than this are needed.
        rule: Which place is best.

    Returns:
        The sheets, or None when the limit does not do.
    """
    sheets = [_opened(bench, stock, shapes.cell, cells) for stock, cells in taken]
    for piece in sorted(pieces, key=longest_first):
        if any(_lay(piece, sheet, shapes, rule) for sheet in sheets):
            continue
        if len(sheets) >= limit:
            return None
        stock = next(number for number in ranking if number in piece.attitudes)
        sheets.append(_opened(bench, stock, shapes.cell))
        if not _lay(piece, sheets[-1], shapes, rule):
            raise AssertionError("a piece that fits its stock found no room on an empty sheet")
    return sheets


def _opened(bench: Bench, stock: int, cell: int, cells: Bools | None = None) -> Filled:
    grid = Grid(*bench.usable(stock), cell)
    if cells is not None:
        grid.block(cells)
    return Filled(stock, grid)


def _lay(piece: Piece, sheet: Filled, shapes: Shapes, rule: Rule) -> bool:
    """Put a piece where the rule likes it best; False when there is no room."""
    best: tuple[tuple[int, int, int], Attitude, int, int] | None = None
    grid = sheet.grid
    for attitude in piece.attitudes.get(sheet.stock, ()):
        start, stop = sheet.searched.get(attitude, 0), grid.room_for(attitude.extent[0]) + 1
        if best is not None:
            stop = min(stop, (best[0][0] - rule.reach(attitude)) // (2 * grid.cell) + 1)
        if start >= stop:
            continue
        found = grid.first(shapes.of(attitude), start=start, stop=stop)
        sheet.searched[attitude] = stop if found is None else found[0]
        if found is not None:
            x, y = found
            rank = (2 * x * grid.cell + rule.reach(attitude), y, -attitude.extent[0])
            if best is None or rank < best[0]:
                best = (rank, attitude, x, y)
    if best is None:
        return False
    _, attitude, x, y = best
    grid.put(shapes.of(attitude), x, y)
    sheet.laid.append((piece, attitude, x, y))
    return True
