"""Hinge moments: the closed form against the loading integrated, and the servo's part.

Source: H. Glauert, ARC R&M 1095 (1927); E. L. Houghton & P. W. Carpenter, *Aerodynamics for
Engineering Students*. The table is checked as published cases, see tests/published.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.airframe.build import build_airframe
from plansgen.controls.hinge import REAL, at_servo, glauert, hinge_moment, moment_area
from plansgen.controls.linkage import Linkage
from plansgen.flight.thin_airfoil import thin_flap
from plansgen.library.models import DesignFile
from plansgen.published import hinges
from tests.designs import bare, surface


@settings(max_examples=30)
@given(st.floats(0.03, 0.97))
def test_the_closed_form_is_the_loading_integrated(share: float) -> None:
    """The same pressure, by Gauss-Legendre quadrature in the flight room."""
    flap = thin_flap(share)
    assert glauert(share) == pytest.approx((flap.hinge_angle, flap.hinge_deflection), abs=1e-6)


def test_the_published_table_holds() -> None:
    assert len(hinges.cases()) == 2 * len(hinges.ROWS) + 3
    assert [case.key for case in hinges.cases() if not case.holds] == []


@pytest.mark.parametrize("share", [0.0, 1.0, -0.2, math.nan])
def test_a_share_outside_is_refused(share: float) -> None:
    with pytest.raises(ValueError, match="must lie between 0 and 1"):
        glauert(share)


def test_moment_of_a_straight_tail() -> None:
    """By hand: 200 mm span each side, control 30 mm deep, q 100 Pa, 10 degrees, 80 % of theory."""
    raw = surface(
        "tailplane",
        [(0, 0, 100), (200, 0, 100)],
        controls={"elevator": {"kind": "elevator", "from": 0, "to": 200, "chord": 0.3}},
    )
    wing = surface("wing", [(0, 0, 200), (500, 0, 200)])
    airframe = build_airframe(DesignFile.model_validate(bare({"wing": wing, "tailplane": raw})), {})
    tail = airframe.surface("tailplane")
    control = tail.controls[0]
    assert moment_area(tail, control) == pytest.approx(2 * 0.2 * 0.03**2)
    found = hinge_moment(
        tail, control, pressure=100.0, alpha=math.radians(-2), deflection=math.radians(10)
    )
    by_hand = 100 * 0.00036 * REAL * (0.6274 * math.radians(2) + 0.9654 * math.radians(10))
    assert found == pytest.approx(by_hand, rel=1e-4)


def test_a_servo_with_an_arm_half_the_horn_holds_half() -> None:
    """Lever rule about the middle; with a long rod the ratio only grows from cos θ / cos φ."""
    linkage = Linkage(arm=0.008, horn=0.016, rod=100.0)
    small = at_servo(linkage, fixed=0.0, per_radian=1.0, swings=(-0.01, 0.01))
    assert small == pytest.approx(0.5 * 0.01, rel=1e-3)
    # sin θ = 2 sin φ: dφ/dθ = ½ cos θ / cos φ, at φ = 15 degrees
    swing = math.radians(15)
    arm = math.asin(2 * math.sin(swing))
    full = at_servo(linkage, fixed=1.0, per_radian=0.0, swings=(swing,))
    at_end = at_servo(linkage, fixed=0.0, per_radian=1.0, swings=(swing,))
    assert full == pytest.approx(0.5, rel=1e-3)  # a moment that is there all the time: the middle
    assert at_end == pytest.approx(swing * 0.5 * math.cos(arm) / math.cos(swing), rel=1e-3)


def test_a_linkage_that_does_not_reach_has_no_torque() -> None:
    linkage = Linkage(arm=0.005, horn=0.02, rod=0.2)
    assert at_servo(linkage, fixed=1.0, per_radian=1.0, swings=(0.5,)) is None
