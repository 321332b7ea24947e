"""Shear, bending and torsion along one half of a surface, root to tip, in each load case.

The air's forces come from the lattice (:mod:`plansgen.structure.airloads`), the masses from the
build-up (:mod:`plansgen.structure.masses`). Every mass pulls the other way, n times its weight
along the lift, so that a wing's own mass and what hangs on it relieve the root. Under a control
thrown over, n is of the lift with it, as the whole model rises or sinks at once; its turning is
left out. A landing on a tip swings the free model about its balance point.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.atmosphere import GRAVITY
from plansgen.balance.buildup import Materials
from plansgen.balance.result import BalanceResult
from plansgen.flight.result import FlightResult
from plansgen.library.models import DesignFile
from plansgen.quantity import Quantity
from plansgen.structure.airloads import AirLoads
from plansgen.structure.along import Forces, cuts_for, reference_line, resultants
from plansgen.structure.cases import LoadCase
from plansgen.structure.grains import grains_of, total_mass
from plansgen.structure.masses import Carried, Holders

Array = NDArray[np.float64]
Vector = tuple[float, float, float]

_BINS = 30  # of a surface's own mass, along its half span


@dataclass(frozen=True)
class Lump:
    """A force at a place, body frame, and the developed span it belongs to. [N, m]"""

    place: Vector
    force: Vector
    span: float


@dataclass(frozen=True)
class SpanLoad:
    """One half surface in one case, root first, tip last. [m, N, N m]

    shear: outboard of the station, up at right angles to the panel positive. bending: tip bent up
    positive. torque: nose up positive, about the line at share ``axis`` of the chord. chord_shear,
    chord_bending: tip pushed aft positive. axial: tension positive. lumps: the same load as forces.
    On a fin, up is to port.
    """

    case: str
    spans: tuple[Annotated[float, Quantity("m", "Along the span", "given-by-designer")], ...]
    shear: tuple[Annotated[float, Quantity("N", "Shear", "structure-load-span")], ...]
    bending: tuple[Annotated[float, Quantity("N m", "Bending", "structure-load-span")], ...]
    torque: tuple[Annotated[float, Quantity("N m", "Torsion", "structure-load-span")], ...]
    chord_shear: tuple[Annotated[float, Quantity("N", "Shear aft", "structure-load-span")], ...]
    chord_bending: tuple[
        Annotated[float, Quantity("N m", "Bending aft", "structure-load-span")], ...
    ]
    axial: tuple[Annotated[float, Quantity("N", "Pull along it", "structure-load-span")], ...]
    lumps: tuple[Lump, ...]

    @cached_property
    def arrays(self) -> Array:
        """Rows: spans, shear, bending, torque, chord_shear, chord_bending, axial."""
        first = (self.spans, self.shear, self.bending, self.torque)
        return np.array([*first, self.chord_shear, self.chord_bending, self.axial])


def as_lumps(forces: Forces) -> tuple[Lump, ...]:
    """The forces one by one, each at the middle of its reach."""
    rows = zip(forces.places.tolist(), forces.forces.tolist(), forces.spans.tolist(), strict=True)
    return tuple(Lump((p[0], p[1], p[2]), (f[0], f[1], f[2]), s) for p, f, s in rows if any(f))


def span_load_of(surface: LiftingSurface, forces: Forces, *, case: str, axis: float) -> SpanLoad:
    """Resultants of forces on one half of a surface.

    axis: share of the chord that torque is taken about.

    Raises:
        ValueError: the axis does not lie within the chord.
    """
    if not 0.0 <= axis <= 1.0:
        raise ValueError(f"the axis lies at {axis:g} of the chord, but must lie within it")
    points = forces.inner[forces.is_point].tolist()
    cuts = cuts_for(surface, points)
    found = resultants(reference_line(surface, cuts, axis=axis), forces)
    return SpanLoad(
        case=case,
        spans=tuple(found.spans.tolist()),
        shear=tuple(found.shear.tolist()),
        bending=tuple(found.bending.tolist()),
        torque=tuple(found.torque.tolist()),
        chord_shear=tuple(found.chord_shear.tolist()),
        chord_bending=tuple(found.chord_bending.tolist()),
        axial=tuple(found.axial.tolist()),
        lumps=as_lumps(forces),
    )


@dataclass(frozen=True)
class _Masses:
    """Masses on one half of a surface as arrays, the surface's own gathered into short pieces."""

    places: Array
    masses: Array
    inner: Array
    outer: Array
    along: Array

    def pulled(self, field: Array) -> Forces:
        """The forces of an acceleration field at each, (n, 3). [m/s²]"""
        return Forces(self.places, self.masses[:, None] * field, self.inner, self.outer, self.along)


