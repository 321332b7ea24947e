"""How far forward and back the balance point may lie."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from plansgen.atmosphere import air
from plansgen.flight.derivatives import derivatives_of
from plansgen.flight.limits import aft_limit, forward_limit, work_out_limits
from plansgen.flight.stall import work_out_stall
from tests.flight.models import model, tail, trainer, wing
from tests.flight.shapes import control, trapezium

AIR = air()


def test_at_the_forward_limit_full_control_just_trims_the_stall() -> None:
    """Balanced there, the trim that the stall needs is the whole travel: another way round."""
    limit = forward_limit(trainer(), mass=0.5, air=AIR)
    assert limit is not None
    assert limit.limited_by == "travel"
    stall = work_out_stall(trainer(x=limit.x), mass=0.5, air=AIR)
    assert stall.deflection == pytest.approx(-math.radians(20.0), rel=0.01)
    assert stall.lift_max == pytest.approx(limit.lift_max, rel=2e-3)


def test_it_does_not_matter_where_the_model_is_balanced_now() -> None:
    one, two = (forward_limit(trainer(x=x), mass=0.5, air=AIR) for x in (0.0, 0.09))
    assert one is not None
    assert two is not None
    assert one.x == pytest.approx(two.x, abs=1e-9)


def test_less_travel_and_slow_air_bring_it_back() -> None:
    full = forward_limit(trainer(), mass=0.5, air=AIR)
    little = forward_limit(trainer(), mass=0.5, air=AIR, travel=math.radians(10.0))
    slow = forward_limit(trainer(pressures={"tailplane": 0.6}), mass=0.5, air=AIR)
    assert full is not None
    assert little is not None
    assert slow is not None
    assert full.x < little.x
    assert full.x < slow.x


def test_a_whole_tail_turned_too_far_stalls_itself() -> None:
    flying = replace(tail(), controls=(control("elevator", 0.0, 0.2, 1.0, key="elevator"),))
    one = model(wing(), flying)
    gentle = forward_limit(one, mass=0.5, air=AIR, travel=math.radians(5.0))
    wild = forward_limit(one, mass=0.5, air=AIR, travel=math.radians(60.0))
    assert gentle is not None
    assert wild is not None
    assert (gentle.limited_by, wild.limited_by) == ("travel", "tail stall")
    assert math.radians(5.0) < -wild.deflection < math.radians(60.0)


def test_an_elevator_ahead_lifts_the_nose_by_going_down() -> None:
    fore = replace(
        trapezium(5.0, span=0.4, x=-0.5, key="foreplane", role="canard"),
        controls=(control("elevator", 0.0, 0.2, 0.3),),
    )
    one = model(fore, trapezium(6.0))
    assert one.nose_up == 1.0
    limit = forward_limit(one, mass=0.5, air=AIR)
    assert limit is not None
    assert limit.deflection > 0.0


def test_both_limits() -> None:
    one = trainer()
    np_x = derivatives_of(one.airframe, point=one.point, lattice=one.lattice).neutral_point
    found = work_out_limits(one, mass=0.5, air=AIR, neutral_point=np_x, least_margin=0.08)
    chord = one.scale.chord
    assert found.aft_x == pytest.approx(np_x - 0.08 * chord)
    assert found.aft_share == pytest.approx(one.airframe.reference.share_of_mac(found.aft_x))
    assert found.forward is not None
    assert found.room == pytest.approx(found.aft_x - found.forward.x)
    assert found.room > 0.0
    # At the aft limit the static margin is the one asked for (definition).
    there = derivatives_of(one.airframe, point=(found.aft_x, 0.0, 0.0), lattice=one.lattice)
    assert there.static_margin == pytest.approx(0.08, abs=2e-3)
    assert aft_limit(neutral_point=0.3, chord=0.2, least_margin=0.1) == pytest.approx(0.28)


def test_without_a_control_there_is_no_forward_limit() -> None:
    bare = model(wing())
    found = work_out_limits(bare, mass=0.5, air=AIR, neutral_point=0.05)
    assert found.forward is None
    assert found.room is None
