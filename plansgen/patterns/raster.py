"""Parts and sheets on a grid of whole cells, so that every decision of nesting is one on integers.

Axis 0 of every array is x, the way a sheet is filled; axis 1 is y. Lengths are whole micrometres.
A part covers every cell that its inside touches, so cells that do not meet are parts that do not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_SLAB = 64  # columns searched at a time
_CHUNK = 1024  # places tested at a time
_BATCH = 8  # rectangles tested at a time


@dataclass(frozen=True)
class Shape:
    """A part in one attitude, on cells.

    width, height: exact extent of the part [µm]. box: the cells it spans. rects: rectangles of
    cells (x0, y0, x1, y1) that together are the part, the most telling ones first. total: number of
    covered cells below and left of each corner of the grid.
    """

    width: int
    height: int
    rects: Ints
    total: NDArray[np.int32]

    @property
    def box(self) -> tuple[int, int]:
        """How many cells it spans in x and y."""
        nx, ny = self.total.shape
        return nx - 1, ny - 1


def shape_of(rings: Sequence[Ints], cell: int) -> Shape:
    """Put a part on the grid.

    Args:
        rings: Outline and holes, whole micrometres, none below 0, the least being 0.
        cell: Side of a cell. [µm]
    """
    width, height = (int(value) for value in rings[0].max(axis=0))
    mask = covered(rings, nx=-(-width // cell), ny=-(-height // cell), cell=cell)
    return Shape(width, height, rectangles(mask), summed(mask))


def covered(rings: Sequence[Ints], *, nx: int, ny: int, cell: int) -> Bools:
    """Every cell that the inside of the rings (even-odd) touches.

    An edge that runs along a line of the grid touches the cells of its inner side only, so that
    parts of a whole number of cells fit each other exactly.
    """
    edges = np.concatenate([np.hstack([ring, np.roll(ring, -1, axis=0)]) for ring in rings])
    edges = edges[(edges[:, :2] != edges[:, 2:]).any(axis=1)]
    back = edges[:, 0] > edges[:, 2]
    edges[back] = edges[back][:, [2, 3, 0, 1]]
    marks = np.zeros((nx + 1, ny + 2), dtype=np.int32)
    _mark_edges(marks, edges, cell)
    inside = np.zeros((nx + 1, ny + 2), dtype=np.int32)
    _mark_inside(inside, edges, cell, nx)
    touched = (marks.cumsum(axis=1) > 0) | (inside.cumsum(axis=1) % 2 == 1)
    return np.asarray(touched[:nx, :ny])


def _columns(first: Ints, count: Ints) -> tuple[Ints, Ints]:
    """Each edge's number repeated for every column it spans, and those columns."""
    number = np.repeat(np.arange(len(first)), count)
    start = np.repeat(np.cumsum(count) - count, count)
    return number, first[number] + np.arange(len(number)) - start


