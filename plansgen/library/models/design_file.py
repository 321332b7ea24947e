"""``design.yaml`` as a whole, and that its pieces hang together."""

from __future__ import annotations

import datetime
from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints
from pydantic import model_validator as check

from plansgen.library.models.bodies import Body
from plansgen.library.models.fields import (
    FileModel,
    Key,
    Launch,
    Layout,
    Line,
    Name,
    Prose,
    Skill,
    Status,
    assumed,
)
from plansgen.library.models.masses import Allowance, Balance, Battery, BatteryBay, Item, Variant
from plansgen.library.models.parts import BODY_COVERS, SURFACE_COVERS, Part
from plansgen.library.models.power import Power
from plansgen.library.models.stock import Nesting, StockSize
from plansgen.library.models.structure import Structure
from plansgen.library.models.surfaces import MIXED, Mixing, Surface
from plansgen.library.tables import Fact, Material
from plansgen.library.units import FileUnits, Height, Mass, Share


class Credits(FileModel):
    """Who made it and what others may do with it."""

    designer: Line = Field(description="Designer's name or pen name.")
    approved: Line | None = Field(None, description="Who checked the drawings, if anyone did.")
    owner: Line = Field("", description="Legal owner for the title block; else the designer.")
    licence: Line = Field("CC BY 4.0", description="Licence of the plans.")
    thanks: tuple[Line, ...] = Field((), max_length=20, description="Others who helped.")


class FlightAims(FileModel):
    """Where it flies, and what the flight calculation may count on."""

    field_height: Height = assumed(
        "Height of the flying field above the sea; a bare number is in metres.",
        "the field lies at sea level",
        default=0.0,
    )
    temperature: Annotated[float, Field(ge=-40, le=55)] | None = assumed(
        "Air temperature in degrees Celsius.",
        "the standard temperature of the field's height (ISO 2533)",
        default=None,
    )
    least_margin: Share = assumed(
        "Least static margin that the aft limit keeps.",
        "a least static margin of 5 % of the mean chord (common practice, no source)",
        default=0.05,
    )
    thrust: Mass | None = Field(
        None, description="Static thrust of one propeller, as a scale shows it; else an estimate."
    )


