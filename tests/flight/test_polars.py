"""Section polars: mixing, holding, flags and sources."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from plansgen.airframe.planform import StationPoint
from plansgen.airframe.sections import section_shape
from plansgen.flight.polars import (
    COLUMNS,
    camber_of,
    families,
    friction,
    laminar_friction,
    section_polar,
    strip_polars,
    turbulent_friction,
)
from plansgen.library.models import Section


def station(span: float = 0.0, chord: float = 0.2, **section: object) -> StationPoint:
    shape = section_shape(Section.model_validate(section), chord=chord)
    return StationPoint(
        span, 0.0, span, 0.0, chord, 0.0, shape.name, 1.0, 1.0, 0.0, shape.thickness, shape.outline
    )


def naca(digits: str, **more: float) -> StationPoint:
    return station(kind="naca", digits=digits, **more)


PLATE = station(kind="plate", thickness="4 mm")
BENT = station(kind="cambered plate", thickness="4 mm", camber=0.04)
FOLDED = station(kind="folded sheet", thickness="5 mm", spar_height="12 mm", spar_at=0.3)
EVERY = (PLATE, BENT, FOLDED, naca("0006"), naca("0012"), naca("2412"), naca("4409"), naca("6415"))


def test_every_column_has_a_source_and_a_spread() -> None:
    for key, family in families().items():
        for name, column in zip(COLUMNS, family.columns, strict=True):
            assert column.source, (key, name)
            exact = name == "drag_lift" and family.camber == 0.0
            assert exact or column.spread > 0.0, (key, name)


@pytest.mark.parametrize("section", EVERY, ids=lambda s: s.section)
def test_sections_get_better_with_reynolds_number(section: StationPoint) -> None:
    polars = [section_polar(section, reynolds=r) for r in (3e4, 5e4, 1e5, 3e5, 5e5, 1e6)]
    for low, high in pairwise(polars):
        assert high.lift_max >= low.lift_max
        assert high.drag_min < low.drag_min
        assert high.lift_min <= low.lift_min < 0.0
    assert all(p.lift_slope < 2 * math.pi for p in polars)


def test_values_of_a_family_come_back_at_its_own_points() -> None:
    polar = section_polar(naca("4412"), reynolds=1e5)
    column = families()["naca-camber-4"].lift_max.values[2]
    assert polar.lift_max == pytest.approx(column, rel=1e-4)
    assert polar.families == ("naca-camber-4",)
    assert polar.mark == "estimate"  # the weakest of its columns
    half = section_polar(naca("0012"), reynolds=math.sqrt(1e5 * 2e5))
    assert half.lift_max == pytest.approx((0.82 + 0.94) / 2)


def test_what_lies_outside_says_so() -> None:
    assert section_polar(PLATE, reynolds=3.9e4).outside_data
    assert section_polar(PLATE, reynolds=5.1e5).outside_data
    assert not section_polar(PLATE, reynolds=1e5).outside_data
    assert section_polar(naca("0018"), reynolds=1e5).outside_data
    assert section_polar(naca("9412"), reynolds=1e5).outside_data
    held = section_polar(PLATE, reynolds=2e4)
    assert held.lift_max == section_polar(PLATE, reynolds=4e4).lift_max


def test_thin_sections_lie_between_plates_and_round_noses() -> None:
    plate, thin, thick = (
        section_polar(s, reynolds=2e5).lift_max for s in (PLATE, naca("0006"), naca("0012"))
    )
    assert plate < thin < thick


def test_camber_up_and_down_are_mirror_images() -> None:
    upright = naca("4412")
    turned = tuple((x, -z) for x, z in reversed(upright.outline))
    down = StationPoint(**{**upright.__dict__, "section": "section from a file", "outline": turned})
    assert camber_of(down) == pytest.approx(-0.04, abs=1e-3)
    one, two = section_polar(upright, reynolds=1e5), section_polar(down, reynolds=1e5)
    assert two.lift_max == pytest.approx(-one.lift_min, rel=0.02)
    assert two.drag_lift == pytest.approx(-one.drag_lift, rel=0.05)


def test_strips_mix_the_stations_beside_them() -> None:
    inner, outer = naca("0012"), naca("4412", span=1.0)
    found = strip_polars([((inner, outer), s) for s in (0.0, -0.5, 1.0)])
    most, least = found.limits(np.full((2, 3), 1e5))
    ends = [section_polar(s, reynolds=1e5).lift_max for s in (inner, outer)]
    assert most[0] == pytest.approx([ends[0], sum(ends) / 2, ends[1]], rel=1e-6)
    assert (least < 0.0).all()
    drag = found.drag(np.full((2, 3), 0.3), np.full((2, 3), 1e5))
    assert drag[1, 0] == pytest.approx(section_polar(inner, reynolds=1e5).drag(0.3))


def test_friction_is_never_less_than_laminar() -> None:
    """The correction for the laminar run goes below zero at a model's Reynolds numbers."""
    assert turbulent_friction(4e4) - 1700 / 4e4 < 0.0
    for reynolds in (1e2, 4e4, 1e5, 5e5, 1e6, 1e7):
        assert laminar_friction(reynolds) <= friction(reynolds) <= 1.328
    assert friction(5e6) < turbulent_friction(5e6)
    with pytest.raises(ValueError, match="above 0"):
        friction(0.0)
    with pytest.raises(ValueError, match="above 0"):
        section_polar(PLATE, reynolds=0.0)
