"""What every entry of a packaged table has in common: plain texts, and how far to trust a value."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, StringConstraints

from plansgen.library.units import Measure

Mark = Literal["published", "derived", "common practice", "from memory", "estimate"]
"""How far to trust a value: printed in its source, or worked out from such, and so on down."""

Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=1000)]
# Narrower than a design's other quantities: a slip between millimetres and metres is told and not
# believed.
SheetThickness = Annotated[
    float, Measure("a length", "length", "200 mm", "0.012 mm", examples=(5, "5 mm", "1/16 in"))
]


class TableModel(BaseModel):
    """Base of every table entry: frozen, and unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")