def _gathered(surface: LiftingSurface, carried: Sequence[Carried]) -> _Masses:
    """Own mass in short pieces between stations, spread evenly over each; the rest as points."""
    stations = surface.stations
    length = stations[-1].span
    edges = np.unique([*np.linspace(0.0, length, _BINS + 1), *(s.span for s in stations)])
    rows: list[tuple[list[Carried], float, float]] = []
    own = [c for c in carried if c.grain.owner == surface.key]
    at = np.clip(np.searchsorted(edges, [c.span for c in own], side="right") - 1, 0, len(edges) - 2)
    for index in np.unique(at).tolist():
        inside = [c for c, i in zip(own, at.tolist(), strict=True) if i == index]
        rows.append((inside, float(edges[index]), float(edges[index + 1])))
    hung = sorted((c for c in carried if c.grain.owner != surface.key), key=_hangs)
    for (span, _, _), group in groupby(hung, key=_hangs):
        at_most = min(span, length * (1 - 1e-6))  # at the very tip there is no cut outboard of it
        rows.append((list(group), at_most, at_most))
    masses = np.array([sum(c.grain.mass for c in group) for group, _, _ in rows])
    places = np.array(
        [sum(c.grain.mass * np.asarray(c.grain.place) for c in group) for group, _, _ in rows]
    ).reshape(-1, 3)
    inner, outer = (np.array([row[i] for row in rows], dtype=float) for i in (1, 2))
    return _Masses(places / masses[:, None], masses, inner, outer, _slopes(surface, inner, outer))


def _hangs(carried: Carried) -> tuple[float, str, str]:
    return (carried.span, carried.grain.owner, carried.grain.name)


def _slopes(surface: LiftingSurface, inner: Array, outer: Array) -> Array:
    """How the middle of the chord moves for each metre of span; nothing for points."""
    ends = [reference_line(surface, spans, axis=0.5).points for spans in (inner, outer)]
    width = (outer - inner)[:, None]
    return np.where(width > 0.0, (ends[1] - ends[0]) / np.maximum(width, 1e-12), 0.0)


