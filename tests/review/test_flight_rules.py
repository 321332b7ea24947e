"""Each rule about flight speaks when it should, says by how much, and never falls over."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
import yaml

from plansgen.airframe.build import Airframe
from plansgen.dossier import Dossier
from plansgen.flight.lattice import Lattice
from plansgen.flight.limits import ForwardLimit, Limits
from plansgen.flight.pitching import PitchModel
from plansgen.flight.result import FlightResult
from plansgen.flight.stall import Stall, work_out_stall
from plansgen.review import flight_rules, motion_rules, speed_rules, tail_rules
from plansgen.review.finding import Finding
from tests.designs import EVERY_LAYOUT, bare, design_of, dossier_of, glider, item, skin, surface
from tests.flight.stubby import stubby


@cache
def short() -> Dossier:
    """The short-coupled model."""
    return dossier_of(stubby())


def flight_of(dossier: Dossier) -> FlightResult:
    assert dossier.flight is not None
    return dossier.flight


def rules(dossier: Dossier) -> dict[str, Finding]:
    return {finding.rule: finding for finding in dossier.findings}


def numbers(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"\d+(?:\.\d+)?", text)]


@pytest.mark.parametrize("build", [*EVERY_LAYOUT.values(), stubby])
def test_no_layout_makes_a_rule_fall_over(build: Any) -> None:
    for finding in dossier_of(build()).findings:
        texts = (finding.number, finding.limit, finding.why, finding.do, finding.source)
        assert all(texts), finding.rule
        assert not re.search(r"\bnan\b|\binf\b|None", " ".join(texts)), finding


def test_the_short_coupled_model_is_told_what_helps() -> None:
    """Common practice, no source: slow, short-coupled models run out of elevator behind the wing
    and get it back with the propeller's wash.
    """
    found = rules(short())["elevator-when-slow"]
    ways = flight_of(short()).help
    assert ways is not None
    assert ways.tail_arm is not None
    assert f"tail arm {1000 * ways.tail_arm:.0f} mm gives 25 %" in found.do
    assert "a burst of throttle" in found.do
    assert "slow air behind the wing" in found.why


def test_small_tail_is_sized_to_the_textbook() -> None:
    """D. P. Raymer, *Aircraft Design: A Conceptual Approach*, table 6.4: homebuilt 0.50 and 0.04.

    The arm told, put into V = S l/(S c), gives the volume told.
    """
    found = rules(short())["tail-volume-horizontal"]
    assert found.limit.startswith("0.50 to 1.20")
    arm = numbers(found.do)[0] / 1000
    reference = short().airframe.reference
    area = next(t.area for t in short().airframe.tails if t.direction == "horizontal")
    assert area * arm / (reference.area * reference.mac) == pytest.approx(0.50, abs=0.001)
    assert rules(short())["tail-volume-vertical"].limit.startswith("0.04")


def test_no_tail_arm_longer_than_the_wing_is_wide() -> None:
    """A tail volume under a tenth wants an arm longer than the span; only the area is told then."""
    dossier = dossier_of(stubby(tail_size=0.5))
    found = rules(dossier)["tail-volume-horizontal"]
    volume = sum(t.volume for t in dossier.airframe.tails if t.direction == "horizontal")
    assert volume < 0.1
    assert "arm" not in found.do
    told, now, wanted = numbers(found.do.replace("dm²", ""))
    assert told / now == pytest.approx(wanted / volume, rel=0.05)


def test_kinds_of_the_textbook_table() -> None:
    """Raymer, table 6.4: sailplane 0.02, homebuilt 0.04, flying boat 0.70 and 0.06."""
    raw = glider()
    frame = dossier_of(raw).airframe
    assert tail_rules.kind_of(design_of(raw), frame).upright == 0.04
    water = tail_rules.kind_of(design_of(raw | {"launches": ["water"]}), frame)
    assert (water.level, water.upright) == (0.70, 0.06)
    slim = replace(frame, reference=replace(frame.reference, aspect_ratio=12.0))
    assert tail_rules.kind_of(design_of(raw), slim).upright == 0.02


# --- stability and the band --------------------------------------------------------------------


def test_unstable_is_severe_and_the_ballast_told_reaches_the_aft_limit() -> None:
    dossier = dossier_of(glider())
    found = rules(dossier)["static-margin"]
    assert found.severity == "severe"
    raw = glider()
    mass, at = numbers(found.do)[:2]
    raw["items"].append(item("ballast", mass, x=at))
    after = dossier_of(raw)
    assert after.balance.ready is not None
    share = after.balance.ready.state.mac_share
    assert share == pytest.approx(flight_of(after).aft_share, abs=0.005)


def limits(*, forward: float | None, aft: float) -> Limits:
    """Limits on a chord of 200 mm from x = 0, by their shares."""
    chord = 0.2
    end = forward is not None and ForwardLimit(forward * chord, forward, 1.0, -0.3, "travel")
    room = (aft - forward) * chord if forward is not None else None
    return Limits(end or None, aft * chord, aft, (aft + 0.05) * chord, 0.05, room)


@pytest.mark.parametrize(
    ("forward", "aft", "sentences"),
    [(0.1, 0.4, 0), (None, 0.34, 0), (0.1, 0.30, 1), (0.28, 0.4, 1), (0.28, 0.30, 2)],
)
def test_rule_of_thumb_against_the_band(forward: float | None, aft: float, sentences: int) -> None:
    """The trade's rule is 25 to 33 % (common practice, no source)."""
    assert len(flight_rules.rule_against_band(limits(forward=forward, aft=aft))) == sentences


