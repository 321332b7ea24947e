"""Fuselages, nacelles, booms and floats: lofts through cross-sections."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field
from pydantic import model_validator as check

from plansgen.library.models.fields import BodyRole, FileModel, Point
from plansgen.library.models.parts import Component
from plansgen.library.units import Length, PositiveLength


class Frame(FileModel):
    """One cross-section of a body."""

    x: Length = Field(description="Aft of the body's own place.")
    width: PositiveLength = Field(description="Outside width.")
    height: PositiveLength = Field(description="Outside height.")
    z: Length = Field(0.0, description="Middle of its height, above the body's own place.")


class Body(Component):
    """A fuselage, nacelle, boom, pod or float: a loft through cross-sections."""

    role: BodyRole = Field(description="What it is.")
    shape: Literal["box", "round"] = Field("box", description="box (flat sheets) or round.")
    at: Point = Field(Point(), description="Where its own x, y, z are zero, from the datum.")
    mirror: bool = Field(False, description="One on each side.", strict=True)
    stations: tuple[Frame, ...] = Field(
        min_length=2, max_length=60, description="Cross-sections from nose to tail."
    )

    @check(mode="after")
    def _stations_in_order(self) -> Self:
        for number, (fore, aft) in enumerate(
            zip(self.stations, self.stations[1:], strict=False), 1
        ):
            if aft.x <= fore.x:
                raise ValueError(f"stations[{number}].x must lie aft of the one before")
        nose, tail = self.stations[0].x, self.stations[-1].x
        for number, part in enumerate(self.parts):
            for x in part.formers.at if part.formers else ():
                if not nose <= x < tail:
                    raise ValueError(
                        f"parts[{number}].formers.at: {x * 1000:g} mm does not lie in the body, "
                        f"which reaches from {nose * 1000:g} to {tail * 1000:g} mm"
                    )
        if self.mirror and self.at.y == 0.0:
            raise ValueError("a mirrored body needs at.y: how far out it sits")
        return self
