"""Battery, motor and propeller together: energy adds up, throttles and drives act as they must."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.drive.battery import CELLS, Pack
from plansgen.drive.blade import typical_blade
from plansgen.drive.case import drive_case
from plansgen.drive.motor import Motor, best_current, motor_point
from plansgen.drive.operating import CHOPPING, Plant, Unit
from plansgen.drive.propeller import Propeller, curves_of
from plansgen.drive.result import thrust_at, work_out_drive
from plansgen.drive.table import measured_curves
from plansgen.library.models import PropellerRow
from tests import designs

RPM = math.pi / 30
MOTOR = Motor(1000 * RPM, 0.12, 0.9)


def unit(motor: Motor = MOTOR, **more: Any) -> Unit:
    propeller = Propeller(0.2286, 2, typical_blade(diameter=0.2286, pitch=0.127))
    curves = curves_of(propeller, viscosity=1.46e-5)
    return Unit(motor, 0.005, curves, propeller.diameter, **more)


def plant(*units: Unit, resistance: float = 0.05) -> Plant:
    return Plant(units or (unit(),), open_voltage=12.0, resistance=resistance, density=1.225)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.2, 1.0), st.floats(0.0, 15.0))
def test_energy_adds_up(throttle: float, speed: float) -> None:
    """Power in = shaft + copper + the motor's own drag + chopping; conservation of energy."""
    ((state,),) = plant().states(throttle=[throttle], speed=[speed])
    if state.motor_current <= 0.0:
        return
    turning = state.rpm * RPM
    lost = state.motor_current**2 * (MOTOR.resistance + 0.005)
    lost += turning * MOTOR.torque_constant * MOTOR.no_load_current
    lost += state.power_in * CHOPPING * (1 - throttle)
    assert state.power_in == pytest.approx(state.power_shaft + lost, rel=1e-4)
    assert state.voltage == pytest.approx(12.0 - 0.05 * state.current)
    assert state.thrust * speed < state.power_shaft


def test_thrust_and_current_fall_with_speed() -> None:
    states = plant().whole(throttle=1.0, speed=np.linspace(8.0, 20.0, 7))
    thrusts = [state.thrust for state in states]
    assert thrusts == sorted(thrusts, reverse=True)


def test_the_throttle_that_was_asked_for_gives_the_thrust() -> None:
    drives, speed = plant(), np.array([0.0, 8.0, 14.0])
    throttle = drives.throttle_for(thrust=np.array([2.0, 1.5, 1.0]), speed=speed)
    found = [state.thrust for state in drives.whole(throttle=throttle, speed=speed)]
    assert found == pytest.approx([2.0, 1.5, 1.0], rel=2e-3)
    assert np.isnan(drives.throttle_for(thrust=np.array([99.0]), speed=np.array([0.0]))).all()


def test_two_alike_are_one_pair() -> None:
    pair, two = plant(unit(count=2)), plant(unit(), unit())
    alike = pair.state(speed=5.0), two.state(speed=5.0)
    assert alike[0].thrust == pytest.approx(alike[1].thrust, rel=1e-4)
    assert alike[0].current == pytest.approx(alike[1].current, rel=1e-4)
    assert alike[0].thrust < 2 * plant().state(speed=5.0).thrust  # they share the sag


def test_a_gear_turns_the_propeller_slower() -> None:
    geared = plant(unit(replace(MOTOR, kv=2000 * RPM, gear=2.0, resistance=0.48)))
    direct = plant(unit(replace(MOTOR, resistance=0.12)))
    states = [drives.states(throttle=[1.0], speed=[0.0])[0][0] for drives in (geared, direct)]
    assert 0.5 < states[0].rpm / states[1].rpm < 1.1


def test_a_closed_throttle_stands_still() -> None:
    state = plant().state(speed=10.0, throttle=0.0)
    assert (state.thrust, state.current, state.power_in) == (0.0, 0.0, 0.0)


def test_fifteen_speeds_take_no_time() -> None:
    """Work for a page: far below 50 ms of processor time once the curves are there."""
    drives, speeds = plant(), np.linspace(0.0, 25.0, 15)
    begun = time.process_time()
    drives.states(throttle=1.0, speed=speeds)
    assert time.process_time() - begun < 0.05


def test_no_load_current_as_read() -> None:
    """At the voltage that it was read at, a free motor draws just that."""
    motor = Motor(1000 * RPM, 0.1, 0.8, no_load_voltage=10.0)
    free = motor_point(motor, voltage=10.0, current=0.8)
    assert free.torque == pytest.approx(0.0, abs=1e-12)
    assert free.efficiency == pytest.approx(0.0, abs=1e-9)


