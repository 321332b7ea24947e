"""Proportions of a started design against textbook formulas and limits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plansgen.starter.sizing import (
    Panel,
    equipment_for,
    lift_slope,
    tail_area,
    trapezoid,
    two_surface_neutral_point,
)


def test_mean_chord_of_a_trapezoid() -> None:
    """First principles: of a rectangle it is the chord, of a triangle two thirds of the root."""
    assert Panel(500, 200, 200, 0).mac == pytest.approx(200)
    assert Panel(500, 300, 0, 0).mac == pytest.approx(200)
    assert Panel(500, 200, 200, 0).quarter == pytest.approx(50)
    # A swept rectangle carries it half way out.
    assert Panel(500, 200, 200, 100).quarter == pytest.approx(100)


def test_tail_area_gives_its_volume_back() -> None:
    """Raymer's coefficient, V = S_t l / (S c), turned round and back."""
    found = tail_area(volume=0.55, area=240_000, length=200, arm=500)
    assert found * 500 / (240_000 * 200) == pytest.approx(0.55)


def test_lift_slope() -> None:
    """Anderson, *Fundamentals of Aerodynamics*: 2π/(1 + 2/A), towards 2π for a long wing."""
    assert lift_slope(6) == pytest.approx(2 * math.pi / (1 + 2 / 6))
    assert lift_slope(1e9) == pytest.approx(2 * math.pi)


def test_neutral_point_lies_nearer_the_better_surface() -> None:
    """First principles: equal surfaces would meet half way, and downwash moves it forward."""
    wing = Panel(600, 200, 200, 0)
    assert 0 < two_surface_neutral_point(wing, wing, distance=600) < 300
    # Without a front surface to speak of, it is the rear one's own quarter point.
    speck = Panel(6, 2, 2, 0)
    assert two_surface_neutral_point(speck, wing, distance=600) == pytest.approx(600, rel=1e-3)


def test_neutral_point_by_hand() -> None:
    """Areas, slopes and arms: front 0.02 m² at aspect 5, rear 0.2 m² at aspect 7.2, 0.6 m apart."""
    front, rear = Panel(158, 63, 63, 0), Panel(600, 167, 167, 0)
    a_front, a_rear = lift_slope(front.aspect), lift_slope(rear.aspect)
    washed = 1 - 2 * a_front / (math.pi * front.aspect) * 316 / 1200
    expected = 600 * rear.area * a_rear * washed
    expected /= front.area * a_front + rear.area * a_rear * washed
    found = two_surface_neutral_point(front, rear, distance=600)
    assert found == pytest.approx(expected)


@given(
    area=st.floats(2e4, 2e6),
    aspect=st.floats(1.0, 12.0),
    taper=st.floats(0.3, 1.0),
    halves=st.sampled_from((1, 2)),
)
def test_a_trapezoid_has_the_area_and_aspect_asked_for(
    area: float, aspect: float, taper: float, halves: int
) -> None:
    panel = trapezoid(area=area, aspect=aspect, taper=taper, halves=halves)
    # Chords and half span are whole millimetres: half a millimetre on the shortest of each.
    slack = 1 / panel.half + 1 / panel.tip
    assert panel.area == pytest.approx(area, rel=slack)
    assert panel.aspect == pytest.approx(aspect, rel=2 * slack)


@given(area=st.floats(1e4, 1e7))
def test_a_larger_model_carries_heavier_equipment(area: float) -> None:
    small = equipment_for(wing_area=area, powered=True)
    large = equipment_for(wing_area=2 * area, powered=True)
    glider = equipment_for(wing_area=area, powered=False)
    assert large.motor >= small.motor
    assert large.battery >= small.battery
    assert glider.battery <= small.battery
