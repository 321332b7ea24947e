"""Charts of how a design flies: clean lettering, and the dossier's own numbers at their places."""

from __future__ import annotations

import math
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterable
from itertools import pairwise
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plansgen.dossier import Dossier, work_out
from plansgen.figures import balance_line, elevator_chart, speed_chart, stall_chart, trim_chart
from plansgen.figures.axis import Axis, clipped, round_step, smoothed
from plansgen.figures.canvas import Canvas, Points
from plansgen.figures.chart import Chart
from plansgen.figures.collisions import collisions, crossed_texts
from plansgen.figures.save import Drawing
from plansgen.flight.result import FlightResult
from plansgen.library.folder import design_slugs
from tests.designs import EVERY_LAYOUT, Raw, design_of, trainer
from tests.figures.sheets import Drawn, demo_sheets, drawn, texts
from tests.random_designs import designs
from tests.slow import SOME_SLOW_ONES

Array = npt.NDArray[np.float64]

REPOSITORY = Path(__file__).resolve().parents[2]
DEMO = design_slugs(REPOSITORY)
CHARTS = ("balance-line", "speeds", "stall", "elevator", "trim")


def demo(slug: str) -> dict[str, Drawn]:
    """The charts of a demo design."""
    return {name: demo_sheets(slug)[name] for name in CHARTS}


def steered(raw: Raw) -> Raw:
    """The same design with a pitch control: on its tail or foreplane, else on its wings."""
    surfaces = raw["surfaces"].values()
    kinds = {"tailplane": "elevator", "canard": "elevator", "vee-tail": "ruddervator"}
    tails = [surface for surface in surfaces if surface["role"] in kinds]
    for surface in tails or [surface for surface in surfaces if surface["role"] == "wing"]:
        tip = surface["stations"][-1]
        out = 0.7 * tip.get("span", tip.get("y", 0))
        kind = kinds.get(surface["role"], "elevon")
        surface["controls"] = {"pitch": {"kind": kind, "from": 0, "to": out, "chord": 0.3}}
    return raw


def check_charts(raw: Raw) -> dict[str, Drawn]:
    sheets = {name: sheet for name, sheet in drawn(design_of(raw)).items() if name in CHARTS}
    for name, sheet in sheets.items():
        assert collisions(sheet.figure) == [], name
        assert crossed_texts(sheet.figure) == [], name
    return sheets


def flight_of(slug: str) -> tuple[Dossier, FlightResult]:
    dossier = demo(slug)["speeds"].dossier
    assert dossier.flight is not None
    return dossier, dossier.flight


# --- lettering -----------------------------------------------------------------------------------


@pytest.mark.parametrize("slug", DEMO)
def test_charts_of_the_demo_designs_are_clean(slug: str) -> None:
    for name, sheet in demo(slug).items():
        assert collisions(sheet.figure) == [], name
        assert crossed_texts(sheet.figure) == [], name
        assert not any("…" in text for text in texts(sheet.drawing)), name


@pytest.mark.long
@pytest.mark.parametrize("build", EVERY_LAYOUT.values(), ids=EVERY_LAYOUT)
def test_charts_of_every_layout_are_clean(build: Callable[[], Raw]) -> None:
    """With a control; without one they are looked at with the drawings of every layout."""
    assert set(check_charts(steered(build()))) == set(CHARTS)


# Any design, without a control too, is looked at with the drawings of any design.
@pytest.mark.long
@SOME_SLOW_ONES
@given(designs())
def test_charts_of_any_design_are_clean(raw: Raw) -> None:
    check_charts(steered(raw))


# --- words for those who cannot see it -----------------------------------------------------------


def numbers(text: str) -> list[float]:
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", text)]


@pytest.mark.parametrize("slug", DEMO)
def test_alternative_texts_name_the_main_numbers(slug: str) -> None:
    dossier, flight = flight_of(slug)
    performance, stall = flight.performance, flight.stall
    slowest = flight.control.off[0]
    assert slowest.elevator_left is not None
    assert flight.forward_share is not None
    shares = [flight.neutral_share, flight.aft_share, flight.forward_share]
    shares += [loading.state.mac_share for loading in dossier.balance.loadings]
    wanted: dict[str, Iterable[tuple[float, float]]] = {
        "balance-line": [(share * 100, 0.05) for share in shares],
        "speeds": [
            (stall.speed, 0.05),
            (performance.best_glide.ratio, 0.05),
            (performance.least_sink.sink, 0.005),
            (flight.cruise, 0.05),
            (performance.least_power, 0.05),
        ],
        "stall": [(stall.speed, 0.05), (stall.lift_max, 0.005)],
        "elevator": [(slowest.elevator_left * 100, 0.5), (stall.speed, 0.05)],
        "trim": [(stall.speed, 0.05), (math.degrees(flight.trim.travel), 0.5)],
    }
    for name, values in wanted.items():
        alt = demo(slug)[name].drawing.alt
        assert dossier.name in alt
        for value, half in values:
            # Half of the last place that is lettered.
            assert min(abs(number - value) for number in numbers(alt)) <= half + 1e-9, name


