"""Propeller wash against the closed forms of the actuator disc."""

from __future__ import annotations

import math

import pytest

from plansgen.flight.slipstream import disc

AIR = 1.225


def test_standing_still() -> None:
    """H. Glauert, *Elements of Aerofoil and Airscrew Theory*, ch. XV: v = √(T/2ρA), P = T v.

    Evaluated apart from this program for 10 N and 0.254 m; all printed digits.
    """
    ten = disc(thrust=10.0, diameter=0.254, speed=0.0, density=AIR)
    assert ten.added == pytest.approx(8.97508, abs=5e-6)
    assert ten.far_speed == pytest.approx(17.95016, abs=5e-6)
    assert ten.power == pytest.approx(89.751, abs=5e-4)
    five = disc(thrust=5.0, diameter=0.254, speed=0.0, density=AIR)
    assert (five.added, five.power) == pytest.approx((6.34634, 31.732), rel=1e-5)


@pytest.mark.parametrize("power", [50.0, 100.0])
def test_thrust_for_power(power: float) -> None:
    """Glauert: T = (2ρA)^(1/3) P^(2/3) standing still."""
    area = math.pi * 0.254**2 / 4
    thrust = (2 * AIR * area) ** (1 / 3) * power ** (2 / 3)
    assert thrust == pytest.approx({50.0: 6.7705, 100.0: 10.7475}[power], abs=5e-5)
    assert disc(thrust=thrust, diameter=0.254, speed=0.0, density=AIR).power == pytest.approx(power)


@pytest.mark.parametrize("speed", [0.0, 3.0, 8.0, 20.0])
def test_momentum_energy_and_mass(speed: float) -> None:
    """Glauert: thrust = mass flow × far added speed; power = what the air gains.

    And as much air goes through every section of the stream.
    """
    flow = disc(thrust=4.0, diameter=0.23, speed=speed, density=AIR)
    mass = AIR * math.pi * 0.23**2 / 4 * (speed + flow.added)
    assert mass * (flow.far_speed - speed) == pytest.approx(4.0)
    assert mass * (flow.far_speed**2 - speed**2) / 2 == pytest.approx(flow.power)
    for behind in (0.0, 0.1, 1.0, 50.0):
        through = AIR * math.pi * flow.radius_at(behind) ** 2 * flow.speed_at(behind)
        assert through == pytest.approx(mass)


def test_contraction_standing_still() -> None:
    """Textbooks of helicopters and propellers alike: the wash ends at R/√2, twice as fast."""
    flow = disc(thrust=4.0, diameter=0.2, speed=0.0, density=AIR)
    assert flow.far_radius == pytest.approx(0.1 / math.sqrt(2))
    assert flow.radius_at(1000.0) == pytest.approx(flow.far_radius, rel=1e-6)


def test_along_the_axis() -> None:
    """B. W. McCormick, *Aerodynamics of V/STOL Flight*: w/v = 1 + s/√(s² + R²), from memory.

    On the axis of a tube of vortex rings: 1 at the disc, 1.707 a radius behind, 0.293 a radius
    ahead, and 1.894 a diameter behind. The rings' own law (Biot and Savart), summed, must agree.
    """
    flow = disc(thrust=4.0, diameter=0.2, speed=5.0, density=AIR)
    for behind in (-0.3, -0.1, 0.0, 0.1, 0.2):
        rings = [(k + 0.5) * 0.001 for k in range(40_000)]  # 40 m of them, 1 mm apart
        tube = sum(0.1**2 / (2 * (0.1**2 + (behind - s) ** 2) ** 1.5) for s in rings) * 0.001
        assert (flow.speed_at(behind) - 5.0) / (2 * flow.added) == pytest.approx(tube, abs=1e-4)
    assert (flow.speed_at(0.1) - 5.0) / flow.added == pytest.approx(1 + 1 / math.sqrt(2))


def test_pressure_far_behind() -> None:
    """Bernoulli: the wash has gained the disc loading, q_far = q + T/A, at any speed."""
    for speed in (0.0, 6.0, 15.0):
        flow = disc(thrust=4.0, diameter=0.23, speed=speed, density=AIR)
        gained = AIR / 2 * (flow.far_speed**2 - speed**2)
        assert gained == pytest.approx(4.0 / (math.pi * 0.23**2 / 4))
