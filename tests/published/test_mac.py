"""Mean aerodynamic chord: size and place, against closed forms and quadrature.

Definition throughout: D. P. Raymer, *Aircraft Design: A Conceptual Approach*, wing geometry:
c̄ = (2/S) ∫ c² dy, ȳ = (2/S) ∫ y c dy, and x of its leading edge likewise.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from scipy.integrate import quad

from plansgen.airframe.planform import Planform
from tests.designs import Row, airframe_of, bare, surface

PRINT = 1e-4 / 1000  # the values below are rounded to 1e-4 mm


def planform(rows: list[Row]) -> Planform:
    return airframe_of(bare({"wing": surface("wing", rows)})).surface("wing").planform


# rows (y, leading edge, chord in mm); then c̄, its leading edge, ȳ and x of its quarter point, mm.
# The first is the worked example of a simple tapered wing found in model and full-size practice;
# the cranked ones are the integrals of the definition done by hand, panel by panel.
CASES = [
    ([(0, 0, 400), (1000, 600, 200)], (311.1111, 266.6667, 444.4444, 344.4444)),
    ([(0, 0, 200), (300, 0, 200), (600, 50, 120)], (183.7037, 10.1852, 277.7778, 56.1111)),
    ([(0, 0, 250), (200, 10, 220), (500, 60, 120)], (203.8776, 19.2857, 221.4286, 70.2551)),
    ([(0, 0, 200), (400, 0, 200), (600, 80, 100)], (187.8788, 9.6970, 278.7879, 56.6667)),
    ([(0, 0, 300), (500, 0, 0)], (200.0, 0.0, 166.6667, 50.0)),
    ([(0, 0, 300), (500, 300, 0)], (200.0, 100.0, 166.6667, 150.0)),
]


@pytest.mark.parametrize(("rows", "expected"), CASES)
def test_worked_examples(rows: list[Row], expected: tuple[float, ...]) -> None:
    """Raymer's definition, worked by hand for each planform."""
    wing = planform(rows)
    found = (wing.mac, wing.mac_x, wing.mac_y, wing.quarter_chord_x)
    assert found == pytest.approx([value / 1000 for value in expected], abs=PRINT)


@pytest.mark.parametrize(("rows", "expected"), CASES)
def test_quadrature_of_the_definition(rows: list[Row], expected: tuple[float, ...]) -> None:
    """Reference: scipy.integrate.quad of Raymer's integrals, panel by panel."""
    sums = [0.0, 0.0, 0.0, 0.0]
    for (y0, x0, c0), (y1, x1, c1) in pairwise(rows):

        def at(y: float, a: float, b: float, y0: float = y0, y1: float = y1) -> float:
            return a + (b - a) * (y - y0) / (y1 - y0)

        integrands = (
            lambda y, c0=c0, c1=c1, at=at: at(y, c0, c1),
            lambda y, c0=c0, c1=c1, at=at: at(y, c0, c1) ** 2,
            lambda y, c0=c0, c1=c1, x0=x0, x1=x1, at=at: at(y, x0, x1) * at(y, c0, c1),
            lambda y, c0=c0, c1=c1, at=at: y * at(y, c0, c1),
        )
        sums = [s + quad(f, y0, y1)[0] for s, f in zip(sums, integrands, strict=True)]
    wing = planform(rows)
    expect = [value / sums[0] / 1000 for value in sums[1:]]
    assert [wing.mac, wing.mac_x, wing.mac_y] == pytest.approx(expect, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("taper", [1.0, 0.8, 0.45, 0.2, 0.0])
def test_straight_taper_closed_form(taper: float) -> None:
    """Raymer: c̄ = (2/3) c_r (1 + λ + λ²)/(1 + λ), ȳ = (b/6)(1 + 2λ)/(1 + λ)."""
    wing = planform([(0, 0, 240), (700, 0, 240 * taper)])
    assert wing.mac == pytest.approx(2 / 3 * 0.24 * (1 + taper + taper**2) / (1 + taper))
    assert wing.mac_y == pytest.approx(1.4 / 6 * (1 + 2 * taper) / (1 + taper))


def test_ellipse_in_the_limit_of_many_stations() -> None:
    """Closed form for c = c₀ √(1 - (2y/b)²): c̄ = 8 c₀/(3π), ȳ = 4/(3π) b/2, S = π c₀ b/4.

    Sixty stations, the most a file may hold, by equal steps of arc. A chain of chords inscribed in
    an ellipse loses area by 1 - sin(h)/h, with h the step of arc: 1.2e-4 here.
    """
    count = 59
    arcs = [math.pi / 2 * number / count for number in range(count + 1)]
    rows = [(500 * math.sin(a), 0.0, 200 * math.cos(a)) for a in arcs[:-1]] + [(500.0, 0.0, 0.0)]
    wing = planform(rows)
    step = math.pi / 2 / count
    assert wing.area == pytest.approx(math.pi * 0.2 * 1.0 / 4 * math.sin(step) / step, rel=1e-9)
    assert wing.mac == pytest.approx(8 * 0.2 / (3 * math.pi), rel=2e-4)
    assert wing.mac_y == pytest.approx(4 / (3 * math.pi) * 0.5, rel=2e-4)


def test_ellipse_error_falls_with_the_square_of_the_step() -> None:
    """Elementary numerical analysis: the trapezoidal chain is of second order."""

    def error(count: int) -> float:
        arcs = [math.pi / 2 * number / count for number in range(count)]
        rows = [(500 * math.sin(a), 0.0, 200 * math.cos(a)) for a in arcs] + [(500.0, 0.0, 0.0)]
        return abs(planform(rows).mac - 8 * 0.2 / (3 * math.pi))

    assert error(12) / error(48) == pytest.approx(16, rel=0.1)


def test_cranked_wing_is_not_the_mean_of_its_panels() -> None:
    """A known trap: the mean chord of a cranked wing is weighted by area, not by span."""
    rows = [(0, 0, 250), (200, 10, 220), (500, 60, 120)]
    inner = planform(rows[:2])
    outer_rows = [(y - 200, x, c) for y, x, c in rows[1:]]
    outer = planform(outer_rows)
    by_area = (inner.mac * inner.area + outer.mac * outer.area) / (inner.area + outer.area)
    by_span = inner.mac * 0.4 + outer.mac * 0.6
    whole = planform(rows).mac
    assert whole == pytest.approx(by_area, rel=1e-12)
    assert whole - by_span > 0.004
