"""First guesses of a drive."""

from __future__ import annotations

import math

import pytest

from plansgen.starter.power import power_entry, servo_entry


def test_a_usual_trainer_gets_a_usual_drive() -> None:
    """700 g, 9 x 5.4, three cells: common practice, no source, is 700 to 1100 turns a volt."""
    entry = power_entry(mass=0.7, diameter=229, cells=3, names=("motor", "propeller", "controller"))
    (drive,) = entry["drives"]
    assert 700 <= drive["kv"] <= 1100
    assert drive["pitch"] == 137
    assert 10 <= drive["controller_current"] <= 30
    assert entry["wires"][0]["to"] == "controller"


@pytest.mark.parametrize(("mass", "diameter", "cells"), [(0.04, 57, 2), (12, 760, 4)])
def test_the_smallest_and_the_largest_stay_within_what_a_file_may_say(
    mass: float, diameter: float, cells: int
) -> None:
    entry = power_entry(mass=mass, diameter=diameter, cells=cells, names=("m", "p", "c"))
    (drive,) = entry["drives"]
    assert 10 < drive["kv"] < 20_000
    assert 0 < drive["resistance"] < 100
    assert all(math.isfinite(value) for value in drive.values() if not isinstance(value, str))


def test_a_servo_of_nine_grams() -> None:
    """Common practice, no source: 1.2 to 1.5 kg cm."""
    assert servo_entry(9) == {"torque": "1.5 kg cm", "speed": 0.12}
