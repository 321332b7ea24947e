"""Charts and drawings of strength: clean lettering, and the own numbers of the results in place."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any
from unittest import mock

import numpy as np
import pytest

from plansgen.dossier import Dossier
from plansgen.figures.balloons import MOST
from plansgen.figures.bracing_drawing import PULLED, PUSHED, SLACK, draw_bracing
from plansgen.figures.canvas import Canvas, SheetFigure
from plansgen.figures.collisions import collisions, crossed_texts
from plansgen.figures.cuts_drawing import draw_cuts
from plansgen.figures.loads_chart import draw_loads
from plansgen.figures.reach_chart import draw_reach
from plansgen.figures.reserve_chart import draw_reserve
from plansgen.figures.save import Drawing
from plansgen.figures.static_test_drawing import draw_static_test
from plansgen.figures.strength_cases import LogAxis, cases_shown, number, surface_shown
from plansgen.figures.style import EDGE, LineType
from plansgen.library.folder import design_slugs
from plansgen.structure.result import StructureResult
from plansgen.structure.static_test import Bag, LoadStep, StaticTest
from plansgen.structure.strength import PartShare, SurfaceStrength
from plansgen.structure.wires import BracedCase, BraceForce, BraceResult, Bracing
from tests.figures.sheets import REPOSITORY, Drawn, demo_sheets, texts
from tests.figures.test_flight_figures import Kept, numbers, place

DEMO = design_slugs(REPOSITORY)
ALWAYS = ("loads", "reserve", "cuts")
SOMETIMES = ("reach", "bracing", "static-test")
LONG = "the very long and winding name of a stick that somebody found behind the shed, twice"


def sheets_of(slug: str) -> dict[str, Drawn]:
    """The drawings of strength of a demo design."""
    sheets = demo_sheets(slug)
    return {name: sheets[name] for name in (*ALWAYS, *SOMETIMES) if name in sheets}


def result_of(slug: str) -> tuple[Dossier, StructureResult, SurfaceStrength]:
    dossier = demo_sheets(slug)["loads"].dossier
    structure = dossier.structure
    assert structure is not None
    return dossier, structure, surface_shown(dossier.airframe, structure.surfaces)


def figure_of(draw: Callable[[], Drawing | None]) -> tuple[Drawing, SheetFigure]:
    """A drawing with the figure it was written from."""
    figures: list[SheetFigure] = []
    original = Canvas.figure

    def kept(canvas: Canvas) -> SheetFigure:
        figures.append(original(canvas))
        return figures[-1]

    with mock.patch.object(Canvas, "figure", kept):
        drawing = draw()
    assert drawing is not None
    return drawing, figures[-1]


def drawn_of(drawing: Drawing | None) -> Drawing:
    """The drawing, which must be there."""
    assert drawing is not None
    return drawing


def check(draw: Callable[[], Drawing | None]) -> Drawing:
    """Draw, and find no fault with the lettering."""
    drawing, figure = figure_of(draw)
    assert collisions(figure) == [], drawing.name
    assert crossed_texts(figure) == [], drawing.name
    return drawing


# --- lettering -----------------------------------------------------------------------------------


@pytest.mark.parametrize("slug", DEMO)
def test_drawings_of_the_demo_designs_are_clean(slug: str) -> None:
    sheets = sheets_of(slug)
    assert set(ALWAYS) <= set(sheets)
    for name, sheet in sheets.items():
        assert collisions(sheet.figure) == [], name
        assert crossed_texts(sheet.figure) == [], name
        assert not any("…" in text for text in texts(sheet.drawing)), name


def harsh(strength: SurfaceStrength, reserve: float) -> SurfaceStrength:
    """The same with long names and one reserve factor all along, in every case."""
    worst = replace(strength.worst, part=LONG, reserve=reserve, low=reserve / 2)
    cases = tuple(
        replace(case, weakest=worst, reserves=(reserve,) * len(case.spans))
        for case in strength.cases
    )
    cuts = tuple(
        replace(
            cut,
            pieces=tuple(replace(piece, part=f"{k} {LONG}") for k, piece in enumerate(cut.pieces)),
            shares=tuple(PartShare(f"{k} {LONG}", 0.01) for k in range(len(cut.pieces))),
        )
        for cut in strength.cuts
    )
    return replace(strength, cases=cases, worst=worst, cuts=cuts)


@pytest.mark.parametrize("reserve", [99.0, 0.0004])
def test_long_names_and_far_numbers_stay_clean(reserve: float) -> None:
    dossier, structure, strength = result_of("dunlin")
    other = harsh(strength, reserve)
    check(lambda: draw_reserve(dossier, other, wanted=structure.wanted))
    check(lambda: draw_loads(dossier, other))
    drawing = check(lambda: draw_cuts(dossier, other))
    assert drawing.alt.count("%") <= 12 * len(strength.cuts)
    reach = strength.reach
    assert reach is not None
    points = tuple(replace(point, reserve=reserve) for point in reach.points)
    for least, share in ((None, None), (0.0, 0.0), (reach.now * 0.7, reach.now_share * 0.7)):
        changed = replace(reach, points=points, least=least, least_share=share)
        check(lambda changed=changed: draw_reach(dossier, replace(other, reach=changed)))  # type: ignore[misc]


def test_no_chart_of_reach_without_a_spar_and_no_cuts_without_any() -> None:
    dossier, _, strength = result_of("dunlin")
    assert draw_reach(dossier, replace(strength, reach=None)) is None
    assert draw_cuts(dossier, replace(strength, cuts=())) is None


# --- words for those who cannot see it -----------------------------------------------------------


@pytest.mark.parametrize("slug", DEMO)
def test_alternative_texts_name_the_main_numbers(slug: str) -> None:
    dossier, structure, strength = result_of(slug)
    wanted: dict[str, list[tuple[float, float]]] = {
        "loads": [(max(case.bending, key=abs), 0.05) for case in cases_shown(strength)],
        "reserve": [(strength.worst.reserve, 0.5), (structure.wanted, 0.005)],
        "cuts": [(cut.bending, 0.5) for cut in strength.cuts],
    }
    if strength.reach is not None:
        wanted["reach"] = [(strength.reach.now * 1000, 0.5), (strength.reach.wanted, 0.005)]
    if structure.static_test is not None:
        wanted["static-test"] = [(bag.mass * 1000, 0.5) for bag in structure.static_test.bags]
    for name, values in wanted.items():
        alt = sheets_of(slug)[name].drawing.alt
        assert dossier.name in alt
        for value, half in values:
            assert min(abs(found - value) for found in numbers(alt)) <= half + 1e-9, (name, value)


# --- what is drawn is what was worked out --------------------------------------------------------


@pytest.mark.parametrize("slug", DEMO)
def test_the_charts_draw_loads_and_reserves(slug: str) -> None:
    dossier, structure, strength = result_of(slug)
    kept = Kept(lambda: draw_loads(dossier, strength))
    shear, bending, torque = kept.charts
    for case in cases_shown(strength):
        for k in (1, len(case.spans) // 2, -2):
            span = case.spans[k] * 1000
            assert kept.passes(*place(shear, span, case.shear[k]))
            assert kept.passes(*place(bending, span, case.bending[k]))
            assert kept.passes(*place(torque, span, case.torque[k]))
    kept = Kept(lambda: draw_reserve(dossier, strength, wanted=structure.wanted))
    (chart,) = kept.charts
    seen = 0
    for case in cases_shown(strength):
        for span, reserve in zip(case.spans, case.reserves, strict=True):
            if chart.up.holds(math.log10(reserve)) and reserve < 19.0:
                ends = place(chart, span * 1000, math.log10(reserve))
                seen += any(
                    bool((np.abs(line - ends) < 1e-6).all(axis=1).any()) for line in kept.lines
                )
    assert seen > 5


def test_the_chart_of_reach_draws_its_points() -> None:
    dossier, _, strength = result_of("shelduck")
    kept = Kept(lambda: drawn_of(draw_reach(dossier, strength)))
    (chart,) = kept.charts
    assert strength.reach is not None
    for point in strength.reach.points:
        if chart.up.holds(point.reserve):
            assert kept.passes(*place(chart, point.share * 100, point.reserve))
    assert chart.up.holds(min(point.reserve for point in strength.reach.points))


@pytest.mark.parametrize("slug", DEMO)
def test_cuts_are_true_to_scale(slug: str) -> None:
    """A strip's long edge is as long on the sheet as the strip, times the scale: plain geometry."""
    dossier, _, strength = result_of(slug)
    kept = Kept(lambda: drawn_of(draw_cuts(dossier, strength)))
    drawing = sheets_of(slug)["cuts"].drawing
    found = re.search(r"(\d+):(\d+)", drawing.caption)
    assert found
    scale = int(found[1]) / int(found[2]) * 1000
    lengths = np.array(
        [float(np.hypot(*(line[1] - line[0]))) for line in kept.lines if len(line) in (2, 4)]
    )
    for cut in strength.cuts:
        longest = max(math.dist(piece.start, piece.end) for piece in cut.pieces)
        assert np.abs(lengths - longest * scale).min() < 1e-6


