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


MOST_PAIRS = 100_000
"""So many pairs of edges near each other are looked at; no drawing of a part has as many."""


def crossing(rings: Sequence[Ring]) -> Point | None:
    """A place where an outline crosses or touches itself or another; None when none does.

    Edges are gone through by their least x, and only pairs whose boxes meet are looked at.

    Raises:
        ValueError: so many edges lie near each other that it would take too long.
    """
    edges = sorted(_edges(rings), key=lambda edge: edge.west)
    open_edges: list[_Edge] = []
    pairs = 0
    for edge in edges:
        open_edges = [other for other in open_edges if other.east >= edge.west]
        near = [o for o in open_edges if o.south <= edge.north and o.north >= edge.south]
        pairs += len(near)
        if pairs > MOST_PAIRS:
            raise ValueError("is too intricate to be checked; draw it with fewer points")
        for other in near:
            if not _neighbours(edge, other) and _meet((edge.a, edge.b), (other.a, other.b)):
                return edge.a
        open_edges.append(edge)
    return None


class _Edge:
    """An edge with its box; ring: its number; order: of the edge in it; many: edges in it."""

    __slots__ = ("a", "b", "east", "many", "north", "order", "ring", "south", "west")

    def __init__(self, a: Point, b: Point, *, ring: int, order: int, many: int) -> None:
        self.a, self.b = a, b
        self.west, self.east = min(a[0], b[0]), max(a[0], b[0])
        self.south, self.north = min(a[1], b[1]), max(a[1], b[1])
        self.ring, self.order, self.many = ring, order, many


def _edges(rings: Sequence[Ring]) -> Iterator[_Edge]:
    for number, ring in enumerate(rings):
        for order, (a, b) in enumerate(zip(ring, (*ring[1:], ring[0]), strict=True)):
            yield _Edge(a, b, ring=number, order=order, many=len(ring))


def _neighbours(one: _Edge, other: _Edge) -> bool:
    if one.ring != other.ring:
        return False
    step = (one.order - other.order) % one.many
    return step in (1, one.many - 1) and not _folds_back(one, other)


def _folds_back(one: _Edge, other: _Edge) -> bool:
    """Whether two edges with a common end run back over each other."""
    shared = one.a if one.a in (other.a, other.b) else one.b
    p = one.b if shared == one.a else one.a
    q = other.b if shared == other.a else other.a
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
