"""How much there is of a part, and where: its moments at unit density."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from plansgen.airframe.bodies import FramePoint
from plansgen.airframe.build import BodyPart, LiftingSurface, cut, station_at
from plansgen.airframe.inside import NO_WALLS, Walls, room_at
from plansgen.airframe.planform import StationPoint, chord_point, integral, panel_tilts
from plansgen.airframe.sections import Outline
from plansgen.balance.elements import (
    NOTHING,
    Array,
    Moments,
    Vertex,
    polyline,
    quad,
    simplex,
    together,
)
from plansgen.balance.opened import left_of
from plansgen.library.models import Formers, Part, Point, Ribs, Run, StickSize
from plansgen.library.tables import Material

# --- how much of it there is -----------------------------------------------------------------


def cross_section(size: StickSize) -> float:
    """Area of a stick's, tube's or wire's cross-section. [m²]"""
    if size.diameter is None:
        return float(size.width or 0.0) * float(size.height or 0.0)
    return math.pi / 4 * (size.diameter**2 - (size.bore or 0.0) ** 2)


def areal_density(material: Material) -> float:
    """Mass per area of a sheet: given, or density times thickness. [kg/m²]"""
    if material.areal_density is not None:
        return material.areal_density
    return float(material.density or 0.0) * float(material.thickness or 0.0)


def linear_density(material: Material, size: StickSize | None) -> float:
    """Mass per length of a stick: given, or density times cross-section. [kg/m]

    A sheet cut into strips has the density that its mass per area makes over its thickness.
    """
    if material.linear_density is not None:
        return material.linear_density
    if material.density is None and material.thickness:
        density = areal_density(material) / material.thickness
    else:
        density = float(material.density or 0.0)
    return density * (cross_section(size) if size else 0.0)


def size_along(part: Part, share: float) -> StickSize | None:
    """Cross-section of a run at a share of the way from its near to its far end. [m]"""
    near, far = part.size, part.size_out
    if near is None or far is None:
        return near

    def mix(name: str) -> float | None:
        ends = getattr(near, name), getattr(far, name)
        if ends == (None, None) or (name != "bore" and None in ends):
            return None
        return float((ends[0] or 0.0) * (1 - share) + (ends[1] or 0.0) * share) or None

    return near.model_copy(update={name: mix(name) for name in StickSize.model_fields})


# --- where it is -----------------------------------------------------------------------------


Vertex2 = tuple[float, float]

_GIRTHS: dict[str, Callable[[StationPoint], float]] = {
    "plate": lambda s: s.chord,
    "both skins": lambda s: (s.upper + s.lower) * s.chord,
    "top skin": lambda s: s.upper * s.chord,
    "bottom skin": lambda s: s.lower * s.chord,
}


def _girth_share(outline: Outline, cover: str, fore: float, aft: float) -> float:
    """Share of a skin's developed length that lies between two shares of the chord."""
    if cover == "plate":
        return aft - fore
    points = np.asarray(outline)
    nose = int(points[:, 0].argmin())
    sides = {"top skin": (points[: nose + 1][::-1],), "bottom skin": (points[nose:],)}
    both = (points[: nose + 1][::-1], points[nose:])
    whole = part = 0.0
    for x, z in (side.T for side in sides.get(cover, both)):
        gone = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(z)))])
        ends = [_gone_by(x, gone, share) for share in (fore, aft)]
        whole += float(gone[-1])
        part += ends[1] - ends[0]
    return part / whole


def _gone_by(x: Array, gone: Array, share: float) -> float:
    """Developed length from the leading edge to a share of the chord; both edges belong to it."""
    if share <= 0.0:
        return 0.0
    return float(gone[-1]) if share >= 1.0 else float(np.interp(share, x, gone))


def _girth(part: Part) -> Callable[[StationPoint], float]:
    """Developed length of a sheet at a station, over the part of the chord that it covers. [m]"""
    cover, over = str(part.cover), part.over
    whole = _GIRTHS[cover]
    if over is None:
        return whole
    return lambda s: whole(s) * _girth_share(s.outline, cover, over.from_, over.to)


