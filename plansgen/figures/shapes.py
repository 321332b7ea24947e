"""What an airframe looks like from above, from port and from ahead: outlines with their depth.

Each view has its own two axes, in metres: from above, starboard to the right and the nose up; from
port, the nose to the left; from ahead, starboard to the left. Depth grows towards the viewer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.bodies import FramePoint
from plansgen.airframe.build import Airframe, BodyPart, ControlSurface, LiftingSurface
from plansgen.airframe.planform import StationPoint, chord_point, panel_tilts
from plansgen.figures.style import Role

Array = NDArray[np.float64]
Side = Literal["above", "port", "ahead"]
Space = tuple[float, float, float]

_ROUND = 36  # corners of a round body seen end on


@dataclass(frozen=True)
class Shape:
    """One outline in one view: a polygon (n, 2), how near it is, and narrow lines upon it."""

    outline: Array
    depth: float
    role: Role = "part"
    details: tuple[Array, ...] = field(default=())


def project(point: Space, side: Side) -> tuple[float, float]:
    """A point of the body frame in a view. [m]"""
    x, y, z = point
    return {"above": (y, -x), "port": (x, z), "ahead": (-y, z)}[side]


def _flat(points: Sequence[Space], side: Side) -> Array:
    return np.array([project(point, side) for point in points])


def _port(points: Sequence[Space]) -> list[Space]:
    return [(x, -y, z) for x, y, z in points]


def shapes(airframe: Airframe, side: Side) -> list[Shape]:
    """Every outline of an airframe in a view, surfaces and bodies."""
    found: list[Shape] = []
    for surface in airframe.surfaces:
        found += _surface(surface, side)
    for body in airframe.bodies:
        found += _body(body, side)
    return found


# --- lifting surfaces ------------------------------------------------------------------------


def chord_line(surface: LiftingSurface, share: float) -> list[Space]:
    """Places at a share of the chord on each station of one half, root first, twist included."""
    tilts = panel_tilts(surface.stations)
    return [
        chord_point(station, share=share, tilt=tilt)
        for station, tilt in zip(surface.stations, tilts, strict=True)
    ]


def _half_outline(surface: LiftingSurface) -> list[Space]:
    return chord_line(surface, 0.0) + chord_line(surface, 1.0)[::-1]


def _surface(surface: LiftingSurface, side: Side) -> Iterator[Shape]:
    if side == "ahead":
        yield from _from_ahead(surface)
    elif side == "port" and not _stands(surface):
        yield from _section_view(surface)
    else:
        yield from _planform(surface, side)


def _stands(surface: LiftingSurface) -> bool:
    """Whether a surface shows its face to the side: fins, and V-tails steeper than 20 degrees."""
    return surface.role == "fin" or abs(surface.planform.dihedral) > math.radians(20)


def _planform(surface: LiftingSurface, side: Side) -> Iterator[Shape]:
    half = _half_outline(surface)
    depth = depth_of(half, side)
    details = tuple(
        line for control in surface.controls for line in _control(control, surface, side)
    )
    if side == "above" and surface.role == "fin":
        yield from _edge_on(surface)
        return
    if not surface.mirrored:
        yield Shape(_flat(half, side), depth, "part_2", details)
        return
    if side == "port":
        yield Shape(_flat(_port(half), side), depth, "part_2", details)
        return
    both = details + tuple(line * [-1.0, 1.0] for line in details)
    whole = _joined(half) if surface.stations[0].y == 0.0 else None
    if whole is not None:
        yield Shape(_flat(whole, side), depth, "part_2", both)
    else:
        yield Shape(_flat(half, side), depth, "part_2", details)
        yield Shape(
            _flat(_port(half), side), depth, "part_2", tuple(line * [-1.0, 1.0] for line in details)
        )


def _joined(half: list[Space]) -> list[Space]:
    """Both halves of a surface that meets its mirror image on the centre line.

    Panels with dihedral that are set nose-up would overlap there; a builder bevels them to meet.
    """
    count = len(half) // 2
    leading, trailing = half[:count], half[count:]
    x, _, z = trailing[-1]
    trailing[-1] = (x, 0.0, z)
    return [*_port(leading)[::-1], *leading[1:], *trailing[:-1], *_port(trailing)[::-1]]


def _edge_on(surface: LiftingSurface) -> Iterator[Shape]:
    """A fin from above: a strip as thick as its root section."""
    root = surface.stations[0]
    half = max(root.thickness * root.chord / 2, 0.001)
    front = min(station.x for station in surface.stations)
    back = max(station.x + station.chord for station in surface.stations)
    top = max(station.z for station in surface.stations)
    for y in {root.y, -root.y} if surface.mirrored else {root.y}:
        corners = [(front, y - half), (front, y + half), (back, y + half), (back, y - half)]
        yield Shape(np.array([(v, -x) for x, v in corners]), top, "part_2")


def _control(control: ControlSurface, surface: LiftingSurface, side: Side) -> Iterator[Array]:
    """Hinge line and the two ends of a control."""
    yield _flat(control.hinge, side)
    ends = (control.hinge[0], control.inboard), (control.hinge[-1], control.outboard)
    for hinge, span in ends:
        yield _flat([hinge, trailing_at(surface, span)], side)


def trailing_at(surface: LiftingSurface, span: float) -> Space:
    """Trailing edge at a developed span. [m]"""
    spans = [station.span for station in surface.stations]
    x, y, z = (
        float(np.interp(span, spans, along)) for along in np.array(chord_line(surface, 1.0)).T
    )
    return x, y, z


def _section_view(surface: LiftingSurface) -> Iterator[Shape]:
    """A wing from the side: its root section, and the tip's as a narrow line upon it."""
    root, tip = surface.stations[0], surface.stations[-1]
    details = (section_points(tip),) if tip.chord > 0 else ()
    depth = max(station.y for station in surface.stations)
    yield Shape(section_points(root), depth, "part_2", details)


