"""Throws, linkages, servos and cautions of small designs, by hand."""

from __future__ import annotations

import json
import math
from copy import deepcopy
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from plansgen.airframe.build import Airframe, build_airframe
from plansgen.controls import fitting, hinge, mixing, result, throws
from plansgen.controls.flutter import Made, flutter_cautions
from plansgen.controls.linkage import Linkage
from plansgen.controls.result import ControlsResult, ControlThrow, work_out_controls
from plansgen.controls.throws import HELIX, PRACTICE, angle_of, edge_of, true_chord
from plansgen.flight.control_power import SPARE
from plansgen.flight.pitching import felt
from plansgen.flight.result import FlightResult
from plansgen.library.models import DesignFile
from plansgen.library.tables import methods
from plansgen.quantity import quantities
from plansgen.review import control_rules
from tests.controls.test_directions import control, flown
from tests.designs import Raw, bare, glider, item, surface

SERVO: Raw = item(
    "servo 9 g", kind="servo", x=300, z=10, servo={"torque": 1.3, "travel": 45, "voltage": 4.8}
)


def model(**more: Any) -> Raw:
    """A glider with an elevator: arm 8, horn 16, 15 degrees, its servo 300 mm ahead."""
    raw = glider()
    linkage = {"servo": "servo 9 g", "arm": 8, "horn": 16, "travel": 15, "slop": 0.5}
    raw["surfaces"]["tailplane"]["controls"] = {
        "elevator": {"kind": "elevator", "from": 0, "to": 170, "chord": 0.3, **linkage, **more}
    }
    raw["items"].append(SERVO)
    return raw


def worked_out(raw: Raw, **more: Any) -> ControlsResult:
    """The linkage has no part in how it flies, so designs that fly alike are flown once."""
    same = deepcopy(raw)
    for part in same["surfaces"].values():
        for own in part.get("controls", {}).values():
            for key in ("servo", "arm", "horn", "horn_ahead", "slop"):
                own.pop(key, None)
    _, airframe, flight = _flown(json.dumps(same))
    file = DesignFile.model_validate(raw)
    found = work_out_controls(file, airframe, flight, **more)
    assert found is not None
    return found


@cache
def _flown(text: str) -> tuple[DesignFile, Airframe, FlightResult]:
    return flown(json.loads(text))


def elevator(raw: Raw, **more: Any) -> ControlThrow:
    return worked_out(raw, **more).control("tailplane.elevator")


# --- throws ----------------------------------------------------------------------------------


def test_the_edge_is_measured_square_to_a_swept_hinge() -> None:
    """Hinge line swept by 45 degrees: the control is cos 45 as deep as along the flow."""
    fin = surface("fin", [(0, 0, 100), (100, 100, 100)], at={"x": 500})
    fin["controls"] = control("rudder", 0, 100)
    wing = surface("wing", [(0, 0, 200), (500, 0, 200)])
    file = DesignFile.model_validate(bare({"wing": wing, "fin": fin}))
    part = build_airframe(file, {}).surface("fin")
    assert true_chord(part, part.controls[0]) == pytest.approx(0.03 * math.cos(math.pi / 4))


def test_degrees_and_millimetres_turn_into_each_other() -> None:
    assert edge_of(0.040, math.radians(30)) == pytest.approx(0.020)
    assert angle_of(0.040, 0.020) == pytest.approx(math.radians(30))
    with pytest.raises(ValueError, match=r"only 0\.04 m deep"):
        angle_of(0.040, 0.050)


def test_the_recommended_elevator_leaves_the_spare_share() -> None:
    """With that throw for its travel the flight calculation must find just that much left."""
    raw = model()
    raw["items"][0]["mass"] = 110  # so far forward that it wants the elevator
    start = elevator(raw).starts[0]
    assert start.flight is not None
    raw["surfaces"]["tailplane"]["controls"]["elevator"]["travel"] = math.degrees(start.flight)
    _, _, flight = flown(raw)
    speed = 1.1 * flight.stall.speed
    left = throws.between(speed, flight.control.off, "elevator_left")
    assert left == pytest.approx(SPARE, abs=0.02)


