"""Motions against worked examples and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from plansgen.atmosphere import GRAVITY
from plansgen.flight.lattice import Scale
from plansgen.flight.mode_rules import phugoid_rule, roll_time, spiral_product
from plansgen.flight.modes import (
    Inertia,
    lateral_matrix,
    lateral_modes,
    longitudinal_matrix,
    longitudinal_modes,
)
from tests.flight.flyers import derivatives_with

FOOT, SLUG = 0.3048, 14.5939
NAVION = Scale(area=184 * FOOT**2, span=33.4 * FOOT, chord=5.7 * FOOT)
SPEED, AIR = 176 * FOOT, 0.002378 * SLUG / FOOT**3
INERTIA = Inertia(
    mass=2750 * 0.45359237,
    roll=1048 * SLUG * FOOT**2,
    pitch=3000 * SLUG * FOOT**2,
    yaw=3530 * SLUG * FOOT**2,
    product=0.0,
)


def test_navion_longitudinal() -> None:
    """R. C. Nelson, *Flight Stability and Automatic Control*, example 4.3, from memory.

    CL 0.41, CD 0.05, CL_α 4.44, CD_α 0.33, Cm_α −0.683, Cm_α̇ −4.36, Cm_q −9.96; Z_q left out there.
    Printed: phugoid −0.0171 ± 0.213 i, short period −2.5 ± 2.59 i. The book rounds its dimensional
    derivatives to two or three digits (M_w −0.05 for −0.0502, X_u −0.045): 2 % on the fast pair,
    3 % on the slow one's frequency and 5 % on its small damping.
    """
    d = derivatives_with(
        alpha={"lift": 4.44, "induced_drag": 0.33, "pitch": -0.683}, q={"pitch": -9.96}
    )
    matrix = longitudinal_matrix(
        derivatives=d,
        inertia=INERTIA,
        scale=NAVION,
        speed=SPEED,
        density=AIR,
        lift=0.41,
        drag=0.05,
        alpha_dot=-4.36,
    )
    short, phugoid, others = longitudinal_modes(matrix)
    assert short is not None
    assert phugoid is not None
    assert others == ()
    assert (short.real, short.imaginary) == pytest.approx((-2.5, 2.59), rel=0.02)
    assert phugoid.imaginary == pytest.approx(0.213, rel=0.03)
    assert phugoid.real == pytest.approx(-0.0171, rel=0.05)


def test_navion_lateral() -> None:
    """The same book, example 5.2, from memory: spiral −0.00877, roll −8.435, Dutch roll −0.487 ±
    2.335 i.

    CY_β −0.564, Cl_β −0.074, Cn_β 0.071, Cl_p −0.410, Cn_p −0.0575, Cl_r 0.107, Cn_r −0.125; Y_p
    and Y_r left out. 2 % for rounded derivatives; the spiral is a difference of two like numbers,
    the criterion's products, which differ by a fifth: 1 % of each is 10 % of the root.
    """
    d = derivatives_with(
        beta={"side": -0.564, "roll": -0.074, "yaw": 0.071},
        p={"roll": -0.410, "yaw": -0.0575},
        r={"roll": 0.107, "yaw": -0.125},
    )
    matrix = lateral_matrix(derivatives=d, inertia=INERTIA, scale=NAVION, speed=SPEED, density=AIR)
    roll, spiral, dutch, coupled, others = lateral_modes(matrix)
    assert roll is not None
    assert spiral is not None
    assert dutch is not None
    assert coupled is None
    assert others == ()
    assert roll.real == pytest.approx(-8.435, rel=0.02)
    assert (dutch.real, dutch.imaginary) == pytest.approx((-0.487, 2.335), rel=0.02)
    assert spiral.real == pytest.approx(-0.00877, rel=0.10)
    assert spiral_product(d) == pytest.approx(1.217, abs=1e-3)


def test_navion_in_flight_is_neutral_in_the_spiral() -> None:
    """E. Seckel & J. J. Morris, FAA-RD-71-6 (1971): 0.00590 against 0.00593 from flight tests."""
    d = derivatives_with(beta={"roll": -0.067, "yaw": 0.086}, r={"roll": 0.069, "yaw": -0.088})
    assert spiral_product(d) == pytest.approx(0.00590 / 0.00593, abs=0.002)


@pytest.mark.parametrize("lift_to_drag", [8.0, 15.0, 40.0])
@pytest.mark.parametrize("speed", [6.0, 12.0, 60.0])
def test_lanchesters_phugoid(speed: float, lift_to_drag: float) -> None:
    """F. W. Lanchester, *Aerodonetics* (1908): period π√2 V/g, damping ratio 1/(√2 L/D).

    His theory keeps the angle of attack fixed. A model with next to no inertia in pitch, strong
    weathercock stability and strong lift for its mass comes near to that: 2 % on period, 5 % on
    damping.
    """
    scale = Scale(area=0.2, span=1.2, chord=0.17)
    lift, inertia = 0.5, Inertia(1.0, 1.0, 1e-4, 1.0, 0.0)
    mass = 0.5 * 1.225 * speed**2 * scale.area * lift / GRAVITY
    inertia = Inertia(mass, 1.0, 1e-4 * mass, 1.0, 0.0)
    d = derivatives_with(
        alpha={"lift": 300.0, "induced_drag": 0.0, "pitch": -3000.0}, q={"pitch": -1.0}
    )
    matrix = longitudinal_matrix(
        derivatives=d,
        inertia=inertia,
        scale=scale,
        speed=speed,
        density=1.225,
        lift=lift,
        drag=lift / lift_to_drag,
    )
    _, phugoid, _ = longitudinal_modes(matrix)
    period, damping = phugoid_rule(speed=speed, lift_to_drag=lift_to_drag)
    assert period == pytest.approx(math.pi * math.sqrt(2) * speed / 9.80665)
    assert phugoid is not None
    assert phugoid.period == pytest.approx(period, rel=0.02)
    assert phugoid.damping == pytest.approx(damping, rel=0.05)


def test_short_period_approximation() -> None:
    """Nelson, ch. 4: ω² = Z_w M_q − V M_w, 2ζω = −(M_q + V M_ẇ + Z_w), speed held.

    For the Navion he finds the full matrix within a per cent of it: 2 %.
    """
    d = derivatives_with(
        alpha={"lift": 4.44, "induced_drag": 0.33, "pitch": -0.683}, q={"pitch": -9.96}
    )
    q = AIR * SPEED**2 / 2
    z_w = -(4.44 + 0.05) * q * NAVION.area / (INERTIA.mass * SPEED)
    couple = q * NAVION.area * NAVION.chord / INERTIA.pitch
    m_a, m_q = -0.683 * couple, -9.96 * NAVION.chord / (2 * SPEED) * couple
    m_dot = -4.36 * NAVION.chord / (2 * SPEED) * couple
    omega = math.sqrt(z_w * m_q - m_a)
    zeta = -(m_q + m_dot + z_w) / (2 * omega)
    matrix = longitudinal_matrix(
        derivatives=d,
        inertia=INERTIA,
        scale=NAVION,
        speed=SPEED,
        density=AIR,
        lift=0.41,
        drag=0.05,
        alpha_dot=-4.36,
    )
    short, _, _ = longitudinal_modes(matrix)
    assert short is not None
    assert short.damping == pytest.approx(zeta, rel=0.02)
    assert math.hypot(short.real, short.imaginary) == pytest.approx(omega, rel=0.02)


def test_roll_alone_has_the_closed_form() -> None:
    """Nelson, ch. 5: τ = −1/L_p. Nothing but damping in roll: the matrix has that root exactly."""
    d = derivatives_with(p={"roll": -0.45})
    given = {
        "derivatives": d,
        "inertia": INERTIA,
        "scale": NAVION,
        "speed": SPEED,
        "density": AIR,
    }
    tau = roll_time(**given)  # type: ignore[arg-type]
    assert tau is not None
    roots = np.linalg.eigvals(lateral_matrix(**given))  # type: ignore[arg-type]
    assert roots.real.min() == pytest.approx(-1 / tau)


@pytest.mark.parametrize("factor", [0.90, 0.99, 1.01, 1.10])
def test_spiral_criterion_decides_the_sign(factor: float) -> None:
    """Routh's last coefficient (Etkin): stable where Cl_β Cn_r > Cn_β Cl_r."""
    d = derivatives_with(
        beta={"side": -0.4, "roll": -0.08, "yaw": 0.06},
        p={"roll": -0.45, "yaw": -0.04},
        r={"roll": 0.1, "yaw": -0.06 * 0.1 / 0.08 * factor},
    )
    assert spiral_product(d) == pytest.approx(factor)
    matrix = lateral_matrix(derivatives=d, inertia=INERTIA, scale=NAVION, speed=SPEED, density=AIR)
    _, spiral, _, _, _ = lateral_modes(matrix)
    assert spiral is not None
    assert spiral.stable == (factor > 1.0)
