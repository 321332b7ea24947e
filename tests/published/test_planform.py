"""Areas, spans and sweeps of planforms against closed forms, textbook cases and shapely."""

from __future__ import annotations

import math

import pytest
import shapely

from plansgen.airframe.planform import Planform
from tests.designs import Row, airframe_of, bare, glider, surface

# Rows of distance out, leading edge and chord in mm; expected area (both halves) in mm².
SIMPLE_TAPER = [(0, 0, 400), (1000, 600, 200)]
CRANKED = [(0, 0, 200), (300, 0, 200), (600, 50, 120)]
TWICE_CRANKED = [(0, 0, 250), (200, 10, 220), (500, 60, 120)]
STRAIGHT_THEN_SWEPT = [(0, 0, 200), (400, 0, 200), (600, 80, 100)]
DELTA_STRAIGHT = [(0, 0, 300), (500, 0, 0)]
DELTA_SWEPT = [(0, 0, 300), (500, 300, 0)]
EVERY = {
    "simple taper": (SIMPLE_TAPER, 600_000),
    "cranked": (CRANKED, 216_000),
    "twice cranked": (TWICE_CRANKED, 196_000),
    "straight then swept": (STRAIGHT_THEN_SWEPT, 220_000),
    "delta, straight leading edge": (DELTA_STRAIGHT, 150_000),
    "delta, swept leading edge": (DELTA_SWEPT, 150_000),
}


def planform(rows: list[Row]) -> Planform:
    return airframe_of(bare({"wing": surface("wing", rows)})).surface("wing").planform


def half_polygon(rows: list[Row]) -> shapely.Polygon:
    """The starboard half in plan view, metres."""
    front = [(x / 1000, y / 1000) for y, x, _ in rows]
    rear = [((x + chord) / 1000, y / 1000) for y, x, chord in reversed(rows)]
    return shapely.Polygon(front + rear)


@pytest.mark.parametrize(("rows", "area"), EVERY.values(), ids=EVERY)
def test_area_is_the_sum_of_trapezoids(rows: list[Row], area: float) -> None:
    """Elementary geometry, worked by hand: Σ Δy (c₁ + c₂) over the half."""
    assert planform(rows).area * 1e6 == pytest.approx(area, rel=1e-12)


@pytest.mark.parametrize(("rows", "area"), EVERY.values(), ids=EVERY)
def test_area_and_centroid_agree_with_shapely(rows: list[Row], area: float) -> None:
    """Reference: shapely's polygon area and centroid, an independent library.

    The centroid of the area lies at the middle of the mean aerodynamic chord, as both are
    ∫ (x + c/2) c dy / S, and ∫ y c dy / S out.
    """
    half, ours = half_polygon(rows), planform(rows)
    assert ours.area == pytest.approx(2 * half.area, rel=1e-12)
    assert ours.mac_x + ours.mac / 2 == pytest.approx(half.centroid.x, rel=1e-12)
    assert ours.mac_y == pytest.approx(half.centroid.y, rel=1e-12)


def test_aspect_ratio_taper_and_sweep_of_a_straight_taper() -> None:
    """Raymer, Aircraft Design: A Conceptual Approach, wing geometry: A = b²/S, λ = c_t/c_r,
    tan Λ_LE = tan Λ_c/4 + (1 - λ)/(A (1 + λ)).
    """
    wing = planform(SIMPLE_TAPER)
    assert wing.aspect_ratio == pytest.approx(2.0**2 / 0.6)
    assert wing.taper == pytest.approx(0.5)
    leading_edge = math.tan(wing.sweep) + (1 - 0.5) / (wing.aspect_ratio * (1 + 0.5))
    assert leading_edge == pytest.approx(0.6)  # 600 mm back in 1000 mm out


def test_wetted_area_of_a_thin_plate_is_twice_its_area() -> None:
    """Raymer, chapter 7: S_wet = 2.003 S_exposed for t/c < 0.05; a plate's edges add t/c."""
    wing = planform([(0, 0, 200), (500, 0, 200)])
    assert wing.wetted / wing.area == pytest.approx(2 + 2 * 5 / 200, rel=1e-12)


def test_twin_fins_have_the_aspect_ratio_of_one() -> None:
    """Raymer, tail geometry: A = h²/S of a fin from its own height and area."""
    raw = glider()
    single = airframe_of(raw).surface("fin").planform
    raw["surfaces"]["fin"]["at"] = {"x": 650, "y": 180}
    twin = airframe_of(raw).surface("fin").planform
    assert single.aspect_ratio == pytest.approx(120**2 / (120 * (120 + 80) / 2))
    assert twin.aspect_ratio == pytest.approx(single.aspect_ratio)
    assert (twin.span, twin.span_flat) == pytest.approx((0.12, 0.12))
    assert twin.area == pytest.approx(2 * single.area)


def test_fin_below_the_body_has_the_area_of_one_above() -> None:
    """Plane geometry: height counts, whichever way it goes."""
    raw = glider()
    above = airframe_of(raw).surface("fin").planform
    for station in raw["surfaces"]["fin"]["stations"]:
        station["z"] *= -1
    below = airframe_of(raw).surface("fin").planform
    assert (below.area, below.mac) == pytest.approx((above.area, above.mac))
    assert below.span == pytest.approx(above.span)


def test_single_fin_is_wetted_on_both_sides_once() -> None:
    """A plate 5 thick: 2 S and both edges, 2 × 5 mm × 120 mm of height, of one fin alone."""
    fin = airframe_of(glider()).surface("fin").planform
    assert fin.wetted - 2 * fin.area == pytest.approx(2 * 0.005 * 0.12, rel=1e-9)
