"""Deflection and twist against closed forms; more beams stand in ``published.loads``."""

from __future__ import annotations

import numpy as np
import pytest

from plansgen.structure.deflection import bent, deflection, tip_stiffness, twisted
from plansgen.structure.span_loads import SpanLoad

EI = 10e9 * 166.6666667e-12


def load_of(spans: np.ndarray, push: float, torque: float = 0.0, aft: float = 0.0) -> SpanLoad:
    """A push at the tip, a torque along all of it, a push aft at the tip."""
    n, left = len(spans), spans[-1] - spans
    return SpanLoad(
        "c",
        tuple(spans.tolist()),
        (push,) * n,
        tuple((push * left).tolist()),
        (torque,) * n,
        (aft,) * n,
        tuple((aft * left).tolist()),
        (0.0,) * n,
        (),
    )


def test_a_cantilever_bends_and_twists_by_the_formulas() -> None:
    """P L³/3EI and T L/GJ, S. Timoshenko, Strength of Materials I."""
    spans = np.linspace(0.0, 0.5, 11)
    ends = [0.0, 0.5]
    found = deflection(
        load_of(spans, 1.0, torque=0.2, aft=2.0),
        spans=ends,
        bending=[EI, EI],
        chord_bending=[4 * EI, 4 * EI],
        torsion=[0.5, 0.5],
    )
    assert found.tip_up == pytest.approx(0.025, rel=1e-6)
    assert found.tip_aft == pytest.approx(0.0125, rel=1e-6)
    assert found.tip_twist == pytest.approx(0.2, rel=1e-9)
    assert not found.large
    assert found.up[0] == found.aft[0] == found.twist[0] == 0.0


@pytest.mark.parametrize(("push", "large"), [(1.9, False), (2.1, True), (-2.1, True)])
def test_beyond_a_tenth_it_says_so(push: float, large: bool) -> None:
    """25 mm a newton on 500 mm: two newtons are a tenth."""
    spans = np.linspace(0.0, 0.5, 11)
    stiff = [EI, EI]
    found = deflection(
        load_of(spans, push), spans=[0.0, 0.5], bending=stiff, chord_bending=stiff, torsion=stiff
    )
    assert found.large is large


def test_a_stepped_beam() -> None:
    """Two halves, the inner twice as stiff: by superposition (7/2 + 1) P a³/3EI, worked by hand.

    δ = P/(3EI) (a³ + (8a³ − a³)/2) with a half of the length.
    """
    a, step = 0.25, 1e-9
    spans = np.unique(np.concatenate([np.linspace(0, 0.5, 21), [a - step, a + step]]))
    stiffness = np.where(spans < a, 2 * EI, EI)
    left = 0.5 - spans
    found = bent(
        spans=spans.tolist(),
        moments=left.tolist(),
        shears=np.ones_like(left).tolist(),
        stiffness=stiffness.tolist(),
    )
    assert found[-1] == pytest.approx((a**3 + 7 * a**3 / 2) / (3 * EI), rel=1e-6)


def test_a_tapered_shaft_twists_by_the_logarithm() -> None:
    """∫ T ds/GJ with GJ falling straight from 2 to 1: T L ln 2, elementary."""
    spans = np.linspace(0.0, 1.0, 21).tolist()
    found = twisted(spans=spans, torques=[1.0] * 21, stiffness=[2.0 - s for s in spans])
    assert found[-1] == pytest.approx(np.log(2.0), rel=1e-8)


def test_tip_stiffness_of_an_even_beam() -> None:
    """3EI/L³, from the side of the body outwards."""
    assert tip_stiffness(spans=[0, 0.5], bending=[EI, EI]) == pytest.approx(3 * EI / 0.125)
    held = tip_stiffness(spans=[0, 0.5], bending=[EI, EI], fixed=0.1)
    assert held == pytest.approx(3 * EI / 0.4**3)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"stiffness": [1.0, 0.0]}, "not above 0"),
        ({"spans": [1.0, 0.0]}, "must rise"),
        ({"moments": [1.0]}, "as many values"),
        ({"spans": [0.0], "moments": [0.0], "shears": [0.0], "stiffness": [1.0]}, "two or more"),
    ],
)
def test_what_is_refused(given: dict[str, list[float]], said: str) -> None:
    good = {
        "spans": [0.0, 1.0],
        "moments": [1.0, 0.0],
        "shears": [1.0, 1.0],
        "stiffness": [1.0, 1.0],
    }
    with pytest.raises(ValueError, match=said):
        bent(**{**good, **given})
