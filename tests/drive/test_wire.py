"""Copper wire: what the published table does not say."""

from __future__ import annotations

import pytest

from plansgen.drive.wire import (
    advised_current,
    area_of,
    diameter_of,
    gauge_for,
    gauge_of,
    most_current,
    resistance_of,
)


def test_gauge_and_cross_section_undo_each_other() -> None:
    for gauge in (8, 12, 15.4, 26):
        assert gauge_of(area_of(gauge)) == pytest.approx(gauge, abs=1e-9)


def test_three_gauges_halve_the_copper() -> None:
    """Rule of every workshop, from ASTM B258: 92^(6/39) is 2.005."""
    assert area_of(10) / area_of(13) == pytest.approx(2.0, rel=0.003)
    assert diameter_of(10) / diameter_of(16) == pytest.approx(2.0, rel=0.003)


@pytest.mark.parametrize("area", [0.0, -1e-6, float("nan")])
def test_no_wire_without_copper(area: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        gauge_of(area)


def test_strands_and_warmth_cost_a_little() -> None:
    """IEC 60028: 0.393 % a kelvin; strands 2 to 4 % (common practice, no source)."""
    solid = resistance_of(area=1e-6, length=1.0)
    assert resistance_of(area=1e-6, length=1.0, temperature=303.15) / solid == pytest.approx(
        1.0393, rel=1e-6
    )
    assert 1.02 <= resistance_of(area=1e-6, length=1.0, stranded=True) / solid <= 1.04


def test_advice_is_what_clubs_fit() -> None:
    """Common practice, no source: 12 for 45 A, 14 for 30 A, 16 for 18 A, 22 for a small servo."""
    assert [gauge_for(amps) for amps in (45.0, 30.0, 18.0, 1.0)] == [12, 14, 16, 26]
    assert gauge_for(4.5) == 22


def test_no_usual_wire_for_a_thousand_amperes() -> None:
    assert gauge_for(1000.0) is None


def test_what_melts_lies_above_what_is_advised() -> None:
    assert most_current(1e-6) > advised_current(1e-6) > 0.0
