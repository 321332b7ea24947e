"""Moments of rods, plates, boxes and triangles against textbook closed forms and quadrature.

Closed forms: any engineering mechanics text, such as Meriam & Kraige, *Dynamics*, table of mass
moments of inertia.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from scipy.integrate import dblquad

from plansgen.balance.elements import (
    Moments,
    block,
    inertia_about,
    polyline,
    quad,
    simplex,
    together,
)

ORIGIN = np.zeros(3)


def about_centre(moments: Moments) -> np.ndarray:
    return inertia_about(moments, moments.centre)


def test_slender_rod() -> None:
    """m L²/12 about its middle, m L²/3 about an end."""
    rod = simplex([(0, 0, 0), (0.6, 0, 0)], 0.3)
    assert rod.centre == pytest.approx([0.3, 0, 0])
    assert np.diag(about_centre(rod)) == pytest.approx([0, 0.3 * 0.36 / 12, 0.3 * 0.36 / 12])
    assert inertia_about(rod, ORIGIN)[1, 1] == pytest.approx(0.3 * 0.36 / 3)


def test_rod_at_an_angle() -> None:
    """m L² sin²θ/12 about an axis at θ through its middle."""
    angle = math.radians(30)
    rod = simplex([(0, 0, 0), (math.cos(angle), math.sin(angle), 0)], 2.0)
    assert about_centre(rod)[0, 0] == pytest.approx(2 / 12 * math.sin(angle) ** 2)
    assert about_centre(rod)[0, 1] == pytest.approx(-2 / 12 * math.sin(angle) * math.cos(angle))


def test_thin_rectangular_plate() -> None:
    """m b²/12, m a²/12 and m (a² + b²)/12."""
    plate = quad((0, 0, 0), (0.2, 0, 0), (0.2, 0.5, 0), (0, 0.5, 0), 4.0)
    m, a, b = 4.0 * 0.1, 0.2, 0.5
    assert plate.mass == pytest.approx(m)
    expect = [m * b**2 / 12, m * a**2 / 12, m * (a**2 + b**2) / 12]
    assert np.diag(about_centre(plate)) == pytest.approx(expect)


def test_box() -> None:
    """m (b² + c²)/12 and so on round."""
    box = block((1, 2, 3), (0.07, 0.034, 0.024), 0.12)
    a, b, c = 0.07, 0.034, 0.024
    expect = [0.12 / 12 * value for value in (b**2 + c**2, a**2 + c**2, a**2 + b**2)]
    assert np.diag(about_centre(box)) == pytest.approx(expect)
    assert box.centre == pytest.approx([1, 2, 3])


def test_right_triangle() -> None:
    """Area moments b h³/36 about its centroid, and b² h²/72 for the product."""
    base, height = 0.3, 0.2
    triangle = simplex([(0, 0, 0), (base, 0, 0), (0, height, 0)], base * height / 2)
    tensor = about_centre(triangle)
    assert tensor[0, 0] == pytest.approx(base * height**3 / 36)
    assert tensor[1, 1] == pytest.approx(height * base**3 / 36)
    # ∫ x y dA = -b² h²/72 for legs on the axes; the tensor holds its negative
    assert tensor[0, 1] == pytest.approx(base**2 * height**2 / 72)


def test_triangle_in_space_by_quadrature() -> None:
    """Reference: scipy.integrate.dblquad over barycentric coordinates."""
    a, b, c = np.array([0.1, 0.2, 0.05]), np.array([0.5, -0.1, 0.3]), np.array([0.2, 0.7, -0.2])
    triangle = simplex([tuple(a), tuple(b), tuple(c)], 1.5)
    for i, j in [(0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2)]:

        def product(v: float, u: float, i: int = i, j: int = j) -> float:
            place = a + u * (b - a) + v * (c - a)
            return float(2 * 1.5 * place[i] * place[j])

        expect = dblquad(product, 0, 1, 0, lambda u: 1 - u)[0]
        assert triangle.second[i, j] == pytest.approx(expect, rel=1e-9)


def test_kite_against_shapely() -> None:
    """Reference: shapely's area and centroid of the same quadrilateral."""
    corners = [(0.0, 0.0), (0.25, 0.02), (0.31, 0.4), (0.12, 0.44)]
    sheet = quad(*[(x, y, 0.0) for x, y in corners], 1.0)  # type: ignore[arg-type]
    polygon = shapely.Polygon(corners)
    assert sheet.mass == pytest.approx(polygon.area)
    assert sheet.centre[:2] == pytest.approx([polygon.centroid.x, polygon.centroid.y])


def test_hoop_in_the_limit() -> None:
    """Thin hoop: m r² about its axis, half of that about a diameter."""
    angles = np.linspace(0, 2 * np.pi, 721)
    hoop = polyline([(0.1 * math.cos(a), 0.1 * math.sin(a), 0.0) for a in angles], 0.05)
    expect = [0.05 * 0.01 / 2, 0.05 * 0.01 / 2, 0.05 * 0.01]
    assert np.diag(about_centre(hoop)) == pytest.approx(expect, rel=1e-4)
    assert hoop.centre == pytest.approx([0, 0, 0], abs=1e-12)


def test_parallel_axis_theorem() -> None:
    """Steiner: I = I_c + m (d² 1 - d dᵀ)."""
    sheet = together(
        [
            quad((0, 0, 0), (1, 0, 0.1), (1, 1, 0.3), (0, 1, 0.2), 2.0),
            block((3, 1, 2), (1, 2, 3), 4),
        ]
    )
    place = np.array([0.7, -1.1, 2.3])
    away = place - sheet.centre
    steiner = sheet.mass * (away @ away * np.eye(3) - np.outer(away, away))
    assert inertia_about(sheet, place) == pytest.approx(about_centre(sheet) + steiner)
