"""What else could drive it: masses, balance and flight of every choice hang together."""

from __future__ import annotations

import math
from typing import Any

import pytest

from plansgen.alternatives import Choice, alternatives_of, changed_design, compare_choices
from plansgen.balance.result import work_out_balance
from plansgen.drive.result import work_out_drive
from plansgen.flight.result import work_out_flight
from tests.designs import Raw, airframe_of, battery, file_of, stock, trainer

DRIVE: Raw = {
    **{"motor": "motor", "propeller": "propeller", "controller": "controller"},
    **{"kv": 1000, "no_load_current": 0.8, "resistance": 0.1},
    **{"pitch": 130, "diameter": 230},
}
OTHERS: list[Raw] = [
    {"name": "large battery", "battery": "large"},
    {"name": "flat propeller", "drive": {"pitch": 100}},
    {"name": "heavy motor", "mass": {"motor": 90}},
]


def electric(**power: Any) -> Raw:
    """A trainer with a motor in its nose and two batteries."""
    raw = trainer()
    raw["items"] = [one for one in raw.get("items", []) if one.get("kind", "other") == "other"]
    raw["items"] += [
        {"name": "motor", "kind": "motor", "mass": 60, "at": {"x": -100}},
        {"name": "propeller", "kind": "propeller", "mass": 12, "at": {"x": -130}, "diameter": 230},
        {"name": "controller", "kind": "speed controller", "mass": 25, "at": {"x": -50}},
    ]
    raw["batteries"] = [
        battery("usual", 120, cells=3, capacity=1300),
        battery("large", 180, cells=3, capacity=2200),
    ]
    raw["bay"] = {"from": -80, "to": 80, "x": 0}
    raw["power"] = {"drives": [DRIVE], "alternatives": OTHERS, **power}
    return raw


@pytest.fixture(scope="module")
def choices() -> dict[str, Choice]:
    raw = electric()
    file, airframe = file_of(raw), airframe_of(raw)
    balance = work_out_balance(file, airframe, stock(file))
    drive = work_out_drive(file, airframe)
    flight = work_out_flight(file, airframe, balance, drive)
    assert flight is not None
    assert flight.powered is not None
    found = compare_choices(file, airframe, balance, flight, stock(file))
    usual, state = found[0], balance.loadings[0].state
    # The first row is the design itself, whatever else the comparison does.
    assert usual.mass == pytest.approx(state.mass)
    assert usual.shift == 0.0
    assert usual.stall == pytest.approx(flight.stall.speed)
    assert usual.thrust == pytest.approx(flight.powered.static.used, rel=1e-6)
    assert usual.time == pytest.approx(flight.powered.time.mixed, rel=1e-3)
    return {choice.name: choice for choice in found}


def test_masses_add_up(choices: dict[str, Choice]) -> None:
    usual = choices["as it is"].mass
    assert choices["large battery"].mass == pytest.approx(usual + 0.060)
    assert choices["flat propeller"].mass == pytest.approx(usual)
    assert choices["heavy motor"].mass == pytest.approx(usual + 0.030)


def test_the_balance_moves_by_the_law_of_the_lever(choices: dict[str, Choice]) -> None:
    """Moments about any point (statics): 30 g more at the motor's place."""
    usual, heavy = choices["as it is"], choices["heavy motor"]
    raw = electric()
    file = file_of(raw)
    x = work_out_balance(file, airframe_of(raw), stock(file)).loadings[0].state.x
    assert heavy.shift == pytest.approx(0.030 * (-0.100 - x) / (usual.mass + 0.030))


def test_the_stall_grows_with_the_root_of_the_mass(choices: dict[str, Choice]) -> None:
    """Lift is weight at the same lift coefficient (any text on flight mechanics)."""
    usual, large = choices["as it is"], choices["large battery"]
    assert large.stall / usual.stall == pytest.approx(math.sqrt(large.mass / usual.mass))


def test_less_pitch_draws_less(choices: dict[str, Choice]) -> None:
    """Common practice, no source: a flatter propeller unloads the motor."""
    assert choices["flat propeller"].current < choices["as it is"].current


def test_more_charge_lasts_longer(choices: dict[str, Choice]) -> None:
    usual, large = choices["as it is"], choices["large battery"]
    assert large.time is not None
    assert usual.time is not None
    # 1.69 times the charge, and a heavier model that draws more
    assert 1.3 < large.time / usual.time < 2200 / 1300


def test_a_battery_that_an_alternative_tries_is_not_told_twice() -> None:
    names = [way.name for way in alternatives_of(file_of(electric()))]
    assert names == ["large battery", "flat propeller", "heavy motor"]
    names = [way.name for way in alternatives_of(file_of(electric(alternatives=[])))]
    assert names == ["large"]


def test_only_what_differs_is_changed() -> None:
    file = file_of(electric())
    assert file.power is not None
    other = changed_design(file, file.power.alternatives[1])
    assert other.items == file.items
    assert other.batteries == file.batteries
    assert other.power is not None
    assert other.power.drives[0].pitch == pytest.approx(0.100)
    assert other.power.drives[0].kv == file.power.drives[0].kv
