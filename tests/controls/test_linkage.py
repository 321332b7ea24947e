"""The linkage as a four-bar: laws that hold for every one, and closed forms of simple ones."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plansgen.controls.linkage import Linkage

SIZES = st.floats(0.006, 0.03)
LINKAGES = st.builds(
    Linkage,
    arm=SIZES,
    horn=SIZES,
    rod=st.floats(0.04, 0.6),
    ahead=st.floats(-0.006, 0.006),
)


@given(LINKAGES, st.floats(-0.5, 0.5))
def test_backwards_is_the_inverse_of_forwards(linkage: Linkage, arm: float) -> None:
    swing = linkage.swing(arm)
    if swing is None or not linkage.passes(swing):
        return
    assert linkage.arm_for(swing) == pytest.approx(arm, abs=1e-6)


@given(LINKAGES, st.floats(-0.5, 0.5))
def test_the_rod_keeps_its_length(linkage: Linkage, arm: float) -> None:
    swing = linkage.swing(arm)
    if swing is not None:
        assert math.dist(linkage.arm_hole(arm), linkage.horn_hole(swing)) == pytest.approx(
            linkage.rod, rel=1e-9
        )


@given(LINKAGES)
def test_a_small_turn_goes_by_arm_over_horn(linkage: Linkage) -> None:
    """Textbook lever rule: the first-order ratio is arm over horn, whatever the offset."""
    step = 1e-5
    ends = linkage.swing(step), linkage.swing(-step)
    assert None not in ends
    slope = (ends[0] - ends[1]) / (2 * step)  # type: ignore[operator]
    assert slope == pytest.approx(linkage.arm / linkage.horn, rel=1e-5)
    assert linkage.ratio(0.0) == pytest.approx(linkage.arm / linkage.horn, rel=1e-9)
    assert linkage.swing(0.0) == pytest.approx(0.0, abs=1e-7)


@given(LINKAGES, st.floats(-0.4, 0.4))
def test_the_ratio_is_the_slope(linkage: Linkage, arm: float) -> None:
    """Virtual work: the ratio of levers is dswing/darm, by differences here."""
    step = 1e-5
    ratio, low, high = (
        linkage.ratio(arm),
        linkage.swing(arm - step),
        linkage.swing(arm + step),
    )
    if ratio is None or low is None or high is None or abs(ratio) > 20.0:
        return
    assert (high - low) / (2 * step) == pytest.approx(ratio, rel=1e-3, abs=1e-4)


def test_a_parallelogram_turns_alike() -> None:
    """Arm as long as the horn and no offset: both turn by the same angle, all the way."""
    linkage = Linkage(arm=0.012, horn=0.012, rod=0.2)
    for degrees in (-60, -35, -10, 20, 60):
        angle = math.radians(degrees)
        assert linkage.swing(angle) == pytest.approx(angle, abs=1e-9)


def test_a_long_rod_gives_sine_over_sine() -> None:
    """A rod without end moves along itself: arm sin θ = horn sin φ."""
    linkage = Linkage(arm=0.008, horn=0.016, rod=1e4)
    arm = math.radians(40)
    assert linkage.swing(arm) == pytest.approx(math.asin(0.5 * math.sin(arm)), abs=1e-5)


def test_an_offset_hole_makes_differential() -> None:
    """Hole ahead: x = e(1 − cos φ) + h sin φ, so it goes further ahead than aft, and the other way
    round with the hole behind. Closed form for a long rod."""
    arm, reach = math.radians(40), 0.008
    for ahead in (0.006, -0.006):
        linkage = Linkage(arm=reach, horn=0.014, rod=1e4, ahead=ahead)
        aft, fore = linkage.swing(arm), linkage.swing(-arm)
        assert aft is not None
        assert fore is not None
        for swing, stroke in ((aft, reach * math.sin(arm)), (fore, -reach * math.sin(arm))):
            assert ahead * (1 - math.cos(swing)) + 0.014 * math.sin(swing) == pytest.approx(
                stroke, abs=1e-7
            )
        assert (abs(fore) > abs(aft)) is (ahead > 0.0)
    straight = Linkage(arm=reach, horn=0.014, rod=1e4)
    assert straight.swing(arm) == pytest.approx(-(straight.swing(-arm) or 0.0), abs=1e-5)


def test_a_rod_that_does_not_reach_is_told() -> None:
    linkage = Linkage(arm=0.02, horn=0.008, rod=0.2)
    assert linkage.swing(math.radians(60)) is None
    assert linkage.arm_for(math.radians(30)) is not None
    assert not linkage.passes(math.radians(120))


def test_dead_centre_is_where_the_rod_passes_the_hinge() -> None:
    """Long rod, no offset: rod and horn lie in line at 90° of swing."""
    linkage = Linkage(arm=0.02, horn=0.01, rod=2.0)
    assert linkage.transmission(math.radians(60)) == pytest.approx(math.radians(30), abs=0.01)
    assert linkage.passes(math.radians(85))
    assert not linkage.passes(math.radians(95))


@pytest.mark.parametrize("name", ["arm", "horn", "rod"])
def test_lengths_must_be_above_nothing(name: str) -> None:
    with pytest.raises(ValueError, match=f"{name} is 0 m, but must be above 0"):
        Linkage(**{"arm": 0.01, "horn": 0.01, "rod": 0.1, name: 0.0})
