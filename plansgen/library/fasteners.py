"""The packaged table of fasteners: bands, bolts and cable ties, each with its source."""

from __future__ import annotations

import importlib.resources
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Annotated, Literal, Self

import yaml
from pydantic import Field, model_validator

from plansgen.library.entry import Mark, TableModel, Words
from plansgen.library.units import Area, Pressure, Share

FastenerKind = Literal["band", "bolt", "tie"]

Newtons = Annotated[float, Field(gt=0, le=10_000)]


class Fastener(TableModel):
    """One kind of band, bolt or tie. SI units."""

    name: Words
    kind: FastenerKind
    area: Area | None = None
    strength: Pressure | None = None
    holds: Newtons | None = None
    strands: Annotated[int, Field(ge=1, le=4)] = 1
    shear_share: Annotated[float, Field(gt=0, le=1)]
    spread: Share
    lets_go: bool
    source: Words
    mark: Mark
    note: Words

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        by_area = self.area is not None and self.strength is not None
        if by_area == (self.holds is not None):
            raise ValueError("give holds, or area and strength")
        return self

    @property
    def pull(self) -> float:
        """What one holds pulled; of a band, with all its strands at 100 % stretch. [N]"""
        return self.holds or (self.area or 0.0) * (self.strength or 0.0) * self.strands


class _FastenerTable(TableModel):
    fasteners: dict[str, Fastener]


@cache
def fasteners() -> Mapping[str, Fastener]:
    """Packaged fasteners by id, in the order of the table. SI units."""
    text = importlib.resources.files("plansgen.data").joinpath("fasteners.yaml").read_text("utf-8")
    return MappingProxyType(_FastenerTable.model_validate(yaml.safe_load(text)).fasteners)
