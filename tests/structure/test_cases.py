"""Load cases: each number against its formula, each sentence against its number."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from plansgen.atmosphere import GRAVITY
from plansgen.balance.result import BalanceResult
from plansgen.structure.cases import (
    CRUSH,
    RELEASE,
    THROW,
    cases_of,
    level_top_speed,
    lowest_tip,
    mass_felt,
    top_speed_of,
)
from plansgen.structure.events import gust_of, pull, strike
from tests import designs
from tests.structure.loaded import flying, loaded


def cases_for(raw: dict[str, Any]) -> dict[str, Any]:
    """Cases of a changed file with the flight of the unchanged one, which costs a second."""
    model = loaded()
    return {
        c.key: c
        for c in cases_of(designs.file_of(raw), model.airframe, model.balance, model.flight)
    }


@pytest.mark.parametrize(("ratio", "n"), [(2.0, 4.0), (2.5, 6.25), (3.0, 9.0)])
def test_pull(ratio: float, n: float) -> None:
    """J. D. Anderson, Aircraft Performance and Design, V-n diagram."""
    assert pull(speed=7 * ratio, stall=7.0) == pytest.approx(n)


def test_gust_by_hand() -> None:
    """K. G. Pratt, NACA Report 1206 (from memory), worked by hand; sharp-edged is 2.75625."""
    found = gust_of(loading=30, density=1.225, chord=0.2, slope=4.5, gust=3, speed=10)
    assert found.mass_ratio == pytest.approx(5.5495, rel=1e-4)
    assert found.alleviation == pytest.approx(0.45012, rel=1e-4)
    assert found.step == pytest.approx(1.24064, rel=1e-4)
    assert found.step / found.alleviation == pytest.approx(2.75625, rel=1e-6)


def test_a_heavier_model_is_thrown_about_less() -> None:
    light, heavy = (
        gust_of(loading=w, density=1.225, chord=0.2, slope=4.5, gust=3, speed=10)
        for w in (20.0, 60.0)
    )
    assert heavy.step < light.step
    assert heavy.alleviation > light.alleviation


@pytest.mark.parametrize("name", ["loading", "density", "chord", "slope", "speed", "gust"])
def test_a_gust_on_nothing_is_refused(name: str) -> None:
    given = {"loading": 30.0, "density": 1.2, "chord": 0.2, "slope": 4.5, "gust": 3, "speed": 10}
    with pytest.raises(ValueError, match="above 0"):
        gust_of(**{**given, name: -1.0})


def test_a_strike_stops_the_mass() -> None:
    """½ m v² = P²/2k: S. Timoshenko, Strength of Materials, impact."""
    force = strike(speed=1.5, stiffness=400.0, mass=0.3)
    assert force**2 / (2 * 400.0) == pytest.approx(0.3 * 1.5**2 / 2)


def test_the_mass_felt_at_a_tip_is_less_than_the_model() -> None:
    """A uniform rod struck at its end shows a quarter of its mass: I = m L²/12, textbook."""
    state = loaded().loader.state
    assert mass_felt(state, x=state.x, y=0.0) == pytest.approx(state.mass)
    rod = type("Rod", (), {"mass": 1.0, "x": 0.0, "ixx": 1 / 12, "iyy": 1.0})()
    assert mass_felt(rod, x=0.0, y=0.5) == pytest.approx(0.25)


def test_every_case_is_there_and_tells_all() -> None:
    found = loaded().cases
    assert set(found) == {
        "pull-up",
        "full-pull",
        "push",
        "gust-up",
        "gust-down",
        "side-gust",
        "elevator-nose-up",
        "elevator-nose-down",
        "rudder-one-way",
        "hand-launch",
        "nose",
        "bench",
        "wing-tip",
    }
    for case in found.values():
        assert case.words.endswith(".")
        assert case.title
        assert case.source
        assert case.on


def test_numbers_follow_the_design() -> None:
    raw = flying()
    raw["structure"] = {
        "limit_load": 6,
        "inverted_load": 2.5,
        "top_speed": "25 m/s",
        "gust": "3 m/s",
        "sink": "2 m/s",
    }
    found, stall = cases_for(raw), loaded().flight.stall.speed
    assert found["pull-up"].load_factor == 6.0
    assert found["pull-up"].speed == pytest.approx(stall * math.sqrt(6))
    assert found["push"].load_factor == -2.5
    assert found["full-pull"].load_factor == pytest.approx((25 / stall) ** 2)
    assert "designer" in found["full-pull"].source
    assert "3 m/s" in found["gust-up"].words
    assert found["nose"].speed == pytest.approx(math.hypot(stall, 2.0))


def test_a_limit_that_level_flight_does_not_reach_is_told() -> None:
    """n = (V/Vs)², so six times its weight needs Vs √6 = 2.45 Vs; twice Vs gives four."""
    raw, stall = flying(), loaded().flight.stall.speed
    raw["structure"] = {"limit_load": 6, "top_speed": f"{2 * stall:.6f} m/s"}
    slow = cases_for(raw)
    assert slow["full-pull"].load_factor == pytest.approx(4.0, rel=1e-4)
    told = {key for key, case in slow.items() if "dive" in case.words}
    assert told >= {"pull-up", "push", "elevator-nose-up", "rudder-one-way"}
    raw["structure"]["top_speed"] = f"{2.5 * stall:.6f} m/s"
    assert not [case for case in cases_for(raw).values() if "dive" in case.words]


def test_the_gust_is_that_of_the_formula() -> None:
    model = loaded()
    case = model.cases["gust-up"]
    reference, state = model.airframe.reference, model.loader.state
    found = gust_of(
        loading=state.mass * GRAVITY / reference.area,
        density=model.flight.air.density,
        chord=reference.mac,
        slope=model.flight.derivatives.alpha.lift,
        gust=4.0,
        speed=case.speed,
    )
    assert case.load_factor - 1.0 == pytest.approx(found.step)
    assert model.cases["gust-down"].load_factor == pytest.approx(1.0 - found.step)


def test_the_gust_turns_the_flow_by_what_it_lifts() -> None:
    """Δα = K U/V with the elevator held, within a few per cent: the same slope, read elsewhere."""
    model = loaded()
    up, down = (model.loader.air.flow(model.cases[f"gust-{w}"]) for w in ("up", "down"))
    assert up.deflections == pytest.approx(down.deflections)
    share = float(model.cases["gust-up"].source.split("K ")[1][:4])
    turned = (up.alpha - down.alpha) / 2
    assert turned == pytest.approx(share * 4.0 / model.cases["gust-up"].speed, rel=0.05)


def test_top_speed_is_where_thrust_meets_drag() -> None:
    """Drag read off the flight result at that speed, thrust off its straight line."""
    model = loaded()
    speed = level_top_speed(model.file, model.airframe, model.balance, model.flight)
    assert speed is not None
    flight, state = model.flight, model.loader.state
    drag = np.interp(speed, flight.performance.speeds, flight.performance.drags)
    drag *= flight.air.dynamic_pressure(speed) * model.airframe.reference.area
    thrust = 0.6 * state.mass * GRAVITY * (1 - speed / (1.25 * 3 * flight.stall.speed))
    assert thrust == pytest.approx(drag, rel=0.01)


def test_a_glider_has_three_stall_speeds_and_meets_gusts_in_cruise() -> None:
    model = loaded(designs.glider)
    top = top_speed_of(model.file, model.airframe, model.balance, model.flight)
    assert top.speed == pytest.approx(3 * model.flight.stall.speed)
    assert "3 times" in top.source
    assert model.cases["full-pull"].load_factor == pytest.approx(9.0)
    assert "cruise" in model.cases["gust-up"].words
    assert "elevator-nose-up" not in model.cases


def test_throw_and_stop() -> None:
    """a = v²/2s, kinematics."""
    model = loaded()
    stall = model.flight.stall.speed
    thrown, stopped = model.cases["hand-launch"], model.cases["nose"]
    assert thrown.along == pytest.approx((RELEASE * stall) ** 2 / (2 * THROW))
    assert stopped.along == pytest.approx(-(stall**2 + 1.5**2) / (2 * CRUSH))
    assert stopped.load_factor == pytest.approx(-stopped.along / GRAVITY)
    raw = flying()
    raw["launches"] = ["ground"]
    assert "hand-launch" not in cases_for(raw)


@pytest.mark.parametrize("stiffness", [0.0, math.inf, math.nan])
def test_without_a_tip_that_bends_there_is_no_strike(stiffness: float) -> None:
    model = loaded()
    found = cases_of(
        model.file, model.airframe, model.balance, model.flight, tip_stiffness=lambda _: stiffness
    )
    assert "wing-tip" not in [case.key for case in found]


def test_the_longer_wing_strikes_first_and_of_two_the_lower() -> None:
    assert lowest_tip(designs.airframe_of(designs.biplane())).key == "wing"


def test_the_strike_grows_with_the_root_of_the_stiffness() -> None:
    model = loaded()
    soft, hard = (
        cases_of(
            model.file, model.airframe, model.balance, model.flight, tip_stiffness=lambda _, k=k: k
        )[-1].force
        for k in (200.0, 800.0)
    )
    assert hard == pytest.approx(2 * soft)


def test_controls_are_thrown_while_the_angle_stays() -> None:
    model = loaded()
    up, down = (model.loader.air.flow(model.cases[f"elevator-nose-{w}"]) for w in ("up", "down"))
    assert up.alpha == down.alpha
    sudden = {key for key, case in model.cases.items() if case.suddenly}
    assert sudden == {"side-gust", "elevator-nose-up", "elevator-nose-down", "rudder-one-way"}
    assert up.deflections["tailplane.elevator.pitch"] < 0.0  # trailing edge up
    rudder = model.loader.air.flow(model.cases["rudder-one-way"])
    assert rudder.deflections["fin.rudder.yaw"] > 0.0


def test_nothing_weighs_nothing() -> None:
    model = loaded()
    empty = BalanceResult((), None, (), None, False, None, None, None)
    with pytest.raises(ValueError, match="has a mass"):
        cases_of(model.file, model.airframe, empty, model.flight)
