"""The parts in place, seen isometrically: plain polygons to be drawn one over the other.

Axes stand at 120° on the paper and are drawn to one scale (ISO 5456-3, from memory). One looks from
ahead, from starboard and from above. What is nearer is drawn later, so that it hides what it
should: thing by thing, and of a thing first the faces that look away from the eye, then what is
inside, then the faces that look towards it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely import LinearRing, MultiPolygon, Polygon, box

from plansgen.airframe.build import BodyPart
from plansgen.patterns.body_parts import BodyParts
from plansgen.patterns.flat import FlatPart, Outline
from plansgen.patterns.formers import Former
from plansgen.patterns.panel import Panel
from plansgen.patterns.unrolled import Pose

Array = NDArray[np.float64]
Vector = tuple[float, float, float]

_TOWARDS = np.array([-1.0, 1.0, 1.0]) / math.sqrt(3.0)  # from the model to the eye
_UP = np.array([1.0, -1.0, 2.0]) / math.sqrt(6.0)
_RIGHT = np.array([1.0, 1.0, 0.0]) / math.sqrt(2.0)
_STRETCH = math.sqrt(1.5)  # lengths along the axes come out true
_NORMALS: dict[str, Vector] = {
    "starboard": (0.0, 1.0, 0.0),
    "top": (0.0, 0.0, 1.0),
    "bottom": (0.0, 0.0, -1.0),
    "front": (-1.0, 0.0, 0.0),
    "rear": (1.0, 0.0, 0.0),
    "step": (1.0, 0.0, 0.0),
}


@dataclass(frozen=True, eq=False)
class SolidFace:
    """A flat piece of a part in its place, in the body frame. [m]

    part: key of the flat part. outline, holes: points, (n, 3). normal: outwards, the way the part
    moves when the drawing is pulled apart; nothing for what is inside and stays. group: the thing
    it is part of. layer: how many lie outside of it.
    """

    part: str
    name: str
    outline: Array
    holes: tuple[Array, ...] = ()
    normal: Vector = (0.0, 0.0, 0.0)
    group: str = ""
    layer: int = 0


@dataclass(frozen=True)
class IsoFace:
    """A polygon of the drawing, x to the right and y up [m].

    shade: how far it faces the eye, 0 edge-on to 1, for a fill. depth: nearer is more. [m]
    """

    part: str
    name: str
    outline: Outline
    holes: tuple[Outline, ...]
    shade: float
    depth: float


def solid_faces(parts: BodyParts) -> tuple[SolidFace, ...]:
    """Every panel and former of box bodies in its place, port ones and mirrored bodies included."""
    found: list[SolidFace] = []
    for panel in parts.panels:
        found += _both_sides(_panel_faces(panel), panel.body, side=panel.face == "starboard")
    for former in parts.formers:
        found += _both_sides([_former_face(former)], former.body, side=False)
    return tuple(found)


def isometric(faces: Iterable[SolidFace], *, explode: float = 0.0) -> tuple[IsoFace, ...]:
    """Project faces, the farthest first.

    Args:
        faces: In the body frame.
        explode: How far each is moved along its normal. [m]
    """
    faces = list(faces)
    groups: dict[str, list[float]] = {}
    for face in faces:
        groups.setdefault(face.group, []).append(float((face.outline @ _TOWARDS).mean()))
    found = []
    for number, face in enumerate(faces):
        move = explode * np.array(face.normal)
        outline = face.outline + move
        depth = float((outline @ _TOWARDS).mean())
        flat = IsoFace(
            part=face.part,
            name=face.name,
            outline=_projected(outline),
            holes=tuple(_projected(hole + move) for hole in face.holes),
            shade=_shade(outline),
            depth=depth,
        )
        own = groups[face.group]
        facing = float(np.sign(round(float(np.array(face.normal) @ _TOWARDS), 9)))
        order = (sum(own) / len(own), facing, -facing * face.layer, depth, number)
        found.append((order, flat))
    return tuple(flat for _, flat in sorted(found, key=lambda row: row[0]))


def _projected(points: Array) -> Outline:
    x, y = points @ _RIGHT * _STRETCH, points @ _UP * _STRETCH
    return tuple(zip(x.tolist(), y.tolist(), strict=True))


def _shade(points: Array) -> float:
    """Cosine between a polygon's normal (Newell's method) and the way to the eye."""
    normal = np.cross(points, np.roll(points, -1, axis=0)).sum(axis=0)
    size = float(np.linalg.norm(normal))
    return abs(float(normal @ _TOWARDS)) / size if size > 1e-15 else 0.0


def _panel_faces(panel: Panel) -> list[SolidFace]:
    """A panel's facets between its bends."""
    return [
        SolidFace(
            part=panel.part.key,
            name=panel.part.name,
            outline=panel.pose.space(_ring(facet.exterior)),
            holes=tuple(panel.pose.space(_ring(hole)) for hole in facet.interiors),
            normal=_NORMALS[panel.face],
            group=panel.body.key,
            layer=panel.layer.number,
        )
        for facet in _facets(panel.part, panel.pose)
    ]


def _facets(part: FlatPart, pose: Pose) -> list[Polygon]:
    west, south, east, north = part.bounds
    cuts: list[tuple[float, float]] = []
    start = west - 1.0
    for where, room, _ in pose.bends:
        cuts.append((start, where - room / 2))
        start = where + room / 2
    cuts.append((start, east + 1.0))
    found: list[Polygon] = []
    for a, b in cuts:
        if b - a < 1e-6:
            continue
        piece = part.polygon.intersection(box(a, south - 1.0, b, north + 1.0))
        pieces = piece.geoms if isinstance(piece, MultiPolygon) else [piece]
        found += [p for p in pieces if isinstance(p, Polygon) and p.area > 1e-8]
    return found


def _ring(ring: LinearRing) -> Outline:
    return tuple((float(x), float(y)) for x, y, *_ in list(ring.coords)[:-1])


def _former_face(former: Former) -> SolidFace:
    part = former.part
    return SolidFace(
        part=part.key,
        name=part.name,
        outline=former.pose.space(part.outline),
        holes=tuple(former.pose.space(hole) for hole in part.holes),
        group=former.body.key,
    )


def _both_sides(faces: Sequence[SolidFace], body: BodyPart, *, side: bool) -> list[SolidFace]:
    """The faces, their port images about the body's middle, and all of it for a second body."""
    found = list(faces)
    if side:
        found += [_mirrored(face, body.frames[0].y) for face in faces]
    if body.mirrored:
        found += [replace(_mirrored(f, 0.0), group=f"{f.group}, port") for f in list(found)]
    return found


def _mirrored(face: SolidFace, middle: float) -> SolidFace:
    def over(points: Array) -> Array:
        return np.asarray(points * [1.0, -1.0, 1.0] + [0.0, 2 * middle, 0.0])

    x, y, z = face.normal
    return replace(
        face,
        outline=over(face.outline),
        holes=tuple(map(over, face.holes)),
        normal=(x, -y, z),
    )


def hull_of(faces: Iterable[IsoFace]) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y of a drawing. [m]"""
    points = [point for face in faces for point in face.outline]
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)
