"""Flight under power: top speed, climb, throttle for level flight, and how long the battery lasts.

Thrust of the solved drive against the drag of level flight at every speed (J. D. Anderson,
*Aircraft Performance and Design*). Full throttle is that of a fresh battery; throttle and current
in level flight are those of its mean voltage. A measured static thrust wins over the worked-out
one, which then keeps its shape over speed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.atmosphere import GRAVITY, Air
from plansgen.drive.case import DriveCase
from plansgen.flight.engine_out import EngineOut
from plansgen.flight.performance import Performance
from plansgen.flight.thrust_line import ThrustLine
from plansgen.library.models import MixPart, Throttle
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

_POWERED, _TIME = "flight-powered", "flight-endurance"
POINTS = 15
_FINE = 241
_BEYOND = 2.0  # times the fastest speed that drag is worked out for


@dataclass(frozen=True)
class StaticThrust:
    """Thrust of all propellers standing still, full throttle.

    measured: as the design gives it. apart: worked out less measured, as a share of the measured.
    spread: of the worked-out one, one standard deviation.
    """

    used: Annotated[float, Quantity("N", "Static thrust, all propellers", _POWERED)]
    worked_out: Annotated[float, Quantity("N", "Static thrust, worked out", _POWERED)]
    measured: Annotated[float | None, Quantity("N", "Static thrust, measured", "given-by-designer")]
    apart: Annotated[
        float | None, Quantity("1", "Worked-out over measured thrust, less 1", _POWERED, "%")
    ]
    spread: Annotated[float, Quantity("1", "Spread of thrust", "drive-spread", "%")]


@dataclass(frozen=True)
class ClimbPoint:
    """A climb at full throttle."""

    speed: Annotated[float, Quantity("m/s", "Airspeed of the climb", _POWERED)]
    rate: Annotated[float, Quantity("m/s", "Rate of climb", _POWERED)]
    angle: Annotated[float, Quantity("rad", "Angle of climb", _POWERED)]


@dataclass(frozen=True)
class LevelPoint:
    """Level flight at one speed."""

    speed: Annotated[float, Quantity("m/s", "Airspeed, level", _POWERED)]
    throttle: Annotated[float, Quantity("1", "Throttle, level", _POWERED, "%")]
    current: Annotated[float, Quantity("A", "Current, level", _POWERED)]


@dataclass(frozen=True)
class MixedPart:
    """One share of a flight with what it draws."""

    throttle: Throttle
    share: Annotated[float, Quantity("1", "Share of the flight", "given-by-designer", "%")]
    current: Annotated[float, Quantity("A", "Mean current", _TIME)]


@dataclass(frozen=True)
class FlightTime:
    """How long the charge that is flown with lasts."""

    parts: tuple[MixedPart, ...]
    current: Annotated[float, Quantity("A", "Mean current of a flight", _TIME)]
    mixed: Annotated[float, Quantity("s", "Flight time, usual flight", _TIME)]
    level: Annotated[float | None, Quantity("s", "Flight time, level only", _TIME)]
    full: Annotated[float, Quantity("s", "Flight time, full throttle only", _TIME)]


@dataclass(frozen=True)
class Powered:
    """Flight under power at the usual loading.

    speeds, thrusts, drags: full throttle and level flight, rising. top_speed: None where full
    throttle never holds level. cruise: None where it cannot be flown level. least: of throttle.
    engine_out: None with every motor on the centre line.
    """

    static: StaticThrust
    thrust_to_weight: Annotated[float, Quantity("1", "Thrust to weight", _POWERED)]
    speeds: tuple[Annotated[float, Quantity("m/s", "Airspeed", _POWERED)], ...]
    thrusts: tuple[Annotated[float, Quantity("N", "Thrust, full throttle", _POWERED)], ...]
    drags: tuple[Annotated[float, Quantity("N", "Drag, level flight", _POWERED)], ...]
    top_speed: Annotated[float | None, Quantity("m/s", "Top speed, level", _POWERED)]
    best_climb: ClimbPoint | None
    steepest: ClimbPoint | None
    level: tuple[LevelPoint, ...]
    cruise: LevelPoint | None
    least: LevelPoint | None
    time: FlightTime
    thrust_lines: tuple[ThrustLine, ...]
    engine_out: EngineOut | None


class _Drag:
    """Drag of level flight. [N] Beyond the worked-out speeds the coefficient is held."""

    def __init__(self, performance: Performance, *, air: Air, area: float) -> None:
        self._speeds, self._drags = performance.speeds, performance.drags
        self._half = 0.5 * air.density * area

    def at(self, speed: Array) -> Array:
        return self._half * speed**2 * np.interp(speed, self._speeds, self._drags)


def static_thrust_of(
    *, worked_out: float, spread: float, measured: float | None = None
) -> StaticThrust:
    """Measured and worked-out static thrust beside each other; the measured one is used. [N]"""
    known = measured is not None and measured > 0.0
    return StaticThrust(
        used=measured if measured is not None and known else worked_out,
        worked_out=worked_out,
        measured=measured,
        apart=worked_out / measured - 1.0 if measured is not None and known else None,
        spread=spread,
    )


def scaled(case: DriveCase, static: StaticThrust) -> DriveCase:
    """The same drives, giving the thrust that is used; torque and current stay."""
    share = static.used / static.worked_out if static.worked_out > 0.0 else 1.0
    return DriveCase(
        case.drives,
        case.pack,
        case.usable,
        case.fresh.with_share(thrust=share),
        case.mean.with_share(thrust=share),
    )


def work_out_powered(
    case: DriveCase,
    *,
    static: StaticThrust,
    performance: Performance,
    air: Air,
    area: float,
    mass: float,
    cruise: float,
    mix: Sequence[MixPart],
    thrust_lines: tuple[ThrustLine, ...] = (),
    engine_out: EngineOut | None = None,
) -> Powered:
    """Flight under power.

    case: drives and battery, unscaled. performance: level flight at that mass. area: of the wing.
    [m²] mass: [kg] cruise: speed. [m/s] mix: shares of a usual flight.
    """
    drives, drag, weight = (
        scaled(case, static),
        _Drag(performance, air=air, area=area),
        mass * GRAVITY,
    )
    slow = performance.speeds[0]
    fine = np.linspace(slow, _BEYOND * performance.speeds[-1], _FINE)
    thrust = drives.fresh.thrusts(throttle=np.ones_like(fine), speed=fine)
    spare = thrust - drag.at(fine)
    top = _last_zero(fine, spare)
    fast = min(1.1 * top if top else performance.speeds[-1], float(fine[-1]))
    speeds = np.linspace(slow, fast, POINTS)
    steepest, best = _climbs(fine, spare / weight)
    level = _levels(drives, drag, np.linspace(1.05 * slow, max(top or 0.0, 1.06 * slow), POINTS))
    at_cruise = _levels(drives, drag, np.array([cruise]))
    return Powered(
        static=static,
        thrust_to_weight=static.used / weight,
        speeds=tuple(speeds.tolist()),
        thrusts=tuple(np.interp(speeds, fine, thrust).tolist()),
        drags=tuple(drag.at(speeds).tolist()),
        top_speed=top,
        best_climb=best,
        steepest=steepest,
        level=level,
        cruise=at_cruise[0] if at_cruise else None,
        least=min(level, key=lambda point: point.throttle, default=None),
        time=_time(
            drives,
            mix=mix,
            climb=best.speed if best else cruise,
            level=at_cruise[0].current if at_cruise else None,
        ),
        thrust_lines=thrust_lines,
        engine_out=engine_out,
    )


def _last_zero(speeds: Array, spare: Array) -> float | None:
    """The fastest speed at which nothing is left over; None where nothing ever is. [m/s]"""
    over = np.flatnonzero(spare > 0.0)
    if not len(over):
        return None
    i = int(over[-1])
    if i == len(speeds) - 1:
        return float(speeds[-1])
    share = spare[i] / (spare[i] - spare[i + 1])
    return float(speeds[i] + share * (speeds[i + 1] - speeds[i]))


def _climbs(speeds: Array, sine: Array) -> tuple[ClimbPoint | None, ClimbPoint | None]:
    """Steepest and fastest climb. sine: thrust left over, over the weight."""
    sine = np.minimum(sine, 1.0)
    if not float(sine.max()) > 0.0:
        return None, None

    def point(i: int) -> ClimbPoint:
        return ClimbPoint(
            speed=float(speeds[i]),
            rate=float(speeds[i] * sine[i]),
            angle=math.asin(float(sine[i])),
        )

    return point(int(sine.argmax())), point(int((speeds * sine).argmax()))


def _levels(drives: DriveCase, drag: _Drag, speeds: Array) -> tuple[LevelPoint, ...]:
    """Level flight at those of the speeds that the mean battery can hold."""
    throttle = drives.mean.throttle_for(thrust=drag.at(speeds), speed=speeds)
    can = np.isfinite(throttle)
    if not can.any():
        return ()
    states = drives.mean.whole(throttle=throttle[can], speed=speeds[can])
    return tuple(LevelPoint(state.speed, state.throttle, state.current) for state in states)


def _time(
    drives: DriveCase, *, mix: Sequence[MixPart], climb: float, level: float | None
) -> FlightTime:
    full = drives.mean.state(speed=climb).current
    drawn: dict[Throttle, float] = {
        "full": full,
        "level": full if level is None else level,
        "off": 0.0,
    }
    parts = tuple(MixedPart(p.throttle, p.share, drawn[p.throttle]) for p in mix)
    mean = sum(part.share * part.current for part in parts)
    charge = drives.pack.capacity * drives.pack.kept * drives.usable
    least = charge / (
        100 * 3600.0
    )  # nobody flies for a hundred hours: a mix of nothing but gliding
    return FlightTime(
        parts=parts,
        current=mean,
        mixed=charge / max(mean, least),
        level=charge / level if level else None,
        full=charge / max(full, least),
    )
