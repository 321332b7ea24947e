"""Motors away from the centre line: one stopped, or one slower, against the rudder.

Source: C. D. Perkins & R. E. Hage, *Airplane Performance, Stability and Control*, asymmetric power.
The rudder is taken without wash, the stopped propeller without drag.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from plansgen.flight.handling import Handling
from plansgen.flight.pitching import felt
from plansgen.flight.thrust_line import yaw_arm
from plansgen.quantity import Quantity

_OUT = "flight-engine-out"
_STEPS = 60


@dataclass(frozen=True)
class YawPoint:
    """Yaw at one speed, both motors' side of it as a size.

    stopped: one side at full throttle, the other still. rudder: full, None without one; over it the
    rudder's share that is needed to fly straight.
    """

    speed: Annotated[float, Quantity("m/s", "Airspeed", _OUT)]
    stopped: Annotated[float, Quantity("N m", "Yaw, one motor stopped", _OUT)]
    rudder: Annotated[float | None, Quantity("N m", "Yaw, full rudder", _OUT)]
    needed: Annotated[float | None, Quantity("1", "Share of the rudder needed", _OUT, "%")]


@dataclass(frozen=True)
class EngineOut:
    """Yaw with one motor stopped over speed.

    least_speed: from there on full rudder holds it at full throttle; None where it never does, the
    stall speed where it always does.
    """

    points: tuple[YawPoint, ...]
    least_speed: Annotated[
        float | None, Quantity("m/s", "Rudder holds one motor at full throttle from", _OUT)
    ]


def rudder_yaw(handling: Handling, speed: float) -> float | None:
    """Yawing moment of all rudders at full travel, free air. [N m] speed: [m/s] None without."""
    reference = handling.airframe.reference
    total, found = 0.0, False
    for control in handling.derivatives.controls:
        mode = control.mode
        if mode.motion != "yaw":
            continue
        surface = handling.airframe.surface(mode.surface)
        share = next(c.chord_share for c in surface.controls if c.key == mode.control)
        total += abs(control.slopes.yaw) * felt(handling.travel(mode), share=share)
        found = True
    q = handling.density * speed**2 / 2
    return total * q * reference.area * reference.span if found else None


def work_out_engine_out(handling: Handling, *, speeds: Sequence[float]) -> EngineOut | None:
    """Yaw with one motor stopped; None where no propeller lies out to the side. speeds: [m/s]"""
    pairs = [p for p in handling.airframe.propellers if p.mirrored]
    if not pairs:
        return None
    x = handling.point[0]
    areas = sum((2 if p.mirrored else 1) * p.diameter**2 for p in handling.airframe.propellers)
    arm = sum(p.diameter**2 * yaw_arm(p, x=x) for p in pairs) / areas

    def point(speed: float) -> YawPoint:
        stopped, rudder = abs(arm) * handling.thrust_at(speed), rudder_yaw(handling, speed)
        return YawPoint(speed, stopped, rudder, stopped / rudder if rudder else None)

    return EngineOut(tuple(point(speed) for speed in speeds), _least(handling, arm))


def _least(handling: Handling, arm: float) -> float | None:
    for speed in np.linspace(handling.stall_speed, handling.top_speed, _STEPS).tolist():
        rudder = rudder_yaw(handling, speed)
        if rudder is not None and rudder >= abs(arm) * handling.thrust_at(speed):
            return float(speed)
    return None
