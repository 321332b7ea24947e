"""Propellers and motors against momentum theory, a motor's equations and a measured propeller."""

from __future__ import annotations

import math
from functools import partial
from typing import NamedTuple

import numpy as np

from plansgen.atmosphere import air
from plansgen.drive.blade import Blade, LinearSection
from plansgen.drive.motor import Motor, best_current, motor_point
from plansgen.drive.propeller import (
    Coefficients,
    Propeller,
    coefficients,
    figure_of_merit,
    pitch_speed,
)
from plansgen.published.case import Case

ROOM = "Motors and propellers"
MOMENTUM = "W. J. M. Rankine (1865) and R. E. Froude (1889): T = (2ρA)^(1/3) P^(2/3) at rest"
LEISHMAN = "J. G. Leishman, Principles of Helicopter Aerodynamics, blade-element momentum theory"
DRELA = "M. Drela, First-Order DC Electric Motor Model, 2007: its equations evaluated"
WIND_TUNNEL = (
    "UIUC Propeller Database, vol. 1 (Brandt, Deters, Ananda & Selig): a thin 10 × 5 in propeller "
    "for electric power at about 5400 rpm, shape and coefficients from memory"
)
DIAMETER = 0.254

# The measured blade: place and chord over the radius, angle in degrees.
_MEASURED_BLADE = (
    *((0.15, 0.130, 32.76), (0.20, 0.149, 37.19), (0.25, 0.173, 33.54), (0.30, 0.189, 29.25)),
    *((0.35, 0.197, 25.64), (0.40, 0.201, 22.54), (0.45, 0.200, 20.27), (0.50, 0.194, 18.46)),
    *((0.55, 0.186, 17.05), (0.60, 0.174, 15.97), (0.65, 0.160, 14.87), (0.70, 0.145, 14.09)),
    *((0.75, 0.128, 13.39), (0.80, 0.112, 12.84), (0.85, 0.096, 12.25), (0.90, 0.081, 11.37)),
    *((0.95, 0.061, 10.19), (1.00, 0.041, 8.99)),
)
# Its measured advance ratios, CT and CP.
_MEASURED = ((0.113, 0.0912, 0.0381), (0.260, 0.0734, 0.0378), (0.432, 0.0401, 0.0272))

_case = partial(Case, room=ROOM, mark="derived")
_exact = partial(
    _case, relative=True, tolerance=1e-4, why="Closed form, five digits.", source=MOMENTUM
)
_motor = partial(_case, relative=True, tolerance=5e-5, why="Five printed digits.", source=DRELA)


class _At(NamedTuple):
    thrust: float
    power: float


def _one(found: Coefficients) -> _At:
    thrust, power = found
    return _At(float(thrust[0]), float(power[0]))


def run(propeller: Propeller, *, advance: float, rate: float = 90.0) -> _At:
    """CT and CP of a propeller at sea level. rate: turns a second."""
    tips = np.array([math.pi * rate * propeller.diameter])
    kinematic = air().kinematic_viscosity
    return _one(
        coefficients(propeller, advance=np.array([advance]), tip_speed=tips, viscosity=kinematic)
    )


def ideal_propeller(*, tip: float, chord: float) -> Propeller:
    """Endless blades without drag, twisted so that the wash is even. tip: angle there. [rad]"""
    places = np.linspace(0.15, 1.0, 120)
    blade = Blade(
        places=tuple(places.tolist()),
        chords=(chord,) * len(places),
        angles=tuple((tip / places).tolist()),
    )
    return Propeller(DIAMETER, 2, blade, section=LinearSection(), loss=False)


def even_inflow(*, tip: float, solidity: float, slope: float = 2 * math.pi) -> float:
    """Inflow over tip speed of an ideally twisted rotor at rest: σa/16 (√(1 + 32 θ/(σa)) - 1)."""
    load = solidity * slope
    return load / 16 * (math.sqrt(1 + 32 * tip / load) - 1)


def measured_propeller() -> Propeller:
    """The propeller of the wind tunnel, by its shape."""
    places, chords, angles = zip(*_MEASURED_BLADE, strict=True)
    return Propeller(DIAMETER, 2, Blade(places, chords, tuple(math.radians(a) for a in angles)))


