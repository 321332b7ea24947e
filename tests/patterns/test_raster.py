"""Cells against plane geometry: a cell is covered when the part's inside touches it, else not."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import Polygon, box

from plansgen.patterns.raster import Grid, covered, rectangles, shape_of

CELL = 10
points = st.tuples(st.integers(0, 60), st.integers(0, 60))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(points, min_size=3, max_size=7, unique=True))
def test_cells_are_those_that_the_inside_touches(corners: list[tuple[int, int]]) -> None:
    polygon = Polygon(corners)
    assume(polygon.is_valid and polygon.area > 1)
    cells = covered([np.array(corners, dtype=np.int64)], nx=6, ny=6, cell=CELL)
    for x in range(6):
        for y in range(6):
            cell = box(x * CELL, y * CELL, (x + 1) * CELL, (y + 1) * CELL)
            assert cells[x, y] == (polygon.intersection(cell).area > 1e-9)
    again = np.zeros_like(cells)
    for x0, y0, x1, y1 in rectangles(cells):
        assert cells[x0:x1, y0:y1].all()
        again[x0:x1, y0:y1] = True
    assert (again == cells).all()


def square(side: int) -> np.ndarray:
    return np.array([(0, 0), (side, 0), (side, side), (0, side)], dtype=np.int64)


def test_whole_cells_touch_no_neighbours() -> None:
    assert shape_of([square(30)], CELL).box == (3, 3)
    assert shape_of([square(31)], CELL).box == (4, 4)


def test_a_hole_is_free() -> None:
    hole = square(20) + 20
    cells = covered([square(60), hole], nx=6, ny=6, cell=CELL)
    assert cells.sum() == 36 - 4
    assert not cells[2:4, 2:4].any()


def test_places_are_taken_one_by_one() -> None:
    grid, shape = Grid(60, 60, CELL), shape_of([square(30)], CELL)
    found = []
    while (place := grid.first(shape, stop=7)) is not None:
        grid.put(shape, *place)
        found.append(place)
    assert found == [(0, 0), (0, 3), (3, 0), (3, 3)]


@pytest.mark.parametrize(("side", "place"), [(35, (0, 0)), (60, (0, 0)), (61, None)])
def test_the_last_cell_may_be_cut_by_the_edge(side: int, place: tuple[int, int] | None) -> None:
    assert Grid(60, 60, CELL).first(shape_of([square(side)], CELL), stop=9) == place
