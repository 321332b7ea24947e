"""Sheet thickness against handbook numbers and plain geometry."""

from __future__ import annotations

import math

import pytest
from shapely import Polygon

from plansgen.library.tables import Material
from plansgen.patterns import allowance

RIGHT = math.pi / 2


# Bend allowance and deduction as any machinery handbook gives them: R 5, t 3, 90°.
def test_bend_of_a_handbook() -> None:
    bend = {"angle": RIGHT, "radius": 5.0, "thickness": 3.0}
    assert allowance.bend_allowance(**bend, k=0.5) == pytest.approx(10.2102, abs=1e-4)
    assert allowance.bend_allowance(**bend, k=0.33) == pytest.approx(9.4091, abs=1e-4)
    assert allowance.setback(**bend) == pytest.approx(8.0)
    assert allowance.bend_deduction(**bend, k=0.5) == pytest.approx(5.7898, abs=1e-4)


def test_outside_of_a_bent_sheet_is_stretched() -> None:
    # beam bending: ε = t/(2R + t) with the neutral line in the middle
    assert allowance.outer_strain(radius=50.0, thickness=3.0) == pytest.approx(0.02913, abs=1e-5)


def test_groove_of_a_square_fold() -> None:
    """A mitre at 90° is cut at 45° on both sides: twice the thickness wide (plain geometry)."""
    assert allowance.groove_width(angle=RIGHT, thickness=5.0) == pytest.approx(10.0)
    assert allowance.groove_width(angle=math.radians(20.0), thickness=5.0) == 0.0
    assert allowance.groove_width(angle=math.radians(165.0), thickness=5.0) == pytest.approx(
        7.071, abs=1e-3
    )
    assert allowance.mitre(angle=RIGHT) == pytest.approx(math.radians(45.0))


def test_bevel_closes_a_wedge() -> None:
    """tan of the angle is the rise over the run (plain geometry)."""
    assert allowance.bevel_width(angle=math.atan2(17.0, 147.0), thickness=5.0) == pytest.approx(
        5 * 147 / 17
    )


def test_joints() -> None:
    assert allowance.butt(outside=60.0, covered_by=5.0) == 50.0
    assert allowance.overlap(length=60.0, lap=8.0, ends=2) == 76.0
    assert allowance.slot_width(0.003) == pytest.approx(0.0032)


def test_kerf_leaves_the_part_true() -> None:
    """What is cut away is half the cut all round: shapely's own buffer must give the part back."""
    square = ((0.0, 0.0), (0.1, 0.0), (0.1, 0.1), (0.0, 0.1))
    hole = ((0.04, 0.04), (0.06, 0.04), (0.06, 0.06), (0.04, 0.06))
    path = allowance.with_kerf(square, (hole,), kerf=0.0002)
    assert path.bounds == pytest.approx((-0.0001, -0.0001, 0.1001, 0.1001))
    back = path.buffer(-0.0001, join_style="mitre")
    assert back.symmetric_difference(Polygon(square, [hole])).area < 1e-12
    assert allowance.with_kerf(square, (hole,), kerf=0.0).equals(Polygon(square, [hole]))


def test_film_of_known_mass_has_a_thickness() -> None:
    """80 g/m² paper is some 0.1 mm thick (common practice, no source); the estimate is near it."""
    paper = Material.model_validate({"name": "paper", "kind": "film", "areal_density": "80 g/m2"})
    assert allowance.sheet_thickness(paper) == pytest.approx(1e-4, rel=1 / 3)


def test_every_rule_says_where_it_comes_from() -> None:
    assert all(rule.source and rule.text for rule in allowance.RULES)
