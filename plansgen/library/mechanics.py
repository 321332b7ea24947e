"""How stiff and how strong a material is, as written in the packaged table or in a design file.

A plain material is one substance. A faced sheet (foam board, corrugated board, plywood) is two
faces on a core, or one face where the other was peeled off. *Along* is the direction of the grain,
the flutes or the machine direction of facing paper; *across* is at right angles to it.
"""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from plansgen.library.bending import measured_stiffness
from plansgen.library.entry import Mark, SheetThickness, TableModel, Words
from plansgen.library.units import Mass, Measure, PositiveLength, Pressure, Share

# Zero may stand: a line takes no push.
Strength = Annotated[
    float, Measure("a pressure", "MPa", "2000 GPa", "1 Pa", True, ("60 MPa", "300 kPa"))
]

ValueName = Literal["modulus", "shear_modulus", "tension", "compression", "shear"]
"""A value that a source may print."""

MOST_SAG = 0.1  # of the span; beyond it a strip pulls between the books and the formula is off


Left = Annotated[Share, Field(ge=0.01)]
"""A share of which something is left: with none at all nothing could be worked out."""


class Damp(TableModel):
    """What is left of a substance when it has become damp."""

    stiffness: Left = Field(description="Share of the stiffness that is left.")
    strength: Left = Field(description="Share of the strength that is left.")
    source: Words | None = Field(None, description="Where the shares come from.")
    mark: Mark | None = Field(None, description="How far to trust them.")


class Substance(TableModel):
    """Stiffness and mean strength of one substance; a value across counts as along if left out."""

    modulus: Pressure = Field(description="Young's modulus along the grain or flutes.")
    modulus_across: Pressure | None = Field(None, description="The same across.")
    shear_modulus: Strength = Field(description="Shear modulus; of a core, in upright shear.")
    shear_modulus_across: Strength | None = Field(None, description="Of a core, the same across.")
    tension: Strength = Field(description="Strength when pulled.")
    tension_across: Strength | None = Field(None, description="The same across.")
    compression: Strength = Field(description="Strength when pushed; 0 for a line.")
    compression_across: Strength | None = Field(None, description="The same across.")
    shear: Strength = Field(description="Strength in shear; of a glue, in a lap joint.")
    shear_across: Strength | None = Field(None, description="Of a core, the same across.")
    spread: Share = Field(description="Share by which strength scatters, one standard deviation.")
    source: Words | None = Field(None, description="Where the values come from.")
    mark: Mark | None = Field(None, description="How far to trust them.")
    published: tuple[ValueName, ...] = Field(
        (), description="Which of the values along stand in the source as read, whatever the mark."
    )
    damp: Damp | None = Field(None, description="What is left when damp.")

    def mark_of(self, name: ValueName) -> str:
        """How far to trust one value."""
        return "published" if name in self.published else self.mark or "given by the designer"


class Faces(Substance):
    """The face of a built-up sheet, on both sides or on the outside only."""

    thickness: SheetThickness = Field(description="Thickness of one face.")
    sides: Literal[1, 2] = Field(2, description="2, or 1 when the inner face is peeled off.")


class Mechanics(TableModel):
    """One substance, or faces on a core."""

    solid: Substance | None = Field(None, description="Of a plain material: the substance.")
    faces: Faces | None = Field(None, description="Of a built-up sheet: its faces.")
    core: Substance | None = Field(None, description="Of a built-up sheet: what lies under them.")

    @model_validator(mode="after")
    def _solid_or_faced(self) -> Self:
        faced = self.faces is not None and self.core is not None
        if faced == (self.solid is not None) or (self.faces is None) != (self.core is None):
            raise ValueError("give solid, or faces and core")
        return self

    def outer(self) -> Substance:
        """What a three-point bend measures: the faces, or the plain substance."""
        outer = self.faces or self.solid
        assert outer is not None  # the validator saw to it
        return outer


class BendTest(TableModel):
    """Readings of one three-point bend: a strip over two books, a weight on its middle."""

    direction: Literal["along", "across"] = Field(
        description="Whether grain, flutes or machine direction ran along the strip or across it."
    )
    span: PositiveLength = Field(description="Distance between the edges of the books.")
    width: PositiveLength = Field(description="Width of the strip.")
    load: Mass = Field(description="Weight laid on the middle, as the kitchen scale shows it.")
    sag: PositiveLength = Field(description="How much further the middle sank under that weight.")

    @model_validator(mode="after")
    def _bends_a_little(self) -> Self:
        if self.sag >= MOST_SAG * self.span:
            raise ValueError(
                "sag must be less than a tenth of span: beyond it the strip slips in between the "
                "books and the formula no longer holds; take less weight"
            )
        return self

    @property
    def stiffness(self) -> float:
        """Bending stiffness per width. [N m]"""
        return measured_stiffness(load=self.load, span=self.span, width=self.width, sag=self.sag)
