"""What the controls can do between the stall and top speed, power off and on, and how it reads."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np

from plansgen.flight.handling import JUST_ABOVE, Handling, NoseLimit
from plansgen.quantity import Quantity

SPARE = 0.25  # share of the elevator that should be left just above the stall (estimate)
# R. R. Gilruth & W. N. Turner, NACA Report 715 (1941): pilots were content with pb/2V of 0.07, from
# memory. Half of it is felt as slow.
HELIX, HELIX_LEAST = 0.07, 0.035
# The sideslip of a cross-wind of a fifth of the stall speed (airworthiness rules for small
# aeroplanes, from memory): atan 0.2. Half of it will do in calm air.
SIDESLIP, SIDESLIP_LEAST = math.atan(0.2), math.atan(0.2) / 2
TAIL_VOLUME = 0.5  # D. P. Raymer, *Aircraft Design: A Conceptual Approach*, homebuilt
WAKE = 0.9  # of the dynamic pressure: less is felt (estimate)
SHORT_TRAVEL = math.radians(15.0)  # what a plain flap can still use to the full
NOSE_HEAVY = 0.20  # static margin beyond what models are flown with (common practice, no source)

Enough = Literal["enough", "little", "gone", "none"]
Cause = Literal["tail volume", "wake", "travel", "nose-heavy"]


@dataclass(frozen=True)
class PowerPoint:
    """All controls at one speed. A number is None where there is no such control.

    elevator_left: nose-up moment left with full up-elevator, over what the elevator gives in clear
    air; below 0 the nose stays down.
    """

    speed: Annotated[float, Quantity("m/s", "Airspeed", "flight-control-power")]
    thrust: Annotated[float, Quantity("N", "Thrust", "flight-thrust-estimate")]
    lift: Annotated[float, Quantity("1", "Lift coefficient, CL", "flight-control-power")]
    alpha: Annotated[float, Quantity("rad", "Angle of attack", "flight-control-power")]
    pressure: Annotated[
        float | None,
        Quantity("1", "Dynamic pressure at the elevator", "flight-control-pressure", "%"),
    ]
    elevator_left: Annotated[
        float | None, Quantity("1", "Elevator left", "flight-elevator-left", "%")
    ]
    pitch_acceleration: Annotated[
        float | None, Quantity("rad/s²", "Pitching acceleration", "flight-pitch-acceleration")
    ]
    helix: Annotated[
        float | None, Quantity("1", "Helix angle by aileron, pb/2V", "flight-helix-angle")
    ]
    roll_rate: Annotated[
        float | None, Quantity("rad/s", "Roll rate by aileron", "flight-helix-angle")
    ]
    sideslip: Annotated[
        float | None, Quantity("rad", "Sideslip held by rudder", "flight-sideslip-held")
    ]
    rudder_helix: Annotated[
        float | None, Quantity("1", "Helix angle by rudder, pb/2V", "flight-rudder-roll")
    ]


@dataclass(frozen=True)
class ControlReading:
    """Just above the stall, a word for each control, power off and on.

    causes: what takes the elevator's power away, worth saying even when enough is left.
    """

    elevator_off: Enough
    elevator_on: Enough
    aileron: Enough
    rudder: Enough
    causes: tuple[Cause, ...]


@dataclass(frozen=True)
class ControlPower:
    """Control power of one model. Points are at rising speeds; ``on`` is empty without propeller.

    thrust: standing still. thrust_assumed: by the usual thrust-to-weight.
    """

    stall_speed: Annotated[float, Quantity("m/s", "Stall speed", "flight-control-power")]
    thrust: Annotated[float, Quantity("N", "Static thrust", "flight-thrust-estimate")]
    thrust_assumed: bool
    off: tuple[PowerPoint, ...]
    on: tuple[PowerPoint, ...]
    nose_off: NoseLimit | None
    nose_on: NoseLimit | None
    reading: ControlReading


def point_at(handling: Handling, speed: float, *, power: bool) -> PowerPoint:
    """All controls at one speed. speed: [m/s]"""
    thrust = handling.thrust_at(speed) if power else 0.0
    lift = handling.lift_at(speed)
    alpha = handling.angle(lift)
    left = acceleration = ratio = None
    reference = handling.airframe.reference
    q = handling.density * speed**2 / 2
    if handling.balance is not None:
        elevator = handling.elevator(speed, thrust=thrust)
        ratio, left = elevator.pressure, elevator.left if elevator.clear > 0.0 else None
        acceleration = elevator.own * q * reference.area * reference.mac / handling.state.iyy
    helix = handling.helix(speed, alpha=alpha, thrust=thrust)
    sideslip = handling.sideslip(speed, alpha=alpha, thrust=thrust)
    return PowerPoint(
        speed=speed,
        thrust=thrust,
        lift=lift,
        alpha=alpha,
        pressure=ratio,
        elevator_left=left,
        pitch_acceleration=acceleration,
        helix=helix,
        roll_rate=helix * 2 * speed / reference.span if helix is not None else None,
        sideslip=sideslip,
        rudder_helix=handling.rudder_helix(sideslip),
    )


def causes_of(handling: Handling) -> tuple[Cause, ...]:
    """What takes the elevator's power away just above the stall."""
    if handling.balance is None:
        return ()
    found: list[Cause] = []
    volumes = {t.surface: t.volume for t in handling.airframe.tails if t.direction == "horizontal"}
    volume = volumes.get(handling.balance.surface.key)
    if volume is not None and 0.0 < volume < TAIL_VOLUME:
        found.append("tail volume")
    angle = handling.angle(handling.lift_at(JUST_ABOVE * handling.stall_speed))
    if float(handling.wake_ratio(handling.balance.surface, angle)) < WAKE:
        found.append("wake")
    if handling.travel(handling.balance.mode) < SHORT_TRAVEL:
        found.append("travel")
    if handling.derivatives.static_margin > NOSE_HEAVY:
        found.append("nose-heavy")
    return tuple(found)


def enough(value: float | None, *, good: float, least: float) -> Enough:
    """A word for how much there is. None: no such control."""
    if value is None:
        return "none"
    if value >= good:
        return "enough"
    return "little" if value >= least else "gone"


def work_out_control_power(handling: Handling, *, speeds: Sequence[float] = ()) -> ControlPower:
    """Control power from just above the stall to top speed.

    speeds: to work out, rising; left out, nine from 1.05 stall speeds. [m/s]
    """
    rows = list(speeds) or np.linspace(1.05 * handling.stall_speed, handling.top_speed, 9).tolist()
    slow = JUST_ABOVE * handling.stall_speed
    off = point_at(handling, slow, power=False)
    on = point_at(handling, slow, power=True) if handling.powered else None
    elevator = {"good": SPARE, "least": 0.0}
    return ControlPower(
        stall_speed=handling.stall_speed,
        thrust=handling.static_thrust if handling.powered else 0.0,
        thrust_assumed=handling.powered and handling.thrust_assumed,
        off=tuple(point_at(handling, speed, power=False) for speed in rows),
        on=tuple(point_at(handling, v, power=True) for v in rows) if handling.powered else (),
        nose_off=handling.nose_limit(power=False),
        nose_on=handling.nose_limit(power=True) if handling.powered else None,
        reading=ControlReading(
            elevator_off=enough(off.elevator_left, **elevator),
            elevator_on=enough(on.elevator_left if on else None, **elevator),
            aileron=enough(off.helix, good=HELIX, least=HELIX_LEAST),
            rudder=enough(off.sideslip, good=SIDESLIP, least=SIDESLIP_LEAST),
            causes=causes_of(handling),
        ),
    )
