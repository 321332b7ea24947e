"""Each rule about the balance speaks when it should and keeps silent when it should not."""

from __future__ import annotations

from typing import Any

import pytest

from plansgen.review.finding import Finding, at_or_above
from tests.designs import Raw, balance_of, bare, battery, canard, dossier_of, glider, item, wing


def findings(raw: Raw, **more: Any) -> dict[str, Finding]:
    return {finding.rule: finding for finding in dossier_of(raw, **more).findings}


def balanced(share: float = 0.25, **balance: Any) -> Raw:
    """The glider with its nose weight placed for a share of the chord, 200 from x = 150."""
    raw = glider() | {"balance": balance}
    loading = balance_of(raw).ready
    assert loading is not None
    state = loading.state
    wanted = 0.15 + share * 0.2
    x = 0.01 - (state.x - wanted) * state.mass / 0.04
    raw["items"][0]["at"] = {"x": x * 1000}
    return raw


def test_a_balanced_glider_has_nothing_to_mend() -> None:
    rules = set(findings(balanced(0.28)))
    small_tails = {"tail-volume-horizontal", "tail-volume-vertical", "spiral"}
    unknown = {"mostly-worked-out", "no-steps", "strength-unknown", "pattern-sheet-size"}
    assert rules - small_tails == unknown


def test_no_masses() -> None:
    found = findings(bare({"wing": wing()}))["no-masses"]
    assert found.severity == "severe"
    assert "no-masses" not in findings(glider())


def test_no_target_for_a_canard() -> None:
    found = findings(canard())["no-target"]
    assert found.severity == "severe"
    assert "canard" in found.title
    assert "no-target" not in findings(canard() | {"balance": {"target": {"root": -30}}})
    assert "no-target" not in findings(glider())


@pytest.mark.parametrize(
    ("share", "title"),
    [(0.24, "Nose-heavy as it stands"), (0.26, None), (0.33, None), (0.34, "Tail-heavy")],
)
def test_limits_of_the_rule(share: float, title: str | None) -> None:
    found = findings(balanced(share)).get("balance-limits")
    if title is None:
        assert found is None
        return
    assert found is not None
    assert found.title.startswith(title)
    assert found.severity == "severe"
    assert found.limit == "25.0 to 33.3 %"
    assert found.number == f"{share * 100:.1f} % of the mean aerodynamic chord"


def test_limits_name_the_ballast_and_what_it_makes() -> None:
    raw = balanced(0.40, nose={"x": 0}, target={"mac": 0.25})
    loading = balance_of(raw).ready
    assert loading is not None
    mass = loading.state.mass
    # statics: m × 30 mm behind the target from 200 mm ahead of it
    grams = mass * 0.03 / 0.2 * 1000
    do = findings(raw)["balance-limits"].do
    assert do == (
        f"Fix {grams:.0f} g at the nose (x = 0 mm), which makes it {mass * 1000 + grams:.0f} g."
    )


def with_battery(share: float, **bay: float) -> Raw:
    raw = balanced(share, target={"mac": 0.25}, nose={"x": 0}, tail={"x": 760})
    state = balance_of(raw).ready
    assert state is not None
    x = state.state.x * 1000  # a battery at the balance point does not move it
    raw["batteries"] = [battery(mass=100)]
    raw["bay"] = {"from": x - bay["ahead"], "to": x + bay["behind"], "x": x}
    return raw


def test_a_battery_that_reaches_makes_it_a_caution() -> None:
    found = findings(with_battery(0.35, ahead=120, behind=10))["balance-limits"]
    assert found.severity == "caution"
    assert found.title == "Tail-heavy with three cells"
    # 20 mm of 264 g slide as 53 mm of 100 g
    assert found.do.startswith("Slide the battery 53 mm forward, its middle to x = ")


def test_a_battery_that_does_not_reach_is_severe() -> None:
    found = findings(with_battery(0.35, ahead=20, behind=10))["balance-limits"]
    assert found.severity == "severe"
    assert found.do.startswith("Slide the battery forward to the end of its bay, ")
    assert ", and fix " in found.do


