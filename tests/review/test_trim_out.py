"""The trim-out guide carries each design's own numbers, and they are right by statics."""

from __future__ import annotations

import math
from functools import cache
from typing import get_args

import numpy as np
import pytest

from plansgen.dossier import Dossier, from_json, to_json
from plansgen.library.tables import methods
from plansgen.quantity import quantities
from plansgen.review.feel import feel_of
from plansgen.review.first_flight import FirstFlightCard, GlideTest, PowerUp, StartTrim, Throw
from plansgen.review.trim_out import Symptom, TrimOut, trim_out_of
from plansgen.review.trim_steps import Action
from tests.designs import EVERY_LAYOUT, Raw, battery, design_of, dossier_of, glider, item
from tests.flight.stubby import TAIL_CHORD, stubby
from tests.random_designs import not_finite


@cache
def model() -> Dossier:
    """The short-coupled model with its lump of 120 g as a battery."""
    raw = stubby()
    raw["items"] = raw["items"][:1]
    raw["batteries"] = [battery(mass=120)]
    raw["bay"] = {"from": -40, "to": 200, "x": 20}
    return dossier_of(raw)


def guide(dossier: Dossier) -> TrimOut:
    assert dossier.trim_out is not None
    return dossier.trim_out


def actions(dossier: Dossier, symptom: Symptom) -> dict[str, Action]:
    row = next(row for row in guide(dossier).rows if row.symptom == symptom)
    return {action.do: action for action in row.actions}


def test_every_symptom_of_a_powered_model_has_something_to_do() -> None:
    assert [row.symptom for row in guide(model()).rows] == list(get_args(Symptom))


@pytest.mark.parametrize("build", EVERY_LAYOUT.values(), ids=EVERY_LAYOUT)
def test_every_layout_gets_a_guide_that_survives_json(build: object) -> None:
    dossier = dossier_of(build())  # type: ignore[operator]
    assert not_finite(dossier.trim_out) == []
    assert from_json(to_json(dossier)) == dossier


@pytest.mark.parametrize("kind", [FirstFlightCard, GlideTest, PowerUp, StartTrim, Throw, Action])
def test_every_number_names_a_known_method(kind: type) -> None:
    marks = quantities(kind)
    assert marks
    assert {mark.method for mark in marks.values()} <= set(methods())


def test_a_glider_has_no_thrust_line() -> None:
    symptoms = {row.symptom for row in guide(dossier_of(glider())).rows}
    assert not symptoms & {"pitches up with power", "turns with power", "does not climb"}


def test_battery_slide_by_statics() -> None:
    """Moments: 2 % of the mean chord times the mass is the slide times the battery's mass."""
    step = actions(model(), "balloons in the glide")["balance point forward"]
    ready = model().balance.ready
    assert ready is not None
    assert step.length is not None
    shift = 0.02 * model().airframe.reference.mac
    assert step.length * 0.120 == pytest.approx(shift * ready.state.mass)
    assert step.reached


def test_washer_is_plane_geometry() -> None:
    """A 1 mm washer under a mount 35 mm wide: atan(1/35) = 1.64°."""
    step = actions(model(), "pitches up with power")["thrust line nose-down"]
    assert step.angle is not None
    assert math.degrees(step.angle) == pytest.approx(1.637, abs=0.001)
    assert not step.pusher


def test_throw_by_ruler() -> None:
    """Elevator: a quarter of 110 mm, 20° each way: 9.4 mm; it starts with common practice's 15°."""
    throw = next(t for t in guide(model()).card.throws if t.kind == "elevator")
    chord = 0.25 * TAIL_CHORD / 1000
    assert throw.full == pytest.approx(chord * math.sin(math.radians(20)))
    assert throw.first == pytest.approx(chord * math.sin(math.radians(15)))


def test_start_is_for_the_balance_point_of_the_card() -> None:
    """The card says where to balance it; a lump at the tail that is to go must not set it down.

    Moments about the balance point, elementary statics: the same wing and tail in the same air want
    the same elevator, but for the lump's own weight on them.
    """
    raw = stubby() | {"balance": {"target": {"mac": 0.2}}}
    raw["items"].append(item("lump", 15, x=400))
    plain, heavy = (guide(dossier_of(file)).card.start for file in (_without(raw, "lump"), raw))
    assert plain is not None
    assert heavy is not None
    assert heavy.angle == pytest.approx(plain.angle, abs=math.radians(0.7))
    assert heavy.way in (plain.way, "straight")


def test_first_flights_at_the_place_the_designer_gives() -> None:
    """The designer's mark on the root is the number on the card, and the target comes later."""
    raw = stubby() | {"balance": {"target": {"mac": 0.25}, "first": {"root": 44}}}
    card = guide(dossier_of(raw)).card
    assert card.balance == pytest.approx(0.044)
    assert card.later == pytest.approx(0.25 * 0.2)  # a quarter of the straight chord of 200 mm
    assert guide(model()).card.later is None


def _without(raw: Raw, name: str) -> Raw:
    return raw | {"items": [thing for thing in raw["items"] if thing["name"] != name]}


