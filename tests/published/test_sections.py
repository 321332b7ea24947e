"""Section shapes against printed ordinates and closed forms.

Formula: Jacobs, Ward & Pinkerton, NACA Report 460 (1933), restated in Ladson et al., NASA TM 4741
(1996). Ordinates: Abbott, von Doenhoff & Stivers, NACA Report 824 (1945), remembered and each
checked against the formula.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from scipy.integrate import quad

from plansgen.airframe.sections import SectionShape, naca_outline, naca_thickness, section_shape
from plansgen.library.models import Section

# Station, then ordinate printed and ordinate of the formula, in per cent of the chord.
NACA_0012 = [
    (1.25, 1.894, 1.894), (2.5, 2.615, 2.615), (5, 3.555, 3.555), (7.5, 4.200, 4.200),
    (10, 4.683, 4.683), (15, 5.345, 5.345), (20, 5.737, 5.738), (25, 5.941, 5.941),
    (30, 6.002, 6.002), (40, 5.803, 5.803), (50, 5.294, 5.294), (60, 4.563, 4.563),
    (70, 3.664, 3.664), (80, 2.623, 2.623), (90, 1.448, 1.448), (95, 0.807, 0.807),
    (100, 0.126, 0.126),
]  # fmt: skip
# Station, then upper printed, upper of the formula, lower printed, lower of the formula.
NACA_2412 = [
    (1.25, 2.15, 2.160, -1.65, -1.652), (2.5, 2.99, 2.986, -2.27, -2.268),
    (5, 4.13, 4.131, -3.01, -3.005), (7.5, 4.96, 4.968, -3.46, -3.458),
    (10, 5.63, 5.629, -3.75, -3.761), (15, 6.61, 6.607, -4.10, -4.102),
    (20, 7.26, 7.261, -4.23, -4.228), (25, 7.67, 7.670, -4.22, -4.221),
    (30, 7.88, 7.879, -4.12, -4.129), (40, 7.80, 7.803, -3.80, -3.803),
    (50, 7.24, 7.242, -3.34, -3.346), (60, 6.36, 6.351, -2.76, -2.778),
    (70, 5.18, 5.178, -2.14, -2.154), (80, 3.75, 3.750, -1.50, -1.502),
    (90, 2.08, 2.071, -0.82, -0.829), (95, 1.14, 1.134, -0.48, -0.482),
]  # fmt: skip
NACA_4412 = [
    (1.25, 2.44, 2.448, -1.43, -1.434), (2.5, 3.39, 3.381, -1.95, -1.947),
    (5, 4.73, 4.731, -2.49, -2.482), (7.5, 5.76, 5.760, -2.74, -2.743),
    (10, 6.59, 6.598, -2.86, -2.864), (15, 7.89, 7.888, -2.88, -2.879),
    (20, 8.80, 8.797, -2.74, -2.732), (25, 9.41, 9.405, -2.50, -2.509),
    (30, 9.76, 9.759, -2.26, -2.259), (40, 9.80, 9.803, -1.80, -1.803),
    (50, 9.19, 9.192, -1.40, -1.399), (60, 8.14, 8.140, -1.00, -0.996),
    (70, 6.69, 6.696, -0.65, -0.648), (80, 4.89, 4.882, -0.39, -0.386),
    (90, 2.71, 2.699, -0.22, -0.215), (95, 1.47, 1.465, -0.16, -0.161),
]  # fmt: skip
DRAWN = 0.02  # per cent: cambered tables were drawn by hand and printed to two decimals
HALF_DIGIT = 0.001  # per cent: the last digit of the tables of the formula


def naca(digits: str) -> SectionShape:
    return section_shape(Section(kind="naca", digits=digits), chord=0.2)


@pytest.mark.parametrize(("x", "printed", "formula"), NACA_0012)
def test_0012_ordinates(x: float, printed: float, formula: float) -> None:
    """NACA Report 824, table of the 0012."""
    found = 100 * float(naca_thickness(np.array(x / 100), 0.12))
    assert found == pytest.approx(printed, abs=HALF_DIGIT)
    assert found == pytest.approx(formula, abs=HALF_DIGIT)


@pytest.mark.parametrize(("digits", "table"), [("2412", NACA_2412), ("4412", NACA_4412)])
def test_cambered_ordinates(digits: str, table: list[tuple[float, ...]]) -> None:
    """NACA Report 824, tables of the 2412 and 4412."""
    upper, lower = naca_outline(digits)
    for x, up_printed, up, low_printed, low in table:
        found = [100 * float(np.interp(x / 100, *side.T)) for side in (upper, lower)]
        assert found == pytest.approx([up, low], abs=HALF_DIGIT)
        assert found == pytest.approx([up_printed, low_printed], abs=DRAWN)


@pytest.mark.parametrize(("digits", "slope"), [("2412", 0.10), ("4412", 0.20)])
def test_leading_edge_radius(digits: str, slope: float) -> None:
    """NACA Report 460: r = 1.1019 t² on a line of the mean line's slope at the nose, 2m/p.

    A circle through the nose and both surfaces close behind it has nearly that radius and centre.
    """
    upper, lower = naca_outline(digits, 20000)
    nose = np.array([0.0, 0.0])
    a, b = upper[8], lower[8]
    matrix = 2 * np.array([a - nose, b - nose])
    centre = np.linalg.solve(matrix, [a @ a, b @ b])
    assert np.hypot(*centre) == pytest.approx(1.1019 * 0.12**2, rel=0.02)
    assert centre[1] / centre[0] == pytest.approx(slope, rel=0.02)


def test_greatest_thickness_of_the_family() -> None:
    """Derived from the formula of NACA Report 460: 1.00029 t at 29.98 % of the chord."""
    x = np.linspace(0, 1, 100_001)
    half = naca_thickness(x, 0.12)
    assert 2 * half.max() == pytest.approx(1.00029 * 0.12, abs=2e-6)
    assert x[half.argmax()] == pytest.approx(0.29983, abs=2e-5)
    assert naca("0012").thickness == pytest.approx(1.00029 * 0.12, abs=1e-5)


@pytest.mark.parametrize(
    ("digits", "area"), [("0012", 0.082210), ("2412", 0.082282), ("4412", 0.082497)]
)
def test_enclosed_area(digits: str, area: float) -> None:
    """Integral of the formula of NACA Report 460; and shapely on the outline."""
    assert naca(digits).enclosed == pytest.approx(area, abs=1e-6)
    upper, lower = naca_outline(digits)
    assert naca(digits).enclosed == pytest.approx(
        shapely.Polygon(np.vstack([upper[::-1], lower])).area, rel=1e-12
    )


def test_enclosed_area_of_0012_by_hand() -> None:
    """The polynomial of NACA Report 460 integrated term by term."""
    terms = 0.2969 / 1.5 - 0.1260 / 2 - 0.3516 / 3 + 0.2843 / 4 - 0.1015 / 5
    assert naca("0012").enclosed == pytest.approx(2 * 5 * 0.12 * terms, abs=2e-7)


ARCS = [
    ("0012", 1.019636, 1.019636),
    ("2412", 1.028032, 1.013370),
    ("4412", 1.038457, 1.009309),
    ("0009", 1.012190, 1.012190),
]


@pytest.mark.parametrize(("digits", "upper", "lower"), ARCS)
def test_skin_lengths(digits: str, upper: float, lower: float) -> None:
    """Arc lengths derived from the formula of NACA Report 460, open trailing edge."""
    shape = naca(digits)
    assert (shape.upper, shape.lower) == pytest.approx((upper, lower), abs=2e-6)
    assert shape.girth == pytest.approx(upper + lower, abs=4e-6)


def _slope(f: Callable[[float], float], s: float) -> float:
    return (f(s + 1e-6) - f(s - 1e-6)) / 2e-6


@pytest.mark.parametrize("digits", ["0012", "2412", "4412", "6409"])
def test_skin_lengths_by_quadrature(digits: str) -> None:
    """Reference: scipy.integrate.quad of NACA Report 460's formula written out again.

    With x = s² the slope at the nose is finite and the integrand smooth.
    """
    m, p, t = int(digits[0]) / 100, int(digits[1]) / 10, int(digits[2:]) / 100

    def half(x: float) -> float:
        root = math.sqrt(x)
        return 5 * t * (
            0.2969 * root - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4
        )  # fmt: skip

    def line(x: float) -> tuple[float, float]:
        if m == 0:
            return 0.0, 0.0
        if x < p:
            return m / p**2 * (2 * p * x - x * x), math.atan(2 * m / p**2 * (p - x))
        rear = m / (1 - p) ** 2
        return rear * (1 - 2 * p + 2 * p * x - x * x), math.atan(2 * rear * (p - x))

    def length(sign: int) -> float:
        def x_of(s: float) -> float:
            return s * s - sign * half(s * s) * math.sin(line(s * s)[1])

        def z_of(s: float) -> float:
            return line(s * s)[0] + sign * half(s * s) * math.cos(line(s * s)[1])

        def speed(s: float) -> float:
            return math.hypot(_slope(x_of, s), _slope(z_of, s))

        bend = [math.sqrt(p)] if m else None
        return float(quad(speed, 2e-6, 1 - 2e-6, points=bend, limit=200)[0])

    shape = naca(digits)
    assert (shape.upper, shape.lower) == pytest.approx((length(1), length(-1)), abs=1e-5)


def test_circular_limit_of_a_cambered_plate() -> None:
    """Elementary: a shallow parabola of height f over a chord is 1 + (8/3) f² long."""
    shape = section_shape(
        Section.model_validate(
            {"kind": "cambered plate", "thickness": 0.001, "camber": 0.04, "camber_at": 0.5}
        ),
        chord=1.0,
    )
    middle = (shape.upper + shape.lower) / 2
    assert middle == pytest.approx(1 + 8 / 3 * 0.04**2, abs=3e-5)


def test_folded_sheet_is_three_flats() -> None:
    """Plane geometry: sheet 5, spar 12 at 30 % of 200: top 22 high, one sheet at each end."""
    shape = section_shape(
        Section.model_validate({"kind": "folded sheet", "thickness": 5, "spar_height": 12}),
        chord=0.2,
    )
    top = math.hypot(60, 22 - 5) + math.hypot(140, 22 - 5)
    bottom = math.hypot(5, 5) + 195
    assert shape.upper * 200 == pytest.approx(top)
    assert shape.lower * 200 == pytest.approx(bottom)
    outline = shapely.Polygon([(0, 5), (60, 22), (200, 5), (200, 0), (5, 0)])
    assert shape.enclosed * 200**2 == pytest.approx(outline.area)
    # 22 mm stand at the spar; the reading is taken on a grid of 1/400 of the chord
    assert shape.thickness * 200 == pytest.approx(22, abs=0.1)


def test_flat_plate() -> None:
    """Plane geometry: each skin is the chord and half of both edges."""
    shape = section_shape(Section.model_validate({"kind": "plate", "thickness": 5}), chord=0.2)
    assert shape.upper == shape.lower == pytest.approx(1 + 5 / 200)
    assert shape.enclosed == pytest.approx(5 / 200)
    assert shape.thickness == pytest.approx(5 / 200)


@pytest.mark.parametrize("turned", [False, True])
def test_section_from_points_is_the_section(turned: bool) -> None:
    """Reference: NACA Report 460's outline handed in as points, in any unit, either way round."""
    upper, lower = naca_outline("2412", 200)
    loop = np.vstack([upper[::-1], lower[1:]]) * 180 + [12.0, 0.0]
    if turned:
        loop = loop[::-1]
    points = tuple((float(x), float(z)) for x, z in loop)
    shape = section_shape(Section(kind="points", file="a.txt"), chord=0.2, points=points)
    # A cambered nose reaches a little ahead of x = 0: the chord is that much longer, and the skins
    # part at the foremost point, so that their sum is compared.
    chord = float(np.ptp(loop[:, 0])) / 180
    assert shape.girth * chord == pytest.approx(naca("2412").girth, abs=2e-5)
    assert shape.enclosed * chord**2 == pytest.approx(naca("2412").enclosed, abs=2e-5)
    assert shape.upper > shape.lower
