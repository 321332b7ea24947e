"""Sheets wrapped over a surface: which parts of a design are one piece, and how it unrolls."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from plansgen.library.models import Opening, Part
from plansgen.library.tables import Material
from plansgen.patterns.allowance import K_FACTOR, sheet_thickness
from plansgen.patterns.develop import Developed, develop
from plansgen.patterns.flat import Outline, Point
from plansgen.patterns.solid import Array, Curve, Panel, SurfaceSolid

Reach = tuple[float, float]

_SHORT = 0.001  # a piece shorter than this is none [m]
_DEEPEST = 0.25  # no sheet's middle lies deeper inside than so much of the section's height
_CORNER = 2e-5  # corners that stand out less are left out of outlines [m]


@dataclass(frozen=True)
class Wrap:
    """One sheet over a part of the girth. Shares of the chord, spans [m].

    upper, lower: what it covers of both sides, None for nothing. inset: how far inside the outside
    it keeps its length [m]. count: layers of it. above, below: places in the list of parts of what
    it is on both sides. openings: what is cut in it, by side.
    """

    name: str
    material: str
    thickness: float
    upper: Reach | None
    lower: Reach | None
    inboard: float
    outboard: float
    across: bool
    share: float
    inset: float
    count: int
    above: int
    below: int
    openings: tuple[tuple[str, Opening], ...] = ()

    @property
    def round_nose(self) -> bool:
        """Whether it goes round the leading edge in one piece."""
        return bool(self.upper and self.lower)


def wraps_of(
    parts: Sequence[Part], materials: Mapping[str, Material], solid: SurfaceSolid
) -> list[Wrap]:
    """The skins of a surface; a top and a bottom of one sheet that meet at the nose are one."""
    singles = [
        _wrap(part, index, side, materials, solid)
        for index, part in enumerate(parts)
        for side in _SIDES.get(part.cover or "", ())
    ]
    found: list[Wrap] = []
    for one in singles:
        other = next((w for w in found if _goes_on(w, one)), None)
        if other is None:
            found.append(one)
            continue
        name = one.name if one.name == other.name else f"{other.name} and {one.name}"
        area = [abs(r[1] - r[0]) for r in (other.upper, other.lower, one.upper, one.lower) if r]
        share = (other.share * area[0] + one.share * area[1]) / sum(area)
        found[found.index(other)] = replace(
            one,
            name=name,
            upper=other.upper or one.upper,
            lower=other.lower or one.lower,
            share=share,
            above=(other if other.upper else one).above,
            below=(other if other.lower else one).below,
            openings=(*other.openings, *one.openings),
        )
    return found


_SIDES: dict[str, tuple[str, ...]] = {
    "both skins": ("upper", "lower"),
    "top skin": ("upper",),
    "bottom skin": ("lower",),
}


def _wrap(
    part: Part, index: int, side: str, materials: Mapping[str, Material], solid: SurfaceSolid
) -> Wrap:
    reach = (part.over.from_, part.over.to) if part.over else (0.0, 1.0)
    thickness = sheet_thickness(materials[part.material])
    return Wrap(
        name=part.name,
        material=part.material,
        thickness=thickness,
        upper=reach if side == "upper" else None,
        lower=reach if side == "lower" else None,
        inboard=part.from_ or 0.0,
        outboard=part.to if part.to is not None else solid.stations[-1].span,
        across=part.grain == "across",
        share=part.share,
        # A folded board keeps the length of its outer paper, a bent sheet that of its middle.
        inset=0.0 if solid.folded else thickness * (1.0 - K_FACTOR),
        count=part.count,
        above=index,
        below=index,
        openings=tuple(
            (side, opening) for opening in part.openings if (opening.on or _ON[side]) == _ON[side]
        ),
    )


_ON = {"upper": "top", "lower": "bottom"}


def _goes_on(a: Wrap, b: Wrap) -> bool:
    reaches = (a.upper and b.lower) or (a.lower and b.upper)
    same = (a.material, a.inboard, a.outboard, a.across, a.count) == (
        b.material,
        b.inboard,
        b.outboard,
        b.across,
        b.count,
    )
    starts = [r[0] for r in (a.upper, a.lower, b.upper, b.lower) if r]
    return bool(reaches) and not a.round_nose and same and max(starts) <= 0.0


@dataclass(frozen=True, eq=False)
class Piece:
    """One flat piece of a wrap, on one straight panel; the inside is up, the span to the right.

    number: of the panel, from 1. start, end: developed spans [m]; a piece across the centre line
    starts on the other half, below 0. line: side and number of the section's point of every rung.
    """

    wrap: Wrap
    solid: SurfaceSolid
    panel: Panel
    number: int
    start: float
    end: float
    line: tuple[tuple[str, float], ...]
    sheet: Developed
    turn_flat: float
    shift: Point

    @property
    def centre(self) -> bool:
        """Whether it lies across the centre line."""
        return self.start < 0.0

    def flat(self, points: Array) -> Outline:
        """Points of the unrolled sheet in the part's axes: turned so that the span runs right."""
        turned = _turned(np.atleast_2d(points), self.turn_flat) + np.array(self.shift)
        return tuple((float(x), float(y)) for x, y in turned)

    def unflat(self, points: Array) -> list[Point]:
        """Places in the part's axes on the unrolled sheet, as it came from the surface. [m]"""
        turned = _turned(np.asarray(points) - np.array(self.shift), -self.turn_flat)
        return [(float(x), float(y)) for x, y in turned]

    def share(self, span: float) -> float:
        """How far along the piece a span lies."""
        return (span - self.start) / (self.end - self.start)

    def rung(self, side: str, share: float) -> float | None:
        """Number of the rung, or between two, at a share of the chord; None where it is not."""
        reach = self.wrap.upper if side == "upper" else self.wrap.lower
        if reach is None or not reach[0] - 1e-9 <= share <= reach[1] + 1e-9:
            return None
        return self.rung_at(side, _curve(self.solid, self.panel.first, side).index(share))

    def rung_at(self, side: str, index: float) -> float | None:
        """The same for a number of the section's point."""
        rows = [(t, n) for n, (s, t) in enumerate(self.line) if s == side or t == 0.0]
        rows.sort()
        values = [t for t, _ in rows]
        if not values or not values[0] - 1e-9 <= index <= values[-1] + 1e-9:
            return None
        return float(np.interp(index, values, [n for _, n in rows]))

    def point(self, rung: float, span: float) -> Point:
        """A place on the piece. [m]"""
        return self.flat(np.array(self.sheet.at(rung, self.share(span))))[0]

    def across(self, span: float) -> Outline:
        """The line over the whole girth at a span."""
        return self.flat(self.sheet.line(self.share(span)))

    @cached_property
    def edges(self) -> dict[str, Outline]:
        """The four edges: root and tip from the first rung on, first and last rung outboard."""
        near, far = self.sheet.flat_near, self.sheet.flat_far
        return {
            "root": self.flat(near),
            "tip": self.flat(far),
            "first": self.flat(np.array([near[0], far[0]])),
            "last": self.flat(np.array([near[-1], far[-1]])),
        }

    @cached_property
    def outline(self) -> Outline:
        """Counter-clockwise, without points that stand out by nothing."""
        loop = (*self.edges["root"], *reversed(self.edges["tip"]))
        return plain(loop)

    @cached_property
    def bends(self) -> tuple[tuple[str, int, float], ...]:
        """Folds: what it is in words, number of the rung, and by how much the sheet turns. [rad]"""
        if not self.solid.folded:
            return ()
        found = []
        names = {
            ("upper", 0): "leading edge",
            ("upper", 1): "spar line",
            ("lower", 0): "under the nose",
        }
        for side in ("upper", "lower"):
            for order, index in enumerate(_curve(self.solid, self.panel.first, side).bends):
                rung = self.rung_at(side, index)
                if rung is not None and 0 < round(rung) < len(self.line) - 1:
                    found.append((names[side, order], round(rung), self.turn(round(rung))))
        return tuple(sorted(found, key=lambda bend: bend[1]))

    def turn(self, rung: int) -> float:
        """Angle by which the sheet turns at a rung, at right angles to it. [rad]"""
        middle = (self.sheet.near + self.sheet.far) / 2
        along = self.sheet.far[rung] - self.sheet.near[rung]
        along = along / np.linalg.norm(along)
        before, after = middle[rung] - middle[rung - 1], middle[rung + 1] - middle[rung]
        before, after = (v - along * (v @ along) for v in (before, after))
        size = float(np.linalg.norm(before) * np.linalg.norm(after)) or 1.0
        return math.acos(min(max(float(before @ after) / size, -1.0), 1.0))


