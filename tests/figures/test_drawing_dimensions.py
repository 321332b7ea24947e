"""Dimensions and labels never collide, whatever is dimensioned or labelled."""

import itertools

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from plansgen.figures import style
from plansgen.figures.canvas import Canvas
from plansgen.figures.collisions import collisions, crossed_texts
from plansgen.figures.dimensions import (
    Dim,
    angle,
    label_points,
    stack_depth_mm,
    stack_horizontal,
    stack_vertical,
)
from plansgen.figures.leaders import crossing, spread
from plansgen.figures.scales import Scale
from plansgen.figures.view import View

SCALE = Scale(1, 10)

places = st.floats(-0.6, 0.6, allow_subnormal=False)


def view_on(width=600, height=600):
    """A cross-shaped thing 1.2 m each way in the middle of a large sheet."""
    view = View(Canvas(width_mm=width, height_mm=height), SCALE, origin_mm=(width / 2, height / 2))
    view.edge([(-0.6, 0), (0.6, 0)])
    view.edge([(0, -0.6), (0, 0.6)])
    return view


@st.composite
def dims(draw):
    start, end = draw(places), draw(places)
    label = draw(st.sampled_from([f"{abs(end - start) * 1000:.0f}", "root (84.5)", "g"]))
    return Dim(start, end, label, draw(places), draw(st.none() | places))


@settings(deadline=None, max_examples=40)
@given(st.lists(dims(), max_size=14), st.sampled_from(["below", "above", "left", "right"]))
def test_stacks_never_collide(stack, side):
    view = view_on()
    draw = stack_horizontal if side in ("below", "above") else stack_vertical
    draw(view, stack, side)
    figure = view.canvas.figure()
    assert collisions(figure) == []
    assert crossed_texts(figure) == []


@settings(deadline=None, max_examples=40)
@given(st.lists(dims(), min_size=1, max_size=10))
@example([Dim(0, 0, "0", 0), Dim(0, -0.5, "500", 0), Dim(0.08, 7e-18, "80", 0)])
def test_every_value_is_there_once(stack):
    view = view_on()
    outer = stack_horizontal(view, [*stack, *stack])
    drawn = sorted(lettering.text for lettering in view.canvas.letterings)
    assert drawn == sorted(dim.label for dim in dict.fromkeys(stack))
    assert view.box.bottom - outer == pytest.approx(stack_depth_mm(stack, SCALE))


def test_chain_shares_one_tier_and_the_whole_lies_outside():
    """ISO 129-1 (from memory): chain dimensions in one line, shorter ones nearer the outline."""
    view = view_on()
    chain = [Dim(-0.6, -0.2, "400", 0), Dim(-0.2, 0.2, "400 ", 0), Dim(0.2, 0.6, "401", 0)]
    stack_horizontal(view, [Dim(-0.6, 0.6, "1200", 0), *chain])
    feet = {lettering.text: lettering.y for lettering in view.canvas.letterings}
    assert feet["400"] == feet["401"]
    assert feet["1200"] < feet["400"] < view.box.bottom


def test_vertical_values_read_from_the_right():
    """ISO 129-1 (from memory): readable from the bottom or from the right edge."""
    view = view_on()
    stack_vertical(view, [Dim(-0.6, 0.6, "1200", 0)])
    stack_horizontal(view, [Dim(-0.6, 0.6, "1200", 0)])
    assert [lettering.rotation for lettering in view.canvas.letterings] == [90, 0]


def test_short_dimension_near_the_edge_keeps_its_value_on_the_sheet():
    view = view_on(width=126)
    stack_horizontal(view, [Dim(0.58, 0.6, "20 to the tip", 0), Dim(-0.6, -0.58, "20 root", 0)])
    assert collisions(view.canvas.figure()) == []


@settings(deadline=None, max_examples=40)
@given(st.floats(-180, 180), st.floats(0.2, 170))
def test_angle_value_stands_free(start, size):
    lone = View(Canvas(width_mm=600, height_mm=600), SCALE, origin_mm=(300, 300))
    angle(lone, (0, 0), start_deg=start, end_deg=start + size, label=f"{size:.1f}°")
    assert collisions(lone.canvas.figure()) == []
    assert crossed_texts(lone.canvas.figure()) == []


points = st.tuples(places, places, st.text("aegpMW 0123456789,", min_size=1, max_size=14))


@settings(deadline=None, max_examples=40)
@given(
    st.lists(points, max_size=60),
    st.sampled_from(["left", "right", "above", "below"]),
    st.sampled_from([220, 300, 600]),
)
@example([(0, 0, "0"), (0, 0, "0"), (1e-12, 0, "0"), (0, 0, "0")], "left", 220)
def test_labels_never_collide(items, side, size):
    items = [(h, v, text) for h, v, text in items if text.strip()]
    view = view_on(size, size)
    legend = label_points(view, items, side)
    figure = view.canvas.figure()
    assert collisions(figure) == []
    assert crossed_texts(figure) == []
    assert not_crossing(view)
    said = [lettering.text for lettering in view.canvas.letterings]
    words = sorted(" ".join(text.split()) for _, _, text in items)
    assert words == sorted(legend.values() if legend else said)
    assert list(legend) == list(range(1, len(legend) + 1))


def not_crossing(view):
    """No two oblique parts of the leaders cross."""
    paths = view.canvas._lines.get(style.NARROW, [])
    leaders = [tuple(map(tuple, path.vertices[:2])) for path in paths if len(path.vertices) == 3]
    return not any(crossing(*a, *b) for a, b in itertools.combinations(leaders, 2))


def test_no_room_at_all():
    view = view_on()
    with pytest.raises(ValueError, match="no room"):
        label_points(view, [(0, 0, "battery")], within=view.canvas.limits.inset(top=596))


@settings(deadline=None, max_examples=40)
@given(st.lists(st.floats(0, 100), min_size=1, max_size=7))
def test_spread_is_the_least_squares_solution(wanted):
    """Against a general optimiser (SLSQP), which knows nothing of pooling."""
    wanted = sorted(wanted)
    pitch, low, high = 6.0, 5.0, 70.0
    found = np.array(spread(wanted, pitch=pitch, low=low, high=high))
    assert (np.diff(found) >= pitch - 1e-9).all()
    assert found[0] >= low - 1e-9
    assert found[-1] <= high + 1e-9
    aim = np.array(wanted)
    rows = np.diff(np.eye(len(wanted)), axis=0)
    general = minimize(
        lambda p: ((p - aim) ** 2).sum(),
        low + pitch * np.arange(len(wanted)),
        jac=lambda p: 2 * (p - aim),
        bounds=[(low, high)] * len(wanted),
        constraints={"type": "ineq", "fun": lambda p: rows @ p - pitch, "jac": lambda _: rows},
        method="SLSQP",
        options={"ftol": 1e-12, "maxiter": 500},
    )
    assert ((found - aim) ** 2).sum() <= general.fun + 1e-5


def test_spread_says_when_it_cannot():
    with pytest.raises(ValueError, match="do not fit"):
        spread([1, 2, 3], pitch=6, low=0, high=10)
