"""Trim: control and nose against speed."""

from __future__ import annotations

import math

import numpy as np
import pytest

from plansgen.atmosphere import air
from plansgen.flight.derivatives import derivatives_of
from plansgen.flight.pitching import PitchModel, felt, needed
from plansgen.flight.stall import work_out_stall
from plansgen.flight.trim import lift_with, work_out_trim
from tests.flight.models import model, tail, trainer, wing

AIR = air()
SPEEDS = tuple(np.linspace(7.0, 25.0, 19).tolist())


def trim_of(one: PitchModel, **more: float):  # type: ignore[no-untyped-def]
    stall = work_out_stall(one, mass=0.5, air=AIR)
    return work_out_trim(one, mass=0.5, air=AIR, lift_max=stall.lift_max, speeds=SPEEDS, **more)


def test_control_angle_per_lift_is_the_textbooks() -> None:
    """B. Etkin, *Dynamics of Flight*: dδ/dCL = −Cm_α/(CL_α Cm_δ − CL_δ Cm_α), linear theory.

    Ours bends a little with angle; at 0° it must be the same within 2 %.
    """
    one = trainer()
    line = one.trimmed_line
    found = derivatives_of(one.airframe, point=one.point, lattice=one.lattice)
    assert one.mode is not None
    control = found.control(one.mode.name)
    slope = -found.alpha.pitch / (
        found.alpha.lift * control.pitch - control.lift * found.alpha.pitch
    )
    ours = np.gradient(line.deflections, line.lifts)[3]  # at 0°
    assert ours == pytest.approx(slope, rel=0.02)


def test_at_the_neutral_point_speed_takes_no_trim() -> None:
    """Etkin: the control angle to trim does not change with lift there."""
    at = derivatives_of(trainer().airframe, point=(0.05, 0.0, 0.0)).neutral_point
    stable, neutral = trainer().trimmed_line, trainer(x=at).trimmed_line
    one, two = (np.gradient(line.deflections, line.lifts)[3] for line in (stable, neutral))
    assert abs(two) < 0.02 * abs(one)


def test_slower_needs_more_up_and_a_higher_nose() -> None:
    found = trim_of(trainer())
    turned = [p.deflection for p in found.points]
    assert None not in turned
    assert turned == sorted(turned, key=float)  # type: ignore[arg-type]
    angles = [p.angle for p in found.points]
    assert angles == sorted(angles, reverse=True)
    assert found.nose_up == -1
    assert found.control == "tailplane.elevator.pitch"


def test_the_free_speed_is_where_the_control_lies_flat() -> None:
    one = trainer()
    found = trim_of(one)
    assert found.free_speed is not None
    again = work_out_trim(one, mass=0.5, air=AIR, lift_max=0.9, speeds=[found.free_speed])
    assert again.points[0].deflection == pytest.approx(0.0, abs=2e-3)


def test_too_little_travel_does_not_reach_the_stall() -> None:
    one = trainer()
    plenty, little = trim_of(one), trim_of(one, travel=math.radians(4.0))
    assert plenty.reaches_stall
    assert plenty.full_speed is None
    assert not little.reaches_stall
    assert little.full_speed is not None
    held = work_out_trim(one, mass=0.5, air=AIR, lift_max=0.9, speeds=[little.full_speed])
    assert held.points[0].deflection == pytest.approx(-math.radians(4.0), abs=2e-3)
    assert lift_with(one, -math.radians(60.0)) is not None  # as much as 25° does


def test_without_a_control_there_is_nothing_to_trim() -> None:
    bare = model(wing())
    found = trim_of(bare)
    assert found.control is None
    assert all(p.deflection is None for p in found.points)
    with pytest.raises(ValueError, match="nothing to trim"):
        bare.line()


def test_a_control_that_turns_nothing_is_refused() -> None:
    """A flap of a millionth of the chord."""
    one = model(wing(), tail(share=1e-6))
    with pytest.raises(ValueError, match="does not turn"):
        one.line()


def test_slow_air_takes_off_its_share() -> None:
    """Dynamic pressure halved everywhere halves the lift; our sum leaves out second-order parts."""
    full = trainer().line(0.0)
    half = trainer(pressures={"wing": 0.5, "tailplane": 0.5}).line(0.0)
    small = np.abs(full.angles) < 0.2
    assert half.lifts[small] / full.lifts[small] == pytest.approx(0.5, abs=0.01)
    same = trainer(pressures={"tailplane": 1.0}).line(0.0)
    assert same.pitches == pytest.approx(full.pitches, abs=1e-12)


def test_a_tail_in_slow_air_has_that_share_of_its_power() -> None:
    """Textbooks: control power goes with the dynamic pressure at the tail (η V_H a_t τ)."""

    def power(one: PitchModel) -> float:
        return float(one.line(-0.1).pitches[4] - one.line(0.0).pitches[4])

    assert power(trainer(pressures={"tailplane": 0.6})) / power(trainer()) == pytest.approx(
        0.6, abs=0.02
    )


@pytest.mark.parametrize(("name", "value"), [("wig", 1.0), ("wing", -0.1), ("wing", math.nan)])
def test_refuses_odd_pressures(name: str, value: float) -> None:
    with pytest.raises(ValueError, match="dynamic"):
        trainer(pressures={name: value})


def test_refuses_no_speeds() -> None:
    with pytest.raises(ValueError, match="speeds above 0"):
        work_out_trim(trainer(), mass=0.5, air=AIR, lift_max=1.0, speeds=[])


def test_real_flaps_lose_and_what_is_needed_brings_it_back() -> None:
    """Real plain flaps give 0.75 to 0.9 of theory below 15° and about half at 30°, from memory."""
    assert felt(math.radians(10.0)) == pytest.approx(math.radians(8.5))
    assert felt(math.radians(30.0)) == pytest.approx(math.radians(15.4), abs=math.radians(0.5))
    assert felt(0.3, share=1.0) == 0.3
    for degrees in (-25.0, -18.0, -3.0, 0.0, 7.0, 15.0, 22.0):
        angle = math.radians(degrees)
        assert needed(felt(angle)) == pytest.approx(angle, abs=1e-9)
    assert needed(math.radians(16.0)) is None
    assert needed(0.3, share=1.0) == 0.3
