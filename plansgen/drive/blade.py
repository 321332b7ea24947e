"""Small propeller blades: their shape, and what their sections do at low Reynolds numbers.

A section lifts in a straight line up to its stall and is a plate beyond, the two blended as in
R. W. Beard & T. W. McLain, *Small Unmanned Aircraft*, 2012, eq. 4.9; the plate's normal force is
that of L. A. Viterna & R. D. Corrigan (1982). On a turning blade the roots stall late: H. Snel,
R. Houwink & J. Bosschers, *Sectional prediction of lift coefficients on rotating wind turbine
blades in stall*, ECN-C--93-052, 1993. Greatest lift and least drag are those of thin flat-bottomed
sections with rounded noses between Reynolds numbers of 20 000 and 200 000, as measured by
M. S. Selig and others (*Summary of Low-Speed Airfoil Data*), from memory, ±15 % in lift, ±30 % in
drag.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

ROOT = 0.15  # of the radius: further in is hub (common practice, no source)
BACKWARDS = 0.6  # greatest lift upside down over that the right way up (estimate)
UNDERSIDE = math.radians(1.2)  # chord line over the flat side that pitch is told for (estimate)


class Section(Protocol):
    """Lift and drag of a blade's section."""

    def forces(self, angle: Array, reynolds: Array, chord: Array) -> tuple[Array, Array]:
        """c_l and c_d. angle: of attack. [rad] chord: over the radius of the section."""


@dataclass(frozen=True)
class LinearSection:
    """A section of theory: lift in a straight line, no drag, for checks."""

    slope: float = 2 * math.pi

    def forces(self, angle: Array, reynolds: Array, chord: Array) -> tuple[Array, Array]:  # noqa: ARG002
        """c_l and c_d; nothing but the angle matters."""
        return self.slope * angle, np.zeros_like(angle)


@dataclass(frozen=True)
class SmallBladeSection:
    """A thin moulded section, flat below, about 9 % thick with 4 % camber."""

    slope: float = 5.7  # 1/rad, below 2 pi by the thick low-Re boundary layer
    no_lift: float = math.radians(-3.5)
    no_lift_reynolds: tuple[float, ...] = (2e4, 5e4, 1e5, 2e5)
    most_lift: tuple[float, ...] = (0.85, 1.05, 1.2, 1.3)
    least_drag: tuple[float, ...] = (0.045, 0.028, 0.019, 0.014)
    drag_lift: float = 0.4  # c_l at least drag
    drag_growth: float = 0.018
    plate: float = 1.25  # normal force coefficient broadside on, aspect ratio about 8
    sharpness: float = 35.0  # of the blend at the stall, 1/rad

    def forces(self, angle: Array, reynolds: Array, chord: Array) -> tuple[Array, Array]:
        """c_l and c_d over the whole circle of angles."""
        place = np.log(np.maximum(reynolds, 1.0))
        table = np.log(self.no_lift_reynolds)
        most = np.interp(place, table, self.most_lift)
        drag = np.interp(place, table, self.least_drag)
        straight = self.slope * (angle - self.no_lift)
        above = most / self.slope + self.no_lift
        below = -BACKWARDS * most / self.slope + self.no_lift
        gone = _gone(angle, above, below, self.sharpness)
        sin, cos = np.sin(angle), np.cos(angle)
        lift = (1 - gone) * straight + gone * self._stalled(sin, cos, most, above, below)
        # Rotation keeps the roots from stalling; the potential lift is its ceiling.
        ceiling = np.minimum(straight, 2.0)
        # Snel's gain fades from 30° to 50° (common in rotor codes, no source).
        late = np.minimum(3.0 * chord**2, 1.0) * np.clip((cos - 0.64) / 0.23, 0.0, 1.0)
        lift = lift + late * np.maximum(ceiling - lift, 0.0) * (angle > 0.0)
        attached = drag + self.drag_growth * (straight - self.drag_lift) ** 2
        drags = (1 - gone) * np.minimum(attached, 0.3) + gone * (drag + self.plate * sin**2)
        return lift, drags

    def _stalled(self, sin: Array, cos: Array, most: Array, above: Array, below: Array) -> Array:
        """c_l beyond the stall, fading from its greatest value to the plate's: Viterna's A1, A2."""
        edge = np.where(sin > 0.0, above, below)
        start = np.where(sin > 0.0, most, -BACKWARDS * most)
        rest = (start - self.plate * np.sin(edge) * np.cos(edge)) * np.sin(edge) / np.cos(edge) ** 2
        deep = np.where(sin > 0.0, np.maximum(sin, np.sin(edge)), np.minimum(sin, np.sin(edge)))
        return np.asarray(self.plate * sin * cos + rest * cos**2 / deep)


