"""Brushless and brushed motors by their three constants.

Source: M. Drela, *First-Order DC Electric Motor Model*, 2007: it turns at Kv (V - I R) and gives a
torque of (I - I₀)/Kv, in SI units.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_STANDING = 0.5  # of the no-load current at no speed: hysteresis and bearings (estimate)


@dataclass(frozen=True)
class Motor:
    """A motor, with its gear.

    kv: turning over voltage. [rad/s/V] resistance: of the windings. [ohm] no_load_current: told for
    no_load_voltage or, that left out, the same at all speeds. [A, V] gear: motor turns in one of
    the propeller's.
    """

    kv: float
    resistance: float
    no_load_current: float
    no_load_voltage: float | None = None
    gear: float = 1.0

    def __post_init__(self) -> None:
        """Check the constants.

        Raises:
            ValueError: kv or gear not above 0, resistance or no-load current below 0.
        """
        if not (self.kv > 0.0 and self.gear > 0.0):
            raise ValueError("a motor's constant and gear must be above 0")
        if not (self.resistance >= 0.0 and self.no_load_current >= 0.0):
            raise ValueError("a motor's resistance and no-load current must be 0 or more")

    @property
    def torque_constant(self) -> float:
        """Torque over current. [N m/A]"""
        return 1.0 / self.kv

    def no_load(self, turning: Array) -> Array:
        """Current that its own drag takes. [A] turning: of the motor. [rad/s]

        Half stays and half grows with speed (eddy currents) where the voltage it was told for is
        known; Drela's second-order model has both terms, the halves are an estimate.
        """
        if self.no_load_voltage is None:
            return np.full_like(turning, self.no_load_current)
        speed = self.kv * (self.no_load_voltage - self.no_load_current * self.resistance)
        return self.no_load_current * (_STANDING + (1 - _STANDING) * turning / max(speed, 1e-9))


@dataclass(frozen=True)
class MotorPoint:
    """A motor at one voltage and current. [rad/s, W, N m]"""

    turning: float
    power_in: float
    power_out: float
    torque: float

    @property
    def efficiency(self) -> float:
        """Power at the shaft over power in."""
        return self.power_out / self.power_in


def motor_point(motor: Motor, *, voltage: float, current: float) -> MotorPoint:
    """What a motor gives at a voltage and a current. [V, A]"""
    turning = motor.kv * (voltage - current * motor.resistance)
    idle = float(motor.no_load(np.array(turning)))
    torque = (current - idle) * motor.torque_constant
    return MotorPoint(turning, voltage * current, torque * turning, torque)


def best_current(motor: Motor, *, voltage: float) -> float:
    """Current at which a motor is most efficient, √(V I₀/R). [A] voltage: [V]"""
    return math.sqrt(voltage * motor.no_load_current / motor.resistance)