def section_points(station: StationPoint) -> Array:
    """A station's section in the side view, turned by its twist. [m]"""
    points = np.array(station.outline) * station.chord
    cos, sin = math.cos(station.twist), math.sin(station.twist)
    turned = points @ np.array([[cos, -sin], [sin, cos]])
    return np.asarray(turned + np.array([station.x, station.z]))


def _from_ahead(surface: LiftingSurface) -> Iterator[Shape]:
    """A strip along the span, as thick as the section; its middle follows the leading edge."""
    middle = np.array([(station.y, station.z) for station in surface.stations])
    half = np.array([max(s.thickness * s.chord / 2, 0.001) for s in surface.stations])
    normal = _normals(middle)
    strip = np.vstack([middle + normal * half[:, None], (middle - normal * half[:, None])[::-1]])
    front = min(station.x for station in surface.stations)
    yield Shape(strip * [-1.0, 1.0], -front, "part_2")
    if surface.mirrored:
        yield Shape(strip, -front, "part_2")


def _normals(line: Array) -> Array:
    """Unit normals at the corners of a line, averaged where two pieces meet."""
    steps = np.diff(line, axis=0)
    across = np.column_stack([-steps[:, 1], steps[:, 0]])
    across /= np.linalg.norm(across, axis=1)[:, None]
    padded = np.vstack([across[:1], across, across[-1:]])
    mean = padded[:-1] + padded[1:]
    return np.asarray(mean / np.linalg.norm(mean, axis=1)[:, None])


def depth_of(points: Sequence[Space], side: Side) -> float:
    """How near the nearest of some points is to the viewer. [m]"""
    axis: dict[Side, Callable[[Space], float]] = {
        "above": lambda p: p[2],
        "port": lambda p: abs(p[1]),
        "ahead": lambda p: -p[0],
    }
    return max(axis[side](point) for point in points)


# --- bodies ----------------------------------------------------------------------------------


def _body(body: BodyPart, side: Side) -> Iterator[Shape]:
    if side == "ahead":
        shapes_ahead = [_end_on(frame, body.shape) for frame in _telling(body.frames)]
        for outline, frame in shapes_ahead:
            yield Shape(outline, -frame.x)
            if body.mirrored:
                yield Shape(outline * [-1.0, 1.0], -frame.x)
        return
    outline = _long_outline(body.frames, side)
    top = max(frame.z + frame.height / 2 for frame in body.frames)
    depth = (
        top if side == "above" else abs(body.frames[0].y) + max(f.width for f in body.frames) / 2
    )
    yield Shape(outline, depth)
    if body.mirrored and side == "above":
        yield Shape(outline * [-1.0, 1.0], depth)


def _telling(frames: Sequence[FramePoint]) -> list[FramePoint]:
    """The frames that make the outline from ahead: the nose, and any that none before covers."""
    told: list[FramePoint] = [frames[0]]
    for frame in frames[1:]:
        if not any(_covers(earlier, frame) for earlier in told):
            told.append(frame)
    return told


def _covers(near: FramePoint, far: FramePoint) -> bool:
    return (
        near.width >= far.width - 1e-9
        and near.z + near.height / 2 >= far.z + far.height / 2 - 1e-9
        and near.z - near.height / 2 <= far.z - far.height / 2 + 1e-9
    )


def _end_on(frame: FramePoint, shape: str) -> tuple[Array, FramePoint]:
    a, b = frame.width / 2, frame.height / 2
    if shape == "round":
        angle = np.linspace(0, 2 * np.pi, _ROUND, endpoint=False)
        outline = np.column_stack([a * np.cos(angle), b * np.sin(angle)])
    else:
        outline = np.array([(-a, -b), (a, -b), (a, b), (-a, b)])
    return np.add(outline, (-frame.y, frame.z)), frame


def _long_outline(frames: Sequence[FramePoint], side: Side) -> Array:
    if side == "above":
        right = [(frame.y + frame.width / 2, -frame.x) for frame in frames]
        left = [(frame.y - frame.width / 2, -frame.x) for frame in frames]
        return np.array(right + left[::-1])
    top = [(frame.x, frame.z + frame.height / 2) for frame in frames]
    bottom = [(frame.x, frame.z - frame.height / 2) for frame in frames]
    return np.array(top + bottom[::-1])
