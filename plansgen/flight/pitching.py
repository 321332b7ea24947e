"""The model in steady straight flight as a function of angle of attack and pitch control.

Trim, stall, speeds and limits of balance all ask the same few things: lift, moment and the load on
each strip at an angle of attack, with the control held or trimmed. They are worked out once on a
grid of angles and read by cubics between.

Forces come from the lattice: linear sections, attached flow. Two losses of real flight can be put
in. A tail in slow air (a wing's wake) gives less by its dynamic-pressure ratio: its own load counts
so many times, at the strips' quarter chords, and what that changes at the wing is left out. And a
real flap turns the flow less than theory's: see ``felt``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.flight.controls import ControlMode
from plansgen.flight.derivatives import scale_of
from plansgen.flight.lattice import Flow, Lattice, Point, Scale
from plansgen.flight.polars import StripPolars, strip_polars
from plansgen.flight.slender import body_moments
from plansgen.flight.thin_airfoil import thin_flap

Array = NDArray[np.float64]

ALPHAS = np.radians(np.arange(-12.0, 28.1, 4.0))
TRAVEL = math.radians(20.0)  # estimate
LEVEL_ROLES = ("wing", "canard", "tailplane", "vee-tail")
_FLAP_FULL, _FLAP_END = math.radians(15.0), math.radians(30.0)
_FLAP_GOOD, _FLAP_POOR = 0.85, 0.5
_LEAST_POWER = 0.01  # Cm a radian below which a control counts as none
_LEAST_RISE = 1e-3  # of CL over 4° of angle
_FURTHEST = 1.0  # rad; no flap does more than its 25th degree anyway
_HELD = 0.5  # share of a flap's lift by which the strip's greatest lift moves


def felt(deflection: float, *, share: float = 0.3) -> float:
    """Deflection that theory would need for what a real plain flap does. [rad]

    Real flaps give 0.75 to 0.9 of theory below 15° and about half at 30° (from memory); here 0.85
    up to 15°, then straight down to 0.5, which makes about 25° the most that is worth having. A
    surface that turns as a whole (share 1) loses nothing.
    """
    if share >= 1.0:
        return deflection
    size = abs(deflection)
    drop = (_FLAP_GOOD - _FLAP_POOR) / (_FLAP_END - _FLAP_FULL)
    best = (_FLAP_GOOD + drop * _FLAP_FULL) / (2 * drop)
    size = min(size, best)
    gain = _FLAP_GOOD - drop * max(0.0, size - _FLAP_FULL)
    return math.copysign(size * gain, deflection)


def needed(theory: float, *, share: float = 0.3) -> float | None:
    """Deflection at which a real flap does what theory asks; None when none does. [rad]"""
    if share >= 1.0:
        return theory
    size = abs(theory)
    if size <= _FLAP_GOOD * _FLAP_FULL:
        return theory / _FLAP_GOOD
    drop = (_FLAP_GOOD - _FLAP_POOR) / (_FLAP_END - _FLAP_FULL)
    top = _FLAP_GOOD + drop * _FLAP_FULL
    root = top**2 - 4 * drop * size
    if root < 0.0:
        return None
    return math.copysign((top - math.sqrt(root)) / (2 * drop), theory)


@dataclass(frozen=True)
class Strips:
    """Where the strips are; arrays of one number a strip. [m]

    normal: upward part of each strip's own direction of lift. inside: the strip only carries the
    load through a body. reached: lift by which a radian of pitch control moves the strip's own
    section, from thin-airfoil theory. small: too narrow to say where a stall begins.
    """

    surfaces: tuple[str, ...]
    span: Array
    x: Array
    y: Array
    chord: Array
    width: Array
    normal: Array
    reached: Array
    inside: NDArray[np.bool_]
    small: NDArray[np.bool_]

    @property
    def area(self) -> Array:
        """Area of each strip, none where a body carries the load through. [m²]"""
        return np.where(self.inside, 0.0, self.chord * self.width)

    def of(self, surfaces: Sequence[LiftingSurface], *roles: str) -> NDArray[np.bool_]:
        """Which strips belong to surfaces of those roles."""
        keys = {surface.key for surface in surfaces if surface.role in roles}
        return np.array([key in keys for key in self.surfaces])


@dataclass(frozen=True)
class Line:
    """States along a line of rising angle of attack: one row each.

    angles: of attack. deflections: of the pitch control as theory has it. [rad] lifts: CL. normal:
    force up the body's z-axis over ½ρV²S. pitches: Cm about the model's point. induced: CDi.
    strips: lift coefficient (states, strips). speeds: air at each strip over flying speed.
    """

    angles: Array
    deflections: Array
    lifts: Array
    normals: Array
    pitches: Array
    induced: Array
    strips: Array
    speeds: Array

    def at(self, values: Array, lift: Array | float) -> Array:
        """Values where the line has that lift coefficient; nan beyond its ends.

        values: one row a state. The lift rises along the line; between states cubics are laid.
        """
        wanted = np.asarray(lift, dtype=float)
        lifts, slopes = self.lifts, np.gradient(values, self.lifts, axis=0, edge_order=2)
        index = np.clip(np.searchsorted(lifts, wanted) - 1, 0, len(lifts) - 2)
        width = lifts[index + 1] - lifts[index]
        t = (wanted - lifts[index]) / width
        beyond = (t < -1e-9) | (t > 1 + 1e-9)
        more = (...,) + (None,) * (values.ndim - 1)
        t, width = t[more], width[more]
        found = (
            values[index] * (1 + 2 * t) * (1 - t) ** 2
            + values[index + 1] * t**2 * (3 - 2 * t)
            + width * t * (1 - t) * (slopes[index] * (1 - t) - slopes[index + 1] * t)
        )
        return np.where(beyond[more], np.nan, found)


@dataclass(frozen=True)
class _State:
    """One row of a line."""

    lift: float
    normal: float
    pitch: float
    induced: float
    strips: Array
    speeds: Array


class PitchModel:
    """A model balanced at a point, with its pitch control."""

    def __init__(
        self,
        airframe: Airframe,
        *,
        lattice: Lattice,
        point: Point,
        flow: Flow | None = None,
        pressures: Mapping[str, float] | None = None,
    ) -> None:
        """Take the pitch control that does most, and the bodies' moments.

        lattice: of these surfaces. point: the balance point. [m] flow: other controls and washes
        that are held. pressures: dynamic pressure at a surface over that of flight, by its key; 1
        where left out.

        Raises:
            ValueError: a pressure for a surface that is not there, or one below 0.
        """
        unknown = sorted(set(pressures or {}) - {s.key for s in airframe.surfaces})
        if unknown:
            raise ValueError(f"no surface '{unknown[0]}' to give a dynamic pressure to")
        if any(not value >= 0.0 for value in (pressures or {}).values()):
            raise ValueError("a dynamic-pressure ratio must be 0 or more")
        self.airframe = airframe
        self.lattice = lattice
        self.point = point
        self.flow = flow or Flow()
        self.pressures = dict(pressures or {})
        self.scale: Scale = scale_of(airframe.reference)
        bodies = body_moments(airframe.bodies, lattice=lattice, scale=self.scale)
        self._body = sum(b.pitch for b in bodies) / (self.scale.area * self.scale.chord)
        self.mode: ControlMode | None = self._strongest()

    def _strongest(self) -> ControlMode | None:
        """The pitch control that turns the model most for its angle."""

        def power(mode: ControlMode) -> float:
            return abs(self._force(0.0, {mode.name: 0.01})[1] - self._force(0.0, {})[1])

        modes = [mode for mode in self.lattice.modes if mode.motion == "pitch"]
        return max(modes, key=power) if modes else None

    @property
    def control_share(self) -> float:
        """The pitch control's share of the chord; 1 without one."""
        if self.mode is None:
            return 1.0
        controls = self.airframe.surface(self.mode.surface).controls
        return next(c.chord_share for c in controls if c.key == self.mode.control)

    @cached_property
    def nose_up(self) -> float:
        """+1 or −1: sign of the deflection that lifts the nose."""
        if self.mode is None:
            return -1.0
        step = self._force(0.0, {self.mode.name: 0.01})[1] - self._force(0.0, {})[1]
        return 1.0 if step > 0.0 else -1.0

    def _force(self, alpha: float, deflections: Mapping[str, float]) -> tuple[Array, float]:
        """Forces in the body's axes and Cm about the point, lattice alone."""
        flow = replace(self.flow, alpha=alpha, deflections={**self.flow.deflections, **deflections})
        values = self.lattice.coefficients(flow, point=self.point, scale=self.scale)
        return values, float(values[4])

    def _held(self, deflection: float) -> dict[str, float]:
        return {self.mode.name: deflection} if self.mode and deflection else {}

    @cached_property
    def strips(self) -> Strips:
        """Where the strips are."""
        sheets = self.lattice.sheets
        names = tuple(sheet.surface for sheet in sheets for _ in range(sheet.strips))
        mid = np.vstack([sheet.mid_edges for sheet in sheets])
        span = np.concatenate([sheet.mid_span for sheet in sheets])
        return Strips(
            surfaces=names,
            span=span,
            x=mid[:, 0],
            y=mid[:, 1],
            chord=mid[:, 3],
            width=np.concatenate([sheet.widths for sheet in sheets]),
            normal=np.vstack([sheet.normals for sheet in sheets])[:, 2],
            reached=self._reached(names, span),
            inside=span == 0.0,
            small=mid[:, 3] < 0.05 * self.scale.chord,
        )

    def _reached(self, names: Sequence[str], span: Array) -> Array:
        if self.mode is None:
            return np.zeros(len(names))
        mode = self.mode
        control = next(
            c for c in self.airframe.surface(mode.surface).controls if c.key == mode.control
        )
        covered = (np.abs(span) > control.inboard) & (np.abs(span) < control.outboard)
        own = np.array([name == mode.surface for name in names])
        return np.where(own & covered, thin_flap(control.chord_share).lift, 0.0)

    @cached_property
    def polars(self) -> StripPolars:
        """Sections of the strips."""
        stations = {s.key: s.stations for s in self.airframe.surfaces}
        places = zip(self.strips.surfaces, self.strips.span.tolist(), strict=True)
        return strip_polars([(stations[name], span) for name, span in places])

    @cached_property
    def _pressure(self) -> Array:
        """Dynamic pressure at each strip over that of flight."""
        return np.array([self.pressures.get(name, 1.0) for name in self.strips.surfaces])

    def _state(self, alpha: float, deflection: float) -> _State:
        """One state: forces, moment, and the load on each strip."""
        held = {**self.flow.deflections, **self._held(deflection)}
        flow = replace(self.flow, alpha=alpha, deflections=held)
        loads = self.lattice.solve(flow, point=self.point, scale=self.scale)
        strips = np.array([strip.lift for strip in loads.strips])
        up, turn = self._short(strips)
        cos, sin = math.cos(alpha), math.sin(alpha)
        return _State(
            lift=loads.lift + up * cos,
            normal=loads.lift * cos + loads.near_field_drag * sin + up,
            pitch=loads.pitch + self._body * alpha + turn,
            induced=loads.induced_drag,
            strips=strips,
            speeds=np.array([strip.speed for strip in loads.strips]),
        )

    def _moment(self, alpha: float, deflection: float) -> float:
        """Cm alone, which is quicker while no air is slow."""
        if self.pressures:
            return self._state(alpha, deflection).pitch
        return self._force(alpha, self._held(deflection))[1] + self._body * alpha

    def _short(self, lift: Array) -> tuple[float, float]:
        """What slow air takes off the normal force and adds to Cm."""
        strips = self.strips
        extra = (self._pressure - 1.0) * lift * strips.chord * strips.width * strips.normal
        arm = strips.x + strips.chord / 4 - self.point[0]
        area = self.scale.area
        return float(extra.sum()) / area, -float(extra @ arm) / (area * self.scale.chord)

    def _trims(self) -> list[float]:
        """Deflections without pitching moment: the moment is all but linear in them.

        Each angle starts from the one before, and one step with the slope at no deflection leaves
        a moment of some 1e-4. Where a radian is not enough the moment is left.

        Raises:
            ValueError: the control does not turn the model.
        """
        slope = (self._moment(0.0, 0.1) - self._moment(0.0, -0.1)) / 0.2
        if abs(slope) < _LEAST_POWER:
            raise ValueError("the pitch control does not turn the model")
        found: list[float] = []
        for alpha in ALPHAS.tolist():
            guess = 2 * found[-1] - found[-2] if len(found) > 1 else 0.0
            for _ in range(1 if len(found) > 1 else 3):
                guess -= self._moment(alpha, guess) / slope
                guess = min(max(guess, -_FURTHEST), _FURTHEST)
            found.append(guess)
        return found

    def line(self, deflection: float | None = None) -> Line:
        """States from −12° to 28°, with the control held, or trimmed when left out.

        deflection: as theory has it (see ``felt``). [rad]

        Raises:
            ValueError: there is nothing to trim with, or the lift does not rise along the line.
        """
        if deflection is None and self.mode is None:
            raise ValueError("without a pitch control there is nothing to trim with")
        held = self._trims() if deflection is None else [deflection] * len(ALPHAS)
        rows = [self._state(a, d) for a, d in zip(ALPHAS.tolist(), held, strict=True)]
        if any(two.lift - one.lift < _LEAST_RISE for one, two in pairwise(rows)):
            raise ValueError("the lift does not rise with the angle of attack")
        return Line(
            angles=ALPHAS,
            deflections=np.array(held),
            lifts=np.array([row.lift for row in rows]),
            normals=np.array([row.normal for row in rows]),
            pitches=np.array([row.pitch for row in rows]),
            induced=np.array([row.induced for row in rows]),
            strips=np.array([row.strips for row in rows]),
            speeds=np.array([row.speeds for row in rows]),
        )

    @cached_property
    def trimmed_line(self) -> Line:
        """The line with the control trimmed, or held at nothing where there is none."""
        return self.line(None if self.mode else 0.0)

    def shifted(self, deflections: Array) -> Array:
        """By how much the control moves the strips' greatest and least lift, (states, strips).

        Half of the lift that the flap itself adds to its strip (estimate: plain flaps give about
        half as much more greatest lift as they give lift).
        """
        return np.asarray(_HELD * deflections[:, None] * self.strips.reached[None, :])
