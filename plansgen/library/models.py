"""The design file: what a builder may write, and what is assumed when it is left out.

Every length, mass and angle is SI once validated; the conversion happens in the field types of
:mod:`plansgen.library.units`. Coordinates are the body frame: x aft from the design's datum, y to
the starboard wing, z up. Field descriptions are the documentation: the reference page and the JSON
Schema are made from them.
"""

from __future__ import annotations

import datetime
import math
from itertools import pairwise
from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints
from pydantic import model_validator as check

from plansgen.library.tables import Fact, Material
from plansgen.library.units import (
    Angle,
    Area,
    ArealDensity,
    Charge,
    ChordShare,
    FileUnits,
    Length,
    Mass,
    NonNegativeLength,
    PositiveLength,
    Share,
)

TRAVEL = math.radians(20.0)  # estimate: what small servos and simple horns usually give

Line = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=120)]
Name = Annotated[
    str, StringConstraints(strip_whitespace=True, pattern=r"""^[^<>&"`{}\[\]\\|*_#]{1,60}$""")
]
Prose = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=4000)]
Key = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]{0,30}$")]
Count = Annotated[int, Field(ge=1, le=500, strict=True)]

Status = Literal["sketch", "built", "flown"]
Skill = Literal["first build", "some builds", "practised"]
Layout = Literal["conventional", "tailless", "canard", "tandem", "biplane"]
SurfaceRole = Literal["wing", "tailplane", "fin", "vee-tail", "canard"]
BodyRole = Literal["fuselage", "nacelle", "boom", "pod", "float"]
ControlKind = Literal["aileron", "elevator", "rudder", "elevon", "flap", "flaperon", "ruddervator"]
ItemKind = Literal[
    "motor",
    "propeller",
    "speed controller",
    "servo",
    "receiver",
    "linkage",
    "undercarriage",
    "hardware",
    "ballast",
    "payload",
    "other",
]
Launch = Literal["hand", "ground", "water", "bungee", "winch"]


