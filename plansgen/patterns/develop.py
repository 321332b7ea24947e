"""Unroll a strip of surface into the plane, and say how far that stretches it.

A strip lies between two rails of as many points; the straight lines between points of the same
number are its rungs. Every quad of the strip is split along its shorter diagonal and the triangles
are laid down one after another with their true edges. That is exact where the strip is developable
(every quad plane). A twisted strip cannot lie flat: the other diagonals, the lines between the
rails and the area then differ, and :class:`Developed` says by how much.

Method: triangulation, as in any text of sheet-metal pattern drafting.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_BETWEEN = (0.25, 0.5, 0.75)  # lines between the rails on which the stretch is measured
_STRETCH = 0.01  # of a line: over less, stretch is not told
_NOTHING = 1e-12  # shorter than this is a point [m]


@dataclass(frozen=True)
class Misfit:
    """How a flat strip differs from its surface. [m, shares]

    edges: greatest share by which a rung, a step of a rail or the diagonal used differs. cross: by
    which a diagonal that was not used does. area: by which the whole area does. stretch: greatest
    share by which the sheet must give along the strip, somewhere between the rails. length: by how
    much the whole of a line between the rails, or one diagonal, differs.
    """

    edges: float
    cross: float
    area: float
    stretch: float
    length: float


@dataclass(frozen=True)
class Dart:
    """Where a strip must give more than it can.

    first, last: numbers of the rungs between which it must. share: how far from the near rail to
    the far one it is worst. width: by how much the flat sheet is too long there, to be taken out as
    a dart; below 0 too short, so that a slit opens. [m]
    """

    first: int
    last: int
    share: float
    width: float


@dataclass(frozen=True, eq=False)
class Developed:
    """A strip laid flat.

    near, far: the rails in space, (n, 3). flat_near, flat_far: in the plane, (n, 2). The first rung
    stands upright on the origin and the strip runs to the right; one looks at the side to which
    (along the near rail) × (towards the far rail) points. [m]
    """

    near: Array
    far: Array
    flat_near: Array
    flat_far: Array
    _short: tuple[bool, ...]  # whether the diagonal from far to the next near point was used

    def line(self, share: float) -> Array:
        """The line between the rails at a share of every rung, in the plane. [m]"""
        return np.asarray(self.flat_near + (self.flat_far - self.flat_near) * share)

    def at(self, rung: float, share: float) -> tuple[float, float]:
        """A place in the plane: number of the rung (between two: along both), share of it. [m]"""
        before = min(int(rung), len(self.near) - 2)
        line = self.line(share)[before : before + 2]
        x, y = line[0] + (line[1] - line[0]) * (rung - before)
        return float(x), float(y)

    @cached_property
    def stretches(self) -> Array:
        """Share by which the surface is longer than the sheet, by line between and by step.

        Measured over a stretch of a hundredth of the line round each step: over less, sheet evens
        out what it must give.
        """
        rows = []
        for share in _BETWEEN:
            solid = np.cumsum([0.0, *_steps(self.near + (self.far - self.near) * share)])
            flat = np.cumsum([0.0, *_steps(self.line(share))])
            if solid[-1] < _NOTHING:
                rows.append(np.zeros(len(solid) - 1))
                continue
            middle, half = (solid[1:] + solid[:-1]) / 2, solid[-1] * _STRETCH / 2
            a, b = np.maximum(middle - half, 0.0), np.minimum(middle + half, solid[-1])
            lengths = np.interp(b, solid, flat) - np.interp(a, solid, flat)
            rows.append((b - a) / np.maximum(lengths, _NOTHING) - 1.0)
        return np.array(rows)

    @cached_property
    def misfit(self) -> Misfit:
        """How the strip differs from the surface."""
        solid, flat = _lengths(self.near, self.far), _lengths(self.flat_near, self.flat_far)
        used = np.array(self._short)
        diagonal = [np.where(used, x.back, x.fore) for x in (solid, flat)]
        other = [np.where(used, x.fore, x.back) for x in (solid, flat)]
        edges = [_change(getattr(solid, n), getattr(flat, n)) for n in ("near", "far", "rungs")]
        lines = [
            abs(_steps(self.near + (self.far - self.near) * s).sum() - _steps(self.line(s)).sum())
            for s in _BETWEEN
        ]
        area, true = self.flat_area, ruled_area(self.near, self.far)
        return Misfit(
            edges=max(*edges, _change(*diagonal)),
            cross=_change(*other),
            area=float(abs(area / true - 1.0)) if true > _NOTHING**2 else 0.0,
            stretch=float(np.abs(self.stretches).max()),
            length=float(max(*lines, np.abs(other[0] - other[1]).max())),
        )

    @property
    def flat_area(self) -> float:
        """Area of the sheet. [m²]"""
        loop = np.vstack([self.flat_near, self.flat_far[::-1]])
        x, y = loop.T
        return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2

    def darts(self, limit: float) -> tuple[Dart, ...]:
        """Where the sheet must stretch or shrink by more than a share of its length.

        Neighbouring steps that must do the same are one dart.
        """
        worst = np.abs(self.stretches).argmax(axis=0)
        steps = np.arange(self.stretches.shape[1])
        value = self.stretches[worst, steps]
        sign = np.where(np.abs(value) > limit, np.sign(value), 0.0)
        found = []
        start = 0
        for end in range(1, len(sign) + 1):
            if end < len(sign) and sign[end] == sign[start]:
                continue
            if sign[start]:
                found.append(self._dart(start, end, value))
            start = end
        return tuple(found)

    def _dart(self, start: int, end: int, value: Array) -> Dart:
        peak = start + int(np.abs(value[start:end]).argmax())
        share = _BETWEEN[int(np.abs(self.stretches[:, peak]).argmax())]
        solid = _steps(self.near + (self.far - self.near) * share)[start:end].sum()
        flat = _steps(self.line(share))[start:end].sum()
        return Dart(start, end, share, float(flat - solid))

    @cached_property
    def _triangles(self) -> tuple[Array, Array]:
        """Corners of all triangles, in the plane (m, 3, 2) and in space (m, 3, 3)."""
        flat: list[tuple[Array, Array, Array]] = []
        solid: list[tuple[Array, Array, Array]] = []
        for rails, out in (
            ((self.flat_near, self.flat_far), flat),
            ((self.near, self.far), solid),
        ):
            a, b = rails
            for i, back in enumerate(self._short):
                if back:
                    out += [(a[i], a[i + 1], b[i]), (a[i + 1], b[i + 1], b[i])]
                else:
                    out += [(a[i], b[i + 1], b[i]), (a[i], a[i + 1], b[i + 1])]
        return np.array(flat), np.array(solid)

    def rolled(self, points: Sequence[tuple[float, float]]) -> Array:
        """Where places on the flat sheet come to lie in space when it is rolled up again. [m]"""
        flat, solid = self._triangles
        origin, first, second = flat[:, 0], flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
        size = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
        real = np.abs(size) > _NOTHING**2
        size = np.where(real, size, 1.0)
        away = np.asarray(points, dtype=float)[:, None, :] - origin[None]
        u = (away[..., 0] * second[:, 1] - away[..., 1] * second[:, 0]) / size
        v = (first[:, 0] * away[..., 1] - first[:, 1] * away[..., 0]) / size
        inside = np.minimum(np.minimum(u, v), 1.0 - u - v)
        best = np.where(real, inside, -np.inf).argmax(axis=1)
        rows = np.arange(len(best))
        u, v = u[rows, best][:, None], v[rows, best][:, None]
        corner = solid[best]
        return np.asarray(
            corner[:, 0] * (1 - u - v) + corner[:, 1] * u + corner[:, 2] * v, dtype=np.float64
        )


def develop(near: Array, far: Array) -> Developed:
    """Unroll the strip between two rails.

    Args:
        near: Points of one rail, (n, 3). [m]
        far: As many of the other. A rail may be one point, repeated: the tip of a cone. [m]

    Raises:
        ValueError: the rails differ in number, have fewer than two points, or meet between ends.
    """
    near, far = np.asarray(near, dtype=float), np.asarray(far, dtype=float)
    if near.shape != far.shape or len(near) < 2:
        raise ValueError("a strip needs two rails of as many points, at least two")
    lengths = _lengths(near, far)
    rungs = lengths.rungs
    if (rungs[1:-1] < _NOTHING).any():
        raise ValueError("the rails meet between their ends")
    short = tuple(bool(v) for v in lengths.back <= lengths.fore + _NOTHING)
    a: list[tuple[float, float]] = [(0.0, 0.0)]
    b: list[tuple[float, float]] = [(0.0, float(rungs[0]))]
    for i, back in enumerate(short):
        along_near, along_far = float(lengths.near[i]), float(lengths.far[i])
        if rungs[i] < _NOTHING:
            a.append((a[i][0] + along_near, a[i][1]))
            b.append(_right_of(a[i + 1], a[i], float(rungs[i + 1]), along_far))
        elif back:
            a.append(_right_of(a[i], b[i], along_near, float(lengths.back[i])))
            b.append(_right_of(a[i + 1], b[i], float(rungs[i + 1]), along_far))
        else:
            b.append(_right_of(a[i], b[i], float(lengths.fore[i]), along_far))
            a.append(_right_of(a[i], b[i + 1], along_near, float(rungs[i + 1])))
    return Developed(near, far, np.array(a), np.array(b), short)


def ruled_area(near: Array, far: Array) -> float:
    """Area of the surface that the rungs sweep between two rails. [m²]

    Each quad is the bilinear patch of its corners; nine Gauss points hold it to 1e-9 where it
    twists by less than a right angle.
    """
    nodes, weights = np.polynomial.legendre.leggauss(3)
    total = 0.0
    a0, a1, b0, b1 = near[:-1], near[1:], far[:-1], far[1:]
    for u, wu in zip((nodes + 1) / 2, weights / 2, strict=True):
        for v, wv in zip((nodes + 1) / 2, weights / 2, strict=True):
            along = (a1 - a0) * (1 - v) + (b1 - b0) * v
            across = (b0 - a0) * (1 - u) + (b1 - a1) * u
            total += float(np.linalg.norm(np.cross(along, across), axis=1).sum()) * wu * wv
    return total


@dataclass(frozen=True, eq=False)
class _Lengths:
    near: Array
    far: Array
    rungs: Array
    back: Array
    fore: Array


def _lengths(near: Array, far: Array) -> _Lengths:
    """Steps of both rails, rungs, and diagonals: far to next near (back), near to next far."""
    return _Lengths(
        near=_steps(near),
        far=_steps(far),
        rungs=np.asarray(np.linalg.norm(far - near, axis=1)),
        back=np.asarray(np.linalg.norm(near[1:] - far[:-1], axis=1)),
        fore=np.asarray(np.linalg.norm(far[1:] - near[:-1], axis=1)),
    )


def _steps(line: Array) -> Array:
    return np.asarray(np.linalg.norm(np.diff(line, axis=0), axis=1))


def _change(solid: Array, flat: Array) -> float:
    """Greatest relative difference; points have none."""
    real = solid > _NOTHING
    return float(np.abs(flat[real] / solid[real] - 1.0).max(initial=0.0))


def _right_of(
    p: tuple[float, float], q: tuple[float, float], to_p: float, to_q: float
) -> tuple[float, float]:
    """The place right of the way from p to q with given distances from both."""
    base = math.dist(p, q)
    if base < _NOTHING:
        raise ValueError("the rails meet between their ends")
    ux, uy = (q[0] - p[0]) / base, (q[1] - p[1]) / base
    along = (to_p**2 - to_q**2 + base**2) / (2 * base)
    aside = math.sqrt(max(to_p**2 - along**2, 0.0))
    return p[0] + along * ux + aside * uy, p[1] + along * uy - aside * ux
