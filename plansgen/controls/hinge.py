"""Hinge moments: what the air pushes back with, and what the servo must hold through its linkage.

The exact pressure of a thin flat plate with a plain flap (H. Glauert, ARC R&M 1095, 1927; restated
in E. L. Houghton & P. W. Carpenter, *Aerodynamics for Engineering Students*), taken about the hinge
and integrated in closed form. With φ the hinge's place, cos φ = 2E − 1, E the control's share of
the chord, moments over ½ρV² c_f² a metre of span, per radian:

    K = (π − φ)(cos φ − ½) + sin φ (1 − ½ cos φ)
    ch_α = −K/E²
    ch_δ = −[(π − φ) K/π + sin φ ((π − φ) cos φ + sin φ)/(2π)]/E²

Measured plain controls push back with 0.6 to 0.8 of that (from memory); the upper end is taken.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from plansgen.airframe.build import ControlSurface, LiftingSurface, cut
from plansgen.airframe.planform import integral
from plansgen.controls.linkage import Linkage
from plansgen.quantity import Quantity

REAL = 0.8  # of theory; measured plain controls give 0.6 to 0.8 (from memory)
WANTED = 2.0  # torque on the label is where the servo stalls (common practice, no source)
_STEPS = 24  # between no deflection and full, each way


@dataclass(frozen=True)
class HingeMoment:
    """Hinge moment of one control at one state, both halves together where there are two.

    moment: as a size, whichever way it is thrown.
    """

    where: str
    speed: Annotated[float, Quantity("m/s", "Airspeed", "controls-hinge")]
    alpha: Annotated[float, Quantity("rad", "Angle of attack taken", "controls-hinge")]
    deflection: Annotated[float, Quantity("rad", "Deflection", "controls-hinge")]
    moment: Annotated[float, Quantity("N m", "Hinge moment", "controls-hinge", "N cm")]
    servo: Annotated[
        float | None,
        Quantity("N m", "Torque at the servo, worst angle", "controls-servo-torque", "N cm"),
    ]


@dataclass(frozen=True)
class ServoLoad:
    """What a servo must hold, in the hardest of the states.

    margin: torque over what is needed; None where the servo's torque is not given.
    """

    where: str
    needed: Annotated[float, Quantity("N m", "Torque needed", "controls-servo-torque", "N cm")]
    torque: Annotated[
        float | None, Quantity("N m", "Torque of the servo", "given-by-designer", "N cm")
    ]
    margin: Annotated[float | None, Quantity("1", "Torque over need", "controls-servo-margin")]


def glauert(share: float) -> tuple[float, float]:
    """Hinge moment per radian of angle of attack and of deflection; below 0 pushes back.

    share: the control's chord over the chord, above 0 and below 1.

    Raises:
        ValueError: the share lies outside.
    """
    if not 0.0 < share < 1.0:
        raise ValueError(f"the share of the chord is {share:g}, but must lie between 0 and 1")
    phi = math.acos(2 * share - 1)
    rest, sine, cosine = math.pi - phi, math.sin(phi), math.cos(phi)
    plate = rest * (cosine - 0.5) + sine * (1 - cosine / 2)
    bend = sine * (rest * cosine + sine) / (2 * math.pi)
    return -plate / share**2, -(rest / math.pi * plate + bend) / share**2


def moment_area(surface: LiftingSurface, control: ControlSurface) -> float:
    """Chord of the control squared over its span, all of its halves. [m³]"""
    piece = cut(surface.stations, control.inboard, control.outboard)
    one = integral(piece, lambda s: s.chord, lambda s: s.chord, weight="developed")
    return one * control.chord_share**2 * (2 if surface.mirrored else 1)


def hinge_moment(
    surface: LiftingSurface,
    control: ControlSurface,
    *,
    pressure: float,
    alpha: float,
    deflection: float,
) -> float:
    """Size of the moment about the hinge, all halves. [N m]

    pressure: dynamic. [Pa] alpha: at the surface; taken to add to the deflection's part. [rad]
    """
    of_angle, of_deflection = glauert(control.chord_share)
    coefficient = REAL * (abs(of_angle * alpha) + abs(of_deflection * deflection))
    return coefficient * pressure * moment_area(surface, control)


def at_servo(
    linkage: Linkage, *, fixed: float, per_radian: float, swings: Sequence[float]
) -> float | None:
    """Greatest torque at the servo between the ends of the travel, through the real linkage. [N m]

    fixed: part of the hinge moment that is there without deflection. [N m] per_radian: what a
    radian adds. [N m] swings: the ends. [rad] None where the linkage does not reach them.
    """
    worst = 0.0
    for end in swings:
        for swing in np.linspace(0.0, end, _STEPS + 1).tolist():
            arm = linkage.arm_for(swing)
            ratio = None if arm is None else linkage.ratio(arm)
            if ratio is None:
                return None
            worst = max(worst, (fixed + per_radian * abs(swing)) * abs(ratio))
    return worst
