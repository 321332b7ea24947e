"""Geometry that nobody builds: told in words, or drawn in bounded time, never a crash."""

from __future__ import annotations

import time
from typing import Any

import pytest
from pydantic import ValidationError

from plansgen.dossier import work_out
from plansgen.figures.front_view import draw_front
from tests import designs


def _wing(places: list[tuple[float, float]]) -> dict[str, Any]:
    stations = [{"y": y, "z": z, "chord": 100} for y, z in places]
    return {"role": "wing", "section": designs.plate(), "stations": stations}


@pytest.mark.parametrize("role", ["fin", "wing"])
def test_a_panel_that_folds_back_over_the_last_is_told(role: str) -> None:
    raw = designs.glider()
    if role == "fin":
        raw["surfaces"]["fin"] = designs.surface("fin", [(0, 0, 100), (120, 0, 100), (-50, 0, 100)])
    else:
        raw["surfaces"]["wing"] = _wing([(0, 0), (100, 0), (100, 50), (100, 0), (200, 0)])
    with pytest.raises(ValidationError, match="leads back over the panel before it"):
        designs.file_of(raw)


def test_a_sharp_bend_is_no_fold() -> None:
    raw = designs.glider()
    raw["surfaces"]["wing"] = _wing([(0, 0), (200, 0), (210, 80), (400, 80)])
    assert len(designs.file_of(raw).surfaces["wing"].stations) == 4


@pytest.mark.parametrize("tiny", [1e-300, -1e-300, 1e-100, "0.0000000001 mm"])
def test_a_length_that_vanishes_when_squared_is_told(tiny: float | str) -> None:
    """Squares of such numbers are zero in IEEE 754 double precision, and later divide something."""
    raw = designs.trainer()
    raw["parts"][0]["at"] = {"x": tiny}
    with pytest.raises(ValidationError, match="is too small"):
        designs.file_of(raw)


@pytest.mark.long
def test_a_thousand_frames_are_drawn_in_seconds() -> None:
    """The time must grow with the number of outlines, not with its square (it took minutes)."""
    raw = designs.trainer()
    frames = [{"x": i, "width": 1 + i, "height": 1 + 3 * i, "z": i} for i in range(60)]
    raw["bodies"] = {
        f"body{i}": {"role": "fuselage", "shape": "round", "stations": frames, "at": {"x": 20 * i}}
        for i in range(20)
    }
    design = designs.design_of(raw)
    dossier = work_out(design)
    start = time.perf_counter()
    draw_front(dossier, design.file.credits)
    assert time.perf_counter() - start < 30.0
