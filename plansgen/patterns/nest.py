"""Nesting: flat parts laid on the stock sheets that people buy.

The same on every machine: places are found on whole cells (:mod:`plansgen.patterns.filling`), and
the number of tries depends on the parts alone, never on a clock.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from plansgen.patterns.attitudes import MICRO, Attitude, attitudes, micrometres
from plansgen.patterns.filling import Bench, Filled, Piece
from plansgen.patterns.flat import FlatPart, lengths_by_kind, placed
from plansgen.patterns.layout import (
    LeftOut,
    MaterialSheets,
    NestedSheet,
    Nesting,
    OwnPlacement,
    Placement,
)
from plansgen.patterns.own import OwnPlaces, own_places
from plansgen.patterns.stock import StockSheet, serving
from plansgen.patterns.tries import best_filling

GAP = 0.002
"""Usual distance between parts: room for a blade, and for a hand that wanders. [m]"""

MARGIN = 0.005
"""Usual distance to the sheet's edge, which is often dented. [m]"""

MOST_PIECES = 1000
"""More copies of a part than this are left out, and said to be."""


def nest(
    parts: Sequence[FlatPart],
    stocks: Sequence[StockSheet],
    *,
    gap: float = GAP,
    margin: float = MARGIN,
    own: Sequence[OwnPlacement] = (),
) -> Nesting:
    """Lay every copy of every part on stock sheets of its material and thickness.

    Args:
        parts: Sound ones (:func:`plansgen.patterns.flat.faults`), with different keys.
        stocks: With different names. Where several serve, each is tried as the one to open first;
            the layout of the least price wins, or of the least area where a price is missing.
        gap: Least distance between parts. [m]
        margin: Least distance to a sheet's edge. [m]
        own: The designer's own places, taken as they are; the rest is laid around them.

    Returns:
        The sheets, by material in the order of the parts; parts that lie on none are named in
        ``left_out``.
    """
    sheets: list[NestedSheet] = []
    left_out: list[LeftOut] = []
    materials: list[MaterialSheets] = []
    own_copies: set[tuple[str, int]] = set()
    for material, thickness in dict.fromkeys((p.material, p.thickness) for p in parts):
        group = {p.key: p for p in parts if (p.material, p.thickness) == (material, thickness)}
        serves = serving(stocks, material, thickness)
        bench = Bench(serves, micrometres(gap), micrometres(margin))
        places = own_places(list(group.values()), serves, own)
        pieces, missing = _pieces(group.values(), bench, places)
        left_out.extend((*places.refused, *missing))
        own_copies |= places.copies
        bound = _area_bound(pieces, group, bench, places)
        filled, cell = best_filling(pieces, bench, places.sheets, bound=bound)
        laid = [_finished(n, sheet, bench, group, places) for n, sheet in enumerate(filled)]
        sheets.extend(laid)
        if laid:
            used = MaterialSheets(material, thickness, len(laid), bound, cell / MICRO)
            materials.append(used)
    return Nesting(
        tuple(sheets), tuple(left_out), tuple(materials), gap, margin, tuple(sorted(own_copies))
    )


def _pieces(
    parts: Iterable[FlatPart], bench: Bench, places: OwnPlaces
) -> tuple[list[Piece], list[LeftOut]]:
    """Every copy that is still to be laid, and those that cannot be."""
    pieces: list[Piece] = []
    left_out: list[LeftOut] = []
    for part in parts:
        for mirrored, count in ((False, part.count), (True, part.mirrored)):
            first = 1 + (part.count if mirrored else 0)
            copies = [
                copy
                for copy in range(first, first + min(count, MOST_PIECES))
                if (part.key, copy) not in places.copies
            ]
            if count > MOST_PIECES:
                why = f"only {MOST_PIECES} copies of a part are laid out"
                left_out.append(LeftOut(part.key, part.name, count - MOST_PIECES, why))
            if not copies:
                continue
            ways = _ways(part, bench, mirrored=mirrored)
            fitting = {n: fits for n, all_ in ways.items() if (fits := _holding(bench, n, all_))}
            if fitting:
                pieces.extend(Piece(part, c, mirrored, fitting, part.area) for c in copies)
            else:
                left_out.append(LeftOut(part.key, part.name, len(copies), _why(part, bench, ways)))
    return pieces, left_out


