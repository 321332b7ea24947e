"""A builder's own model: other masses in other places, and what they make of the balance.

The page works it out again in the browser, with the formulas that stand here; both are held to the
same answers by a test.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.airframe.layout import Reference
from plansgen.atmosphere import Air
from plansgen.balance.advice import (
    BallastPlaces,
    BatteryPlace,
    lateral_of,
    remedy_for,
    sensitivity_of,
)
from plansgen.balance.centre import state_of
from plansgen.balance.elements import Vertex, simplex, together
from plansgen.balance.target import Target


@dataclass(frozen=True)
class Thing:
    """Something that flies along: what it weighs and where its middle sits. [kg, m]"""

    mass: float
    at: Vertex


@dataclass(frozen=True)
class BenchModel:
    """What does not change with a builder's masses.

    neutral_x: of the neutral point. [m] lift_max: greatest lift coefficient. Both are None where
    the flight is not worked out.
    """

    reference: Reference
    target: Target | None
    places: BallastPlaces
    neutral_x: float | None
    lift_max: float | None
    air: Air | None


@dataclass(frozen=True)
class BenchAnswer:
    """The balance of a builder's model. [kg, m, m/s]

    within: whether the balance point lies within the limits. slide, battery_x: what brings it onto
    the target, and where the battery then sits in its bay; reached: whether that is enough.
    ballast: what is still needed, at ballast_x. ten_nose, ten_tail: what 10 g there do.
    tip_ballast: at the tip of the light wing. None: not known, or nothing to do.
    """

    mass: float
    x: float
    y: float
    z: float
    from_root: float
    mac_share: float
    wing_loading: float
    cubic_loading: float
    offset: float | None
    within: bool | None
    slide: float | None
    battery_x: float | None
    reached: bool | None
    ballast: float | None
    ballast_x: float | None
    total: float | None
    ten_nose: float
    ten_tail: float
    tip_ballast: float
    static_margin: float | None
    stall_speed: float | None


def bench_answer(
    model: BenchModel, things: Sequence[Thing], battery: BatteryPlace | None, battery_at: Vertex
) -> BenchAnswer:
    """Balance, margin, loading and stall of a builder's model.

    Args:
        model: What the plan says.
        things: All that flies but the battery.
        battery: In its bay; None for a model without one.
        battery_at: Where its middle is; its x is the battery's.

    Raises:
        ValueError: nothing in it weighs anything.
    """
    pieces = [simplex([thing.at], thing.mass) for thing in things]
    if battery is not None:
        pieces.append(simplex([battery_at], battery.mass))
    moments = together(pieces)
    if not moments.mass > 0.0:
        raise ValueError("a model that weighs nothing has no balance")
    reference, places = model.reference, model.places
    state = state_of("", moments, reference)
    remedy = None
    if model.target is not None:
        weighs = battery if battery is not None and battery.mass > 0.0 else None
        remedy = remedy_for(state, model.target, weighs, places, reference)
    ballast = remedy.ballast if remedy else None
    sensitivity = sensitivity_of(state, places)
    return BenchAnswer(
        mass=state.mass,
        x=state.x,
        y=state.y,
        z=state.z,
        from_root=state.from_root,
        mac_share=state.mac_share,
        wing_loading=state.wing_loading,
        cubic_loading=state.cubic_loading,
        offset=remedy.offset if remedy else None,
        within=remedy.within_limits if remedy else None,
        slide=remedy.slide if remedy else None,
        battery_x=remedy.battery_x if remedy else None,
        reached=remedy.reached if remedy else None,
        ballast=ballast.mass if ballast else None,
        ballast_x=ballast.at_x if ballast else None,
        total=ballast.total if ballast else None,
        ten_nose=sensitivity.nose,
        ten_tail=sensitivity.tail,
        tip_ballast=lateral_of(state, reference).ballast,
        static_margin=(
            None if model.neutral_x is None else (model.neutral_x - state.x) / reference.mac
        ),
        stall_speed=(
            None
            if model.lift_max is None or model.air is None
            else model.air.speed_of(mass=state.mass, area=reference.area, lift=model.lift_max)
        ),
    )
