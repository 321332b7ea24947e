"""Vortex lattice for any set of lifting surfaces together.

Every panel carries a horseshoe vortex on its quarter line and lets no flow through at its
three-quarter line (J. Katz & A. Plotkin, *Low-Speed Aerodynamics*; J. J. Bertin & M. L. Smith,
*Aerodynamics for Engineers*). All surfaces are solved together, so downwash, foreplane, biplane and
tandem interference come out of it. The wake is flat and runs along the body's x-axis.

The boundary condition is linear in angle of attack, sideslip, rates, built-in angles and controls,
so one factorisation with one right-hand side for each of them gives every flow and every
derivative. Forces are those of Kutta and Joukowski on each bound piece in the local flow, induced
velocity included, and on the legs along the chord in the onset flow. Induced drag is taken in the
Trefftz plane. Inviscid, attached, incompressible; angles up to about 15°.

A wash (a propeller's, or the slow air in a wake) is a field of extra velocity that some panels
meet. Each strip then works as if all the air around it were as fast; in a jet narrower than about
two chords a real strip gains less (C. Koning in W. F. Durand, *Aerodynamic Theory* IV (1935)).

Axes: x aft, y to starboard, z up. Moments are about the body's usual axes: roll starboard wing
down, pitch nose up, yaw nose to starboard are positive.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import LiftingSurface
from plansgen.flight.controls import ControlMode, control_modes, mode_angles
from plansgen.flight.influence import Filaments, filaments, induced
from plansgen.flight.loads import Loads, TrefftzPlane
from plansgen.flight.meeting import apart, joints_on, refuse_coincident
from plansgen.flight.panels import Sheet, Spacing, lay_panels

Array = NDArray[np.float64]
Point = tuple[float, float, float]
Wash = Callable[[Array], Array]  # points (P, 3) in m to unit velocities (P, 3)

ROWS = 5
STRIPS = 18
_MOST_PANELS = 4000  # 4000² influences take 128 MB each


@dataclass(frozen=True)
class Scale:
    """What coefficients are made dimensionless with. [m², m, m]"""

    area: float
    span: float
    chord: float

    def __post_init__(self) -> None:
        for name in ("area", "span", "chord"):
            if not getattr(self, name) > 0.0:
                raise ValueError(f"the reference {name} is {getattr(self, name):g}; it must be > 0")


@dataclass(frozen=True)
class Flow:
    """The state of flight. Angles and deflections in rad.

    beta: wind from starboard positive. p, q, r: rates of roll, pitch and yaw about the body's axes,
    over speed, as pb/2V, qc/2V and rb/2V. deflections: by name of control mode. washes: how many
    times its unit field each wash has, over speed.
    """

    alpha: float = 0.0
    beta: float = 0.0
    p: float = 0.0
    q: float = 0.0
    r: float = 0.0
    deflections: Mapping[str, float] = field(default_factory=dict)
    washes: Mapping[str, float] = field(default_factory=dict)


class Lattice:
    """A set of surfaces, panelled and solved once."""

    def __init__(
        self,
        surfaces: Sequence[LiftingSurface],
        *,
        rows: int = ROWS,
        strips: int = STRIPS,
        spacing: Spacing = "cosine",
        washes: Mapping[str, Wash] | None = None,
    ) -> None:
        """Lay panels, work out the influences and solve for every unit flow.

        rows: panels along each chord. strips: about how many along each half span; a surface
        shorter than the longest gets fewer, at least half as many. spacing: evenly spaced strips
        are for comparison with published lattices. washes: unit fields of extra velocity by name.

        Raises:
            ValueError: a surface has no area, two lie on each other, or there are too many panels.
        """
        self.modes: tuple[ControlMode, ...] = control_modes(surfaces)
        self.sheets: tuple[Sheet, ...] = _lay_all(
            surfaces, rows=rows, strips=strips, spacing=spacing
        )
        self._lines: Filaments = filaments(self.sheets)
        self._apart = apart(self.sheets)
        self._owner = np.repeat(
            np.arange(len(self.sheets)), [s.rows * s.strips for s in self.sheets]
        )
        self._normals = np.vstack([np.tile(s.normals, (s.rows, 1)) for s in self.sheets])
        self._angles = np.stack(
            [np.concatenate([s.built_in.ravel() for s in self.sheets])]
            + [mode_angles(self.sheets, surfaces, mode) for mode in self.modes]
        )
        self._washes: dict[str, Wash] = dict(washes or {})
        self.trefftz = TrefftzPlane(self.sheets, self._apart)
        self._solve_units()

    def _solve_units(self) -> None:
        """Circulations for each unit flow and the velocities they induce on the bound pieces."""
        controls = np.vstack([s.controls.reshape(-1, 3) for s in self.sheets])
        widths = np.concatenate([np.tile(s.widths, s.rows) for s in self.sheets])
        eyes = (self._apart[self._owner], widths)
        (matrix,) = induced(self._lines, controls, self._normals[None], *eyes)
        normal = self._normals
        spin = -np.cross(np.eye(3)[:, None, :], controls[None, :, :])  # -Ω × r for each unit Ω
        tilts = self._angles
        sides = [-normal[:, 1], -normal[:, 2]]
        sides += [-(turn * normal).sum(axis=1) for turn in spin]
        sides += list(-tilts)
        sides += list(-tilts * spin[1, :, 0]) + list(-tilts * spin[2, :, 0])
        for wash in self._washes.values():
            extra = np.asarray(wash(controls), dtype=float)
            sides += [-(extra * normal).sum(axis=1), *(-tilts * extra[:, 0])]
        self._units: Array = np.asarray(np.linalg.solve(matrix, np.stack(sides, axis=1)))
        start, end = self._lines.bound
        self._middles = (start + end) / 2
        self._leg_middles = (self._lines.legs[0] + self._lines.legs[1]) / 2
        quarters = [s.mid_edges[:, :3] + s.mid_edges[:, 3:] * [0.25, 0.0, 0.0] for s in self.sheets]
        self._wash_at = {
            place: [np.asarray(wash(points), dtype=float) for wash in self._washes.values()]
            for place, points in (
                ("bound", self._middles),
                ("legs", self._leg_middles),
                ("strips", np.vstack(quarters)),
            )
        }
        axes = np.broadcast_to(np.eye(3)[:, None, :], (3, len(start), 3))
        self._induced = np.stack(
            [part @ self._units for part in induced(self._lines, self._middles, axes, *eyes)]
        )

    def _weights(self, flow: Flow, onset: Array, spin: Array) -> Array:
        """How much of each unit flow a state holds."""
        _refuse_unknown("control mode", flow.deflections, [mode.name for mode in self.modes])
        _refuse_unknown("wash", flow.washes, list(self._washes))
        tilts = np.array([1.0, *(flow.deflections.get(mode.name, 0.0) for mode in self.modes)])
        parts = [onset[1:], spin, onset[0] * tilts, spin[1] * tilts, spin[2] * tilts]
        for name in self._washes:
            parts.append(flow.washes.get(name, 0.0) * np.append(1.0, tilts))
        return np.concatenate(parts)

    def _wash(self, flow: Flow, place: str) -> Array:
        """Extra velocity of all washes at the bound pieces, the legs or the strips."""
        total = np.zeros(3)
        for name, unit in zip(self._washes, self._wash_at[place], strict=True):
            total = total + flow.washes.get(name, 0.0) * unit
        return total

    def _motion(self, flow: Flow, point: Point, scale: Scale) -> tuple[Array, Array]:
        """Onset velocity at the axes' origin, over speed, and angular velocity, over speed."""
        values = [flow.alpha, flow.beta, flow.p, flow.q, flow.r, *point]
        values += [*flow.deflections.values(), *flow.washes.values()]
        if not np.isfinite(values).all():
            raise ValueError("the state of flight holds something that is not a number")
        wind = np.array(
            [
                np.cos(flow.alpha) * np.cos(flow.beta),
                -np.sin(flow.beta),
                np.sin(flow.alpha) * np.cos(flow.beta),
            ]
        )
        spin = np.array(
            [-2 * flow.p / scale.span, 2 * flow.q / scale.chord, -2 * flow.r / scale.span]
        )
        return wind + np.cross(spin, point), spin

    def circulations(self, flow: Flow, *, point: Point, scale: Scale) -> Array:
        """Circulation of every panel over speed, by sheet, row, strip. [m]"""
        onset, spin = self._motion(flow, point, scale)
        return np.asarray(self._units @ self._weights(flow, onset, spin))

    def coefficients(self, flow: Flow, *, point: Point, scale: Scale) -> Array:
        """Force and moment coefficients in the body's x, y, z, and induced drag: seven numbers.

        Fx, Fy, Fz over ½ρV²S, then roll over ½ρV²Sb, pitch over ½ρV²Sc, yaw over ½ρV²Sb about
        ``point``, then CDi.
        """
        onset, spin = self._motion(flow, point, scale)
        weights = self._weights(flow, onset, spin)
        circulation = self._units @ weights
        force = self._on_bound(flow, onset, spin, weights)
        legs = self._leg_circulations(circulation)
        leg_start, leg_end = self._lines.legs
        along = (leg_end - leg_start) * legs[:, None]
        leg_velocity = onset - np.cross(spin, self._leg_middles) + self._wash(flow, "legs")
        leg_force = np.cross(leg_velocity, along)
        total = force.sum(axis=0) + leg_force.sum(axis=0)
        moment = np.cross(self._middles - point, force).sum(axis=0)
        moment += np.cross(self._leg_middles - point, leg_force).sum(axis=0)
        moment *= np.array([-1.0, 1.0, -1.0]) / [scale.span, scale.chord, scale.span]
        drag = self.trefftz.drag(self._strip_totals(circulation))
        return np.asarray(np.concatenate([total, moment, [drag]]) * 2 / scale.area)

    def _on_bound(self, flow: Flow, onset: Array, spin: Array, weights: Array) -> Array:
        """Force on every bound piece over ρV², in the body's axes. [m²]"""
        circulation = self._units @ weights
        start, end = self._lines.bound
        velocity = onset - np.cross(spin, self._middles) + (self._induced @ weights).T
        velocity = velocity + self._wash(flow, "bound")
        return np.cross(velocity, (end - start) * circulation[:, None])

    def bound_forces(self, flow: Flow, *, point: Point, scale: Scale) -> tuple[Array, Array]:
        """Where the air acts on each panel, and with what force over ½ρV²: two (panels, 3). [m, m²]

        In the body's axes, panels by sheet, row, strip; pieces along the chord are left out.
        """
        onset, spin = self._motion(flow, point, scale)
        weights = self._weights(flow, onset, spin)
        return self._middles, 2 * self._on_bound(flow, onset, spin, weights)

    def _by_sheet(self, panels: Array) -> list[Array]:
        counts = np.cumsum([s.rows * s.strips for s in self.sheets])[:-1]
        return [
            part.reshape(sheet.rows, sheet.strips)
            for part, sheet in zip(np.split(panels, counts), self.sheets, strict=True)
        ]

    def _leg_circulations(self, circulation: Array) -> Array:
        """Circulation along +x of each leg piece: what the rows ahead shed there."""
        parts = []
        for grid in self._by_sheet(circulation):
            gathered = np.cumsum(grid, axis=0)
            shed = np.pad(gathered, ((0, 0), (1, 0))) - np.pad(gathered, ((0, 0), (0, 1)))
            parts.append(shed.ravel())
        return np.concatenate(parts)

    def _strip_totals(self, circulation: Array) -> Array:
        return np.concatenate([grid.sum(axis=0) for grid in self._by_sheet(circulation)])

    def solve(self, flow: Flow, *, point: Point, scale: Scale) -> Loads:
        """Loads in one state of flight.

        point: where moments are taken, in the body frame. [m] scale: reference area and lengths.

        Raises:
            ValueError: an unknown control mode, or something that is not a number.
        """
        values = self.coefficients(flow, point=point, scale=scale)
        circulation = self.circulations(flow, point=point, scale=scale)
        totals = self._strip_totals(circulation)
        faster = 1.0 + (self._wash(flow, "strips") + np.zeros((len(totals), 3)))[:, 0]
        strips = self.trefftz.strips(totals, faster)
        return Loads.of(values, alpha=flow.alpha, beta=flow.beta, strips=strips)

    def velocities(
        self, points: Array, flows: Sequence[Flow], *, point: Point, scale: Scale
    ) -> Array:
        """Velocity that the surfaces induce at points in several flows, over speed. (F, P, 3)

        points: (P, 3) in the body frame. [m] Every vortex has its full core there.
        """
        places = np.asarray(points, dtype=float)
        axes = np.broadcast_to(np.eye(3)[:, None, :], (3, len(places), 3))
        everywhere = np.ones((len(places), len(self.sheets)))
        influences = induced(self._lines, places, axes, everywhere, np.zeros(len(places)))
        circulations = [self.circulations(flow, point=point, scale=scale) for flow in flows]
        return np.stack(
            [np.stack([part @ one for part in influences], axis=1) for one in circulations]
        )


