"""The skins of a surface in a cut: along the outline, inset by half their thickness."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.planform import StationPoint
from plansgen.airframe.sections import Outline, cosine_points
from plansgen.structure.builder import Builder, Strip, joint
from plansgen.structure.cut import Place, Plate
from plansgen.structure.stock import Skin, thickest

Array = NDArray[np.float64]
Side = Literal["top", "bottom", "plate"]

_OUTER: tuple[Side, ...] = ("top", "bottom")
_INNER: Side = "plate"

_PANELS = 12  # straight strips from leading to trailing edge of each skin
_NEAR = 0.004  # shares of the chord nearer than this to a wanted one are left out
_GAP = 1e-3  # m; no wider than this between two sticks, a skin glued to both is backed all over
_STEEPEST = 1.5  # at the nose a skin takes more height than it is thick, up to so many times


@lru_cache(maxsize=256)
def _sides(outline: Outline) -> tuple[Array, Array]:
    """Upper and lower line of an outline from the nose, x ascending."""
    points = np.asarray(outline)
    nose = int(points[:, 0].argmin())
    upper, lower = points[: nose + 1][::-1], points[nose:]
    return upper, lower


def between(at: float, x: Sequence[float], z: Sequence[float]) -> float:
    """Straight between points, x ascending; far quicker than numpy for one place."""
    after = min(max(bisect_right(x, at), 1), len(x) - 1)
    x0, x1 = x[after - 1], x[after]
    share = min(max((at - x0) / (x1 - x0), 0.0), 1.0) if x1 > x0 else 1.0
    return z[after - 1] + (z[after] - z[after - 1]) * share


@dataclass(frozen=True)
class Profile:
    """Outside of a section between two stations, ruled by straight lines. [m]

    share: how far out between inner and outer station.
    """

    inner: StationPoint
    outer: StationPoint
    share: float

    @property
    def chord(self) -> float:
        """Local chord. [m]"""
        return self.inner.chord + (self.outer.chord - self.inner.chord) * self.share

    @cached_property
    def _lines(self) -> tuple[tuple[list[float], list[float], float], ...]:
        """Lower and upper line of the inner, then of the outer section, each with its weight."""
        found = []
        for side in (1, 0):
            for station, weight in ((self.inner, 1.0 - self.share), (self.outer, self.share)):
                x, z = _sides(station.outline)[side].T.tolist()
                found.append((x, z, station.chord * weight))
        return tuple(found)

    @cached_property
    def _known(self) -> dict[float, tuple[float, float]]:
        return {}

    @cached_property
    def _steep(self) -> dict[tuple[float, int], float]:
        return {}

    def heights(self, share: float) -> tuple[float, float]:
        """Lower and upper outside at a share of the chord. [m]"""
        if share not in self._known:
            at = min(max(share, 1e-6), 1 - 1e-6)
            low_in, low_out, up_in, up_out = (
                between(at, x, z) * scale for x, z, scale in self._lines
            )
            self._known[share] = (low_in + low_out, up_in + up_out)
        return self._known[share]

    def middle(self, share: float) -> float:
        """Halfway up there. [m]"""
        return sum(self.heights(share)) / 2

    def steepness(self, share: float, side: int) -> float:
        """Height that a sheet takes there for its thickness; side 0 below, 1 above."""
        if (share, side) not in self._steep:
            step = 0.01
            a, b = max(share - step, 0.0), min(share + step, 1.0)
            rise = self.heights(b)[side] - self.heights(a)[side]
            slope = rise / ((b - a) * self.chord)
            self._steep[share, side] = min(math.hypot(1.0, slope), _STEEPEST)
        return self._steep[share, side]


def profile_at(stations: Sequence[StationPoint], span: float) -> Profile:
    """The section at a developed span. [m]"""
    for inner, outer in pairwise(stations):
        if span < outer.span:
            return Profile(inner, outer, (span - inner.span) / (outer.span - inner.span))
    return Profile(stations[-2], stations[-1], 1.0)


@dataclass(frozen=True)
class Laid:
    """A skin on one side over a part of the chord, as shares."""

    skin: Skin
    side: Side
    fore: float
    aft: float

    def there(self, share: float) -> bool:
        """Whether it lies there."""
        return self.fore < share < self.aft


@dataclass(frozen=True)
class Touch:
    """Where a stick lies, as shares of the chord.

    half: of the width that it is glued over, 0 of a round one. sides: the skins that it is glued
    to, and so keeps from buckling there.
    """

    share: float
    half: float
    sides: tuple[Side, ...]


@dataclass(frozen=True)
class _Segment:
    """One skin between two shares of the chord: joints at its ends, and a strip for each ply."""

    one: Laid
    start: Place
    end: Place
    strips: tuple[Strip, ...]


@dataclass(frozen=True)
class Shell:
    """The skins at one place along the span; cuts with other sticks there share it.

    end: share of the chord where a hinged control begins, else 1.
    """

    profile: Profile
    laid: tuple[Laid, ...]
    end: float = 1.0

    @cached_property
    def _nodes(self) -> dict[tuple[Side, float], Place | None]:
        return {}

    @cached_property
    def _segments(self) -> dict[tuple[Side, float, float], tuple[_Segment, ...]]:
        return {}

    def depth(self, side: Side, share: float) -> float:
        """Height that the skins on one side take there. [m]"""
        thick = sum(one.skin.thickness for one in self._there(side, share))
        return thick * self.profile.steepness(share, 1 if side == "top" else 0) if thick else 0.0

    def inside(self, share: float) -> tuple[float, float]:
        """Lower and upper inside at a share of the chord, never crossed. [m]"""
        lower, upper = self.profile.heights(share)
        middle = (lower + upper) / 2
        return (
            min(lower + self.depth("bottom", share), middle),
            max(upper - self.depth("top", share), middle),
        )

    def _there(self, side: Side, share: float) -> list[Laid]:
        share = min(max(share, 1e-6), 1 - 1e-6)
        return [one for one in self.laid if one.side == side and one.there(share)]

    def node(self, side: Side, share: float) -> Place | None:
        """The joint on a skin at a share of the chord; None without a skin. [m]"""
        if (side, share) not in self._nodes:
            self._nodes[side, share] = self._node(side, share)
        return self._nodes[side, share]

    def _node(self, side: Side, share: float) -> Place | None:
        beside = [one for s in (-1e-5, 1e-5) for one in self._there(side, share + s)]
        if not beside or share > self.end + 1e-9:
            return None
        thickest = max(one.skin.thickness for one in beside)
        return self._place(side, share, thickest / 2)

    def _place(self, side: Side, share: float, depth: float) -> Place:
        x, middle = share * self.profile.chord, self.profile.middle(share)
        lower, upper = self.profile.heights(share)
        if side == "top":
            return joint(x, max(upper - depth * self.profile.steepness(share, 1), middle))
        if side == "bottom":
            return joint(x, min(lower + depth * self.profile.steepness(share, 0), middle))
        return joint(x, middle - self._plate_depth(share) / 2 + depth)

    def _plate_depth(self, share: float) -> float:
        return sum(one.skin.thickness for one in self._there("plate", share))

    def _grid(self, breaks: Sequence[float]) -> list[float]:
        wanted = {0.0, self.end, *breaks}
        wanted |= {share for one in self.laid for share in (one.fore, one.aft)}
        wanted = {share for share in wanted if 0.0 <= share <= self.end}
        spare = [
            s
            for s in (cosine_points(_PANELS) * self.end).tolist()
            if all(abs(s - w) > _NEAR for w in wanted)
        ]
        return sorted([*wanted, *spare])

    def lay(self, builder: Builder, touches: Sequence[Touch] = ()) -> None:
        """Lay the skins down as walls, joined along the chord and at both edges.

        touches: the sticks there; each skin has a joint at all of them.
        """
        grid = self._grid([touch.share for touch in touches])
        for side in (*_OUTER, _INNER):
            own = [touch for touch in touches if side in touch.sides]
            edges = [Touch(0.0, 0.0, (side,)), *own, Touch(self.end, 0.0, (side,))]
            edges.sort(key=lambda touch: (touch.share, touch.half))
            for a, b in pairwise(grid):
                segments = self._between(side, a, b)
                holding = thickest([each.one.skin for each in segments])
                for each in segments:
                    bay = self._bay(each.one, (a + b) / 2, edges)
                    _lay(builder, each, bay if each.one.skin is holding else None)
        for share in (0.0, self.end):
            ends = [self.node(side, share) for side in _OUTER]
            if ends[0] is not None and ends[1] is not None:
                builder.link(ends[0], ends[1])

    def _between(self, side: Side, a: float, b: float) -> tuple[_Segment, ...]:
        """The skins on one side between two shares of the chord, the outermost first."""
        if (side, a, b) not in self._segments:
            self._segments[side, a, b] = tuple(self._laid_out(side, a, b))
        return self._segments[side, a, b]

    def _laid_out(self, side: Side, a: float, b: float) -> Iterator[_Segment]:
        start, end = self.node(side, a), self.node(side, b)
        depth = 0.0
        for one in self._there(side, (a + b) / 2):
            assert start is not None  # it lies beside both
            assert end is not None
            strips: list[Strip] = []
            plies = one.skin.sheet.plies
            for ply in plies if side != "plate" else plies[::-1]:
                middle = depth + ply.thickness / 2
                ends = self._place(side, a, middle), self._place(side, b, middle)
                strips.append((ply.solid, *ends, ply.thickness * one.skin.share))
                depth += ply.thickness
            yield _Segment(one, start, end, tuple(strips))

    def _bay(self, one: Laid, share: float, edges: Sequence[Touch]) -> Plate | None:
        """The bay that a place lies in; None where sticks side by side back it all over."""
        fore = max((e for e in edges if e.share <= share), key=lambda e: (e.share, e.half))
        aft = min((e for e in edges if e.share >= share), key=lambda e: (e.share, -e.half))
        bay = (aft.share - fore.share) * self.profile.chord
        if bay - (fore.half + aft.half) * self.profile.chord < _GAP:
            return None
        return one.skin.plate(f"{one.side} {fore.share:.6f}", max(bay, 1e-4))


def _lay(builder: Builder, segment: _Segment, plate: Plate | None) -> None:
    skin = segment.one.skin
    builder.wall(
        skin.part,
        segment.start,
        segment.end,
        segment.strips,
        core=skin.sheet.core.solid if skin.sheet.core else None,
        face_limit=skin.face_limit,
        plate=plate,
    )
