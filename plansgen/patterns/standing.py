"""Flat parts of surfaces in their place on the model, for drawings of the whole.

Nothing here is measured: a part stands where its middle lies, thin as paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import cut
from plansgen.airframe.planform import panel_tilts
from plansgen.patterns.flat import FlatPart, Outline
from plansgen.patterns.solid import SurfaceSolid
from plansgen.patterns.wraps import Piece

Array = NDArray[np.float64]
Vector = tuple[float, float, float]

_OFF = 0.01  # a facet of a skin may leave the true curve by so much of its girth
_SHARP = math.radians(25.0)  # an edge between facets that turn more is drawn [rad]
_INSIDE = 0.94  # ribs are drawn so much smaller
_APART = 0.4  # panels of one surface, along the span
_AHEAD = 0.7  # what joins panels, forwards, so that the web behind it is seen


@dataclass(frozen=True, eq=False)
class SolidFace:
    """A flat piece of a part in its place, in the body frame. [m]

    part: key of the flat part. outline, holes: points, (n, 3). move: which way and by how many
    gaps it moves when the drawing is pulled apart; nothing for what is inside and stays. group: the
    thing it is part of. layer: how many lie outside of it. soft: numbers of the sides, each from
    the point of that number on, that are no edge but where the sheet goes on round.
    """

    part: str
    name: str
    outline: Array
    holes: tuple[Array, ...] = ()
    move: Vector = (0.0, 0.0, 0.0)
    group: str = ""
    layer: int = 0
    soft: tuple[int, ...] = ()


def mirrored(face: SolidFace, middle: float = 0.0) -> SolidFace:
    """The image of a face on the other side of an upright plane. [m]"""

    def over(points: Array) -> Array:
        return np.asarray(points * [1.0, -1.0, 1.0] + [0.0, 2 * middle, 0.0])

    x, y, z = face.move
    return replace(
        face, outline=over(face.outline), holes=tuple(map(over, face.holes)), move=(x, -y, z)
    )


def both_halves(solid: SurfaceSolid, faces: Sequence[SolidFace]) -> tuple[SolidFace, ...]:
    """The faces of a surface's half, and of the other one where there is one.

    Where the halves do not meet, as of twin fins, each is a thing of its own.
    """
    if not solid.surface.mirrored:
        return tuple(faces)
    own = "" if solid.centred else ", port"
    return (*faces, *(replace(mirrored(face), group=f"{face.group}{own}") for face in faces))


def skin_faces(piece: Piece, part: FlatPart) -> tuple[SolidFace, ...]:
    """A skin as few facets that follow its curve; its folds and rims are its edges."""
    solid, near, far = piece.solid, piece.sheet.near, piece.sheet.far
    rungs = _few([*((near + far) / 2)], sorted({n for _, n, _ in piece.bends}))
    level = 1.0 if piece.wrap.upper else -1.0
    move = _moved(solid, piece.panel.first, level=level)
    faces = []
    for number, (a, b) in enumerate(pairwise(rungs)):
        faces.append(
            SolidFace(
                part=part.key,
                name=part.name,
                outline=np.array([near[a], far[a], far[b], near[b]]),
                move=move,
                group=solid.surface.key,
                soft=(
                    *((0,) if number and not _sharp(near, rungs, number) else ()),
                    *((2,) if b != rungs[-1] and not _sharp(near, rungs, number + 1) else ()),
                ),
            )
        )
    if piece.centre:  # it goes across: there is no other half of it
        return tuple(faces)
    return both_halves(solid, faces)


def _few(points: Sequence[Array], kept: Sequence[int]) -> list[int]:
    """Numbers of the points that a line needs to follow the curve (Douglas & Peucker 1973)."""
    ends = [0, *kept, len(points) - 1]
    girth = sum(float(np.linalg.norm(b - a)) for a, b in pairwise(points))
    found = [0]
    for a, b in pairwise(ends):
        found += _thin(points, a, b, _OFF * girth)
    return found


def _thin(points: Sequence[Array], first: int, last: int, most: float) -> list[int]:
    if last - first < 2:
        return [last] if last > first else []
    line = points[last] - points[first]
    line = line / max(float(np.linalg.norm(line)), 1e-12)
    away = np.array(points[first + 1 : last]) - points[first]
    off = np.linalg.norm(away - np.outer(away @ line, line), axis=1)
    worst = int(off.argmax())
    if off[worst] <= most:
        return [last]
    middle = first + 1 + worst
    return [*_thin(points, first, middle, most), *_thin(points, middle, last, most)]


def _sharp(rail: Array, rungs: Sequence[int], number: int) -> bool:
    a, b, c = (rail[rungs[n]] for n in (number - 1, number, number + 1))
    before, after = b - a, c - b
    size = float(np.linalg.norm(before) * np.linalg.norm(after))
    return size > 0.0 and float(before @ after) / size < math.cos(_SHARP)


def rib_faces(solid: SurfaceSolid, span: float, part: FlatPart) -> tuple[SolidFace, ...]:
    """A rib, or a piece of one, upright over the chord at its span.

    It is drawn a little smaller, because skins are drawn in facets that it would reach through.
    """
    number, _ = solid.between(span)
    middle = part.polygon.centroid

    def smaller(ring: Outline) -> Outline:
        return tuple(
            (middle.x + _INSIDE * (x - middle.x), middle.y + _INSIDE * (y - middle.y))
            for x, y in ring
        )

    face = SolidFace(
        part=part.key,
        name=part.name,
        outline=in_section(solid, span, smaller(part.outline)),
        holes=tuple(in_section(solid, span, smaller(hole)) for hole in part.holes),
        move=_moved(solid, number, level=0.0),
        group=solid.surface.key,
    )
    return both_halves(solid, [face])


def in_section(solid: SurfaceSolid, span: float, points: Outline) -> Array:
    """Points of the section's plane at a span, along the chord and up [m], in space."""
    number, share = solid.between(span)
    inner, outer = (solid.placed(n, np.asarray(points)) for n in (number, number + 1))
    return np.asarray(inner + (outer - inner) * share)


