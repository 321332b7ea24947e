"""Textbook proportions: trapezoids from areas, tails from volumes, a neutral point of two wings."""

from __future__ import annotations

import math
from dataclasses import dataclass

WING_ASPECT = 6.0  # common practice, no source: usual for trainers
WING_TAPER = 0.75  # common practice, no source
HORIZONTAL_VOLUME = 0.55  # Raymer's table for sailplanes and homebuilts gives 0.50
VERTICAL_VOLUME = 0.04  # Raymer's table for homebuilts
TWO_SURFACE_VERTICAL_VOLUME = 0.05  # estimate: more body ahead of the balance point
TAILLESS_VERTICAL_VOLUME = 0.03  # estimate: tip fins sit on a short arm
TAIL_ARM_CHORDS = 2.5  # common practice, no source

GRAVITY = 9.80665  # m/s²; BIPM, The International System of Units
_TRAINER_MASS = 0.70  # kg at _TRAINER_AREA; estimate
_TRAINER_AREA = 0.24  # m², 1.2 m span at aspect ratio 6
_MASS_POWER = 1.15  # of the area; estimate, between equal loading (1) and equal shape (1.5)


@dataclass(frozen=True)
class Panel:
    """A straight-tapered surface, whole millimetres so that it is what the file says.

    half: root to tip. root, tip: chords. back: leading edge at the tip, aft of that at the root.
    halves: 2 when it is built on both sides, 1 for a fin.
    """

    half: int
    root: int
    tip: int
    back: int
    halves: int = 2

    @property
    def area(self) -> float:
        """Area of all halves. [mm²]"""
        return self.halves * self.half * (self.root + self.tip) / 2

    @property
    def mac(self) -> float:
        """Mean aerodynamic chord of a trapezoid. [mm] Source: Raymer, wing geometry."""
        taper = self.tip / self.root
        return 2 / 3 * self.root * (1 + taper + taper**2) / (1 + taper)

    @property
    def quarter(self) -> float:
        """Quarter point of the mean aerodynamic chord, aft of the root leading edge. [mm]"""
        taper = self.tip / self.root
        out = (1 + 2 * taper) / (3 * (1 + taper))
        return out * self.back + self.mac / 4

    @property
    def aspect(self) -> float:
        """Aspect ratio."""
        return (self.halves * self.half) ** 2 / self.area

    @property
    def span(self) -> int:
        """Span of all halves, laid flat. [mm]"""
        return self.halves * self.half


def trapezoid(
    *, area: float, aspect: float, taper: float, sweep: float = 0.0, halves: int = 2
) -> Panel:
    """A trapezoid of a given area [mm²], aspect ratio, taper and quarter-chord sweep [rad]."""
    half = max(10, round(math.sqrt(aspect * area) / halves))
    root = 2 * area / (halves * half) / (1 + taper)
    tip = taper * root
    back = (root - tip) / 4 + half * math.tan(sweep)
    return Panel(half, max(10, round(root)), max(8, round(tip)), round(back), halves)


def tail_area(*, volume: float, area: float, length: float, arm: float) -> float:
    """Tail area from a tail volume coefficient: V area length / arm. [mm²]

    length: mean aerodynamic chord for a horizontal tail, span for a vertical one. Source: D. P.
    Raymer, *Aircraft Design: A Conceptual Approach*, tail volume coefficients.
    """
    return volume * area * length / arm


def lift_slope(aspect: float) -> float:
    """Lift-curve slope of a straight wing. [1/rad]

    2π A/(A + 2), lifting-line theory for an elliptic load. Source: J. D. Anderson, *Fundamentals
    of Aerodynamics*, finite wings.
    """
    return 2 * math.pi * aspect / (aspect + 2)


def two_surface_neutral_point(front: Panel, rear: Panel, *, distance: float) -> float:
    """Neutral point of two lifting surfaces, aft of the front one's quarter point. [mm]

    Areas times slopes times arms, Σ S a x / Σ S a. The rear surface answers less by the front
    one's downwash, dε/dα = 2 a/(π A), on the share of its span that lies behind the front one. No
    credit is taken for upwash outside, and none taken off for the body: a first estimate. Source:
    Perkins & Hage, *Airplane Performance, Stability and Control*, wing and tail; the share of the
    span is an estimate.

    distance: between the two quarter points, rear behind front. [mm]
    """
    slope = lift_slope(front.aspect)
    shadow = min(1.0, front.span / rear.span)
    downwash = 2 * slope / (math.pi * front.aspect) * shadow
    ahead = front.area * slope
    behind = rear.area * lift_slope(rear.aspect) * (1 - downwash)
    return distance * behind / (ahead + behind)


@dataclass(frozen=True)
class Equipment:
    """Estimated masses of bought things, as shares of a trainer's flying mass. [g]"""

    flying: float
    motor: float
    propeller: float
    controller: float
    battery: float
    servo: float
    receiver: float
    rod: float


def equipment_for(*, wing_area: float, powered: bool) -> Equipment:
    """Estimate the equipment of a model by its wing area. [mm²]

    Shares are those of a usual electric trainer of 1.2 m, 700 g (estimate); small parts have a
    least mass below which nothing is sold (estimate).
    """
    flying = 1000 * _TRAINER_MASS * (wing_area * 1e-6 / _TRAINER_AREA) ** _MASS_POWER
    flying *= 1.0 if powered else 0.7
    return Equipment(
        flying=flying,
        motor=_grams(0.075 * flying, 5),
        propeller=_grams(0.02 * flying, 2),
        controller=_grams(0.038 * flying, 4),
        battery=_grams((0.168 if powered else 0.09) * flying, 8),
        servo=_grams(0.0136 * flying, 3.5),
        receiver=_grams(0.0125 * flying, 2),
        rod=_grams(0.01 * flying, 1),
    )


def _grams(value: float, least: float) -> float:
    """Round to half a gram, or to a gram when it is more than twenty."""
    value = max(value, least)
    return float(round(value)) if value > 20 else round(2 * value) / 2
