"""Booms under tail loads: closed forms on an even tube, and what its bending takes away."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from plansgen.structure.body_loads import BodyLoad
from plansgen.structure.booms import Travel, _with_loss, bend_body, share_lost
from plansgen.structure.builder import Builder
from plansgen.structure.cut import Cut
from plansgen.structure.elastic import Solid

CARBON = Solid("carbon", 1.2e11, 5e9, 6e8, 6e8, 6e7, 0.1)
LENGTH, RADIUS, WALL = 0.6, 0.004, 0.001


def tube(x: float) -> Cut:
    """A tube of 9 mm outside and 7 mm inside, from straight strips round its middle line."""
    builder = Builder()
    builder.ring("boom", CARBON, (0.0, 0.0), diameter=0.009, bore=0.007)
    return builder.cut(x, axis=(0.0, 0.0), ignored=[])


def tip_load(*, up: float = 0.0, side: float = 0.0, torque: float = 0.0) -> BodyLoad:
    """A force at the end, seen at 31 places from the wing to the tail."""
    xs = np.linspace(0.3, 0.3 + LENGTH, 31)
    arm = 0.3 + LENGTH - xs

    def even(value: float) -> tuple[float, ...]:
        return (value,) * len(xs)

    return BodyLoad(
        case="elevator-up",
        body="boom",
        end="tail",
        xs=tuple(xs.tolist()),
        shear=even(up),
        bending=tuple((up * arm).tolist()),
        side_shear=even(side),
        side_bending=tuple((side * arm).tolist()),
        torque=even(torque),
        axial=even(0.0),
    )


def test_even_tube_bends_and_twists_as_the_closed_forms() -> None:
    """P L³/3EI, P L²/2EI, T L/(2π r³ t G) and M r/I on a tube 9/7: I = π (9⁴ − 7⁴)/64 = 204.2 mm⁴.

    The ring is made of straight strips, hence 1 %.
    """
    second = math.pi / 64 * (0.009**4 - 0.007**4)
    (found,) = bend_body([tip_load(up=3.0, side=-2.0, torque=0.2)], tube)
    bend = CARBON.modulus * second
    assert found.up == pytest.approx(3.0 * LENGTH**3 / 3 / bend, rel=0.01)
    assert found.side == pytest.approx(-2.0 * LENGTH**3 / 3 / bend, rel=0.01)
    assert found.pitch == pytest.approx(3.0 * LENGTH**2 / 2 / bend, rel=0.01)
    thin = CARBON.shear_modulus * 2 * math.pi * RADIUS**3 * WALL  # Bredt, thin tube
    assert found.twist == pytest.approx(0.2 * LENGTH / thin, rel=0.01)
    (alone,) = bend_body([tip_load(up=3.0)], tube)
    assert alone.worst_x == 0.3
    stress = 3.0 * LENGTH * 0.0045 / second
    assert alone.reserve == pytest.approx(6e8 / stress, rel=0.15)  # at the strips' middle line
    assert alone.reserves[0] == min(alone.reserves)


def test_share_lost_by_thin_airfoil_theory() -> None:
    """Glauert: flap of 30 % of the chord, τ = 1 − (θ − sin θ)/π, cos θ = 2·0.3 − 1: 0.6607."""
    theta = math.acos(2 * 0.3 - 1)
    effectiveness = (math.pi - theta + math.sin(theta)) / math.pi
    assert effectiveness == pytest.approx(0.6607, abs=1e-3)
    lost = share_lost(turn=0.02, deflection=-0.3, chord_share=0.3)
    assert lost == pytest.approx(0.02 / effectiveness / 0.3)


def test_elevator_looks_at_pitch_and_rudder_at_yaw() -> None:
    (case,) = bend_body([tip_load(up=3.0, side=1.0)], tube)
    elevator = _with_loss(case, Travel("elevator", 0.3, 0.3)).lost
    rudder = _with_loss(case, Travel("rudder", 0.3, 0.3)).lost
    assert elevator is not None
    assert rudder is not None
    assert elevator == pytest.approx(3 * rudder, rel=0.01)
    assert _with_loss(case, None).lost is None


def test_a_body_of_unknown_strength_gives_no_number() -> None:
    assert not bend_body([tip_load(up=3.0)], lambda x: Cut(x, ()))


def test_the_nose_end_is_read_from_the_wing_outwards() -> None:
    load = tip_load(up=3.0)
    nose = replace(load, end="nose", xs=tuple(0.6 - x for x in load.xs))
    (forward,), (aft,) = bend_body([nose], tube), bend_body([load], tube)
    assert forward.up == pytest.approx(aft.up)
