"""Drawing outlines with what is hidden dashed: the nearer shape covers the further one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from plansgen.airframe.build import Airframe, Wire
from plansgen.figures.shapes import Shape, Side, depth_of, project, shapes
from plansgen.figures.style import EDGE, NARROW, LineType
from plansgen.figures.view import View

Array = NDArray[np.float64]

_SAME = 1e-4  # metres; a line that runs on another's outline is not hidden by it


def draw_airframe(view: View, airframe: Airframe, side: Side) -> None:
    """Draw every surface, body, strut and propeller of an airframe in a view."""
    outlines = shapes(airframe, side)
    draw_shapes(view, outlines)
    for wire in airframe.wires:
        _draw_wire(view, wire, outlines, side)
    for x, y, z, diameter in _discs(airframe):
        _draw_disc(view, (x, y, z), diameter, side)


def bounds(airframe: Airframe, side: Side) -> tuple[tuple[float, float], tuple[float, float]]:
    """Lower left and upper right of all that a view will show. [m]"""
    points = [shape.outline for shape in shapes(airframe, side)]
    points += [np.array([project(p, side) for p in wire.points]) for wire in airframe.wires]
    for x, y, z, diameter in _discs(airframe):
        ends = _disc_ends((x, y, z), diameter, side)
        points.append(np.array(ends))
    every = np.vstack(points)
    (left, low), (right, high) = every.min(axis=0), every.max(axis=0)
    return (float(left), float(low)), (float(right), float(high))


def draw_shapes(view: View, outlines: Sequence[Shape]) -> None:
    """Fill from the furthest to the nearest; draw edges, dashed where something nearer covers."""
    ordered = sorted(outlines, key=lambda shape: shape.depth)
    areas = [shapely.make_valid(shapely.Polygon(shape.outline)) for shape in ordered]
    for shape, cover in zip(ordered, _covers(areas), strict=True):
        view.fill(shape.outline, shape.role)
        ring = np.vstack([shape.outline, shape.outline[:1]])
        _draw_line(view, ring, cover, EDGE, hidden=True)
        for detail in shape.details:
            _draw_line(view, detail, cover, NARROW, hidden=False)


def _covers(areas: Sequence[BaseGeometry]) -> list[BaseGeometry]:
    """What all the nearer areas cover of each; the areas run from the furthest to the nearest."""
    covers: list[BaseGeometry] = [shapely.Polygon()]
    for area in reversed(areas[1:]):
        covers.append(shapely.union(covers[-1], area.buffer(-_SAME)))
    return covers[::-1]


def _draw_wire(view: View, wire: Wire, outlines: Sequence[Shape], side: Side) -> None:
    """A strut or wire where nothing nearer covers it."""
    near = depth_of(wire.points, side)
    cover = shapely.unary_union(
        [shapely.make_valid(shapely.Polygon(s.outline)) for s in outlines if s.depth > near]
    )
    line = np.array([project(point, side) for point in wire.points])
    _draw_line(view, line, cover, NARROW, hidden=False)


def _draw_line(
    view: View, points: Array, cover: BaseGeometry, kind: LineType, *, hidden: bool
) -> None:
    line = shapely.LineString(points)
    for piece in _pieces(line.difference(cover)):
        view.line(piece, kind)
    if hidden and not cover.is_empty:
        for piece in _pieces(line.intersection(cover)):
            view.hidden(piece)


def _pieces(geometry: BaseGeometry) -> Iterator[Array]:
    merged = shapely.line_merge(geometry)
    for part in shapely.get_parts(merged):
        if part.geom_type == "LineString" and part.length > 10 * _SAME:
            yield shapely.get_coordinates(part)


def _discs(airframe: Airframe) -> Iterator[tuple[float, float, float, float]]:
    for propeller in airframe.propellers:
        yield propeller.x, propeller.y, propeller.z, propeller.diameter
        if propeller.mirrored:
            yield propeller.x, -propeller.y, propeller.z, propeller.diameter


def _disc_ends(
    centre: tuple[float, float, float], diameter: float, side: Side
) -> list[tuple[float, float]]:
    x, y, z = centre
    r = diameter / 2
    if side == "above":
        return [(y - r, -x), (y + r, -x)]
    if side == "port":
        return [(x, z - r), (x, z + r)]
    return [(-y - r, z - r), (-y + r, z + r)]


def _draw_disc(view: View, centre: tuple[float, float, float], diameter: float, side: Side) -> None:
    """A propeller's disc: a circle from ahead, a line from the side. Its motion, so narrow."""
    if side == "ahead":
        view.circle(project(centre, side), radius_m=diameter / 2, kind=NARROW)
    else:
        view.adjacent(_disc_ends(centre, diameter, side))
