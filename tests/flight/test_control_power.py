"""What the controls can do, from the stall to top speed."""

from __future__ import annotations

import dataclasses
import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from plansgen.atmosphere import air
from plansgen.flight.control_help import PitchHelp, pitch_help
from plansgen.flight.control_power import (
    SPARE,
    ControlPower,
    enough,
    point_at,
    work_out_control_power,
)
from plansgen.flight.derivatives import scale_of
from plansgen.flight.handling import JUST_ABOVE, THRUST_TO_WEIGHT, Handling
from plansgen.flight.lattice import Flow, Lattice
from plansgen.flight.pitching import PitchModel, felt
from plansgen.flight.shares import shares_of
from plansgen.flight.thin_airfoil import thin_flap
from plansgen.flight.trim import work_out_trim
from tests.designs import EVERY_LAYOUT, airframe_of, balance_of, bare, surface
from tests.flight.stubby import ARM, frame_and_state, stubby_handling


@pytest.fixture(scope="module")
def handling() -> Handling:
    return stubby_handling()


@pytest.fixture(scope="module")
def power(handling: Handling) -> ControlPower:
    return work_out_control_power(handling)


@pytest.fixture(scope="module")
def help_(handling: Handling) -> PitchHelp:
    found = pitch_help(handling)
    assert found is not None
    return found


# --- the problem that builders meet ------------------------------------------------------------


def test_a_short_coupled_slow_light_model_loses_its_elevator(power: ControlPower) -> None:
    """Common practice, no source: behind the wing its elevator goes dead as it slows down.

    Balanced by the trade's rule at a quarter of the chord, 11 mm ahead of the neutral point, and
    still the nose falls before the wing has stalled.
    """
    assert power.nose_off is not None
    assert power.nose_off.reach == "not so far"
    assert power.nose_off.speed is not None
    assert power.stall_speed < power.nose_off.speed < 1.2 * power.stall_speed
    assert power.reading.elevator_off in ("little", "gone")
    assert {"tail volume", "wake"} <= set(power.reading.causes)


def test_a_burst_of_throttle_brings_it_back(power: ControlPower, help_: PitchHelp) -> None:
    """Common practice, no source: propeller wash gives the elevator back."""
    assert power.nose_on is not None
    assert power.nose_on.reach == "to the stall"
    assert power.reading.elevator_on == "enough"
    assert help_.with_power is not None
    assert help_.with_power > SPARE > help_.now
    assert help_.thrust is not None
    assert 0.0 < help_.thrust < power.thrust


def test_all_that_helps_does(handling: Handling, help_: PitchHelp) -> None:
    assert help_.out_of_wake > help_.target > help_.now
    assert help_.tail_arm is not None
    assert 1.05 * ARM < help_.tail_arm * 1000 < 1.5 * ARM
    assert help_.tail_area is not None
    now = handling.airframe.surface("tailplane").planform.area
    assert 1.05 * now < help_.tail_area < 1.8 * now
    # a tail that does more carries the neutral point aft, and the balance point with it
    assert help_.tail_arm_shift is not None
    assert help_.tail_arm_shift > 0.0
    assert help_.tail_area_shift is not None
    assert help_.tail_area_shift > 0.0
    assert help_.balance_shift > 0.0
    assert help_.static_margin_then < handling.derivatives.static_margin


def share_with(handling: Handling, shift: float | None) -> float:
    assert shift is not None
    return 0.25 + shift / handling.airframe.reference.mac


def test_a_design_drawn_with_the_longer_arm_has_the_elevator(
    handling: Handling, help_: PitchHelp
) -> None:
    """From a design file with the tail moved, all over again."""
    assert help_.tail_arm is not None
    share = share_with(handling, help_.tail_arm_shift)
    longer = stubby_handling(share, shape={"arm": help_.tail_arm * 1000})
    assert longer.elevator(help_.speed).left == pytest.approx(help_.target, abs=0.01)
    margin = handling.derivatives.static_margin
    assert longer.derivatives.static_margin == pytest.approx(margin, abs=0.005)


def test_a_design_drawn_with_the_larger_tail_has_it_too(
    handling: Handling, help_: PitchHelp
) -> None:
    assert help_.tail_area is not None
    size = math.sqrt(help_.tail_area / handling.airframe.surface("tailplane").planform.area)
    share = share_with(handling, help_.tail_area_shift)
    larger = stubby_handling(share, shape={"tail_size": size})
    assert larger.elevator(help_.speed).left == pytest.approx(help_.target, abs=0.01)
    margin = handling.derivatives.static_margin
    assert larger.derivatives.static_margin == pytest.approx(margin, abs=0.005)