def plain(loop: Outline) -> Outline:
    """A closed outline without points that lie on the line between their neighbours. [m]"""
    kept: list[Point] = []
    for point in loop:
        if not kept or math.dist(kept[-1], point) > _CORNER:
            kept.append(point)
    if math.dist(kept[0], kept[-1]) <= _CORNER:
        kept.pop()
    first = max(range(len(kept)), key=lambda n: (-kept[n][0] - kept[n][1], -n))
    kept = kept[first:] + kept[:first]
    return tuple(_thinned([*kept, kept[0]])[:-1])


def open_line(line: Outline) -> Outline:
    """An open line without points that lie on the line between their neighbours. [m]"""
    return tuple(_thinned(line))


def _thinned(line: Sequence[Point]) -> list[Point]:
    """Fewest points that stay within the tolerance (Douglas & Peucker 1973)."""
    if len(line) < 3:
        return list(line)
    points = np.asarray(line)
    a, b = points[0], points[-1]
    size = float(np.linalg.norm(b - a))
    away = points[1:-1] - a
    if size < 1e-12:
        off = np.linalg.norm(away, axis=1)
    else:
        off = np.abs(away[:, 0] * (b - a)[1] - away[:, 1] * (b - a)[0]) / size
    worst = int(off.argmax())
    if off[worst] <= _CORNER:
        return [line[0], line[-1]]
    return [*_thinned(line[: worst + 2])[:-1], *_thinned(line[worst + 1 :])]


