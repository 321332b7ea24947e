"""What flat parts and sawn pieces weigh and where, once they are put together.

A sheet has no thickness here: its mass lies in the middle of a panel, on the line that keeps its
length in a skin. Sticks, strips and parts that are given by a place lie where the balance puts
them; only how much there is of them is measured on the drawing.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon, box
from shapely.geometry import LinearRing
from shapely.geometry.base import BaseGeometry

from plansgen.airframe.build import BodyPart, LiftingSurface
from plansgen.balance.drawn import Drawn, PartRef
from plansgen.balance.elements import Array, Moments, together, triangles
from plansgen.balance.placing import areal_density, linear_density, placed
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns.unrolled import Pose

# --- where a flat shape lies in space, at unit mass per area -----------------------------------


def both_sides(shape: Moments, *, mirrored: bool) -> Moments:
    """With its mirror image on the other side, where there is one."""
    return shape + shape.mirrored() if mirrored else shape


def about(shape: Moments, y: float) -> Moments:
    """The mirror image about the upright plane at y. [m]"""
    image = shape.mirrored()
    return image.moved(image.centre + np.array([0.0, 2 * y, 0.0]))


def on_pose(polygon: Polygon, pose: Pose, *, deep: float = 0.0) -> Moments:
    """A flat part put in its place, bent where its pose says.

    Args:
        polygon: In the part's axes, with its holes. [m]
        pose: How it stands.
        deep: How far below the face that the pose is of. [m]
    """
    # Where slots run into each other: told as a fault, and weighed all the same.
    shape: BaseGeometry = polygon if polygon.is_valid else shapely.make_valid(polygon)
    west, south, east, north = shape.bounds
    edges = [-math.inf, *(where for where, _, _ in pose.bends), math.inf]
    pieces = []
    for a, b in pairwise(max(min(edge, east), west) for edge in edges):
        if b - a > 0.0:
            strip = shape if b - a == east - west else shape & box(a, south, b, north)
            pieces += [_flat(one, pose, deep, (a, b)) for one in _polygons(strip)]
    return together(pieces)


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    """Its surfaces; a cut along a step leaves lines beside them."""
    pieces = getattr(shape, "geoms", [shape])
    return [one for one in pieces if isinstance(one, Polygon) and not one.is_empty]


def _flat(polygon: Polygon, pose: Pose, deep: float, ends: tuple[float, float]) -> Moments:
    """A piece between two bends; there its place in space is linear in its flat coordinates."""
    west, east = (ends[0] + share * (ends[1] - ends[0]) for share in (0.5, 0.9))  # off the bends
    origin, along, across = pose.space([(west, 0.0), (east, 0.0), (west, 1.0)], deep=deep)
    axes = np.array([(along - origin) / (east - west), across - origin])
    outline = polygon.exterior, *polygon.interiors
    return together(
        _ring(ring, origin, axes, west, hole=number > 0) for number, ring in enumerate(outline)
    )


def _ring(ring: LinearRing, origin: Array, axes: Array, west: float, *, hole: bool) -> Moments:
    """What a ring encloses, put in its place; a hole takes away."""
    flat = np.asarray(ring.coords)[:-1, :2]
    shape = fan(flat, origin + (flat - [west, 0.0]) @ axes)
    return shape.scaled(-1.0) if hole else shape


def fan(flat: Array, solid: Array) -> Moments:
    """What a ring encloses, as triangles from its first corner.

    Args:
        flat: Its corners in the flat, (n, 2), which tell its area. [m]
        solid: The same in space, (n, 3). [m]
    """
    first, second = flat[1:-1] - flat[0], flat[2:] - flat[0]
    areas = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / 2
    areas = areas if areas.sum() > 0.0 else -areas
    corners = np.stack([np.broadcast_to(solid[0], solid[2:].shape), solid[1:-1], solid[2:]], axis=1)
    return triangles(corners, areas)


def between_rails(near: Array, far: Array) -> Moments:
    """A sheet between two rails in space, (n, 3) each. [m]"""
    corners = np.concatenate(
        [
            np.stack([near[:-1], near[1:], far[1:]], axis=1),
            np.stack([near[:-1], far[1:], far[:-1]], axis=1),
        ]
    )
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return triangles(corners, np.linalg.norm(cross, axis=1) / 2)


# --- what it weighs --------------------------------------------------------------------------


def of_sheet(ref: PartRef, part: Part, material: Material, shape: Moments, *, area: float) -> Drawn:
    """A flat part.

    Args:
        ref: Which part of the design it comes of.
        part: That part; its share tells of openings, which only ribs and formers have drawn.
        material: What it is cut from.
        shape: How all copies lie in space, at any density.
        area: Of all copies. [m²]
    """
    opened = part.ribs is not None or part.formers is not None
    area = area if opened else area * part.share
    return Drawn(ref, area, True, shape.scaled(area * areal_density(material) / shape.mass))


def of_run(
    ref: PartRef,
    part: Part,
    material: Material,
    owner: LiftingSurface | BodyPart | None,
    *,
    mirrored: bool,
    length: float | None = None,
    area: float | None = None,
) -> Drawn:
    """What lies where the balance puts it: a stick, or a strip of sheet along a run.

    Args:
        ref: Which part of the design it comes of.
        part: That part, or the stretch of it that is cut in one.
        material: What it is cut from.
        owner: What it runs along.
        mirrored: Whether there is a second one on the other side.
        length: Of all copies, if not as the balance says. [m]
        area: Of all copies, for a strip of sheet. [m²]
    """
    amount, unit, _ = placed(part, owner)
    whole = amount * part.count * (2 if mirrored else 1)
    length = whole if length is None else length
    shape = both_sides(unit, mirrored=mirrored).scaled(part.count * length / whole)
    if area is None:
        return Drawn(ref, length, False, shape.scaled(linear_density(material, part.size)))
    return Drawn(ref, length, False, shape.scaled(area * areal_density(material) / shape.mass))