class Loader:
    """Loads of every surface of a design: one lattice, solved once."""

    def __init__(
        self,
        design: DesignFile,
        airframe: Airframe,
        balance: BalanceResult,
        flight: FlightResult,
        materials: Materials,
    ) -> None:
        """Solve the lattice and lay out the masses.

        Raises:
            ValueError: the design has no mass.
        """
        if balance.ready is None:
            raise ValueError("nothing in the design has a mass")
        self.airframe, self.state = airframe, balance.ready.state
        self.holders = Holders(airframe)
        self.grains = grains_of(design, airframe, balance, materials)
        self.air = AirLoads(airframe, flight, self.state)
        self._in_air: dict[str, tuple[float, Mapping[str, Forces]]] = {}
        self._pulls: dict[str, float] = {}
        self._carried = {s.key: self.holders.carried(s, self.grains) for s in airframe.surfaces}
        self._masses = {s.key: _gathered(s, self._carried[s.key]) for s in airframe.surfaces}

    def carried_mass(self, surface: str) -> float:
        """Mass of one half of a surface with all that hangs on it. [kg]"""
        return sum(carried.grain.mass for carried in self._carried[surface])

    def whole_mass(self, surface: str) -> float:
        """Mass of a whole surface with all that hangs on it, both sides. [kg]"""
        return total_mass([carried.grain for carried in self._carried[surface]])

    def in_air(self, case: LoadCase) -> tuple[float, Mapping[str, Forces]]:
        """Angle of attack, and the air's forces on every starboard (or only) half."""
        key = case.key
        if case.kind != "air":
            return 0.0, {}
        if key not in self._in_air:
            flow, forces = self.air.on_halves(case)
            self._in_air[key] = (flow.alpha, forces)
        return self._in_air[key]

    def field(self, case: LoadCase, places: Array) -> Array:
        """What each kilogram at some places pushes with, weight included. [N/kg]"""
        if case.kind == "wing tip":
            return self._swung(case, places)
        if case.kind == "air":
            alpha, _ = self.in_air(case)
            if case.key not in self._pulls:
                self._pulls[case.key] = self.air.load_factor(case) * GRAVITY
            pull = self._pulls[case.key]
            one = np.array([math.sin(alpha) * pull, 0.0, -math.cos(alpha) * pull])
        else:
            weight = 0.0 if case.kind == "nose" else GRAVITY
            one = np.array([case.along, 0.0, -weight])
        return np.tile(one, (len(places), 1))

    def _swung(self, case: LoadCase, places: Array) -> Array:
        """A free model pushed up at its starboard tip: it rises, rolls and pitches."""
        state, tip = self.state, self._tip_place(case)
        rise = case.force / state.mass
        roll = case.force * tip[1] / state.ixx * places[:, 1]
        pitch = case.force * (tip[0] - state.x) / state.iyy * (places[:, 0] - state.x)
        upright = -(rise + roll + pitch)
        return np.column_stack([0 * upright, 0 * upright, upright])

    def _tip_place(self, case: LoadCase) -> Array:
        wing = self.airframe.surface(case.struck)
        end = wing.stations[-1]
        return np.array([end.x + end.chord / 2, end.y, end.z])

    def _ground(self, case: LoadCase, surface: LiftingSurface) -> Forces:
        """What ground or bench pushes with, at the tip."""
        end = surface.stations[-1]
        span = np.array([end.span * (1 - 1e-6)])
        if case.kind == "wing tip" and surface.key == case.struck:
            place, push = self._tip_place(case), case.force
        elif case.kind == "bench":
            masses = self._masses[surface.key]
            middle = float(masses.masses @ masses.places[:, 0]) / float(masses.masses.sum())
            place = np.array([middle, end.y, end.z])
            push = float(masses.masses.sum()) * GRAVITY
        else:
            return Forces.none()
        return Forces.points(place[None], np.array([[0.0, 0.0, push]]), span)

    def forces(self, case: LoadCase, surface: str) -> Forces:
        """Every force on one half of a surface: air, masses, ground, and what it holds."""
        owner = self.airframe.surface(surface)
        masses = self._masses[surface]
        total = masses.pulled(self.field(case, masses.places)) + self._ground(case, owner)
        _, in_air = self.in_air(case)
        for key, forces in in_air.items():
            if key == surface:
                total = total + forces
                continue
            at = self.holders.span_on(owner, key)
            if at is not None:
                at = min(at, owner.stations[-1].span * (1 - 1e-6))
                spans = np.full(len(forces.inner), at)
                total = total + Forces.points(forces.places, forces.forces, spans)
        return total

    def span_load(self, case: LoadCase, surface: str, *, axis: float) -> SpanLoad:
        """The load along the starboard (or only) half of a surface.

        axis: share of the chord that torque is taken about.

        Raises:
            ValueError: the axis does not lie within the chord.
        """
        owner = self.airframe.surface(surface)
        return span_load_of(owner, self.forces(case, surface), case=case.key, axis=axis)

    def own_weight(self, surface: str, *, axis: float) -> SpanLoad:
        """One half held at its root under its own weight and what hangs on it, no air."""
        owner, masses = self.airframe.surface(surface), self._masses[surface]
        field = np.tile([0.0, 0.0, -GRAVITY], (len(masses.masses), 1))
        return span_load_of(owner, masses.pulled(field), case="own-weight", axis=axis)
