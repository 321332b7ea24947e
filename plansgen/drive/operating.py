"""Battery, controllers, motors and propellers together: where they settle.

A controller is taken as a chopper: at throttle τ the motor sees τ times the battery's voltage and
the battery gives τ times the motor's current. With n drives at one battery::

    I = (τ (V₀ - R_b I_others) - ω/Kv)/(R + R_c + n τ² R_b),  gear (I - I₀)/Kv = Q(ω/gear, V)

The torques are equal at one speed, found in a bracket. Source: M. Drela, *First-Order DC Electric
Motor Model*, 2007. Chopping costs some: the battery gives I τ/η with η = 1 - 0.15 (1 - τ), an
estimate after the falling efficiency at part throttle in C. R. Green & R. A. McDonald, *Modeling
and Test of the Efficiency of Electronic Speed Controllers for Brushless Motors*, AIAA 2015-3191,
from memory. A motor is not braked, nor does it feed back.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from plansgen.drive.motor import Motor
from plansgen.drive.propeller import Curves
from plansgen.drive.roots import roots
from plansgen.drive.state import DriveState, WholeState

Array = NDArray[np.float64]

CHOPPING = 0.15  # of the power, lost in the controller towards closed throttle (estimate)
_ROUNDS = 8  # of drives that share a battery
_CLOSE = 1e-5  # rad/s


@dataclass(frozen=True)
class Unit:
    """One drive, or several that are alike. diameter: of the propeller. [m]

    thrust_share, power_share: of the curves' coefficients, to see what their spread does.
    """

    motor: Motor
    controller_resistance: float
    curves: Curves
    diameter: float
    count: int = 1
    thrust_share: float = 1.0
    power_share: float = 1.0


class _Solved(NamedTuple):
    """One of the drives of a unit, at every state."""

    turning: Array  # rad/s, of the propeller
    motor_current: Array
    thrust: Array
    torque: Array


@dataclass(frozen=True)
class Plant:
    """All drives at one battery. open_voltage: of the rested pack. [V] density: of the air."""

    units: tuple[Unit, ...]
    open_voltage: float
    resistance: float
    density: float

    def states(
        self, *, throttle: Sequence[float] | Array, speed: Sequence[float] | Array
    ) -> tuple[tuple[DriveState, ...], ...]:
        """For every unit, one of its drives at each pair of throttle and airspeed. [m/s]"""
        throttles, speeds = np.broadcast_arrays(
            np.asarray(throttle, dtype=float), np.asarray(speed, dtype=float)
        )
        solved = self._solve(throttles, speeds)
        currents = [drawn(throttles) * one.motor_current for one in solved]
        total = np.sum([u.count * i for u, i in zip(self.units, currents, strict=True)], axis=0)
        voltage = self.open_voltage - self.resistance * total
        return tuple(
            _states(unit, throttles, speeds, one, current, voltage)
            for unit, one, current in zip(self.units, solved, currents, strict=True)
        )

    def whole(
        self, *, throttle: Sequence[float] | Array, speed: Sequence[float] | Array
    ) -> tuple[WholeState, ...]:
        """All drives together at each pair of throttle and airspeed. [m/s]"""
        each = self.states(throttle=throttle, speed=speed)
        counts = [unit.count for unit in self.units]
        return tuple(WholeState.of(states, counts) for states in zip(*each, strict=True))

    def state(self, *, speed: float, throttle: float = 1.0) -> WholeState:
        """All drives together at one throttle and airspeed. [m/s]"""
        return self.whole(throttle=[throttle], speed=[speed])[0]

    def thrusts(self, *, throttle: Array, speed: Array) -> Array:
        """Thrust of all drives. [N]"""
        solved = self._solve(throttle, speed)
        return np.asarray(sum(u.count * s.thrust for u, s in zip(self.units, solved, strict=True)))

    def throttle_for(self, *, thrust: Array, speed: Array) -> Array:
        """Throttle that gives each thrust at its airspeed; NaN where full throttle does not."""
        thrust, speed = np.broadcast_arrays(
            np.asarray(thrust, dtype=float), np.asarray(speed, dtype=float)
        )
        full = self.thrusts(throttle=np.ones_like(speed), speed=speed)
        found = roots(
            lambda throttle: self.thrusts(throttle=throttle, speed=speed) - thrust,
            np.zeros_like(speed),
            np.ones_like(speed),
            tolerance=1e-4,
        )
        return np.where(full >= thrust, found, np.nan)

    def with_share(self, *, thrust: float = 1.0, power: float = 1.0) -> Plant:
        """The same drives with propellers that give and take that much more."""
        units = [replace(u, thrust_share=thrust, power_share=power) for u in self.units]
        return replace(self, units=tuple(units))

    def _solve(self, throttle: Array, speed: Array) -> list[_Solved]:
        others = [np.zeros_like(throttle) for _ in self.units]
        solved: list[_Solved] = []
        for _ in range(_ROUNDS if len(self.units) > 1 else 1):
            solved = [
                self._solve_unit(unit, throttle, speed, other)
                for unit, other in zip(self.units, others, strict=True)
            ]
            shares = [
                unit.count * drawn(throttle) * one.motor_current
                for unit, one in zip(self.units, solved, strict=True)
            ]
            total = np.sum(shares, axis=0)
            others = [np.asarray(total - own) for own in shares]
        return solved

    def _solve_unit(self, unit: Unit, throttle: Array, speed: Array, others: Array) -> _Solved:
        motor, gear = unit.motor, unit.motor.gear
        series = motor.resistance + unit.controller_resistance
        inner = np.maximum(series + unit.count * self.resistance * throttle * drawn(throttle), 1e-6)
        voltage = throttle * np.maximum(self.open_voltage - self.resistance * others, 0.0)

        def current(turning: Array) -> Array:
            return np.maximum((voltage - turning * gear / motor.kv) / inner, 0.0)

        def spare(turning: Array) -> Array:
            driving = (
                gear * motor.torque_constant * (current(turning) - motor.no_load(turning * gear))
            )
            return driving - _loads(unit, turning, speed, self.density)[1]

        low = np.full(throttle.shape, 1.0)
        high = np.maximum(voltage * motor.kv / gear, 2.0) * 2.0
        turning = roots(spare, low, high, tolerance=_CLOSE)
        turns = spare(low) > 0.0
        turning = np.where(turns, turning, 0.0)
        thrust, torque = _loads(unit, turning, speed, self.density)
        return _Solved(turning, np.where(turns, current(turning), 0.0), thrust, torque)


def drawn(throttle: Array) -> Array:
    """Current from the battery over that in the motor."""
    return np.asarray(throttle / (1 - CHOPPING * (1 - throttle)))


def _loads(unit: Unit, turning: Array, speed: Array, density: float) -> tuple[Array, Array]:
    """Thrust and torque of a propeller. [N, N m] turning: [rad/s]"""
    n = np.maximum(turning, 1e-3) / (2 * math.pi)
    found = unit.curves.at(speed / (n * unit.diameter), math.pi * n * unit.diameter)
    head = density * np.where(turning > 0.0, n, 0.0) ** 2 * unit.diameter**4
    power = unit.power_share * found.power * unit.diameter / (2 * math.pi)
    return unit.thrust_share * head * found.thrust, head * power


def _states(
    unit: Unit, throttle: Array, speed: Array, one: _Solved, current: Array, voltage: Array
) -> tuple[DriveState, ...]:
    rate = one.turning / (2 * math.pi)
    shaft = one.torque * one.turning
    air = one.thrust * speed
    power = voltage * current
    advance = np.where(rate > 0.0, speed / (np.maximum(rate, 1e-9) * unit.diameter), 0.0)
    columns = (
        *(throttle, speed, rate * 60, current, one.motor_current, voltage),
        *(one.thrust, one.torque, power, shaft),
        *(_share(shaft, power), _share(air, shaft), _share(air, power), advance),
    )
    return tuple(DriveState(*map(float, row)) for row in zip(*columns, strict=True))


def _share(part: Array, whole: Array) -> Array:
    """Efficiency, 0 where nothing useful comes out."""
    good = (part > 0.0) & (whole > 0.0)
    return np.where(good, part / np.where(whole > 0.0, whole, 1.0), 0.0)
