"""The sheets and sticks that parts are cut from, as the builder buys them."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints
from pydantic import model_validator as check

from plansgen.library.models.fields import Count, FileModel, Line, assumed
from plansgen.library.models.parts import StickSize
from plansgen.library.units import Angle, Length, NonNegativeLength, PositiveLength

Price = Annotated[float, Field(ge=0, le=100_000)]
Currency = Annotated[
    str,
    StringConstraints(strip_whitespace=True, pattern=r"""^[^<>&"`{}\[\]\\|*_#\d]{1,12}$"""),
]

LARGEST_SHEET = 3.2
"""Nobody carries a larger sheet into a workshop; a slip of the pen is told. [m]"""


class StockSize(FileModel):
    """One size of sheet or stick, and what it costs."""

    name: Line = Field(description="What the builder asks for; each name once.")
    material: Line = Field(description="A material of the design's own or of the packaged table.")
    width: PositiveLength | None = Field(None, description="Width of a sheet.")
    height: PositiveLength | None = Field(None, description="Height of a sheet.")
    length: PositiveLength | None = Field(None, description="Length of a stick, tube or wire.")
    size: StickSize | None = Field(
        None, description="Cross-section of a stick, tube or wire. Left out: any that is wanted."
    )
    grain: Literal["width", "height", "none"] = assumed(
        "Which side of a sheet the grain or the flutes run along.",
        "sheets without a direction of grain",
        default="none",
    )
    price: Price | None = Field(None, description="Price of one, as a plain number.")
    currency: Currency | None = Field(None, description="Currency, as the page shows it.")

    @check(mode="after")
    def _one_form(self) -> Self:
        if (self.width is None) != (self.height is None) or (self.width is None) == (
            self.length is None
        ):
            raise ValueError("give width and height of a sheet, or length of a stick")
        if max(self.width or 0.0, self.height or 0.0) > LARGEST_SHEET:
            raise ValueError("a stock sheet is at most 3.2 m wide and high")
        if self.length is not None and self.grain != "none":
            raise ValueError("grain goes with sheets; a stick's runs along it")
        if self.size is not None and self.length is None:
            raise ValueError("size goes with length")
        if (self.price is None) != (self.currency is None):
            raise ValueError("price and currency go together")
        return self


class OwnPlace(FileModel):
    """Where the designer lays one copy of a part on a stock sheet."""

    part: Annotated[str, StringConstraints(pattern=r"^[a-z0-9-]+$")] = Field(
        description="Key of the part, as its pattern shows it."
    )
    stock: Line = Field(description="Name of the stock.")
    sheet: Count = Field(1, description="On which sheet of that stock.")
    x: Length = Field(description="Where the origin of the part's drawing lies, from the left.")
    y: Length = Field(description="The same, from the bottom.")
    angle: Angle = Field(0.0, description="Turned counter-clockwise.")
    mirrored: bool = Field(False, description="Laid as its mirror image.", strict=True)


class Nesting(FileModel):
    """How close parts may lie to each other and to the edge of a sheet."""

    gap: NonNegativeLength = assumed(
        "Least distance between parts on a sheet.",
        "2 mm between parts on a sheet (common practice, no source)",
        default=0.002,
    )
    margin: NonNegativeLength = assumed(
        "Least distance of parts to the edge of a sheet.",
        "5 mm between parts and the edge of a sheet (common practice, no source)",
        default=0.005,
    )
    kerf: NonNegativeLength = assumed(
        "Width of the saw cut through a stick.",
        "a saw cut 1 mm wide through sticks (common practice, no source)",
        default=0.001,
    )
    places: tuple[OwnPlace, ...] = Field(
        (), max_length=500, description="The designer's own places; the rest is laid around them."
    )