def test_reserve_factors_stand_on_an_axis_of_logarithms() -> None:
    """One, two and five times powers of ten: common practice, no source."""
    axis = LogAxis.reserves([0.3, 7.0], most=20.0)
    assert [axis.word(tick) for tick in axis.ticks] == ["0.5", "1", "2", "5", "10", "20"]
    assert axis.holds(math.log10(0.3))


def test_numbers_have_about_three_digits() -> None:
    assert [number(value) for value in (0.0, -0.0004, 9.987, 152.04, -4.5)] == [
        *("0.00", "0.00", "9.99", "152", "-4.50")
    ]


# --- struts and wires ----------------------------------------------------------------------------


def bracing(forces: list[tuple[float, bool]]) -> Bracing:
    """So many braces below a wing of a demo design, each with a force and whether it is slack."""
    braces, told = [], []
    for k, (force, slack) in enumerate(forces):
        part = f"brace {k}, {LONG}"
        braces.append(
            BraceResult(
                part=part,
                name="lift wire",
                kind="wire",
                material="steel-wire",
                count=1,
                start=(0.05, 0.03, -0.1),
                end=(0.07, 0.1 + 0.015 * k, 0.0),
                length=0.3,
                pull_strength=100.0,
                push_strength=None,
                worst_case="pull-up",
                worst_force=force,
                reserve=5.0 + k,
                diameter=0.001,
                least_diameter=0.0005,
            )
        )
        told.append(BraceForce(part, "lift wire", force, slack, 5.0 + k))
    case = BracedCase("pull-up", tuple(told), {}, {}, None)
    return Bracing(tuple(braces), (case,), {"wing": "clamped"}, ())


