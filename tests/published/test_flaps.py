"""Thin-airfoil theory: mean lines and plain flaps.

Sources: H. Glauert, *The Elements of Aerofoil and Airscrew Theory* (1926) and ARC R&M 1095 (1927);
Houghton & Carpenter, *Aerodynamics for Engineering Students*, eq. 4.52 (p. 183). The rows of
numbers are those formulae evaluated elsewhere; measured values from NACA Report 824 (1945), from
memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from plansgen.airframe.sections import section_shape
from plansgen.flight.mean_line import mean_line_of, mean_line_of_outline
from plansgen.flight.thin_airfoil import thin_flap, thin_section
from plansgen.library.models import Section
from tests.flight.shapes import station

FLAPS = [
    # share, effectiveness, lift, moment, hinge for angle, hinge for deflection
    (0.10, 0.3958, 2.4870, -0.5400, -0.3449, -0.8842),
    (0.15, 0.4805, 3.0191, -0.6070, -0.4273, -0.9031),
    (0.20, 0.5498, 3.4546, -0.6400, -0.4994, -0.9229),
    (0.25, 0.6090, 3.8264, -0.6495, -0.5653, -0.9436),
    (0.30, 0.6607, 4.1516, -0.6416, -0.6274, -0.9654),
    (0.40, 0.7478, 4.6985, -0.5879, -0.7448, -1.0127),
    (0.50, 0.8183, 5.1416, -0.5000, -0.8584, -1.0658),
]
HALF_DIGIT = 6e-5  # half of the last digit of the rows above, and a little


@pytest.mark.parametrize(("share", "tau", "lift", "moment", "hinge_a", "hinge_d"), FLAPS)
def test_plain_flap(
    share: float, tau: float, lift: float, moment: float, hinge_a: float, hinge_d: float
) -> None:
    """Closed forms for lift and moment; hinge moments by integrating the exact loading."""
    flap = thin_flap(share)
    assert flap.effectiveness == pytest.approx(tau, abs=HALF_DIGIT)
    assert flap.lift == pytest.approx(lift, abs=HALF_DIGIT)
    assert flap.moment == pytest.approx(moment, abs=HALF_DIGIT)
    assert flap.hinge_angle == pytest.approx(hinge_a, abs=HALF_DIGIT)
    assert flap.hinge_deflection == pytest.approx(hinge_d, abs=HALF_DIGIT)


def test_all_moving_surface() -> None:
    """The whole chord as flap is a flat plate: 2π, no moment, hinge moment −π/2."""
    flap = thin_flap(1.0)
    assert flap.lift == pytest.approx(2 * math.pi)
    assert flap.moment == pytest.approx(0.0, abs=1e-12)
    assert flap.hinge_angle == pytest.approx(-math.pi / 2, rel=1e-6)
    assert flap.hinge_deflection == pytest.approx(-math.pi / 2, rel=1e-6)


@pytest.mark.parametrize(
    ("digits", "zero_lift", "moment", "measured_angle", "measured_moment"),
    [("2412", -2.0772, -0.05312, -2.0, -0.047), ("4412", -4.1545, -0.10624, -4.0, -0.093)],
)
def test_four_digit_mean_lines(
    digits: str, zero_lift: float, moment: float, measured_angle: float, measured_moment: float
) -> None:
    """Theory by Glauert's integrals; measurement NACA Report 824, from memory.

    Viscosity takes a few percent off the angle and up to a seventh off the moment.
    """
    section = thin_section(mean_line_of(station(0.0, digits=digits)))
    angle = math.degrees(section.zero_lift_angle)
    assert angle == pytest.approx(zero_lift, abs=1e-4)
    assert section.moment == pytest.approx(moment, abs=6e-6)
    assert angle == pytest.approx(measured_angle, rel=0.05)
    assert section.moment == pytest.approx(measured_moment, rel=0.15)


@pytest.mark.parametrize("digits", ["2412", "4412", "4409"])
def test_mean_line_read_from_a_coarse_outline(digits: str) -> None:
    """The same sections read back from 24 points a side, as a stranger's file would be.

    Midpoints are found to 1e-5 of the chord, a camber of 2 % so to 0.05 %; the angle weighs the
    trailing edge about twice: 0.1 %.
    """
    outline = section_shape(Section(kind="naca", digits=digits), chord=1.0).outline
    read = thin_section(mean_line_of_outline(outline))
    exact = thin_section(mean_line_of(station(0.0, digits=digits)))
    assert read.zero_lift_angle == pytest.approx(exact.zero_lift_angle, rel=0.001)
    assert read.moment == pytest.approx(exact.moment, rel=0.001)


def test_flat_plate_and_folded_sheet() -> None:
    """A plate has no camber; a sheet folded over a spar is a mean line of three flats.

    Its zero-lift angle by Glauert's integral ∫ z'(1 − cos θ) dθ/π over the flats, by hand.
    """
    plate = section_shape(Section(kind="plate", thickness=3), chord=0.2).outline
    assert thin_section(mean_line_of_outline(plate)).zero_lift_angle == 0.0
    fold = Section(kind="folded sheet", thickness=5, spar_height=12, spar_at=0.3)
    outline = section_shape(fold, chord=0.2).outline
    x = np.array([0.0, 0.025, 0.3, 1.0])
    top = np.array([0.025, 0.025 + (0.11 - 0.025) * 0.025 / 0.3, 0.11, 0.025])
    z = (top + np.array([0.025, 0.0, 0.0, 0.0])) / 2
    theta = np.arccos(1 - 2 * x)
    by_hand = float(np.diff(z) / np.diff(x) @ np.diff(theta - np.sin(theta))) / math.pi
    ours = thin_section(mean_line_of_outline(outline)).zero_lift_angle
    assert ours == pytest.approx(by_hand, rel=1e-9)


def test_circular_arc() -> None:
    """Shallow arc of 4 % camber: zero lift at −2f = −4.584°, moment −πf. Glauert, ch. VII."""
    x = (1 - np.cos(np.linspace(0, math.pi, 401))) / 2
    section = thin_section(np.column_stack([x, 4 * 0.04 * x * (1 - x)]))
    assert math.degrees(section.zero_lift_angle) == pytest.approx(-4.584, abs=1e-3)
    assert section.moment == pytest.approx(-0.12566, abs=1e-5)
    assert section.ideal_angle == pytest.approx(0.0, abs=1e-9)


def test_a_bent_plate_is_a_flap() -> None:
    """A mean line with a corner, of small angle, is Glauert's flap; two routes to one number."""
    bend = 1e-3
    section = thin_section(np.array([[0.0, 0.0], [0.75, 0.0], [1.0, -0.25 * bend]]))
    flap = thin_flap(0.25)
    assert -2 * math.pi * section.zero_lift_angle == pytest.approx(flap.lift * bend, rel=1e-9)
    assert section.moment == pytest.approx(flap.moment * bend, rel=1e-9)
