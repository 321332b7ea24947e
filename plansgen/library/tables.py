"""The packaged tables: materials, safety notes, paper sizes and methods, each with its source.

Quantities are written with their unit, as in a design file, and are SI floats once read. Every
packaged value carries where it comes from (``source``) and how far to trust that (``mark``).
"""

from __future__ import annotations

import importlib.resources
from collections.abc import Iterable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, Literal, Self, get_args

import yaml
from pydantic import Field, StringConstraints, model_validator

from plansgen.library.entry import Mark as Mark
from plansgen.library.entry import SheetThickness
from plansgen.library.entry import TableModel as TableModel
from plansgen.library.entry import Words as Words
from plansgen.library.mechanics import BendTest, Mechanics
from plansgen.library.units import Density, LinearDensity, Measure, PositiveLength, Share

Fact = Literal[
    "always",
    "blade",
    "bungee_or_winch",
    "carbon_dust",
    "charging",
    "cold",
    "cyanoacrylate",
    "first_flight",
    "hand_launch",
    "heavy",
    "hot_glue",
    "hot_iron",
    "hot_wire",
    "isocyanate_glue",
    "large_span",
    "lithium_battery",
    "magnets",
    "polycarbonate",
    "power_tool",
    "propeller",
    "pusher_propeller",
    "radio_failsafe",
    "sanding_dust",
    "several_motors",
    "soldering",
    "solvent_or_spray",
    "two_part_resin",
    "water_flying",
    "weather",
    "wire_or_rod",
]
"""What a design contains, or what is done to it, that calls for a safety note."""

Action = Literal[
    "bending_wire",
    "charging",
    "cutting",
    "drilling",
    "gluing",
    "launch",
    "load_test",
    "motor_test",
    "painting",
    "recovery",
    "sanding",
    "soldering",
    "storing",
    "water",
]
"""What a safety note comes before."""

Level = Literal["danger", "warning", "caution", "notice"]
"""Signal words of ANSI Z535.4, gravest first."""

MaterialKind = Literal["sheet", "stick", "tube", "wire", "film", "tape", "glue", "paint"]

Family = Literal[
    "foam board", "foam", "cardboard", "paper", "plastic", "film", "wood", "metal", "composite"
]
"""What a builder would say a model is made of."""

# Narrower than a design's other quantities: a slip between g/m² and kg/m² is told and not believed.
# The lightest covering film made weighs some 3 g/m².
SheetDensity = Annotated[
    float, Measure("a mass per area", "g/m2", "50 kg/m2", "1 g/m2", examples=(480, "0.48 kg/m2"))
]


class Material(TableModel):
    """What parts are made of; packaged, or a design's own."""

    name: Words = Field(description="What it is, without a maker's name.")
    kind: MaterialKind = Field(description="The form it comes in.")
    family: Family | None = Field(None, description="What a builder says it is made of.")
    density: Density | None = Field(None, description="Density.")
    areal_density: SheetDensity | None = Field(None, description="Mass per area of one sheet.")
    linear_density: LinearDensity | None = Field(None, description="Mass per length.")
    thickness: SheetThickness | None = Field(None, description="Thickness of a sheet.")
    spread: Share | None = Field(
        None,
        description="Share by which a piece usually differs from this, one standard deviation.",
    )
    source: Words | None = Field(None, description="Where the value comes from.")
    measured: bool = Field(False, description="True when a piece was weighed.", strict=True)
    mark: Mark | None = Field(None, description="How far to trust the value.")
    note: Words | None = Field(None, description="What to know when using it.")
    hazards: tuple[Fact, ...] = Field((), description="Safety notes that go with it.")
    like: Words | None = Field(
        None, description="A packaged material whose stiffness and strength are taken over."
    )
    mechanics: Mechanics | None = Field(None, description="How stiff and how strong it is.")
    bend_tests: tuple[BendTest, ...] = Field(
        (), max_length=20, description="Strips bent over two books; they win over the modulus."
    )

    @model_validator(mode="after")
    def _has_a_mass(self) -> Self:
        if self.density is None and self.areal_density is None and self.linear_density is None:
            raise ValueError("give density, areal_density or linear_density")
        return self

    @model_validator(mode="after")
    def _mechanics_hang_together(self) -> Self:
        if self.like is not None and self.mechanics is not None:
            raise ValueError("give like or mechanics, not both")
        if self.bend_tests and self.like is None and self.mechanics is None:
            raise ValueError("bend_tests need like or mechanics: they give no strength")
        if self.bend_tests and self.thickness is None:
            raise ValueError("bend_tests need thickness")
        faces = self.mechanics.faces if self.mechanics else None
        if faces is not None and self.thickness is None:
            raise ValueError("mechanics.faces need the thickness of the whole sheet")
        if faces is not None and faces.thickness * faces.sides >= (self.thickness or 0.0):
            raise ValueError("mechanics.faces leave no room for the core")
        return self


