"""The mass build-up: one line for each part and item, worked out or weighed, with its moments."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal

from plansgen.airframe.bodies import FramePoint
from plansgen.airframe.build import Airframe, BodyPart, LiftingSurface, cut
from plansgen.airframe.planform import StationPoint, integral
from plansgen.balance.elements import (
    NOTHING,
    Moments,
    Vertex,
    block,
    polyline,
    quad,
    simplex,
    together,
)
from plansgen.library.models import (
    Component,
    DesignFile,
    Item,
    Part,
    Point,
    Run,
    StickSize,
)
from plansgen.library.tables import Material
from plansgen.quantity import Quantity

Origin = Literal["worked out", "measured", "given"]
Materials = Mapping[str, Material]


@dataclass(frozen=True)
class MassLine:
    """One line of the mass build-up, both sides together.

    group: what it belongs to (a surface, a body, ``equipment``, ``allowances``). origin: worked out
    from material, measured on a scale, or given by the designer. amount: how much there is of it,
    in words, for the table.
    """

    name: str
    group: str
    origin: Origin
    amount: str
    mass: Annotated[float, Quantity("kg", "Mass", "part-mass-sheet")]
    x: Annotated[float, Quantity("m", "Place, x", "centre-of-gravity")]
    y: Annotated[float, Quantity("m", "Place, y", "centre-of-gravity")]
    z: Annotated[float, Quantity("m", "Place, z", "centre-of-gravity")]
    worked_out: Annotated[
        float | None, Quantity("kg", "Worked-out mass it replaces", "measured-mass")
    ] = None
    method: str = "part-mass-sheet"


Weighted = tuple[MassLine, Moments]


def _line(
    name: str,
    group: str,
    moments: Moments,
    *,
    origin: Origin,
    amount: str,
    method: str,
    worked_out: float | None = None,
) -> Weighted:
    x, y, z = (float(value) for value in moments.centre)
    line = MassLine(
        name=name,
        group=group,
        origin=origin,
        amount=amount,
        mass=moments.mass,
        x=x,
        y=y if abs(y) > 1e-12 else 0.0,
        z=z,
        worked_out=worked_out,
        method=method,
    )
    return line, moments


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
    """Mass per length of a stick: given, or density times cross-section. [kg/m]"""
    if material.linear_density is not None:
        return material.linear_density
    return float(material.density or 0.0) * (cross_section(size) if size else 0.0)


# --- where it is -----------------------------------------------------------------------------


def _dihedral(inner: StationPoint, outer: StationPoint) -> float:
    return math.atan2(outer.z - inner.z, outer.y - inner.y)


def _chord_point(station: StationPoint, share: float, dihedral: float) -> Vertex:
    """A place on the chord in space. Twist turns the chord about the panel's own span."""
    along = share * station.chord
    drop = along * math.sin(station.twist)
    return (
        station.x + along * math.cos(station.twist),
        station.y + drop * math.sin(dihedral),
        station.z - drop * math.cos(dihedral),
    )


_GIRTHS: dict[str, Callable[[StationPoint], float]] = {
    "plate": lambda s: s.chord,
    "both skins": lambda s: (s.upper + s.lower) * s.chord,
    "top skin": lambda s: s.upper * s.chord,
    "bottom skin": lambda s: s.lower * s.chord,
}


def _surface_sheet(surface: LiftingSurface, part: Part) -> tuple[float, Moments]:
    """Area of one half's sheet and its moments at unit mass per area, spread over the planform."""
    stations = cut(
        surface.stations,
        part.from_ or 0.0,
        part.to if part.to is not None else surface.stations[-1].span,
    )
    area, moments = 0.0, NOTHING
    for inner, outer in pairwise(stations):
        piece = integral(
            (inner, outer), _GIRTHS[str(part.cover)], lambda _: 1.0, weight="developed"
        )
        tilt = _dihedral(inner, outer)
        edges = ((inner, 0.0), (outer, 0.0), (outer, 1.0), (inner, 1.0))
        a, b, c, d = (_chord_point(station, share, tilt) for station, share in edges)
        lamina = quad(a, b, c, d, 1.0)
        area += piece
        moments += lamina.scaled(piece / lamina.mass)
    return area, moments


