"""Rows must carry thin-airfoil lift and moment whatever their number."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from plansgen.flight.rows import camber_angles, flap_angles
from plansgen.flight.thin_airfoil import thin_flap, thin_section


def two_dimensional(angles: NDArray[np.float64]) -> tuple[float, float]:
    """Lift and quarter-chord moment of point vortices at 1/4, flow stopped at 3/4 of each panel."""
    count = len(angles)
    vortex, place = (np.arange(count) + 0.25) / count, (np.arange(count) + 0.75) / count
    strength = np.linalg.solve(1 / (2 * math.pi * (place[:, None] - vortex[None, :])), angles)
    return float(2 * strength.sum()), float(2 * strength @ (0.25 - vortex))


@pytest.mark.parametrize("rows", [2, 3, 5, 8])
@pytest.mark.parametrize("share", [0.1, 0.22, 0.5, 1.0])
def test_flap(rows: int, share: float) -> None:
    flap = thin_flap(share)
    ours = two_dimensional(flap_angles(share, rows))
    assert ours == pytest.approx((flap.lift, flap.moment), abs=1e-12)


@pytest.mark.parametrize("rows", [2, 5])
def test_fold(rows: int) -> None:
    line = np.array([[0.0, 0.0], [0.31, 0.04], [1.0, 0.01]])
    section = thin_section(line)
    lift = -2 * math.pi * section.zero_lift_angle
    assert two_dimensional(camber_angles(line, rows)) == pytest.approx((lift, section.moment))


def test_one_row_carries_the_lift() -> None:
    assert two_dimensional(flap_angles(0.3, 1))[0] == pytest.approx(thin_flap(0.3).lift)


def test_a_plate_is_left_alone() -> None:
    """James (1972): even rows are exact for a flat plate, so nothing is to be corrected."""
    assert flap_angles(1.0, 5) == pytest.approx(np.ones(5))
    assert camber_angles(np.array([[0.0, 0.0], [1.0, 0.0]]), 5) == pytest.approx(np.zeros(5))


@pytest.mark.parametrize("share", [0.0, -0.1, 1.2, math.nan])
def test_impossible_flaps(share: float) -> None:
    with pytest.raises(ValueError, match="share of the chord"):
        flap_angles(share, 4)


def test_a_line_that_turns_back() -> None:
    with pytest.raises(ValueError, match="must rise"):
        thin_section(np.array([[0.0, 0.0], [0.5, 0.1], [0.4, 0.0]]))
