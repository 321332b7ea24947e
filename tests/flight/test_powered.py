"""Flight under power: thrust meets drag, time is charge over current, moments of thrust by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from plansgen.airframe.build import Propeller
from plansgen.atmosphere import GRAVITY
from plansgen.dossier import Dossier
from plansgen.drive.result import thrust_at
from plansgen.flight.powered import Powered, static_thrust_of
from plansgen.flight.thrust_line import height_over, thrust_lines, yaw_arm
from tests import designs


@cache
def flown() -> Dossier:
    return designs.dossier_of(designs.powered())


def powered() -> Powered:
    flight = flown().flight
    assert flight is not None
    assert flight.powered is not None
    return flight.powered


def test_thrust_meets_drag_at_top_speed() -> None:
    found, drive = powered(), flown().drive
    assert found.top_speed is not None
    assert drive is not None
    drag = np.interp(found.top_speed, found.speeds, found.drags)
    assert thrust_at(drive, found.top_speed) == pytest.approx(drag, rel=0.03)


def test_climb_is_power_left_over() -> None:
    """P_left/W, J. D. Anderson, Aircraft Performance and Design."""
    found, dossier = powered(), flown()
    climb = found.best_climb
    assert climb is not None
    assert dossier.balance.ready is not None
    weight = dossier.balance.ready.state.mass * GRAVITY
    left = np.interp(climb.speed, found.speeds, found.thrusts)
    left -= np.interp(climb.speed, found.speeds, found.drags)
    assert climb.rate == pytest.approx(left * climb.speed / weight, rel=0.03)
    assert math.sin(climb.angle) == pytest.approx(climb.rate / climb.speed)
    assert found.steepest is not None
    assert found.steepest.angle >= climb.angle
    assert found.steepest.rate <= climb.rate


def test_faster_level_flight_takes_more_throttle() -> None:
    throttles = [point.throttle for point in powered().level]
    least = throttles.index(min(throttles))
    assert throttles[least:] == sorted(throttles[least:])
    assert 0.0 < throttles[least] < max(throttles) <= 1.0


def test_time_is_charge_over_current() -> None:
    """The mix's currents by hand: t = Q/Σ s I."""
    found, drive = powered(), flown().drive
    assert drive is not None
    parts = {part.throttle: part for part in found.time.parts}
    assert parts["off"].current == 0.0
    assert found.cruise is not None
    assert parts["level"].current == found.cruise.current
    mean = sum(part.share * part.current for part in parts.values())
    assert found.time.mixed == pytest.approx(drive.pack.usable / mean)
    assert drive.pack.usable == pytest.approx(0.8 * 1300 * 3.6)
    assert found.time.level is not None
    assert found.time.full < found.time.mixed < found.time.level / 0.5


def test_measured_thrust_wins() -> None:
    raw = designs.powered()
    own = powered().static.worked_out / GRAVITY
    raw["flight"] = {"thrust": 800 * own}
    dossier = designs.dossier_of(raw)
    assert dossier.flight is not None
    found = dossier.flight.powered
    assert found is not None
    assert found.static.used == pytest.approx(0.8 * own * GRAVITY)
    assert found.static.apart == pytest.approx(0.25)
    assert dossier.flight.control.thrust == pytest.approx(found.static.used)
    assert not dossier.flight.control.thrust_assumed
    assert found.top_speed is not None
    assert found.top_speed < (powered().top_speed or 0.0)
    assert found.thrusts[0] == pytest.approx(0.8 * powered().thrusts[0], rel=0.02)


def test_without_a_measurement_the_worked_out_thrust_is_used() -> None:
    static = static_thrust_of(worked_out=5.0, spread=0.1)
    assert (static.used, static.apart) == (5.0, None)
    flight = flown().flight
    assert flight is not None
    assert flight.control.thrust == pytest.approx(powered().static.worked_out)


def test_no_drive_keeps_the_estimate() -> None:
    dossier = designs.dossier_of(designs.trainer())
    assert dossier.drive is None
    assert "does not say" in dossier.drive_refusal
    assert dossier.flight is not None
    assert dossier.flight.powered is None
    assert dossier.flight.control.thrust_assumed


# --- thrust lines --------------------------------------------------------------------------------


def disc(**given: Any) -> Propeller:
    return Propeller(**{"x": -0.1, "y": 0.0, "z": 0.0, "diameter": 0.2, "mirrored": False} | given)


def test_height_by_hand() -> None:
    """A tractor 0.3 m ahead with 2° down passes 0.3 sin 2° higher at the balance point."""
    down = math.radians(2.0)
    assert height_over(disc(down=down), x=0.2, z=0.0) == pytest.approx(0.3 * math.sin(down))
    (line,) = thrust_lines(
        [disc(z=0.03)], point=(0.2, 0.0), thrust=5.0, pressure_area=10.0, chord=0.2, span=1.0
    )
    assert line.moment == pytest.approx(-5.0 * 0.03 / (10.0 * 0.2))
    assert line.through == pytest.approx(-math.atan(0.03 / 0.3))
    aimed = replace(disc(z=0.03), down=line.through or 0.0)
    assert height_over(aimed, x=0.2, z=0.0) == pytest.approx(0.0, abs=1e-12)


def test_sidethrust_to_starboard_turns_a_tractor_to_starboard() -> None:
    side = math.radians(2.0)
    assert yaw_arm(disc(side=side), x=0.2) == pytest.approx(-0.3 * math.sin(side))
    (line,) = thrust_lines(
        [disc(side=side)], point=(0.2, 0.0), thrust=5.0, pressure_area=10.0, chord=0.2, span=1.0
    )
    assert line.yaw == pytest.approx(5.0 * 0.3 * math.sin(side) / 10.0)


# --- two motors ----------------------------------------------------------------------------------


def twin() -> Any:
    raw = designs.powered()
    for item in raw["items"]:
        if item["name"] in ("motor", "propeller", "controller"):
            item["mirror"] = True
            item["at"] = {**item["at"], "y": 200}
    return raw


def test_one_motor_stopped_turns_by_its_arm() -> None:
    flight = designs.dossier_of(twin()).flight
    assert flight is not None
    assert flight.powered is not None
    out = flight.powered.engine_out
    assert out is not None
    for point in out.points[:4]:
        both = np.interp(point.speed, flight.powered.speeds, flight.powered.thrusts)
        assert point.stopped == pytest.approx(both / 2 * 0.2, rel=0.03)
        if point.rudder:
            assert point.needed == pytest.approx(point.stopped / point.rudder)
    assert powered().engine_out is None
