"""Stock sheets: what can be bought to cut parts from, and in what sizes it usually comes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

StockGrain = Literal["width", "height", "none"]


@dataclass(frozen=True)
class StockSheet:
    """A sheet as it is sold.

    Attributes:
        name: What the builder asks for.
        material: Id of the material.
        width: Along x of its drawing. [m]
        height: Along y. [m]
        grain: Which side the grain or the flutes run along.
        thickness: Of the sheet; None when the material alone says it. [m]
        price: Of one sheet, in ``currency``; None when not known.
        currency: As the designer writes it.
        assumed: Whether the program chose it, because the design names no stock of the material.
    """

    name: str
    material: str
    width: float
    height: float
    grain: StockGrain = "none"
    thickness: float | None = None
    price: float | None = None
    currency: str = ""
    assumed: bool = False

    @property
    def area(self) -> float:
        """Of one sheet. [m²]"""
        return self.width * self.height

    def serves(self, material: str, thickness: float) -> bool:
        """Whether parts of a material and a thickness are cut from it."""
        return self.material == material and (
            self.thickness is None or abs(self.thickness - thickness) < 1e-5
        )


def serving(
    stocks: Iterable[StockSheet], material: str, thickness: float
) -> tuple[StockSheet, ...]:
    """The stocks that parts of a material and a thickness can be cut from, in their order."""
    return tuple(stock for stock in stocks if stock.serves(material, thickness))
