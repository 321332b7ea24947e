"""The pages on strength and on the bench test: what a builder must find there."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from plansgen.dossier import Dossier
from plansgen.figures.strength_cases import surface_shown
from plansgen.site.format import show
from plansgen.site.numbers import INPUTS
from plansgen.site.strength_page import (
    case_titles,
    end_words,
    links_of,
    reach_words,
    reading_of,
    reserve_text,
)
from plansgen.structure.result import StructureResult
from plansgen.structure.strength import Reach, SurfaceStrength
from tests.designs import design_of, glider
from tests.site.test_pages import DEMO, demo, opened, pages_of


def result_of(slug: str) -> tuple[Dossier, StructureResult, SurfaceStrength]:
    dossier = demo(slug).dossier
    structure = dossier.structure
    assert structure is not None
    return dossier, structure, surface_shown(dossier.airframe, structure.surfaces)


def shown(value: float, unit: str) -> str:
    return show(value, unit).metric


# --- the page on strength ------------------------------------------------------------------------


@pytest.mark.parametrize("slug", DEMO)
def test_the_strength_page_says_everything_that_must_hold(slug: str) -> None:
    _, structure, main = result_of(slug)
    page, words = demo(slug).tree("strength"), demo(slug).words("strength")
    for text in reading_of(structure, main):
        assert " ".join(text.split()) in words
    assert "A calculation on home materials is no proof" in words
    for heading in ("What it must stand", "How far out must the spar go", "On edge or flat"):
        assert heading in words
    links = links_of(structure)
    table = page.all("table")[0]
    rows = [row for row in table.all("tr") if row.all("td")]
    assert len(rows) == len(links)
    assert rows[0].all("th")[0].words == links[0].name
    anchors = {link.attributes["href"] for row in rows for link in row.all("th")[0].all("a")}
    for anchor in anchors:
        assert f"{{{anchor}}}" in demo(slug).texts["strength"], f"{anchor} is nowhere on the page"


@pytest.mark.parametrize("slug", DEMO)
def test_every_case_stands_in_the_table_of_its_surface(slug: str) -> None:
    _, structure, _ = result_of(slug)
    words = demo(slug).words("strength")
    for surface in structure.surfaces:
        for case in surface.cases:
            assert case.case.title in words
            assert " ".join(case.case.words.split()) in words
            assert reserve_text(case.weakest.low) in words
    for title in case_titles(structure).values():
        assert title in words


@pytest.mark.parametrize("slug", DEMO)
def test_sticks_box_sections_joints_and_the_rest_are_told(slug: str) -> None:
    _, structure, main = result_of(slug)
    words, numbers = demo(slug).words("strength"), opened(demo(slug).tree("strength"))
    assert main.box is not None
    assert shown(main.box.bending_closed, "N m²") in numbers
    assert shown(main.box.torsion_loose, "N m²") in numbers
    for stick in main.sticks:
        assert stick.part in words
        assert shown(stick.ratio, "1") in numbers
    for cut in main.cuts:
        assert shown(cut.bending, "N m²") in numbers
    for joint in structure.joints:
        assert shown(joint.brace_reserve, "1") in numbers
    for hold in structure.hold_downs:
        assert f"{hold.count} × {hold.name}" in words
    for mount in structure.mounts:
        assert mount.item in words
    for boom in structure.booms:
        assert shown(boom.reserve, "1") in numbers
    for suggestion in structure.suggestions:
        assert " ".join(suggestion.words.split()) in words
    assert (structure.bracing is not None) == ("Struts and wires" in words)


def test_a_wing_of_unknown_strength_is_told_what_to_give() -> None:
    pages = pages_of(design_of(glider()))
    assert pages.dossier.structure is None
    words = pages.words("strength")
    assert "like:" in words
    assert pages.dossier.structure_refusal in words
    assert "static-test" not in pages.texts
    assert "Bench test" not in [link.words for link in pages.tree("index").all("nav")[0].all("a")]


# --- the bench test ------------------------------------------------------------------------------


@pytest.mark.parametrize("slug", DEMO)
def test_the_bench_test_warns_first_and_lists_bags_and_steps(slug: str) -> None:
    _, structure, _ = result_of(slug)
    test = structure.static_test
    assert test is not None
    page, words = demo(slug).tree("static-test"), demo(slug).words("static-test")
    text = demo(slug).texts["static-test"]
    assert text.index("pg-caution") < text.index("<table")
    for caution in (*test.cautions, *test.stop_at):
        assert caution in words
    (table,) = page.all("table")
    rows = [row for row in table.all("tr") if row.all("td")]
    assert len(rows) == len(test.steps)
    for row, step in zip(rows, test.steps, strict=True):
        cells = [cell.words for cell in row.all("td")]
        assert cells[: len(step.bags)] == [shown(mass, "kg") for mass in step.bags]
        if step.deflection is not None:
            assert shown(step.deflection, "m") in cells
    assert [cell.words for cell in rows[-1].all("td")][: len(test.bags)] == [
        shown(bag.mass, "kg") for bag in test.bags
    ]


# --- sentences -----------------------------------------------------------------------------------


def reach_of(**changes: float | None) -> Reach:
    reach = Reach(
        case="pull-up",
        now=0.3,
        now_share=0.5,
        points=(),
        wanted=2.0,
        least=0.2,
        least_share=0.33,
        stiffness_in=20.0,
        stiffness_out=5.0,
        bending_there=0.4,
        skin_reserve=3.0,
        blunt_reserve=2.0,
    )
    return replace(reach, **changes)  # type: ignore[arg-type]


def test_the_reach_of_the_spar_is_read_four_ways() -> None:
    assert "needs 200 mm" in re.sub(r"\s", " ", reach_words(reach_of()))
    assert "too short" in reach_words(reach_of(least=0.4, least_share=0.7))
    assert "skin alone is enough" in reach_words(reach_of(least=0.0, least_share=0.0))
    assert "No reach gives" in reach_words(reach_of(least=None, least_share=None))
    assert "no spar of known strength" in reach_words(None)


def test_the_end_of_the_spar_tells_the_step_but_not_at_the_tip() -> None:
    """From 20 to 5 N m² a quarter is left: arithmetic."""
    assert "25.0 %" in re.sub(r"\s", " ", end_words(reach_of(), tip=0.6))
    assert "no matter" in end_words(reach_of(now=0.59), tip=0.6)


@pytest.mark.parametrize(
    ("reserve", "part"), [(0.8, "breaks at 80 %"), (1.5, "less in hand"), (2.5, "itself holds")]
)
def test_the_reading_tells_breaking_from_holding(reserve: float, part: str) -> None:
    _, structure, main = result_of("dunlin")
    other = replace(main, worst=replace(main.worst, reserve=reserve))
    text = re.sub(r"\s", " ", " ".join(reading_of(replace(structure, wanted=2.0), other)))
    assert part in text


def test_reserve_factors_far_above_are_told_as_that() -> None:
    assert [reserve_text(value) for value in (None, 99.0, 12.3, 1.234)] == [
        *("–", "over 99", "12", "1.23")
    ]


def test_inputs_of_the_structure_methods_name_fields() -> None:
    keys = [key for key in INPUTS if key.startswith("structure-")]
    assert len(keys) > 10
    assert all(INPUTS[key] for key in keys)