class Layer(TableModel):
    """One layer of a built-up sheet, by its mass per area or by density and thickness."""

    name: Words
    areal_density: SheetDensity | None = None
    density: Density | None = None
    thickness: SheetThickness | None = None
    take_up: Annotated[float, Field(ge=1)] = 1.0

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        solid = self.density is not None and self.thickness is not None
        if solid == (self.areal_density is not None):
            raise ValueError("give areal_density, or density and thickness")
        return self

    @property
    def mass_per_area(self) -> float:
        """Mass of this layer per area of sheet, waves and both faces included. [kg/m²]"""
        single = self.areal_density or (self.density or 0.0) * (self.thickness or 0.0)
        return self.take_up * single


class StockMaterial(Material):
    """A packaged material: never without source, mark and spread."""

    spread: Share
    source: Words
    mark: Mark
    layers: tuple[Layer, ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _add_up_layers(cls, data: Any) -> Any:
        """Work out a built-up sheet's mass per area from its layers (grammage identity)."""
        if not isinstance(data, dict) or "layers" not in data:
            return data
        if "areal_density" in data:
            raise ValueError("layers give the areal_density; do not write it a second time")
        layers = tuple(Layer.model_validate(layer) for layer in data["layers"])
        total = sum(layer.mass_per_area for layer in layers)
        return {**data, "layers": layers, "areal_density": f"{total * 1000:.3f} g/m2"}


class Caution(TableModel):
    """A safety note: what can happen, and what to do."""

    id: Annotated[str, StringConstraints(pattern=r"^[a-z0-9-]+$")]
    level: Level
    applies_when: Annotated[tuple[Fact, ...], Field(min_length=1)]
    before: Annotated[tuple[Action, ...], Field(min_length=1)]
    title: Words
    text: Words
    source: Words


class Paper(TableModel):
    """A sheet size, portrait. width and height in metres."""

    name: Words
    width: PositiveLength
    height: PositiveLength
    source: Words
    mark: Mark


class Method(TableModel):
    """How a kind of number is worked out, from what, and where it stops being right."""

    title: Words
    formula: Words
    how: Words
    inputs: Annotated[tuple[Words, ...], Field(min_length=1)]
    limits: Words
    source: Words
    mark: Mark


class Word(TableModel):
    """A field word and what it means; see the head of words.yaml."""

    id: Annotated[str, StringConstraints(pattern=r"^[a-z0-9-]+$")]
    word: Words
    also: tuple[Words, ...] = ()
    drawing: str | None = None
    linked: bool = True
    text: Words


class _WordTable(TableModel):
    words: tuple[Word, ...]


class _MaterialTable(TableModel):
    materials: dict[str, StockMaterial]


class _CautionTable(TableModel):
    levels: dict[Level, Words]
    cautions: tuple[Caution, ...]


class _PaperTable(TableModel):
    papers: dict[str, Paper]


class _MethodTable(TableModel):
    methods: dict[str, Method]


def _table(name: str) -> Any:
    """Parse one packaged YAML file."""
    text = importlib.resources.files("plansgen.data").joinpath(name).read_text("utf-8")
    return yaml.safe_load(text)


@cache
def materials() -> Mapping[str, Material]:
    """Packaged builders' materials by id, in the order of the table. SI units."""
    table = _MaterialTable.model_validate(_table("materials.yaml"))
    return MappingProxyType(table.materials)


@cache
def _caution_table() -> _CautionTable:
    return _CautionTable.model_validate(_table("cautions.yaml"))


def cautions() -> tuple[Caution, ...]:
    """Every safety note, gravest first, then by id."""
    return _in_order(_caution_table().cautions)


def caution_levels() -> Mapping[Level, str]:
    """What each signal word means (after ANSI Z535.4), gravest first."""
    levels = _caution_table().levels
    return MappingProxyType({level: levels[level] for level in get_args(Level)})


def cautions_for(facts: Iterable[Fact]) -> tuple[Caution, ...]:
    """Safety notes that any of the facts call for, and those that always hold.

    Gravest first, then by id.
    """
    held = frozenset(facts) | {"always"}
    return tuple(note for note in cautions() if held & set(note.applies_when))


def _in_order(notes: Iterable[Caution]) -> tuple[Caution, ...]:
    levels = get_args(Level)
    return tuple(sorted(notes, key=lambda note: (levels.index(note.level), note.id)))


@cache
def paper_sizes() -> Mapping[str, Paper]:
    """Paper sizes by id (``a4``, ``letter``), portrait, in metres."""
    return MappingProxyType(_PaperTable.model_validate(_table("paper.yaml")).papers)


@cache
def methods() -> Mapping[str, Method]:
    """How each kind of number is worked out, by the key that its :class:`Quantity` carries."""
    return MappingProxyType(_MethodTable.model_validate(_table("methods.yaml")).methods)


@cache
def field_words() -> tuple[Word, ...]:
    """Words of the field in the order of the alphabet."""
    words = _WordTable.model_validate(_table("words.yaml")).words
    return tuple(sorted(words, key=lambda word: word.word.lower()))
