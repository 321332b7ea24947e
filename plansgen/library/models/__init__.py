"""The design file: what a builder may write, and what is assumed when it is left out.

Every length, mass and angle is SI once validated; the conversion happens in the field types of
:mod:`plansgen.library.units`. Coordinates are the body frame: x aft from the design's datum, y to
the starboard wing, z up. Field descriptions are the documentation: the reference page and the JSON
Schema are made from them.
"""

from __future__ import annotations

from plansgen.library.models.bodies import Body, Frame
from plansgen.library.models.design_file import Credits, DesignFile, FlightAims
from plansgen.library.models.fields import (
    BodyRole,
    ControlKind,
    Count,
    FileModel,
    ItemKind,
    Key,
    Launch,
    Layout,
    Line,
    Name,
    Point,
    Prose,
    Size,
    Skill,
    Status,
    SurfaceRole,
    assumed,
)
from plansgen.library.models.masses import (
    Allowance,
    Balance,
    BalanceMark,
    Battery,
    BatteryBay,
    Item,
    Variant,
)
from plansgen.library.models.openings import Opening, lies_in
from plansgen.library.models.pages import Flight, FlightLog, NotesHead, StepHead, StepPicture, Wait
from plansgen.library.models.parts import (
    BODY_COVERS,
    SURFACE_COVERS,
    Component,
    Cover,
    Formers,
    Lies,
    Over,
    Part,
    Rectangle,
    Ribs,
    Run,
    StickSize,
)
from plansgen.library.models.sections import Section, SectionField
from plansgen.library.models.stock import LARGEST_SHEET, Nesting, OwnPlace, StockSize
from plansgen.library.models.structure import HoldDown, Mount, Structure
from plansgen.library.models.surfaces import TRAVEL, Control, Station, Surface

__all__ = [
    "BODY_COVERS",
    "LARGEST_SHEET",
    "SURFACE_COVERS",
    "TRAVEL",
    "Allowance",
    "Balance",
    "BalanceMark",
    "Battery",
    "BatteryBay",
    "Body",
    "BodyRole",
    "Component",
    "Control",
    "ControlKind",
    "Count",
    "Cover",
    "Credits",
    "DesignFile",
    "FileModel",
    "Flight",
    "FlightAims",
    "FlightLog",
    "Formers",
    "Frame",
    "HoldDown",
    "Item",
    "ItemKind",
    "Key",
    "Launch",
    "Layout",
    "Lies",
    "Line",
    "Mount",
    "Name",
    "Nesting",
    "NotesHead",
    "Opening",
    "Over",
    "OwnPlace",
    "Part",
    "Point",
    "Prose",
    "Rectangle",
    "Ribs",
    "Run",
    "Section",
    "SectionField",
    "Size",
    "Skill",
    "Station",
    "Status",
    "StepHead",
    "StepPicture",
    "StickSize",
    "StockSize",
    "Structure",
    "Surface",
    "SurfaceRole",
    "Variant",
    "Wait",
    "assumed",
    "lies_in",
]
