"""Where the mass of a model lies: every line of the mass build-up broken into small pieces.

The balance needs only moments; loads need the mass at every place. Each line keeps the mass that
the balance gave it, weighed or worked out, and only its spread is laid out here: sheets by their
area, sticks by their length and (tapering) cross-section, glue in proportion to worked-out parts,
paint by wetted area.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, BodyPart, LiftingSurface, cut, station_at
from plansgen.airframe.inside import NO_WALLS, Walls, walls_of
from plansgen.airframe.planform import StationPoint, chord_point
from plansgen.balance.buildup import MassLine, Materials
from plansgen.balance.placing import (
    areal_density,
    cross_section,
    former_places,
    linear_density,
    placed,
    rib_places,
)
from plansgen.balance.result import BalanceResult
from plansgen.library.models import Component, DesignFile, Part, Run

Array = NDArray[np.float64]
Place = tuple[float, float, float]

_STRIPS = 24  # pieces along a half surface, at least
_SLICES = 8  # pieces between two frames of a body


@dataclass(frozen=True)
class Grain:
    """A small piece of mass. [kg, m]

    owner: key of its surface or body; empty for items and the like. name: of part or item. pair:
    there is another on the port side. span: developed, where it lies on its surface; None
    elsewhere.
    """

    mass: float
    place: Place
    owner: str
    name: str
    pair: bool
    span: float | None = None

    @property
    def total(self) -> float:
        """Mass of both sides. [kg]"""
        return self.mass * (2 if self.pair else 1)


def total_mass(grains: Sequence[Grain]) -> float:
    """Mass of both sides of all of them. [kg]"""
    return sum(grain.total for grain in grains)


def _scaled(grains: Sequence[Grain], total: float) -> list[Grain]:
    """The same spread with another mass, both sides together."""
    factor = total / total_mass(grains)
    return [replace(grain, mass=grain.mass * factor) for grain in grains]


# --- surfaces --------------------------------------------------------------------------------


def _tilt(stations: Sequence[StationPoint], span: float) -> float:
    panels = list(pairwise(stations))
    inner, outer = next((p for p in panels if span <= p[1].span), panels[-1])
    return float(np.arctan2(outer.z - inner.z, outer.y - inner.y))


def _middles(
    stations: Sequence[StationPoint], inboard: float, outboard: float
) -> Iterator[tuple[StationPoint, float, float]]:
    """Station at the middle of each piece between two spans, its tilt and its width."""
    length = stations[-1].span
    for inner, outer in pairwise(cut(stations, inboard, outboard)):
        count = max(1, round(_STRIPS * (outer.span - inner.span) / length))
        edges = np.linspace(inner.span, outer.span, count + 1).tolist()
        for a, b in pairwise(edges):
            yield station_at(stations, (a + b) / 2), _tilt(stations, (a + b) / 2), b - a


def _girth(cover: str, station: StationPoint) -> float:
    if cover == "plate":
        return 1.0
    upper = station.upper if cover != "bottom skin" else 0.0
    return upper + (station.lower if cover != "top skin" else 0.0)


def _on_surface(
    surface: LiftingSurface, name: str, rows: Sequence[tuple[StationPoint, float, float, float]]
) -> list[Grain]:
    """Grains from rows of station, tilt, share of the chord and mass."""
    return [
        Grain(
            mass,
            chord_point(station, share=share, tilt=tilt),
            surface.key,
            name,
            surface.mirrored,
            station.span,
        )
        for station, tilt, share, mass in rows
    ]


def _cover(surface: LiftingSurface, part: Part) -> list[Grain]:
    """A sheet over a surface, at unit mass per area."""
    end = part.to if part.to is not None else surface.stations[-1].span
    reach = (part.over.from_, part.over.to) if part.over else (0.0, 1.0)
    return _on_surface(
        surface,
        part.name,
        [
            (s, tilt, sum(reach) / 2, _girth(str(part.cover), s) * s.chord * width)
            for s, tilt, width in _middles(surface.stations, part.from_ or 0.0, end)
        ],
    )


def _surface_run(surface: LiftingSurface, part: Part, run: Run) -> list[Grain]:
    """A stick along a surface; its mass goes with its cross-section where it tapers."""
    first = cross_section(part.size) if part.size else 1.0
    last = cross_section(part.size_out) if part.size_out else first

    def section(span: float) -> float:
        return first + (last - first) * (span - run.from_) / (run.to - run.from_)

    return _on_surface(
        surface,
        part.name,
        [
            (s, tilt, run.at, section(s.span) * width)
            for s, tilt, width in _middles(surface.stations, run.from_, run.to)
        ],
    )


# --- bodies ----------------------------------------------------------------------------------


def _girth_of(cover: str, width: float, height: float) -> float:
    return {"sides": 2 * height, "top": width, "bottom": width}.get(cover, 2 * (width + height))


def _body_cover(body: BodyPart, part: Part) -> list[Grain]:
    """A sheet over a body, at unit mass per area; ends are put at the end frames."""
    cover, frames = str(part.cover), body.frames
    if cover in ("front", "rear"):
        frame = frames[0 if cover == "front" else -1]
        return [Grain(1.0, (frame.x, frame.y, frame.z), body.key, part.name, body.mirrored)]
    grains = []
    for fore, aft in pairwise(frames):
        for share in ((np.arange(_SLICES) + 0.5) / _SLICES).tolist():
            x, y, z, width, height = (
                getattr(fore, n) + (getattr(aft, n) - getattr(fore, n)) * share
                for n in ("x", "y", "z", "width", "height")
            )
            side = {"top": height / 2, "bottom": -height / 2}.get(cover, 0.0)
            mass = _girth_of(cover, width, height) * (aft.x - fore.x) / _SLICES
            grains.append(Grain(mass, (x, y, z + side), body.key, part.name, body.mirrored))
    if cover == "all":
        for frame in (frames[0], frames[-1]):
            place = (frame.x, frame.y, frame.z)
            mass = frame.width * frame.height
            grains.append(Grain(mass, place, body.key, part.name, body.mirrored))
    return [grain for grain in grains if grain.mass > 0.0]


def _line(points: Sequence[Place], owner: str, name: str, pair: bool) -> list[Grain]:
    """A stick through points, at unit mass per length."""
    grains = []
    for one, two in pairwise(points):
        a, b = np.asarray(one), np.asarray(two)
        length = float(np.linalg.norm(b - a))
        for share in ((np.arange(_SLICES) + 0.5) / _SLICES).tolist():
            x, y, z = (a + (b - a) * share).tolist()
            grains.append(Grain(length / _SLICES, (x, y, z), owner, name, pair))
    return [grain for grain in grains if grain.mass > 0.0]


# --- parts and components --------------------------------------------------------------------


def near_span(surface: LiftingSurface, place: Place) -> float:
    """Developed span nearest to a place, seen along the body. [m]"""
    return nearest(surface, place)[1]


def nearest(surface: LiftingSurface, place: Place) -> tuple[float, float]:
    """Distance of a place from a surface, seen along the body, and the span nearest to it. [m]"""
    best = (math.inf, 0.0)
    for inner, outer in pairwise(surface.stations):
        step = np.array([outer.y - inner.y, outer.z - inner.z])
        away = np.array([place[1] - inner.y, place[2] - inner.z])
        share = float(np.clip(away @ step / (step @ step), 0.0, 1.0))
        distance = float(np.linalg.norm(away - share * step))
        best = min(best, (distance, inner.span + share * (outer.span - inner.span)))
    return best


def _part(
    part: Part, owner: LiftingSurface | BodyPart | None, walls: Walls = NO_WALLS
) -> list[Grain]:
    """A part's spread, at some density."""
    key = owner.key if owner else ""
    pair = bool(owner and owner.mirrored)
    if part.cover is not None and isinstance(owner, LiftingSurface):
        return _cover(owner, part)
    if part.cover is not None and isinstance(owner, BodyPart):
        return _body_cover(owner, part)
    if part.run is not None and isinstance(owner, LiftingSurface):
        return _surface_run(owner, part, part.run)
    if part.run is not None and isinstance(owner, BodyPart):
        x0, y0, z0 = owner.origin
        ends = [(x0 + x, y0 + part.run.y, z0 + part.run.z) for x in (part.run.from_, part.run.to)]
        return _line(ends, key, part.name, pair)
    if part.ribs is not None and isinstance(owner, LiftingSurface):
        return [
            Grain(area, place, key, part.name, pair, span)
            for span, place, area in rib_places(owner, part.ribs)
        ]
    if part.formers is not None and isinstance(owner, BodyPart):
        return [
            Grain(area, place, key, part.name, pair)
            for place, area, _ in former_places(owner, part.formers, walls)
        ]
    if part.line is not None:
        grains = _line([(p.x, p.y, p.z) for p in part.line], key, part.name, pair)
    else:
        at = part.at
        place = (at.x, at.y, at.z) if at else (0.0, 0.0, 0.0)
        grains = [Grain(1.0, place, key, part.name, pair)]
    if isinstance(owner, LiftingSurface):
        return [replace(grain, span=near_span(owner, grain.place)) for grain in grains]
    return grains


