"""Skins of surfaces as flat parts, with their marks, seams and proof of refolding."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely import Polygon

from plansgen.balance.drawn import Drawn, PartRef
from plansgen.balance.elements import Moments
from plansgen.balance.target import Target
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns import skin_marks
from plansgen.patterns.flat import FlatPart, Outline, PatternLine, length
from plansgen.patterns.naming import key_of
from plansgen.patterns.refold import folded_back
from plansgen.patterns.seams import EdgeRef, Refold, Seam
from plansgen.patterns.skin_openings import skin_opened
from plansgen.patterns.solid import SurfaceSolid
from plansgen.patterns.weights import between_rails, both_sides, fan, of_sheet
from plansgen.patterns.wraps import Piece, neighbours, pieces_of, wraps_of

_MOST_STRETCH = 0.01  # more than this and a dart is shown


@dataclass(frozen=True, eq=False)
class Skin:
    """One piece with its flat part. misplaced: its openings that do not fit, in words."""

    piece: Piece
    part: FlatPart
    misplaced: tuple[str, ...] = ()


def skins(
    solid: SurfaceSolid,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
    target: Target | None,
) -> list[Skin]:
    """The skins of a surface, one piece a straight panel, inside up.

    Args:
        solid: The surface.
        parts: All of its parts.
        materials: Of the design.
        target: Where the model balances; None where it is not marked on this surface.
    """
    found = []
    for wrap in wraps_of(parts, materials, solid):
        pieces = pieces_of(wrap, solid)
        for piece in pieces:
            part = _flat(piece, len(pieces) > 1)
            part = replace(part, lines=tuple(_lines(piece, parts, materials, target)))
            part, wrong = skin_opened(part, piece)
            part = replace(part, drawn=tuple(_drawn(piece, part, parts, materials)))
            found.append(Skin(piece, part, tuple(wrong)))
    return found


def _drawn(
    piece: Piece, flat: FlatPart, parts: Sequence[Part], materials: Mapping[str, Material]
) -> Iterator[Drawn]:
    """The top and the bottom of a skin, which may be two parts of the design."""
    wrap = piece.wrap
    last = sum(side == "upper" for side, _ in piece.line) - 1  # rung at the nose, or none
    sides = {wrap.above: slice(0, last + 1)} if wrap.upper else {}
    lower = slice(max(last, 0), None)
    sides |= {wrap.below: slice(0, None) if wrap.below in sides else lower} if wrap.lower else {}
    shapes = {index: _cut_open(piece, flat, rungs) for index, rungs in sides.items()}
    whole = sum(shape.mass for shape in shapes.values())
    for index, shape in shapes.items():
        yield of_sheet(
            PartRef(piece.solid.surface.key, index),
            parts[index],
            materials[wrap.material],
            both_sides(shape, mirrored=flat.mirrored > 0),
            area=flat.area * flat.pieces * shape.mass / whole,
        )


def _cut_open(piece: Piece, flat: FlatPart, rungs: slice) -> Moments:
    """A stretch of the girth in space, less the openings whose middle lies on it."""
    sheet = piece.sheet
    shape = between_rails(sheet.near[rungs], sheet.far[rungs])
    rim = (*piece.flat(sheet.flat_near[rungs]), *piece.flat(sheet.flat_far[rungs])[::-1])
    for hole in map(Polygon, flat.holes):
        if Polygon(rim).intersection(hole).area > hole.area / 2:
            ring = np.asarray(hole.exterior.coords)[:-1]
            shape += fan(ring, sheet.rolled(piece.unflat(ring))).scaled(-1.0)
    return shape


def _flat(piece: Piece, several: bool) -> FlatPart:
    solid, wrap = piece.solid, piece.wrap
    reach = f"{abs(piece.start) * 1000:.0f} to {piece.end * 1000:.0f}"
    if piece.centre:
        reach = f"centre piece, {piece.end * 1000:.0f} each side"
    paired = solid.surface.mirrored and not piece.centre
    return FlatPart(
        key=key_of(solid.surface.key, wrap.name, str(piece.number) if several else ""),
        name=f"{wrap.name}, {reach}" if several else wrap.name,
        material=wrap.material,
        thickness=wrap.thickness,
        outline=piece.outline,
        count=wrap.count,
        mirrored=wrap.count if paired else 0,
        hand="starboard" if paired else "",
        grain=math.pi / 2 if wrap.across else 0.0,
        note=" ".join(_notes(piece)),
    )


def _notes(piece: Piece) -> Iterator[str]:
    """What to know at the bench."""
    solid, wrap = piece.solid, piece.wrap
    paired = solid.surface.mirrored and not piece.centre
    yield "Inside up, root to the left" + ("; the mirror image is the port one." if paired else ".")
    if any(name == "under the nose" for name, _, _ in piece.bends):
        yield "Peel the inner paper off between the two lines at the nose and press the foam down."
    if wrap.round_nose and not solid.folded and _tight(piece):
        yield "The sheet is too thick to roll round the nose: score it there, peel and crush it."
    for words, angle in (("root", _mitre(solid, piece, 0)), ("outer", _mitre(solid, piece, 1))):
        if abs(angle) > math.radians(0.5):
            yield f"Bevel the {words} end {abs(math.degrees(angle)):.1f}° for the joint."
    if wrap.share < 1.0:
        yield (
            f"Openings are not drawn: {100 * (1 - wrap.share):.0f} % of the sheet is cut out "
            "by the steps."
        )
    for dart in piece.sheet.darts(_MOST_STRETCH):
        yield (
            f"The sheet does not lie flat: take {abs(dart.width) * 1000:.1f} mm "
            f"{'out' if dart.width > 0 else 'more'} near {dart.share * 100:.0f} % of the span."
        )


def _tight(piece: Piece) -> bool:
    """Whether the nose turns on less than the thickness of the sheet."""
    middle = (piece.sheet.near + piece.sheet.far) / 2
    steps = np.linalg.norm(np.diff(middle, axis=0), axis=1)
    turns = [piece.turn(n) for n in range(1, len(middle) - 1)]
    radii = (steps[1:] + steps[:-1]) / 2 / np.maximum(turns, 1e-9)
    return bool(radii.min() < piece.wrap.thickness / 2)


def _mitre(solid: SurfaceSolid, piece: Piece, end: int) -> float:
    """Angle of an end against square. [rad]"""
    tilts = solid.tilts
    if end == 0:
        if piece.centre:
            return 0.0
        if piece.panel.first == 0:
            return tilts[0] if solid.centred and piece.start == 0.0 else 0.0
        return (tilts[piece.panel.first] - tilts[piece.panel.first - 1]) / 2
    last = piece.panel.last
    return (tilts[last] - tilts[last - 1]) / 2 if last < len(tilts) else 0.0


def _lines(
    piece: Piece, parts: Sequence[Part], materials: Mapping[str, Material], target: Target | None
) -> Iterator[PatternLine]:
    yield from skin_marks.fold_lines(piece)
    bevel = skin_marks.bevel_line(piece)
    if bevel is not None:
        yield bevel
    yield from skin_marks.control_lines(piece, piece.solid.surface.controls)
    yield from skin_marks.rib_lines(piece, parts)
    yield from skin_marks.run_lines(piece, parts, materials)
    yield from skin_marks.balance_lines(piece, target)
    yield from skin_marks.span_ticks(piece)


def skin_seams(found: Sequence[Skin]) -> Iterator[Seam]:
    """Every edge of a skin that meets a skin: at bends, at the trailing edge, along the girth."""
    by_wrap: dict[str, list[Skin]] = {}
    for skin in found:
        by_wrap.setdefault(repr(skin.piece.wrap), []).append(skin)
    for group in by_wrap.values():
        owner = {id(skin.piece): skin for skin in group}
        for a, b in neighbours([skin.piece for skin in group]):
            first, second = owner[id(a)], owner[id(b)]
            yield Seam(
                f"{a.wrap.name}: joint at {a.end * 1000:.0f}",
                _edge(first, "tip", "outer end"),
                _edge(second, "root", "inner end"),
                "butt",
            )
    for skin in found:
        piece = skin.piece
        if piece.solid.centred and piece.start == 0.0:
            yield Seam(
                f"{piece.wrap.name}: port to starboard",
                _edge(skin, "root", "root, starboard"),
                _edge(skin, "root", "root, port"),
                "butt",
            )
    yield from _girth_seams(found)


def _edge(skin: Skin, which: str, words: str) -> EdgeRef:
    return EdgeRef(skin.part.key, words, skin.piece.edges[which])


def _borders(skin: Skin) -> Iterator[tuple[str, str, float]]:
    """Edge name, side and share of the chord of both long edges."""
    wrap = skin.piece.wrap
    if wrap.upper:
        yield "first", "upper", wrap.upper[1]
        if not wrap.lower:
            yield "last", "upper", wrap.upper[0]
    if wrap.lower:
        yield "last", "lower", wrap.lower[1]
        if not wrap.upper:
            yield "first", "lower", wrap.lower[0]


def _girth_seams(found: Sequence[Skin]) -> Iterator[Seam]:
    """Edges that lie at one share of the chord over the same stretch of the span."""
    rows = [(skin, *border) for skin in found for border in _borders(skin)]
    for n, (a, edge_a, side_a, share_a) in enumerate(rows):
        for b, edge_b, side_b, share_b in rows[n + 1 :]:
            spans = (a.piece.start, a.piece.end), (b.piece.start, b.piece.end)
            if spans[0] != spans[1] or abs(share_a - share_b) > 1e-9:
                continue
            if side_a != side_b and 0.0 < share_a < 1.0:
                continue
            words = {0.0: "leading edge", 1.0: "trailing edge"}.get(
                share_a, f"joint at {share_a * 100:.0f} % of the chord"
            )
            more = [
                _at_edge(skin, side) if share_a == 1.0 else 0.0
                for skin, side in ((a, side_a), (b, side_b))
            ]
            yield Seam(
                f"{a.part.name}: {words}",
                replace(_edge(a, edge_a, f"{words}, {_TOP[side_a]}"), allowance=more[0]),
                replace(_edge(b, edge_b, f"{words}, {_TOP[side_b]}"), allowance=more[1]),
                "edge",
            )


def _at_edge(skin: Skin, side: str) -> float:
    """By how much a skin is longer where it meets the other one at the trailing edge. [m]

    The inside of a folded top lies on the outer paper of the bevelled bottom; skins of other
    sections are thinned from inside until their outsides meet.
    """
    piece, solid = skin.piece, skin.piece.solid
    drop = piece.wrap.thickness if solid.folded and side == "upper" else 0.0
    inner, outer = (solid.stations[n] for n in (piece.panel.first, piece.panel.last))
    rails = []
    for number, station in ((piece.panel.first, inner), (piece.panel.last, outer)):
        corner = getattr(solid.sections[number], side).points[-1:] * station.chord
        rails.append(solid.placed(number, corner - [0.0, drop])[0])
    near, far = (
        rails[0] + (rails[1] - rails[0]) * (abs(span) - inner.span) / (outer.span - inner.span)
        for span in (piece.start, piece.end)
    )
    if piece.centre:
        near = far * [1.0, -1.0, 1.0]
    edge = "first" if side == "upper" else "last"
    return float(np.linalg.norm(far - near)) - length(piece.edges[edge])


_TOP = {"upper": "top", "lower": "bottom"}


def skin_refold(skin: Skin) -> Refold:
    """Fold a skin back up by its own angles, and roll it by its triangles; measure both."""
    sheet = skin.piece.sheet
    rigid = folded_back(sheet)
    rungs = np.arange(len(sheet.near) - 1) + 0.5
    off = 0.0
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        flat = [sheet.at(float(r), share) for r in rungs]
        line = sheet.near + (sheet.far - sheet.near) * share
        want = (line[:-1] + line[1:]) / 2
        off = max(off, float(np.linalg.norm(sheet.rolled(flat) - want, axis=1).max()))
    return Refold(skin.part.key, off, rigid, sheet.misfit.stretch)


def line_between(skin: Skin, side: str, span: float, reach: tuple[float, float]) -> Outline:
    """The line on a skin along one side at a span, between two shares of the chord. [m]"""
    piece = skin.piece
    ends = [piece.rung(side, share) for share in reach]
    if ends[0] is None or ends[1] is None:
        return ()
    low, high = sorted((ends[0], ends[1]))
    whole = range(math.ceil(low + 1e-9), math.floor(high - 1e-9) + 1)
    return tuple(piece.point(r, span) for r in (low, *whole, high))
