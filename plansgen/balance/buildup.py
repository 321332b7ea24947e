"""The mass build-up: one line for each part and item, worked out or weighed, with its moments."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Literal

from plansgen.airframe.build import Airframe, BodyPart, LiftingSurface
from plansgen.airframe.inside import NO_WALLS, Walls, walls_of
from plansgen.balance.drawn import Drawn, PartRef
from plansgen.balance.elements import NOTHING, Moments, Vertex, block, simplex, together
from plansgen.balance.placing import areal_density, bare_shape, linear_density, placed, vertex
from plansgen.library.models import Component, DesignFile, Item, Part
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
Owner = LiftingSurface | BodyPart | None
AsDrawn = Mapping[PartRef, Drawn]
NOT_DRAWN: AsDrawn = MappingProxyType({})


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


@dataclass(frozen=True)
class Estimate:
    """A part as planform and places give it. amount: of one copy, openings taken off. [m² or m]

    moments: of all copies on both sides.
    """

    amount: float
    sheet: bool
    moments: Moments


def estimated(part: Part, owner: Owner, materials: Materials, walls: Walls = NO_WALLS) -> Estimate:
    """What a part weighs and where, without a drawing.

    Args:
        part: Of the design file.
        owner: The surface or body that it belongs to.
        materials: By id.
        walls: Of the body; its formers stand inside them.
    """
    amount, unit, sheet = placed(part, owner, walls)
    material = materials[part.material]
    density = areal_density(material) if sheet else linear_density(material, part.size)
    one_side = unit.scaled(density * part.share * part.count)
    paired = owner is not None and owner.mirrored
    moments = one_side + one_side.mirrored() if paired else one_side
    return Estimate(amount * part.share, sheet, moments)


def _amount_text(amount: float, count: int, *, sheet: bool) -> str:
    figure = f"{amount * 100:.2f} dm²" if sheet else f"{amount * 1000:.0f} mm"
    return f"{count} × {figure}" if count > 1 else figure


def _part_line(
    part: Part,
    owner: Owner,
    materials: Materials,
    *,
    group: str,
    drawn: Drawn | None,
    walls: Walls = NO_WALLS,
) -> Weighted:
    guess = estimated(part, owner, materials, walls)
    count = part.count * (2 if owner is not None and owner.mirrored else 1)
    amount, moments, sheet = guess.amount, guess.moments, guess.sheet
    method, words = "part-mass-sheet" if sheet else "part-mass-stick", ""
    if drawn is not None:
        amount, moments, sheet = drawn.amount / count, drawn.moments, drawn.sheet
        method, words = "part-mass-drawn", " as drawn" if sheet else " as cut"
    text = f"{_amount_text(amount, count, sheet=sheet)}{words}, {materials[part.material].name}"
    if part.measured is None:
        return _line(part.name, group, moments, origin="worked out", amount=text, method=method)
    return _line(
        part.name,
        group,
        moments.scaled(part.measured / moments.mass),
        origin="measured",
        amount=text,
        method="measured-mass",
        worked_out=moments.mass,
    )


def _component_lines(
    component: Component, owner: LiftingSurface | BodyPart, materials: Materials, drawn: AsDrawn
) -> list[Weighted]:
    """Lines of one surface or body: its parts, or one line when the whole has been weighed."""
    walls = walls_of(component.parts, materials)
    lines = [
        _part_line(
            part,
            owner,
            materials,
            group=owner.title,
            drawn=drawn.get(PartRef(owner.key, index)),
            walls=walls,
        )
        for index, part in enumerate(component.parts)
    ]
    if component.measured is None:
        return lines
    shape = together(moments for _, moments in lines) if lines else bare_shape(owner)
    whole = shape.scaled(component.measured / shape.mass)
    if component.measured_at is not None:
        whole = whole.moved(vertex(component.measured_at))
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


def block_of(item_mass: float, at: Vertex, size: Vertex | None) -> Moments:
    """A bought thing as a box, or as a point when its size is not known."""
    return block(at, size, item_mass) if size else simplex([at], item_mass)


def item_line(item: Item) -> Weighted:
    """The line of one bought thing, or of a pair."""
    size = (item.size.x, item.size.y, item.size.z) if item.size else None
    one = block_of(item.mass, vertex(item.at), size)
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
        shape = bare_shape(owner)
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


def build_up(
    design: DesignFile, airframe: Airframe, materials: Materials, drawn: AsDrawn = NOT_DRAWN
) -> tuple[Weighted, ...]:
    """Every line of the mass build-up but the battery, with its moments.

    Args:
        design: What the file says.
        airframe: Its geometry.
        materials: By id.
        drawn: Parts as they are cut; the others are estimated from planform and places.
    """
    lines: list[Weighted] = []
    for surface in airframe.surfaces:
        lines += _component_lines(design.surfaces[surface.key], surface, materials, drawn)
    for body in airframe.bodies:
        lines += _component_lines(design.bodies[body.key], body, materials, drawn)
    lines += [
        _part_line(part, None, materials, group="other parts", drawn=drawn.get(PartRef("", index)))
        for index, part in enumerate(design.parts)
    ]
    components = {**design.surfaces, **design.bodies}
    weighed = frozenset(key for key, part in components.items() if part.measured is not None)
    lines += [*_glue(design, lines), *_paint(design, airframe, weighed)]
    lines += [item_line(item) for item in design.items]
    return tuple(lines)