def test_best_current_is_best() -> None:
    motor = Motor(1000 * RPM, 0.1, 0.8)
    best = best_current(motor, voltage=11.1)
    at = [motor_point(motor, voltage=11.1, current=best * k).efficiency for k in (0.9, 1.0, 1.1)]
    assert max(at) == at[1]


@pytest.mark.parametrize("wrong", [{"kv": 0.0}, {"gear": 0.0}, {"resistance": -1.0}])
def test_a_motor_that_is_none_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="motor"):
        replace(MOTOR, **wrong)


# --- batteries -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("celsius", "kept"), [(20, 1.0), (0, 0.85), (-10, 0.65), (-20, 0.5)])
def test_cold_takes_capacity(celsius: float, kept: float) -> None:
    """Lithium polymer cells, from memory, never tighter than ten points."""
    pack = Pack("p", 3, 3600.0, temperature=celsius + 273.15)
    assert pack.kept == pytest.approx(kept, abs=0.1)


@pytest.mark.parametrize("kind", sorted(CELLS))
def test_cold_makes_every_pack_worse(kind: Any) -> None:
    warm, cold = (Pack("p", 3, 3600.0, kind, temperature=t) for t in (293.15, 263.15))
    assert cold.inner > 1.5 * warm.inner
    assert cold.kept < warm.kept <= 1.0
    assert warm.fresh > warm.mean


def test_a_guessed_resistance_falls_with_capacity() -> None:
    """A usual three-cell pack of 2.2 Ah has 15 to 35 milliohm (common practice, no source)."""
    assert 0.015 < Pack("p", 3, 2.2 * 3600).inner < 0.035
    assert Pack("p", 3, 3600.0, discharge=25.0).most_current == pytest.approx(25.0)
    assert Pack("p", 3, 3600.0).most_current is None
    with pytest.raises(ValueError, match="cells"):
        Pack("p", 0, 3600.0)


# --- measured propellers -------------------------------------------------------------------------


def rows(*values: tuple[float, float, float], rpm: float | None = None) -> list[PropellerRow]:
    return [PropellerRow(j=j, ct=ct, cp=cp, rpm=rpm) for j, ct, cp in values]


def test_a_table_is_read_between_its_rows() -> None:
    curves = measured_curves(rows((0.0, 0.1, 0.05), (0.5, 0.05, 0.04)), diameter=0.25)
    found = curves.at(np.array([0.25, 0.6]), np.array([80.0, 80.0]))
    assert found.thrust[0] == pytest.approx(0.075, rel=0.01)
    assert found.thrust[1] == pytest.approx(0.04, rel=0.02)  # on in a straight line
    assert curves.measured


def test_rates_of_turning_are_mixed() -> None:
    table = rows((0.0, 0.08, 0.05), (0.5, 0.04, 0.04), rpm=3000)
    table += rows((0.0, 0.12, 0.05), (0.5, 0.06, 0.04), rpm=12000)
    curves = measured_curves(table, diameter=0.25)
    tip = math.pi * 0.25 * 6000 / 60  # in the middle of both, by its logarithm
    found = curves.at(np.array([0.0]), np.array([tip]))
    assert found.thrust[0] == pytest.approx(0.10)
    with pytest.raises(ValueError, match="rows"):
        measured_curves([], diameter=0.25)


# --- whole designs -------------------------------------------------------------------------------


def worked(raw: Any) -> Any:
    return work_out_drive(designs.file_of(raw), designs.airframe_of(raw))


def test_a_design_tells_its_drive() -> None:
    result = worked(designs.powered())
    (one,) = result.units
    assert one.count == 1
    assert result.static.thrust == pytest.approx(one.static.thrust)
    assert one.pitch_speed == pytest.approx(0.110 * one.static.rpm / 60)
    assert thrust_at(result, 0.0) == pytest.approx(result.static.thrust)
    assert thrust_at(result, 80.0) == 0.0
    assert 0.10 < result.spread.thrust < 0.25
    assert "the battery's resistance" in result.estimated
    assert {limit.kind for limit in result.limits} == {"propeller turns"}


def test_no_drive_is_no_result() -> None:
    assert worked(designs.trainer()) is None
    assert drive_case(designs.file_of(designs.glider())) is None


def test_limits_follow_the_file() -> None:
    raw = designs.powered()
    drive = raw["power"]["drives"][0]
    drive |= {"most_current": 1.0, "most_power": 5, "controller_current": 500}
    raw["batteries"][0]["discharge"] = 25
    over = {limit.kind: limit.over for limit in worked(raw).limits}
    assert over["motor current"] is True
    assert over["motor power"] is True
    assert over["controller current"] is False
    assert over["battery current"] is False
