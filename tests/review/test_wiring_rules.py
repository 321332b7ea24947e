"""Rules about the wiring: each fires where it should, and is silent where it should be."""

from __future__ import annotations

from typing import Any

import pytest

from plansgen.drive.wire import advised_current, area_of
from plansgen.review.finding import Finding
from plansgen.review.wiring_rules import WIRING_RULES, wiring
from tests.designs import Raw
from tests.drive.test_wiring import CONTROLLER, electric, wired


def lead(gauge: int = 12, length: float = 100, **more: Any) -> Raw:
    return {"name": "lead", "from": "battery", "gauge": gauge, "length": length, **more}


def found(*, amperes: float = 20.0, servos: int = 2, **power: Any) -> dict[str, Finding]:
    graph = wired(electric(servos=servos, **power), amperes=amperes)
    findings = {finding.rule: finding for finding in wiring(graph)}
    assert set(findings) <= WIRING_RULES
    return findings


def test_a_well_wired_model_is_told_nothing() -> None:
    good = {"wires": [lead()], "connectors": [{"name": "plug", "most_current": 60}]}
    assert found(arming_plug=True, fuse=40, **good) == {}


@pytest.mark.parametrize(("gauge", "severity"), [(12, None), (16, "caution"), (20, "severe")])
def test_thin_leads(gauge: int, severity: str | None) -> None:
    """20 A at 15 A for every mm² (common practice, no source); twice that is too hot."""
    finding = found(wires=[lead(gauge)]).get("wire-thin")
    assert (finding.severity if finding else None) == severity


def test_the_advised_gauge_cures_it() -> None:
    do = found(amperes=60.0, wires=[lead(16)])["wire-thin"].do
    gauge = int(do.split("AWG ")[1].split(",")[0])
    assert advised_current(area_of(gauge)) >= 60.0
    assert "wire-thin" not in found(amperes=60.0, wires=[lead(gauge)])


@pytest.mark.parametrize(("most", "severity"), [(30, None), (19, "caution"), (10, "severe")])
def test_the_makers_figure_replaces_practice(most: float, severity: str | None) -> None:
    finding = found(wires=[lead(20, most=most)]).get("wire-thin")
    assert (finding.severity if finding else None) == severity


@pytest.mark.parametrize(("most", "severity"), [(25, None), (15, "caution"), (10, "severe")])
def test_weak_plugs(most: float, severity: str | None) -> None:
    finding = found(connectors=[{"name": "plug", "most_current": most}]).get("connector")
    assert (finding.severity if finding else None) == severity


def test_long_leads_lose_voltage() -> None:
    assert "voltage-lost" not in found(wires=[lead(12, 100)])
    assert "voltage-lost" in found(wires=[lead(16, 1500)])


@pytest.mark.parametrize(("fuse", "severity"), [(15, "severe"), (22, "caution"), (30, None)])
def test_a_fuse_that_blows(fuse: float, severity: str | None) -> None:
    finding = found(fuse=fuse).get("fuse-small")
    assert (finding.severity if finding else None) == severity


def test_a_fuse_that_protects_nothing() -> None:
    assert "fuse-large" in found(fuse=60, wires=[lead(16)])
    assert "fuse-large" not in found(fuse=30, wires=[lead(12)])


def test_arming() -> None:
    assert found()["arming-plug"].severity == "note"
    assert "arming-plug" not in found(arming_plug=True)
    assert "arming-plug" not in found(amperes=5.0)


def test_unknown_sizes_and_places() -> None:
    told = found(wires=[{"name": "stray", "gauge": 20, "length": 100}])
    assert told["wire-not-placed"].number == "stray"
    assert "AWG 14" in told["wire-size"].do
    assert "wire-size" not in found(amperes=5.0)


def test_two_motors_on_one_controller() -> None:
    raw = electric()
    for name, kind in (("second motor", "motor"), ("second propeller", "propeller")):
        raw["items"].append({"name": name, "kind": kind, "mass": 30, "at": {"x": 0}})
    first = raw["power"]["drives"][0]
    second = {**first, "motor": "second motor", "propeller": "second propeller"}
    raw["power"]["drives"] = [first, {**second, "controller": CONTROLLER}]
    rules = {finding.rule for finding in wiring(wired(raw))}
    assert "one-controller" in rules


def test_many_servos_on_a_small_supply() -> None:
    assert "receiver-supply" not in found(servos=4)
    assert "receiver-supply" in found(servos=8)
