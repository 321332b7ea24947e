"""Openings on flat parts: areas by hand, and what does not fit is said.

Common practice, no source.
"""

from __future__ import annotations

import math

import pytest
from shapely import Polygon

from plansgen.library.models import Opening
from plansgen.patterns.flat import FlatPart, PatternLine
from plansgen.patterns.openings import Cutout, opened, ring_of

PLATE = FlatPart("plate", "plate", "board", 0.005, ((0.0, 0.0), (0.2, 0.0), (0.2, 0.1), (0.0, 0.1)))


def cutout(west: float, east: float, half: float, *, round_: bool = False) -> Cutout:
    opening = Opening.model_construct(name="window", round=round_)
    ring = ring_of(opening, ends=(west, east), place=lambda x, v: (x, 0.05 + half * v))
    return Cutout("window", ring, "it reaches from 0 to 200 along")


def test_a_square_opening_leaves_the_area_and_has_its_name() -> None:
    part, wrong = opened(PLATE, [cutout(0.05, 0.10, 0.02)])
    assert wrong == []
    assert part.area == pytest.approx(0.2 * 0.1 - 0.05 * 0.04)
    assert [label.text for label in part.labels] == ["window"]
    assert len(part.holes[0]) == 4


def test_a_round_opening_is_as_large_as_its_oval() -> None:
    part, _ = opened(PLATE, [cutout(0.05, 0.10, 0.02, round_=True)])
    oval = math.pi * 0.025 * 0.02  # area of an ellipse, from memory
    assert Polygon(part.holes[0]).area == pytest.approx(oval, rel=5e-3)


@pytest.mark.parametrize("ends", [(-0.01, 0.05), (0.18, 0.2), (0.0005, 0.05)])
def test_an_opening_over_the_edge_is_told_with_what_is_allowed(ends: tuple[float, float]) -> None:
    part, wrong = opened(PLATE, [cutout(*ends, 0.02)])
    assert part.holes == ()
    assert "does not lie inside it: it reaches from 0 to 200" in wrong[0]


def test_openings_that_meet_are_told() -> None:
    part, wrong = opened(PLATE, [cutout(0.05, 0.10, 0.02), cutout(0.09, 0.12, 0.01)])
    assert len(part.holes) == 1
    assert "runs into another hole" in wrong[0]


def test_marks_end_at_an_opening() -> None:
    line = PatternLine("mark", ((0.0, 0.05), (0.2, 0.05)), label="middle")
    marked = FlatPart("p", "p", "board", 0.005, PLATE.outline, lines=(line,))
    part, _ = opened(marked, [cutout(0.05, 0.10, 0.02)])
    lengths = [math.dist(*one.points) for one in part.lines]
    assert lengths == pytest.approx([0.1, 0.05])
    assert [one.label for one in part.lines] == ["middle", ""]