def test_a_model_balanced_there_has_it_too(handling: Handling, help_: PitchHelp) -> None:
    moved = stubby_handling(share_with(handling, help_.balance_shift))
    assert moved.elevator(help_.speed).left == pytest.approx(help_.target, abs=0.02)
    assert moved.derivatives.static_margin == pytest.approx(help_.static_margin_then, abs=0.005)


def test_the_thrust_found_is_enough(handling: Handling, help_: PitchHelp) -> None:
    assert help_.thrust is not None
    left = handling.elevator(help_.speed, thrust=help_.thrust).left
    assert left == pytest.approx(help_.target, abs=1e-6)


def test_a_high_tail_is_out_of_the_wake() -> None:
    low, high = stubby_handling(), stubby_handling(shape={"tail_z": 180.0})
    slow = JUST_ABOVE * low.stall_speed
    assert high.elevator(slow).pressure > low.elevator(slow).pressure + 0.1


def test_a_long_tail_has_no_such_problem() -> None:
    """Tail volume 0.6, inside the textbooks' 0.5 to 0.7: the nose comes up down to the stall."""
    good = work_out_control_power(stubby_handling(shape={"arm": 500.0, "tail_size": 1.16}))
    assert good.nose_off is not None
    assert good.nose_off.reach == "to the stall"
    assert good.reading.elevator_off == "enough"
    assert "tail volume" not in good.reading.causes


# --- against textbooks and the other way of asking ---------------------------------------------


@pytest.mark.parametrize("share", [0.05, 0.12, 0.18])
def test_the_nose_falls_where_the_trim_curve_ends(share: float) -> None:
    """In free air both are the same question: the slowest speed that full elevator trims.

    The trim curve takes its own way over lattice, flap and grid of angles, with cubics between;
    here straight lines are laid: 2 %.
    """
    handling = stubby_handling(share)
    speeds = np.linspace(handling.stall_speed, handling.top_speed, 400).tolist()
    left = [handling.elevator(speed, wake=False).moment for speed in speeds]
    ours = float(np.interp(0.0, left, speeds))
    model = PitchModel(handling.airframe, lattice=handling.lattice, point=handling.point)
    trim = work_out_trim(model, mass=0.25, air=air(), lift_max=1.0, speeds=[6.0, 10.0])
    assert trim.full_speed == pytest.approx(ours, rel=0.02)


def test_elevator_moment_of_the_textbook(handling: Handling) -> None:
    """Cm_δ = −V_H a_t τ (Nelson, ch. 2), a_t by Helmbold for the tail alone: 15 %.

    Twenty degrees up, by a real flap, in free air; the wing adds and takes a little.
    """
    tail = handling.airframe.surface("tailplane").planform
    arm = tail.quarter_chord_x - handling.point[0]
    volume = tail.area * arm / (handling.airframe.reference.area * 0.2)
    aspect = tail.aspect_ratio
    part = 2 / aspect
    slope = 2 * math.pi / (math.sqrt(1 + part**2) + part)
    wanted = volume * slope * thin_flap(0.25).effectiveness * felt(math.radians(20), share=0.25)
    assert handling.balance is not None
    fast = handling.balance.held(handling.balance.nose_up * math.radians(20)).at(0.2)
    assert fast[2] == pytest.approx(wanted, rel=0.15)


def test_helix_angle_by_strip_theory() -> None:
    """pb/2V = 1.5 τ δ (η₂² − η₁²) for a long rectangular wing (Perkins & Hage; Nelson, ch. 3).

    Cl_δ = aτ(η₂² − η₁²)/4 over Cl_p = −a/6. A finite wing loses more of the second, about 4/A of it
    (Glauert), than of the first, whose load is outboard only: 10 % at A = 20.
    """
    aileron = {"kind": "aileron", "from": 220, "to": 390, "chord": 0.2}
    wing = surface("wing", [(0, 0, 40), (400, 0, 40)], controls={"aileron": aileron})
    _, state = frame_and_state()
    frame = airframe_of(bare({"wing": wing}))
    model = Handling(frame, state=state, density=1.225, lift_max=1.0, top_speed=20.0)
    real = felt(math.radians(20), share=0.2)
    wanted = 1.5 * thin_flap(0.2).effectiveness * real * ((390 / 400) ** 2 - (220 / 400) ** 2)
    found = point_at(model, 15.0, power=False)
    assert found.helix == pytest.approx(wanted, rel=0.10)
    assert found.helix is not None
    assert found.roll_rate == pytest.approx(found.helix * 2 * 15.0 / 0.8)


