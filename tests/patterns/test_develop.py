"""Unrolling against solids whose plane shape is known in closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.patterns.develop import Array, develop, ruled_area

N = 720


def ring(radius: float, z: float, count: int = N) -> Array:
    angle = np.linspace(0.0, 2 * math.pi, count + 1)
    return np.column_stack([radius * np.cos(angle), radius * np.sin(angle), np.full(count + 1, z)])


def sector(points: Array, apex: Array) -> float:
    """Angle that points about an apex sweep, degrees."""
    turned = np.unwrap(np.arctan2(*(points - apex).T[::-1]))
    return abs(math.degrees(turned[-1] - turned[0]))


# Textbook geometry of the right circular cone: slant √(r² + h²), sector 2πr/slant.
def test_cone_becomes_its_sector() -> None:
    flat = develop(ring(0.0, 120.0), ring(50.0, 0.0))
    slant = np.linalg.norm(flat.flat_far - flat.flat_near[0], axis=1)
    assert slant == pytest.approx(130.0, rel=1e-9)
    # chords are shorter than arcs by (π/720)²/6
    assert sector(flat.flat_far, flat.flat_near[0]) == pytest.approx(138.4615, abs=0.001)
    assert flat.flat_area == pytest.approx(20420.35, rel=2e-5)
    assert flat.misfit.cross < 1e-9


def test_frustum_becomes_a_ring_sector() -> None:
    flat = develop(ring(30.0, 100.0), ring(50.0, 0.0))
    # the apex is where the first and a later rung meet
    a, b = flat.flat_near[0], flat.flat_far[0]
    apex = a + (a - b) / np.linalg.norm(a - b) * 152.970585
    assert np.linalg.norm(flat.flat_far - apex, axis=1) == pytest.approx(254.950976, rel=1e-5)
    assert np.linalg.norm(flat.flat_near - apex, axis=1) == pytest.approx(152.970585, rel=1e-5)
    assert sector(flat.flat_far, apex) == pytest.approx(70.601809, abs=0.001)
    assert flat.flat_area == pytest.approx(25630.468, rel=2e-5)


def test_box_keeps_its_faces() -> None:
    near = np.array([[0, 0, 0], [3, 0, 0], [3, 4, 0], [0, 4, 0]], dtype=float)
    flat = develop(near, near + np.array([0.0, 0.0, 2.0]))
    assert flat.flat_near[:, 0] == pytest.approx([0, 3, 7, 10])
    assert flat.flat_far[:, 1] == pytest.approx([2, 2, 2, 2])


def twisted(degrees: float, count: int = 64) -> tuple[Array, Array]:
    """A helicoid between radius 1 and 2: both rails are exact helices."""
    turn = np.linspace(0.0, math.radians(degrees), count + 1)
    along = np.linspace(0.0, 10.0, count + 1)
    inner = np.column_stack([along, np.cos(turn), np.sin(turn)])
    return inner, inner * [1.0, 2.0, 2.0]


def test_twist_is_told() -> None:
    # Area of a helicoid: ∫∫ √(1 + (k r)²) dr ds, k = turn per length (any calculus text).
    k = math.radians(90.0) / 10.0
    r = np.linspace(1.0, 2.0, 20001)
    exact = 10.0 * np.trapezoid(np.sqrt(1 + (k * r) ** 2), r)
    near, far = twisted(90.0)
    assert ruled_area(near, far) == pytest.approx(exact, rel=1e-4)
    flat = develop(near, far)
    assert flat.misfit.edges < 1e-9  # rails and rungs are kept
    assert flat.misfit.cross > 1e-4  # so the rest must give
    assert flat.misfit.stretch > 1e-4
    assert flat.darts(1.0) == ()
    (dart,) = flat.darts(flat.misfit.stretch / 2)
    assert dart.last - dart.first > 30
    assert abs(dart.width) > 0.001


def test_twist_of_nothing_is_nothing() -> None:
    flat = develop(*twisted(0.0))
    assert max(flat.misfit.cross, flat.misfit.stretch, flat.misfit.length) < 1e-12


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.1, 2.0), st.floats(-1.2, 1.2)), min_size=2, max_size=12),
    st.floats(0.2, 3.0),
    st.floats(-0.4, 0.4),
)
def test_general_cones_and_cylinders_keep_lengths_and_area(
    steps: list[tuple[float, float]], scale: float, shift: float
) -> None:
    """A plane curve and the same curve scaled span a developable strip."""
    turn = np.cumsum([angle for _, angle in steps])
    size = np.array([length for length, _ in steps])
    moves = np.column_stack([size * np.cos(turn), size * np.sin(turn)])
    curve = np.vstack([[0.0, 0.0], np.cumsum(moves, axis=0)])
    near = np.column_stack([curve[:, 0], np.zeros(len(curve)), curve[:, 1]])
    far = near * scale + [shift, 2.0, 0.3]
    flat = develop(near, far)
    misfit = flat.misfit
    assert max(misfit.edges, misfit.cross, misfit.area) < 1e-3
    assert misfit.length < 1e-3 * size.sum()


@settings(max_examples=20, deadline=None)
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_rolling_up_undoes_it(along: float, across: float) -> None:
    near, far = ring(30.0, 100.0, 60), ring(50.0, 0.0, 60)
    flat = develop(near, far)
    place = flat.at(along * 60, across)
    (solid,) = flat.rolled([place])
    i = min(int(along * 60), 59)
    rung = [(near + (far - near) * across)[j] for j in (i, i + 1)]
    want = rung[0] + (rung[1] - rung[0]) * (along * 60 - i)
    assert solid == pytest.approx(want, abs=1e-6)


@pytest.mark.parametrize(
    ("near", "far"),
    [
        (ring(1.0, 0.0, 4), ring(1.0, 1.0, 5)),
        (np.zeros((1, 3)), np.ones((1, 3))),
        (
            np.array([[0, 0, 0], [1, 0, 0], [2, 0, 0]], dtype=float),
            np.array([[0, 1, 0], [1, 0, 0], [2, 1, 0]], dtype=float),
        ),
    ],
)
def test_no_strip(near: Array, far: Array) -> None:
    with pytest.raises(ValueError, match="rails"):
        develop(near, far)
