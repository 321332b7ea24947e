"""What would give the elevator more to work with just above the stall, each solved by itself.

Tail arm and area are changed in proportion: the tail's own lift grows with its area, its moment
with area and arm, at the same angle and in the same air. That leaves out the weaker downwash
further back, the wake's change with distance, and the balance point, which is held (by moving the
battery). Built anew with the tail moved so far, a model has within a twentieth of the elevator as
much left. A shift of the balance point turns the lift's moment about it and costs static margin,
which is given with it. Throttle is the propeller's wash over the tail and the thrust's own moment.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from plansgen.flight.control_power import SPARE
from plansgen.flight.handling import JUST_ABOVE, Handling
from plansgen.quantity import Quantity

_MOST = 3.0  # times the arm or the area: beyond it, it is another model
_MOST_THRUST = 1.5  # times the weight
_TRIES = 81


@dataclass(frozen=True)
class PitchHelp:
    """Ways to a wanted share of the elevator left, power off; each alone. None: not in this way.

    now, with_power, out_of_wake: share left as it is, at full throttle, and with the tail out of
    the wing's wake. balance_shift: aft. thrust: of all propellers at that speed.
    """

    target: Annotated[float, Quantity("1", "Elevator wanted", "flight-elevator-help", "%")]
    speed: Annotated[float, Quantity("m/s", "Just above the stall", "flight-elevator-help")]
    now: Annotated[float, Quantity("1", "Elevator left", "flight-elevator-left", "%")]
    with_power: Annotated[
        float | None, Quantity("1", "Elevator left at full throttle", "flight-elevator-left", "%")
    ]
    out_of_wake: Annotated[
        float, Quantity("1", "Elevator left, tail out of the wake", "flight-elevator-left", "%")
    ]
    tail_arm: Annotated[float | None, Quantity("m", "Tail arm", "flight-elevator-help")]
    tail_area: Annotated[float | None, Quantity("m²", "Tail area", "flight-elevator-help")]
    balance_shift: Annotated[
        float, Quantity("m", "Balance point further aft", "flight-elevator-help")
    ]
    static_margin_then: Annotated[float, Quantity("1", "Static margin then", "static-margin", "%")]
    thrust: Annotated[float | None, Quantity("N", "Thrust needed", "flight-elevator-help")]


def _reached(value: Callable[[float], float], wanted: float, *, low: float, high: float) -> float:
    """Least x from low to high with value(x) at or above wanted; nan when there is none.

    value need not rise: the first of evenly spaced tries that reaches it is closed in on.
    """
    before = low
    for x in np.linspace(low, high, _TRIES).tolist():
        if value(x) >= wanted:
            return _closed_in(value, wanted, before, x)
        before = x
    return float("nan")


def _closed_in(value: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    for _ in range(30):
        middle = (low + high) / 2
        if value(middle) >= wanted:
            high = middle
        else:
            low = middle
    return high


def _or_none(value: float) -> float | None:
    return value if np.isfinite(value) else None


def pitch_help(handling: Handling, *, target: float = SPARE) -> PitchHelp | None:
    """Solve each way for itself; None without a pitch control.

    target: share of the elevator that should be left at 1.1 stall speeds. Where it is there
    already, arm and area come back as they are, shift and thrust as 0.

    Raises:
        ValueError: the target does not lie between 0 and 1.
    """
    if not 0.0 < target < 1.0:
        raise ValueError(f"the share of the elevator is {target:g}, but must lie between 0 and 1")
    balance = handling.balance
    if balance is None:
        return None
    speed = JUST_ABOVE * handling.stall_speed
    now, left, own, _ = handling.elevator(speed)
    arm = area = float("nan")
    reference, quarter = handling.airframe.reference, balance.surface.planform.quarter_chord_x
    lever = quarter - handling.point[0]
    if not balance.on_wing and lever > 0.0:
        arm = _reached(lambda k: handling.elevator(speed, arm=k)[0], target, low=1.0, high=_MOST)
        area = _reached(lambda k: handling.elevator(speed, area=k)[0], target, low=1.0, high=_MOST)
    chord = reference.mac
    shift = max(0.0, (target * own - left) * chord / handling.lift_at(speed))
    full = handling.thrust_at(speed)
    return PitchHelp(
        target=target,
        speed=speed,
        now=now,
        with_power=handling.elevator(speed, thrust=full)[0] if handling.powered else None,
        out_of_wake=handling.elevator(speed, wake=False)[0],
        tail_arm=_or_none(quarter - reference.quarter_chord_x + (arm - 1) * lever),
        tail_area=_or_none(area * balance.surface.planform.area),
        balance_shift=shift,
        static_margin_then=handling.derivatives.static_margin - shift / chord,
        thrust=_thrust(handling, speed, target),
    )


def _thrust(handling: Handling, speed: float, target: float) -> float | None:
    if not handling.powered:
        return None
    return _or_none(
        _reached(
            lambda thrust: handling.elevator(speed, thrust=thrust)[0],
            target,
            low=0.0,
            high=_MOST_THRUST * handling.weight,
        )
    )
