"""The page on controls: what a builder must find there, and what is said where data are missing."""

from __future__ import annotations

import pytest

from plansgen.controls.result import ControlsResult
from plansgen.figures.linkage_drawing import linkage_name
from plansgen.site.controls_page import edge_text, edge_words, start_rows, travel_words
from plansgen.site.format import show
from tests.designs import design_of, glider
from tests.site.test_pages import DEMO, demo, opened, pages_of


def flat(text: str) -> str:
    """As the words of a page are read here: every gap one space."""
    return " ".join(text.split())


def result_of(slug: str) -> ControlsResult:
    controls = demo(slug).dossier.controls
    assert controls is not None
    return controls


@pytest.mark.parametrize("slug", DEMO)
def test_every_control_is_told_with_its_throw_its_start_and_its_linkage(slug: str) -> None:
    controls, page = result_of(slug), demo(slug)
    words, numbers = page.words("controls"), opened(page.tree("controls"))
    for throw in controls.controls:
        edge = max(throw.up_edge, throw.down_edge)
        assert show(edge, "m").metric in numbers
        assert travel_words(throw) in words
        assert throw.fit is not None, "the demo library gives every linkage"
        assert f"figures/{linkage_name(throw)}.svg" in page.texts["controls"]
    for row in start_rows(controls):
        assert show(row.start.start, "rad").metric in numbers
        assert row.practice in words


@pytest.mark.parametrize("slug", DEMO)
def test_the_check_card_names_every_edge_and_its_way(slug: str) -> None:
    controls, page = result_of(slug), demo(slug)
    words = page.words("controls")
    for check in controls.checks:
        assert check.stick in words
        for _, part, way in edge_words(check):
            assert f"{part} {way}" in words
    assert "Failsafe" in words
    assert "Local rules" in words


@pytest.mark.parametrize("slug", DEMO)
def test_mixing_servos_and_flutter_are_told(slug: str) -> None:
    controls, words = result_of(slug), demo(slug).words("controls")
    assert "Against flutter" in words
    for throw in controls.controls:
        assert throw.load is not None
        assert flat(show(throw.load.needed, "N cm").metric) in words
    for mix in controls.mixes:
        for row in mix.rows:
            assert row.sticks in words
            assert flat(edge_text(row.port, row.port_edge)) in words


def test_a_model_without_controls_has_no_page() -> None:
    assert "controls" not in pages_of(design_of(glider())).texts


def test_missing_data_are_named() -> None:
    raw = glider()
    elevator = {"kind": "elevator", "from": 0, "to": 170, "chord": 0.3}
    raw["surfaces"]["tailplane"]["controls"] = {"elevator": elevator}
    words = pages_of(design_of(raw)).words("controls")
    assert "Not given: which servo moves it, the lengths of servo arm and horn" in words
    assert "only degrees and millimetres are told here" in words
