"""From a validated design to its airframe: every surface and body in the body frame, SI."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated

from plansgen.airframe.bodies import BodyShape, Faces, FramePoint, Shape, faces_of, work_out_body
from plansgen.airframe.layout import Reference, TailVolume, recognise, reference_of, tail_volumes
from plansgen.airframe.planform import (
    Planform,
    StationPoint,
    Weight,
    chord_point,
    integral,
    panel_tilts,
    work_out_planform,
)
from plansgen.airframe.sections import SectionShape, section_shape
from plansgen.library.models import (
    Body,
    BodyRole,
    ControlKind,
    DesignFile,
    Layout,
    Section,
    Station,
    Surface,
    SurfaceRole,
)
from plansgen.quantity import Quantity

SectionPoints = Mapping[str, tuple[tuple[float, float], ...]]


@dataclass(frozen=True)
class ControlSurface:
    """A control on the starboard (or only) half. Spans are developed. [m]

    area: of all of them, both sides. hinge: hinge line points x, y, z, inboard to outboard.
    """

    key: str
    kind: ControlKind
    inboard: Annotated[float, Quantity("m", "Inboard end", "given-by-designer")]
    outboard: Annotated[float, Quantity("m", "Outboard end", "given-by-designer")]
    chord_share: Annotated[float, Quantity("1", "Share of the chord", "given-by-designer", "%")]
    area: Annotated[float, Quantity("m²", "Control area", "planform-area-developed")]
    hinge: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class LiftingSurface:
    """One surface of the airframe, starboard half's stations root first."""

    key: str
    title: str
    role: SurfaceRole
    mirrored: bool
    weight: Weight
    stations: tuple[StationPoint, ...]
    planform: Planform
    controls: tuple[ControlSurface, ...]


@dataclass(frozen=True)
class BodyPart:
    """One body (or the starboard one of a pair); origin: where its own x, y, z are zero. [m]"""

    key: str
    title: str
    role: BodyRole
    shape: Shape
    mirrored: bool
    origin: tuple[float, float, float]
    frames: tuple[FramePoint, ...]
    faces: Faces
    measures: BodyShape


@dataclass(frozen=True)
class Propeller:
    """A propeller's disc, whether there is one on each side, and whether it folds. [m]

    down, side: how far the front of its shaft points down, and out to starboard (to port on the
    port one of two). [rad]
    """

    x: float
    y: float
    z: float
    diameter: float
    mirrored: bool
    folds: bool = False
    name: str = ""
    down: float = 0.0
    side: float = 0.0


@dataclass(frozen=True)
class Wire:
    """A strut, wire or stick from point to point, as drawn. [m]"""

    name: str
    points: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class Extents:
    """The box that the whole airframe fits in. [m]"""

    x_min: float
    x_max: float
    y_max: float
    z_min: float
    z_max: float

    @property
    def length(self) -> float:
        """Overall length. [m]"""
        return self.x_max - self.x_min


@dataclass(frozen=True)
class Airframe:
    """The geometry of a design, worked out."""

    layout: Layout
    surfaces: tuple[LiftingSurface, ...]
    bodies: tuple[BodyPart, ...]
    reference: Reference
    tails: tuple[TailVolume, ...]
    propellers: tuple[Propeller, ...]
    wires: tuple[Wire, ...]
    extents: Extents
    wetted: Annotated[float, Quantity("m²", "Wetted area, whole model", "wetted-area-surface")]
    side_area: Annotated[float, Quantity("m²", "Side area, bodies and fins", "side-area")]
    side_x: Annotated[float, Quantity("m", "Centre of side area, x", "side-area")]

    def surface(self, key: str) -> LiftingSurface:
        """The surface of that key.

        Raises:
            KeyError: there is none.
        """
        return {surface.key: surface for surface in self.surfaces}[key]


_WEIGHTS: dict[SurfaceRole, Weight] = {
    "wing": "level",
    "tailplane": "level",
    "canard": "level",
    "fin": "upright",
    "vee-tail": "developed",
}


def _washouts(stations: Sequence[Station], spans: Sequence[float]) -> list[float]:
    """Washout at each station: as given, straight between, constant beyond the last given."""
    known = {0.0: stations[0].washout or 0.0}
    for station, span in zip(stations, spans, strict=True):
        if station.washout is not None:
            known[span] = station.washout
    places = sorted(known)
    return [_between(span, places, [known[place] for place in places]) for span in spans]


