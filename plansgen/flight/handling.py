"""A model asked for its controls at any speed and thrust: what they give, in the air they get.

Elevator: the moments of wing, tail, bodies and thrust about the balance point are added up at the
angle of attack that carries the model at that speed, with the tail in the wing's wake and in the
propeller's wash. Ailerons: the helix angle pb/2V of a steady roll, the control's moment against the
damping. Rudder: the sideslip at which weathercocking stops it. Source: Perkins & Hage, *Airplane
Performance, Stability and Control*; R. C. Nelson, *Flight Stability and Automatic Control*.

The gain of the wash and the loss of the wake are added up; what the wash does to the wing's own
lift, and what a stalled wing's wake does beside slowing the air, are left out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.atmosphere import GRAVITY
from plansgen.balance.centre import MassState
from plansgen.drive.result import DriveResult, thrust_at
from plansgen.flight.controls import ControlMode, Motion
from plansgen.flight.derivatives import Derivatives, derivatives_of, scale_of
from plansgen.flight.lattice import Flow, Lattice, Point
from plansgen.flight.pitch_balance import neutral_point_aft, pitch_balance
from plansgen.flight.pitching import TRAVEL, felt
from plansgen.flight.shares import shares_of
from plansgen.flight.slipstream import discs_of, running_discs, wash_over
from plansgen.flight.thrust_line import mean_height
from plansgen.flight.wake import near_stall, tail_wakes
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

THRUST_TO_WEIGHT = 0.6  # standing still; usual for sport models (estimate)
# Thrust falls in a straight line with speed and would be gone at this many top speeds: there it
# is then a fifth of the static thrust, the drag of a sport model with L/D about 8 (estimate).
PITCH_SPEED = 1.25
PROFILE_DRAG = 0.025  # of a small folded or plate wing near its best lift (estimate)
JUST_ABOVE = 1.1  # stall speeds: where readings are taken

_LEAST_PRESSURE = 0.1
_STEPS = 61  # speeds searched for the end of the elevator
_SLOPE_STEP = 1e-3  # rad
_MOST_SLIP = math.radians(30.0)  # no fin follows further
_WAKE_ANGLES = np.radians(np.arange(-8.0, 24.1, 2.0))

Reach = Literal["to the stall", "not so far", "never"]


@dataclass(frozen=True)
class NoseLimit:
    """How far down full up-elevator lifts the nose. speed: where it ends, None otherwise."""

    reach: Reach
    speed: Annotated[
        float | None, Quantity("m/s", "Elevator holds the nose down to", "flight-nose-limit")
    ]


@dataclass(frozen=True)
class Elevator:
    """Full up-elevator at one speed, as Cm about the balance point.

    moment: what is left of all, nose up. own: the elevator's part of it; clear: its part in clear
    air. pressure: dynamic pressure at its surface over free air's.
    """

    moment: float
    own: float
    clear: float
    pressure: float

    @property
    def left(self) -> float:
        """Moment left over what the elevator gives in clear air; −1 where it gives nothing."""
        return self.moment / self.clear if self.clear > 0.0 else -1.0


class Handling:
    """A model with its controls, solved once, to be asked at any speed and thrust."""

    def __init__(
        self,
        airframe: Airframe,
        *,
        state: MassState,
        density: float,
        lift_max: float,
        top_speed: float,
        thrust: float | None = None,
        drive: DriveResult | None = None,
        profile_drag: float = PROFILE_DRAG,
        travels: Mapping[str, float] | None = None,
        lattice: Lattice | None = None,
        wings: Lattice | None = None,
    ) -> None:
        """Solve the lattice and the wakes.

        state: mass and balance. density: of the air. [kg/m³] lift_max: the wing's greatest lift
        coefficient. top_speed: [m/s] thrust: standing still, of all propellers; left out, that of
        the drive, else 0.6 of the weight. [N] drive: gives the thrust's shape over speed; left out,
        a straight line. profile_drag: the wing's, well below the stall. travels: of a control each
        way by ``surface.control.motion``, 20° where left out. [rad] lattice, wings: of all
        surfaces and of the wings alone, where solved already.

        Raises:
            ValueError: a mass, density, lift or speed not above 0, or a top speed below the stall.
        """
        self.weight = weight = state.mass * GRAVITY
        given = (("mass", state.mass), ("density", density), ("greatest lift", lift_max))
        for name, value in (*given, ("pitch inertia", state.iyy)):
            if not (math.isfinite(value) and value > 0.0):
                raise ValueError(f"{name} is {value:g}, but must be above 0")
        self.airframe, self.state, self.density = airframe, state, density
        self.lift_max, self.top_speed = lift_max, top_speed
        self.point: Point = (state.x, 0.0, state.z)
        self.lattice = lattice or Lattice(airframe.surfaces)
        self.stall_speed = math.sqrt(2 * weight / (density * airframe.reference.area * lift_max))
        if not top_speed > JUST_ABOVE * self.stall_speed:
            raise ValueError(
                f"top speed is {top_speed:g} m/s, but must be above {JUST_ABOVE:g} stall speeds, "
                f"{JUST_ABOVE * self.stall_speed:.2f} m/s"
            )
        self.drive = drive if drive is not None and drive.static.thrust > 0.0 else None
        if thrust is None and self.drive is not None:
            thrust = self.drive.static.thrust
        self.thrust_assumed = thrust is None
        self.static_thrust = THRUST_TO_WEIGHT * weight if thrust is None else thrust
        if not self.static_thrust >= 0.0:
            raise ValueError(f"thrust is {self.static_thrust:g}, but must be 0 or more")
        self.travels = dict(travels or {})
        self.balance = pitch_balance(airframe, lattice=self.lattice, point=self.point)
        self.profile_drag = profile_drag
        self.wings = wings or Lattice([s for s in airframe.surfaces if s.role == "wing"])
        self._wakes: dict[str, tuple[Array, Array]] = {}
        self._discs = discs_of(airframe.propellers)

    @cached_property
    def derivatives(self) -> Derivatives:
        """Derivatives at half of the greatest lift."""
        alpha = self.angle(self.lift_max / 2)
        return derivatives_of(self.airframe, point=self.point, alpha=alpha, lattice=self.lattice)

    def anew(self, airframe: Airframe, *, margin: float) -> Handling:
        """The same model with another tail, balanced that far ahead of its own neutral point.

        airframe: with the same wings. margin: from balance to neutral point. [m] Mass and inertia
        stay.

        Raises:
            ValueError: as from the lattice.
        """
        lattice = Lattice(airframe.surfaces)
        x = self.point[0] - margin
        x += neutral_point_aft(airframe, lattice=lattice, point=self.point)
        return Handling(
            airframe,
            state=replace(self.state, x=x),
            density=self.density,
            lift_max=self.lift_max,
            top_speed=self.top_speed,
            thrust=self.static_thrust,
            drive=self.drive,
            profile_drag=self.profile_drag,
            travels=self.travels,
            lattice=lattice,
            wings=self.wings,
        )

    # --- the state of flight ---------------------------------------------------------------------

    @property
    def powered(self) -> bool:
        """Whether there is a propeller."""
        return bool(self._discs)

    def thrust_at(self, speed: float) -> float:
        """Thrust of all propellers, full power. [N] speed: [m/s]"""
        if not self.powered:
            return 0.0
        if self.drive is not None:
            share = thrust_at(self.drive, speed) / self.drive.static.thrust
        else:
            share = 1 - speed / (PITCH_SPEED * self.top_speed)
        return max(0.0, self.static_thrust * share)

    def lift_at(self, speed: float) -> float:
        """Lift coefficient that carries the model. speed: [m/s]"""
        return self.lift_max * (self.stall_speed / speed) ** 2

    def travel(self, mode: ControlMode) -> float:
        """Greatest deflection each way. [rad]"""
        return abs(self.travels.get(mode.name, TRAVEL))

    def angle(self, lift: float) -> float:
        """Angle of attack with the controls straight. [rad] lift: coefficient."""
        if self.balance is not None:
            return float(np.interp(lift, self.balance.lift, self.balance.angles))
        scale = scale_of(self.airframe.reference)
        ends = [
            self.lattice.solve(Flow(alpha=a), point=self.point, scale=scale).lift
            for a in (0.0, 0.1)
        ]
        slope = (ends[1] - ends[0]) / 0.1
        return (lift - ends[0]) / slope if slope > 0.0 else 0.0

    def _lifts(self, angles: Array) -> Array:
        """Lift coefficient with the controls straight. angles: of attack. [rad]"""
        if self.balance is not None:
            return np.asarray(np.interp(angles, self.balance.angles, self.balance.lift))
        slope = self.derivatives.alpha.lift
        return self.derivatives.lift + slope * (angles - self.derivatives.alpha_at)

    # --- the air that a surface works in ---------------------------------------------------------

    def wake_ratio(self, surface: LiftingSurface, alpha: Array | float) -> Array:
        """Dynamic pressure that the wing's wake leaves a surface, over free air's."""
        if surface.key not in self._wakes:
            angles = _WAKE_ANGLES
            lifts = self._lifts(angles)
            drags = [
                near_stall(drag=self.profile_drag, lift=float(lift), lift_max=self.lift_max)
                for lift in lifts
            ]
            found = tail_wakes(
                self.airframe, surface, alphas=angles.tolist(), drags=drags, wings=self.wings
            )
            self._wakes[surface.key] = angles, np.array([wake.ratio for wake in found])
        return np.asarray(np.interp(alpha, *self._wakes[surface.key]))

    def wash_gain(
        self,
        surface: LiftingSurface,
        *,
        speed: float,
        thrust: float,
        control: str | None = None,
    ) -> float:
        """Dynamic pressure in the propeller's wash over free air's, mean over the surface.

        control: only over the span of that control.
        """
        if thrust <= 0.0 or not self.powered:
            return 1.0
        discs = running_discs(
            self.airframe.propellers, thrust=thrust, speed=speed, density=self.density
        )
        ends = {c.key: (c.inboard, c.outboard) for c in surface.controls}
        inboard, outboard = ends[control] if control else (None, None)
        gain = wash_over(
            surface,
            discs,
            speed=speed,
            density=self.density,
            inboard=inboard,
            outboard=outboard,
        ).gain
        return gain if gain is not None else 1.0

    def pressure(
        self, mode: ControlMode, alpha: Array | float, *, speed: float, thrust: float
    ) -> Array:
        """Dynamic pressure at a control's surface over free air's: wake's loss and wash's gain."""
        surface = self.airframe.surface(mode.surface)
        only = mode.control if surface.role == "wing" else None
        gain = self.wash_gain(surface, speed=speed, thrust=thrust, control=only)
        total = self.wake_ratio(surface, alpha) + gain - 1.0
        return np.asarray(np.maximum(total, _LEAST_PRESSURE))

    def thrust_moment(self, *, speed: float, thrust: float) -> float:
        """Cm of thrust that does not pass through the balance point; a high one pushes it down."""
        if not self._discs or thrust <= 0.0:
            return 0.0
        height = mean_height(self._discs, x=self.point[0], z=self.point[2])
        reference = self.airframe.reference
        q = self.density * speed**2 / 2
        return -thrust * height / (q * reference.area * reference.mac)

    # --- elevator --------------------------------------------------------------------------------

    def elevator(
        self,
        speed: float,
        *,
        thrust: float = 0.0,
        wake: bool = True,
    ) -> Elevator:
        """Full up-elevator in level flight.

        speed: [m/s] thrust: of all propellers. [N] wake: whether it feels the wing's.

        Raises:
            ValueError: there is no pitch control.
        """
        balance = self.balance
        if balance is None:
            raise ValueError("there is no pitch control")
        pressure = self.pressure(balance.mode, balance.angles, speed=speed, thrust=thrust)
        if not wake:
            pressure = pressure + 1.0 - self.wake_ratio(balance.surface, balance.angles)
        up, lift = balance.nose_up * self.travel(balance.mode), self.lift_at(speed)
        angle, moment, own = balance.held(up, pressure).at(lift)
        _, _, clear = balance.held(up).at(lift)
        return Elevator(
            moment=moment + self.thrust_moment(speed=speed, thrust=thrust),
            own=own,
            clear=clear,
            pressure=float(np.interp(angle, balance.angles, pressure)),
        )

    def nose_limit(self, *, power: bool) -> NoseLimit | None:
        """How far down in speed full up-elevator lifts the nose; None without a pitch control."""
        if self.balance is None:
            return None
        speeds = np.linspace(self.top_speed, self.stall_speed, _STEPS).tolist()
        before: tuple[float, float] | None = None
        for speed in speeds:
            thrust = self.thrust_at(speed) if power else 0.0
            left = self.elevator(speed, thrust=thrust).moment
            if left < 0.0:
                if before is None:
                    return NoseLimit("never", None)
                fast, more = before
                return NoseLimit("not so far", speed + (fast - speed) * -left / (more - left))
            before = speed, left
        return NoseLimit("to the stall", None)

    # --- aileron and rudder ----------------------------------------------------------------------

    def _strongest(self, motion: Motion, axis: Literal["roll", "yaw"]) -> ControlMode | None:
        found = [c for c in self.derivatives.controls if c.mode.motion == motion]
        if not found:
            return None
        best = max(
            found,
            key=lambda c: abs(getattr(c.slopes, axis)) * felt(self.travel(c.mode), share=0.3),
        )
        return best.mode

    def _felt(self, mode: ControlMode) -> float:
        controls = self.airframe.surface(mode.surface).controls
        share = next(c.chord_share for c in controls if c.key == mode.control)
        return felt(self.travel(mode), share=share)

    def helix(self, speed: float, *, alpha: float, thrust: float = 0.0) -> float | None:
        """pb/2V of a steady roll with full aileron; None without one or without damping."""
        mode, damping = self._strongest("roll", "roll"), self.derivatives.p.roll
        if mode is None or damping >= 0.0:
            return None
        moment = abs(self.derivatives.control(mode.name).roll) * self._felt(mode)
        pressure = float(self.pressure(mode, alpha, speed=speed, thrust=thrust))
        return moment * pressure / -damping

    def sideslip(self, speed: float, *, alpha: float, thrust: float = 0.0) -> float | None:
        """Sideslip that full rudder holds, 30° at most; None without one. [rad]"""
        mode = self._strongest("yaw", "yaw")
        if mode is None:
            return None
        pressure = float(self.pressure(mode, alpha, speed=speed, thrust=thrust))
        fin = self._fin_yaw(mode.surface)
        weathercock = self.derivatives.beta.yaw + (pressure - 1.0) * fin
        moment = abs(self.derivatives.control(mode.name).yaw) * self._felt(mode) * pressure
        return min(moment / weathercock, _MOST_SLIP) if weathercock > 0.0 else _MOST_SLIP

    def _fin_yaw(self, surface: str) -> float:
        """The surface's own part of Cn_β."""
        scale = scale_of(self.airframe.reference)
        ahead, behind = (
            shares_of(
                self.lattice,
                Flow(alpha=self.derivatives.alpha_at, beta=step),
                point=self.point,
                scale=scale,
            )[surface]
            for step in (_SLOPE_STEP, -_SLOPE_STEP)
        )
        return ahead.over(2 * _SLOPE_STEP, behind).yaw

    def rudder_helix(self, sideslip: float | None) -> float | None:
        """pb/2V of the roll that the rudder's sideslip brings, wing's dihedral against damping."""
        damping = self.derivatives.p.roll
        if sideslip is None or damping >= 0.0:
            return None
        return self.derivatives.beta.roll * sideslip / damping
