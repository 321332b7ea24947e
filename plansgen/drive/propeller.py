"""Propellers by blade-element momentum theory, at rest and moving.

Every ring of the disc turns and pushes the air that its blades' sections drag through it. With the
inflow angle φ, local solidity σ = B c/(2π r), k_n = σ c_n/(4 F sin φ), k_t = σ c_t/(4 F sin φ) and
Prandtl's tip loss F, momentum and blade agree where::

    V (cos φ + k_t) - Ω r (sin φ - k_n) = 0

S. A. Ning, *A simple solution method for the blade element momentum equations with guaranteed
convergence*, Wind Energy 17, 2014, has shown that one unknown, φ, and a bracket suffice; written
like this the residual stays finite at V = 0. A blade at a positive angle gives +∞ as φ goes to 0
and a negative value at 90°, so halving the bracket always ends.

Left out: compressibility (up to tip Mach numbers of 0.5 it is under a tenth), sideways flow, hub
loss, bodies behind the disc.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from plansgen.drive.blade import Blade, Section, SmallBladeSection
from plansgen.drive.roots import roots

Array = NDArray[np.float64]

ELEMENTS = 20
_NARROW = 1e-7  # rad
_FLATTEST = 1e-6  # rad
_TIP_SPEEDS = (15.0, 40.0, 80.0, 150.0)  # m/s, for which curves are kept
_STEPS = 36
SPREAD = 0.12  # of thrust and power, one standard deviation; ±10 to 15 % in the literature

_SMALL = SmallBladeSection()


@dataclass(frozen=True)
class Propeller:
    """A propeller. diameter: [m] loss: whether the tips lose (never, with endless blades)."""

    diameter: float
    blades: int
    blade: Blade
    section: Section = _SMALL
    loss: bool = True

    def __post_init__(self) -> None:
        """Check the size.

        Raises:
            ValueError: a diameter not above 0, or no blades.
        """
        if not (math.isfinite(self.diameter) and self.diameter > 0.0):
            raise ValueError(f"diameter is {self.diameter:g} m, but must be above 0")
        if self.blades < 1:
            raise ValueError("a propeller needs a blade")


class Coefficients(NamedTuple):
    """CT = T/(ρ n² D⁴) and CP = P/(ρ n³ D⁵)."""

    thrust: Array
    power: Array


def coefficients(
    propeller: Propeller, *, advance: Array, tip_speed: Array, viscosity: float
) -> Coefficients:
    """Thrust and power coefficients.

    advance: J = V/(n D). tip_speed: of turning, π n D. [m/s] viscosity: kinematic. [m²/s] Arrays of
    one shape.
    """
    edges = _edges(propeller.blade.root)
    places, widths = (edges[1:] + edges[:-1]) / 2, np.diff(edges)
    blade = propeller.blade
    chords = np.interp(places, blade.places, blade.chords)
    twist = np.interp(places, blade.places, blade.angles)
    turning, tips = places * math.pi, tip_speed[..., None] / math.pi  # speeds over n D
    flow = np.broadcast_to(advance[..., None], (*advance.shape, len(places)))
    speed = np.hypot(flow, turning)
    reynolds = speed * tips * chords * propeller.diameter / 2 / viscosity
    ring = _Ring(propeller, places, chords, twist, reynolds)
    angle = _inflow(ring, flow, turning)
    normal, tangent, k_n, k_t = ring.forces(angle)
    sin, cos = np.sin(angle), np.cos(angle)
    a, b = sin - k_n, cos + k_t
    local = (flow * a + turning * b) / np.maximum(a * a + b * b, 1e-12)
    # dT = B/2 ρ W² c c_n dr, with lengths over D/2 and speeds over n D.
    share = propeller.blades / 2 * local**2 * chords * widths / 4
    thrust = (share * normal).sum(axis=-1)
    torque = (share * tangent * places / 2).sum(axis=-1)
    return Coefficients(thrust, 2 * math.pi * torque)


def _edges(root: float) -> Array:
    """Edges of the rings over the tip radius, closer together towards the tip."""
    turn = np.linspace(0.0, math.pi / 2, ELEMENTS + 1)
    return np.asarray(root + (1.0 - root) * np.sin(turn))


class _Ring(NamedTuple):
    """All rings of a propeller, for all states at once."""

    propeller: Propeller
    places: Array
    chords: Array
    twist: Array
    reynolds: Array

    def forces(self, angle: Array) -> tuple[Array, Array, Array, Array]:
        """c_n, c_t, k_n and k_t at an inflow angle. [rad]"""
        sin, cos = np.sin(angle), np.cos(angle)
        lift, drag = self.propeller.section.forces(
            self.twist - angle, self.reynolds, np.broadcast_to(self.chords / self.places, sin.shape)
        )
        normal, tangent = lift * cos - drag * sin, lift * sin + drag * cos
        solidity = self.propeller.blades * self.chords / (2 * math.pi * self.places)
        share = solidity / (4 * self.loss(sin) * sin)
        return normal, tangent, share * normal, share * tangent

    def loss(self, sin: Array) -> Array:
        """Prandtl's tip loss (in H. Glauert, *Airplane Propellers*, 1935)."""
        if not self.propeller.loss:
            return np.ones_like(sin)
        gap = self.propeller.blades / 2 * (1 - self.places) / (self.places * sin)
        factor = 2 / math.pi * np.arccos(np.exp(-np.minimum(gap, 60.0)))
        return np.asarray(np.maximum(factor, 1e-4))


