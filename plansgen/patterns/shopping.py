"""What to buy: whole sheets by material, sticks, and what it costs at the designer's prices."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.patterns.layout import Nesting
from plansgen.patterns.off_the_roll import RollAmount
from plansgen.patterns.sticks import CutList
from plansgen.patterns.stock import StockSheet, StockStick


@dataclass(frozen=True)
class Purchase:
    """One line of the shopping list.

    bound: no layout needs fewer; 0 where it is not known for this size alone. price: of all of
    them, None when not known. assumed: whether the program chose the size.
    """

    name: str
    material: str
    count: int
    bound: int
    price: float | None
    currency: str
    assumed: bool


@dataclass(frozen=True)
class Total:
    """What a currency's lines cost together."""

    currency: str
    price: float


@dataclass(frozen=True)
class ShoppingList:
    """Everything to buy that parts are made from.

    unpriced: names of the lines without a price, which no total holds. rolls: what is bought by
    length or area; it has no price.
    """

    purchases: tuple[Purchase, ...]
    totals: tuple[Total, ...]
    unpriced: tuple[str, ...]
    rolls: tuple[RollAmount, ...] = ()


def shopping_list(
    nesting: Nesting,
    sticks: Sequence[tuple[StockStick, CutList]] = (),
    rolls: Sequence[RollAmount] = (),
) -> ShoppingList:
    """Add up what a layout and its cut lists need.

    Args:
        nesting: The sheets.
        sticks: Every kind of stick with what is cut from it.
        rolls: What is bought by length or area.

    Returns:
        Sheets in the order of the layout, then sticks; a total for each currency.
    """
    purchases = [*_sheets(nesting)]
    purchases.extend(
        _line(stick, len(cut.sticks), cut.bound) for stick, cut in sticks if cut.sticks
    )
    totals: dict[str, float] = {}
    for line in purchases:
        if line.price is not None:
            totals[line.currency] = totals.get(line.currency, 0.0) + line.price
    return ShoppingList(
        tuple(purchases),
        tuple(Total(currency, round(price, 2)) for currency, price in sorted(totals.items())),
        tuple(line.name for line in purchases if line.price is None),
        tuple(rolls),
    )


def _sheets(nesting: Nesting) -> list[Purchase]:
    counts: dict[StockSheet, int] = {}
    for sheet in nesting.sheets:
        counts[sheet.stock] = counts.get(sheet.stock, 0) + 1
    lines = []
    for stock, count in counts.items():
        # With several sizes of one material the bound belongs to none of them.
        alone = sum(other.material == stock.material for other in counts) == 1
        bounds = [m.bound for m in nesting.materials if stock.serves(m.material, m.thickness)]
        lines.append(_line(stock, count, sum(bounds) if alone else 0))
    return lines


def _line(stock: StockSheet | StockStick, count: int, bound: int) -> Purchase:
    price = None if stock.price is None else round(stock.price * count, 2)
    return Purchase(stock.name, stock.material, count, bound, price, stock.currency, stock.assumed)