def test_pulled_pushed_and_slack_braces_differ_by_line_type() -> None:
    dossier, _, _ = result_of("dunlin")
    for force, slack, kind in (
        (12.0, False, PULLED),
        (-12.0, False, PUSHED),
        (0.0, True, SLACK),
    ):
        kinds: list[LineType] = []
        line = Canvas.line

        def kept(canvas: Canvas, points: Any, look: Any = EDGE, **how: Any) -> None:
            kinds.append(look)  # noqa: B023 - used within this turn only
            line(canvas, points, look, **how)  # noqa: B023

        with mock.patch.object(Canvas, "line", kept):
            draw_bracing(dossier, bracing([(force, slack)]))
        # Once in each of the two views, and once in the key; the others in the key alone.
        assert [kinds.count(one) for one in (PULLED, PUSHED, SLACK)] == [
            3 if one is kind else 1 for one in (PULLED, PUSHED, SLACK)
        ]
    assert len({(one.width_mm, one.dash) for one in (PULLED, PUSHED, SLACK)}) == 3
    drawing = check(lambda: draw_bracing(dossier, bracing([(12.0, False), (-3.0, False)])))
    words = " ".join(texts(drawing))
    assert "pulled 12" in words
    assert "pushed 3.00 N" in words
    slack_words = " ".join(texts(draw_bracing(dossier, bracing([(0.0, True)]))))
    assert "slack: lift wire" in slack_words


def test_very_many_braces_stay_clean() -> None:
    dossier, _, _ = result_of("dunlin")
    drawing = check(lambda: draw_bracing(dossier, bracing([(5.0, False)] * (MOST + 9))))
    assert len([text for text in texts(drawing) if text.startswith("pulled 5.00 N")]) == MOST


# --- the bench test ------------------------------------------------------------------------------


def bench(bags: list[tuple[float, float]], deflection: float | None) -> StaticTest:
    """A test of a demo wing with bags at spans."""
    step = LoadStep(1.0, tuple(mass for _, mass in bags), deflection)
    return StaticTest(
        surface="wing",
        case="pull-up",
        load_factor=4.0,
        support=0.03,
        bags=tuple(Bag(span, mass) for span, mass in bags),
        total=2.0,
        root_share=1.0,
        worst=0.0,
        steps=(step,),
        stop_at=(),
        cautions=(),
    )


@pytest.mark.parametrize("deflection", [None, 0.002, 0.09])
def test_bags_stand_where_they_belong(deflection: float | None) -> None:
    """Distances on a straight panel are to scale: plain geometry."""
    dossier, _, _ = result_of("dunlin")
    places = [(0.09, 0.2), (0.2, 0.4), (0.31, 0.05)]
    test = bench(places, deflection)
    drawing = check(lambda: draw_static_test(dossier, test))
    kept: Any = Kept(lambda: draw_static_test(dossier, test))
    words = texts(drawing)
    assert [text for text in words if text.endswith(" g")] == ["200 g", "400 g", "50 g"]
    assert {"0", "90", "200", "310"} <= set(words)
    ticks = sorted(
        {
            float(line[0, 0])
            for line in kept.lines
            if len(line) == 2 and abs(line[0, 0] - line[1, 0]) < 1e-9 and line[1, 1] == 8.0
        }
    )
    assert len(ticks) == 4
    steps = np.diff(ticks) / np.diff([0.0, 0.09, 0.2, 0.31])
    assert steps == pytest.approx([steps[0]] * 3, rel=1e-6)
    assert ("Dashed" in drawing.caption) == (deflection is not None)