# --- what is drawn is what was worked out --------------------------------------------------------


class Kept:
    """A drawing made again, with its charts and the lines on its canvas."""

    def __init__(self, draw: Callable[[], Drawing]) -> None:
        self.charts: list[Chart] = []
        self.lines: list[Array] = []
        line, axes = Canvas.line, Chart.axes

        def kept_line(canvas: Canvas, points: Points, *kind: Any, **how: Any) -> None:
            self.lines.append(np.asarray(points, dtype=float))
            line(canvas, points, *kind, **how)

        def kept_axes(chart: Chart, *title: Any, **how: Any) -> None:
            self.charts.append(chart)
            axes(chart, *title, **how)

        with (
            mock.patch.object(Canvas, "line", kept_line),
            mock.patch.object(Chart, "axes", kept_axes),
        ):
            draw()

    def passes(self, x: float, y: float) -> bool:
        """Whether a line with many points has a vertex at a place. [mm]"""
        return any(
            len(points) > 4 and bool((np.abs(points - (x, y)) < 1e-6).all(axis=1).any())
            for points in self.lines
        )


def place(chart: Chart, x: float, y: float) -> tuple[float, float]:
    """Where a pair of values belongs, from the ends of the axes alone."""
    area, across, up = chart.area, chart.across, chart.up
    return (
        area.left + area.width * (x - across.low) / (across.high - across.low),
        area.bottom + area.height * (y - up.low) / (up.high - up.low),
    )


@pytest.mark.parametrize("slug", DEMO)
def test_speed_chart_draws_power_and_sink(slug: str) -> None:
    dossier, flight = flight_of(slug)
    kept = Kept(lambda: speed_chart.draw_speeds(dossier, flight))
    power, sink = kept.charts
    performance = flight.performance
    for i in (0, 5, 20):
        assert kept.passes(*place(power, performance.speeds[i], performance.powers[i]))
        assert kept.passes(*place(sink, performance.glide_speeds[i], performance.sinks[i]))


@pytest.mark.parametrize("slug", DEMO)
def test_stall_chart_draws_the_strips_of_the_first_surface(slug: str) -> None:
    dossier, flight = flight_of(slug)
    kept = Kept(lambda: stall_chart.draw_stall(dossier, flight))
    (chart,) = kept.charts
    strips = [s for s in flight.stall.strips if s.surface == flight.stall.first_surface and s.y > 0]
    assert len(strips) > 5
    for strip in strips:
        assert kept.passes(*place(chart, strip.y * 1000, strip.lift))
    first = min(strips, key=lambda strip: strip.margin)
    assert first.y == pytest.approx(flight.stall.first_y)
    assert kept.passes(*place(chart, first.y * 1000, first.limit))


@pytest.mark.parametrize("slug", DEMO)
def test_elevator_chart_draws_what_is_left(slug: str) -> None:
    dossier, flight = flight_of(slug)
    kept = Kept(lambda: elevator_chart.draw_elevator(dossier, flight))
    (chart,) = kept.charts
    for points in (flight.control.off, flight.control.on):
        for point in points:
            assert point.elevator_left is not None
            assert kept.passes(*place(chart, point.speed, point.elevator_left * 100))


@pytest.mark.parametrize("slug", DEMO)
def test_trim_chart_draws_control_and_angle(slug: str) -> None:
    dossier, flight = flight_of(slug)
    kept = Kept(lambda: trim_chart.draw_trim(dossier, flight))
    angle, control = kept.charts  # the lower one is drawn first
    for point in flight.trim.points:
        assert point.deflection is not None
        assert kept.passes(*place(angle, point.speed, math.degrees(point.angle)))
        assert kept.passes(*place(control, point.speed, -math.degrees(point.deflection)))


@pytest.mark.parametrize("slug", DEMO)
def test_number_line_is_true_to_scale(slug: str) -> None:
    """The worked-out band lies where the ends of the line say it does."""
    dossier, flight = flight_of(slug)
    kept = Kept(lambda: balance_line.draw_balance_line(dossier))
    marks = balance_line.marks_of(dossier)
    low, high = balance_line.window(dossier, marks)
    left, right = 12.0, 178.0
    level = [p for p in kept.lines if len(p) == 2 and math.isclose(p[0, 1], p[1, 1])]
    assert any(np.allclose(np.sort(points[:, 0]), (left, right)) for points in level)
    assert flight.forward_share is not None
    shares = [flight.forward_share, flight.aft_share]
    wanted = [left + (right - left) * (share - low) / (high - low) for share in shares]
    boxes = [points for points in kept.lines if len(points) == 4]
    assert any(np.allclose([box[:, 0].min(), box[:, 0].max()], wanted) for box in boxes)


