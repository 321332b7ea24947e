"""What each stick alone gives, against sums by hand (geometry; no source)."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from plansgen.flight.travels import travel_of, travels_of
from plansgen.library.folder import read_design
from plansgen.library.models import Control

REPOSITORY = Path(__file__).resolve().parents[2]


def _control(**value: object) -> Control:
    return Control.model_validate(
        {"kind": "elevon", "from": 1, "to": 2, "chord": 0.2, "travel": 20} | value
    )


def degrees(*args: object, **options: object) -> float:
    return math.degrees(travel_of(*args, **options))  # type: ignore[arg-type]


def test_each_stick_has_its_share() -> None:
    control = _control()
    assert degrees(control, "pitch", share=0.4) == pytest.approx(8.0)
    assert degrees(control, "roll", share=0.6) == pytest.approx(12.0)


def test_a_roll_has_the_mean_of_both_ways() -> None:
    """One side goes 20° up, the other 10° down."""
    assert degrees(_control(down=10), "roll") == pytest.approx(15.0)


def test_the_nose_is_lifted_from_where_the_edge_stands() -> None:
    """6° up with the stick in the middle and 8° more; ahead of the balance point 6° less."""
    control = _control(neutral=6, down=12)
    assert degrees(control, "pitch", share=0.4) == pytest.approx(14.0)
    assert degrees(control, "pitch", share=1.0, ahead=True) == pytest.approx(6.0)


def test_whimbrel_by_its_mixing() -> None:
    """43 % of 24.1° and the reflex of 6.7° for the nose; 57 % for a roll."""
    found = travels_of(read_design(REPOSITORY, "whimbrel").file)
    assert math.degrees(found["wing.elevon.pitch"]) == pytest.approx(6.7 + 0.43 * 24.1)
    assert math.degrees(found["wing.elevon.roll"]) == pytest.approx(0.57 * 24.1)
