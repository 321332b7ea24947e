"""What can be wrong with the stock a design buys, beyond what each entry says of itself."""

from __future__ import annotations

from collections.abc import Mapping

from plansgen.library.models import DesignFile
from plansgen.library.stock import Trouble
from plansgen.library.tables import Material
from plansgen.problems import nearest_name


def check_stock(trouble: Trouble, file: DesignFile, materials: Mapping[str, Material]) -> None:
    """Stock is of a known material in its form, and the designer's places are on stock sheets."""
    for number, stock in enumerate(file.stock):
        material = materials.get(stock.material)
        if material is None:
            trouble(
                ("stock", number, "material"),
                f'no material "{stock.material[:40]}"',
                allowed="one of the materials page, or the design's own materials",
                nearest=nearest_name(stock.material, materials),
            )
        elif stock.width is None and material.kind == "sheet":
            trouble(("stock", number, "length"), f'"{stock.material}" is a sheet, not a stick')
        sides = [side for side in (stock.width, stock.height) if side is not None]
        if sides and min(sides) <= 2 * file.nesting.margin:
            trouble(("stock", number), "leaves no room inside the margins")
    sheets = [stock.name for stock in file.stock if stock.width is not None]
    for number, place in enumerate(file.nesting.places):
        if place.stock not in sheets:
            trouble(
                ("nesting", "places", number, "stock"),
                f'no stock sheet "{place.stock[:40]}"',
                allowed=", ".join(sheets) or "a sheet that stock names; it names none",
                nearest=nearest_name(place.stock, sheets),
            )