def _surface_run(surface: LiftingSurface, run: Run) -> tuple[float, list[Vertex]]:
    stations = cut(surface.stations, run.from_, run.to)
    tilts = [_dihedral(inner, outer) for inner, outer in pairwise(stations)]
    points = [
        _chord_point(station, run.at, tilt)
        for station, tilt in zip(stations, (tilts[0], *tilts), strict=True)
    ]
    return _path_length(points), points


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


def _body_run(body: BodyPart, run: Run) -> tuple[float, list[Vertex]]:
    """A stick along a body, offset from its centre line; its x is the body's own."""
    x0, y0, z0 = body.origin
    ends = [(x0 + x, y0 + run.y, z0 + run.z) for x in (run.from_, run.to)]
    return _path_length(ends), ends


def _vertex(point: Point) -> Vertex:
    return (point.x, point.y, point.z)


# --- the lines -------------------------------------------------------------------------------

Placed = tuple[float, Moments, bool]  # amount, moments at unit density, is it a sheet


def _placed(part: Part, owner: LiftingSurface | BodyPart | None) -> Placed:
    """How much of a part one side has, where, per unit of its density."""
    if part.cover is not None:
        if isinstance(owner, LiftingSurface):
            return (*_surface_sheet(owner, part), True)
        assert isinstance(owner, BodyPart)  # the model refuses cover elsewhere
        return (*_body_sheet(owner, part.cover), True)
    if part.run is not None:
        run = _surface_run if isinstance(owner, LiftingSurface) else _body_run
        length, points = run(owner, part.run)  # type: ignore[arg-type]
        return length, polyline(points, length), False
    if part.line is not None:
        points = [_vertex(point) for point in part.line]
        return _path_length(points), polyline(points, _path_length(points)), False
    amount = float(part.area if part.area is not None else part.length or 0.0)
    place = simplex([_vertex(part.at or Point())], amount)
    return amount, place, part.area is not None


def _density(part: Part, material: Material, *, sheet: bool) -> float:
    return areal_density(material) if sheet else linear_density(material, part.size)


def _amount_text(amount: float, count: int, *, sheet: bool) -> str:
    figure = f"{amount * 100:.2f} dm²" if sheet else f"{amount * 1000:.0f} mm"
    return f"{count} × {figure}" if count > 1 else figure


def _part_line(
    part: Part,
    owner: LiftingSurface | BodyPart | None,
    materials: Materials,
    *,
    group: str,
    mirrored: bool,
) -> Weighted:
    amount, unit, sheet = _placed(part, owner)
    material = materials[part.material]
    density = _density(part, material, sheet=sheet)
    one_side = unit.scaled(density * part.share * part.count)
    moments = one_side + one_side.mirrored() if mirrored else one_side
    method = "part-mass-sheet" if sheet else "part-mass-stick"
    text = _amount_text(amount * part.share, part.count * (2 if mirrored else 1), sheet=sheet)
    amount_text = f"{text}, {material.name}"
    if part.measured is None:
        return _line(
            part.name, group, moments, origin="worked out", amount=amount_text, method=method
        )
    return _line(
        part.name,
        group,
        moments.scaled(part.measured / moments.mass),
        origin="measured",
        amount=amount_text,
        method="measured-mass",
        worked_out=moments.mass,
    )


