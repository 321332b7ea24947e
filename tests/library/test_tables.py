"""The packaged tables: complete, sourced, closed to strangers, and reachable."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from typing import Any, get_args

import pytest
import yaml
from pydantic import ValidationError

import plansgen
from plansgen.library.tables import (
    Action,
    Caution,
    Fact,
    Level,
    Mark,
    Material,
    StockMaterial,
    caution_levels,
    cautions,
    cautions_for,
    materials,
    methods,
    paper_sizes,
)
from plansgen.library.units import FileUnits

KEBAB = re.compile(r"[a-z0-9]+([.-][a-z0-9]+)*")


# --- materials -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(materials()))
def test_a_material_says_where_its_value_comes_from(name: str) -> None:
    material = materials()[name]
    assert KEBAB.fullmatch(name)
    assert len(material.source or "") > 10
    assert material.mark in get_args(Mark)
    assert not material.measured, "nobody weighed the reader's sheet"
    assert material.spread
    assert 0 < material.spread < 0.5


@pytest.mark.parametrize("name", sorted(materials()))
def test_a_material_can_be_weighed_in_its_form(name: str) -> None:
    """Sheets and films by area, sticks by density and size, beads and lines by length."""
    material = materials()[name]
    by_area = material.areal_density or (material.density and material.thickness)
    if material.kind in ("sheet", "film", "tape", "paint"):
        assert by_area
    elif material.kind in ("stick", "tube"):
        assert material.density
        assert not material.thickness, "the design gives the size of a stick"
    elif material.kind == "wire":
        assert material.density or material.linear_density
    else:
        assert by_area or material.linear_density


@pytest.mark.parametrize("name", sorted(materials()))
def test_no_sheet_is_lighter_or_denser_than_any_solid(name: str) -> None:
    """From 10 kg/m³ (the lightest bead foam) to 8960 kg/m³ (copper, CRC Handbook, from memory)."""
    material = materials()[name]
    if material.areal_density and material.thickness:
        assert 10 < material.areal_density / material.thickness < 8960
    if material.density:
        assert 10 < material.density < 8960


def test_an_estimated_sheet_asks_to_be_weighed() -> None:
    for name, material in materials().items():
        if material.mark == "estimate" and material.kind == "sheet":
            assert re.search(r"[Ww]eigh", material.note or ""), name


def test_layers_replace_a_mass_per_area() -> None:
    layers = [{"name": "skin", "areal_density": "100 g/m²", "take_up": 2}]
    entry: dict[str, Any] = {
        **{"name": "board", "kind": "sheet", "layers": layers},
        **{"spread": 0.1, "source": "a test", "mark": "estimate"},
    }
    assert StockMaterial.model_validate(entry).areal_density == pytest.approx(0.2)
    with pytest.raises(ValidationError, match="second time"):
        StockMaterial.model_validate({**entry, "areal_density": 1})
    solid = {"name": "core", "density": 40, "thickness": 5}
    both = StockMaterial.model_validate({**entry, "layers": [*layers, solid]})
    assert both.areal_density == pytest.approx(0.2 + 40 * 0.005)


@pytest.mark.parametrize(
    "layer", [{"density": 40}, {"areal_density": 9, "density": 40, "thickness": 1}, {}]
)
def test_a_layer_is_given_one_way(layer: dict[str, float]) -> None:
    entry = {"name": "board", "kind": "sheet", "layers": [{"name": "core", **layer}]}
    with pytest.raises(ValidationError, match="density and thickness"):
        StockMaterial.model_validate(
            {**entry, "spread": 0.1, "source": "a test", "mark": "estimate"}
        )


def test_a_design_brings_its_own_material_in_builders_units() -> None:
    """Avoirdupois ounce 28.349523125 g and inch 25.4 mm are exact (NIST SP 811, appendix B)."""
    own = Material.model_validate(
        {
            **{"name": "our board", "kind": "sheet", "measured": True},
            **{"areal_density": "14 oz/yd2", "thickness": "3/16 in"},
        },
        context={"units": FileUnits()},
    )
    assert own.areal_density == pytest.approx(14 * 0.028349523125 / 0.9144**2)
    assert own.thickness == pytest.approx(0.0047625)
    assert own.mark is None
    assert own.measured


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("areal_density", 0.48),  # kg/m² where a bare number is g/m²
        ("areal_density", 0),
        ("areal_density", "nan"),
        ("thickness", 0.005),  # metres where a bare number is millimetres
        ("density", -1),
        ("densty", 100),
        ("kind", "liquid"),
        ("measured", "yes"),
        ("hazards", ["dragons"]),
    ],
)
def test_a_slip_in_a_material_is_refused(key: str, value: object) -> None:
    good: dict[str, object] = {"name": "board", "kind": "sheet", "areal_density": 480}
    Material.model_validate(good)
    with pytest.raises(ValidationError):
        Material.model_validate({**good, key: value})


def test_a_material_without_mass_is_refused() -> None:
    with pytest.raises(ValidationError, match="give density"):
        Material.model_validate({"name": "air", "kind": "sheet", "thickness": 5})


# --- cautions --------------------------------------------------------------------------------


@pytest.mark.parametrize("note", cautions(), ids=lambda note: note.id)
def test_a_caution_is_short_sourced_and_reachable(note: Caution) -> None:
    sentences = len(re.findall(r"\.(?: |$)", note.text))
    assert 2 <= sentences <= 4
    assert note.source
    for fact in note.applies_when:
        assert note in cautions_for(frozenset({fact}))


def test_ids_are_unique() -> None:
    ids = [note.id for note in cautions()]
    assert len(ids) == len(set(ids))


def test_every_fact_has_a_caution_and_every_action_a_use() -> None:
    assert {fact for note in cautions() for fact in note.applies_when} == set(get_args(Fact))
    assert {act for note in cautions() for act in note.before} == set(get_args(Action))


def test_what_always_holds_is_always_told() -> None:
    bare = {note.id for note in cautions_for(frozenset())}
    assert bare == {note.id for note in cautions() if "always" in note.applies_when}
    assert {"carry-no-one", "keep-clear-of-people", "local-rules", "children"} <= bare


def test_nothing_is_told_that_was_not_called_for() -> None:
    told = cautions_for(frozenset({"magnets"}))
    assert {note.id for note in told if "always" not in note.applies_when} == {"magnets"}


def test_order_is_gravest_first_then_by_id() -> None:
    """ANSI Z535.4: danger, warning, caution, notice."""
    order = ["danger", "warning", "caution", "notice"]
    places = [(order.index(note.level), note.id) for note in cautions_for(get_args(Fact))]
    assert places == sorted(places)
    assert len(places) == len(cautions())
    assert list(caution_levels()) == order == list(get_args(Level))


def test_a_lithium_model_hears_of_charging_storing_and_cold() -> None:
    told = {note.id for note in cautions_for(frozenset({"lithium_battery", "charging", "cold"}))}
    assert {
        "lithium-use",
        "lithium-charging",
        "lithium-storage",
        "lithium-below-freezing",
        "cold-flying",
    } <= told


# --- methods ---------------------------------------------------------------------------------


@pytest.mark.parametrize("key", sorted(methods()))
def test_a_method_says_what_from_what_and_how_far(key: str) -> None:
    method = methods()[key]
    assert KEBAB.fullmatch(key)
    assert method.mark in get_args(Mark)
    assert method.how.endswith(".")
    assert method.limits.endswith(".")
    assert len(method.source) > 10


def _method_keys() -> Iterator[tuple[str, str]]:
    """Every method key that the package's code names, with the file that names it."""
    for path in sorted(Path(plansgen.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
                continue
            if node.func.id == "Quantity" and len(node.args) > 2:
                key = node.args[2]
                if isinstance(key, ast.Constant) and isinstance(key.value, str):
                    yield key.value, path.name


def test_every_number_of_a_result_has_its_method() -> None:
    named = list(_method_keys())
    assert named
    missing = sorted({(key, file) for key, file in named if key not in methods()})
    assert not missing


# --- all -------------------------------------------------------------------------------------


def test_tables_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        paper_sizes()["a4"] = paper_sizes()["a5"]  # type: ignore[index]
    with pytest.raises(ValidationError):
        methods()["ballast"].title = "lead"  # type: ignore[misc]


def test_reading_tables_loads_neither_numpy_nor_pint() -> None:
    """They are read in every process, and both take long to load."""
    code = (
        "import sys; from plansgen.library import tables as t; "
        "t.materials(), t.cautions(), t.methods(), t.paper_sizes(); "
        "print(sorted({'numpy', 'pint'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize(
    "table",
    sorted(p.name for p in resources.files("plansgen.data").iterdir() if p.name[-4:] == "yaml"),
)
def test_no_packaged_table_says_a_key_twice(table: str) -> None:
    """YAML 1.2.2, section 3.2.1.1: keys of a mapping are unique; the parser would keep the last."""
    text = resources.files("plansgen.data").joinpath(table).read_text("utf-8")
    assert list(twice(yaml.compose(text, Loader=yaml.SafeLoader))) == []


def test_a_key_said_twice_is_seen() -> None:
    assert list(twice(yaml.compose("a: {b: 1, c: 2, b: 3}", Loader=yaml.SafeLoader))) == ["b"]


def twice(node: yaml.Node | None) -> Iterator[str]:
    """Keys that stand more than once in one mapping, at any depth."""
    if isinstance(node, yaml.MappingNode):
        keys = [key.value for key, _ in node.value if key.value != "<<"]
        yield from sorted({key for key in keys if keys.count(key) > 1})
        for _, value in node.value:
            yield from twice(value)
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            yield from twice(value)