def _ideal() -> tuple[float, _At]:
    """CT of the closed form, hub left out, and ours, of a lightly loaded ideal rotor."""
    tip, chord = math.radians(3.0), 0.08
    inflow = even_inflow(tip=tip, solidity=2 * chord / math.pi)
    thrust = math.pi**3 / 4 * 2 * inflow**2 * (1 - 0.15**2)  # T = 2ρA(λΩR)², as T/(ρ n² D⁴)
    return thrust, run(ideal_propeller(tip=tip, chord=chord), advance=0.0)


def _momentum() -> tuple[Case, ...]:
    published, ours = _ideal()
    ring = 1 - 0.15**2
    return (
        _exact(
            key="merit",
            title="Figure of merit with CT 0.11, CP 0.05",
            published=0.58218,
            ours=figure_of_merit(thrust=0.11, power=0.05),
            unit="",
        ),
        _case(
            key="ideal-thrust",
            title="CT of a rotor without drag or tip loss, twisted for even wash, at rest",
            published=published,
            ours=ours.thrust,
            unit="",
            tolerance=0.01,
            relative=True,
            why="The closed form takes small angles and no swirl; near the hub angles reach 20°.",
            source=LEISHMAN,
        ),
        _case(
            key="ideal-power",
            title="Its power over the least that momentum theory allows on the same ring",
            published=1.0,
            ours=ours.power / (ours.thrust * math.sqrt(2 * ours.thrust / (math.pi * ring))),
            unit="",
            tolerance=0.01,
            relative=True,
            why="Swirl, which the closed form leaves out, costs less than 1 %.",
            source=MOMENTUM,
        ),
        _case(
            key="pitch-speed",
            title="Pitch speed of 5 in at 9000 rpm",
            published=19.05,
            ours=pitch_speed(pitch=5 * 0.0254, rate=9000 / 60),
            unit="m/s",
            tolerance=1e-9,
            relative=True,
            why="Exact: 0.127 m a turn, 150 turns a second.",
            source="Geometry of a screw",
        ),
    )


def _motors() -> tuple[Case, ...]:
    motor = Motor(kv=1000 * math.pi / 30, resistance=0.1, no_load_current=0.8)
    point = motor_point(motor, voltage=11.1, current=15.0)
    best = best_current(motor, voltage=11.1)
    at_best = motor_point(motor, voltage=11.1, current=best)
    words = "Motor of 1000 rpm/V, 0.1 Ω, 0.8 A at no load, on 11.1 V"
    return (
        _motor(
            key="motor-turns",
            title=f"{words}: turns at 15 A",
            published=9600.0,
            ours=point.turning * 30 / math.pi,
            unit="rpm",
        ),
        _motor(
            key="motor-power",
            title=f"{words}: power out at 15 A",
            published=136.32,
            ours=point.power_out,
            unit="W",
        ),
        _motor(
            key="motor-torque",
            title=f"{words}: torque at 15 A",
            published=0.13560,
            ours=point.torque,
            unit="N m",
        ),
        _motor(
            key="motor-best",
            title=f"{words}: current of best efficiency, √(V I₀/R)",
            published=9.4234,
            ours=best,
            unit="A",
        ),
        _motor(
            key="motor-efficiency",
            title=f"{words}: best efficiency, (1 - √(I₀ R/V))²",
            published=0.83742,
            ours=at_best.efficiency,
            unit="",
        ),
    )


def _wind_tunnel() -> tuple[Case, ...]:
    propeller = measured_propeller()
    found = []
    for advance, thrust, power in _MEASURED:
        ours = run(propeller, advance=advance)
        for name, published, value in (("CT", thrust, ours.thrust), ("CP", power, ours.power)):
            found.append(
                Case(
                    key=f"tunnel-{name.lower()}-{advance:g}",
                    room=ROOM,
                    title=f"{name} of a measured 10 × 5 in propeller at J = {advance:g}",
                    published=published,
                    ours=value,
                    unit="",
                    tolerance=0.15,
                    relative=True,
                    why="Blade-element theory with general section data: 10 to 15 %.",
                    source=WIND_TUNNEL,
                    mark="from memory",
                    note="Thrust and current of a worked-out propeller are this far off, or more; "
                    "a scale and a meter on the bench tell.",
                )
            )
    return tuple(found)


def cases() -> tuple[Case, ...]:
    """Momentum theory, a motor's equations, and a propeller from the wind tunnel."""
    return (*_momentum(), *_motors(), *_wind_tunnel())
