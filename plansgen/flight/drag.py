"""Drag: profile drag of every strip, bodies, rods and wires, an allowance, and induced drag.

Strips have the profile drag of their sections at their own lift and Reynolds number. Bodies have
turbulent skin friction on their wetted area with a form factor, and their flat ends. Rods stand
across the wind. What nobody counts (hinge gaps, horns, joints, rough edges) is an allowance.
Induced drag is the lattice's, in the Trefftz plane.

Sources, from memory: D. P. Raymer, *Aircraft Design: A Conceptual Approach* (form factor of bodies,
stopped propeller); S. F. Hoerner, *Fluid-Dynamic Drag* (boxes, blunt ends, cylinders).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, BodyPart, LiftingSurface, station_at
from plansgen.atmosphere import Air
from plansgen.flight.pitching import Line, PitchModel
from plansgen.flight.polars import turbulent_friction
from plansgen.library.models import DesignFile, Part
from plansgen.quantity import Quantity

Array = NDArray[np.float64]
Kind = Literal["surface", "body", "rod", "propeller", "allowance", "induced"]
Place = tuple[float, float, float]

ALLOWANCE = 0.15  # of everything but induced drag; estimate
BOX_FACTOR = 1.3  # a box's sharp edges against a round body; estimate
FRONT_FACE = 0.4  # drag of a box's flat front over its area, motor on it; estimate
BLUNT_TAIL = 0.13  # the same of a flat rear end
CYLINDER = 1.1  # drag of a round rod across the wind, Reynolds numbers 1e3 to 1e5
STOPPED_BLADES = 0.8 * 0.08  # over the disc: 0.8 times the blades' share of it (estimate)
_SKIN = 0.003  # m; a rod this near to a surface lies in it
_SPREADS: dict[Kind, float] = {
    "surface": 0.2,
    "body": 0.3,
    "rod": 0.15,
    "propeller": 0.4,
    "allowance": 0.5,
    "induced": 0.05,
}


@dataclass(frozen=True)
class Rod:
    """A rod or wire in the wind. [m]

    exposed: Σ length × sin³ of its angle to the wind, over all its pieces.
    """

    name: str
    exposed: Annotated[float, Quantity("m", "Length across the wind", "flight-drag")]
    diameter: Annotated[float, Quantity("m", "Diameter", "given-by-designer")]


@dataclass(frozen=True)
class DragPart:
    """What one thing adds. spread: share, one standard deviation."""

    name: str
    kind: Kind
    area: Annotated[float, Quantity("m²", "Drag area, D over ½ρV²", "flight-drag")]
    coefficient: Annotated[float, Quantity("1", "Drag coefficient on the wing", "flight-drag")]
    spread: Annotated[float, Quantity("1", "Spread", "flight-drag", "%")]


@dataclass(frozen=True)
class Drag:
    """Drag in one state of level flight."""

    speed: Annotated[float, Quantity("m/s", "Speed", "flight-drag")]
    lift: Annotated[float, Quantity("1", "Lift coefficient, CL", "flight-drag")]
    parts: tuple[DragPart, ...]
    coefficient: Annotated[float, Quantity("1", "Drag coefficient, CD", "flight-drag")]
    spread: Annotated[float, Quantity("1", "Spread of the drag", "flight-drag", "%")]


def _within(place: Place, bodies: Sequence[BodyPart]) -> bool:
    """Whether a place lies inside a body's box of frames."""
    x, y, z = place
    for body in bodies:
        for fore, aft in pairwise(body.frames):
            if not fore.x <= x <= aft.x:
                continue
            part = (x - fore.x) / (aft.x - fore.x)
            width, height, cy, cz = (
                getattr(fore, n) + (getattr(aft, n) - getattr(fore, n)) * part
                for n in ("width", "height", "y", "z")
            )
            away = min(abs(y - cy), abs(y + cy)) if body.mirrored else abs(y - cy)
            if away <= width / 2 and abs(z - cz) <= height / 2:
                return True
    return False


def _in_skin(place: Place, surfaces: Sequence[LiftingSurface]) -> bool:
    """Whether a place lies inside a level surface's section."""
    x, y, z = place
    for surface in surfaces:
        for inner, outer in pairwise(surface.stations):
            if not inner.y <= abs(y) < outer.y:
                continue
            at = station_at(
                (inner, outer),
                inner.span + (outer.span - inner.span) * (abs(y) - inner.y) / (outer.y - inner.y),
            )
            thick = max(at.thickness * at.chord, _SKIN)
            if at.x <= x <= at.x + at.chord and -thick / 2 <= z - at.z <= thick:
                return True
    return False


def _exposed(line: Sequence[Place], airframe: Airframe) -> float:
    """Length across the wind of a chain of points, in ten pieces a span, those inside left out."""
    total = 0.0
    for one, two in pairwise(line):
        length, across = math.dist(one, two), math.dist(one[1:], two[1:])
        if length <= 0.0:
            continue
        middles = ((i + 0.5) / 10 for i in range(10))
        places = [
            (
                one[0] + (two[0] - one[0]) * t,
                one[1] + (two[1] - one[1]) * t,
                one[2] + (two[2] - one[2]) * t,
            )
            for t in middles
        ]
        outside = sum(
            not _within(place, airframe.bodies) and not _in_skin(place, airframe.surfaces)
            for place in places
        )
        total += length * (across / length) ** 3 * outside / 10
    return total


def _lines(design: DesignFile) -> Iterator[tuple[Part, int]]:
    """Every part that is drawn from point to point, and how many there are."""
    for part in design.parts:
        yield part, part.count
    for body in design.bodies.values():
        for part in body.parts:
            yield part, part.count * (2 if body.mirror else 1)
    for surface in design.surfaces.values():
        for part in surface.parts:
            yield part, part.count * (2 if surface.mirrored else 1)