def test_no_place_for_ballast_is_said_even_after_sliding() -> None:
    raw = with_battery(0.35, ahead=20, behind=10)
    raw["balance"]["nose"] = {"x": 300}
    do = findings(raw)["balance-limits"].do
    assert do.startswith("Slide the battery forward")
    assert do.endswith("move equipment: no ballast place lies on the right side.")
    del raw["batteries"], raw["bay"]
    do = findings(raw)["balance-limits"].do
    assert do == "Move equipment: no ballast place lies on the right side."


def test_another_battery_out_of_limits_is_a_caution() -> None:
    """The usual one sits 4 mm behind the balance point, where the bay begins; the big one cannot
    come forward far enough, which matters to nobody who does not fly it.
    """
    raw = with_battery(0.25, ahead=0, behind=120)
    bay = raw["bay"]
    bay["from"] = bay["x"] = bay["x"] + 4
    raw["batteries"].append(battery("big", 160, x=bay["to"]))
    raw["balance"] |= {"forward": {"mac": 0.24}, "aft": {"mac": 0.26}}
    found = findings(raw)["balance-limits"]
    assert (found.severity, found.title) == ("caution", "Tail-heavy with big")
    assert found.source == "the designer's limits"
    assert ", and fix " in found.do


def test_bay_that_falls_short_within_limits() -> None:
    raw = with_battery(0.27, ahead=2, behind=2)
    found = findings(raw)["bay-reach"]
    assert (found.severity, found.number) == ("note", "4 mm off the target")
    assert "bay-reach" not in findings(with_battery(0.27, ahead=80, behind=2))
    assert "bay-reach" not in findings(with_battery(0.25, ahead=2, behind=2))


@pytest.mark.parametrize(
    ("share", "fires"), [(0.20, True), (0.25, False), (0.33, False), (0.36, True)]
)
def test_target_against_the_rule(share: float, fires: bool) -> None:
    assert ("target-rule" in findings(balanced(share, target={"mac": share}))) is fires


def test_rule_is_not_held_against_other_layouts() -> None:
    raw = canard() | {"balance": {"target": {"root": -30}}}
    assert "target-rule" not in findings(raw)


@pytest.mark.parametrize(
    ("marks", "fires"),
    [
        ({"forward": {"mac": 0.31}}, True),
        ({"aft": {"root": 58}}, True),
        ({"forward": {"mac": 0.33}, "aft": {"mac": 0.26}}, True),
        ({"forward": {"root": 50}, "aft": {"mac": 0.33}}, False),
        ({"forward": {"mac": 0.3}, "aft": {"mac": 0.3}}, False),
    ],
)
def test_target_outside_its_own_limits(marks: dict[str, Any], fires: bool) -> None:
    rules = findings(balanced(0.3, target={"mac": 0.3}, **marks))
    assert ("target-limits" in rules) is fires
    assert "target-limits" not in findings(glider())


@pytest.mark.parametrize(
    ("y", "heavy", "light"), [(250, "starboard", "port"), (-250, "port", "starboard")]
)
def test_one_wing_heavy(y: float, heavy: str, light: str) -> None:
    """40 g at 250 of 205 g: 49 mm out; 20 g at the other tip (500) levels it."""
    raw = balanced()
    raw["items"].append(item("box", 40, x=200, y=y))
    found = findings(raw)["lateral-balance"]
    assert found.title == f"The {heavy} wing is heavy"
    assert found.do == f"Move equipment to {light}, or fix 20 g at the {light} tip."
    assert found.severity == "caution"


def test_a_little_to_one_side_is_let_go() -> None:
    """5 mm of 1 m of span is the limit."""
    raw = balanced()
    raw["items"].append(item("servo", 4, x=200, y=230))
    side = balance_of(raw).lateral
    assert side is not None
    assert 0.004 < side.y < 0.005 + 1e-3
    assert ("lateral-balance" in findings(raw)) is (side.y > 0.005)
    raw["items"][-1]["mass"] = 3
    assert "lateral-balance" not in findings(raw)


def test_gravest_first() -> None:
    order = [finding.severity for finding in dossier_of(canard()).findings]
    assert order == sorted(order, key=["severe", "caution", "note"].index)


def test_at_or_above() -> None:
    assert at_or_above("severe", "caution")
    assert at_or_above("caution", "caution")
    assert not at_or_above("note", "caution")