class FileModel(BaseModel):
    """Base of everything read from a file: frozen, and unknown keys are refused."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=False, validate_default=False
    )


def assumed(description: str, words: str, **kwargs: Any) -> Any:
    """Describe a field whose default is an assumption that the page must show."""
    return Field(description=description, json_schema_extra={"assumed": words}, **kwargs)


class Point(FileModel):
    """A place in the body frame."""

    x: Length = Field(0.0, description="Distance aft of the datum.")
    y: Length = Field(0.0, description="Distance to starboard of the centre line.")
    z: Length = Field(0.0, description="Distance above the datum.")


class Size(FileModel):
    """Outside dimensions of a block."""

    x: PositiveLength = Field(description="Length, fore and aft.")
    y: PositiveLength = Field(description="Width, athwartships.")
    z: PositiveLength = Field(description="Height.")


def _section_from_text(value: Any) -> Any:
    """Let a section be written as a few words: ``NACA 2412``, ``points sections/gull.txt``."""
    if not isinstance(value, str):
        return value
    word, _, rest = value.strip().partition(" ")
    if word.lower() == "naca":
        return {"kind": "naca", "digits": rest.strip()}
    if word.lower().startswith("naca") and word[4:].isdigit():
        return {"kind": "naca", "digits": word[4:]}
    if word.lower() == "points" and rest:
        return {"kind": "points", "file": rest.strip()}
    return {"kind": value.strip()}


_SECTION_NEEDS: dict[str, tuple[str, ...]] = {
    "naca": ("digits",),
    "plate": ("thickness",),
    "cambered plate": ("thickness", "camber"),
    "folded sheet": ("thickness", "spar_height"),
    "points": ("file",),
}
_SECTION_MAY: dict[str, tuple[str, ...]] = {
    "cambered plate": ("camber_at",),
    "folded sheet": ("spar_at",),
}


class Section(FileModel):
    """The shape of a lifting surface cut fore and aft."""

    kind: Literal["naca", "plate", "cambered plate", "folded sheet", "points"] = Field(
        description="naca (four digits), plate (flat sheet), cambered plate (bent to an arc), "
        "folded sheet (a skin scored at the leading edge and folded over a spar), points (a file)."
    )
    digits: Annotated[str, StringConstraints(pattern=r"^\d{4}$")] | None = Field(
        None,
        description="The four digits of a NACA section, in quotes: camber, its place, thickness.",
    )
    thickness: PositiveLength | None = Field(None, description="Thickness of the sheet.")
    camber: Share | None = Field(None, description="Greatest camber as a share of the chord.")
    camber_at: ChordShare = Field(
        0.4, description="Where the greatest camber is, from the leading edge."
    )
    spar_height: PositiveLength | None = Field(
        None, description="Height of the spar between the skins of a folded sheet."
    )
    spar_at: ChordShare = Field(0.3, description="Where the spar stands, from the leading edge.")
    file: Line | None = Field(
        None, description="Text file with one x y pair a line, trailing edge over the top and back."
    )

    @check(mode="after")
    def _complete(self) -> Self:
        """Each kind has its own numbers: none missing, none without effect."""
        needs = _SECTION_NEEDS[self.kind]
        missing = [name for name in needs if getattr(self, name) is None]
        if missing:
            raise ValueError(f"a section of kind {self.kind} needs {' and '.join(missing)}")
        allowed = {"kind", *needs, *_SECTION_MAY.get(self.kind, ())}
        idle = sorted(self.model_fields_set - allowed)
        if idle:
            raise ValueError(f"a section of kind {self.kind} has no {' and no '.join(idle)}")
        for name in _SECTION_MAY.get(self.kind, ()):
            if not 0.0 < getattr(self, name) < 1.0:
                raise ValueError(f"{name} must lie between the leading and the trailing edge")
        if self.digits is not None and (self.digits[0] == "0") != (self.digits[1] == "0"):
            raise ValueError(
                f"NACA {self.digits} has camber without its place, or the place without camber; "
                "the first two digits are both 0 or neither"
            )
        return self


SectionField = Annotated[Section, BeforeValidator(_section_from_text)]


class Station(FileModel):
    """One rib station of a surface: where its leading edge is, and how long its chord.

    Say how far out it is either by ``span`` (measured along the wing, as it lies flat on the
    bench) with the panel's ``dihedral``, or by ``y`` and ``z`` (measured on the drawing).
    """

    span: NonNegativeLength | None = Field(
        None, description="Distance from the root along the surface, as it lies flat on the bench."
    )
    y: Length | None = Field(None, description="Distance outboard of the surface's root.")
    z: Length | None = Field(None, description="Height above the surface's root.")
    x: Length = Field(0.0, description="Leading edge, aft of the surface's root leading edge.")
    chord: NonNegativeLength = Field(description="Chord; zero only at a pointed tip.")
    dihedral: Angle | None = Field(
        None, description="Dihedral of the panel that ends here, with span; 90 deg stands upright."
    )
    washout: Angle | None = Field(
        None,
        description="Nose-down twist against the root; where left out, straight between the "
        "stations that give it.",
    )
    section: SectionField | None = Field(None, description="Section from here outboard.")

    @check(mode="after")
    def _placed_once(self) -> Self:
        if (self.span is None) == (self.y is None and self.z is None):
            raise ValueError("give span (along the surface) or y and z (on the drawing), not both")
        if self.span is None and self.dihedral is not None:
            raise ValueError("dihedral goes with span; with y and z the heights say it")
        return self


class Control(FileModel):
    """A movable part at a surface's trailing edge."""

    kind: ControlKind = Field(description="What it does.")
    from_: NonNegativeLength = Field(alias="from", description="Inboard end, along the surface.")
    to: PositiveLength = Field(description="Outboard end, along the surface.")
    chord: ChordShare = Field(description="Its chord as a share of the local chord.")
    travel: Angle = assumed(
        "Greatest deflection each way.", "20° of travel each way (estimate)", default=TRAVEL
    )

    @check(mode="after")
    def _runs_outboard(self) -> Self:
        if self.to <= self.from_:
            raise ValueError("to must lie outboard of from")
        if self.chord == 0.0:
            raise ValueError("chord must be above 0")
        return self


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


