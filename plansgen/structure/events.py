"""What a pull, a gust and a blow give, as closed formulas.

In the air a wing pulls at most (V/Vs)² times the model's weight before it stalls (any text of
flight mechanics). Gusts follow the alleviated formula of K. G. Pratt (NACA Report 1206, 1954; also
the certification rules of light aeroplanes), from memory::

    μ = 2 (W/S)/(ρ g c a);  K = 0.88 μ/(5.3 + μ);  Δn = K ρ U V a/(2 W/S)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from plansgen.atmosphere import GRAVITY
from plansgen.quantity import Quantity


def pull(*, speed: float, stall: float) -> float:
    """Load factor at which a wing stalls: (V/Vs)². [m/s]"""
    return (speed / stall) ** 2


@dataclass(frozen=True)
class Gust:
    """What a gust adds. mass_ratio: μ. alleviation: K."""

    mass_ratio: Annotated[float, Quantity("1", "Mass ratio, μ", "structure-load-gust")]
    alleviation: Annotated[float, Quantity("1", "Alleviation, K", "structure-load-gust")]
    step: Annotated[float, Quantity("1", "Added load factor, Δn", "structure-load-gust")]


def gust_of(
    *, loading: float, density: float, chord: float, slope: float, gust: float, speed: float
) -> Gust:
    """Pratt's gust. loading: [N/m²] density: [kg/m³] chord: [m] slope: [1/rad] gust, speed: [m/s]

    Raises:
        ValueError: something is not above 0.
    """
    if not min(loading, density, chord, slope, speed) > 0.0 or gust < 0.0:
        raise ValueError("a gust needs wing loading, density, chord, lift slope and speed above 0")
    ratio = 2 * loading / (density * GRAVITY * chord * slope)
    share = 0.88 * ratio / (5.3 + ratio)
    return Gust(ratio, share, share * density * gust * speed * slope / (2 * loading))


def strike(*, speed: float, stiffness: float, mass: float) -> float:
    """Peak force of a mass that runs into a spring: v √(k m). [m/s, N/m, kg]"""
    return speed * math.sqrt(stiffness * mass)
