"""A builder's own masses: the same balance as the build's, moved as moments say."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plansgen.balance.advice import BatteryPlace
from plansgen.balance.bench import BenchModel, Thing, bench_answer
from plansgen.dossier import Dossier, work_out
from plansgen.site.bench_page import bench_model
from tests.designs import design_of, trainer


@pytest.fixture(scope="module")
def dossier() -> Dossier:
    return work_out(design_of(trainer()))


@pytest.fixture(scope="module")
def model(dossier: Dossier) -> BenchModel:
    found = bench_model(dossier)
    assert found is not None
    return found


def things_of(dossier: Dossier) -> list[Thing]:
    return [Thing(line.mass, (line.x, line.y, line.z)) for line in dossier.balance.lines]


def battery_of(dossier: Dossier) -> tuple[BatteryPlace, tuple[float, float, float]]:
    ready, bay = dossier.balance.ready, dossier.balance.bay
    assert ready is not None
    assert bay is not None
    assert ready.battery_mass is not None
    assert ready.battery_x is not None
    place = BatteryPlace(ready.battery_mass, ready.battery_x, bay[0], bay[1])
    return place, (ready.battery_x, 0.0, ready.battery_z or 0.0)


def test_the_plans_own_masses_give_the_plans_own_balance(
    dossier: Dossier, model: BenchModel
) -> None:
    ready, flight = dossier.balance.ready, dossier.flight
    assert ready is not None
    assert flight is not None
    answer = bench_answer(model, things_of(dossier), *battery_of(dossier))
    assert answer.mass == pytest.approx(ready.state.mass, rel=1e-12)
    assert answer.from_root == pytest.approx(ready.state.from_root, rel=1e-9)
    assert answer.static_margin == pytest.approx(flight.margins[0].static_margin, rel=1e-9)
    assert answer.stall_speed == pytest.approx(flight.stall.speed, rel=1e-9)


@given(mass=st.floats(0.001, 0.5), at=st.floats(-1.0, 2.0))
def test_an_added_mass_moves_the_balance_point_as_the_lever_says(
    dossier: Dossier, model: BenchModel, mass: float, at: float
) -> None:
    """Moments about the old balance point (a lever; any textbook of statics)."""
    battery = battery_of(dossier)
    things = things_of(dossier)
    before = bench_answer(model, things, *battery)
    after = bench_answer(model, [*things, Thing(mass, (at, 0.0, 0.0))], *battery)
    moved = (after.x - before.x) * after.mass
    assert moved == pytest.approx(mass * (at - before.x), rel=1e-9, abs=1e-12)


def test_without_flight_there_is_no_margin(dossier: Dossier, model: BenchModel) -> None:
    bare = dataclasses.replace(model, neutral_x=None, lift_max=None, air=None)
    answer = bench_answer(bare, things_of(dossier), *battery_of(dossier))
    assert answer.static_margin is None
    assert answer.stall_speed is None


def test_nothing_has_no_balance(model: BenchModel) -> None:
    with pytest.raises(ValueError, match="weighs nothing"):
        bench_answer(model, [], None, (0.0, 0.0, 0.0))