class Part(FileModel):
    """Something built from material. Its mass is worked out unless it has been weighed.

    How much there is of it: ``cover`` (area from the airframe), ``run`` (length along it),
    ``line`` (length between points), or plainly ``area`` or ``length`` with a place ``at``.
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
    at: Point | None = Field(None, description="Where the middle of it lies, from the datum.")
    size: StickSize | None = Field(None, description="Cross-section of a stick, tube or wire.")
    from_: NonNegativeLength | None = Field(
        None, alias="from", description="With cover on a surface: inboard end along the span."
    )
    to: PositiveLength | None = Field(
        None, description="With cover on a surface: outboard end along the span."
    )
    share: Share = Field(1.0, description="Share of that area really there (lightening holes).")
    count: Count = Field(1, description="How many; on a mirrored surface, how many a side.")
    measured: Mass | None = Field(
        None, description="Weighed mass of all of them together; wins over the worked-out one."
    )

    @check(mode="after")
    def _one_amount(self) -> Self:
        amounts = ("cover", "run", "line", "area", "length")
        given = [name for name in amounts if getattr(self, name) is not None]
        if len(given) != 1:
            raise ValueError(
                f"give one of {', '.join(amounts)}, not {' and '.join(given) or 'none'}"
            )
        if given[0] in ("area", "length") and self.at is None:
            raise ValueError(f"{given[0]} needs at: the place of its middle")
        if given[0] in ("run", "line", "length") and self.share != 1.0:
            raise ValueError("share goes with cover or area")
        if self.share == 0.0:
            raise ValueError("share must be above 0; leave out a part that is not there")
        if self.line is not None and len(set(self.line)) == 1:
            raise ValueError("line must have length: its points are all the same")
        if (self.from_ is not None or self.to is not None) and given[0] != "cover":
            raise ValueError("from and to go with cover; inside run they have their own place")
        if self.from_ is not None and self.to is not None and self.to <= self.from_:
            raise ValueError("to must lie outboard of from")
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


class Surface(Component):
    """A wing, tailplane, fin, V-tail or canard: a chain of flat panels between stations."""

    role: SurfaceRole = Field(description="What it is to the layout.")
    at: Point = Field(Point(), description="Leading edge of the root, from the datum.")
    incidence: Angle = assumed(
        "Nose-up angle of the root against the datum line.", "no incidence", default=0.0
    )
    mirror: bool | None = Field(
        None,
        description="Built on both sides. Left out: yes, but for a fin on the centre line.",
        strict=True,
    )
    section: SectionField | None = Field(
        None, description="Section, unless a station says otherwise."
    )
    stations: tuple[Station, ...] = Field(
        min_length=2, max_length=60, description="From the root outboard."
    )
    controls: dict[Key, Control] = Field({}, description="Control surfaces.")

    @check(mode="after")
    def _stations_in_order(self) -> Self:
        by_span = {station.span is not None for station in self.stations}
        if len(by_span) == 2:
            raise ValueError("all stations of a surface are placed the same way: span, or y and z")
        for number, (inner, outer) in enumerate(
            zip(self.stations, self.stations[1:], strict=False), 1
        ):
            if by_span == {True}:
                if outer.span <= inner.span:  # type: ignore[operator]
                    raise ValueError(f"stations[{number}].span must lie outboard of the one before")
            elif (inner.y or 0.0, inner.z or 0.0) == (outer.y or 0.0, outer.z or 0.0):
                raise ValueError(f"stations[{number}] lies on the one before")
            elif (outer.y or 0.0) < (inner.y or 0.0) - 1e-12:
                raise ValueError(f"stations[{number}].y crosses back over the one before")
            if inner.chord == 0.0:
                raise ValueError(
                    f"stations[{number - 1}].chord is zero; only the tip may be pointed"
                )
        first = self.stations[0]
        if by_span == {True} and first.span != 0.0:
            raise ValueError("stations[0].span must be 0: the root")
        if by_span == {False} and ((first.y or 0.0) != 0.0 or (first.z or 0.0) != 0.0):
            raise ValueError("stations[0] must be the root: y 0, z 0; use at to place the surface")
        if self.section is None and first.section is None:
            raise ValueError("section is missing: give it to the surface or to its first station")
        if self.role == "wing" and (self.mirror is False or self.at.y != 0.0):
            raise ValueError(
                "a wing starts on the centre line and is mirrored; leave out mirror and at.y"
            )
        return self

    @check(mode="after")
    def _faces_the_air(self) -> Self:
        """Width and height as the role needs them; without, it would have no area in its view."""
        for number, station in enumerate(self.stations):
            if station.dihedral is not None and abs(station.dihedral) > math.pi / 2 + 1e-9:
                raise ValueError(f"stations[{number}].dihedral must lie from -90 to 90 deg")
        level = self.places[-1][1] > 1e-6
        upright = any(abs(b[2] - a[2]) > 1e-6 for a, b in pairwise(self.places))
        if self.role == "vee-tail" and not (level and upright):
            raise ValueError("a vee-tail needs dihedral; a level one is a tailplane")
        if self.role == "fin" and not upright:
            raise ValueError("a fin needs height; a level one is a tailplane")
        if self.role != "fin" and not level:
            raise ValueError(f"a {self.role} needs width; an upright one is a fin")
        if self.role == "fin" and self.mirror and not level and self.at.y == 0.0:
            raise ValueError("a mirrored fin needs at.y: how far out it sits")
        return self

    @check(mode="after")
    def _within_span(self) -> Self:
        """What runs along the surface ends on it."""
        span = self.span + 1e-9
        ends = [(f"controls.{key}", c.from_, c.to) for key, c in self.controls.items()]
        for number, part in enumerate(self.parts):
            ends.append((f"parts[{number}]", part.from_ or 0.0, part.to or self.span))
            if part.run is not None:
                ends.append((f"parts[{number}].run", part.run.from_, part.run.to))
        for where, start, end in ends:
            if start < 0.0 or end > span or start >= span - 2e-9:
                raise ValueError(
                    f"{where} runs from {start * 1000:g} to {end * 1000:g} mm, but the surface "
                    f"only from 0 to {self.span * 1000:g} mm along its span"
                )
        return self

    @property
    def places(self) -> tuple[tuple[float, float, float], ...]:
        """Developed span, y and z of each station, from the root. [m]

        A panel without a dihedral has that of the one before; the first is level, or upright on a
        fin.
        """
        span = y = z = 0.0
        dihedral = math.pi / 2 if self.role == "fin" else 0.0
        places = [(span, y, z)]
        for inner, outer in pairwise(self.stations):
            if outer.span is not None and inner.span is not None:
                width = outer.span - inner.span
                dihedral = outer.dihedral if outer.dihedral is not None else dihedral
                dy, dz = width * math.cos(dihedral), width * math.sin(dihedral)
                dy = 0.0 if abs(dy) < 1e-12 else dy
            else:
                dy = (outer.y or 0.0) - (inner.y or 0.0)
                dz = (outer.z or 0.0) - (inner.z or 0.0)
                width = math.hypot(dy, dz)
            span, y, z = span + width, y + dy, z + dz
            places.append((span, y, z))
        return tuple(places)

    @property
    def span(self) -> float:
        """Developed distance from root to tip. [m]"""
        return self.places[-1][0]

    @property
    def mirrored(self) -> bool:
        """Whether the surface is built on both sides."""
        if self.mirror is not None:
            return self.mirror
        return self.role != "fin" or self.at.y != 0.0


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
        if self.mirror and self.at.y == 0.0:
            raise ValueError("a mirrored body needs at.y: how far out it sits")
        return self


class Item(FileModel):
    """A bought or ready-made thing with a mass and a place."""

    name: Line = Field(description="What it is.")
    kind: ItemKind = Field("other", description="Groups it in tables and chooses its cautions.")
    mass: Mass = Field(description="Mass of one.")
    measured: bool = Field(
        False, description="True when weighed, not from a data sheet.", strict=True
    )
    at: Point = Field(description="Where its middle lies, from the datum.")
    mirror: bool = Field(False, description="One on each side.", strict=True)
    size: Size | None = Field(None, description="Outside dimensions; else it counts as a point.")
    diameter: PositiveLength | None = Field(
        None, description="Diameter of a propeller, for drawings."
    )

    @check(mode="after")
    def _mirror_has_side(self) -> Self:
        if self.mirror and self.at.y == 0.0:
            raise ValueError("a mirrored item needs at.y: how far out it sits")
        return self


class Battery(FileModel):
    """One of the batteries the model may fly with."""

    name: Line = Field(description="What a builder would look for, without a maker's name.")
    mass: Mass = Field(description="Mass with its lead and plug.")
    measured: bool = Field(
        False, description="True when weighed, not from a data sheet.", strict=True
    )
    cells: Count | None = Field(None, description="Cells in series.")
    capacity: Charge | None = Field(None, description="Capacity.")
    size: Size | None = Field(None, description="Outside dimensions; else it counts as a point.")
    x: Length | None = Field(None, description="Where its middle sits; else as the bay says.")


class BatteryBay(FileModel):
    """Where the battery may slide. Places are those of the middle of the battery."""

    from_: Length = Field(alias="from", description="Foremost place of the battery's middle.")
    to: Length = Field(description="Aftmost place of the battery's middle.")
    x: Length | None = assumed(
        "Where it sits on the plan; else the middle of the bay.",
        "a battery without a place of its own sits in the middle of the bay",
        default=None,
    )
    y: Length = assumed("Distance to starboard.", "battery on the centre line", default=0.0)
    z: Length = assumed("Height above the datum.", "battery at the datum's height", default=0.0)

    @check(mode="after")
    def _order(self) -> Self:
        if self.to < self.from_:
            raise ValueError("to must lie aft of from")
        if self.x is not None and not self.reaches(self.x):
            raise ValueError("x must lie between from and to")
        return self

    def reaches(self, x: float) -> bool:
        """Whether the middle of a battery may sit at ``x``."""
        return self.from_ <= x <= self.to


class BalanceMark(FileModel):
    """A place on the wing: a share of the mean aerodynamic chord, or a distance on the root."""

    mac: Share | None = Field(None, description="Share of the mean aerodynamic chord.")
    root: Length | None = Field(None, description="Aft of the wing's root leading edge.")

    @check(mode="after")
    def _one(self) -> Self:
        if (self.mac is None) == (self.root is None):
            raise ValueError("give mac or root, one of them")
        return self


class Balance(FileModel):
    """Where the designer wants it to balance, and where ballast may go."""

    target: BalanceMark | None = Field(None, description="Where it must balance.")
    forward: BalanceMark | None = Field(None, description="Foremost balance point allowed.")
    aft: BalanceMark | None = Field(None, description="Aftmost balance point allowed.")
    why: Prose | None = Field(None, description="How the designer found it.")
    nose: Point | None = Field(None, description="Where ballast goes in the nose.")
    tail: Point | None = Field(None, description="Where ballast goes at the tail.")

    @check(mode="after")
    def _limits_with_target(self) -> Self:
        if self.target is None and (self.forward is not None or self.aft is not None):
            raise ValueError("forward and aft limits need a target")
        return self


class Allowance(FileModel):
    """Glue and paint, on top of the worked-out parts."""

    glue: Share = assumed(
        "Glue as a share of the worked-out parts' mass.",
        "glue is 8 % of the worked-out parts (estimate)",
        default=0.08,
    )
    paint: ArealDensity | None = assumed(
        "Paint or film over all wetted area.", "no paint", default=None
    )


class Credits(FileModel):
    """Who made it and what others may do with it."""

    designer: Line = Field(description="Designer's name or pen name.")
    approved: Line | None = Field(None, description="Who checked the drawings, if anyone did.")
    owner: Line = Field("", description="Legal owner for the title block; else the designer.")
    licence: Line = Field("CC BY 4.0", description="Licence of the plans.")
    thanks: tuple[Line, ...] = Field((), max_length=20, description="Others who helped.")


class FlightAims(FileModel):
    """Where it flies, and what the flight calculation may count on."""

    field_height: Length = assumed(
        "Height of the flying field above the sea.", "the field lies at sea level", default=0.0
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
    bay: BatteryBay | None = Field(None, description="Where the battery may slide.")
    balance: Balance = Field(Balance(), description="Where it must balance.")
    allowance: Allowance = Field(Allowance(), description="Glue and paint.")
    flight: FlightAims = Field(FlightAims(), description="Where it flies.")

    @check(mode="after")
    def _hangs_together(self) -> Self:
        if not any(surface.role == "wing" for surface in self.surfaces.values()):
            raise ValueError("surfaces has no wing: give one surface the role wing")
        if self.batteries and self.bay is None:
            raise ValueError("batteries need a bay: where the battery may slide")
        for number, battery in enumerate(self.batteries):
            if self.bay and battery.x is not None and not self.bay.reaches(battery.x):
                raise ValueError(f"batteries[{number}].x must lie in the bay")
        if shared := sorted(set(self.surfaces) & set(self.bodies)):
            raise ValueError(f'"{shared[0]}" names a surface and a body; use two names')
        for key, surface in self.surfaces.items():
            _refuse_covers(f"surfaces.{key}", surface.parts, SURFACE_COVERS)
        for key, body in self.bodies.items():
            _refuse_covers(f"bodies.{key}", body.parts, BODY_COVERS)
            for number, part in enumerate(body.parts):
                if part.from_ is not None or part.to is not None:
                    raise ValueError(
                        f"bodies.{key}.parts[{number}]: from and to go with cover on a surface"
                    )
        for number, part in enumerate(self.parts):
            if part.cover is not None or part.run is not None:
                raise ValueError(
                    f"parts[{number}]: cover and run belong to a surface or body; "
                    "here give line, area or length"
                )
        return self


def _refuse_covers(where: str, parts: tuple[Part, ...], allowed: tuple[str, ...]) -> None:
    for number, part in enumerate(parts):
        if part.cover is not None and part.cover not in allowed:
            raise ValueError(
                f'{where}.parts[{number}].cover "{part.cover}" does not go here; '
                f"allowed: {', '.join(allowed)}"
            )


class StepPicture(FileModel):
    """A picture in a build step."""

    file: Line = Field(description="File in the design's folder, such as photos/spar.png.")
    alt: Line = Field(description="What the picture shows, for those who cannot see it.")
    caption: Line | None = Field(None, description="Text under the picture.")


class Wait(FileModel):
    """Time to let something set."""

    minutes: Annotated[int, Field(ge=1, le=20160, strict=True)] = Field(description="How long.")
    reason: Line = Field(alias="for", description="What must set or dry.")


class StepHead(FileModel):
    """Front matter of a build step, ``steps/010-….md``."""

    title: Line = Field(description="What is done in this step.")
    minutes: Annotated[int, Field(ge=1, le=2880, strict=True)] = Field(description="Working time.")
    parts: tuple[Line, ...] = Field((), max_length=60, description="What goes in.")
    tools: tuple[Line, ...] = Field((), max_length=30, description="What is used.")
    cautions: tuple[Fact, ...] = Field((), max_length=12, description="Dangers in this step.")
    wait: Wait | None = Field(None, description="Setting time afterwards.")
    pictures: tuple[StepPicture, ...] = Field((), max_length=12, description="Pictures.")


class NotesHead(FileModel):
    """Front matter of ``notes.md``."""

    fitting: tuple[Line, ...] = Field((), max_length=40, description="Known hand-fitting work.")
    problems: tuple[Line, ...] = Field((), max_length=40, description="Known problems.")


class Flight(FileModel):
    """One entry of ``log.yaml``."""

    date: datetime.date = Field(description="Day of the flight, as 2026-05-30.")
    conditions: Line = Field(description="Wind, weather, ground.")
    battery: Line | None = Field(None, description="Which battery.")
    battery_x: Length | None = Field(None, description="Where its middle sat.")
    mass: Mass | None = Field(None, description="Weighed, ready to fly.")
    balance: BalanceMark | None = Field(None, description="Where it was found to balance.")
    happened: Prose = Field(description="What it did.")
    changed: Prose | None = Field(None, description="What was changed afterwards.")


class FlightLog(FileModel):
    """``log.yaml``."""

    flights: tuple[Flight, ...] = Field(max_length=500, description="Oldest first.")