def _surface_sheet(surface: LiftingSurface, part: Part) -> tuple[float, Moments]:
    """Area of one half's sheet and its moments at unit mass per area, spread over the planform."""
    girth = _girth(part)
    fore, aft = (part.over.from_, part.over.to) if part.over else (0.0, 1.0)
    stations = cut(
        surface.stations,
        part.from_ or 0.0,
        part.to if part.to is not None else surface.stations[-1].span,
    )
    area, moments = 0.0, NOTHING
    for inner, outer in pairwise(stations):
        piece = integral((inner, outer), girth, lambda _: 1.0, weight="developed")
        tilt = panel_tilts((inner, outer))[0]
        edges = ((inner, fore), (outer, fore), (outer, aft), (inner, aft))
        a, b, c, d = (chord_point(station, share=share, tilt=tilt) for station, share in edges)
        lamina = quad(a, b, c, d, 1.0)
        area += piece
        moments += lamina.scaled(piece / lamina.mass)
    return area, moments


def rib_places(surface: LiftingSurface, ribs: Ribs) -> list[tuple[float, Vertex, float]]:
    """Span, middle and enclosed area of each rib: the whole section there, before slots. [m, m²]"""
    found = []
    for span in ribs.at:
        station = station_at(surface.stations, span)
        outer = next((s for s in surface.stations[1:] if span < s.span), surface.stations[-1])
        tilt = panel_tilts(surface.stations)[surface.stations.index(outer)]
        share, rise = _middle(station.outline)
        x, y, z = chord_point(station, share=share, tilt=tilt)
        up = rise * station.chord
        place = (x, y - up * math.sin(tilt), z + up * math.cos(tilt))
        found.append((span, place, station.enclosed * station.chord**2))
    return found


def _middle(outline: Outline) -> Vertex2:
    """Centroid of the area inside a section, in chords."""
    x, z = np.asarray(outline).T
    turn = x * np.roll(z, -1) - np.roll(x, -1) * z
    area = turn.sum() * 3
    centre = [((v + np.roll(v, -1)) * turn).sum() / area for v in (x, z)]
    return float(centre[0]), float(centre[1])


def former_places(
    body: BodyPart, formers: Formers, walls: Walls
) -> list[tuple[Vertex, float, Moments]]:
    """Middle, area and moments at unit mass per area of each former, before openings. [m, m²]"""
    found = []
    for place in formers.at:
        room = room_at(body, body.origin[0] + place, walls)
        left, right = room.y - room.half, room.y + room.half
        edges = ((left, room.low), (right, room.low), (right, room.high), (left, room.high))
        a, b, c, d = ((room.x, y, z) for y, z in edges)
        lamina = quad(a, b, c, d, 1.0)
        middle = (room.x, room.y, (room.low + room.high) / 2)
        found.append((middle, room.area, lamina.scaled(room.area / lamina.mass)))
    return found


_Path = tuple[list[Vertex], list[float]]  # places, and how far along the run each lies


def _surface_run(surface: LiftingSurface, run: Run) -> _Path:
    stations = cut(surface.stations, run.from_, run.to)
    points = [
        chord_point(station, share=run.at, tilt=tilt)
        for station, tilt in zip(stations, panel_tilts(stations), strict=True)
    ]
    return points, [(station.span - run.from_) / (run.to - run.from_) for station in stations]


def _path_length(points: Sequence[Vertex]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))


def _corners(frame: FramePoint) -> tuple[Vertex, Vertex, Vertex, Vertex]:
    """Top starboard, bottom starboard, bottom port, top port."""
    right, left = frame.y + frame.width / 2, frame.y - frame.width / 2
    top, bottom = frame.z + frame.height / 2, frame.z - frame.height / 2
    return (
        (frame.x, right, top),
        (frame.x, right, bottom),
        (frame.x, left, bottom),
        (frame.x, left, top),
    )


_EDGES: dict[str, tuple[tuple[int, int], ...]] = {
    "sides": ((0, 1), (2, 3)),
    "bottom": ((1, 2),),
    "top": ((3, 0),),
}


def _body_sheet(body: BodyPart, cover: str) -> tuple[float, Moments]:
    """Area of one body's faces and their moments at unit mass per area.

    A round body's skin is spread like that of the box around it, scaled to the round area.
    """
    names = ("sides", "top", "bottom", "front", "rear") if cover == "all" else (cover,)
    area, moments = 0.0, NOTHING
    for name in names:
        lamina = _ends(body, name) if name in ("front", "rear") else _strips(body, name)
        face = float(getattr(body.faces, name))
        area += face
        moments += lamina.scaled(face / lamina.mass)
    return area, moments


