"""Each rule about what is claimed and known speaks and keeps silent as it should."""

from __future__ import annotations

from typing import Any

import pytest

from tests.designs import Raw, battery, biplane, dossier_of, glider

FLIGHT = {"date": "2026-06-01", "conditions": "calm", "happened": "It flew."}
STEP = {"title": "Cut the wing", "minutes": 30}


def rules(raw: Raw, **more: Any) -> set[str]:
    return {finding.rule for finding in dossier_of(raw, **more).findings}


@pytest.mark.parametrize(
    ("status", "flights", "earned", "fires"),
    [
        ("flown", [], "built", True),
        ("flown", [FLIGHT], "flown", False),
        ("built", [], "built", False),
        ("sketch", [FLIGHT], "sketch", False),
    ],
)
def test_flown_needs_a_flight(status: str, flights: list[Raw], earned: str, fires: bool) -> None:
    raw = glider() | {"status": status}
    assert dossier_of(raw, flights=flights).status == earned
    assert ("flown-without-log" in rules(raw, flights=flights)) is fires


@pytest.mark.parametrize(
    ("declared", "fires"), [(None, False), ("conventional", False), ("tailless", True)]
)
def test_declared_layout(declared: str | None, fires: bool) -> None:
    raw = glider() | ({"layout": declared} if declared else {})
    assert ("layout" in rules(raw)) is fires


def test_biplane_without_a_tail_is_told() -> None:
    raw = biplane() | {"layout": "biplane"}
    assert "layout" not in rules(raw)
    del raw["surfaces"]["tailplane"]
    assert {"layout", "no-target"} <= rules(raw)


def test_steps() -> None:
    assert "no-steps" in rules(glider())
    assert "no-steps" not in rules(glider(), steps=[STEP])


@pytest.mark.parametrize(("measured", "fires"), [(49, True), (51, False)])
def test_half_of_the_mass_weighed(measured: float, fires: bool) -> None:
    """100 g in all: what is weighed against what is only given."""
    raw = glider() | {"allowance": {"glue": 0}}
    for each in raw["surfaces"].values():
        del each["parts"]
    raw["items"] = [
        {"name": "weighed", "mass": measured, "measured": True, "at": {"x": 200}},
        {"name": "given", "mass": 100 - measured, "at": {"x": 200}},
    ]
    assert ("mostly-worked-out" in rules(raw)) is fires


def test_a_weighed_battery_counts() -> None:
    raw = glider() | {"batteries": [battery(mass=1000)], "bay": {"from": 0, "to": 100}}
    assert "mostly-worked-out" in rules(raw)
    raw["batteries"][0]["measured"] = True
    assert "mostly-worked-out" not in rules(raw)