def _gone(angle: Array, above: Array, below: Array, sharpness: float) -> Array:
    """How far the flow has left the section, 0 to 1, by the angles of its two stalls."""
    over = 1 / (1 + np.exp(np.clip(-sharpness * (angle - above), -60, 60)))
    under = 1 / (1 + np.exp(np.clip(sharpness * (angle - below), -60, 60)))
    return np.asarray(np.minimum(over + under, 1.0))


@dataclass(frozen=True)
class Blade:
    """A blade along its radius; all over the tip radius, rising.

    places: of the radius. chords: over the tip radius. angles: of the chord line to the disc. [rad]
    """

    places: tuple[float, ...]
    chords: tuple[float, ...]
    angles: tuple[float, ...]

    def __post_init__(self) -> None:
        """Check the shape.

        Raises:
            ValueError: fewer than two places, unequal numbers, places that do not rise within the
                radius, or a chord that is not above 0.
        """
        count = len(self.places)
        if count < 2 or len(self.chords) != count or len(self.angles) != count:
            raise ValueError("a blade needs two or more places, each with a chord and an angle")
        if not all(a < b for a, b in zip(self.places, self.places[1:], strict=False)):
            raise ValueError("the places along a blade must rise")
        if not (self.places[0] > 0.0 and self.places[-1] <= 1.0):
            raise ValueError("the places along a blade must lie between hub and tip")
        if not min(self.chords) > 0.0:
            raise ValueError("a blade's chord must be above 0")

    @property
    def root(self) -> float:
        """Where the blade begins, over the tip radius."""
        return min(max(self.places[0], ROOT), 0.5)


# Chord over the tip radius of a typical moulded propeller for electric power; the measured shape
# of a 10 x 5 in one in the UIUC Propeller Database, smoothed, from memory (estimate for others).
_TYPICAL = (
    *((0.15, 0.130), (0.20, 0.150), (0.25, 0.173), (0.30, 0.189), (0.35, 0.197), (0.40, 0.200)),
    *((0.45, 0.199), (0.50, 0.194), (0.55, 0.186), (0.60, 0.174), (0.65, 0.160), (0.70, 0.145)),
    *((0.75, 0.129), (0.80, 0.112), (0.85, 0.096), (0.90, 0.080), (0.95, 0.062), (1.00, 0.041)),
)


def angle_of(*, pitch: float, place: float, radius: float, underside: float = UNDERSIDE) -> float:
    """Angle of the chord line to the disc of a blade with the same pitch all along. [rad]

    pitch: way forward in one turn. [m] place: over the radius. radius: of the tip. [m] underside:
    of the chord line over the flat side that pitch is measured on. [rad] Source: a screw's
    geometry, tan β = p/(2π r).
    """
    return math.atan(pitch / (2 * math.pi * place * radius)) + underside


def typical_blade(*, diameter: float, pitch: float) -> Blade:
    """Blade of a typical moulded propeller of that size: an estimate. [m]"""
    rows = [(place, chord, pitch) for place, chord in _TYPICAL]
    return drawn_blade(rows, diameter=diameter)


def drawn_blade(rows: Sequence[tuple[float, float, float]], *, diameter: float) -> Blade:
    """Blade from (place, chord, pitch): over the tip radius, over the tip radius, in metres.

    Raises:
        ValueError: as from ``Blade``.
    """
    radius = diameter / 2
    return Blade(
        places=tuple(place for place, _, _ in rows),
        chords=tuple(chord for _, chord, _ in rows),
        angles=tuple(angle_of(pitch=p, place=r, radius=radius) for r, _, p in rows),
    )