def _mark_edges(marks: NDArray[np.int32], edges: Ints, cell: int) -> None:
    """Begin and end, column by column, the run of cells that an edge passes through."""
    upright = edges[:, 0] == edges[:, 2]
    walls = edges[upright & (edges[:, 0] % cell != 0)]
    low, high = np.minimum(walls[:, 1], walls[:, 3]), np.maximum(walls[:, 1], walls[:, 3])
    _run(marks, walls[:, 0] // cell, low // cell, -(-high // cell))
    x1, y1, x2, y2 = edges[~upright].T
    first = x1 // cell
    number, column = _columns(first, -(-x2 // cell) - first)
    x1, y1, dx, dy, x2 = x1[number], y1[number], (x2 - x1)[number], (y2 - y1)[number], x2[number]
    left, right = np.maximum(x1, column * cell), np.minimum(x2, (column + 1) * cell)
    ends = [y1 * dx + (x - x1) * dy for x in (left, right)]  # dx times the height there
    low, high = np.minimum(*ends), np.maximum(*ends)
    _run(marks, column, low // (dx * cell), -(-high // (dx * cell)))


def _run(marks: NDArray[np.int32], column: Ints, low: Ints, high: Ints) -> None:
    np.add.at(marks, (column, low), 1)
    np.add.at(marks, (column, high), -1)


def _mark_inside(inside: NDArray[np.int32], edges: Ints, cell: int, nx: int) -> None:
    """Count crossings of each column's middle, from the first cell whose middle lies above."""
    x1, y1, x2, y2 = edges.T
    # Columns whose middle (column + 1/2) cell lies in [x1, x2).
    first = -((cell - 2 * x1) // (2 * cell))
    last = -((cell - 2 * x2) // (2 * cell))
    number, column = _columns(first, np.maximum(last - first, 0))
    x1, y1, dx, dy = x1[number], y1[number], (x2 - x1)[number], (y2 - y1)[number]
    twice = 2 * y1 * dx + (2 * column * cell + cell - 2 * x1) * dy  # 2 dx times the height there
    row = -((cell * dx - twice) // (2 * cell * dx))
    keep = column < nx
    np.add.at(inside, (column[keep], row[keep]), 1)


def summed(cells: Bools) -> NDArray[np.int32]:
    """Number of covered cells below and left of each corner of the grid."""
    nx, ny = cells.shape
    total = np.zeros((nx + 1, ny + 1), dtype=np.int32)
    total[1:, 1:] = cells.cumsum(axis=0, dtype=np.int32).cumsum(axis=1, dtype=np.int32)
    return total


def rectangles(cells: Bools) -> Ints:
    """Rectangles of cells that together are exactly the covered ones.

    First a large one, then pieces from all over the part in the order of bit-reversed numbers:
    the sooner a place is found to be taken, the better.
    """
    padded = np.zeros((cells.shape[0], cells.shape[1] + 2), dtype=np.int8)
    padded[:, 1:-1] = cells
    steps = np.diff(padded, axis=1)
    columns, starts = np.nonzero(steps == 1)
    ends = np.nonzero(steps == -1)[1]
    runs: list[list[tuple[int, int]]] = [[] for _ in range(cells.shape[0] + 1)]
    for column, start, end in zip(columns.tolist(), starts.tolist(), ends.tolist(), strict=True):
        runs[column].append((start, end))
    pieces = _merged(runs)
    pieces.sort(key=lambda piece: (piece[0], piece[1]))
    digits = max(len(pieces) - 1, 1).bit_length()
    order = sorted(range(len(pieces)), key=lambda n: int(f"{n:0{digits}b}"[::-1], 2))
    return np.array([_largest(pieces, cells), *(pieces[n] for n in order)], dtype=np.int64)


Rect = tuple[int, int, int, int]


def _merged(runs: list[list[tuple[int, int]]]) -> list[Rect]:
    """Join equal runs of neighbouring columns; the last column is empty."""
    pieces: list[Rect] = []
    active: dict[tuple[int, int], int] = {}
    for column, here in enumerate(runs):
        ended = [run for run in active if run not in here]
        pieces.extend((active.pop(run), run[0], column, run[1]) for run in ended)
        for run in here:
            active.setdefault(run, column)
    return pieces


def _largest(pieces: list[Rect], cells: Bools) -> Rect:
    """The largest rectangle among some that reach as far as their run of cells is covered."""
    height = cells.cumsum(axis=1, dtype=np.int32)
    best = max(pieces, key=lambda r: ((r[2] - r[0]) * (r[3] - r[1]), r))
    for x0, low, _, high in pieces[:: max(1, len(pieces) // 24)]:
        below = height[:, low - 1] if low else 0
        ends = np.flatnonzero(height[:, high - 1] - below != high - low)
        after = int(ends.searchsorted(x0))
        left = int(ends[after - 1]) + 1 if after else 0
        right = int(ends[after]) if after < len(ends) else len(cells)
        best = max(best, (left, low, right, high), key=lambda r: (r[2] - r[0]) * (r[3] - r[1]))
    return best


class Grid:
    """A sheet on cells, and what already lies on it."""

    def __init__(self, width: int, height: int, cell: int) -> None:
        """An empty sheet of a usable width and height. [µm]"""
        self.width, self.height, self.cell = width, height, cell
        self._total = np.zeros((-(-width // cell) + 1, -(-height // cell) + 1), dtype=np.int32)

    def room_for(self, extent: int) -> int:
        """Greatest column that the left edge of a part of a width may have; negative for none."""
        return (self.width - extent) // self.cell

    def put(self, shape: Shape, x: int, y: int) -> None:
        """Lay a part down with its lower left corner in a cell."""
        nx, ny = shape.box
        total, own = self._total, shape.total[1:, 1:]
        total[x + 1 : x + nx + 1, y + 1 : y + ny + 1] += own
        total[x + nx + 1 :, y + 1 : y + ny + 1] += own[-1]
        total[x + 1 : x + nx + 1, y + ny + 1 :] += own[:, -1:]
        total[x + nx + 1 :, y + ny + 1 :] += own[-1, -1]

    def block(self, cells: Bools) -> None:
        """Count every covered cell of a whole sheet's pattern as taken."""
        self._total += summed(cells)

    def first(self, shape: Shape, *, start: int = 0, stop: int) -> tuple[int, int] | None:
        """The first free place, least x and then least y, with x from start to below stop."""
        most_x = (self.width - shape.width) // self.cell
        most_y = (self.height - shape.height) // self.cell
        if most_x < 0 or most_y < 0:
            return None
        rows = self._total.shape[1]
        corners = self._corners(shape.rects, rows)
        for left in range(start, min(stop, most_x + 1), _SLAB):
            right = min(left + _SLAB, stop, most_x + 1)
            free = self._taken(shape.rects[0], left, right, most_y + 1) == 0
            x, y = np.divmod(np.flatnonzero(free), most_y + 1)
            places = (x + left) * rows + y
            for chunk in range(0, len(places), _CHUNK):
                left_over = self._free(places[chunk : chunk + _CHUNK], corners)
                if len(left_over):
                    return divmod(int(left_over[0]), rows)
        return None

    def _taken(self, rect: Ints, left: int, right: int, height: int) -> NDArray[np.int32]:
        """Taken cells under one rectangle of the part, for every place of some columns."""
        x0, y0, x1, y1 = rect.tolist()
        total = self._total
        near, far = total[left + x0 : right + x0], total[left + x1 : right + x1]
        rise = far - near
        return np.asarray(rise[:, y1 : y1 + height] - rise[:, y0 : y0 + height])

    @staticmethod
    def _corners(rects: Ints, rows: int) -> tuple[Ints, Ints, Ints, Ints]:
        x0, y0, x1, y1 = rects[1:].T
        return x1 * rows + y1, x0 * rows + y1, x1 * rows + y0, x0 * rows + y0

    def _free(self, places: Ints, corners: tuple[Ints, Ints, Ints, Ints]) -> Ints:
        """Those of the places where no rectangle of the part meets a taken cell."""
        total = self._total.reshape(-1)
        for batch in range(0, len(corners[0]), _BATCH):
            if not len(places):
                break
            a, b, c, d = (
                total[places[:, None] + corner[batch : batch + _BATCH]] for corner in corners
            )
            places = places[(a - b == c - d).all(axis=1)]
        return places
