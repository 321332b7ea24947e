"""Outlines of drawn parts: whether they can be cut, and which one holds the others.

Plain Python: nothing of the library needs an array. Lengths in metres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

Point = tuple[float, float]
Ring = tuple[Point, ...]

SMALLEST = 1e-8
"""Less area than this cannot be cut. [m²]"""


def area(ring: Sequence[Point]) -> float:
    """Area inside a closed outline, without sign. [m²]"""
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return abs(sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairs)) / 2


def crossing(rings: Sequence[Ring]) -> Point | None:
    """A place where an outline crosses or touches itself or another; None when none does.

    Edges are gone through by their least x, so that most pairs are never looked at.
    """
    edges = sorted(_edges(rings), key=lambda edge: min(edge[0][0], edge[1][0]))
    open_edges: list[_Edge] = []
    for edge in edges:
        west = min(edge[0][0], edge[1][0])
        open_edges = [e for e in open_edges if max(e[0][0], e[1][0]) >= west]
        for other in open_edges:
            if not _neighbours(edge, other) and _meet(edge[:2], other[:2]):
                return edge[0]
        open_edges.append(edge)
    return None


_Edge = tuple[Point, Point, int, int, int]  # ends, number of the ring, of the edge, edges in it


def _edges(rings: Sequence[Ring]) -> Iterator[_Edge]:
    for number, ring in enumerate(rings):
        for n, (a, b) in enumerate(zip(ring, (*ring[1:], ring[0]), strict=True)):
            yield a, b, number, n, len(ring)


def _neighbours(a: _Edge, b: _Edge) -> bool:
    if a[2] != b[2]:
        return False
    step = (a[3] - b[3]) % a[4]
    return step in (1, a[4] - 1) and not _folds_back(a, b)


def _folds_back(a: _Edge, b: _Edge) -> bool:
    """Whether two edges with a common end run back over each other."""
    shared = a[0] if a[0] in b[:2] else a[1]
    p = a[1] if shared == a[0] else a[0]
    q = b[1] if shared == b[0] else b[0]
    u, v = (p[0] - shared[0], p[1] - shared[1]), (q[0] - shared[0], q[1] - shared[1])
    cross, dot = u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1]
    return dot > 0 and abs(cross) <= 1e-9 * dot


def _meet(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    a, b = first
    c, d = second
    turns = (_turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b))
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    touching = ((turns[0], a, b, c), (turns[1], a, b, d), (turns[2], c, d, a), (turns[3], c, d, b))
    return any(turn == 0 and _between(p, q, r) for turn, p, q, r in touching)


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _between(a: Point, b: Point, c: Point) -> bool:
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])


def inside(point: Point, ring: Ring) -> bool:
    """Whether a point lies inside an outline (even-odd rule)."""
    x, y = point
    found = False
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
            found = not found
    return found


def one_part(rings: Sequence[Ring]) -> tuple[Ring, tuple[Ring, ...]]:
    """The outline and the holes of one part.

    Args:
        rings: Closed outlines in any order and direction, none crossing another.

    Raises:
        ValueError: an outline has no area, crosses itself or another, or lies outside the largest
            one or inside another hole.
    """
    if not rings:
        raise ValueError("holds no closed outline")
    if any(len(ring) < 3 or area(ring) < SMALLEST for ring in rings):
        raise ValueError("holds an outline without area")
    place = crossing(rings)
    if place is not None:
        where = f"near x {place[0] * 1000:.1f} mm, y {place[1] * 1000:.1f} mm"
        raise ValueError(f"holds outlines that cross or touch themselves or each other {where}")
    outer, *holes = sorted(rings, key=lambda ring: (-area(ring), ring))
    if not all(inside(hole[0], outer) for hole in holes):
        raise ValueError("holds two outlines beside each other; give each part a file of its own")
    for number, hole in enumerate(holes):
        if any(inside(hole[0], other) for other in holes[:number]):
            raise ValueError("holds a piece inside a hole; give each part a file of its own")
    return outer, tuple(holes)