def _component_lines(
    component: Component, owner: LiftingSurface | BodyPart, materials: Materials
) -> list[Weighted]:
    """Lines of one surface or body: its parts, or one line when the whole has been weighed."""
    lines = [
        _part_line(part, owner, materials, group=owner.title, mirrored=owner.mirrored)
        for part in component.parts
    ]
    if component.measured is None:
        return lines
    shape = together(moments for _, moments in lines) if lines else _bare_shape(owner)
    whole = shape.scaled(component.measured / shape.mass)
    if component.measured_at is not None:
        whole = whole.moved(_vertex(component.measured_at))
    worked_out = sum(line.mass for line, _ in lines) or None
    return [
        _line(
            f"{owner.title}, as built",
            owner.title,
            whole,
            origin="measured",
            amount="weighed whole",
            method="measured-mass",
            worked_out=worked_out,
        )
    ]


def _bare_shape(owner: LiftingSurface | BodyPart) -> Moments:
    """A uniform sheet over the whole of it, for a thing that was only weighed."""
    if isinstance(owner, BodyPart):
        one = _body_sheet(owner, "all")[1]
    else:
        plate = Part.model_validate({"name": "plate", "material": "-", "cover": "plate"})
        one = _surface_sheet(owner, plate)[1]
    return one + one.mirrored() if owner.mirrored else one


def block_of(item_mass: float, at: Vertex, size: Vertex | None) -> Moments:
    """A bought thing as a box, or as a point when its size is not known."""
    return block(at, size, item_mass) if size else simplex([at], item_mass)


def _item_line(item: Item) -> Weighted:
    size = (item.size.x, item.size.y, item.size.z) if item.size else None
    one = block_of(item.mass, _vertex(item.at), size)
    moments = one + one.mirrored() if item.mirror else one
    measured = item.measured
    return _line(
        item.name,
        "equipment",
        moments,
        origin="measured" if measured else "given",
        amount=f"two, {item.kind}" if item.mirror else item.kind,
        method="measured-mass" if measured else "given-by-designer",
    )


def _glue(design: DesignFile, lines: Sequence[Weighted]) -> Iterator[Weighted]:
    """Glue goes where the worked-out parts are; a weighed part has its glue in it already."""
    base = together(moments for line, moments in lines if line.origin == "worked out")
    share = design.allowance.glue
    if base.mass and share:
        yield _line(
            "glue",
            "allowances",
            base.scaled(share),
            origin="worked out",
            amount=f"{share * 100:.0f} % of {base.mass * 1000:.0f} g of worked-out parts",
            method="glue-allowance",
        )


def _paint(design: DesignFile, airframe: Airframe, weighed: frozenset[str]) -> Iterator[Weighted]:
    """Paint lies on the wetted area of what has not been weighed as built."""
    density = design.allowance.paint
    if not density:
        return
    pieces, area = NOTHING, 0.0
    owners: tuple[LiftingSurface | BodyPart, ...] = (*airframe.surfaces, *airframe.bodies)
    for owner in owners:
        if owner.key in weighed:
            continue
        wetted = (
            owner.planform.wetted if isinstance(owner, LiftingSurface) else owner.measures.wetted
        )
        shape = _bare_shape(owner)
        pieces += shape.scaled(wetted * density / shape.mass)
        area += wetted
    if area:
        yield _line(
            "paint",
            "allowances",
            pieces,
            origin="worked out",
            amount=f"{area * 100:.1f} dm² at {density * 1000:.0f} g/m²",
            method="paint-allowance",
        )


def build_up(design: DesignFile, airframe: Airframe, materials: Materials) -> tuple[Weighted, ...]:
    """Every line of the mass build-up but the battery, with its moments."""
    lines: list[Weighted] = []
    for surface in airframe.surfaces:
        lines += _component_lines(design.surfaces[surface.key], surface, materials)
    for body in airframe.bodies:
        lines += _component_lines(design.bodies[body.key], body, materials)
    lines += [
        _part_line(part, None, materials, group="other parts", mirrored=False)
        for part in design.parts
    ]
    components = {**design.surfaces, **design.bodies}
    weighed = frozenset(key for key, part in components.items() if part.measured is not None)
    lines += [*_glue(design, lines), *_paint(design, airframe, weighed)]
    lines += [_item_line(item) for item in design.items]
    return tuple(lines)