def _between(x: float, places: Sequence[float], values: Sequence[float]) -> float:
    """Linear interpolation in ascending ``places``, constant beyond the ends."""
    if x >= places[-1]:
        return values[-1]
    for index, (x0, x1) in enumerate(pairwise(places)):
        if x0 <= x < x1:
            return values[index] + (values[index + 1] - values[index]) * (x - x0) / (x1 - x0)
    return values[0]


def _shapes(surface: Surface, points: SectionPoints) -> list[SectionShape]:
    """Section at each station: the station's own, else the one before it, else the surface's."""
    current = surface.section
    shapes: list[SectionShape] = []
    for station in surface.stations:
        current = station.section or current
        assert current is not None  # the model refuses a surface without a section
        chord = station.chord if station.chord > 0 else surface.stations[0].chord
        shapes.append(_shape(current, chord, points))
    return shapes


def _shape(section: Section, chord: float, points: SectionPoints) -> SectionShape:
    if section.kind in ("naca", "points"):
        chord = 1.0  # no sheet of its own thickness: the same on every chord, worked out once
    return section_shape(section, chord=chord, points=points.get(section.file or "", ()))


def station_points(surface: Surface, points: SectionPoints) -> tuple[StationPoint, ...]:
    """Place a surface's stations in the body frame."""
    places = surface.places
    washouts = _washouts(surface.stations, [span for span, _, _ in places])
    rows = zip(surface.stations, places, washouts, _shapes(surface, points), strict=True)
    return tuple(
        StationPoint(
            span=span,
            x=surface.at.x + station.x,
            y=surface.at.y + y,
            z=surface.at.z + z,
            chord=station.chord,
            twist=surface.incidence - washout,
            section=shape.name,
            upper=shape.upper,
            lower=shape.lower,
            enclosed=shape.enclosed,
            thickness=shape.thickness,
            outline=shape.outline,
        )
        for station, (span, y, z), washout, shape in rows
    )


def station_at(stations: Sequence[StationPoint], span: float) -> StationPoint:
    """The station at a developed span, straight between its neighbours; clamped to the ends."""
    span = min(max(span, stations[0].span), stations[-1].span)
    for inner, outer in pairwise(stations):
        if span <= outer.span:
            part = (span - inner.span) / (outer.span - inner.span)
            return _blend(inner, outer, part)
    return stations[-1]


def _blend(inner: StationPoint, outer: StationPoint, part: float) -> StationPoint:
    def mix(name: str) -> float:
        a, b = getattr(inner, name), getattr(outer, name)
        return float(a + (b - a) * part)

    numbers = ("span", "x", "y", "z", "chord", "twist", "upper", "lower", "enclosed", "thickness")
    near = inner if part < 0.5 else outer
    return StationPoint(
        **{name: mix(name) for name in numbers}, section=near.section, outline=near.outline
    )


def cut(
    stations: Sequence[StationPoint], inboard: float, outboard: float
) -> tuple[StationPoint, ...]:
    """The piece of a chain of stations between two developed spans."""
    inner = [s for s in stations if inboard < s.span < outboard]
    return (station_at(stations, inboard), *inner, station_at(stations, outboard))


def _controls(surface: Surface, stations: Sequence[StationPoint]) -> tuple[ControlSurface, ...]:
    found = []
    for key, control in surface.controls.items():
        piece = cut(stations, control.from_, control.to)
        area = (2 if surface.mirrored else 1) * integral(
            piece, lambda s: s.chord, lambda _: 1.0, weight="developed"
        )
        found.append(
            ControlSurface(
                key=key,
                kind=control.kind,
                inboard=control.from_,
                outboard=control.to,
                chord_share=control.chord,
                area=area * control.chord,
                hinge=tuple(
                    chord_point(station, share=1 - control.chord, tilt=tilt)
                    for station, tilt in zip(piece, panel_tilts(piece), strict=True)
                ),
            )
        )
    return tuple(found)