def test_sideslip_by_rudder_is_where_the_yawing_moments_cancel(handling: Handling) -> None:
    """Statics: the lattice, at that sideslip with that rudder, has next to no yawing moment."""
    found = point_at(handling, 10.0, power=False).sideslip
    assert found is not None
    (mode,) = (m for m in handling.lattice.modes if m.motion == "yaw")
    ratio = float(handling.wake_ratio(handling.airframe.surface("fin"), 0.05))
    assert 0.9 < ratio <= 1.0
    control = handling.derivatives.control(mode.name).yaw * felt(math.radians(20), share=0.4)
    weathercock = handling.derivatives.beta.yaw * found
    assert abs(weathercock) == pytest.approx(abs(control), rel=0.1)


def test_shares_add_up_to_the_whole() -> None:
    """All surfaces' shares against the lattice's own sums: 2 % at 5° and 0.02 of sideslip."""
    frame = airframe_of(EVERY_LAYOUT["glider"]())
    lattice, scale = Lattice(frame.surfaces), scale_of(frame.reference)
    flow = Flow(alpha=math.radians(5), beta=0.02)
    point = (0.2, 0.0, 0.0)
    found = shares_of(lattice, flow, point=point, scale=scale)
    whole = lattice.coefficients(flow, point=point, scale=scale)
    assert sum(s.lift for s in found.values()) == pytest.approx(whole[2], rel=0.02)
    assert sum(s.pitch for s in found.values()) == pytest.approx(whole[4], rel=0.04)
    assert found["fin"].yaw == pytest.approx(whole[5], rel=0.15)  # the wing's own is small


# --- the state of flight -----------------------------------------------------------------------


def test_speed_lift_and_thrust(handling: Handling) -> None:
    assert handling.stall_speed == pytest.approx(
        math.sqrt(2 * 0.25 * 9.80665 / (1.225 * 0.16 * 1.0))
    )
    assert handling.lift_at(2 * handling.stall_speed) == pytest.approx(0.25)
    assert handling.static_thrust == pytest.approx(THRUST_TO_WEIGHT * 0.25 * 9.80665)
    assert handling.thrust_at(0.0) == handling.static_thrust
    assert handling.thrust_at(14.0) == pytest.approx(0.2 * handling.static_thrust)
    assert handling.thrust_at(20.0) == 0.0


def test_given_thrust_is_not_assumed() -> None:
    given = work_out_control_power(stubby_handling(thrust=3.0), speeds=[6.0])
    assert (given.thrust, given.thrust_assumed) == (3.0, False)
    assert given.on[0].thrust < 3.0


def test_powers_grow_with_speed(power: ControlPower) -> None:
    turns = [p.pitch_acceleration for p in power.off]
    assert all(b > a for a, b in pairwise(turns))  # type: ignore[operator]
    rolls = [p.roll_rate for p in power.off]
    assert all(b > a for a, b in pairwise(rolls))  # type: ignore[operator]
    assert all(on.pressure > off.pressure for on, off in zip(power.on, power.off, strict=True))  # type: ignore[operator]
    gains = [p.pressure for p in power.on]
    assert gains[-1] < gains[0]  # type: ignore[operator]


def test_thrust_above_the_balance_point_pushes_the_nose_down() -> None:
    frame, state = frame_and_state()
    below = dataclasses.replace(state, z=-0.05)
    high = Handling(frame, state=below, density=1.225, lift_max=1.0, top_speed=14.0)
    q = 1.225 * 36 / 2
    expected = -1.0 * 0.05 / (q * 0.16 * 0.2)
    assert high.thrust_moment(speed=6.0, thrust=1.0) == pytest.approx(expected)
    assert high.thrust_moment(speed=6.0, thrust=0.0) == 0.0


def test_small_travel_is_a_cause() -> None:
    stiff = stubby_handling(travels={"tailplane.elevator.pitch": math.radians(8)})
    assert "travel" in work_out_control_power(stiff).reading.causes
    slow = JUST_ABOVE * stiff.stall_speed
    assert stiff.elevator(slow).own < stubby_handling().elevator(slow).own


