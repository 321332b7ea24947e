"""Ribs against the insides of skins: the edge of the one is as long as the line on the other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from shapely import LineString, Point, Polygon
from shapely.ops import substring

from plansgen.patterns.flat import Outline
from plansgen.patterns.ribs import Rib
from plansgen.patterns.seams import EdgeRef, Seam
from plansgen.patterns.skins import Skin, line_between
from plansgen.patterns.solid import Array

_FORE, _AFT = 0.06, 0.85  # between nose and trailing-edge stick, shares of the chord
_INSET = 0.01  # away from the edge of a skin that ends on the rib, share of the chord


def rib_seams(ribs: Sequence[Rib], skins: Sequence[Skin]) -> Iterator[Seam]:
    """Every rib against every skin over it."""
    for rib in ribs:
        for skin in skins:
            piece = skin.piece
            if not piece.start - 1e-9 <= rib.span <= piece.end + 1e-9:
                continue
            # Where a skin ends there is a step in the rib as high as it is thick: keep clear of it.
            chord, thick = piece.solid.chord(rib.span), piece.wrap.thickness
            clear = max(_INSET, 2 * thick / chord)
            # The rib itself is shorter where the skins meet ahead of and behind it.
            west, _, east, _ = rib.whole.bounds
            own = (west + thick) / chord, (east - thick) / chord
            for side, over in (("upper", piece.wrap.upper), ("lower", piece.wrap.lower)):
                if over is None:
                    continue
                reach = max(over[0] + clear, _FORE, own[0]), min(over[1] - clear, _AFT, own[1])
                if reach[1] - reach[0] > 0.05:
                    yield from _seam(rib, skin, side, reach)


def _seam(rib: Rib, skin: Skin, side: str, reach: tuple[float, float]) -> Iterator[Seam]:
    line = line_between(skin, side, rib.span, reach)
    outside = _outside(skin, side, rib.span, reach)
    if len(line) < 2 or not rib.parts:
        return
    edge = _edge(rib.whole, outside[0], outside[-1])
    words = "top" if side == "upper" else "bottom"
    yield Seam(
        f"{rib.name} inside {skin.part.name}, {words}",
        EdgeRef(rib.parts[0].key, f"{words} edge", edge),
        EdgeRef(skin.part.key, f"line of {rib.name}", line, -_lost(skin, outside, side)),
        "inside",
    )


def _outside(skin: Skin, side: str, span: float, reach: tuple[float, float]) -> Array:
    """The outside of the section there, between two shares of the chord. [m]"""
    solid = skin.piece.solid
    points = solid.flat_section(span, side)
    curve = getattr(solid.sections[skin.piece.panel.first], side)
    low, high = (curve.index(share) for share in reach)
    index = np.array([low, *range(math.ceil(low + 1e-9), math.floor(high - 1e-9) + 1), high])
    numbers = np.arange(len(points))
    return np.column_stack([np.interp(index, numbers, points[:, axis]) for axis in (0, 1)])


def _edge(whole: Polygon, start: Array, end: Array) -> Outline:
    """The edge of a rib between the places right under two places of the outside. [m]"""
    ring = whole.exterior
    a, b = sorted(ring.project(Point(*place)) for place in (start, end))
    direct = substring(ring, a, b)
    if direct.length > ring.length / 2:
        first, second = substring(ring, b, ring.length), substring(ring, 0.0, a)
        direct = LineString([*first.coords, *second.coords[1:]])
    return tuple((float(x), float(y)) for x, y in direct.coords)


def _lost(skin: Skin, outside: Array, side: str) -> float:
    """By how much the inside of a skin is shorter than the line it was measured on. [m]"""
    wrap = skin.piece.wrap
    steps = np.diff(outside, axis=0)
    angles = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
    turns = np.diff(angles) * (-1.0 if side == "upper" else 1.0)
    if skin.piece.solid.folded:
        return float(sum(2 * wrap.thickness * math.tan(turn / 2) for turn in turns))
    return float(turns.sum() * (wrap.thickness - wrap.inset))
