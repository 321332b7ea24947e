"""Stiffness and strength as written: what is refused, and that the packaged table is complete."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any, get_args

import pytest
from pydantic import ValidationError

from plansgen.library.bending import measured_stiffness, outer_modulus
from plansgen.library.folder import read_design
from plansgen.library.mechanics import BendTest, Substance
from plansgen.library.tables import Mark, Material, materials
from plansgen.library.units import FileUnits
from plansgen.problems import BadInput, Problem

REPOSITORY = Path(__file__).resolve().parents[2]

SOLID: dict[str, Any] = {
    **{"modulus": "3 GPa", "shear_modulus": "1 GPa", "tension": 20, "compression": 10},
    **{"shear": 5, "spread": "20 %"},
}
READING = {"direction": "along", "span": 400, "width": 60, "load": 120, "sag": 8}


def own(**more: Any) -> Material:
    raw = {"name": "board", "kind": "sheet", "areal_density": 480, "thickness": 5, **more}
    return Material.model_validate(raw, context={"units": FileUnits()})


# --- one material ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"mechanics": {}}, "solid, or faces and core"),
        ({"mechanics": {"core": SOLID}}, "solid, or faces and core"),
        (
            {"mechanics": {"solid": SOLID, "core": SOLID}},
            "solid, or faces and core",
        ),
        (
            {"mechanics": {"solid": SOLID, "core": SOLID, "faces": {**SOLID, "thickness": 1}}},
            "solid, or faces and core",
        ),
        ({"mechanics": {"faces": {**SOLID, "thickness": 2.5}, "core": SOLID}}, "no room"),
        (
            {"mechanics": {"faces": {**SOLID, "thickness": 1}, "core": SOLID}, "thickness": None},
            "thickness of the whole sheet",
        ),
        ({"like": "foam-board-5mm", "mechanics": {"solid": SOLID}}, "not both"),
        ({"bend_tests": [READING]}, "need like or mechanics"),
        (
            {"like": "foam-board-5mm", "bend_tests": [READING], "thickness": None},
            "bend_tests need thickness",
        ),
        ({"mechanics": {"solid": {**SOLID, "modulus": 0}}}, "zero"),
        ({"mechanics": {"solid": {**SOLID, "tension": "20 g"}}}, "is a mass, not a pressure"),
        ({"mechanics": {"solid": {**SOLID, "stiffness": 3}}}, "not permitted"),
    ],
)
def test_a_slip_in_the_mechanics_is_refused(change: dict[str, Any], words: str) -> None:
    raw = {"name": "board", "kind": "sheet", "areal_density": 480, "thickness": 5, **change}
    given = {key: value for key, value in raw.items() if value is not None}
    with pytest.raises(ValidationError, match=words):
        Material.model_validate(given, context={"units": FileUnits()})


def test_a_bare_strength_is_in_megapascal() -> None:
    found = own(mechanics={"solid": SOLID}).mechanics
    assert found is not None
    assert found.outer().tension == 20e6


@pytest.mark.parametrize(("sag", "good"), [(39.9, True), (40.1, False), (80, False)])
def test_a_sag_of_a_tenth_of_the_span_is_too_much(sag: float, *, good: bool) -> None:
    reading = {**READING, "sag": sag}
    if good:
        BendTest.model_validate(reading, context={"units": FileUnits()})
        return
    with pytest.raises(ValidationError, match="less than a tenth of span"):
        BendTest.model_validate(reading, context={"units": FileUnits()})


def test_the_readings_give_the_stiffness() -> None:
    """P L³ / (48 w sag), Gere & Timoshenko: 0.12 kg on 400 mm, 60 mm wide, 8 mm of sag."""
    reading = BendTest.model_validate(READING, context={"units": FileUnits()})
    assert reading.stiffness == pytest.approx(0.12 * 9.80665 * 0.4**3 / (48 * 0.06 * 0.008))
    same = measured_stiffness(load=0.12, span=0.4, width=0.06, sag=0.008)
    assert reading.stiffness == pytest.approx(same)


def test_a_strip_softer_than_its_core_or_harder_than_diamond_has_no_modulus() -> None:
    with pytest.raises(ValueError, match="softer than its bare core"):
        outer_modulus(0.1, face=0.2e-3, sides=2, core=10e6, core_thickness=5e-3)
    with pytest.raises(ValueError, match="stiffer than anything known"):
        outer_modulus(1e6, face=0.2e-3, sides=2, core=10e6, core_thickness=5e-3)


# --- in a design folder ----------------------------------------------------------------------


def problems_with(tmp_path: Path, lines: str) -> list[Problem]:
    """Problems of a demo design whose weighed sheet is told to be something else."""
    shutil.copytree(REPOSITORY / "designs" / "dunlin", tmp_path / "designs" / "dunlin")
    (tmp_path / "mkdocs.yml").write_text("site_name: Test\n")
    path = tmp_path / "designs/dunlin/design.yaml"
    text = path.read_text()
    assert text.count("    like: foam-board-5mm\n") == 1
    path.write_text(text.replace("    like: foam-board-5mm\n", lines))
    try:
        read_design(tmp_path, "dunlin")
    except BadInput as bad:
        return list(bad.problems)
    return []


def test_like_of_a_misspelt_material_names_the_nearest(tmp_path: Path) -> None:
    (problem,) = problems_with(tmp_path, "    like: foam-bord-5mm\n")
    assert problem.nearest == "foam-board-5mm"
    assert problem.field == "materials.foam-board-weighed.like"
    assert problem.line > 0


def test_like_of_paint_is_refused(tmp_path: Path) -> None:
    (problem,) = problems_with(tmp_path, "    like: acrylic-paint\n")
    assert "no strength" in problem.wrong


@pytest.mark.parametrize(
    ("thickness", "words"),
    [("thickness: 1.9", "no room for the core"), ("note: thin", "is needed"), ("thickness: 3", "")],
)
def test_like_needs_a_sheet_with_room_for_the_core(
    tmp_path: Path, thickness: str, words: str
) -> None:
    lines = (
        "    like: foam-board-5mm\n  thin:\n    name: ply\n    kind: sheet\n"
        f"    areal_density: 2 kg/m2\n    like: birch-ply-3mm\n    {thickness}\n"
    )
    found = problems_with(tmp_path, lines)
    assert [words in problem.wrong for problem in found] == ([True] if words else [])


TEST = "    like: foam-board-5mm\n    bend_tests:\n      - {{direction: along, {}}}\n"


def test_believable_readings_are_taken(tmp_path: Path) -> None:
    lines = TEST.format("span: 400, width: 60, load: 120, sag: 2.5")
    assert problems_with(tmp_path, lines) == []


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ("span: 400, width: 60, load: 1 g, sag: 8", "softer than its bare core"),
        ("span: 400, width: 60, load: 120, sag: 0.1", "where about 5 GPa was expected"),
        ("span: 40 m, width: 60, load: 25 kg, sag: 0.1", "stiffer than anything known"),
        ("span: 400, width: 60, load: 900, sag: 45", "less than a tenth of span"),
    ],
)
def test_readings_that_cannot_be_are_refused(tmp_path: Path, readings: str, words: str) -> None:
    (problem,) = problems_with(tmp_path, TEST.format(readings))
    assert words in problem.wrong
    assert problem.field.startswith("materials.foam-board-weighed.bend_tests[0]")
    assert problem.line > 0


# --- the packaged table ----------------------------------------------------------------------


def substances(name: str) -> list[Substance]:
    found = materials()[name].mechanics
    assert found is not None
    return [part for part in (found.solid, found.faces, found.core) if part is not None]


@pytest.mark.parametrize("name", sorted(n for n, m in materials().items() if m.mechanics))
def test_a_packaged_strength_says_where_it_comes_from(name: str) -> None:
    assert materials()[name].like is None
    assert not materials()[name].bend_tests, "nobody bent the reader's sheet"
    for part in substances(name):
        assert len(part.source or "") > 10
        assert part.mark in get_args(Mark)
        assert part.mark != "published", "name what stands in the source, value by value"
        assert part.damp is not None
        assert len(part.damp.source or "") > 10
        assert part.damp.mark in get_args(Mark)


def test_everything_that_carries_load_has_its_strength() -> None:
    """Film, tape, tissue and paint are told by their mass alone."""
    without = {name for name, material in materials().items() if material.mechanics is None}
    assert {materials()[name].kind for name in without} <= {"film", "tape", "paint"}
