"""Trim: where the pitch control and the nose stand at each speed, power off.

Lift and moment are the lattice's, bodies included: all but linear in angle of attack and control,
exact in the dynamic pressure. What the control must really be turned by takes account of what a
real flap loses (``pitching.felt``). The drag's own moment is left out.

Source: B. Etkin, *Dynamics of Flight*, longitudinal control, elevator angle to trim.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.atmosphere import GRAVITY, Air
from plansgen.flight.pitching import TRAVEL, PitchModel, felt, needed
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

_FINE = 401  # points on the line when it is read backwards


@dataclass(frozen=True)
class TrimPoint:
    """One speed. deflection: trailing edge down positive; None when no travel would do."""

    speed: Annotated[float, Quantity("m/s", "Speed", "flight-trim")]
    lift: Annotated[float, Quantity("1", "Lift coefficient, CL", "flight-trim")]
    angle: Annotated[float, Quantity("rad", "Angle of attack of the datum line", "flight-trim")]
    deflection: Annotated[float | None, Quantity("rad", "Pitch control to trim", "flight-trim")]


@dataclass(frozen=True)
class Trim:
    """The trim curve at one balance point, slowest first.

    control: name of the mode; None when the design has none. travel: each way. reaches_stall:
    the travel holds the model at its stall. full_speed: the slowest speed that full control holds;
    None when it reaches the stall. free_speed: at which the model flies with the control
    undeflected; None when there is none between stall and the fastest.
    """

    control: str | None
    nose_up: int
    travel: Annotated[float, Quantity("rad", "Travel of the pitch control", "flight-trim")]
    points: tuple[TrimPoint, ...]
    reaches_stall: bool
    full_speed: Annotated[
        float | None, Quantity("m/s", "Slowest speed that full control holds", "flight-trim")
    ]
    free_speed: Annotated[
        float | None, Quantity("m/s", "Speed with the pitch control undeflected", "flight-trim")
    ]


def lift_with(model: PitchModel, deflection: float) -> float | None:
    """Lift coefficient that a deflection trims, turned as built; None beyond the line. [rad]"""
    line = model.trimmed_line
    real = felt(deflection, share=model.control_share)
    lifts = np.linspace(line.lifts[0], line.lifts[-1], _FINE)
    away = (line.at(line.deflections, lifts) - real) * model.nose_up
    if not away[0] <= 0.0 <= away[-1] or (np.diff(away) <= 0.0).any():
        return None
    return float(np.interp(0.0, away, lifts))


def work_out_trim(
    model: PitchModel,
    *,
    mass: float,
    air: Air,
    lift_max: float,
    speeds: Sequence[float],
    travel: float = TRAVEL,
) -> Trim:
    """The trim curve of a model.

    mass: [kg] lift_max: as from ``work_out_stall``. speeds: to work out, rising. [m/s] travel: of
    the pitch control each way. [rad]

    Raises:
        ValueError: no speeds, or one not above 0.
    """
    if not speeds or min(speeds) <= 0.0:
        raise ValueError("trim needs speeds above 0")
    line, share = model.trimmed_line, model.control_share
    loading = 2 * mass * GRAVITY / (air.density * model.scale.area)
    points = []
    for speed in speeds:
        lift = loading / speed**2
        angle = float(line.at(line.angles, lift))
        if not math.isfinite(angle):
            continue
        theory = float(line.at(line.deflections, lift))
        points.append(
            TrimPoint(speed, lift, angle, needed(theory, share=share) if model.mode else None)
        )
    if model.mode is None:
        return Trim(None, 0, travel, tuple(points), False, None, None)
    at_stall = needed(float(line.at(line.deflections, lift_max)), share=share)
    reaches = at_stall is not None and abs(at_stall) <= travel
    full = None if reaches else lift_with(model, model.nose_up * travel)
    free = lift_with(model, 0.0)
    slowest, fastest = loading / lift_max, max(speeds) ** 2
    return Trim(
        control=model.mode.name,
        nose_up=int(model.nose_up),
        travel=travel,
        points=tuple(points),
        reaches_stall=reaches,
        full_speed=math.sqrt(loading / full) if full and full > 0.0 else None,
        free_speed=math.sqrt(loading / free)
        if free and free > 0.0 and slowest <= loading / free <= fastest
        else None,
    )
