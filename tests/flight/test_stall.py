"""The stall by the critical section."""

from __future__ import annotations

import math

import pytest

from plansgen.airframe.layout import recognise
from plansgen.atmosphere import GRAVITY, air
from plansgen.flight.pitching import felt
from plansgen.flight.stall import critical_lift, work_out_stall
from tests.flight.models import HEAVY, model, tail, trainer, wing
from tests.flight.shapes import ellipse, trapezium

AIR = air()


def test_every_strip_of_an_ellipse_stalls_together() -> None:
    """H. Glauert, *The Elements of Aerofoil and Airscrew Theory*: its c_l is the same everywhere.

    Beyond the table all strips have the same limit, 0.77. The last tenth of the half span, where
    the polygon is narrow, is left out.
    """
    stall = work_out_stall(model(ellipse(10.0)), mass=HEAVY, air=AIR)
    inner = [s.lift / s.limit for s in stall.strips if abs(s.y) < 0.45]
    assert min(inner) > 0.97
    assert max(inner) == pytest.approx(1.0, abs=1e-4)
    assert stall.lift_max == pytest.approx(0.77, rel=0.02)


@pytest.mark.parametrize("taper", [0.7, 0.5, 0.4, 0.3, 0.2])
def test_taper_moves_the_stall_outboard(taper: float) -> None:
    """From memory, a rule of textbooks: a straight untwisted wing stalls first near 1 − λ."""
    stall = work_out_stall(model(trapezium(6.0, taper=taper)), mass=HEAVY, air=AIR)
    assert stall.first_share == pytest.approx(1.0 - taper, abs=0.08)


def test_a_rectangular_wing_stalls_at_its_root() -> None:
    stall = work_out_stall(model(trapezium(6.0)), mass=HEAVY, air=AIR)
    assert stall.first_share < 0.05
    assert min(s.margin for s in stall.strips) == pytest.approx(0.0, abs=1e-5)
    assert stall.tail_margin is None


def test_whole_wings_carry_nine_tenths_of_their_section() -> None:
    """D. P. Raymer, *Aircraft Design*: CLmax = 0.9 c_l,max for unswept wings of fair aspect ratio.

    From memory. A wing flies on after its first strip has gone, so ours may be 8 % less.
    """
    for taper in (1.0, 0.5, 0.4):
        stall = work_out_stall(model(trapezium(6.0, taper=taper)), mass=HEAVY, air=AIR)
        assert 0.82 * 0.77 <= stall.lift_max <= 0.95 * 0.77


def test_washout_brings_the_stall_inboard() -> None:
    straight = trapezium(6.0, taper=0.4)
    root, tip = straight.stations
    twisted = type(straight)(
        **{
            **straight.__dict__,
            "stations": (root, type(tip)(**{**tip.__dict__, "twist": -math.radians(4.0)})),
        }
    )
    one, two = (work_out_stall(model(w), mass=HEAVY, air=AIR) for w in (straight, twisted))
    assert two.first_share < one.first_share - 0.1


def test_speed_and_lift_carry_the_weight() -> None:
    stall = work_out_stall(trainer(), mass=0.5, air=AIR)
    carried = AIR.dynamic_pressure(stall.speed) / 6 * stall.lift_max  # 1 m², aspect ratio 6
    assert carried == pytest.approx(0.5 * GRAVITY, rel=1e-9)
    for strip in stall.strips:
        chord = 1 / 6 if strip.surface == "wing" else 0.1
        expected = AIR.reynolds(speed=stall.speed, length=chord)
        assert strip.reynolds == pytest.approx(expected, rel=1e-6)


def test_turns_take_the_root_of_the_load() -> None:
    """n = 1/cos φ: 2 at 60°, √2 at 45° (statics). With limits held, V grows with √n exactly."""
    stall = work_out_stall(model(trapezium(6.0)), mass=HEAVY, air=AIR)
    assert [t.load_factor for t in stall.turns] == pytest.approx([1.1547, 1.41421, 2.0], abs=1e-4)
    for turn in stall.turns:
        assert turn.speed / stall.speed == pytest.approx(math.sqrt(turn.load_factor), rel=1e-6)
    light = work_out_stall(trainer(), mass=0.5, air=AIR)
    for turn in light.turns:  # a little less: faster air serves the section better
        assert 0.9 < turn.speed / light.speed / math.sqrt(turn.load_factor) < 1.0


def test_trimming_costs_lift_with_a_tail_behind_a_forward_balance_point() -> None:
    ahead = trainer(x=0.0)
    trimmed = work_out_stall(ahead, mass=0.5, air=AIR)
    free = work_out_stall(ahead, mass=0.5, air=AIR, trimmed=False)
    assert trimmed.lift_max < free.lift_max
    assert trimmed.deflection is not None
    assert trimmed.deflection < 0.0  # up
    held = ahead.line(felt(trimmed.deflection))
    assert float(held.at(held.pitches, trimmed.lift_max)) == pytest.approx(0.0, abs=2e-3)
    assert critical_lift(ahead, held, mass=0.5, air=AIR) == pytest.approx(
        trimmed.lift_max, rel=1e-3
    )


def test_a_foreplane_that_is_loaded_more_stalls_first() -> None:
    fore = trapezium(5.0, span=0.4, x=-0.5, key="foreplane", role="canard", twist=0.07)
    main = trapezium(6.0, key="wing")
    assert recognise((fore, main)) == "canard"
    stall = work_out_stall(model(fore, main), mass=0.5, air=AIR)
    assert stall.first_surface == "foreplane"
    assert stall.deflection is None


def test_spread_is_carried_to_the_speed() -> None:
    stall = work_out_stall(model(wing(), tail()), mass=0.5, air=AIR)
    assert stall.lift_max_spread == pytest.approx(0.12, abs=1e-3)
    assert stall.speed_spread == pytest.approx(stall.speed * 0.06, rel=1e-2)


@pytest.mark.parametrize("mass", [0.0, -1.0, math.nan])
def test_refuses_no_mass(mass: float) -> None:
    with pytest.raises(ValueError, match="mass"):
        work_out_stall(trainer(), mass=mass, air=AIR)


def test_refuses_a_knife_edge_turn() -> None:
    with pytest.raises(ValueError, match="less than 90°"):
        work_out_stall(trainer(), mass=0.5, air=AIR, banks=(math.pi / 2,))
