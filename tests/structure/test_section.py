"""Transformed sections: hand sums, what must hold for every cut, and a general library."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.structure.comparison import box_against_sheets, stick_on_edge_against_flat
from plansgen.structure.section import Cut, Piece, Stress, properties, stresses
from tests.structure.strips import box, chain, cut, full_box, solid, strip

few = settings(max_examples=25, deadline=None)

STIFF = solid(500.0, name="cap")
LOADS = {"shear": 0.0, "bending": 0.0, "torque": 0.0}


def kind(found: tuple[Stress, ...], name: str, part: str = "strip") -> Stress:
    return next(s for s in found if s.kind == name and s.part == part)


def test_hollow_box() -> None:
    """60 × 40 outside, wall 5: by subtraction, 60·40³/12 - 50·30³/12 and the same sideways."""
    found = properties(cut(full_box(60, 40, 5)))
    assert found.axial == pytest.approx(900)
    assert found.bending == pytest.approx(207_500)
    assert found.chord_bending == pytest.approx(407_500)
    assert found.product == pytest.approx(0, abs=1e-6)


def test_stiff_caps_on_a_soft_box() -> None:
    """Transformed section by hand: caps 10 × 2 of 500 times the modulus, one and two."""
    caps = [strip((-5, 21), (5, 21), 2, STIFF), strip((-5, -21), (5, -21), 2, STIFF)]
    both = properties(cut([*full_box(60, 40, 5), *caps]))
    assert both.bending == pytest.approx(9_034_166.7, rel=1e-7)
    one = properties(cut([*full_box(60, 40, 5), caps[0]]))
    assert one.bending == pytest.approx(574_961.8, rel=1e-6)
    assert one.centre[1] == pytest.approx(19.2661, abs=1e-4)


def test_a_strip_on_edge_is_25_times_as_stiff_as_flat() -> None:
    """10 × 2: w h³/12 both ways, any text of mechanics of materials."""
    pair = stick_on_edge_against_flat(width=10, height=2, modulus=1)
    assert (pair.on_edge, pair.flat) == pytest.approx((166.6667, 6.66667), rel=1e-6)
    assert pair.ratio == pytest.approx(25)
    upright = properties(cut([strip((0, 0), (0, 10), 2)]))
    assert upright.bending == pytest.approx(pair.on_edge)
    assert upright.chord_bending == pytest.approx(pair.flat)


def test_an_angle_bends_sideways_under_upright_load() -> None:
    """Unequal angle 80 × 60 × 8: σ by the formula for unsymmetric bending, worked in full.

    σ = (M (I_y z - I_xy x))/(I_x I_y - I_xy²), Gere & Timoshenko, from memory.
    """
    pieces = [strip((4, 0), (4, 80), 8), strip((8, 4), (60, 4), 8)]
    areas, xs, zs = np.array([640, 416]), np.array([4, 34]), np.array([40, 4])
    x0, z0 = areas @ xs / areas.sum(), areas @ zs / areas.sum()
    ix = 8 * 80**3 / 12 + 52 * 8**3 / 12 + areas @ (zs - z0) ** 2
    iy = 80 * 8**3 / 12 + 8 * 52**3 / 12 + areas @ (xs - x0) ** 2
    ixy = areas @ ((xs - x0) * (zs - z0))
    angle = cut(pieces)
    found = properties(angle)
    assert (found.bending, found.chord_bending) == pytest.approx((ix, iy))
    assert found.product == pytest.approx(ixy)
    x, z = 0 - x0, 80 - z0
    sigma = 1000 * (iy * z - ixy * x) / (ix * iy - ixy**2)
    pushed = kind(stresses(angle, **LOADS | {"bending": 1000}), "compression")
    corner = [1000 * (iy * (80 - z0) - ixy * (x - x0)) / (ix * iy - ixy**2) for x in (0, 8)]
    assert pushed.stress == pytest.approx(max(corner))
    assert max(corner) >= sigma


def test_pull_and_bending_add_up() -> None:
    """N/A ± M z/I on a strip on edge, 10 × 2: 40/20 ± 100·5/166.67."""
    found = stresses(cut([strip((0, 0), (0, 10), 2)]), **LOADS | {"bending": 100}, axial=40)
    assert kind(found, "tension").stress == pytest.approx(2 + 3)
    assert kind(found, "compression").stress == pytest.approx(3 - 2)
    assert kind(found, "tension").place[1] == 0
    assert kind(found, "compression").reserve == pytest.approx(1.0)


def test_signs_of_bending() -> None:
    """Tip bent up pushes the top; tip bent aft pushes the rear."""
    box_cut = cut(box(60, 40, 5))
    up = stresses(box_cut, **LOADS | {"bending": 1000})
    assert kind(up, "compression").place[1] > 0
    aft = stresses(box_cut, **LOADS, chord_bending=1000)
    assert kind(aft, "compression").place[0] > 0


def test_shear_of_a_rectangle() -> None:
    """1.5 V/A in the middle of an upright strip: Gere & Timoshenko, from memory."""
    found = kind(stresses(cut([strip((0, 0), (0, 10), 2)]), **LOADS | {"shear": 40}), "shear")
    assert found.stress == pytest.approx(1.5 * 40 / 20)


def test_nothing_cut_is_told() -> None:
    with pytest.raises(ValueError, match="nothing of known strength"):
        properties(Cut(0.0, ()))


def test_a_box_against_its_own_loose_sheets() -> None:
    """Two sheets 100 × 1, 20 apart on thin webs: E w h³/12 of the sheets alone when loose."""
    pieces = chain([(0, 0), (100, 0), (100, 20), (0, 20), (0, 0)], 1)
    pair = box_against_sheets(cut(pieces))
    assert pair.loose_bending == pytest.approx(2 * (100 + 20) / 12)
    assert pair.loose_torsion == pytest.approx(2 * (100 + 20) / 3)
    assert pair.bending_ratio == pytest.approx((2 * 100 * 10**2 + 2 * 20**3 / 12) / 20, rel=0.01)
    assert pair.torsion_ratio == pytest.approx(4 * 2000**2 / 240 / 80, rel=0.01)


# --- what must hold for every cut ------------------------------------------------------------

places = st.tuples(st.floats(-50, 50), st.floats(-20, 20))


@st.composite
def cuts(draw: st.DrawFn) -> Cut:
    """A chain of strips of different materials through random places."""
    corners = draw(st.lists(places, min_size=3, max_size=6))
    pieces: list[Piece] = []
    for a, b in pairwise(corners):
        if math.dist(a, b) < 1:
            continue
        stuff = solid(draw(st.floats(0.5, 20)), draw(st.floats(0.5, 20)))
        pieces.append(strip(a, b, draw(st.floats(0.2, 3)), stuff))
    if not pieces:
        pieces = [strip((0, 0), (10, 0), 1)]
    return cut(pieces)


def tensor(one: Cut) -> np.ndarray:
    found = properties(one)
    return np.array([[found.chord_bending, found.product], [found.product, found.bending]])


@few
@given(cuts(), st.floats(0.1, 0.9))
def test_splitting_a_strip_changes_nothing(one: Cut, share: float) -> None:
    halves = []
    for piece in one.pieces:
        middle = tuple(a + (b - a) * share for a, b in zip(piece.start, piece.end, strict=True))
        halves += [replace(piece, end=middle), replace(piece, start=middle)]
    assert tensor(cut(halves)) == pytest.approx(tensor(one), rel=1e-9, abs=1e-6)


@few
@given(cuts(), st.floats(0, 6.3))
def test_turning_a_cut_keeps_its_invariants(one: Cut, angle: float) -> None:
    """Trace and determinant of the tensor of inertia do not change: Mohr's circle."""
    cos, sin = math.cos(angle), math.sin(angle)

    def turned(p: tuple[float, float]) -> tuple[float, float]:
        return (p[0] * cos - p[1] * sin, p[0] * sin + p[1] * cos)

    other = cut([replace(p, start=turned(p.start), end=turned(p.end)) for p in one.pieces])
    before, after = tensor(one), tensor(other)
    assert np.trace(after) == pytest.approx(np.trace(before), rel=1e-9)
    scale = np.trace(before) ** 2
    assert np.linalg.det(after) / scale == pytest.approx(np.linalg.det(before) / scale, abs=1e-9)


@few
@given(cuts(), st.floats(0.2, 5))
def test_scaling(one: Cut, factor: float) -> None:
    """EI grows with the fourth power of size, EA with the second."""

    def scaled(p: Piece) -> Piece:
        a, b = ((q[0] * factor, q[1] * factor) for q in (p.start, p.end))
        return replace(p, start=a, end=b, thickness=p.thickness * factor)

    other = cut([scaled(p) for p in one.pieces])
    assert tensor(other) == pytest.approx(tensor(one) * factor**4, rel=1e-9, abs=1e-6)
    assert properties(other).axial == pytest.approx(properties(one).axial * factor**2)
