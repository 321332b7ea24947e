"""The parts in place, seen isometrically: plain polygons to be drawn one over the other.

Axes stand at 120° on the paper and are drawn to one scale (ISO 5456-3, from memory). One looks from
ahead, from starboard and from above. What is nearer is drawn later, so that it hides what it
should.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, MultiPolygon, Polygon, box

from plansgen.airframe.build import BodyPart
from plansgen.patterns.body_parts import BodyParts
from plansgen.patterns.flat import FlatPart, Outline
from plansgen.patterns.formers import Former
from plansgen.patterns.painter import painting_order
from plansgen.patterns.panel import Panel
from plansgen.patterns.standing import SolidFace, Vector, mirrored
from plansgen.patterns.unrolled import Pose

Array = NDArray[np.float64]

_TOWARDS = np.array([-1.0, 1.0, 1.0]) / math.sqrt(3.0)  # from the model to the eye
_UP = np.array([1.0, -1.0, 2.0]) / math.sqrt(6.0)
_RIGHT = np.array([1.0, 1.0, 0.0]) / math.sqrt(2.0)
_STRETCH = math.sqrt(1.5)  # lengths along the axes come out true
_STOREY = 2.6  # gaps between things that lie over each other, skins moved off them included
_TRIES = 4  # faces of a part that are looked at for the place of its number
_NORMALS: dict[str, Vector] = {
    "starboard": (0.0, 1.0, 0.0),
    "top": (0.0, 0.0, 1.0),
    "bottom": (0.0, 0.0, -1.0),
    "front": (-1.0, 0.0, 0.0),
    "rear": (1.0, 0.0, 0.0),
    "step": (1.0, 0.0, 0.0),
}


@dataclass(frozen=True)
class IsoFace:
    """A polygon of the drawing, x to the right and y up [m].

    shade: how far it faces the eye, 0 edge-on to 1, for a fill. depth: nearer is more [m]. soft:
    numbers of its sides that are no edges.
    """

    part: str
    name: str
    outline: Outline
    holes: tuple[Outline, ...]
    shade: float
    depth: float
    soft: tuple[int, ...] = ()

    @property
    def polygon(self) -> Polygon:
        """It as a shape, without what folds over itself. [m]"""
        shape = Polygon(self.outline, self.holes)
        return shape if shape.is_valid else shape.buffer(0)


def solid_faces(parts: BodyParts) -> tuple[SolidFace, ...]:
    """Every panel and former of box bodies in its place, port ones and mirrored bodies included."""
    found: list[SolidFace] = []
    for panel in parts.panels:
        found += _both_sides(_panel_faces(panel), panel.body, side=panel.face == "starboard")
    for former in parts.formers:
        found += _both_sides([_former_face(former)], former.body, side=False)
    return tuple(found)


def isometric(faces: Iterable[SolidFace], *, explode: float = 0.0) -> tuple[IsoFace, ...]:
    """Project faces, in the order in which they are painted.

    Args:
        faces: In the body frame.
        explode: How far each moves for one gap [m]. Things that lie over each other also move up,
            each so far that the lower one comes free.
    """
    faces = list(faces)
    storeys = _storeys(faces)
    shown: list[IsoFace] = []
    spaces: list[Array] = []
    turns: list[float] = []
    for face in faces:
        move = explode * np.array(face.move)
        move[2] += explode * _STOREY * storeys[face.group]
        outline = face.outline + move
        turn = _turn(outline)
        turns.append(turn)
        spaces.append(np.column_stack([*_flat(outline).T, outline @ _TOWARDS]))
        shown.append(
            IsoFace(
                part=face.part,
                name=face.name,
                outline=_projected(outline),
                holes=tuple(_projected(hole + move) for hole in face.holes),
                shade=abs(turn),
                depth=float((outline @ _TOWARDS).mean()),
                soft=face.soft,
            )
        )
    shown = _rimmed(shown, faces, turns)
    return tuple(shown[n] for n in painting_order([face.polygon for face in shown], spaces))


def _storeys(faces: Sequence[SolidFace]) -> dict[str, int]:
    """How many things lie, in plan, under each thing and under each other."""
    boxes: dict[str, tuple[float, str, Polygon]] = {}
    for group in dict.fromkeys(face.group for face in faces):
        points = np.vstack([face.outline for face in faces if face.group == group])
        low, high = points.min(axis=0), points.max(axis=0)
        plan = box(low[0], low[1], high[0] + 1e-6, high[1] + 1e-6)
        boxes[group] = (float(low[2] + high[2]), group, plan)
    found: dict[str, int] = {}
    for _, group, plan in sorted(boxes.values(), key=lambda row: row[:2]):
        under = [found[other] for other in found if boxes[other][2].intersects(plan)]
        found[group] = max(under, default=-1) + 1
    return found


def _rimmed(
    shown: Sequence[IsoFace], faces: Sequence[SolidFace], turns: Sequence[float]
) -> list[IsoFace]:
    """Where a curved sheet turns away from the eye its last facet gets an edge."""
    found = list(shown)
    for n in range(len(faces) - 1):
        a, b = faces[n], faces[n + 1]
        goes_on = (a.part, a.group) == (b.part, b.group) and 2 in a.soft and 0 in b.soft
        if goes_on and turns[n] * turns[n + 1] < 0.0:
            found[n] = replace(found[n], soft=tuple(s for s in found[n].soft if s != 2))
            found[n + 1] = replace(found[n + 1], soft=tuple(s for s in b.soft if s != 0))
    return found


def number_places(faces: Sequence[IsoFace]) -> Mapping[str, tuple[float, float, bool]]:
    """For each part a place on the drawing where it is seen, and whether it is seen at all. [m]

    Args:
        faces: In the order in which they are painted.
    """
    shapes = [face.polygon for face in faces]
    tree = shapely.STRtree(shapes)
    own: dict[str, list[int]] = {}
    for n, face in enumerate(faces):
        if face.part:
            own.setdefault(face.part, []).append(n)
    found = {}
    for part, numbers in own.items():
        best, place = 0.0, shapes[numbers[-1]]
        for n in sorted(numbers, key=lambda n: (-shapes[n].area, n))[:_TRIES]:
            over = [shapes[m] for m in sorted(tree.query(shapes[n])) if m > n]
            left = shapes[n].difference(shapely.union_all(over))
            pieces = [p for p in getattr(left, "geoms", [left]) if isinstance(p, Polygon)]
            for piece in pieces:
                if piece.area > best * (1 + 1e-9):
                    best, place = piece.area, piece
        spot = place.representative_point()
        found[part] = (float(spot.x), float(spot.y), best > 0.0)
    return found


def _flat(points: Array) -> Array:
    return np.column_stack([points @ _RIGHT * _STRETCH, points @ _UP * _STRETCH])


def _projected(points: Array) -> Outline:
    return tuple((float(x), float(y)) for x, y in _flat(points))


def _turn(points: Array) -> float:
    """Cosine between a polygon's normal (Newell's method) and the way to the eye."""
    normal = np.cross(points, np.roll(points, -1, axis=0)).sum(axis=0)
    size = float(np.linalg.norm(normal))
    return float(normal @ _TOWARDS) / size if size > 1e-15 else 0.0


def _panel_faces(panel: Panel) -> list[SolidFace]:
    """A panel's facets between its bends."""
    return [
        SolidFace(
            part=panel.part.key,
            name=panel.part.name,
            outline=panel.pose.space(_ring(facet.exterior)),
            holes=tuple(panel.pose.space(_ring(hole)) for hole in facet.interiors),
            move=_NORMALS[panel.face],
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
        found += [mirrored(face, body.frames[0].y) for face in faces]
    if body.mirrored:
        found += [replace(mirrored(f), group=f"{f.group}, port") for f in list(found)]
    return found


def hull_of(faces: Iterable[IsoFace]) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y of a drawing. [m]"""
    points = [point for face in faces for point in face.outline]
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)