def _ends(body: BodyPart, name: str) -> Moments:
    return quad(*_corners(body.frames[0 if name == "front" else -1]), 1.0)


def _strips(body: BodyPart, name: str) -> Moments:
    pieces = []
    for fore, aft in pairwise(body.frames):
        first, second = _corners(fore), _corners(aft)
        pieces += [quad(first[i], first[j], second[j], second[i], 1.0) for i, j in _EDGES[name]]
    return together(pieces)


def _body_run(body: BodyPart, run: Run) -> _Path:
    """A stick along a body, offset from its centre line; its x is the body's own."""
    x0, y0, z0 = body.origin
    ends = [(x0 + x, y0 + run.y, z0 + run.z) for x in (run.from_, run.to)]
    return ends, [0.0, 1.0]


def vertex(point: Point) -> Vertex:
    """A point of the design file as bare coordinates. [m]"""
    return (point.x, point.y, point.z)


Placed = tuple[float, Moments, bool]  # amount, moments at unit density, is it a sheet


def placed(part: Part, owner: LiftingSurface | BodyPart | None, walls: Walls = NO_WALLS) -> Placed:
    """How much of a part one side has, where, per unit of its density, its openings taken off.

    walls: of the body that owns it; its formers stand inside them.
    """
    amount, moments, sheet = _unopened(part, owner, walls)
    left = left_of(part, owner, amount)
    return (amount * left, moments.scaled(left), sheet) if left < 1.0 else (amount, moments, sheet)


def _unopened(part: Part, owner: LiftingSurface | BodyPart | None, walls: Walls) -> Placed:
    if part.cover is not None:
        if isinstance(owner, LiftingSurface):
            return (*_surface_sheet(owner, part), True)
        assert isinstance(owner, BodyPart)  # the model refuses cover elsewhere
        return (*_body_sheet(owner, part.cover), True)
    if part.run is not None:
        run = _surface_run if isinstance(owner, LiftingSurface) else _body_run
        points, shares = run(owner, part.run)  # type: ignore[arg-type]
        return _path_length(points), _tapered(part, points, shares), False
    if part.line is not None:
        points = [vertex(point) for point in part.line]
        return _path_length(points), polyline(points, _path_length(points)), False
    if part.ribs is not None:
        assert isinstance(owner, LiftingSurface)  # the model refuses ribs elsewhere
        ribs = rib_places(owner, part.ribs)
        return sum(a for _, _, a in ribs), together(simplex([p], a) for _, p, a in ribs), True
    if part.formers is not None:
        assert isinstance(owner, BodyPart)  # the model refuses formers elsewhere
        formers = former_places(owner, part.formers, walls)
        return sum(a for _, a, _ in formers), together(m for _, _, m in formers), True
    area = part.own_area
    amount = float(area if area is not None else part.length or 0.0)
    return amount, simplex([vertex(part.at or Point())], amount), area is not None


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(3)  # exact to the fifth power


def _tapered(part: Part, points: Sequence[Vertex], shares: Sequence[float]) -> Moments:
    """A stick through points, its mass per length as at its near end, less where it tapers.

    Its cross-section grows with the square of the way along it and the second moment of a place
    with the square again: three points a straight stretch integrate that exactly.
    """
    if part.size is None or part.size_out is None:
        return polyline(points, _path_length(points))
    near, pieces = cross_section(part.size), []
    for (a, b), (fore, aft) in zip(pairwise(points), pairwise(shares), strict=True):
        stretch = math.dist(a, b)
        for node, weight in zip((_NODES + 1) / 2, _WEIGHTS / 2, strict=True):
            size = size_along(part, fore + (aft - fore) * float(node))
            assert size is not None  # the part has one
            there = tuple(p + (q - p) * float(node) for p, q in zip(a, b, strict=True))
            mass = stretch * float(weight) * cross_section(size) / near
            pieces.append(simplex([there], mass))  # type: ignore[list-item]
    return together(pieces)


def bare_shape(owner: LiftingSurface | BodyPart) -> Moments:
    """A uniform sheet over the whole of it, for a thing that was only weighed."""
    if isinstance(owner, BodyPart):
        one = _body_sheet(owner, "all")[1]
    else:
        plate = Part.model_validate({"name": "plate", "material": "-", "cover": "plate"})
        one = _surface_sheet(owner, plate)[1]
    return one + one.mirrored() if owner.mirrored else one
