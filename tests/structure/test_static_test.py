"""The bench test: bags that bend the wing as flight does."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import nnls

from plansgen.atmosphere import GRAVITY
from plansgen.structure.static_test import (
    StaticTest,
    bag_places,
    non_negative,
    static_test_of,
)
from tests.structure.loaded import loaded


def of_trainer(**more: float) -> StaticTest:
    model = loaded()
    load = model.loader.span_load(model.cases["pull-up"], "wing", axis=0.3)
    own = model.loader.own_weight("wing", axis=0.3)
    return static_test_of(load, surface="wing", load_factor=4.0, own=own, support=0.03, **more)  # type: ignore[arg-type]


@settings(max_examples=40, deadline=None)
@given(
    matrix=st.lists(st.lists(st.floats(0.0, 5.0), min_size=4, max_size=4), min_size=6, max_size=6),
    wanted=st.lists(st.floats(-3.0, 10.0), min_size=6, max_size=6),
)
def test_least_squares_without_minus_as_a_library_has_it(
    matrix: list[list[float]], wanted: list[float]
) -> None:
    """scipy.optimize.nnls: the same residual, though where columns repeat not the same numbers."""
    a, b = np.round(np.array(matrix), 3) + np.eye(6, 4), np.round(np.array(wanted), 3)
    found = non_negative(a, b)
    assert (found >= 0.0).all()
    _, residual = nnls(a, b)
    assert np.linalg.norm(a @ found - b) == pytest.approx(residual, abs=1e-6)


def test_bags_and_own_weight_bend_the_wing_as_the_pull_up_does() -> None:
    """Moments by hand from the bags as printed."""
    test, model = of_trainer(), loaded()
    load = model.loader.span_load(model.cases["pull-up"], "wing", axis=0.3)
    own = model.loader.own_weight("wing", axis=0.3)
    for at in (0.03, 0.15, 0.25):
        bags = sum(bag.mass * GRAVITY * max(0.0, bag.span - at) for bag in test.bags)
        weight = -np.interp(at, own.spans, own.bending)
        wanted = np.interp(at, load.spans, load.bending)
        assert bags + weight == pytest.approx(wanted, rel=0.06)
    assert test.root_share == pytest.approx(1.0, abs=0.03)
    assert abs(test.worst) < 0.06
    assert test.total == pytest.approx(2 * sum(bag.mass for bag in test.bags))


def test_bags_are_few_and_round() -> None:
    test = of_trainer()
    assert 2 <= len(test.bags) <= 6
    assert [bag.span for bag in test.bags] == sorted(bag.span for bag in test.bags)
    for bag in test.bags:
        assert (bag.mass * 1000) % 5 == pytest.approx(0.0, abs=1e-6)
        assert bag.mass > 0.0


def test_steps_rise_to_the_limit_and_say_when_to_stop() -> None:
    test = of_trainer(deflection=0.04, own_deflection=-0.004)
    assert [step.share for step in test.steps] == [0.25, 0.5, 0.75, 1.0]
    last = test.steps[-1]
    assert last.bags == tuple(bag.mass for bag in test.bags)
    assert last.deflection == pytest.approx(0.036)
    assert test.steps[0].deflection == pytest.approx(0.009)
    assert any("eye" in words for words in test.cautions)
    assert any("glue" in words for words in test.stop_at)


def test_without_stiffness_no_deflection_is_promised() -> None:
    assert all(step.deflection is None for step in of_trainer().steps)


def test_places() -> None:
    """Five even fields between 100 and 600 mm: middles at 150, 250 and so on, by hand."""
    assert bag_places(support=0.1, tip=0.6) == (0.15, 0.25, 0.35, 0.45, 0.55)


def test_a_load_that_pushes_down_is_refused() -> None:
    model = loaded()
    own = model.loader.own_weight("wing", axis=0.3)
    push = model.loader.span_load(model.cases["push"], "wing", axis=0.3)
    with pytest.raises(ValueError, match="does not bend the wing up"):
        static_test_of(push, surface="wing", load_factor=-2.0, own=own)
    with pytest.raises(ValueError, match="two bags"):
        static_test_of(push, surface="wing", load_factor=-2.0, own=own, count=1)
