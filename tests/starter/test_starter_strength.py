"""Hand sums that size a started design, against textbook formulas worked again by hand."""

from __future__ import annotations

import pytest

from plansgen.starter.spars import (
    PINE,
    RESERVE,
    Span,
    box_moment,
    box_spar,
    load_factor,
    longerons,
    plate_moment,
    plate_spar,
    root_moment,
    web_force,
)
from plansgen.structure.elastic import Ply, Sheet, Solid

# Round numbers, so that the sums can be done in the head.
SOLID = Solid("sheet", 1e9, 4e8, 20e6, 10e6, 4e6, 0.1)
SHEET = Sheet("sheet", (Ply(SOLID, 0.002),))


def test_bending_at_the_root_of_an_elliptic_load() -> None:
    """First principles: half the lift at 4/3π of the half span, a quarter ellipse's middle."""
    assert root_moment(force=20.0, half=500.0) == pytest.approx(10 * 0.42441 * 500, rel=1e-4)


def test_a_light_model_is_sized_for_a_gust_and_a_heavy_one_for_its_limit() -> None:
    """First principles: the same gust adds more lift per weight to a lightly loaded wing."""
    assert load_factor(mass=5.0, area=0.3) == 4.0
    assert load_factor(mass=0.1, area=0.3) > load_factor(mass=0.2, area=0.3) > 4.0


def test_the_box_holds_its_moment() -> None:
    """Elementary: I = b (H³ - h³)/12 of two caps, and M = σ I/(H/2)."""
    span = Span("wing", 600, 20.0, 12.0)
    caps, web = box_spar(span, moment=3000.0, web="foam-board-5mm", thickness=5.0)
    width, cap = caps["size"]["width"], caps["size"]["height"]
    second = width * (20.0**3 - (20.0 - 2 * cap) ** 3) / 12
    assert PINE * second / 10 >= RESERVE * 3000.0
    assert (width - 0.5) / width * PINE * second / 10 < RESERVE * 3000.0 or width == 3
    # The web fills what the caps leave, at both ends.
    assert web["size"]["height"] + 2 * cap == pytest.approx(20.0)
    assert web["size_out"]["height"] + 2 * cap == pytest.approx(12.0)


def test_a_thin_wing_has_one_solid_strip() -> None:
    """Elementary: W = b h²/6."""
    (strip,) = box_spar(
        Span("wing", 600, 7.0, 3.0), moment=2000.0, web="foam-board-5mm", thickness=5.0
    )
    assert strip["size"]["width"] * 49 / 6 * PINE >= RESERVE * 2000.0
    assert strip["size_out"]["height"] == 3


@pytest.mark.parametrize("moment", [50.0, 500.0, 5000.0])
@pytest.mark.parametrize("thickness", [1.0, 3.0, 6.0])
def test_a_strip_in_a_plate_holds_its_moment(moment: float, thickness: float) -> None:
    """Elementary: W = b h²/6."""
    strip = plate_spar(Span("fin", 200, thickness, thickness), moment=moment)
    width, height = strip["size"]["width"], strip["size"]["height"]
    assert width * height**2 / 6 * PINE >= RESERVE * moment * (1 - 1e-9)
    assert height >= thickness


def test_what_bare_sheet_holds() -> None:
    """Elementary sums by hand: M = σ b t²/6, V = τ h t, and M = σ b t h for two flanges."""
    assert plate_moment(SHEET, chord=60.0) == pytest.approx(8.0 * 60 * 2**2 / 6)
    assert web_force(SHEET, height=30.0) == pytest.approx(4.0 * 30 * 2)
    assert box_moment(SHEET, width=50.0, height=40.0) == pytest.approx(8.0 * 50 * 2 * 40)


def test_of_an_unknown_sheet_nothing_is_expected() -> None:
    assert plate_moment(None, chord=60.0) == 0.0
    assert web_force(None, height=30.0) == 0.0
    assert box_moment(None, width=50.0, height=40.0) == 0.0


def test_four_strips_in_the_corners_hold_the_tail() -> None:
    """Elementary: two strips pull and two push, a body's height apart: M = 2 a² σ h."""
    strips = longerons(moment=20_000.0, height=40.0, start=50, end=900)
    side = strips["size"]["width"]
    assert 2 * side**2 * PINE * 40 >= RESERVE * 20_000.0
    assert strips["lies"] == "corners"
    assert strips["count"] == 4
