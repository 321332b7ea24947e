"""Neutral points of two surfaces."""

from __future__ import annotations

import math

import pytest

from plansgen.airframe.build import LiftingSurface
from plansgen.flight.derivatives import work_out_derivatives
from plansgen.flight.lattice import Flow, Lattice
from plansgen.published.balance import light_aeroplane
from tests.flight.shapes import lift_slope, scale_for, trapezium


def neutral_point(surfaces: list[LiftingSurface], **grid: int) -> float:
    """Neutral point with the first surface's scale. [m]"""
    lattice = Lattice(surfaces, **grid)
    derivatives = work_out_derivatives(
        lattice, flow=Flow(), point=(0.0, 0.0, 0.0), scale=scale_for(surfaces[0])
    )
    return derivatives.neutral_point


def test_two_equal_wings_far_from_each_other() -> None:
    """Equal and out of each other's way: midway. Elementary.

    One is 30 spans above; what is left of its downwash is 0.02 of a degree a degree.
    """
    front, rear = trapezium(6.0), trapezium(6.0, x=3.0, z=30.0, key="rear")
    alone = neutral_point([front])
    assert neutral_point([front, rear]) == pytest.approx(alone + 1.5, abs=0.002)


def test_two_equal_wings_in_tandem() -> None:
    """With downwash e on the rear one: (1 − e)/(2 − e) of the way.

    e from the far-field rule 2 CLα/(πA) for the front wing alone, a distance of 5 spans; the rule
    is good to 5 %, which moves the point by 2 % of the distance.
    """
    front, rear = trapezium(6.0), trapezium(6.0, x=5.0, key="rear")
    e = 2 * lift_slope(front) / (math.pi * 6.0)
    share = (neutral_point([front, rear]) - neutral_point([front])) / 5.0
    assert share == pytest.approx((1 - e) / (2 - e), abs=0.02)


@pytest.mark.parametrize("height", [0.0, 1.5, 3.0])
def test_textbook_sum_for_a_light_aeroplane(height: float) -> None:
    """R. C. Nelson, *Flight Stability and Automatic Control*, ex. 2.2, from memory.

    Without the fuselage the book's sum is 0.25 + 0.656 (3.91/4.3)(1 − 0.4515) = 0.577 of the chord.
    It leaves the tail out of the whole lift slope; with it in the same numbers give 0.525. That is
    the figure for the method, and 0.05 of the chord what the downwash rule, which knows no height,
    is good for. The book's simpler sum must lie aft of ours.
    """
    book = 0.25 + 0.656 * (3.91 / 4.3) * (1 - 0.4515)
    wing, tail = light_aeroplane(height)
    slopes = lift_slope(wing), lift_slope(tail)
    e = 2 * slopes[0] / (math.pi * wing.planform.aspect_ratio)
    share = slopes[1] / slopes[0] * (1 - e)
    volume = 16.0 * tail.planform.area / (wing.planform.area * wing.planform.mac)
    whole = 0.25 + volume * share / (1 + share * tail.planform.area / wing.planform.area)
    x = neutral_point([wing, tail]) - wing.planform.mac_x
    ours = x / wing.planform.mac
    assert volume == pytest.approx(0.656, abs=0.005)
    assert slopes == pytest.approx((4.3, 3.91), rel=0.06)
    assert ours == pytest.approx(whole, abs=0.05)
    assert ours < book