def pieces_of(wrap: Wrap, solid: SurfaceSolid) -> list[Piece]:
    """The flat pieces of a wrap, one a panel, from the root outboard."""
    found = []
    for number, panel in enumerate(solid.panels, 1):
        inner, outer = solid.stations[panel.first].span, solid.stations[panel.last].span
        start, end = max(inner, wrap.inboard), min(outer, wrap.outboard)
        if end - start < _SHORT:
            continue
        line = _line(wrap, solid, panel)
        ends = [_rail(wrap, solid, n, line) for n in (panel.first, panel.last)]
        near, far = (
            ends[0] + (ends[1] - ends[0]) * ((s - inner) / (outer - inner)) for s in (start, end)
        )
        if start == 0.0 and solid.centred and _level(near, far):
            near, start = far * [1.0, -1.0, 1.0], -end
        sheet = develop(near, far)
        angle = _upright(sheet, line)
        loop = _turned(np.vstack([sheet.flat_near, sheet.flat_far]), angle)
        shift = (-float(loop[:, 0].min()), -float(loop[:, 1].min()))
        found.append(Piece(wrap, solid, panel, number, start, end, line, sheet, angle, shift))
    return found


def _upright(sheet: Developed, line: Sequence[tuple[str, float]]) -> float:
    """Angle that lays the foremost line along the span to the right. [rad]"""
    nose = min(range(len(line)), key=lambda n: line[n][1])
    x, y = sheet.flat_far[nose] - sheet.flat_near[nose]
    return -math.atan2(y, x)


def _turned(points: Array, angle: float) -> Array:
    cos, sin = math.cos(angle), math.sin(angle)
    x, y = points.T
    return np.column_stack([x * cos - y * sin, x * sin + y * cos])


