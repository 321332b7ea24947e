"""Air at the flying field: ISO 2533 troposphere, with the day's own temperature.

Source: ISO 2533:1975, *Standard Atmosphere* (the U.S. Standard Atmosphere, 1976 is the same below
11 km); viscosity by Sutherland's formula as given there. Dry air: damp air is lighter, by 1 % at
30 °C and 60 % humidity.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from plansgen.quantity import Quantity

STANDARD_TEMPERATURE = 288.15  # K, at sea level
STANDARD_PRESSURE = 101325.0  # Pa, at sea level
LAPSE = 0.0065  # K per geopotential metre
GRAVITY = 9.80665  # m/s²
GAS_CONSTANT = 287.05287  # J/(kg K), dry air
HEAT_RATIO = 1.4
EARTH_RADIUS = 6_356_766.0  # m, for geopotential height
SUTHERLAND_FACTOR = 1.458e-6  # kg/(m s √K)
SUTHERLAND_TEMPERATURE = 110.4  # K

LOWEST, HIGHEST = -1000.0, 11000.0  # m; above it the temperature no longer falls
COLDEST, HOTTEST = 200.0, 340.0  # K; Sutherland's formula is good well beyond


@dataclass(frozen=True)
class Air:
    """The air that the model flies in."""

    height: Annotated[float, Quantity("m", "Height above sea level", "given-by-designer")]
    temperature: Annotated[float, Quantity("K", "Air temperature", "standard-atmosphere")]
    pressure: Annotated[float, Quantity("Pa", "Air pressure", "standard-atmosphere")]
    density: Annotated[float, Quantity("kg/m³", "Air density", "standard-atmosphere")]
    viscosity: Annotated[float, Quantity("Pa s", "Dynamic viscosity", "sutherland-viscosity")]
    kinematic_viscosity: Annotated[
        float, Quantity("m²/s", "Kinematic viscosity", "sutherland-viscosity")
    ]
    speed_of_sound: Annotated[float, Quantity("m/s", "Speed of sound", "standard-atmosphere")]

    def dynamic_pressure(self, speed: float) -> float:
        """½ρV². [Pa] speed: true airspeed. [m/s]"""
        return 0.5 * self.density * speed**2

    def speed_of(self, *, mass: float, area: float, lift: float) -> float:
        """Speed at which a wing carries a mass in level flight: V² = 2 m g/(ρ S CL). [m/s]

        mass: [kg] area: of the wing. [m²] lift: its lift coefficient.
        """
        return math.sqrt(2 * mass * GRAVITY / (self.density * area * lift))

    def reynolds(self, *, speed: float, length: float) -> float:
        """Reynolds number. speed: true airspeed. [m/s] length: usually the chord. [m]"""
        return speed * length / self.kinematic_viscosity


def viscosity_at(temperature: float) -> float:
    """Dynamic viscosity of air by Sutherland's formula. [Pa s] temperature: [K]"""
    return (
        SUTHERLAND_FACTOR
        * temperature
        * math.sqrt(temperature)
        / (temperature + SUTHERLAND_TEMPERATURE)
    )


def _standard(height: float) -> tuple[float, float]:
    """Standard temperature and pressure at a geometric height. [K, Pa]"""
    geopotential = EARTH_RADIUS * height / (EARTH_RADIUS + height)
    temperature = STANDARD_TEMPERATURE - LAPSE * geopotential
    exponent = GRAVITY / (GAS_CONSTANT * LAPSE)
    return temperature, STANDARD_PRESSURE * (temperature / STANDARD_TEMPERATURE) ** exponent


def air(height: float = 0.0, temperature: float | None = None) -> Air:
    """Air at a field.

    height: of the field above sea level, geometric. [m] temperature: of the air on the day; left
    out, the standard one at that height. [K] A warm or cold day keeps the standard pressure of the
    height: weather moves the pressure by 1 to 3 %, the temperature moves the density by far more.

    Raises:
        ValueError: height outside -1000..11000 m, or temperature outside 200..340 K.
    """
    if not LOWEST <= height <= HIGHEST:
        raise ValueError(
            f"height is {height:g} m, but must lie between {LOWEST:g} and {HIGHEST:g} m"
        )
    standard, pressure = _standard(height)
    kelvin = standard if temperature is None else temperature
    if not COLDEST <= kelvin <= HOTTEST:
        raise ValueError(
            f"temperature is {kelvin:g} K, but must lie between {COLDEST:g} and {HOTTEST:g} K"
        )
    density = pressure / (GAS_CONSTANT * kelvin)
    viscosity = viscosity_at(kelvin)
    return Air(
        height=height,
        temperature=kelvin,
        pressure=pressure,
        density=density,
        viscosity=viscosity,
        kinematic_viscosity=viscosity / density,
        speed_of_sound=math.sqrt(HEAT_RATIO * GAS_CONSTANT * kelvin),
    )
