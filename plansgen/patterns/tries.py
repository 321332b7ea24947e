"""The few tries of nesting, and which of them is best. How many there are, the parts alone say."""

from __future__ import annotations

import math
from collections.abc import Sequence

from plansgen.patterns.attitudes import MICRO, Shapes
from plansgen.patterns.filling import (
    MEAN,
    SOONEST_BEGUN,
    SOONEST_ENDED,
    Bench,
    Filled,
    Piece,
    Rule,
    fill,
)
from plansgen.patterns.own import OwnSheet

_CELLS = (1000, 2000, 5000, 10_000, 20_000, 50_000)  # sides [µm]
_MOST_CELLS = 2_000_000  # of one sheet
_FINE = 500  # µm
_OTHER_RULES = (SOONEST_BEGUN, SOONEST_ENDED)
_TRIED = 50  # pieces in all by other rules
_HOPE = 4  # times the area lost by rounding up, each side by half a cell


def best_filling(
    pieces: Sequence[Piece], bench: Bench, own: Sequence[OwnSheet], *, bound: int
) -> tuple[list[Filled], int]:
    """Lay pieces on sheets that the designer began and on new ones.

    Each stock is tried as the first to open, on cells of 1 mm. Where the area leaves hope for
    fewer sheets, few pieces are tried by other rules, and pieces that are no whole cells on finer
    cells. Last, each new sheet is exchanged for the cheapest stock that holds its pieces.

    Args:
        pieces: Each fits at least one stock.
        bench: Stocks, gap and margin.
        own: Sheets with places already taken; they come first in the result.
        bound: Sheets that the area alone needs.

    Returns:
        The sheets, and the side of their cells [µm]. Empty when there is nothing to lay.
    """
    cell = next((c for c in _CELLS if _cells(bench, c) <= _MOST_CELLS), _CELLS[-1])
    if not pieces and not own:
        return [], cell
    shapes = Shapes(cell)
    best = _best_of(pieces, bench, own, shapes, MEAN, limit=len(own) + len(pieces))
    least = max(bound, len(own))
    for rule in _OTHER_RULES[: _TRIED // max(len(pieces), 1)]:
        if len(best) > least:
            # With one size of sheet only fewer of them are better: give up at the last but one.
            fewer = len(best) - (len(bench.stocks) == 1)
            other = _best_of(pieces, bench, own, shapes, rule, limit=fewer)
            best = min(best, other or best, key=lambda sheets: _cost(bench, sheets))
    if len(best) > least:
        fine = _finer(pieces, bench, cell, least=min(map(_area, best)))
        finer = []
        if fine:
            finer = _best_of(pieces, bench, own, Shapes(fine), MEAN, limit=len(best) - 1)
        if finer and _cost(bench, finer) < _cost(bench, best):
            best, cell = finer, fine
    begun = len(own)
    return [*best[:begun], *(_cheapest(sheet, bench) for sheet in best[begun:])], cell


def _best_of(
    pieces: Sequence[Piece],
    bench: Bench,
    own: Sequence[OwnSheet],
    shapes: Shapes,
    rule: Rule,
    *,
    limit: int,
) -> list[Filled]:
    """The best with each stock as the first to open; empty when the limit never does."""
    taken = [(sheet.stock, sheet.cells(bench, shapes.cell)) for sheet in own]
    tries = (
        fill(pieces, bench, shapes=shapes, ranking=order, taken=taken, limit=limit, rule=rule)
        for order in _rankings(bench)
    )
    done = [sheets for sheets in tries if sheets is not None]
    return min(done, key=lambda sheets: _cost(bench, sheets), default=[])


def _rankings(bench: Bench) -> list[list[int]]:
    """Orders to open the stocks in: by worth, then each of the others first."""
    order = sorted(range(len(bench.stocks)), key=lambda number: _worth(bench, number))
    return [[first, *(number for number in order if number != first)] for first in order]


def _worth(bench: Bench, number: int) -> tuple[float, float]:
    stock = bench.stocks[number]
    return _price(bench, number) / stock.area, -stock.area


def _price(bench: Bench, number: int) -> float:
    """What a sheet costs; its area, where not all stocks have a price in one currency."""
    prices = [stock.price for stock in bench.stocks]
    price = prices[number]
    if price is None or None in prices or len({stock.currency for stock in bench.stocks}) > 1:
        return bench.stocks[number].area
    return price


def _cost(bench: Bench, sheets: Sequence[Filled]) -> tuple[int, int, int]:
    """What a layout costs, in millionths; then sheets; then how far the last one is used."""
    money = sum(_price(bench, sheet.stock) for sheet in sheets)
    return round(money * 1_000_000), len(sheets), sheets[-1].reach if sheets else 0


def _cheapest(sheet: Filled, bench: Bench) -> Filled:
    """A sheet's pieces on the cheapest stock that holds them all."""
    pieces = [piece for piece, *_ in sheet.laid]
    best = sheet
    for number in range(len(bench.stocks)):
        cheaper = _price(bench, number) < _price(bench, best.stock)
        if cheaper and all(number in piece.attitudes for piece in pieces):
            shapes = Shapes(sheet.grid.cell)
            tried = fill(pieces, bench, shapes=shapes, ranking=[number], limit=1)
            best = tried[0] if tried else best
    return best


def _cells(bench: Bench, cell: int) -> int:
    """Cells of the largest stock."""
    rooms = (bench.usable(number) for number in range(len(bench.stocks)))
    return max(((a // cell + 1) * (b // cell + 1) for a, b in rooms), default=0)


def _area(sheet: Filled) -> float:
    """Of the parts on a sheet. [m²]"""
    return sum(piece.area for piece, *_ in sheet.laid)


def _finer(pieces: Sequence[Piece], bench: Bench, coarse: int, *, least: float) -> int:
    """A finer cell that could save a sheet; 0 when none is worth the try.

    A whole part of the greatest common divisor of all sizes, half gaps included, fits them exactly.
    Where that is tiny, half a millimetre is worth a try when the emptiest sheet (``least``, its
    parts' area [m²]) holds little more than what is lost by rounding up.
    """
    ways = [ways for piece in pieces for ways in piece.attitudes.values()]
    common = math.gcd(*(side for all_ in ways for a in all_ for side in a.extent))
    if common == 0 or common % coarse == 0:
        return 0
    whole = (common // n for n in range(1, 200) if common % n == 0)
    fine = next((side for side in whole if side < coarse), 0)
    if fine < _FINE // 2:
        lost = sum(coarse * sum(piece.extent) for piece in pieces) / MICRO**2
        fine = _FINE if least < _HOPE * lost else 0
    return fine if 0 < fine < coarse and _cells(bench, fine) <= 4 * _MOST_CELLS else 0
