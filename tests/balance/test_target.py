"""Where it must balance: the designer's own place, the rule, or nothing."""

from __future__ import annotations

from typing import Any

import pytest

from plansgen.balance.target import OWN_HALF_BAND, RULE_AFT, RULE_FORWARD, Target
from tests.designs import balance_of, biplane, canard, glider, tailless, tandem


def target(raw: dict[str, Any], **balance: Any) -> Target:
    found = balance_of(raw | {"balance": balance}).target
    assert found is not None
    return found


@pytest.mark.parametrize("build", [glider, biplane])
def test_rule_for_a_wing_with_a_tail_behind(build: Any) -> None:
    """Common practice, no source: begin near a quarter of the chord, keep within a third."""
    rule = target(build())
    assert (rule.origin, rule.limits) == ("rule", "rule")
    assert (rule.share, rule.forward_share, rule.aft_share) == (0.25, RULE_FORWARD, RULE_AFT)
    assert pytest.approx((0.25, 1 / 3)) == (RULE_FORWARD, RULE_AFT)


@pytest.mark.parametrize("build", [tailless, canard, tandem])
def test_no_rule_for_other_layouts(build: Any) -> None:
    result = balance_of(build())
    assert result.target is None
    assert not result.rule_applies
    assert all(loading.remedy is None for loading in result.loadings)


@pytest.mark.parametrize("build", [tailless, canard, tandem, glider])
def test_own_target_goes_for_every_layout(build: Any) -> None:
    own = target(build(), target={"mac": 0.2})
    assert (own.origin, own.share) == ("own", 0.2)


def test_share_and_root_are_the_same_place() -> None:
    """Wing of 200 chord from x = 150: 30 % is 60 behind the leading edge, x = 210."""
    for mark in ({"mac": 0.3}, {"root": 60}):
        own = target(glider(), target=mark)
        assert own.share == pytest.approx(0.3)
        assert (own.x, own.from_root) == pytest.approx((0.21, 0.06))


def test_root_of_a_swept_wing_is_not_the_mean_chord() -> None:
    """c_r 260, tip 150 at 220 back over 500: c̄ and x_LE by Raymer's formulae."""
    own = target(tailless(), target={"root": 130})
    taper = 150 / 260
    mac = 2 / 3 * 260 * (1 + taper + taper**2) / (1 + taper)
    edge = 220 * (1 + 2 * taper) / (3 * (1 + taper))
    assert own.share == pytest.approx((130 - edge) / mac)
    assert own.from_root == pytest.approx(0.13)


def test_a_place_ahead_of_the_wing() -> None:
    """A canard may balance ahead of its wing's leading edge."""
    assert target(canard(), target={"root": -40}).from_root == pytest.approx(-0.04)


def test_limits_given_assumed_and_half_given() -> None:
    both = target(glider(), target={"mac": 0.3}, forward={"mac": 0.26}, aft={"root": 66})
    assert both.limits == "own"
    assert (both.forward_share, both.aft_share) == pytest.approx((0.26, 0.33))
    assert (both.forward_x, both.aft_x) == pytest.approx((0.15 + 0.052, 0.15 + 0.066))
    none = target(glider(), target={"mac": 0.3})
    assert none.limits == "assumed"
    band = (none.forward_share, none.aft_share)
    assert band == pytest.approx((0.3 - OWN_HALF_BAND, 0.3 + OWN_HALF_BAND))
    half = target(glider(), target={"mac": 0.3}, aft={"mac": 0.31})
    assert half.limits == "assumed"
    assert (half.forward_share, half.aft_share) == pytest.approx((0.275, 0.31))