def test_the_recommended_aileron_gives_the_helix_angle() -> None:
    raw = model()
    raw["surfaces"]["wing"]["controls"] = control("aileron", 350, 480)
    start = worked_out(raw).control("wing.control").starts[0]
    assert start.flight is not None
    raw["surfaces"]["wing"]["controls"]["control"]["travel"] = math.degrees(start.flight)
    _, _, flight = flown(raw)
    assert throws.between(1.1 * flight.stall.speed, flight.control.off, "helix") == pytest.approx(
        HELIX, rel=0.01
    )


def test_the_start_stays_within_common_practice() -> None:
    start = elevator(model()).starts[0]
    low, high = (math.radians(d) for d in PRACTICE["elevator", "pitch"])
    assert (start.low, start.high) == pytest.approx((low, high))
    assert low <= start.start <= high
    assert felt(start.start) > 0.0


# --- linkage and servo -----------------------------------------------------------------------


def test_the_servo_s_travel_follows_from_the_linkage() -> None:
    throw = elevator(model())
    fit = throw.fit
    assert fit is not None
    hinge_x = 0.65 + 0.7 * 0.12
    assert fit.rod == pytest.approx(hinge_x - 0.3, rel=0.05)
    turn = Linkage(arm=0.008, horn=0.016, rod=fit.rod).arm_for(math.radians(15))
    assert turn is not None
    assert fit.up == pytest.approx(turn)
    assert fit.used == pytest.approx(max(abs(fit.up), abs(fit.down or 0.0)) / math.radians(45))
    assert fit.reaches
    assert throw.missing == ()


def test_a_hole_behind_the_hinge_gives_more_up_than_down() -> None:
    """Long rod, underside: up takes the stroke e(1 − cos) + h sin, down the same with −e."""
    ahead, behind = (elevator(model(horn_ahead=e)).fit for e in (5, -5))
    assert ahead is not None
    assert behind is not None
    assert (ahead.alike_down or 0.0) > (ahead.alike_up or 0.0)
    assert (behind.alike_up or 0.0) > (behind.alike_down or 0.0)


def test_the_servo_holds_the_moment_at_the_fastest() -> None:
    throw = elevator(model(), top_speed=25.0, top_source="given")
    top, stall = throw.moments
    assert (top.where, top.speed) == ("top speed", 25.0)
    assert top.moment > stall.moment
    assert throw.load is not None
    assert throw.load.needed == pytest.approx(max(top.servo or 0.0, stall.servo or 0.0))
    assert throw.load.torque == pytest.approx(1.3 * 0.0980665)
    assert throw.load.margin == pytest.approx(1.3 * 0.0980665 / throw.load.needed)


def test_hinge_moments_grow_with_the_square_of_speed() -> None:
    one, two = (elevator(model(), top_speed=v).moments[0] for v in (40.0, 80.0))
    assert two.alpha == pytest.approx(one.alpha)  # beyond the table of flight it is held
    assert two.moment / one.moment == pytest.approx(4.0)


def test_a_pair_of_servos_shares_and_one_does_not() -> None:
    single = elevator(model(), top_speed=20.0).load
    raw = model()
    raw["items"][-1] = SERVO | {"mirror": True, "at": {"x": 300, "y": 20, "z": 10}}
    pair = elevator(raw, top_speed=20.0).load
    assert single is not None
    assert pair is not None
    assert pair.needed == pytest.approx(single.needed / 2, rel=0.05)  # it is 9 g heavier


def test_without_a_linkage_only_degrees_and_millimetres_are_told() -> None:
    raw = model()
    for key in ("servo", "arm", "horn", "slop"):
        del raw["surfaces"]["tailplane"]["controls"]["elevator"][key]
    throw = elevator(raw)
    assert throw.fit is None
    assert throw.load is None
    assert throw.up_edge > 0.0
    assert len(throw.missing) == 4


def test_without_flight_there_are_no_moments() -> None:
    file = DesignFile.model_validate(model())
    found = work_out_controls(file, build_airframe(file, {}), None)
    assert found is not None
    assert found.top_speed is None
    assert found.control("tailplane.elevator").moments == ()


