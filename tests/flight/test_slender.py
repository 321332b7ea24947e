"""Bodies: M. M. Munk, NACA Report 184 (1924), and H. Lamb, *Hydrodynamics*, art. 114."""

from __future__ import annotations

import math

import numpy as np
import pytest

from plansgen.flight.lattice import Lattice
from plansgen.flight.slender import body_moments, inertia_factors
from tests.designs import airframe_of, trainer
from tests.flight.shapes import scale_for, trapezium


@pytest.mark.parametrize(
    ("fineness", "along", "across"),
    [
        (1.0, 0.5, 0.5),
        (1.5, 0.305, 0.621),
        (2.0, 0.209, 0.702),
        (2.99, 0.122, 0.803),
        (3.99, 0.082, 0.860),
        (4.99, 0.059, 0.895),
        (6.01, 0.045, 0.918),
        (6.97, 0.036, 0.933),
        (8.01, 0.029, 0.945),
        (9.02, 0.024, 0.954),
        (9.97, 0.021, 0.960),
    ],
)
def test_lambs_table(fineness: float, along: float, across: float) -> None:
    """Lamb's coefficients as reprinted by Munk, three decimals, from memory.

    The table is older than calculating machines: its row for 2.0 is 0.3 % off the integrals below,
    so 0.5 %, or half a digit and the rounding of the fineness.
    """
    assert inertia_factors(fineness) == pytest.approx((along, across), rel=0.005, abs=1.5e-3)


@pytest.mark.parametrize("fineness", [1.2, 3.0, 8.0, 20.0])
def test_lambs_integrals(fineness: float) -> None:
    """The integrals behind the closed forms, α₀ = ab² ∫ dλ/((a² + λ)^(3/2) (b² + λ)), by Gauss."""
    nodes, weights = np.polynomial.legendre.leggauss(200)
    t = (nodes + 1) / 2
    size = t**2 / (1 - t) ** 2  # from nought to infinity
    measure = weights / 2 * 2 * t / (1 - t) ** 3
    a2, b2 = fineness**2, 1.0
    share = fineness * b2
    along = share * float((measure / ((a2 + size) ** 1.5 * (b2 + size))).sum())
    across = share * float((measure / ((a2 + size) ** 0.5 * (b2 + size) ** 2)).sum())
    expected = along / (2 - along), across / (2 - across)
    assert inertia_factors(fineness) == pytest.approx(expected, rel=1e-6)


def test_short_bodies_count_as_spheres() -> None:
    assert inertia_factors(0.5) == (0.5, 0.5)


def test_free_air_is_munks_volume_rule() -> None:
    """dM/dα = 2 q (k₂ − k₁) × volume, the volume that of round sections as wide as the body."""
    (body,) = airframe_of(trainer()).bodies
    (moment,) = body_moments([body])
    volume = 0.0
    for fore, aft in zip(body.frames, body.frames[1:], strict=False):
        squares = fore.width**2 + fore.width * aft.width + aft.width**2
        volume += math.pi / 4 * (aft.x - fore.x) * squares / 3
    along, across = inertia_factors(moment.fineness)
    assert moment.pitch == pytest.approx(2 * (across - along) * volume, rel=1e-9)
    assert moment.yaw < 0.0 < moment.pitch


def test_a_wing_turns_the_flow_up_ahead_and_down_behind() -> None:
    """H. Multhopp, NACA TM 1036 (1942): a nose ahead of the wing feels more, a tail less."""
    frame = airframe_of(trainer())
    (body,) = frame.bodies
    middle = (body.frames[0].x + body.frames[-1].x) / 2
    free = body_moments([body])[0].pitch
    felt = {}
    for name, x in (("wing behind it", middle + 2.0), ("wing ahead of it", middle - 2.0)):
        wing = trapezium(6.0, x=x)
        lattice = Lattice([wing])
        (moment,) = body_moments([body], lattice=lattice, scale=scale_for(wing))
        felt[name] = moment.pitch / free
    assert 1.0 < felt["wing behind it"] < 1.1
    assert 0.4 < felt["wing ahead of it"] < 0.8


def test_no_bodies() -> None:
    assert body_moments([]) == ()