def _refuse_unknown(what: str, given: Iterable[str], known: Sequence[str]) -> None:
    unknown = sorted(set(given) - set(known))
    if unknown:
        raise ValueError(f"no {what} '{unknown[0]}'; there are: {', '.join(sorted(known)) or '-'}")


def _lay_all(
    surfaces: Sequence[LiftingSurface], *, rows: int, strips: int, spacing: Spacing
) -> tuple[Sheet, ...]:
    if not surfaces:
        raise ValueError("there is no lifting surface")
    if rows < 1 or strips < 1:
        raise ValueError("rows and strips must be 1 or more")
    longest = max(surface.stations[-1].span for surface in surfaces)
    sheets: list[Sheet] = []
    for surface in surfaces:
        share = max(0.5, surface.stations[-1].span / longest) if longest > 0.0 else 1.0
        joints = joints_on(surface, [other for other in surfaces if other is not surface])
        sheets += lay_panels(
            surface,
            rows=rows,
            strips=max(1, round(strips * share)),
            joints=joints,
            spacing=spacing,
        )
    count = sum(sheet.rows * sheet.strips for sheet in sheets)
    if count > _MOST_PANELS:
        raise ValueError(f"{count} panels are more than the {_MOST_PANELS} that are allowed")
    refuse_coincident(sheets)
    return tuple(sheets)