def test_a_band_without_room_is_severe() -> None:
    dossier = short()
    flight = replace(flight_of(dossier), limits=limits(forward=0.4, aft=0.3))
    found = [*flight_rules.balance_band(dossier.airframe, dossier.balance, flight)]
    assert found[0].rule == "balance-room"
    assert found[0].severity == "severe"
    assert "20.0 mm behind" in found[0].number
    assert not [*flight_rules.rule_of_thumb(dossier.balance, flight)]


# --- stall and speeds --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stall", "severity"), [(6.0, None), (8.1, None), (8.5, "caution"), (9.5, "severe")]
)
def test_hand_launch(stall: float, severity: str | None) -> None:
    """A person throws at about 6 to 9 m/s (estimate); the mass told stalls slow enough (V² ∝ m)."""
    dossier = short()
    flight = flight_of(dossier)
    flight = replace(flight, stall=replace(flight.stall, speed=stall))
    found = [*speed_rules.launch(design_of(stubby()), dossier.balance, flight)]
    assert [f.severity for f in found] == ([severity] if severity else [])
    if severity and dossier.balance.ready:
        mass = numbers(found[0].do)[-1] / 1000
        then = stall * math.sqrt(mass / dossier.balance.ready.state.mass)
        assert 1.1 * then == pytest.approx(9.0, abs=0.02)
    water = design_of(stubby() | {"launches": ["water"]})
    assert not [*speed_rules.launch(water, dossier.balance, flight)]


def tapered(washout: float) -> tuple[Airframe, Stall]:
    """A wing tapered to a third of its chord, which lets go outboard; washout in degrees."""
    wing = surface("wing", [(0, 0, 240), (600, 40, 80)], parts=[skin()])
    wing["section"] = {"kind": "naca", "digits": "2412"}
    wing["stations"][0]["washout"] = 0
    wing["stations"][-1]["washout"] = washout
    dossier = dossier_of(bare({"wing": wing}, items=[item("nose", 500, x=0)]))
    frame, flight = dossier.airframe, flight_of(dossier)
    model = PitchModel(frame, lattice=Lattice(frame.surfaces), point=(0.06, 0.0, 0.0))
    return frame, work_out_stall(model, mass=0.5, air=flight.air, banks=())


def test_washout_told_moves_the_stall_inboard() -> None:
    """Schrenk's half-of-the-section's-own basic load against the lattice of the wing built anew.

    A straight-tapered wing of taper ratio a third stalls outboard (R. F. Anderson, NACA Report
    572). The rule aims at 60 % of the half span or less.
    """
    frame, stall = tapered(0.0)
    assert stall.first_share > 0.6
    washout = speed_rules.washout_needed(frame, stall)
    assert washout is not None
    assert 0.0 < washout <= math.radians(6.0)
    _, mended = tapered(math.degrees(washout))
    assert mended.first_share <= 0.6
    assert mended.first_share < stall.first_share


