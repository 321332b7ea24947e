"""What surfaces and bodies are built from, and how much of it there is."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import Field
from pydantic import model_validator as check

from plansgen.library.models.fields import Count, FileModel, Line, Point
from plansgen.library.models.openings import Opening, Sheet, lies_in
from plansgen.library.outlines import one_part
from plansgen.library.units import (
    Area,
    ChordShare,
    Length,
    Mass,
    NonNegativeLength,
    PositiveLength,
    Share,
)


class Run(FileModel):
    """Where a stick, tube or wire runs along a surface or a body."""

    from_: Length = Field(alias="from", description="One end: along the span, or x on a body.")
    to: Length = Field(description="The other end.")
    at: ChordShare = Field(0.3, description="On a surface: share of the chord it lies at.")
    y: Length = Field(0.0, description="On a body: distance to starboard of its centre line.")
    z: Length = Field(0.0, description="On a body: height above its centre line.")

    @check(mode="after")
    def _has_length(self) -> Self:
        if self.to <= self.from_:
            raise ValueError("to must lie beyond from")
        return self


class StickSize(FileModel):
    """Cross-section of a stick, tube or wire: width and height, or diameter (and bore)."""

    width: PositiveLength | None = Field(None, description="Width of a flat or square stick.")
    height: PositiveLength | None = Field(
        None, description="Height of the stick as it is built in."
    )
    diameter: PositiveLength | None = Field(None, description="Outside diameter of a rod or tube.")
    bore: PositiveLength | None = Field(None, description="Inside diameter of a tube.")

    @check(mode="after")
    def _one_shape(self) -> Self:
        flat = self.width is not None and self.height is not None
        if flat == (self.diameter is not None) or (self.width is None) != (self.height is None):
            raise ValueError("give width and height, or diameter")
        if self.bore is not None and (self.diameter is None or self.bore >= self.diameter):
            raise ValueError("bore must be smaller than diameter")
        return self


Lies = Literal["top", "bottom", "top and bottom", "middle", "between", "corners"]
"""Where a stick sits in the height of what it runs along; see ``Part.lies``."""


LEAST_OVER = 0.005
"""Nobody lays a narrower strip of skin. [chord]"""


class Over(FileModel):
    """How much of the chord a skin reaches over, as shares from the leading edge."""

    from_: ChordShare = Field(0.0, alias="from", description="Its foremost edge.")
    to: ChordShare = Field(1.0, description="Its aftmost edge.")

    @check(mode="after")
    def _has_width(self) -> Self:
        if self.to - self.from_ < LEAST_OVER:
            raise ValueError("to must lie aft of from, by 0.005 of the chord or more")
        return self


class Ribs(FileModel):
    """Ribs at spans of a surface: its section there, less what lies on it and runs through."""

    at: tuple[NonNegativeLength, ...] = Field(
        min_length=1, max_length=100, description="Where each stands, along the surface."
    )
    names: tuple[Line, ...] | None = Field(
        None, description="What each is called, in that order. Left out: numbered."
    )

    @check(mode="after")
    def _in_order(self) -> Self:
        if any(b <= a for a, b in pairwise(self.at)):
            raise ValueError("at must rise from rib to rib")
        if self.names is not None and len(self.names) != len(self.at):
            raise ValueError(f"{len(self.names)} names for {len(self.at)} ribs")
        return self


class Formers(FileModel):
    """Formers of a body: its inside at places along it, with tabs into the sides."""

    at: tuple[Length, ...] = Field(
        min_length=1,
        max_length=50,
        description="x of each one's front face, aft of the body's own place.",
    )
    names: tuple[Line, ...] | None = Field(
        None, description="What each is called, in that order. Left out: numbered."
    )

    @check(mode="after")
    def _in_order(self) -> Self:
        if any(b <= a for a, b in pairwise(self.at)):
            raise ValueError("at must rise from former to former")
        if self.names is not None and len(self.names) != len(self.at):
            raise ValueError(f"{len(self.names)} names for {len(self.at)} formers")
        return self


class Rectangle(FileModel):
    """A rectangular piece of sheet."""

    length: PositiveLength = Field(description="Its length; grain along runs this way.")
    width: PositiveLength = Field(description="Its width.")


Corner = Annotated[tuple[Length, Length], Field(description="x and y.")]
Ring = Annotated[tuple[Corner, ...], Field(min_length=3, max_length=500)]


Cover = Literal[
    "plate",
    "both skins",
    "top skin",
    "bottom skin",
    "all",
    "sides",
    "top",
    "bottom",
    "front",
    "rear",
]
SURFACE_COVERS = ("plate", "both skins", "top skin", "bottom skin")
BODY_COVERS = ("all", "sides", "top", "bottom", "front", "rear")


SMALLEST_AREA = 1e-8
"""Less than this cannot be cut. [m²]"""


def shoelace(corners: Sequence[tuple[float, float]]) -> float:
    """Area that straight lines from corner to corner enclose. [m²]"""
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    return abs(sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairs)) / 2


class Part(FileModel):
    """Something built from material. Its mass is worked out unless it has been weighed.

    How much there is of it: ``cover`` (area from the airframe), ``run`` (length along it),
    ``line`` (length between points), ``ribs`` (sections of the surface), ``formers`` (the inside of
    the body), or with a place ``at``: ``plate`` (a rectangle), ``outline`` (points),
    ``drawing`` (an SVG file), or plainly ``area`` or ``length``.
    """

    name: Line = Field(description="What a builder calls it.")
    material: Line = Field(description="A material of the design's own or of the packaged table.")
    cover: Cover | None = Field(
        None,
        description="On a surface: plate (once over the planform), both skins, top skin or bottom "
        "skin (developed length of the section). On a body: all, sides, top, bottom, front, rear.",
    )
    run: Run | None = Field(None, description="A stick that runs along the surface or body.")
    line: tuple[Point, ...] | None = Field(
        None, min_length=2, max_length=50, description="A stick or wire from point to point."
    )
    area: Area | None = Field(None, description="Area of sheet, one piece.")
    length: PositiveLength | None = Field(None, description="Length of stick, one piece.")
    ribs: Ribs | None = Field(
        None, description="On a surface: ribs at spans, cut from the section there."
    )
    formers: Formers | None = Field(
        None,
        description="On a body: formers at places along it, cut from its inside there. share "
        "below 1 opens them in the middle.",
    )
    plate: Rectangle | None = Field(None, description="A rectangle of sheet, one piece.")
    outline: tuple[Corner, ...] | None = Field(
        None,
        min_length=3,
        max_length=500,
        description="Corners of a piece of sheet in order, as x and y; taken as drawn.",
    )
    holes: tuple[Ring, ...] = Field(
        (), max_length=50, description="With outline: holes in it, each by its corners in order."
    )
    drawing: Line | None = Field(
        None,
        description="An SVG file of the design's folder with one part at full size: its outline, "
        "and holes inside it. Taken as drawn.",
    )
    at: Point | None = Field(None, description="Where the middle of it lies, from the datum.")
    size: StickSize | None = Field(None, description="Cross-section of a stick, tube or wire.")
    size_out: StickSize | None = Field(
        None, description="With run: cross-section at its far end; it tapers straight to that."
    )
    lies: Lies | None = Field(
        None,
        description="With run: where the stick sits. On a surface: against the top or the bottom "
        "skin, top and bottom (the count shared out), middle of the height, or between (a web "
        "that stands between caps or skins); left out: middle, where it helps least. On a body: "
        "corners, or leave it out and give y and z.",
    )
    in_core: bool = Field(
        False,
        description="With run: true for what lies where the core of a box spar is cut away for "
        "it, such as the box of a tongue. Ribs get no wider slot for it.",
        strict=True,
    )
    grain: Literal["along", "across"] | None = Field(
        None,
        description="Which way grain, flutes or the stiff direction of a sheet run: along the span "
        "or body, or across it. On ribs: along the chord, or upright. Left out: along.",
    )
    over: Over | None = Field(
        None, description="With cover on a surface: the part of the chord that a skin reaches over."
    )
    joins: NonNegativeLength | None = Field(
        None,
        description="With run on a surface: the span of the joint that this brace or joiner "
        "carries through; 0 is the centre.",
    )
    glue: Line | None = Field(
        None, description="With joins: the glue that holds it, a material of kind glue."
    )
    braces: Literal["strut", "wire"] | None = Field(
        None,
        description="With line: a strut pulls and pushes, a wire only pulls; both hold what their "
        "ends touch.",
    )
    preload: Mass | None = Field(
        None, description="With braces wire: how tight it is set, as a luggage scale shows it."
    )
    from_: NonNegativeLength | None = Field(
        None, alias="from", description="With cover on a surface: inboard end along the span."
    )
    to: PositiveLength | None = Field(
        None, description="With cover on a surface: outboard end along the span."
    )
    openings: tuple[Opening, ...] = Field(
        (),
        max_length=50,
        description="With cover, formers or plate: holes cut in it, each with its place.",
    )
    share: Share = Field(
        1.0,
        description="Share of that area really there, where holes are not drawn one by one.",
    )
    count: Count = Field(1, description="How many; on a mirrored surface, how many a side.")
    measured: Mass | None = Field(
        None, description="Weighed mass of all of them together; wins over the worked-out one."
    )

    @check(mode="after")
    def _one_amount(self) -> Self:
        amounts = (
            "cover",
            "run",
            "line",
            "ribs",
            "formers",
            "plate",
            "outline",
            "drawing",
            "area",
            "length",
        )
        given = [name for name in amounts if getattr(self, name) is not None]
        if len(given) != 1:
            raise ValueError(
                f"give one of {', '.join(amounts)}, not {' and '.join(given) or 'none'}"
            )
        if given[0] in ("plate", "outline", "drawing", "area", "length") and self.at is None:
            raise ValueError(f"{given[0]} needs at: the place of its middle")
        if given[0] in ("run", "line", "length") and self.share != 1.0:
            raise ValueError("share goes with sheet, not with sticks")
        if self.formers is not None and self.count != 1:
            raise ValueError("count does not go with formers: there is one at each place")
        if self.outline is not None and shoelace(self.outline) < SMALLEST_AREA:
            raise ValueError("outline must enclose an area")
        if self.holes and self.outline is None:
            raise ValueError("holes go with outline")
        if self.outline is not None:
            try:
                one_part([self.outline, *self.holes])
            except ValueError as wrong:
                raise ValueError(f"what outline and holes give {wrong}") from None
        if self.share == 0.0:
            raise ValueError("share must be above 0; leave out a part that is not there")
        if self.line is not None and len(set(self.line)) == 1:
            raise ValueError("line must have length: its points are all the same")
        if (self.from_ is not None or self.to is not None) and given[0] != "cover":
            raise ValueError("from and to go with cover; inside run they have their own place")
        if self.from_ is not None and self.to is not None and self.to <= self.from_:
            raise ValueError("to must lie outboard of from")
        return self

    @check(mode="after")
    def _openings_in_a_sheet(self) -> Self:
        for opening in self.openings:
            sheet: Sheet | None = None
            wrong = "they go with cover; with formers or plate without on"
            if self.cover is not None:
                sheet, wrong = lies_in(opening.on, self.cover)
            elif opening.on is None and (self.formers is not None or self.plate is not None):
                sheet, wrong = ("end" if self.formers is not None else "rectangle"), ""
            if sheet is not None:
                wrong = opening.wrong_for(sheet)
            if wrong:
                raise ValueError(f'openings, "{opening.name}": {wrong}')
        return self

    @property
    def own_area(self) -> float | None:
        """Area of a piece of sheet that is given by itself, before ``share`` and openings. [m²]"""
        if self.plate is not None:
            return self.plate.length * self.plate.width
        if self.outline is not None:
            return shoelace(self.outline) - sum(shoelace(hole) for hole in self.holes)
        return self.area

    @check(mode="after")
    def _structure_where_it_belongs(self) -> Self:
        """What says how a part carries load goes with the kind of part that can."""
        belongs = {
            "run": ("size_out", "lies", "joins"),
            "cover": ("over",),
            "line": ("braces",),
        }
        for amount, fields in belongs.items():
            for name in fields:
                if getattr(self, name) is not None and getattr(self, amount) is None:
                    raise ValueError(f"{name} goes with {amount}")
        if self.size_out is not None and self.size is None:
            raise ValueError("size_out goes with size")
        if self.size_out is not None and (self.size_out.diameter is None) != (
            self.size is None or self.size.diameter is None
        ):
            raise ValueError("size_out has another shape than size")
        if self.in_core and self.run is None:
            raise ValueError("in_core goes with run")
        if self.glue is not None and self.joins is None:
            raise ValueError("glue goes with joins")
        if self.preload is not None and self.braces != "wire":
            raise ValueError("preload goes with braces: wire")
        run, joins = self.run, self.joins
        if run is not None and joins is not None and not run.from_ <= joins <= run.to:
            raise ValueError("joins must lie between the ends of the run")
        return self


class Component(FileModel):
    """What surfaces and bodies have in common."""

    title: Line | None = Field(None, description="Name on drawings; else the key.")
    parts: tuple[Part, ...] = Field((), max_length=100, description="What it is built from.")
    measured: Mass | None = Field(
        None, description="Weighed mass of the whole, as built; wins over its parts."
    )
    measured_at: Point | None = Field(
        None, description="Where the weighed whole was found to balance; else as worked out."
    )

    @check(mode="after")
    def _measured_place(self) -> Self:
        if self.measured_at is not None and self.measured is None:
            raise ValueError("measured_at goes with measured")
        return self