def _lifting_surface(key: str, surface: Surface, points: SectionPoints) -> LiftingSurface:
    stations = station_points(surface, points)
    weight = _WEIGHTS[surface.role]
    return LiftingSurface(
        key=key,
        title=surface.title or key.replace("_", " "),
        role=surface.role,
        mirrored=surface.mirrored,
        weight=weight,
        stations=stations,
        planform=work_out_planform(stations, mirrored=surface.mirrored, weight=weight),
        controls=_controls(surface, stations),
    )


def _body_part(key: str, body: Body) -> BodyPart:
    frames = tuple(
        FramePoint(
            x=body.at.x + frame.x,
            y=body.at.y,
            z=body.at.z + frame.z,
            width=frame.width,
            height=frame.height,
        )
        for frame in body.stations
    )
    return BodyPart(
        key=key,
        title=body.title or key.replace("_", " "),
        role=body.role,
        shape=body.shape,
        mirrored=body.mirror,
        origin=(body.at.x, body.at.y, body.at.z),
        frames=frames,
        faces=faces_of(frames, body.shape),
        measures=work_out_body(frames, shape=body.shape, mirrored=body.mirror),
    )


def _extents(surfaces: Sequence[LiftingSurface], bodies: Sequence[BodyPart]) -> Extents:
    xs, ys, zs = [], [], []
    for surface in surfaces:
        for station in surface.stations:
            xs += [station.x, station.x + station.chord]
            ys.append(abs(station.y))
            zs.append(station.z)
    for body in bodies:
        for frame in body.frames:
            xs.append(frame.x)
            ys.append(abs(frame.y) + frame.width / 2)
            zs += [frame.z - frame.height / 2, frame.z + frame.height / 2]
    return Extents(min(xs), max(xs), max(ys), min(zs), max(zs))


def _side(surfaces: Sequence[LiftingSurface], bodies: Sequence[BodyPart]) -> tuple[float, float]:
    """Side area of bodies, fins and the upright share of V-tails, and the x of its centre."""
    pieces = [(body.measures.side_area, body.measures.side_x) for body in bodies]
    for surface in surfaces:
        if surface.role in ("fin", "vee-tail"):
            upright = work_out_planform(
                surface.stations, mirrored=surface.mirrored, weight="upright"
            )
            pieces.append((upright.area, upright.mac_x + upright.mac / 2))
    total = sum(area for area, _ in pieces)
    return total, sum(area * x for area, x in pieces) / total if total else 0.0


def _propellers(design: DesignFile) -> tuple[Propeller, ...]:
    """The discs of all propellers whose diameter the item or its drive tells."""
    drives = {drive.propeller: drive for drive in design.power.drives} if design.power else {}
    found = []
    for item in design.items:
        drive = drives.get(item.name)
        diameter = item.diameter or (drive.diameter if drive else None)
        if item.kind != "propeller" or diameter is None:
            continue
        found.append(
            Propeller(
                item.at.x,
                item.at.y,
                item.at.z,
                diameter,
                item.mirror,
                item.folds,
                name=item.name,
                down=drive.down if drive else 0.0,
                side=drive.side if drive else 0.0,
            )
        )
    return tuple(found)


def _wires(design: DesignFile) -> tuple[Wire, ...]:
    return tuple(
        Wire(part.name, tuple((point.x, point.y, point.z) for point in part.line))
        for part in design.parts
        if part.line is not None
    )


def build_airframe(design: DesignFile, points: SectionPoints) -> Airframe:
    """Work out the geometry of a design.

    points: outlines of sections given as files, by file name.
    """
    surfaces = tuple(
        _lifting_surface(key, surface, points) for key, surface in design.surfaces.items()
    )
    bodies = tuple(_body_part(key, body) for key, body in design.bodies.items())
    layout = recognise(surfaces)
    reference = reference_of(surfaces)
    side_area, side_x = _side(surfaces, bodies)
    return Airframe(
        layout=layout,
        surfaces=surfaces,
        bodies=bodies,
        reference=reference,
        tails=tail_volumes(surfaces, reference),
        propellers=_propellers(design),
        wires=_wires(design),
        extents=_extents(surfaces, bodies),
        wetted=sum(s.planform.wetted for s in surfaces) + sum(b.measures.wetted for b in bodies),
        side_area=side_area,
        side_x=side_x,
    )
