"""One moment of a drive, and of all drives of a model together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from plansgen.quantity import Quantity

_POINT = "drive-operating-point"


@dataclass(frozen=True)
class DriveState:
    """One drive at one throttle and airspeed.

    current: of the battery, through this drive's controller. efficiency: battery to air;
    motor_efficiency: of motor and controller; propeller_efficiency: of thrust times airspeed.
    """

    throttle: Annotated[float, Quantity("1", "Throttle", _POINT, "%")]
    speed: Annotated[float, Quantity("m/s", "Airspeed", _POINT)]
    rpm: Annotated[float, Quantity("1/min", "Turns of the propeller", _POINT)]
    current: Annotated[float, Quantity("A", "Current from the battery", _POINT)]
    motor_current: Annotated[float, Quantity("A", "Current in the motor", _POINT)]
    voltage: Annotated[float, Quantity("V", "Voltage of the battery under load", _POINT)]
    thrust: Annotated[float, Quantity("N", "Thrust", _POINT)]
    torque: Annotated[float, Quantity("N m", "Torque of the propeller", _POINT)]
    power_in: Annotated[float, Quantity("W", "Power from the battery", _POINT)]
    power_shaft: Annotated[float, Quantity("W", "Power at the shaft", _POINT)]
    motor_efficiency: Annotated[float, Quantity("1", "Efficiency, motor", _POINT, "%")]
    propeller_efficiency: Annotated[float, Quantity("1", "Efficiency, propeller", _POINT, "%")]
    efficiency: Annotated[float, Quantity("1", "Efficiency, battery to air", _POINT, "%")]
    advance_ratio: Annotated[float, Quantity("1", "Advance ratio, J", _POINT)]


@dataclass(frozen=True)
class WholeState:
    """All drives of a model at one throttle and airspeed."""

    throttle: Annotated[float, Quantity("1", "Throttle", _POINT, "%")]
    speed: Annotated[float, Quantity("m/s", "Airspeed", _POINT)]
    thrust: Annotated[float, Quantity("N", "Thrust of all propellers", _POINT)]
    current: Annotated[float, Quantity("A", "Current from the battery", _POINT)]
    voltage: Annotated[float, Quantity("V", "Voltage of the battery under load", _POINT)]
    power_in: Annotated[float, Quantity("W", "Power from the battery", _POINT)]
    power_shaft: Annotated[float, Quantity("W", "Power at the shafts", _POINT)]
    efficiency: Annotated[float, Quantity("1", "Efficiency, battery to air", _POINT, "%")]

    @classmethod
    def of(cls, states: Sequence[DriveState], counts: Sequence[int]) -> WholeState:
        """Add up one state of every unit. counts: drives in each."""
        first = states[0]

        def total(name: str) -> float:
            return float(
                sum(n * getattr(state, name) for state, n in zip(states, counts, strict=True))
            )

        thrust, power = total("thrust"), total("power_in")
        useful = thrust * first.speed
        return cls(
            throttle=first.throttle,
            speed=first.speed,
            thrust=thrust,
            current=total("current"),
            voltage=first.voltage,
            power_in=power,
            power_shaft=total("power_shaft"),
            efficiency=useful / power if power > 0.0 and useful > 0.0 else 0.0,
        )
