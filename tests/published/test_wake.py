"""Downwash behind a wing."""

from __future__ import annotations

import math

import numpy as np
import pytest

from plansgen.flight.lattice import Flow, Lattice
from plansgen.flight.slender import flow_turning
from tests.flight.shapes import SMALL, ellipse, loads_of, scale_for, trapezium


@pytest.mark.parametrize("aspect", [6.0, 10.0, 20.0])
def test_far_behind_an_elliptical_wing(aspect: float) -> None:
    """dε/dα = 2 CLα/(πA) far behind an elliptical load (H. Glauert, *Elements*, ch. XII).

    A lattice's load on an elliptical wing is fuller at the tips than an ellipse and flatter in the
    middle, which is where the flow is felt, so it lies above by a few per cent, less for long
    wings: 5 %.
    """
    wing = ellipse(aspect)
    lattice, scale = Lattice([wing], strips=24), scale_for(wing)
    points = np.array([[200.0, y, 0.0] for y in (0.05, 0.1, 0.15, 0.2, 0.25)])
    turned = 1 - flow_turning(lattice, points, alpha=0.0, scale=scale)
    slope = loads_of(lattice, Flow(alpha=SMALL), scale).lift / SMALL
    rule = 2 * slope / (math.pi / wing.planform.area)
    assert turned.mean() == pytest.approx(rule, rel=0.05)


def test_half_of_it_at_the_wing() -> None:
    """At the quarter line the trailing legs act with half their far strength (Glauert, ch. XI).

    Elliptical, A = 20: the mean over the span of the strips' induced angle is CL/(πA), 2 %.
    """
    wing = ellipse(20.0)
    loads = loads_of(Lattice([wing], strips=24), Flow(alpha=SMALL), scale_for(wing))
    weights = np.array([s.width * s.circulation for s in loads.strips])
    mean = float(weights @ [s.induced_angle for s in loads.strips] / weights.sum())
    assert mean == pytest.approx(loads.lift * wing.planform.area / math.pi, rel=0.02)


def test_none_far_ahead() -> None:
    """The law of Biot and Savart: fades with the distance squared or faster."""
    wing = trapezium(6.0)
    points = np.array([[-20.0, 0.1, 0.0], [-40.0, 0.1, 0.0]])
    near, far = flow_turning(Lattice([wing]), points, alpha=0.0, scale=scale_for(wing)) - 1
    assert 0 < far < near / 3.5 < 1e-3