Ways = Mapping[int, tuple[Attitude, ...]]


def _ways(part: FlatPart, bench: Bench, *, mirrored: bool) -> Ways:
    return {
        number: attitudes(part, stock, mirrored=mirrored, gap=bench.gap / MICRO)
        for number, stock in enumerate(bench.stocks)
    }


def _holding(bench: Bench, stock: int, ways: tuple[Attitude, ...]) -> tuple[Attitude, ...]:
    return tuple(attitude for attitude in ways if bench.holds(stock, attitude))


def _why(part: FlatPart, bench: Bench, ways: Ways) -> str:
    """Why a part fits no stock, with its size as it would have to lie."""
    if not ways:
        return f"the design has no stock sheet of {part.material}"
    least = min((a.extent for all_ in ways.values() for a in all_), key=lambda e: (max(e), min(e)))
    long, short = sorted((side - 2 * ((bench.gap + 1) // 2)) / 1000 for side in least)[::-1]
    rooms = (bench.usable(number) for number in range(len(bench.stocks)))
    given = sorted({tuple((side - bench.gap) / 1000 for side in room) for room in rooms})
    room = " or ".join(f"{a:.0f} × {b:.0f} mm" for a, b in given)
    along = ", along the grain" if part.grain is not None else ""
    return f"it needs {long:.0f} × {short:.0f} mm{along}; inside the margins a sheet has {room}"


def _area_bound(
    pieces: Sequence[Piece], parts: Mapping[str, FlatPart], bench: Bench, places: OwnPlaces
) -> int:
    """Sheets that the area alone needs: parts with half the gap all round, on the largest stock."""
    if not bench.stocks:
        return 0
    copies = Counter(piece.part.key for piece in pieces) + Counter(k for k, _ in places.copies)
    # Rounded corners, with chords inside the arc: no more than parts really keep to themselves.
    half = bench.gap / 2 / MICRO
    area = sum(parts[key].polygon.buffer(half).area * count for key, count in copies.items())
    rooms = (bench.usable(number) for number in range(len(bench.stocks)))
    largest = max((a * b for a, b in rooms if min(a, b) > 0), default=0)
    return math.ceil(area * MICRO**2 / largest - 1e-9) if largest else 0


def _finished(
    number: int, filled: Filled, bench: Bench, parts: Mapping[str, FlatPart], places: OwnPlaces
) -> NestedSheet:
    """A filled sheet in metres, the designer's places first."""
    stock, cell = bench.stocks[filled.stock], filled.grid.cell
    own = places.sheets[number].placements if number < len(places.sheets) else ()
    placements = list(own)
    for piece, attitude, column, row in filled.laid:
        corner = bench.edge + column * cell, bench.edge + row * cell
        x, y = attitude.origin(*corner, stock)
        placements.append(
            Placement(piece.part.key, piece.copy, piece.mirrored, x, y, attitude.angle)
        )
    laid = [parts[placement.key] for placement in placements]
    return NestedSheet(
        stock=stock,
        placements=tuple(placements),
        used=sum(part.area for part in laid),
        cut=sum(lengths_by_kind(part)["cut"] for part in laid),
        reach=_reach(stock, placements, parts),
    )


def _reach(
    stock: StockSheet, placements: Iterable[Placement], parts: Mapping[str, FlatPart]
) -> float:
    """How far along the longer side, from the end where filling began, parts lie. [m]"""
    points = [
        point
        for p in placements
        for point in placed(parts[p.key].outline, x=p.x, y=p.y, angle=p.angle, flip=p.mirrored)
    ]
    return max(y if stock.height > stock.width else x for x, y in points)
