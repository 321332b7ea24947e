"""``designs/_shared/NAME.yaml``: a piece that several designs use."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from plansgen.library.models.fields import FileModel, Line, Prose
from plansgen.library.tables import Fact
from plansgen.library.units import FileUnits

Group = dict[str, Any]
"""Checked where a design uses it, with that design's own words on top."""


class SharedFile(FileModel):
    """A piece that several designs use. Its places are measured from its own zero."""

    plansgen: Literal[1] = Field(description="Version of this file format.")
    title: Line = Field(description="What it is, for the page on what is used where.")
    credit: Line | None = Field(None, description="Who made it, where not the design's designer.")
    notes: Prose | None = Field(None, description="What to know before it is changed.")
    units: FileUnits = Field(FileUnits(), description="Units of bare numbers in this file.")
    surface: Group | None = Field(None, description="As an entry of surfaces.")
    body: Group | None = Field(None, description="As an entry of bodies.")
    material: Group | None = Field(None, description="As an entry of materials.")
    parts: tuple[Group, ...] = Field((), max_length=100, description="As entries of parts.")
    items: tuple[Group, ...] = Field((), max_length=100, description="As entries of items.")
    batteries: tuple[Group, ...] = Field((), max_length=20, description="As in batteries.")
    step: Group | None = Field(
        None, description="As the front matter of a build step; its words under the key text."
    )
    cautions: tuple[Fact, ...] = Field((), max_length=12, description="Dangers, as in a step.")
