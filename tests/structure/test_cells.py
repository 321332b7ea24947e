"""Torsion and shear flow: Bredt, Bredt-Batho, flows that add up."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.structure.cells import analyse, shear_resultant
from plansgen.structure.section import Cut, Piece, Wall, properties
from plansgen.structure.strips import rectangle_torsion
from tests.structure.strips import box, chain, cut, solid, strip

few = settings(max_examples=20, deadline=None)


def two_cells(left: float, right: float, height: float, wall: float, web: float) -> list[Piece]:
    """Two rectangular cells side by side that share a web."""
    round_it = [(0, 0), (left, 0), (left + right, 0), (left + right, height)]
    round_it += [(left, height), (0, height), (0, 0)]
    return [*chain(round_it, wall), strip((left, 0), (left, height), web)]


def test_bredt_box() -> None:
    """4 A² t/s of the box 60 × 40 × 5: 411 736; the walls' own St Venant torsion comes on top."""
    found = properties(cut(box(60, 40, 5))).torsion
    own = 2 * (55 + 35) * 5**3 / 3
    assert found - own == pytest.approx(411_736, rel=1e-6)


def test_flat_strip() -> None:
    """10 × 2: 23.307 by the series for a solid rectangle (Roark, from memory)."""
    assert rectangle_torsion(10, 2) == pytest.approx(23.307, abs=0.001)
    assert rectangle_torsion(2, 10) == rectangle_torsion(10, 2)
    assert properties(cut([strip((0, 0), (10, 0), 2)])).torsion == pytest.approx(23.307, abs=1e-3)


def test_a_square_bar() -> None:
    """0.1406 a⁴ (Roark, from memory)."""
    assert rectangle_torsion(1, 1) == pytest.approx(0.1406, rel=2e-3)


def test_a_cut_tube_loses_nearly_all() -> None:
    """Closed: 4 A² t/s; slit open: s t³/3. Any text on thin-walled tubes."""
    places = [
        (10 * math.cos(a), 10 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 61).tolist()
    ]
    closed = [*places[:-1], places[0]]
    girth = sum(math.dist(a, b) for a, b in pairwise(places))
    area = 60 / 2 * 100 * math.sin(2 * math.pi / 60)
    open_torsion = properties(cut(chain(closed[:-1], 0.2))).torsion
    assert open_torsion == pytest.approx(girth * (59 / 60) * 0.2**3 / 3, rel=1e-6)
    closed_torsion = properties(cut(chain(closed, 0.2))).torsion
    assert closed_torsion - girth * 0.2**3 / 3 == pytest.approx(4 * area**2 * 0.2 / girth)


def test_bredt_batho_by_hand() -> None:
    """Two cells: equal twist rates give two equations for the two flows (Megson, from memory)."""
    left, right, height, wall, web = 40.0, 60.0, 30.0, 1.0, 2.0
    a, b = left * height, right * height
    around = (2 * left + height) / wall, (2 * right + height) / wall
    shared = height / web
    matrix = [
        [(around[0] + shared) / (2 * a), -shared / (2 * a)],
        [-shared / (2 * b), (around[1] + shared) / (2 * b)],
    ]
    q1, q2 = np.linalg.solve(matrix, [1.0, 1.0])
    pieces = two_cells(left, right, height, wall, web)
    own = (2 * (left + right + height) * wall**3 + height * web**3) / 3
    found = analyse(cut(pieces))
    assert found.torsion - own == pytest.approx(2 * (a * q1 + b * q2))
    flows = np.abs(found.twist.mean)
    assert flows[-1] == pytest.approx(abs(q1 - q2))
    assert flows.max() == pytest.approx(max(q1, q2))


def test_all_plies_of_a_wall_count() -> None:
    """Two layers of different stuff on one wall flow like one of the sum of G t."""
    thin = [replace(piece, thickness=0.01) for piece in box(60, 40, 1, solid(1, 10.0))]
    one = properties(cut(thin)).torsion
    plies = [
        replace(piece, solid=solid(1, g), thickness=0.005) for g in (1.0, 19.0) for piece in thin
    ]
    walls = tuple(Wall(piece.start, piece.end, (i, i + len(thin))) for i, piece in enumerate(thin))
    assert properties(Cut(0.0, tuple(plies), walls)).torsion == pytest.approx(one, rel=1e-6)


def test_shear_of_a_thin_box_runs_in_its_webs() -> None:
    """q = V Q/(2 I) at mid height of each web: Gere & Timoshenko, from memory."""
    pieces = box(60, 40, 1)
    found = analyse(cut(pieces))
    flow, rate = found.flow((0.0, 100.0), 0.0)
    inertia = properties(cut(pieces)).bending
    first_moment = 59 * 19.5 + 2 * 19.5**2 / 2
    assert flow.peak().max() == pytest.approx(100 * first_moment / (2 * inertia), rel=1e-9)
    assert rate == pytest.approx(0, abs=1e-12)


def test_shear_off_the_shear_centre_twists() -> None:
    """A force 10 mm aft of the middle of a box is the force there and a nose-down moment."""
    box_cut = cut(box(60, 40, 1), axis=(10.0, 0.0))
    _, rate = analyse(box_cut).flow((0.0, 100.0), 0.0)
    assert rate == pytest.approx(-1000 / properties(box_cut).torsion)


@few
@given(st.floats(5, 80), st.floats(5, 80), st.floats(5, 40), st.floats(0.1, 1), st.floats(0.1, 1))
def test_flows_add_up_to_the_load(
    left: float, right: float, height: float, wall: float, web: float
) -> None:
    """Forces balance, and the flow of pure twist gives back the torque."""
    one = cut(two_cells(left, right, height, wall, web), axis=(0.0, 0.0))
    aft, up = shear_resultant(one, shear=7.0, chord_shear=-3.0)
    assert (aft, up) == pytest.approx((-3.0, 7.0))
    found = analyse(one)
    flow, rate = found.flow((0.0, 0.0), 11.0)
    ends = np.array([(*wall.start, *wall.end) for wall in found.walls])
    cross = ends[:, 1] * (ends[:, 2] - ends[:, 0]) - ends[:, 0] * (ends[:, 3] - ends[:, 1])
    own = (2 * (left + right + height) * wall**3 + height * web**3) / 3
    assert flow.mean @ cross + own * rate == pytest.approx(11.0)


@few
@given(st.floats(10, 60), st.floats(10, 40), st.floats(-50, 50))
def test_the_twist_does_not_depend_on_the_pole(width: float, height: float, x: float) -> None:
    pieces = box(width, height, 0.5)
    assert properties(cut(pieces, axis=(x, 3.0))).torsion == pytest.approx(
        properties(cut(pieces)).torsion
    )