def plate_faces(solid: SurfaceSolid, part: FlatPart, *, moving: bool) -> tuple[SolidFace, ...]:
    """A plate or a control of one, which lies span to the right and chord down."""
    face = SolidFace(
        part=part.key,
        name=part.name,
        outline=_on_chords(solid, part.outline),
        holes=tuple(_on_chords(solid, hole) for hole in part.holes),
        move=_moved(solid, 0, level=0.0, aft=1.0 if moving else 0.0, across=_crosses(part)),
        group=solid.surface.key,
    )
    return (face,) if _crosses(part) else both_halves(solid, [face])


def _crosses(part: FlatPart) -> bool:
    """Whether it goes across the centre line."""
    return part.bounds[0] < -1e-6


def _on_chords(solid: SurfaceSolid, points: Outline) -> Array:
    root = solid.stations[0]
    tilts = panel_tilts(solid.stations)
    found = []
    for s, v in points:
        span = min(abs(s), solid.stations[-1].span)
        (station, *_) = cut(solid.stations, span, span)
        number, _ = solid.between(span)
        tilt = tilts[number + 1]
        x = root.x - v
        drop = (x - station.x) * math.sin(station.twist)
        y, z = station.y + drop * math.sin(tilt), station.z - drop * math.cos(tilt)
        found.append((x, math.copysign(1.0, s) * y if s else y, z))
    return np.array(found)


def strip_faces(
    solid: SurfaceSolid, part: FlatPart, rim: Array, *, span: float, joins: bool, across: bool
) -> tuple[SolidFace, ...]:
    """A web, a brace or another strip.

    Args:
        solid: The surface.
        part: As cut.
        rim: Its outline on the half, in space, (2 n, 3): one edge outboard, the other back. [m]
        span: Of its middle. [m]
        joins: Whether it joins panels; it is then drawn ahead of what it lies against.
        across: Whether both halves are one piece.
    """
    half = len(rim) // 2
    number, _ = solid.between(span)
    move = _moved(solid, 0 if joins else number, level=0.0, aft=-_AHEAD if joins else 0.0)
    found = []
    for n in range(half - 1):
        other = 2 * half - 1 - n
        found.append(
            SolidFace(
                part=part.key,
                name=part.name,
                outline=rim[[n, n + 1, other - 1, other]],
                move=move,
                group=solid.surface.key,
                soft=(*((1,) if n < half - 2 else ()), *((3,) if n or across else ())),
            )
        )
    return both_halves(solid, found)


def strip_rim(
    solid: SurfaceSolid,
    spans: Sequence[float],
    share: float,
    heights: Sequence[float],
    *,
    upright: bool,
) -> Array:
    """The outline of a strip along a surface, in space: one edge outboard, the other back. [m]

    Args:
        solid: The surface.
        spans: Where it is cut, root first. [m]
        share: Of the chord.
        heights: Across it at each span. [m]
        upright: Whether it stands on edge.
    """
    rows = [
        list(_edges(solid, span, share, height, upright=upright))
        for span, height in zip(spans, heights, strict=True)
    ]
    return np.array([*(row[0] for row in rows), *(row[1] for row in reversed(rows))])


def _edges(
    solid: SurfaceSolid, span: float, share: float, height: float, *, upright: bool
) -> Iterator[Array]:
    x = share * solid.chord(span)
    number, _ = solid.between(span)
    middle = 0.0
    for side in ("upper", "lower"):
        curve = getattr(solid.sections[number], side)
        points = solid.flat_section(span, side)
        at = curve.index(share)
        middle += float(np.interp(at, np.arange(len(points)), points[:, 1])) / 2
    for half in (-height / 2, height / 2):
        point = (x, middle + half) if upright else (x + half, middle)
        yield in_section(solid, span, (point,))[0]


def _moved(
    solid: SurfaceSolid, number: int, *, level: float, aft: float = 0.0, across: bool = False
) -> Vector:
    """How a piece of the panel outboard of a station moves: up from it, aft, and outboard."""
    first = solid.tilts[0]
    panel = next((n for n, p in enumerate(solid.panels) if p.first <= number < p.last), 0)
    out = 0.0 if across or not solid.surface.mirrored else _APART * panel
    up = np.array([0.0, -math.sin(first), math.cos(first)]) * level
    along = np.array([0.0, math.cos(first), math.sin(first)]) * out
    x, y, z = (float(v) for v in up + along)
    return x + aft, y, z