# --- rules -----------------------------------------------------------------------------------


def rules(found: ControlsResult) -> dict[str, str]:
    every = [
        *control_rules.linkages(found),
        *control_rules.servos(found),
        *control_rules.throws(found),
        *control_rules.fineness(found),
        *control_rules.differential(found),
        *control_rules.mixing(found),
        *control_rules.flutter(found),
    ]
    return {finding.rule: finding.severity for finding in every}


def test_a_sound_elevator_has_no_findings() -> None:
    assert rules(worked_out(model())) == {}


def test_a_short_arm_cannot_give_the_travel_and_the_arm_offered_does() -> None:
    raw = model(arm=5.5)
    found = worked_out(raw)
    assert rules(found)["linkage-travel"] == "caution"
    throw = found.control("tailplane.elevator")
    assert throw.fit is not None
    arm = control_rules.arm_wanted(throw, throw.fit)
    assert arm is not None
    assert "linkage-travel" not in rules(worked_out(model(arm=arm * 1000)))


def test_dead_centre_is_severe() -> None:
    assert rules(worked_out(model(arm=3, horn=16, travel=25)))["linkage-over-centre"] == "severe"


def test_a_long_arm_wastes_the_servo_s_travel() -> None:
    assert rules(worked_out(model(arm=16)))["servo-travel"] == "note"


@pytest.mark.parametrize(("speed", "severity"), [(60.0, "caution"), (120.0, "severe")])
def test_a_servo_too_weak_for_the_speed(speed: float, severity: str) -> None:
    raw = model()
    found = worked_out(raw, top_speed=speed)
    throw = found.control("tailplane.elevator")
    assert throw.load is not None
    margin = 1.5 if severity == "caution" else 0.7
    load = replace(throw.load, torque=throw.load.needed * margin, margin=margin)
    told = rules(replace(found, controls=(replace(throw, load=load),)))
    assert told["servo-torque"] == severity


def test_less_travel_than_the_flight_calculation_asks_for() -> None:
    found = worked_out(model())
    throw = found.control("tailplane.elevator")
    start = replace(throw.starts[0], flight=math.radians(12), given=math.radians(8))
    assert rules(replace(found, controls=(replace(throw, starts=(start,)),))) == {
        "throw-small": "note"
    }


def test_ailerons_that_go_further_down_than_up() -> None:
    raw = model()
    linkage = {"servo": "servo 9 g", "arm": 8, "horn": 14, "horn_ahead": 6}
    raw["surfaces"]["wing"]["controls"] = control("aileron", 300, 480, travel=15, **linkage)
    assert rules(worked_out(raw)).get("reverse-differential") == "note"


# --- flutter ---------------------------------------------------------------------------------

MADE = Made(title="elevator", chord=0.03, span=0.17, share=0.2, slop=None, balanced=False)


def keys(made: Made, speed: float) -> dict[str, str]:
    return {c.key: c.grade for c in flutter_cautions(made, top_speed=speed)}


def test_cautions_come_with_slop_size_and_speed() -> None:
    assert keys(MADE, 40.0) == {}
    assert keys(replace(MADE, slop=math.radians(1.5)), 15.0) == {"flutter-slop": "note"}
    assert keys(replace(MADE, slop=math.radians(1.5)), 40.0) == {"flutter-slop": "caution"}
    assert keys(replace(MADE, slop=math.radians(2.5)), 15.0) == {"flutter-slop": "caution"}
    large = replace(MADE, share=0.35)
    assert keys(large, 15.0) == {}
    assert keys(large, 40.0) == {"flutter-unbalanced": "note"}
    assert keys(replace(large, balanced=True), 40.0) == {}
    assert keys(replace(MADE, span=0.5), 40.0) == {"flutter-slender": "note"}


def test_every_number_has_its_method() -> None:
    for kind in (
        result.ControlThrow,
        result.ControlsResult,
        fitting.Fit,
        hinge.HingeMoment,
        hinge.ServoLoad,
        mixing.MixRow,
        mixing.MixTable,
        throws.StartThrow,
    ):
        for mark in quantities(kind).values():
            assert mark.method in methods()
