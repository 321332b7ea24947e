"""Charts of power: clean lettering on every demo design, and numbers at their places."""

from __future__ import annotations

from dataclasses import replace

import pytest

from plansgen.alternatives import Choice
from plansgen.figures.alternatives_chart import chart_of, columns_of, draw_alternatives
from plansgen.figures.collisions import collisions, crossed_texts
from plansgen.library.folder import design_slugs
from tests.figures.sheets import REPOSITORY, demo_sheets

DEMO = design_slugs(REPOSITORY)
USUAL = Choice("as it is", "", 1.0, 0.0, None, 8.0, 10.0, 1.0, 20.0, 18.0, 600.0, ())


@pytest.mark.parametrize("slug", DEMO)
def test_charts_of_the_demo_designs_are_clean(slug: str) -> None:
    for name in ("power", "wiring", "alternatives"):
        figure = demo_sheets(slug)[name].figure
        assert collisions(figure) == [], name
        assert crossed_texts(figure) == [], name


@pytest.mark.parametrize("slug", DEMO)
def test_the_words_tell_the_chart(slug: str) -> None:
    dossier = demo_sheets(slug)["power"].dossier
    assert dossier.flight is not None
    powered = dossier.flight.powered
    assert powered is not None
    told = demo_sheets(slug)["power"].drawing.alt
    assert f"{powered.static.used:.1f} N" in told
    if powered.top_speed is not None:
        assert f"top speed {powered.top_speed:.1f} m/s" in told


@pytest.mark.parametrize("count", [2, 5, 12])
def test_any_choices_are_drawn_clean(count: int) -> None:
    """Names too long for the sheet, values none, nought and far apart."""
    others = [
        replace(USUAL, name=f"{n} " + "a rather long name " * n, thrust=10.0 * 3**n, time=None)
        for n in range(count)
    ]
    figure = chart_of([USUAL, *others, replace(USUAL, thrust=0.0, current=0.0)]).figure()
    assert collisions(figure) == []
    assert crossed_texts(figure) == []


def test_a_choice_that_cannot_fly_level_has_no_time() -> None:
    other = replace(USUAL, name="one cell", time=None)
    assert columns_of([USUAL, other])[2].values == (10.0, None)
    assert "One cell" in draw_alternatives("Dunlin", [USUAL, other]).alt
    assert "not level on it" in draw_alternatives("Dunlin", [USUAL, other]).alt
