"""What to do about the balance: slide the battery, or add ballast, and what that costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.layout import Reference
from plansgen.balance.centre import MassState
from plansgen.balance.target import Target
from plansgen.quantity import Quantity

TEN_GRAMS = 0.010  # the unit of the sensitivity [kg]


@dataclass(frozen=True)
class Ballast:
    """Ballast that brings the balance point onto the target, and the model it makes."""

    place: str
    at_x: Annotated[float, Quantity("m", "Place of the ballast, x", "ballast")]
    mass: Annotated[float, Quantity("kg", "Ballast", "ballast")]
    total: Annotated[float, Quantity("kg", "Mass with ballast", "ballast")]
    wing_loading: Annotated[float, Quantity("kg/m²", "Wing loading with ballast", "ballast")]


@dataclass(frozen=True)
class Remedy:
    """How to bring one state onto the target.

    slide: how far the battery must move, aft positive. battery_x: where its middle then sits, held
    within the bay. reached: whether the bay reaches far enough. ballast: what is still needed with
    the battery at the bay's end (or for a model without a battery).
    """

    offset: Annotated[float, Quantity("m", "Balance point aft of its target", "balance-offset")]
    within_limits: bool
    slide: Annotated[
        float | None, Quantity("m", "Slide the battery, aft positive", "battery-slide")
    ]
    battery_x: Annotated[
        float | None, Quantity("m", "Middle of the battery then, x", "battery-slide")
    ]
    reached: bool
    ballast: Ballast | None


@dataclass(frozen=True)
class BatteryPlace:
    """The battery in its bay. [kg, m]"""

    mass: float
    x: float
    foremost: float
    aftmost: float


@dataclass(frozen=True)
class BallastPlaces:
    """Where ballast goes: x in the nose and at the tail. [m]"""

    nose: float
    tail: float


def balance_shift(*, mass: float, x: float, added: float, at: float) -> float:
    """How far the balance point moves when a mass is added somewhere. [m, aft positive]"""
    return added * (at - x) / (mass + added)


def ballast_mass(*, mass: float, x: float, target: float, at: float) -> float:
    """Ballast at a place that brings the balance point onto the target. [kg]

    From moments about the target: m_b (x_b - x_t) = m (x_t - x).
    """
    return mass * (target - x) / (at - target)


def _ballast(
    *, mass: float, x: float, target: float, places: BallastPlaces, area: float
) -> Ballast | None:
    """Ballast in the nose for a tail-heavy model, at the tail for a nose-heavy one.

    None when that place lies on the wrong side of the target, where no ballast helps.
    """
    name, at = ("nose", places.nose) if x > target else ("tail", places.tail)
    needed = ballast_mass(mass=mass, x=x, target=target, at=at) if at != target else -1.0
    if needed <= 0.0:
        return None
    total = mass + needed
    return Ballast(name, at, needed, total, total / area)


def remedy_for(
    state: MassState,
    target: Target,
    battery: BatteryPlace | None,
    places: BallastPlaces,
    reference: Reference,
) -> Remedy:
    """Work out what brings a state onto the target."""
    offset = state.x - target.x
    within = target.forward_x - 1e-9 <= state.x <= target.aft_x + 1e-9
    slide = battery_x = None
    x, reached = state.x, abs(offset) < 1e-9
    if battery is not None:
        slide = -offset * state.mass / battery.mass
        battery_x = min(max(battery.x + slide, battery.foremost), battery.aftmost)
        reached = abs(battery.x + slide - battery_x) < 1e-9
        x = state.x + (battery_x - battery.x) * battery.mass / state.mass
    ballast = (
        None
        if reached
        else _ballast(mass=state.mass, x=x, target=target.x, places=places, area=reference.area)
    )
    return Remedy(offset, within, slide, battery_x, reached, ballast)


@dataclass(frozen=True)
class Sensitivity:
    """What ten grams do. Positive moves the balance point aft."""

    nose_x: Annotated[float, Quantity("m", "Nose place, x", "balance-sensitivity")]
    tail_x: Annotated[float, Quantity("m", "Tail place, x", "balance-sensitivity")]
    nose: Annotated[float, Quantity("m", "Shift for 10 g in the nose", "balance-sensitivity")]
    tail: Annotated[float, Quantity("m", "Shift for 10 g at the tail", "balance-sensitivity")]


def sensitivity_of(state: MassState, places: BallastPlaces) -> Sensitivity:
    """How far ten grams at either end move the balance point."""
    return Sensitivity(
        places.nose,
        places.tail,
        balance_shift(mass=state.mass, x=state.x, added=TEN_GRAMS, at=places.nose),
        balance_shift(mass=state.mass, x=state.x, added=TEN_GRAMS, at=places.tail),
    )


@dataclass(frozen=True)
class Lateral:
    """Sideways balance: which wing is heavy, and the ballast at the other tip that levels it."""

    y: Annotated[float, Quantity("m", "Balance point, to starboard", "lateral-balance")]
    tip_y: Annotated[float, Quantity("m", "Tip, from the centre line", "lateral-balance")]
    ballast: Annotated[float, Quantity("kg", "Ballast at the light wing's tip", "lateral-balance")]


def lateral_of(state: MassState, reference: Reference) -> Lateral:
    """Ballast at the tip of the light wing that brings the balance point to the centre line."""
    tip = reference.span / 2
    return Lateral(state.y, tip, state.mass * abs(state.y) / tip)