def test_words() -> None:
    assert [enough(v, good=0.25, least=0.0) for v in (0.3, 0.25, 0.1, -0.1, None)] == [
        "enough",
        "enough",
        "little",
        "gone",
        "none",
    ]


def numbers(thing: Any) -> list[float]:
    if isinstance(thing, dict):
        return [x for value in thing.values() for x in numbers(value)]
    if isinstance(thing, list | tuple):
        return [x for value in thing for x in numbers(value)]
    return [thing] if isinstance(thing, float) else []


@pytest.mark.parametrize("name", sorted(EVERY_LAYOUT))
def test_every_layout_gives_numbers_or_none(name: str) -> None:
    raw = EVERY_LAYOUT[name]()
    ready = balance_of(raw).ready
    assert ready is not None
    model = Handling(airframe_of(raw), state=ready.state, density=1.2, lift_max=0.9, top_speed=20.0)
    found = work_out_control_power(model, speeds=[10.0])
    assert np.isfinite(numbers(dataclasses.asdict(found))).all()
    if name != "trainer":
        assert found.reading.elevator_off == "none"
        assert found.nose_off is None
        assert pitch_help(model) is None


def test_elevons_of_a_swept_wing() -> None:
    """They are on the wing: no wake, no tail to make larger, and up lifts the nose."""
    raw = EVERY_LAYOUT["tailless"]()
    elevon = {"kind": "elevon", "from": 150, "to": 480, "chord": 0.2}
    raw["surfaces"]["wing"]["controls"] = {"elevon": elevon}
    ready = balance_of(raw).ready
    assert ready is not None
    model = Handling(airframe_of(raw), state=ready.state, density=1.2, lift_max=0.8, top_speed=20.0)
    assert model.balance is not None
    assert model.balance.nose_up == -1.0
    found = point_at(model, 9.0, power=False)
    assert found.pressure == 1.0
    assert found.pitch_acceleration is not None
    assert found.pitch_acceleration > 0.0
    solved = pitch_help(model)
    assert solved is not None
    assert (solved.tail_arm, solved.tail_area, solved.thrust) == (None, None, None)


def test_a_foreplanes_elevator_goes_down_to_lift_the_nose() -> None:
    raw = EVERY_LAYOUT["canard"]()
    elevator = {"kind": "elevator", "from": 0, "to": 180, "chord": 0.3}
    raw["surfaces"]["foreplane"]["controls"] = {"elevator": elevator}
    ready = balance_of(raw).ready
    assert ready is not None
    model = Handling(airframe_of(raw), state=ready.state, density=1.2, lift_max=0.8, top_speed=20.0)
    assert model.balance is not None
    assert model.balance.nose_up == 1.0
    found = model.elevator(9.0)
    assert math.isfinite(found.left)
    assert found.own == pytest.approx(found.clear)  # ahead of the wing's wake
    assert found.own > 0.0
    assert found.pressure == 1.0


@pytest.mark.parametrize(
    ("wrong", "match"),
    [
        ({"density": 0.0}, "density"),
        ({"lift_max": math.nan}, "greatest lift"),
        ({"top_speed": 5.0}, "top speed"),
        ({"thrust": -1.0}, "thrust"),
    ],
)
def test_refuses_in_words(wrong: dict[str, float], match: str) -> None:
    with pytest.raises(ValueError, match=match):
        stubby_handling(**wrong)


def test_help_wants_a_share(handling: Handling) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        pitch_help(handling, target=1.5)


def test_what_is_there_already_needs_no_help(handling: Handling) -> None:
    found = pitch_help(handling, target=0.05)
    assert found is not None
    assert found.tail_arm == pytest.approx(ARM / 1000)
    assert found.tail_area == pytest.approx(handling.airframe.surface("tailplane").planform.area)
    assert (found.balance_shift, found.thrust) == (0.0, 0.0)
    assert (found.tail_arm_shift, found.tail_area_shift) == (0.0, 0.0)


def test_what_cannot_be_reached_is_none() -> None:
    """Balanced far ahead, half as much again of everything will not do."""
    hopeless = pitch_help(stubby_handling(-0.6))
    assert hopeless is not None
    assert (hopeless.tail_arm, hopeless.tail_area) == (None, None)
    assert (hopeless.tail_arm_shift, hopeless.tail_area_shift) == (None, None)
    assert hopeless.balance_shift > 0.0