def _inflow(ring: _Ring, flow: Array, turning: Array) -> Array:
    """Inflow angle of every ring. [rad] Times sin φ the residual is finite at φ = 0 too."""

    def left(angle: Array) -> Array:
        _, _, k_n, k_t = ring.forces(angle)
        sin = np.sin(angle)
        return np.asarray(sin * (flow * (np.cos(angle) + k_t) - turning * (sin - k_n)))

    low, high = np.full(flow.shape, _FLATTEST), np.full(flow.shape, math.pi / 2)
    return roots(left, low, high, tolerance=_NARROW)


class Curves:
    """CT and CP over advance ratio and tip speed, held at the ends: worked out or measured."""

    def __init__(
        self, *, tip_speeds: Array, advance: Array, thrust: Array, power: Array, measured: bool
    ) -> None:
        """Take a table. thrust, power: (tip speeds, advance ratios), both rising."""
        self.tip_speeds, self.advance, self.measured = tip_speeds, advance, measured
        self.thrust, self.power = thrust, power
        self._log = np.log(tip_speeds)

    def at(self, advance: Array, tip_speed: Array) -> Coefficients:
        """CT and CP at J = V/(n D) and π n D. [m/s]"""
        place = np.interp(np.log(np.maximum(tip_speed, 1e-9)), self._log, np.arange(len(self._log)))
        lower = np.minimum(place.astype(int), max(len(self._log) - 2, 0))
        upper = np.minimum(lower + 1, len(self._log) - 1)
        part = place - lower
        rows = np.stack(
            [
                [np.interp(advance, self.advance, row) for row in table]
                for table in (self.thrust, self.power)
            ]
        )
        flat = np.arange(advance.size).reshape(advance.shape)
        picked = rows.reshape(2, len(self._log), -1)
        mixed = (1 - part) * picked[:, lower, flat] + part * picked[:, upper, flat]
        return Coefficients(mixed[0], mixed[1])

    @property
    def no_thrust(self) -> float:
        """The advance ratio at which the thrust has gone, at the highest tip speed but one."""
        row = self.thrust[max(len(self.thrust) - 2, 0)]
        gone = np.flatnonzero(row <= 0.0)
        return float(self.advance[gone[0]] if len(gone) else self.advance[-1])


@lru_cache(maxsize=64)
def curves_of(propeller: Propeller, *, viscosity: float) -> Curves:
    """Curves by blade-element momentum theory. viscosity: kinematic. [m²/s]"""
    tip_angle = float(np.interp(0.75, propeller.blade.places, propeller.blade.angles))
    furthest = 1.5 * 0.75 * math.pi * math.tan(min(tip_angle, 1.2)) + 0.3
    advance = np.linspace(0.0, furthest, _STEPS)
    tips = np.array(_TIP_SPEEDS)
    grid_j, grid_t = np.meshgrid(advance, tips)
    found = coefficients(propeller, advance=grid_j, tip_speed=grid_t, viscosity=viscosity)
    return Curves(
        tip_speeds=tips, advance=advance, thrust=found.thrust, power=found.power, measured=False
    )


def pitch_speed(*, pitch: float, rate: float) -> float:
    """Speed of a screw that does not slip. [m/s] pitch: [m] rate: turns a second."""
    return pitch * rate


def figure_of_merit(*, thrust: float, power: float) -> float:
    """Least power for the static thrust over the power taken: CT √(2 CT/π)/CP. Coefficients."""
    return thrust * math.sqrt(2 * max(thrust, 0.0) / math.pi) / power if power > 0.0 else 0.0