def rods_of(design: DesignFile, airframe: Airframe) -> tuple[Rod, ...]:
    """Rods, struts and wires of a design as far as they stand outside bodies and wings."""
    found = []
    for part, count in _lines(design):
        if part.line is None or part.size is None:
            continue
        size = part.size.diameter or max(part.size.width or 0.0, part.size.height or 0.0)
        line = [(point.x, point.y, point.z) for point in part.line]
        exposed = count * _exposed(line, airframe)
        if exposed > 0.0:
            found.append(Rod(part.name, exposed, size))
    return tuple(found)


def form_factor(fineness: float) -> float:
    """Drag of a body over that of a plate of its wetted area: 1 + 60/f³ + f/400 (Raymer).

    fineness: length over mean diameter, not below 2.
    """
    ratio = max(fineness, 2.0)
    return 1.0 + 60.0 / ratio**3 + ratio / 400.0


def body_drag_area(body: BodyPart, *, speed: float, air: Air) -> float:
    """Drag area of a body, both of a pair. [m²] speed: [m/s]"""
    measures = body.measures
    count = 2 if body.mirrored else 1
    across = math.sqrt(measures.width * measures.height)
    box = body.shape == "box"
    skin = measures.wetted - count * (body.faces.front + body.faces.rear)
    rough = turbulent_friction(air.reynolds(speed=speed, length=measures.length))
    friction = rough * form_factor(measures.length / across) * (BOX_FACTOR if box else 1.0)
    front = FRONT_FACE * body.faces.front if box else 0.0
    return skin * friction + count * (front + BLUNT_TAIL * body.faces.rear)


class DragModel:
    """What a model's drag is made of."""

    def __init__(
        self,
        model: PitchModel,
        *,
        air: Air,
        rods: Sequence[Rod] = (),
        stopped_propellers: bool = False,
        allowance: float = ALLOWANCE,
    ) -> None:
        """Take what does not change.

        rods: as from ``rods_of``. stopped_propellers: stand still in the wind, neither folded nor
        running. allowance: share of all drag but induced drag.
        """
        self.model, self.air, self.rods = model, air, tuple(rods)
        self.allowance = allowance
        self._blades = 0.0
        if stopped_propellers:
            self._blades = STOPPED_BLADES * sum(
                math.pi / 4 * p.diameter**2 * (2 if p.mirrored else 1)
                for p in model.airframe.propellers
            )

    def _profile(self, lifts: Array, speeds: Array, line: Line) -> Array:
        """Drag area of every strip, (states, strips). [m²]"""
        strips = self.model.strips
        local = line.at(line.speeds, lifts)
        reynolds = np.abs(speeds[:, None] * local) * np.maximum(strips.chord, 1e-6)
        drag = self.model.polars.drag(
            line.at(line.strips, lifts), reynolds / self.air.kinematic_viscosity
        )
        return np.asarray(drag * local**2 * strips.area)

    def _fixed(self, speed: float) -> list[tuple[str, Kind, float]]:
        """Bodies, rods and blades: name, kind and drag area."""
        rows: list[tuple[str, Kind, float]] = [
            (body.title, "body", body_drag_area(body, speed=speed, air=self.air))
            for body in self.model.airframe.bodies
        ]
        rows += [(rod.name, "rod", CYLINDER * rod.exposed * rod.diameter) for rod in self.rods]
        if self._blades:
            rows.append(("propeller, stopped", "propeller", self._blades))
        return rows

    def coefficients(self, *, lifts: Array, speeds: Array, line: Line) -> Array:
        """CD in states of flight, washes' extra speed on bodies and rods left out.

        lifts: CL. speeds: [m/s] line: states that the model flies in.
        """
        profile = self._profile(lifts, speeds, line).sum(axis=1)
        fixed = np.array([sum(row[2] for row in self._fixed(v)) for v in speeds.tolist()])
        parasite = (profile + fixed) * (1.0 + self.allowance) / self.model.scale.area
        return np.asarray(parasite + line.at(line.induced, lifts))

    def breakdown(self, *, lift: float, speed: float, line: Line) -> Drag:
        """Drag in one state, part by part. speed: [m/s]

        Raises:
            ValueError: the line does not reach that lift.
        """
        area = self.model.scale.area
        at = np.array([lift])
        induced = float(line.at(line.induced, at)[0])
        if not math.isfinite(induced):
            raise ValueError(f"a lift coefficient of {lift:g} is out of reach")
        profile = self._profile(at, np.array([speed]), line)[0]
        names = np.array(self.model.strips.surfaces)
        rows: list[tuple[str, Kind, float]] = [
            (surface.title, "surface", float(profile[names == surface.key].sum()))
            for surface in self.model.airframe.surfaces
        ]
        rows += self._fixed(speed)
        rest = self.allowance * sum(row[2] for row in rows)
        rows += [
            ("gaps, horns and joints", "allowance", rest),
            ("induced", "induced", induced * area),
        ]
        parts = tuple(
            DragPart(name, kind, size, size / area, _SPREADS[kind]) for name, kind, size in rows
        )
        total = sum(part.coefficient for part in parts)
        # Surfaces share one table, so their errors go together; all other parts are apart.
        sizes = [sum(p.coefficient for p in parts if p.kind == "surface") * _SPREADS["surface"]]
        sizes += [p.coefficient * p.spread for p in parts if p.kind != "surface"]
        return Drag(speed, lift, parts, total, math.hypot(*sizes) / total)
