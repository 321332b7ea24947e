"""Speeds and power: glide ratio, least sink, best glide, power to fly level.

In a straight glide at a small angle γ, tan γ = CD/CL and V² = 2 m g cos γ/(ρ S CL); in level flight
the power that must reach the air is D V. With drag CD0 + k CL² the best glide lies where CD0 = k
CL² and least sink where 3 CD0 = k CL² (J. D. Anderson, *Aircraft Performance and Design*); here the
drag is the worked-out one, so both are searched for.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.atmosphere import Air
from plansgen.flight.drag import ALLOWANCE, Drag, DragModel, Rod
from plansgen.flight.pitching import PitchModel
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

POINTS = 61
_FASTEST = 3.5  # times the stall speed


@dataclass(frozen=True)
class GlidePoint:
    """One speed of gliding flight. at_stall: it would lie below the stall, so this is the stall."""

    speed: Annotated[float, Quantity("m/s", "Gliding speed", "flight-glide")]
    sink: Annotated[float, Quantity("m/s", "Sink", "flight-glide")]
    ratio: Annotated[float, Quantity("1", "Glide ratio", "flight-glide")]
    lift: Annotated[float, Quantity("1", "Lift coefficient, CL", "flight-glide")]
    at_stall: bool


@dataclass(frozen=True)
class Performance:
    """What the model does over its speeds, trimmed, from the stall upwards.

    speeds, lifts, drags: level flight. power: that must reach the air; the motor's shaft gives
    more by the propeller's efficiency. glide_speeds, sinks: the same states gliding. spread: of the
    drag at best glide, share, one standard deviation; glide ratio and sink share it.
    """

    best_glide: GlidePoint
    least_sink: GlidePoint
    spread: Annotated[float, Quantity("1", "Spread of drag, sink and power", "flight-drag", "%")]
    zero_lift_drag: Annotated[
        float, Quantity("1", "Drag without lift, CD0, of the fitted parabola", "flight-drag")
    ]
    efficiency: Annotated[
        float | None, Quantity("1", "Oswald efficiency of the fitted parabola", "flight-drag")
    ]
    least_power: Annotated[
        float, Quantity("W", "Least power to fly level, in the air", "flight-level-power")
    ]
    least_power_speed: Annotated[
        float, Quantity("m/s", "Speed of least power", "flight-level-power")
    ]
    speeds: tuple[Annotated[float, Quantity("m/s", "Speed", "flight-level-power")], ...]
    lifts: tuple[Annotated[float, Quantity("1", "Lift coefficient, CL", "flight-drag")], ...]
    drags: tuple[Annotated[float, Quantity("1", "Drag coefficient, CD", "flight-drag")], ...]
    powers: tuple[
        Annotated[float, Quantity("W", "Power to fly level, in the air", "flight-level-power")], ...
    ]
    glide_speeds: tuple[Annotated[float, Quantity("m/s", "Gliding speed", "flight-glide")], ...]
    sinks: tuple[Annotated[float, Quantity("m/s", "Sink", "flight-glide")], ...]
    breakdown: Drag


def _peak(x: Array, values: Array) -> tuple[float, bool]:
    """Where values are greatest, by the parabola through three points; whether at the first."""
    i = int(values.argmax())
    if i in (0, len(x) - 1):
        return float(x[i]), i == 0
    (x0, x1, x2), (y0, y1, y2) = x[i - 1 : i + 2], values[i - 1 : i + 2]
    top = (x1 - x0) ** 2 * (y1 - y2) - (x1 - x2) ** 2 * (y1 - y0)
    bottom = (x1 - x0) * (y1 - y2) - (x1 - x2) * (y1 - y0)
    return float(x1 - top / (2 * bottom)) if bottom else float(x1), False


def glide_points(
    *, speeds: Sequence[float], lifts: Sequence[float], drags: Sequence[float]
) -> tuple[GlidePoint, GlidePoint]:
    """Best glide and least sink from level speeds that rise, with CL and CD at each. [m/s]

    Raises:
        ValueError: fewer than three speeds, or a CL or CD that is not above 0.
    """
    level, lift, drag = (np.asarray(values, dtype=float) for values in (speeds, lifts, drags))
    if len(level) < 3 or not (lift > 0.0).all() or not (drag > 0.0).all():
        raise ValueError("a glide needs three or more speeds with lift and drag above 0")
    log = np.log(level)
    _, sinks = gliding(speeds=level, lifts=lift, drags=drag)

    def point(values: Array) -> GlidePoint:
        place, at_stall = _peak(log, values)
        ratio = float(np.interp(place, log, lift / drag))
        cos = math.cos(math.atan(1.0 / ratio))
        speed = math.exp(place) * math.sqrt(cos)
        return GlidePoint(
            speed=speed,
            sink=speed * math.sin(math.acos(cos)),
            ratio=ratio,
            lift=float(np.interp(place, log, lift)),
            at_stall=at_stall,
        )

    return point(lift / drag), point(-sinks)


def gliding(*, speeds: Array, lifts: Array, drags: Array) -> tuple[Array, Array]:
    """Gliding speed and sink of states whose level speeds are given. [m/s]"""
    angle = np.arctan2(drags, lifts)
    glide = speeds * np.sqrt(np.cos(angle))
    return np.asarray(glide), np.asarray(glide * np.sin(angle))


def _parabola(lifts: Array, drags: Array, aspect: float) -> tuple[float, float | None]:
    """CD0 and Oswald's efficiency of CD0 + CL²/(π A e), least squares.

    e may come out poor, 0.3 for plates: it holds what the sections' own drag grows by, too.
    """
    growth, base = np.polyfit(lifts**2, drags, 1)
    return float(base), float(1.0 / (math.pi * aspect * growth)) if growth > 0.0 else None


def work_out_performance(
    model: PitchModel,
    *,
    mass: float,
    air: Air,
    lift_max: float,
    rods: Sequence[Rod] = (),
    stopped_propellers: bool = False,
    allowance: float = ALLOWANCE,
) -> Performance:
    """Glide and level flight from the stall to three and a half times its speed.

    mass: [kg] lift_max: as from ``work_out_stall``. rods: as from ``drag.rods_of``.
    stopped_propellers: in the glide only; level flight needs them running.

    Raises:
        ValueError: the greatest lift is out of the line's reach.
    """
    line = model.trimmed_line
    reference = model.airframe.reference
    stall = air.speed_of(mass=mass, area=reference.area, lift=lift_max)
    speeds = np.geomspace(stall, _FASTEST * stall, POINTS)
    lifts = lift_max * (stall / speeds) ** 2
    keep = (lifts >= line.lifts[0]) & (lifts <= line.lifts[-1])
    if not keep[0] or keep.sum() < 3:
        raise ValueError(f"a lift coefficient of {lift_max:g} is out of reach")
    speeds, lifts = speeds[keep], lifts[keep]
    level = DragModel(model, air=air, rods=rods, allowance=allowance)
    glide = DragModel(
        model, air=air, rods=rods, allowance=allowance, stopped_propellers=stopped_propellers
    )
    drags = level.coefficients(lifts=lifts, speeds=speeds, line=line)
    gliding_drags = glide.coefficients(lifts=lifts, speeds=speeds, line=line)
    best, least = glide_points(
        speeds=speeds.tolist(), lifts=lifts.tolist(), drags=gliding_drags.tolist()
    )
    powers = drags * 0.5 * air.density * reference.area * speeds**3
    place, _ = _peak(np.log(speeds), -powers)
    glide_speeds, sinks = gliding(speeds=speeds, lifts=lifts, drags=gliding_drags)
    breakdown = glide.breakdown(lift=best.lift, speed=best.speed, line=line)
    base, efficiency = _parabola(lifts, drags, reference.aspect_ratio)
    return Performance(
        best_glide=best,
        least_sink=least,
        spread=breakdown.spread,
        zero_lift_drag=base,
        efficiency=efficiency,
        least_power=float(np.interp(place, np.log(speeds), powers)),
        least_power_speed=math.exp(place),
        speeds=tuple(speeds.tolist()),
        lifts=tuple(lifts.tolist()),
        drags=tuple(drags.tolist()),
        powers=tuple(powers.tolist()),
        glide_speeds=tuple(glide_speeds.tolist()),
        sinks=tuple(sinks.tolist()),
        breakdown=breakdown,
    )
