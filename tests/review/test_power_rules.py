"""Rules about the drive: each fires where its limit is crossed, and is silent where it is not."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from plansgen.dossier import Dossier
from plansgen.flight.engine_out import EngineOut
from plansgen.review.finding import Finding
from plansgen.review.power_rules import POWER_RULES, power
from tests import designs


@cache
def flown() -> Dossier:
    raw = designs.powered()
    elevator = {"kind": "elevator", "from": 0, "to": 150, "chord": 0.3}
    raw["surfaces"]["tailplane"]["controls"] = {"elevator": elevator}
    return designs.dossier_of(raw)


def found(*, share: float | None = None, pack: Any = None, **powered: Any) -> dict[str, Finding]:
    """Findings of the powered trainer with some of its results changed."""
    drive, flight = flown().drive, flown().flight
    assert drive is not None
    assert flight is not None
    assert flight.powered is not None
    if share is not None:
        limits = [replace(one, share=share, value=share * one.most) for one in drive.limits]
        drive = replace(drive, limits=tuple(limits))
    if pack:
        drive = replace(drive, pack=replace(drive.pack, **pack))
    changed = replace(flight, powered=replace(flight.powered, **powered))
    return {one.rule: one for one in power(drive, changed)}


def test_all_is_well() -> None:
    assert not {one.rule for one in flown().findings if one.severity != "note"} & POWER_RULES


@pytest.mark.parametrize(
    ("share", "severity"), [(0.5, None), (0.95, "note"), (1.05, "caution"), (1.3, "severe")]
)
def test_a_limit(share: float, severity: str | None) -> None:
    finding = found(share=share).get("propeller-turns")
    assert (finding.severity if finding else None) == severity
    if finding:
        assert "150 000" in finding.limit
        assert finding.source == "common practice, no source"


def test_limits_given_in_the_file_are_found() -> None:
    raw = designs.powered()
    raw["power"]["drives"][0] |= {"most_current": 3.0, "controller_current": 3.0}
    rules = {one.rule: one for one in designs.dossier_of(raw).findings}
    assert rules["motor-current"].severity == "severe"
    assert rules["controller-current"].severity == "severe"
    assert "3.0 A" in rules["motor-current"].limit


def test_cold() -> None:
    assert "cold-battery" not in found()
    assert "85 %" in found(pack={"kept": 0.85, "temperature": 273.15})["cold-battery"].number


def test_too_little_thrust() -> None:
    assert "thrust-to-weight" not in found(thrust_to_weight=0.5)
    assert found(thrust_to_weight=0.3)["thrust-to-weight"].severity == "note"
    assert found(thrust_to_weight=0.15)["thrust-to-weight"].severity == "caution"
    assert found(top_speed=None)["no-level-flight"].severity == "severe"


def test_thrusts_that_do_not_agree() -> None:
    assert flown().flight is not None
    static = flown().flight.powered.static  # type: ignore[union-attr]
    apart = replace(static, measured=3.0, apart=0.6)
    assert "60 %" in found(static=apart)["thrust-apart"].number
    assert "thrust-apart" not in found(static=replace(static, measured=3.0, apart=0.1))


def test_a_high_thrust_line() -> None:
    assert flown().flight is not None
    (line,) = flown().flight.powered.thrust_lines  # type: ignore[union-attr]
    high = replace(line, moment=-0.3, height=0.08)
    assert "above" in found(thrust_lines=(high,))["thrust-line"].number
    assert "thrust-line" not in found(thrust_lines=(replace(line, moment=0.0),))


def test_one_motor() -> None:
    assert flown().flight is not None
    stall = flown().flight.stall.speed  # type: ignore[union-attr]
    held = {speed: found(engine_out=EngineOut((), speed)) for speed in (stall, 1.5 * stall, None)}
    assert "one-motor" not in held[stall]
    assert held[1.5 * stall]["one-motor"].severity == "note"
    assert held[None]["one-motor"].severity == "caution"


def test_a_motor_that_does_not_turn_is_told() -> None:
    """Below its no-load current a motor gives no torque (motor equation)."""
    drive = flown().drive
    assert drive is not None
    unit = drive.units[0]
    still = replace(unit, static=replace(unit.static, thrust=0.0, rpm=0.0))
    dead = [one.severity for one in power(replace(drive, units=(still,)), None)]
    assert "severe" in dead
    assert "no-thrust" not in found()
