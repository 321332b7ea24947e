"""What would give the elevator more to work with just above the stall, each solved by itself.

Tail arm and tail area: the airframe is made anew with the tail moved aft, or larger in the same
shape, and balanced as far ahead of its own neutral point as before, for a larger tail carries the
neutral point aft with it. Everything else, bodies too, stays. Balance point: the lift's moment
about it turns, and static margin is lost, which is given with it. Throttle: the propeller's wash
over the tail and the thrust's own moment.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from plansgen.airframe.changed import with_surface_changed
from plansgen.flight.control_power import SPARE
from plansgen.flight.handling import JUST_ABOVE, Handling
from plansgen.flight.pitch_balance import PitchBalance, neutral_point_aft
from plansgen.quantity import Quantity

_MOST = 2.5  # times the arm or the area: beyond it, it is another model
_MOST_THRUST = 1.5  # times the weight
_TRIES = 6
_NEAR = 0.002  # of the elevator


@dataclass(frozen=True)
class PitchHelp:
    """Ways to a wanted share of the elevator left, power off; each alone. None: not in this way.

    now, with_power, out_of_wake: share left as it is, at full throttle, and with the tail out of
    the wing's wake. tail_arm, tail_area: at the same static margin. balance_shift: aft, with the
    tail as it is. thrust: of all propellers at that speed.
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
    tail_arm_shift: Annotated[
        float | None, Quantity("m", "Balance point further aft with it", "flight-elevator-help")
    ]
    tail_area: Annotated[float | None, Quantity("m²", "Tail area", "flight-elevator-help")]
    tail_area_shift: Annotated[
        float | None, Quantity("m", "Balance point further aft with it", "flight-elevator-help")
    ]
    balance_shift: Annotated[
        float, Quantity("m", "Balance point further aft", "flight-elevator-help")
    ]
    static_margin_then: Annotated[float, Quantity("1", "Static margin then", "static-margin", "%")]
    thrust: Annotated[float | None, Quantity("N", "Thrust needed", "flight-elevator-help")]


def _reached(
    value: Callable[[float], float], wanted: float, *, start: float, low: float, high: float
) -> float | None:
    """Least x at which value(x) comes up to wanted; None when it has not by ``high``.

    start: value(low). The way up is walked in three steps, then closed in on by straight lines.
    """
    if start >= wanted:
        return low
    x0, y0 = low, start
    for step in (1, 2, 3):
        x1 = low + (high - low) * (step / 3) ** 1.5
        y1 = value(x1)
        if y1 >= wanted:
            return _closed_in(value, wanted, (x0, y0), (x1, y1))
        x0, y0 = x1, y1
    return None


def _closed_in(
    value: Callable[[float], float],
    wanted: float,
    low: tuple[float, float],
    high: tuple[float, float],
) -> float:
    (x0, y0), (x1, y1) = low, high
    for _ in range(_TRIES):
        if not math.isfinite(y0) or y1 - wanted < _NEAR:
            break
        x = x0 + (x1 - x0) * min(max((wanted + _NEAR / 2 - y0) / (y1 - y0), 0.05), 0.95)
        y = value(x)
        if y >= wanted:
            x1, y1 = x, y
        else:
            x0, y0 = x, y
    return x1


class _Tail:
    """The control's surface, moved aft or made larger."""

    def __init__(self, handling: Handling, balance: PitchBalance, speed: float) -> None:
        self.handling, self.speed, self.key = handling, speed, balance.surface.key
        plan = balance.surface.planform
        self.arm = plan.quarter_chord_x - handling.airframe.reference.quarter_chord_x
        self.area = plan.area
        self.margin = neutral_point_aft(
            handling.airframe, lattice=handling.lattice, point=handling.point
        )
        self._known: dict[tuple[float, float], Handling] = {(1.0, 1.0): handling}

    def changed(self, *, arm: float = 1.0, area: float = 1.0) -> Handling:
        """The model with it. arm, area: over what they are."""
        if (arm, area) not in self._known:
            airframe = with_surface_changed(
                self.handling.airframe, self.key, aft=(arm - 1) * self.arm, size=math.sqrt(area)
            )
            self._known[arm, area] = self.handling.anew(airframe, margin=self.margin)
        return self._known[arm, area]

    def left(self, *, arm: float = 1.0, area: float = 1.0) -> float:
        """Share of its elevator left."""
        return self.changed(arm=arm, area=area).elevator(self.speed).left

    def shift(self, *, arm: float = 1.0, area: float = 1.0) -> float:
        """How far aft the balance point goes. [m]"""
        return self.changed(arm=arm, area=area).point[0] - self.handling.point[0]


def pitch_help(handling: Handling, *, target: float = SPARE) -> PitchHelp | None:
    """Solve each way for itself; None without a pitch control.

    target: share of the elevator that should be left at 1.1 stall speeds. Where it is there
    already, arm and area come back as they are, shifts and thrust as 0.

    Raises:
        ValueError: the target does not lie between 0 and 1.
    """
    if not 0.0 < target < 1.0:
        raise ValueError(f"the share of the elevator is {target:g}, but must lie between 0 and 1")
    balance = handling.balance
    if balance is None:
        return None
    speed = JUST_ABOVE * handling.stall_speed
    now = handling.elevator(speed)
    tail = _Tail(handling, balance, speed)
    arm = area = None
    if not balance.on_wing and tail.arm > 0.0:
        ends = {"start": now.left, "low": 1.0, "high": _MOST}
        arm = _reached(lambda k: tail.left(arm=k), target, **ends)
        area = _reached(lambda k: tail.left(area=k), target, **ends)
    chord = handling.airframe.reference.mac
    shift = max(0.0, (target * now.clear - now.moment) * chord / handling.lift_at(speed))
    full = handling.thrust_at(speed)
    return PitchHelp(
        target=target,
        speed=speed,
        now=now.left,
        with_power=handling.elevator(speed, thrust=full).left if handling.powered else None,
        out_of_wake=handling.elevator(speed, wake=False).left,
        tail_arm=tail.arm * arm if arm is not None else None,
        tail_arm_shift=tail.shift(arm=arm) if arm is not None else None,
        tail_area=tail.area * area if area is not None else None,
        tail_area_shift=tail.shift(area=area) if area is not None else None,
        balance_shift=shift,
        static_margin_then=handling.derivatives.static_margin - shift / chord,
        thrust=_thrust(handling, speed, target),
    )


def _thrust(handling: Handling, speed: float, target: float) -> float | None:
    """Least thrust that does it; None without propeller, or when none does."""
    if not handling.powered:
        return None

    def left(thrust: float) -> float:
        return handling.elevator(speed, thrust=thrust).left

    tries = np.linspace(0.0, _MOST_THRUST * handling.weight, 61).tolist()
    index = next((k for k, thrust in enumerate(tries) if left(thrust) >= target), None)
    if not index:
        return None if index is None else 0.0
    low, high = tries[index - 1], tries[index]
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (low, middle) if left(middle) >= target else (middle, high)
    return float(high)
