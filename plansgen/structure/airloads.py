"""What the air does to each surface in a load case: the lattice's forces and the profile drag.

The pitch control is trimmed, then the angle of attack gives the case's lift. Forces are those on
the bound vortices, row by row, so they lie where the section's camber and flap put them and torsion
comes out of it; at a high angle they lean forward as lift does. Pieces along the chord are left out
(they push inwards and outwards only). Profile drag acts at the quarter chord, along the wind.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.atmosphere import GRAVITY
from plansgen.balance.centre import MassState
from plansgen.flight.derivatives import scale_of
from plansgen.flight.lattice import Flow, Lattice
from plansgen.flight.panels import Sheet
from plansgen.flight.polars import StripPolars, strip_polars
from plansgen.flight.result import FlightResult
from plansgen.structure.along import Forces
from plansgen.structure.cases import LoadCase

Array = NDArray[np.float64]

ROWS, STRIPS = 4, 16  # enough for loads; a coarser lattice is quicker to solve
_ROUNDS = 30
_CLOSE = 1e-6
_LEAST_SAY = 1e-6
_FURTHEST = 0.7  # rad; no control is turned further to trim


@dataclass(frozen=True)
class _Half:
    """Panels of the starboard (or only) half of a surface.

    panels: indices (rows, strips). inner, outer: of each strip. along: (rows, strips, 3).
    """

    panels: NDArray[np.intp]
    inner: Array
    outer: Array
    along: Array
    quarter: Array
    quarter_along: Array
    chord: Array
    width: Array
    polars: StripPolars

    @classmethod
    def of(
        cls, surface: LiftingSurface, sheet: Sheet, first: int, *, side: float = 1.0
    ) -> _Half | None:
        """None when the sheet is of the other half alone.

        first: index of the sheet's first panel. side: 1 starboard; -1 port, whose inner and outer
        are counted from the tip.
        """
        mid = sheet.mid_edges
        keep = np.ones(sheet.strips, dtype=bool)
        if surface.mirrored:
            keep = (mid[:, 1] * side > 0.0) & (sheet.mid_span * side > 0.0)
        if not keep.any():
            return None
        width = sheet.widths[keep]
        ends = np.append(0.0, np.cumsum(width))
        nodes = sheet.nodes[:-1]
        along = np.diff(nodes, axis=1)[:, keep] / width[None, :, None]
        edges = sheet.edges[:, :3] + sheet.edges[:, 3:] * [0.25, 0.0, 0.0]
        panels = first + np.arange(sheet.rows * sheet.strips).reshape(sheet.rows, sheet.strips)
        return cls(
            panels=panels[:, keep],
            inner=ends[:-1],
            outer=ends[1:],
            along=along,
            quarter=((edges[:-1] + edges[1:]) / 2)[keep],
            quarter_along=np.diff(edges, axis=0)[keep] / width[:, None],
            chord=mid[keep, 3],
            width=width,
            polars=strip_polars([(surface.stations, s) for s in sheet.mid_span[keep].tolist()]),
        )


class AirLoads:
    """One model's lattice, solved once, asked for forces in any case."""

    def __init__(
        self,
        airframe: Airframe,
        flight: FlightResult,
        state: MassState,
        *,
        rows: int = ROWS,
        strips: int = STRIPS,
    ) -> None:
        """Solve the lattice. state: as it usually flies."""
        self.airframe, self.flight, self.state = airframe, flight, state
        self.lattice = Lattice(airframe.surfaces, rows=rows, strips=strips)
        self.scale = scale_of(airframe.reference)
        self.point = (state.x, 0.0, state.z)
        bodies = sum(body.pitch for body in flight.derivatives.bodies)
        self._body = bodies / (self.scale.area * self.scale.chord)
        self._halves = self._lay_halves(1.0)
        self._flows: dict[tuple[float, float, float | None], Flow] = {}

    def _lay_halves(self, side: float) -> Mapping[str, _Half]:
        found, first = {}, 0
        for sheet in self.lattice.sheets:
            half = _Half.of(self.airframe.surface(sheet.surface), sheet, first, side=side)
            if half is not None:
                found[sheet.surface] = half
            first += sheet.rows * sheet.strips
        return found

    def pressure(self, speed: float) -> float:
        """Dynamic pressure. [Pa]"""
        return self.flight.air.dynamic_pressure(speed)

    def _lift_and_pitch(self, alpha: float, deflection: float) -> tuple[float, float]:
        name = self.flight.trim.control
        flow = Flow(alpha=alpha, deflections={name: deflection} if name else {})
        values = self.lattice.coefficients(flow, point=self.point, scale=self.scale)
        lift = values[2] * math.cos(alpha) - values[0] * math.sin(alpha)
        return float(lift), float(values[4]) + self._body * alpha

    def _solve(self, lift: float, held: float | None) -> tuple[float, float]:
        """Angle of attack and pitch control for a lift coefficient.

        held: the control; None to trim with it. A control that would have to turn too far stays
        at the furthest.
        """
        slopes, name = self.flight.derivatives, self.flight.trim.control
        free = held is None and name is not None
        turn = slopes.control(name) if name else None
        alpha, deflection = 0.0, held or 0.0
        for _ in range(_ROUNDS):
            now, pitch = self._lift_and_pitch(alpha, deflection)
            short = np.array([lift - now, -pitch if free else 0.0])
            if float(np.abs(short).max()) < _CLOSE:
                break
            if not free or turn is None:
                alpha += float(short[0]) / slopes.alpha.lift
                continue
            matrix = np.array([[slopes.alpha.lift, turn.lift], [slopes.alpha.pitch, turn.pitch]])
            if abs(float(np.linalg.det(matrix))) < _LEAST_SAY:
                return self._solve(lift, deflection)  # lift and control pitch it the same way
            step = np.linalg.solve(matrix, short)
            alpha, deflection = alpha + float(step[0]), deflection + float(step[1])
            if abs(deflection) > _FURTHEST:
                return self._solve(lift, math.copysign(_FURTHEST, deflection))
        return alpha, deflection

    def flow(self, case: LoadCase) -> Flow:
        """The state of flight in a case."""
        name = self.flight.trim.control
        weight = self.state.mass * GRAVITY
        lift = weight / (self.pressure(case.speed) * self.scale.area)
        key = (case.load_factor, case.speed, case.controls_at)
        if key not in self._flows:
            held = None
            if case.controls_at is not None:
                held = self._solve(lift * case.controls_at, None)[1]
            alpha, deflection = self._solve(lift * case.load_factor, held)
            self._flows[key] = Flow(alpha=alpha, deflections={name: deflection} if name else {})
        steady = self._flows[key]
        thrown = {**steady.deflections, **case.deflections}
        return replace(steady, beta=case.sideslip, deflections=thrown)

    def load_factor(self, case: LoadCase) -> float:
        """Lift over weight. A control thrown over adds its lift to the case's at once."""
        if not case.deflections:
            return case.load_factor
        flow = self.flow(case)
        values = self.lattice.coefficients(flow, point=self.point, scale=self.scale)
        lift = float(values[2]) * math.cos(flow.alpha) - float(values[0]) * math.sin(flow.alpha)
        push = lift * self.pressure(case.speed) * self.scale.area
        return push / (self.state.mass * GRAVITY)

    def on_halves(self, case: LoadCase, *, port: bool = False) -> tuple[Flow, Mapping[str, Forces]]:
        """The state of flight and the forces on every surface's starboard (or only) half.

        port: on the port halves instead, with spans that mean nothing.
        """
        flow = self.flow(case)
        places, areas = self.lattice.bound_forces(flow, point=self.point, scale=self.scale)
        forces = areas * self.pressure(case.speed)
        wind = np.array(
            [
                math.cos(flow.alpha) * math.cos(flow.beta),
                -math.sin(flow.beta),
                math.sin(flow.alpha) * math.cos(flow.beta),
            ]
        )
        halves = self._lay_halves(-1.0) if port else self._halves
        return flow, {
            key: self._forces(half, places, forces, wind, case.speed)
            for key, half in halves.items()
        }

    def _forces(
        self, half: _Half, places: Array, forces: Array, wind: Array, speed: float
    ) -> Forces:
        rows = len(half.panels)
        own = forces[half.panels]
        pressure = self.pressure(speed)
        total = own.sum(axis=0)
        lift = np.linalg.norm(total - (total @ wind)[:, None] * wind, axis=1)
        lift *= np.where(total[:, 2] < 0.0, -1.0, 1.0)
        area = half.chord * half.width
        reynolds = speed * half.chord / self.flight.air.kinematic_viscosity
        drag = half.polars.drag(lift / (pressure * area), reynolds) * pressure * area
        return Forces(
            places=places[half.panels].reshape(-1, 3),
            forces=own.reshape(-1, 3),
            inner=np.tile(half.inner, rows),
            outer=np.tile(half.outer, rows),
            along=half.along.reshape(-1, 3),
        ) + Forces(half.quarter, drag[:, None] * wind, half.inner, half.outer, half.quarter_along)
