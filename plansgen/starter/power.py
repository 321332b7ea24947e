"""Motor, wires and servos of a started design: plausible first numbers, every one an estimate."""

from __future__ import annotations

import math

from plansgen.drive.wire import gauge_for
from plansgen.starter.entries import Entry, number
from plansgen.starter.sizing import GRAVITY

# Estimates for a model that climbs well and is not fast.
_THRUST_SHARE = 0.7  # static thrust over weight
_PITCH_SHARE = 0.6  # pitch over diameter
_CT, _CP = 0.10, 0.045  # at rest, of a usual propeller of that pitch
_AIR = 1.225  # kg/m³, sea level, ISO 2533
_CELL = 3.8  # V under load, before the resistances
_LOADED = 0.8  # of the no-load turns are left under load
_MOTOR_EFFICIENCY = 0.75
_LOST = 0.1  # of the voltage in the motor's resistance
_IDLE = 0.05  # no-load current over that at full throttle
_SPARE = 1.5  # rated current over that at full throttle
_RATINGS = (2, 3, 6, 10, 12, 15, 20, 30, 40, 50, 60, 80, 100, 120, 150, 200, 250, 300, 400, 500)
_SERVO_TORQUE = 0.17  # kg cm for each gram of a servo of ten; from labels, from memory
_SERVO_GROWTH = 0.45  # larger servos hold more for each gram (from labels, from memory)


def power_entry(*, mass: float, diameter: float, cells: int, names: tuple[str, str, str]) -> Entry:
    """The power section: one drive that pulls with seven tenths of the weight.

    Args:
        mass: flying. [kg]
        diameter: of the propeller. [mm]
        cells: of the battery, in series.
        names: of motor, propeller and controller among the items.
    """
    across = diameter / 1000
    turns = math.sqrt(_THRUST_SHARE * mass * GRAVITY / (_CT * _AIR * across**4))
    shaft = _CP * _AIR * turns**3 * across**5
    voltage = _CELL * cells
    current = shaft / _MOTOR_EFFICIENCY / voltage
    rated = next((r for r in _RATINGS if r >= _SPARE * current), _RATINGS[-1])
    motor, propeller, controller = names
    gauge = gauge_for(_SPARE * current)
    lead = {"name": "battery lead", "from": "battery", "to": controller, "length": 150}
    return {
        "drives": [
            {
                "motor": motor,
                "propeller": propeller,
                "controller": controller,
                "kv": _rounded(turns * 60 / (_LOADED * voltage)),
                "no_load_current": _rounded(_IDLE * current),
                "no_load_voltage": number(voltage),
                "resistance": _rounded(_LOST * voltage / current),
                "controller_current": rated,
                "pitch": number(_PITCH_SHARE * diameter, 0),
            }
        ],
        "wires": [lead | {"gauge": gauge}] if gauge is not None else [],
    }


def servo_entry(mass: float) -> Entry:
    """What a servo of that mass can do. [g]"""
    torque = _SERVO_TORQUE * mass * (mass / 10) ** _SERVO_GROWTH
    return {"torque": f"{_rounded(torque):g} kg cm", "speed": 0.12}


def _rounded(value: float) -> float | int:
    """Two digits, as a label has them."""
    digits = 1 - math.floor(math.log10(value))
    return number(value, digits)
