"""Propellers by blade elements: momentum theory's bounds, scale, convergence, published ranges."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.drive import propeller as room
from plansgen.drive.blade import Blade, LinearSection, angle_of, drawn_blade, typical_blade
from plansgen.drive.propeller import Propeller, coefficients, curves_of, figure_of_merit
from plansgen.drive.roots import roots

AIR = 1.46e-5  # m²/s
INCH = 0.0254


def typical(diameter: float, pitch: float, blades: int = 2) -> Propeller:
    """A usual propeller; sizes in inches."""
    blade = typical_blade(diameter=diameter * INCH, pitch=pitch * INCH)
    return Propeller(diameter * INCH, blades, blade)


def at(
    propeller: Propeller, advance: float, tip: float, viscosity: float = AIR
) -> tuple[float, float]:
    found = coefficients(
        propeller,
        advance=np.array([advance]),
        tip_speed=np.array([tip]),
        viscosity=viscosity,
    )
    return float(found.thrust[0]), float(found.power[0])


@pytest.mark.parametrize(
    ("size", "thrust", "power"),
    [((10, 5), (0.085, 0.11), (0.032, 0.042)), ((9, 6), (0.095, 0.12), (0.042, 0.062))],
)
def test_standing_still_within_published_ranges(
    size: tuple[float, float], thrust: tuple[float, float], power: tuple[float, float]
) -> None:
    """Static CT and CP of small propellers, UIUC Propeller Database, from memory, ±10 %."""
    ct, cp = at(typical(*size), 0.0, 100.0)
    assert thrust[0] <= ct <= thrust[1]
    assert power[0] <= cp <= power[1]
    assert 0.45 <= figure_of_merit(thrust=ct, power=cp) <= 0.72


def test_no_thrust_lies_beyond_the_pitch() -> None:
    """Cambered blades still pull at pitch speed; common practice: 10 to 40 % beyond."""
    curves = curves_of(typical(10, 5), viscosity=AIR)
    assert 1.1 * 0.5 < curves.no_thrust < 1.5 * 0.5


@settings(max_examples=25, deadline=None)
@given(
    st.floats(5, 14), st.floats(0.3, 0.9), st.integers(2, 4), st.floats(0, 1.2), st.floats(20, 140)
)
def test_no_propeller_beats_momentum_theory(
    diameter: float, ratio: float, blades: int, advance: float, tip: float
) -> None:
    """P ≥ T (V + w) with w of the ideal disc (Rankine, Froude), as coefficients."""
    ct, cp = at(typical(diameter, ratio * diameter, blades), advance, tip)
    if ct <= 0.0:
        return
    wash = (-advance + math.sqrt(advance**2 + 8 * ct / math.pi)) / 2
    assert cp > ct * (advance + wash)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.2, 3.0), st.floats(0.0, 0.8))
def test_scale_does_not_matter_at_one_reynolds_number(scale: float, advance: float) -> None:
    """CT and CP hang on J alone when the viscosity is scaled with the size."""
    small, large = typical(9, 5), typical(9 * scale, 5 * scale)
    assert at(large, advance, 80.0, AIR * scale) == pytest.approx(at(small, advance, 80.0))


def test_thrust_falls_with_speed_once_the_blade_no_longer_stalls() -> None:
    curves = curves_of(typical(10, 5), viscosity=AIR)
    thrust = curves.thrust[-1][curves.advance > 0.15]
    assert (np.diff(thrust) < 0.0).all()


def test_more_rings_change_little(monkeypatch: pytest.MonkeyPatch) -> None:
    """Converged: four times as many rings move CT and CP by less than 1 %."""
    coarse = at(typical(9, 6), 0.3, 90.0)
    monkeypatch.setattr(room, "ELEMENTS", 80)
    assert at(typical(9, 6), 0.3, 90.0) == pytest.approx(coarse, rel=0.01)


def test_curves_repeat_what_they_were_made_from() -> None:
    propeller = typical(9, 6)
    curves = curves_of(propeller, viscosity=AIR)
    for advance, tip in ((0.0, 95.0), (0.31, 60.0), (0.6, 110.0)):
        found = curves.at(np.array([advance]), np.array([tip]))
        exact = at(propeller, advance, tip)
        assert (found.thrust[0], found.power[0]) == pytest.approx(exact, rel=0.03)


def test_tips_lose_thrust() -> None:
    propeller = typical(10, 5)
    endless = Propeller(propeller.diameter, 2, propeller.blade, loss=False)
    assert at(endless, 0.2, 90.0)[0] > at(propeller, 0.2, 90.0)[0]


def test_a_blade_of_even_pitch_is_a_screw() -> None:
    """tan β = p/(2πr)."""
    angle = angle_of(pitch=0.1, place=0.75, radius=0.1, underside=0.0)
    assert math.tan(angle) == pytest.approx(0.1 / (2 * math.pi * 0.075))


@pytest.mark.parametrize(
    "rows",
    [
        [(0.5, 0.1, 0.1)],
        [(0.5, 0.1, 0.1), (0.4, 0.1, 0.1)],
        [(0.5, 0.1, 0.1), (1.2, 0.1, 0.1)],
        [(0.5, 0.1, 0.1), (0.9, 0.0, 0.1)],
    ],
)
def test_a_blade_that_is_none_is_refused(rows: list[tuple[float, float, float]]) -> None:
    with pytest.raises(ValueError, match="blade"):
        drawn_blade(rows, diameter=0.2)


def test_a_blade_needs_a_chord_for_every_place() -> None:
    with pytest.raises(ValueError, match="each with a chord"):
        Blade((0.2, 1.0), (0.1,), (0.1, 0.1))


@pytest.mark.parametrize(("diameter", "blades"), [(0.0, 2), (math.nan, 2), (0.2, 0)])
def test_a_propeller_that_is_none_is_refused(diameter: float, blades: int) -> None:
    blade = typical_blade(diameter=0.2, pitch=0.1)
    with pytest.raises(ValueError, match=r"diameter|needs a blade"):
        Propeller(diameter, blades, blade, section=LinearSection())


def test_roots_stay_in_their_bracket() -> None:
    """Cube roots; and no root at all gives the nearer end."""
    targets = np.array([0.001, 0.5, 8.0, 26.9, 40.0])
    found = roots(lambda x: x**3 - targets, np.zeros(5), np.full(5, 3.0), tolerance=1e-9)
    assert found == pytest.approx([0.1, 0.5 ** (1 / 3), 2.0, 26.9 ** (1 / 3), 3.0], abs=1e-8)
