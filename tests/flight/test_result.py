"""The whole flight calculation of a design: wiring, not values (those are tested below it)."""

from __future__ import annotations

from pathlib import Path

import pytest

from plansgen.atmosphere import GRAVITY
from plansgen.dossier import Dossier, work_out
from plansgen.flight.result import thrust_of
from plansgen.flight.travels import travels_of
from plansgen.library.folder import read_design
from tests.designs import design_of, glider, trainer

REPOSITORY = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def dunlin() -> Dossier:
    return work_out(read_design(REPOSITORY, "dunlin"))


def test_margin_is_neutral_point_less_balance_point(dunlin: Dossier) -> None:
    """Static margin by its definition (R. C. Nelson, Flight Stability and Automatic Control)."""
    flight = dunlin.flight
    assert flight is not None
    for margin, loading in zip(flight.margins, dunlin.balance.loadings, strict=True):
        assert margin.static_margin == pytest.approx(
            flight.neutral_share - loading.state.mac_share, abs=1e-9
        )


def test_a_battery_further_aft_takes_margin(dunlin: Dossier) -> None:
    flight = dunlin.flight
    assert flight is not None
    for margin in flight.margins:
        assert margin.battery_foremost is not None
        assert margin.battery_aftmost is not None
        assert margin.battery_foremost > margin.static_margin > margin.battery_aftmost


def test_margin_at_the_bay_end_is_that_of_a_battery_put_there() -> None:
    """Moments: the same as working the design out again with the battery moved."""
    library = REPOSITORY
    design = read_design(library, "dunlin")
    first = work_out(design)
    bay = design.file.bay
    assert bay is not None
    battery = design.file.batteries[0].model_copy(update={"x": bay.to})
    file = design.file.model_copy(update={"batteries": (battery, *design.file.batteries[1:])})
    moved = work_out(type(design)(**{**design.__dict__, "file": file}))
    assert first.flight is not None
    assert moved.flight is not None
    # The lattice is read at another angle of attack, so the neutral point moves by a hair.
    assert first.flight.margins[0].battery_aftmost == pytest.approx(
        moved.flight.margins[0].static_margin, abs=0.002
    )


def test_a_higher_field_is_a_faster_stall() -> None:
    """V ~ 1/√ρ (ISO 2533 densities) but for the Reynolds number's part in the greatest lift."""
    low = work_out(design_of(trainer()))
    high = work_out(design_of(trainer() | {"flight": {"field_height": "1500 m"}}))
    assert low.flight is not None
    assert high.flight is not None
    ratio = (low.flight.air.density / high.flight.air.density) ** 0.5
    assert high.flight.stall.speed / low.flight.stall.speed == pytest.approx(ratio, rel=0.02)


def test_nothing_to_weigh_nothing_to_fly() -> None:
    raw = glider()
    for surface in raw["surfaces"].values():
        surface["parts"] = []
    raw["bodies"] = {}
    raw["items"] = []
    dossier = work_out(design_of(raw))
    assert dossier.flight is None
    assert dossier.flight_refusal == "nothing in the design has a mass"


def test_thrust_is_that_of_all_propellers() -> None:
    shelduck = read_design(REPOSITORY, "shelduck")
    given = shelduck.file.flight.thrust
    assert given is not None
    dossier = work_out(shelduck)
    assert thrust_of(shelduck.file, dossier.airframe) == pytest.approx(2 * given * GRAVITY)
    assert set(travels_of(shelduck.file)) == {
        "wing.aileron.roll",
        "tailplane.elevator.pitch",
        "fin.rudder.yaw",
    }


def test_slow_air_at_the_tail_brings_the_aft_limit_forward(dunlin: Dossier) -> None:
    """Wing and tail by the textbook sum (Nelson): less tail pressure, less stability."""
    flight = dunlin.flight
    assert flight is not None
    assert flight.neutral_in_wake < flight.neutral_share
    assert flight.aft_share == pytest.approx(flight.neutral_in_wake - 0.05, abs=1e-9)


def test_without_a_tail_there_is_no_wake_to_stand_in() -> None:
    flight = work_out(read_design(REPOSITORY, "whimbrel")).flight
    assert flight is not None
    assert flight.neutral_in_wake == pytest.approx(flight.neutral_share, abs=1e-12)
