"""What a servo draws: an estimate, because hardly any data sheet says it.

A small direct-current motor draws at stall what it would need to give its stall torque at its free
speed: V I = T ω, since the same constant ties voltage to speed and current to torque. Friction in
motor and gears makes it more. Source: the motor equations of any text on electrical machines; the
share lost to friction is an estimate.
"""

from __future__ import annotations

import math

from plansgen.library.models import Item

USUAL_VOLTAGE = 5.0  # V of a receiver's supply (common practice, no source)
EFFICIENCY = 0.4  # of a small servo's motor and gears together (estimate)
AMPERES_A_KILOGRAM = 70.0  # stall current where nothing but the mass is known (estimate)
IN_FLIGHT = 0.2  # of the stall current, on average, when it holds and moves (estimate)
RECEIVER = 0.1  # A, of a receiver itself (estimate)

_SIXTY_DEGREES = math.pi / 3


def stall_current(item: Item) -> float:
    """Estimated current of a servo that is held fast. [A]

    From its torque and speed where the design gives both, else from its mass.
    """
    servo = item.servo
    if servo is None or servo.torque is None or servo.speed is None:
        return AMPERES_A_KILOGRAM * item.mass
    return stall_current_of(
        torque=servo.torque, speed=_SIXTY_DEGREES / servo.speed, voltage=servo.voltage
    )


def stall_current_of(*, torque: float, speed: float, voltage: float | None = None) -> float:
    """Estimated stall current of a servo. [A]

    Args:
        torque: at stall, N m.
        speed: free, rad/s.
        voltage: that these are told for, V.
    """
    return torque * speed / (EFFICIENCY * (voltage or USUAL_VOLTAGE))