def test_a_high_thrust_line_starts_with_more_up_elevator() -> None:
    """It noses down when the throttle opens; elementary statics. A throw has no power."""

    def held(height: float, launch: str) -> float:
        raw = stubby() | {"launches": [launch]}
        raw["items"][0]["at"]["z"] = height
        start = guide(dossier_of(raw)).card.start
        assert start is not None
        return -start.angle if start.way == "up" else start.angle

    assert held(80, "ground") < held(0, "ground") - math.radians(0.5)
    assert held(80, "hand") == pytest.approx(held(0, "hand"), abs=math.radians(0.3))


def test_throw_left_beyond_the_start() -> None:
    card = guide(model()).card
    assert card.start is not None
    (elevator,) = [t for t in card.throws if t.key == card.start.key]
    assert card.start.left == pytest.approx(elevator.full - card.start.height)


def test_no_glide_test_that_wants_more_wind_than_a_first_flight_may_have() -> None:
    """The card's own wind limit, a third of the stall speed (common practice, no source)."""
    light = guide(model()).card.glide
    raw = stubby()
    raw["items"].append(item("lump", 1500, x=130))
    heavy = guide(dossier_of(raw)).card
    assert light is not None
    assert light.possible
    assert heavy.glide is not None
    assert heavy.glide.wind > heavy.wind
    assert not heavy.glide.possible


def test_a_glide_goes_no_further_than_its_energy() -> None:
    """Height and speed above the stall, both spent at the same ratio: conservation of energy."""
    card = guide(model()).card
    assert card.glide is not None
    height = 1.6 + (card.glide.speed**2 - card.stall**2) / (2 * 9.80665)
    assert card.glide.longest / card.glide.distance == pytest.approx(height / 1.6)


@pytest.mark.parametrize(("room", "offered"), [(0.01, False), (0.03, True)])
def test_a_step_of_the_balance_point_stays_on_the_card(room: float, offered: bool) -> None:
    """No step of 2 % past the place that the same page says never to pass."""
    raw = stubby(arm=400, tail_size=1.3)
    raw["items"] = raw["items"][:1]
    raw["batteries"] = [battery(mass=120)]
    raw["bay"] = {"from": -40, "to": 200, "x": 20}
    share = dossier_of(raw).balance.loadings[0].state.mac_share
    raw["balance"] = {
        "target": {"mac": share},
        "forward": {"mac": share - room},
        "aft": {"mac": share + room},
    }
    dossier = dossier_of(raw)
    assert ("balance point forward" in actions(dossier, "twitchy in pitch")) == offered
    assert ("balance point aft" in actions(dossier, "dives in the glide")) == offered


def test_card_stays_within_every_limit() -> None:
    dossier = model()
    card, flight, target = guide(dossier).card, dossier.flight, dossier.balance.target
    assert flight is not None
    assert target is not None
    root = dossier.airframe.reference.root_x
    if card.forward is not None and card.aft is not None:
        assert card.aft <= min(flight.limits.aft_x, target.aft_x) - root + 1e-12
        assert card.forward >= target.forward_x - root - 1e-12
        assert card.within == (card.forward <= card.balance <= card.aft)
    else:
        assert not card.within


def test_card_speeds_follow_the_stall() -> None:
    """1.3 stall speeds on the approach and 1.2 at lift-off: airworthiness practice, from memory."""
    dossier = dossier_of(stubby() | {"launches": ["ground"]})
    card = guide(dossier).card
    assert card.approach == pytest.approx(1.3 * card.stall)
    assert card.lift_off == pytest.approx(1.2 * card.stall)
    assert card.turn_stall == pytest.approx(card.stall * 2**0.25, rel=0.02)  # n = √2 at 45°
    assert card.glide is None
    assert guide(model()).card.glide is not None


def test_hold_height_by_the_drag() -> None:
    """Elementary: power is thrust times speed, and the power is that of the flight calculation."""
    power, flight = guide(model()).card.power, model().flight
    assert power is not None
    assert flight is not None
    table = flight.performance
    worked_out = np.interp(flight.cruise, table.speeds, table.powers)
    assert power.level_power == pytest.approx(worked_out, rel=0.01)
    assert power.level_power == pytest.approx(power.level_thrust * power.level_speed)


def test_phugoid_of_the_guide_is_that_of_the_calculation() -> None:
    step = actions(model(), "hunts up and down")["let it swing"]
    flight = model().flight
    assert flight is not None
    assert flight.motions.phugoid is not None
    assert step.time == flight.motions.phugoid.period


def test_no_masses_no_guide() -> None:
    dossier = model()
    assert dossier.flight is not None
    raw = glider()
    raw["items"] = []
    for part in raw["surfaces"].values():
        part["parts"] = []
    empty = dossier_of(raw)
    assert empty.trim_out is None
    assert trim_out_of(design_of(raw), empty.airframe, empty.balance, dossier.flight) is None


def test_feel_names_this_designs_limits() -> None:
    dossier = model()
    flight = dossier.flight
    assert flight is not None
    ahead, behind = feel_of(dossier.airframe, flight)
    aft = 1000 * (flight.limits.aft_x - dossier.airframe.reference.root_x)
    assert f"Behind {aft:.0f} mm" in " ".join(behind.signs)
    assert any("up-elevator at the stall" in sign for sign in ahead.signs)