def test_stall_in_the_middle_needs_no_word() -> None:
    assert "tip-stall" not in rules(short())


def test_reynolds_range_told_is_that_of_the_tables() -> None:
    from importlib.resources import files

    text = files("plansgen.data").joinpath("section_polars.yaml").read_text("utf-8")
    table = yaml.safe_load(text)["reynolds"]
    assert (min(table), max(table)) == speed_rules.DATA
    dossier = short()
    flight = flight_of(dossier)
    flight = replace(flight, stall=replace(flight.stall, outside_data=True))
    assert [f.rule for f in speed_rules.outside_data(flight)] == ["section-data"]


# --- motions -----------------------------------------------------------------------------------


def test_spiral_dihedral_told_is_neutral_by_the_textbook() -> None:
    """R. C. Nelson, *Flight Stability and Automatic Control*, ch. 5: neutral at Cl_β Cn_r = Cn_β
    Cl_r, and Cl_β grows with the effective dihedral.
    """
    flight = flight_of(short())
    product, dihedral = flight.rules.spiral_product, flight.rules.effective_dihedral
    assert product is not None
    more = math.radians(numbers(rules(short())["spiral"].do)[0])
    assert product * (dihedral + more) / dihedral == pytest.approx(1.0, abs=0.01)


def test_a_model_that_nothing_pitches_is_told_so() -> None:
    """Free flight may have none; whoever builds a radio model must know (common practice)."""
    raw = stubby()
    assert "no-pitch-control" not in rules(dossier_of(raw))
    del raw["surfaces"]["tailplane"]["controls"]
    found = rules(dossier_of(raw))["no-pitch-control"]
    assert found.severity == "caution"


def test_no_wind_is_told_that_a_first_flight_may_not_have() -> None:
    """A third of the stall speed (common practice, no source) against what the arm lacks."""
    raw = stubby()
    raw["items"].append(item("lump", 2500, x=130))
    dossier = dossier_of(raw)
    found = rules(dossier)["hand-launch"]
    stall = flight_of(dossier).stall.speed
    assert 1.1 * stall - 9.0 > stall / 3
    assert "Wait for" not in found.do


def test_a_model_that_nothing_rolls_is_severe() -> None:
    raw = glider()
    raw["surfaces"]["tailplane"]["controls"] = {
        "elevator": {"kind": "elevator", "from": 0, "to": 180, "chord": 0.3}
    }
    found = rules(dossier_of(raw))["rudder-roll"]
    assert (found.severity, found.title) == ("severe", "Nothing rolls it")
    assert not [*motion_rules.steering(short().airframe, flight_of(short()))]


# --- what cannot fly ---------------------------------------------------------------------------


def upright() -> Any:
    """A wing with its panels at 90°."""
    raw = glider()
    raw["surfaces"]["wing"]["stations"] = [
        {"y": 0, "z": 0, "chord": 200},
        {"y": 0.01, "z": 500, "chord": 200},
    ]
    return raw


def coincident() -> Any:
    """Two wings in the same place."""
    raw = glider()
    raw["surfaces"]["other"] = raw["surfaces"]["wing"]
    return raw


@pytest.mark.parametrize("build", [upright, coincident])
def test_shapes_that_cannot_fly_are_told_in_words(build: Any) -> None:
    dossier = dossier_of(build())
    if dossier.flight is None:
        found = rules(dossier)["flight-refused"]
        assert found.severity == "severe"
        assert found.number == dossier.flight_refusal
        assert dossier.trim_out is None
    for finding in dossier.findings:
        assert "nan" not in f"{finding.number} {finding.do}".split()


def test_a_refusal_is_told_once() -> None:
    dossier = dossier_of(bare({"wing": surface("wing", [(0, 0, 200), (500, 0, 200)])}))
    assert dossier.flight_refusal
    assert set(rules(dossier)) >= {"no-masses"}
    assert "flight-refused" not in rules(dossier)
    (found,) = flight_rules.refused(short().balance, "the wing gives no lift")
    assert found.number == "the wing gives no lift"
