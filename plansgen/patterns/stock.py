"""Stock sheets: what can be bought to cut parts from, and in what sizes it usually comes."""

from __future__ import annotations

import importlib.resources
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

import yaml

from plansgen.library.models import DesignFile, StickSize
from plansgen.library.tables import Family, Mark, Material, TableModel, Words
from plansgen.library.tables import materials as packaged
from plansgen.library.units import PositiveLength

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


@dataclass(frozen=True)
class StockStick:
    """A stick, tube or wire as it is sold; see :class:`StockSheet` for what is the same."""

    name: str
    material: str
    length: float
    price: float | None = None
    currency: str = ""
    assumed: bool = False


class UsualSheet(TableModel):
    """A size that sheets of a family of materials are usually sold in."""

    name: Words
    family: Family
    words: tuple[Words, ...] = ()
    width: PositiveLength
    height: PositiveLength
    grain: StockGrain = "none"
    source: Words
    mark: Mark

    def suits(self, key: str, material: Material) -> bool:
        """Whether a material comes in it."""
        return self.family == material.family and (
            not self.words or any(word in key for word in self.words)
        )


class UsualStick(TableModel):
    """The length that sticks are usually sold in."""

    length: PositiveLength
    source: Words
    mark: Mark


class _Table(TableModel):
    sheets: tuple[UsualSheet, ...]
    sticks: UsualStick


@cache
def _table() -> _Table:
    text = importlib.resources.files("plansgen.data").joinpath("stock.yaml").read_text("utf-8")
    return _Table.model_validate(yaml.safe_load(text))


def usual_sheets() -> tuple[UsualSheet, ...]:
    """The packaged sizes of sheets, in the order in which they are assumed."""
    return _table().sheets


def usual_stick() -> UsualStick:
    """The packaged length of sticks."""
    return _table().sticks


def section_words(size: StickSize | None) -> str:
    """A cross-section in words, in millimetres: width × height, or diameter and bore."""
    if size is None:
        return ""
    if size.diameter is not None:
        bore = f", bore {size.bore * 1000:g}" if size.bore else ""
        return f"⌀ {size.diameter * 1000:g}{bore}"
    return f"{(size.width or 0.0) * 1000:g} × {(size.height or 0.0) * 1000:g}"


def serving(
    stocks: Iterable[StockSheet], material: str, thickness: float
) -> tuple[StockSheet, ...]:
    """The stocks that parts of a material and a thickness can be cut from, in their order."""
    return tuple(stock for stock in stocks if stock.serves(material, thickness))


def sheets_of(file: DesignFile, materials: Mapping[str, Material]) -> tuple[StockSheet, ...]:
    """The sheets a design's parts are cut from.

    Args:
        file: The design, with its own stock.
        materials: Every material of its parts, by id.

    Returns:
        The design's own, in its order; then, for each other sheet material that there is a usual
        size of, the first such size, marked as assumed.
    """
    own = [
        StockSheet(
            name=stock.name,
            material=stock.material,
            width=stock.width,
            height=stock.height,
            grain=stock.grain,
            price=stock.price,
            currency=stock.currency or "",
        )
        for stock in file.stock
        if stock.width is not None and stock.height is not None
    ]
    named = {stock.material for stock in own}
    usual = (
        _assumed(key, material)
        for key, material in sorted(materials.items())
        if key not in named and material.kind == "sheet"
    )
    return (*own, *(stock for stock in usual if stock is not None))


def _assumed(key: str, material: Material) -> StockSheet | None:
    """The usual size of a material, or of what a design's own one is like."""
    like = packaged().get(material.like or "")
    for size in usual_sheets():
        if size.suits(key, material) or (like and size.suits(material.like or "", like)):
            name = f"{material.name}, {size.name}"
            return StockSheet(name, key, size.width, size.height, size.grain, assumed=True)
    return None


def sticks_of(file: DesignFile, material: str, size: str = "") -> StockStick:
    """The stick that a design cuts from: its own longest of a size, or the usual length.

    Args:
        file: The design, with its own stock.
        material: Of the stick.
        size: Cross-section in words (:func:`section_words`); the design's sticks of another size do
            not serve, those without a size serve where there is none of that one.
    """
    sticks = [s for s in file.stock if s.length is not None and s.material == material]
    own = [s for s in sticks if s.size is not None and section_words(s.size) == size]
    own = own or [s for s in sticks if s.size is None]
    if own:
        longest = max(own, key=lambda s: s.length or 0.0)
        name = f"{longest.name}, {size}" if size and longest.size is None else longest.name
        return StockStick(
            name, material, longest.length or 0.0, longest.price, longest.currency or ""
        )
    return StockStick("usual length", material, usual_stick().length, assumed=True)