def _level(near: Array, far: Array) -> bool:
    """Whether a panel at the centre line is square to it: its two halves are then one piece."""
    return float(np.abs((far - near)[:, [0, 2]]).max()) < 1e-4


def _curve(solid: SurfaceSolid, number: int, side: str) -> Curve:
    curve: Curve = getattr(solid.sections[number], side)
    return curve


def _line(wrap: Wrap, solid: SurfaceSolid, panel: Panel) -> tuple[tuple[str, float], ...]:
    """Side and point number of each rung: top from aft to the nose, underneath back aft."""
    rows: list[tuple[str, float]] = []
    for side, reach in (("upper", wrap.upper), ("lower", wrap.lower)):
        if reach is None:
            continue
        curve = _curve(solid, panel.first, side)
        fore, aft = curve.index(reach[0]), curve.index(reach[1])
        whole = [float(n) for n in range(math.ceil(fore + 1e-6), math.floor(aft - 1e-6) + 1)]
        numbers = [fore, *whole, aft]
        if side == "upper":
            rows += [(side, n) for n in reversed(numbers)]
        else:
            rows += [(side, n) for n in (numbers[1:] if wrap.round_nose else numbers)]
    return tuple(rows)


def _rail(wrap: Wrap, solid: SurfaceSolid, number: int, line: Sequence[tuple[str, float]]) -> Array:
    """The line of a wrap over a station, in space; set in by the sheet's own neutral line."""
    chord = solid.stations[number].chord
    upper, lower = (_curve(solid, number, s).points * chord for s in ("upper", "lower"))
    loop = np.vstack([upper[::-1], lower[1:]])
    loop = _set_in(loop, min(wrap.inset, _DEEPEST * solid.stations[number].thickness * chord))
    nose = len(upper) - 1
    where = [nose - t if side == "upper" else nose + t for side, t in line]
    numbers = np.arange(len(loop))
    points = np.column_stack([np.interp(where, numbers, loop[:, axis]) for axis in (0, 1)])
    return solid.placed(number, points)


def _set_in(loop: Array, inset: float) -> Array:
    """A loop from the trailing edge over the top and back, moved to its inside. [m]"""
    if inset < 1e-9:
        return loop
    steps = np.diff(loop, axis=0)
    steps = steps / np.maximum(np.linalg.norm(steps, axis=1), 1e-12)[:, None]
    left = np.column_stack([-steps[:, 1], steps[:, 0]])
    normals = np.vstack([left[:1], left[:-1] + left[1:], left[-1:]])
    size = np.maximum(np.linalg.norm(normals, axis=1)[:, None], 1e-9)
    half = np.vstack([[2.0], size[1:-1], [2.0]]) / 2  # cosine of half the turn: keeps the distance
    return _unlooped(loop, np.asarray(loop + normals / size * inset / np.maximum(half, 0.5)))


def _unlooped(loop: Array, moved: Array) -> Array:
    """Where a nose is too sharp for the sheet the moved line runs backwards: it is drawn together.

    Every point keeps its number, as points of stations belong together.
    """
    for _ in range(len(loop)):
        back = (np.diff(loop, axis=0) * np.diff(moved, axis=0)).sum(axis=1) < 0.0
        if not back.any():
            break
        first = int(back.argmax())
        last = first + int(
            (~back[first:]).argmax() if not back[first:].all() else len(back) - first
        )
        first, last = max(first - 1, 0), min(last + 1, len(loop) - 1)
        share = np.linspace(0.0, 1.0, last - first + 1)[:, None]
        moved[first : last + 1] = moved[first] + (moved[last] - moved[first]) * share
    return moved


def neighbours(pieces: Sequence[Piece]) -> list[tuple[Piece, Piece]]:
    """Pieces of one wrap that meet at a bend of the surface."""
    return [(a, b) for a, b in pairwise(pieces) if abs(a.end - b.start) < 1e-6]
