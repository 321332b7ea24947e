"""Layers agree with the plan view they are laid over."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from plansgen.dossier import work_out
from plansgen.figures.canvas import Canvas
from plansgen.figures.plan_layers import TITLES, draw_plan_layers
from plansgen.figures.plan_view import draw_plan, plan_layout
from plansgen.figures.save import Drawing
from plansgen.library.folder import read_design

REPOSITORY = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def drawn() -> tuple[Drawing, dict[str, Drawing], object]:
    design = read_design(REPOSITORY, "whimbrel")
    dossier = work_out(design)
    layers = {layer.name: layer for layer in draw_plan_layers(design, dossier)}
    return draw_plan(dossier, design.file.credits), layers, dossier


def view_box(svg: bytes) -> str:
    found = re.search(rb'viewBox="([^"]+)"', svg)
    assert found
    return found[1].decode()


def test_every_layer_has_the_size_of_the_plan_and_no_paper(
    drawn: tuple[Drawing, dict[str, Drawing], object],
) -> None:
    plan, layers, _ = drawn
    assert set(layers) == {f"plan-{name}" for name in TITLES}
    for layer in layers.values():
        assert (layer.width_mm, layer.height_mm) == (plan.width_mm, plan.height_mm)
        assert view_box(layer.svg) == view_box(plan.svg)
        assert b"#ffffff" not in layer.svg
        assert layer.alt.endswith(".")


def test_the_layout_of_the_layers_is_that_of_the_plan(
    drawn: tuple[Drawing, dict[str, Drawing], object],
) -> None:
    _, _, dossier = drawn
    layout = plan_layout(dossier)  # type: ignore[arg-type]
    view = layout.view(Canvas(width_mm=297, height_mm=210))
    left, right = view.x(layout.low[0]), view.x(layout.high[0])
    assert (left + right) / 2 == pytest.approx(layout.area.centre[0])
    assert right - left == pytest.approx(layout.setup.scale.mm(layout.high[0] - layout.low[0]))
