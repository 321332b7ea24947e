"""What to move, by hand-worked statics."""

from __future__ import annotations

from typing import Any

import pytest

from plansgen.balance.advice import (
    BallastPlaces,
    BatteryPlace,
    Remedy,
    balance_shift,
    ballast_mass,
    lateral_of,
    remedy_for,
    sensitivity_of,
)
from plansgen.balance.centre import MassState, state_of
from plansgen.balance.elements import simplex
from plansgen.balance.target import Target, target_of
from plansgen.library.models import Balance
from plansgen.library.units import FileUnits
from tests.designs import airframe_of, balance_of, battery, glider, item

REFERENCE = airframe_of(glider()).reference  # chord 200 from x = 150; area 0.2 m², span 1 m
PLACES = BallastPlaces(nose=0.0, tail=0.75)


def state(mass: float, x: float, y: float = 0.0) -> MassState:
    return state_of("state", simplex([(x, y, 0.0)], mass), REFERENCE)


def target(share: float = 0.25) -> Target:
    balance = Balance.model_validate({"target": {"mac": share}}, context={"units": FileUnits()})
    found = target_of(balance, "conventional", REFERENCE)
    assert found is not None
    return found


def advise(x: float, bay: BatteryPlace | None = None, places: BallastPlaces = PLACES) -> Remedy:
    return remedy_for(state(0.5, x), target(), bay, places, REFERENCE)


def test_ballast_by_the_lever() -> None:
    """A see-saw: 500 g, 10 mm tail-heavy of x = 200, balanced from 200 mm ahead by 25 g."""
    assert ballast_mass(mass=0.5, x=0.21, target=0.2, at=0.0) == pytest.approx(0.025)
    remedy = advise(0.21)
    assert remedy.ballast is not None
    assert remedy.ballast.place == "nose"
    assert remedy.ballast.mass == pytest.approx(0.025)
    assert remedy.ballast.total == pytest.approx(0.525)
    assert remedy.ballast.wing_loading == pytest.approx(0.525 / 0.2)


def test_nose_heavy_wants_it_at_the_tail() -> None:
    """500 g × 11 mm = m × 550 mm: 10 g."""
    remedy = advise(0.189)
    assert remedy.ballast is not None
    assert (remedy.ballast.place, remedy.ballast.at_x) == ("tail", 0.75)
    assert remedy.ballast.mass == pytest.approx(0.010)


def test_shift_of_an_added_mass() -> None:
    """10 g at 190 ahead of 490 g moves it 3.8 mm forward."""
    shift = balance_shift(mass=0.49, x=0.19, added=0.01, at=0.0)
    assert shift == pytest.approx(-0.0038)
    found = sensitivity_of(state(0.49, 0.19), PLACES)
    assert found.nose == pytest.approx(-0.0038)
    assert found.tail == pytest.approx(0.01 * 0.56 / 0.5)


def test_slide_within_the_bay() -> None:
    """10 mm of 500 g is 50 mm of 100 g."""
    remedy = advise(0.21, BatteryPlace(mass=0.1, x=0.1, foremost=0.04, aftmost=0.2))
    assert remedy.offset == pytest.approx(0.01)
    assert remedy.slide == pytest.approx(-0.05)
    assert remedy.battery_x == pytest.approx(0.05)
    assert remedy.reached
    assert remedy.ballast is None


def test_slide_to_the_end_and_ballast_for_the_rest() -> None:
    """Only 30 of the 50 mm are there: 4 mm of 500 g are left, 10 g from 200 mm ahead."""
    remedy = advise(0.21, BatteryPlace(mass=0.1, x=0.1, foremost=0.07, aftmost=0.2))
    assert not remedy.reached
    assert remedy.battery_x == pytest.approx(0.07)
    assert remedy.slide == pytest.approx(-0.05)  # what it would take
    assert remedy.ballast is not None
    assert remedy.ballast.mass == pytest.approx(0.010)


def test_on_target_asks_for_nothing() -> None:
    remedy = advise(0.2)
    assert (remedy.offset, remedy.reached, remedy.ballast) == (pytest.approx(0), True, None)
    assert remedy.within_limits


@pytest.mark.parametrize("nose", [0.2, 0.3])
def test_no_ballast_where_it_cannot_help(nose: float) -> None:
    """Ballast at the target or behind it never lifts a tail-heavy tail."""
    remedy = advise(0.21, places=BallastPlaces(nose=nose, tail=0.75))
    assert remedy.ballast is None
    assert not remedy.reached


@pytest.mark.parametrize(("share", "within"), [(0.2249, False), (0.2251, True), (0.2749, True)])
def test_limits(share: float, within: bool) -> None:
    x = REFERENCE.x_of_share(share)
    assert remedy_for(state(0.5, x), target(), None, PLACES, REFERENCE).within_limits is within


@pytest.mark.parametrize("y", [0.01, -0.01])
def test_lateral_ballast(y: float) -> None:
    """500 g 10 mm off the middle: 10 g at a tip 500 mm out on the other side."""
    side = lateral_of(state(0.5, 0.2, y), REFERENCE)
    assert (side.y, side.tip_y) == (y, 0.5)
    assert side.ballast == pytest.approx(0.010)


def test_lateral_ballast_levels_the_model() -> None:
    raw = glider()
    raw["items"].append(item("servo in one wing", 12, x=230, y=300))
    side = balance_of(raw).lateral
    assert side is not None
    assert side.y > 0
    raw["items"].append(item("tip weight", side.ballast * 1000, x=230, y=-500))
    # The model grew heavier, but moments about the centre line cancel.
    levelled = balance_of(raw).lateral
    assert levelled is not None
    assert levelled.y == pytest.approx(0.0, abs=1e-12)


def test_ballast_places_of_the_design_win() -> None:
    raw = glider()
    plain = balance_of(raw).sensitivity
    assert plain is not None
    assert (plain.nose_x, plain.tail_x) == pytest.approx((0.15, 0.77))  # the airframe's own ends
    raw["balance"] = {"nose": {"x": 10}, "tail": {"x": 740}}
    given = balance_of(raw).sensitivity
    assert given is not None
    assert (given.nose_x, given.tail_x) == pytest.approx((0.01, 0.74))


def test_battery_place_of_the_battery_of_the_bay_or_in_the_middle() -> None:
    raw = glider()
    raw["batteries"] = [battery("a", 50, x=30), battery("b", 50)]
    raw["bay"] = {"from": 20, "to": 120, "x": 90}
    places: list[Any] = [loading.battery_x for loading in balance_of(raw).loadings]
    assert places == pytest.approx([0.03, 0.09])
    del raw["bay"]["x"]
    assert balance_of(raw).loadings[1].battery_x == pytest.approx(0.07)