def _bare(owner: LiftingSurface | BodyPart, name: str) -> list[Grain]:
    """An even sheet over the whole of it."""
    cover = "plate" if isinstance(owner, LiftingSurface) else "all"
    return _part(Part.model_validate({"name": name, "material": "-", "cover": cover}), owner)


def _moved(grains: Sequence[Grain], to: Place) -> list[Grain]:
    """Carried bodily along and up, so that they balance where the whole was found to."""
    total = total_mass(grains)
    x, z = (sum(g.total * g.place[axis] for g in grains) / total for axis in (0, 2))
    step = (to[0] - x, to[2] - z)
    return [
        replace(g, place=(g.place[0] + step[0], g.place[1], g.place[2] + step[1])) for g in grains
    ]


def _weight(
    part: Part, owner: LiftingSurface | BodyPart, materials: Materials, walls: Walls
) -> float:
    """Mass of a part of something that was weighed whole, for its share of that. [kg]"""
    if part.measured is not None:
        return part.measured
    amount, _, sheet = placed(part, owner, walls)
    material = materials[part.material]
    density = areal_density(material) if sheet else linear_density(material, part.size)
    return amount * density * part.share * part.count * (2 if owner.mirrored else 1)


@dataclass
class _Layer:
    """Lays out the build-up line by line, in the order in which the balance writes it."""

    design: DesignFile
    airframe: Airframe
    materials: Materials
    lines: Iterator[MassLine]

    def all(self) -> Iterator[Grain]:
        """Every grain but the battery's."""
        owners: tuple[LiftingSurface | BodyPart, ...]
        owners = (*self.airframe.surfaces, *self.airframe.bodies)
        components: dict[str, Component] = {**self.design.surfaces, **self.design.bodies}
        glued: list[Grain] = []
        for owner in owners:
            yield from self._component(components[owner.key], owner, glued)
        for part in self.design.parts:
            yield from self._own(part, None, glued)
        left = list(self.lines)
        for line in (line for line in left if line.group == "allowances"):
            bare = [o for o in owners if components[o.key].measured is None]
            yield from _scaled(glued if line.name == "glue" else _painted(bare), line.mass)
        goods = [line for line in left if line.group == "equipment"]
        for item, line in zip(self.design.items, goods, strict=True):
            place = (item.at.x, item.at.y, item.at.z)
            mass = line.mass / (2 if item.mirror else 1)
            yield Grain(mass, place, "", item.name, item.mirror)

    def _own(
        self,
        part: Part,
        owner: LiftingSurface | BodyPart | None,
        glued: list[Grain],
        walls: Walls = NO_WALLS,
    ) -> list[Grain]:
        """Grains of a part that has its own line."""
        line = next(self.lines)
        found = _scaled(_part(part, owner, walls), line.mass)
        if line.origin == "worked out":
            glued += found
        return found

    def _component(
        self, component: Component, owner: LiftingSurface | BodyPart, glued: list[Grain]
    ) -> list[Grain]:
        """Grains of a surface or body. glued: gathers those that take glue."""
        walls = walls_of(component.parts, self.materials)
        if component.measured is None:
            return [g for part in component.parts for g in self._own(part, owner, glued, walls)]
        shaped = [
            grain
            for part in component.parts
            for grain in _scaled(
                _part(part, owner, walls), _weight(part, owner, self.materials, walls)
            )
        ]
        whole = _scaled(shaped or _bare(owner, "as built"), next(self.lines).mass)
        at = component.measured_at
        return _moved(whole, (at.x, at.y, at.z)) if at else whole


def _painted(owners: Sequence[LiftingSurface | BodyPart]) -> list[Grain]:
    """Paint on what was not weighed, by wetted area."""
    found: list[Grain] = []
    for owner in owners:
        surface = isinstance(owner, LiftingSurface)
        wetted = owner.planform.wetted if surface else owner.measures.wetted  # type: ignore[union-attr]
        found += _scaled(_bare(owner, "paint"), wetted)
    return found


def grains_of(
    design: DesignFile, airframe: Airframe, balance: BalanceResult, materials: Materials
) -> tuple[Grain, ...]:
    """The whole model as it usually flies, battery included; empty when nothing has a mass."""
    if balance.ready is None:
        return ()
    layer = _Layer(design, airframe, materials, iter(balance.lines))
    found = [grain for grain in layer.all() if grain.mass > 0.0]
    ready = balance.ready
    if ready.battery_mass is not None and design.bay is not None:
        place = (ready.battery_x or 0.0, design.bay.y, ready.battery_z or 0.0)
        found.append(Grain(ready.battery_mass, place, "", ready.battery or "battery", False))
    return tuple(found)