class DesignFile(FileModel):
    """``design.yaml``: one aeroplane."""

    plansgen: Literal[1] = Field(description="Version of this file format.")
    name: Name = Field(description="Name of the design; no marks of markup such as < and *.")
    summary: Prose = Field(description="Two or three sentences for the library's front page.")
    status: Status = Field(
        description="sketch, built, or flown (which needs a flight in log.yaml)."
    )
    skill: Skill = Field(description="Who can build and fly it.")
    revision: Annotated[str, StringConstraints(pattern=r"^[A-Z]{1,2}$")] = Field(
        "A", description="Revision letter."
    )
    date: datetime.date = Field(description="Date of the revision, as 2026-05-30.")
    credits: Credits = Field(description="Designer and licence.")
    units: FileUnits = Field(FileUnits(), description="Units of bare numbers in this file.")
    datum: Line = assumed(
        "What x, y, z are measured from.",
        "the datum is the foremost point of the body",
        default="the nose",
    )
    layout: Layout | None = Field(None, description="Checked against what the surfaces make.")
    launches: tuple[Launch, ...] = assumed(
        "How it gets into the air.", "hand launch", default=("hand",)
    )
    hazards: tuple[Fact, ...] = Field(
        (), description="Dangers the file does not show by itself, such as magnets."
    )
    materials: dict[Line, Material] = Field({}, description="The design's own, weighed materials.")
    surfaces: dict[Key, Surface] = Field(
        min_length=1, max_length=20, description="Wings and tails."
    )
    bodies: dict[Key, Body] = Field({}, max_length=20, description="Fuselage, nacelles, floats.")
    parts: tuple[Part, ...] = Field((), max_length=100, description="Struts, wires and the like.")
    items: tuple[Item, ...] = Field((), max_length=100, description="Bought things.")
    batteries: tuple[Battery, ...] = Field((), max_length=20, description="The usual one first.")
    variants: tuple[Variant, ...] = Field(
        (), max_length=10, description="Other ways of loading it, each with the usual battery."
    )
    bay: BatteryBay | None = Field(None, description="Where the battery may slide.")
    balance: Balance = Field(Balance(), description="Where it must balance.")
    allowance: Allowance = Field(Allowance(), description="Glue and paint.")
    flight: FlightAims = Field(FlightAims(), description="Where it flies.")
    power: Power | None = Field(None, description="What drives it; not given for a glider.")
    mixing: tuple[Mixing, ...] = Field(
        (), max_length=3, description="Shares of mixed controls; else the usual halves."
    )
    structure: Structure = Field(Structure(), description="What it must stand.")
    stock: tuple[StockSize, ...] = Field(
        (), max_length=50, description="Sheets and sticks to buy, and what they cost."
    )
    nesting: Nesting = Field(Nesting(), description="How parts lie on the sheets.")

    @check(mode="after")
    def _hangs_together(self) -> Self:
        if not any(surface.role == "wing" for surface in self.surfaces.values()):
            raise ValueError("surfaces has no wing: give one surface the role wing")
        if self.batteries and self.bay is None:
            raise ValueError("batteries need a bay: where the battery may slide")
        for number, battery in enumerate(self.batteries):
            if self.bay and battery.x is not None and not self.bay.reaches(battery.x):
                raise ValueError(f"batteries[{number}].x must lie in the bay")
        names = {item.name for item in self.items}
        for number, variant in enumerate(self.variants):
            if missing := [name for name in variant.without if name not in names]:
                raise ValueError(f'variants[{number}].without: there is no item "{missing[0]}"')
        _refuse_idle_mixing(self)
        stocks = [stock.name for stock in self.stock]
        if twice := sorted({name for name in stocks if stocks.count(name) > 1}):
            raise ValueError(f'two entries of stock have the name "{twice[0]}"')
        if shared := sorted(set(self.surfaces) & set(self.bodies)):
            raise ValueError(f'"{shared[0]}" names a surface and a body; use two names')
        for key, surface in self.surfaces.items():
            _refuse_covers(f"surfaces.{key}", surface.parts, SURFACE_COVERS)
            for number, part in enumerate(surface.parts):
                if part.formers is not None:
                    raise ValueError(f"surfaces.{key}.parts[{number}]: formers go with a body")
        for key, body in self.bodies.items():
            _refuse_covers(f"bodies.{key}", body.parts, BODY_COVERS)
            for number, part in enumerate(body.parts):
                if part.from_ is not None or part.to is not None:
                    raise ValueError(
                        f"bodies.{key}.parts[{number}]: from and to go with cover on a surface"
                    )
                if part.ribs is not None:
                    raise ValueError(f"bodies.{key}.parts[{number}]: ribs go with a surface")
        for number, part in enumerate(self.parts):
            owned = (part.cover, part.run, part.ribs, part.formers)
            if any(amount is not None for amount in owned):
                raise ValueError(
                    f"parts[{number}]: cover, run, ribs and formers belong to a surface or body; "
                    "here give line, plate, outline, drawing, area or length"
                )
        return self


def _refuse_idle_mixing(file: DesignFile) -> None:
    kinds = {
        control.kind for surface in file.surfaces.values() for control in surface.controls.values()
    }
    for number, mixing in enumerate(file.mixing):
        control, _, _ = MIXED[mixing.kind]
        if control not in kinds:
            raise ValueError(f"mixing[{number}]: no surface has a control of kind {control}")
        if mixing.kind in {other.kind for other in file.mixing[:number]}:
            raise ValueError(f"mixing[{number}]: there are two entries for {mixing.kind}")


def _refuse_covers(where: str, parts: tuple[Part, ...], allowed: tuple[str, ...]) -> None:
    for number, part in enumerate(parts):
        if part.cover is not None and part.cover not in allowed:
            raise ValueError(
                f'{where}.parts[{number}].cover "{part.cover}" does not go here; '
                f"allowed: {', '.join(allowed)}"
            )
