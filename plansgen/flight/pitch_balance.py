"""The balance of moments with the pitch control held, when its surface works in other air.

Lift and moment come from the lattice on a grid of angles of attack. What the control's surface adds
to both is known apart (``flight.shares``), so it can be put into the propeller's wash or the wing's
wake without a new lattice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.flight.controls import ControlMode
from plansgen.flight.derivatives import scale_of
from plansgen.flight.lattice import Flow, Lattice, Point, Scale
from plansgen.flight.pitching import felt
from plansgen.flight.shares import Share, shares_of
from plansgen.flight.slender import body_moments

Array = NDArray[np.float64]

ANGLES = np.radians(np.arange(-8.0, 24.1, 8.0))
_FINE = np.radians(np.linspace(-8.0, 24.0, 129))
_LEVEL = (0.0, math.radians(8.0))  # between these the neutral point is taken
_STEP = 0.05  # rad of control; the lattice is all but linear in it

# A small plain tail with its elevator full over stalls at about this lift coefficient; thin plates
# at 60 000 give 0.7 to 0.8 without (estimate).
TAIL_LIFT_MAX = 1.0


@dataclass(frozen=True)
class Held:
    """States with the control held, along rising angles of attack.

    control: what the control itself adds to Cm, at each.
    """

    angles: Array
    lift: Array
    pitch: Array
    control: Array

    def at(self, lift: float) -> tuple[float, float, float]:
        """Angle of attack, Cm and the control's own part at a lift coefficient.

        Beyond the ends of the grid it is the end's.
        """
        rising = np.maximum.accumulate(self.lift)
        angle, pitch, control = (
            float(np.interp(lift, rising, row)) for row in (self.angles, self.pitch, self.control)
        )
        return angle, pitch, control


@dataclass(frozen=True)
class PitchBalance:
    """Lift and moment against angle of attack, and what the control and its surface add.

    own: the control's surface, when it is not a wing; nought for elevons. nose_up: +1 or −1. Rows
    are on the fine grid of angles; numbers ending in ``per`` are per radian of control.
    """

    mode: ControlMode
    surface: LiftingSurface
    share: float
    scale: Scale
    nose_up: float
    lift: Array
    pitch: Array
    own_lift: Array
    own_pitch: Array
    lift_per: Array
    pitch_per: Array
    own_lift_per: Array
    own_pitch_per: Array

    @property
    def angles(self) -> Array:
        """Angles of attack of the rows. [rad]"""
        return _FINE

    @property
    def on_wing(self) -> bool:
        """Whether the control is part of a wing, as elevons are."""
        return self.surface.role == "wing"

    def held(self, deflection: float, pressure: Array | float = 1.0) -> Held:
        """States with the control held.

        deflection: at the control, losses of a real flap taken off here. [rad] pressure: dynamic
        pressure at the control's surface over free air's, for each angle or all.
        """
        real = felt(deflection, share=self.share)
        lift, pitch = self._states(real, pressure)
        _, without = self._states(0.0, pressure)
        return Held(angles=_FINE, lift=lift, pitch=pitch, control=pitch - without)

    def _states(self, real: float, pressure: Array | float) -> tuple[Array, Array]:
        own_lift = self.own_lift + self.own_lift_per * real
        own_pitch = self.own_pitch + self.own_pitch_per * real
        if not self.on_wing:
            own_lift, own_pitch = self._stalled(own_lift, own_pitch)
        rest_lift = self.lift - self.own_lift + (self.lift_per - self.own_lift_per) * real
        rest_pitch = self.pitch - self.own_pitch + (self.pitch_per - self.own_pitch_per) * real
        return rest_lift + pressure * own_lift, rest_pitch + pressure * own_pitch

    def _stalled(self, lift: Array, pitch: Array) -> tuple[Array, Array]:
        """No more lift than the surface can give; the moment goes with it."""
        most = TAIL_LIFT_MAX * self.surface.planform.area / self.scale.area
        left = np.clip(lift, -most, most)
        lever = self.own_pitch_per / np.where(self.own_lift_per == 0.0, 1.0, self.own_lift_per)
        return left, pitch + (left - lift) * lever


def pitch_mode(airframe: Airframe, lattice: Lattice, point: Point) -> ControlMode | None:
    """The pitch control that turns the model most for its angle; None without one."""
    scale = scale_of(airframe.reference)
    modes = [mode for mode in lattice.modes if mode.motion == "pitch"]
    if not modes:
        return None

    def power(mode: ControlMode) -> float:
        flow = Flow(deflections={mode.name: _STEP})
        at_rest = lattice.coefficients(Flow(), point=point, scale=scale)[4]
        return abs(float(lattice.coefficients(flow, point=point, scale=scale)[4] - at_rest))

    return max(modes, key=power)


def _fine(values: Sequence[float]) -> Array:
    """Values on the fine grid, by the quartic through the five angles: all but parabolas."""
    quartic = np.polynomial.Polynomial.fit(ANGLES, values, len(ANGLES) - 1)
    return np.asarray(quartic(_FINE), dtype=float)


def neutral_point_aft(airframe: Airframe, *, lattice: Lattice, point: Point) -> float:
    """How far aft of a point the neutral point lies, bodies included, over the first 8°. [m]

    Raises:
        ValueError: the surfaces give no lift for angle of attack.
    """
    scale, body = scale_of(airframe.reference), _body_slope(airframe, lattice)
    (lift0, pitch0), (lift1, pitch1) = (
        _lift_and_pitch(lattice, Flow(alpha=alpha), point=point, scale=scale, body=body)
        for alpha in _LEVEL
    )
    if lift1 - lift0 < 1e-6:
        raise ValueError("the surfaces give no lift for angle of attack: there is no neutral point")
    return -(pitch1 - pitch0) / (lift1 - lift0) * scale.chord


def _body_slope(airframe: Airframe, lattice: Lattice) -> float:
    """Cm of the bodies per radian of angle of attack."""
    scale = scale_of(airframe.reference)
    bodies = body_moments(airframe.bodies, lattice=lattice, scale=scale)
    return sum(b.pitch for b in bodies) / (scale.area * scale.chord)


def _lift_and_pitch(
    lattice: Lattice, flow: Flow, *, point: Point, scale: Scale, body: float
) -> tuple[float, float]:
    values = lattice.coefficients(flow, point=point, scale=scale)
    lift = values[2] * math.cos(flow.alpha) - values[0] * math.sin(flow.alpha)
    return float(lift), float(values[4]) + body * flow.alpha


def pitch_balance(airframe: Airframe, *, lattice: Lattice, point: Point) -> PitchBalance | None:
    """Work the balance out. None without a pitch control.

    lattice: of all surfaces. point: the balance point. [m]

    Raises:
        ValueError: as from the lattice.
    """
    mode = pitch_mode(airframe, lattice, point)
    if mode is None:
        return None
    scale, surface = scale_of(airframe.reference), airframe.surface(mode.surface)
    body = _body_slope(airframe, lattice)
    on_wing = surface.role == "wing"

    def state(alpha: float, deflections: Mapping[str, float]) -> tuple[float, float, Share]:
        flow = Flow(alpha=alpha, deflections=deflections)
        lift, pitch = _lift_and_pitch(lattice, flow, point=point, scale=scale, body=body)
        return lift, pitch, shares_of(lattice, flow, point=point, scale=scale)[mode.surface]

    rows = [state(alpha, {}) for alpha in ANGLES.tolist()]
    moved = [
        [state(alpha, {mode.name: step}) for step in (_STEP, -_STEP)] for alpha in ANGLES.tolist()
    ]
    lift_per = _fine([(a[0] - b[0]) / (2 * _STEP) for a, b in moved])
    pitch_per = _fine([(a[1] - b[1]) / (2 * _STEP) for a, b in moved])
    own_per = [a[2].over(2 * _STEP, b[2]) for a, b in moved]
    share = next(c.chord_share for c in surface.controls if c.key == mode.control)
    none = [0.0] * len(rows)
    return PitchBalance(
        mode=mode,
        surface=surface,
        share=share,
        scale=scale,
        nose_up=math.copysign(1.0, pitch_per.mean()),
        lift=_fine([row[0] for row in rows]),
        pitch=_fine([row[1] for row in rows]),
        own_lift=_fine(none if on_wing else [row[2].lift for row in rows]),
        own_pitch=_fine(none if on_wing else [row[2].pitch for row in rows]),
        lift_per=lift_per,
        pitch_per=pitch_per,
        # an elevon's whole effect counts as its own: the wing beside it keeps its air
        own_lift_per=lift_per if on_wing else _fine([own.lift for own in own_per]),
        own_pitch_per=pitch_per if on_wing else _fine([own.pitch for own in own_per]),
    )