@pytest.mark.parametrize("slug", DEMO)
def test_a_far_limit_does_not_squash_the_number_line(slug: str) -> None:
    dossier, _ = flight_of(slug)
    marks = [*balance_line.marks_of(dossier), balance_line.Mark(-40.0, "far ahead")]
    low, high = balance_line.window(dossier, marks)
    assert low > -1.0
    assert high - low < 1.5
    with mock.patch.object(
        balance_line, "marks_of", return_value=sorted(marks, key=lambda m: m.share)
    ):
        drawing = balance_line.draw_balance_line(dossier)
    assert "-4000.0 % far ahead (ahead of this line)" in texts(drawing)


# --- axes and curves -----------------------------------------------------------------------------

VALUES = st.floats(-1e4, 1e4, allow_nan=False)


@given(st.lists(VALUES, min_size=1, max_size=5), st.integers(3, 10))
def test_an_axis_holds_its_values_and_ends_on_ticks(values: list[float], most: int) -> None:
    axis = Axis.over(values, most=most)
    assert axis.low <= min(values) + 1e-6 * axis.step
    assert axis.high >= max(values) - 1e-6 * axis.step
    assert 2 <= len(axis.ticks) <= most + 3
    assert len({axis.word(tick) for tick in axis.ticks}) == len(axis.ticks)


@given(st.floats(1e-3, 1e6), st.integers(2, 12))
def test_steps_are_round(span: float, most: int) -> None:
    """One, two and five times powers of ten: common practice, no source."""
    step = round_step(span, most)
    assert span / step <= most * (1 + 1e-6)
    assert re.fullmatch(r"[125]\.0*e[+-]\d+", f"{step:.6e}")


@given(st.lists(st.tuples(st.floats(0.1, 9), VALUES), min_size=2, max_size=9))
def test_a_smooth_curve_meets_its_points_and_never_leaves_their_range(
    steps: list[tuple[float, float]],
) -> None:
    xs = np.cumsum([width for width, _ in steps]).tolist()
    points = [(x, y) for x, (_, y) in zip(xs, steps, strict=True)]
    curve = smoothed(points)
    assert set(points) <= set(curve)
    for (x, y), (other_x, other) in pairwise(points):
        between = [v for u, v in curve if x <= u <= other_x]
        assert min(y, other) - 1e-6 <= min(between)
        assert max(between) <= max(y, other) + 1e-6


def test_a_smooth_curve_is_a_straight_line_where_the_points_are() -> None:
    """Three points of y = 2 x + 1: plain geometry."""
    for x, y in smoothed([(0.0, 1.0), (1.0, 3.0), (4.0, 9.0)]):
        assert y == pytest.approx(2 * x + 1)


def test_a_line_is_cut_where_it_leaves_the_axes() -> None:
    """The diagonal from (-1, -1) to (3, 3) in the unit square, and back out of it: geometry."""
    unit = Axis(0.0, 1.0, 0.5)
    (piece,) = clipped([(-1.0, -1.0), (3.0, 3.0)], unit, unit)
    assert np.allclose(piece, [(0.0, 0.0), (1.0, 1.0)])
    assert clipped([(2.0, 0.0), (2.0, 1.0)], unit, unit) == []
    out_and_in = clipped([(0.0, 0.5), (0.5, 1.5), (1.0, 0.5)], unit, unit)
    assert [len(part) for part in out_and_in] == [2, 2]
    joined = clipped([(0.0, 0.5), (0.5, 0.6), (1.0, 0.5)], unit, unit)
    assert [len(part) for part in joined] == [3]


# --- the same every time -------------------------------------------------------------------------

_HASHES = """
import hashlib
from plansgen.figures.all import draw_all
from tests.designs import design_of, trainer
from plansgen.dossier import work_out
design = design_of(trainer())
for name, drawing in draw_all(design, work_out(design)).items():
    if name in {charts!r}:
        print(name, hashlib.sha256(drawing.svg + drawing.dark).hexdigest())
"""


@pytest.mark.long
def test_charts_are_the_same_bytes_in_another_process() -> None:
    here = drawn(design_of(trainer()))
    program = _HASHES.format(charts=CHARTS)
    seen = [
        subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=REPOSITORY,
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in ("3", "4")
    ]
    assert seen[0] == seen[1]
    assert seen[0].splitlines()
    again = work_out(design_of(trainer()))
    assert balance_line.draw_balance_line(again) == here["balance-line"].drawing
