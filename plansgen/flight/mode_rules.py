"""Textbook rules beside the motions, and the motions put as words a page can choose from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.atmosphere import GRAVITY
from plansgen.flight.derivatives import Derivatives, scale_of
from plansgen.flight.lattice import Flow, Lattice, Point, Scale
from plansgen.flight.modes import Inertia, Mode, Motions
from plansgen.flight.shares import shares_of
from plansgen.flight.slender import flow_turning
from plansgen.quantity import Quantity

_STEP = 1e-3  # rad

# MIL-F-8785C (1980), flying qualities of piloted airplanes, level 1 unless said otherwise, from
# memory. For models they are a yardstick, not a demand.
SHORT_PERIOD = (0.30, 2.0)  # damping ratio, gentle flight
PHUGOID = 0.04  # damping ratio, least
DUTCH_ROLL = 0.08  # damping ratio, least
ROLL_TIME = 1.4  # s, longest time constant
SPIRAL = (12.0, 4.0)  # s to double: level 1 and level 3

Swing = Literal["good", "lightly damped", "heavily damped", "grows", "none"]
Rolling = Literal["quick", "slow", "none"]
Spiral = Literal["stable", "gentle", "noticeable", "tight", "none"]


def downwash_lag(
    airframe: Airframe,
    *,
    lattice: Lattice,
    point: Point,
    alpha: float,
    wings: Lattice | None = None,
) -> float:
    """Cm_α̇ over α̇c/2V: the tail still feels the downwash of a moment ago.

    Cm_α̇ = −2 a_t V_H (l_t/c) dε/dα (Nelson, *Flight Stability and Automatic Control*, ch. 3),
    with the tail's own part of Cm_α standing for −a_t V_H (1 − dε/dα). lattice: of all surfaces.
    wings: of the wings alone. point: the balance point. [m] Tails behind the wings only; what a
    foreplane does to the wing is left out.

    Raises:
        ValueError: as from the lattice.
    """
    tails = [s for s in airframe.surfaces if _is_tail(s, airframe)]
    if not tails:
        return 0.0
    scale = scale_of(airframe.reference)
    solved = wings or Lattice([s for s in airframe.surfaces if s.role == "wing"])
    flows = [Flow(alpha=alpha + step) for step in (_STEP, -_STEP)]
    ahead, behind = (shares_of(lattice, flow, point=point, scale=scale) for flow in flows)
    total = 0.0
    for tail in tails:
        plan = tail.planform
        place = np.array([[plan.quarter_chord_x, plan.mac_y, plan.mac_z]])
        turning = float(flow_turning(solved, place, alpha=alpha, scale=scale)[0])
        slope = ahead[tail.key].over(2 * _STEP, behind[tail.key]).pitch
        arm = plan.quarter_chord_x - point[0]
        if turning > 0.1:  # nearer to none the tail's part of Cm_α says nothing about its lift
            total += 2 * slope * arm / scale.chord * (1 - turning) / turning
    return total


def _is_tail(surface: LiftingSurface, airframe: Airframe) -> bool:
    back = airframe.reference.mac_x + airframe.reference.mac
    return surface.role in ("tailplane", "vee-tail") and surface.planform.quarter_chord_x > back


@dataclass(frozen=True)
class ModeRules:
    """Short rules for the same motions.

    spiral_product: Cl_β Cn_r / (Cn_β Cl_r), above 1 is stable; None where the fin does not hold
    the nose into the wind or a faster wing does not rise. spiral_number: tail arm times effective
    dihedral in degrees over span and CL; about 5 is neutral.
    """

    phugoid_period: Annotated[
        float, Quantity("s", "Phugoid period, Lanchester", "flight-phugoid-rule")
    ]
    phugoid_damping: Annotated[
        float, Quantity("1", "Phugoid damping ratio, Lanchester", "flight-phugoid-rule")
    ]
    roll_time: Annotated[float | None, Quantity("s", "Roll time constant", "flight-roll-rule")]
    spiral_product: Annotated[float | None, Quantity("1", "Spiral criterion", "flight-spiral-rule")]
    spiral_number: Annotated[float | None, Quantity("1", "Spiral number", "flight-spiral-number")]
    effective_dihedral: Annotated[
        float, Quantity("rad", "Effective dihedral", "flight-effective-dihedral")
    ]


def phugoid_rule(*, speed: float, lift_to_drag: float) -> tuple[float, float]:
    """Period π√2 V/g and damping ratio 1/(√2 L/D). [s, 1]

    Source: F. W. Lanchester, *Aerodonetics* (1908). speed: [m/s]

    Raises:
        ValueError: the lift to drag ratio is not above 0.
    """
    if not lift_to_drag > 0.0:
        raise ValueError(f"lift over drag is {lift_to_drag:g}, but must be above 0")
    return math.pi * math.sqrt(2) * speed / GRAVITY, 1 / (math.sqrt(2) * lift_to_drag)


def roll_time(
    *, derivatives: Derivatives, inertia: Inertia, scale: Scale, speed: float, density: float
) -> float | None:
    """Time constant of a pure roll, −1/L_p. [s] None when nothing damps it.

    Source: Nelson, ch. 5. speed: [m/s] density: [kg/m³]
    """
    damping = derivatives.p.roll * density * speed * scale.area * scale.span**2 / 4
    return -inertia.roll / damping if damping < 0.0 else None


def spiral_product(derivatives: Derivatives) -> float | None:
    """Cl_β Cn_r / (Cn_β Cl_r), stable above 1. Source: Nelson, ch. 5; Etkin."""
    under = derivatives.beta.yaw * derivatives.r.roll
    if derivatives.beta.yaw <= 0.0 or derivatives.r.roll <= 0.0:
        return None
    return derivatives.beta.roll * derivatives.r.yaw / under


def effective_dihedral(airframe: Airframe, derivatives: Derivatives) -> float:
    """The dihedral of a plain wing that would roll as much in sideslip as this model does. [rad]

    Strip theory of a straight-tapered wing: Cl_β = −Γ (a/6)(1 + 2λ)/(1 + λ) and Cl_p = −(a/12)
    (1 + 3λ)/(1 + λ). Their ratio is Γ; what a finite wing loses of a, it loses of both alike. 0
    when nothing damps a roll. Source: Perkins & Hage, *Airplane Performance, Stability and
    Control*, for both.
    """
    if derivatives.p.roll >= 0.0:
        return 0.0
    wing = max(
        (s for s in airframe.surfaces if s.role == "wing"), key=lambda s: (s.planform.area, s.key)
    )
    taper = wing.planform.taper
    ratio = derivatives.beta.roll / derivatives.p.roll
    return ratio * (1 + 3 * taper) / (2 * (1 + 2 * taper))


def mode_rules(
    airframe: Airframe,
    *,
    derivatives: Derivatives,
    inertia: Inertia,
    speed: float,
    density: float,
    lift: float,
    drag: float,
) -> ModeRules:
    """All rules at one speed. lift, drag: whole model's coefficients.

    Raises:
        ValueError: lift or drag are not above 0.
    """
    if not drag > 0.0:
        raise ValueError(f"drag is {drag:g}, but must be above 0")
    period, damping = phugoid_rule(speed=speed, lift_to_drag=lift / drag)
    scale = scale_of(airframe.reference)
    dihedral = effective_dihedral(airframe, derivatives)
    uprights = [tail for tail in airframe.tails if tail.direction == "vertical"]
    area = sum(tail.area for tail in uprights)
    arm = sum(tail.area * tail.arm for tail in uprights) / area if area > 0.0 else 0.0
    number = arm * math.degrees(dihedral) / (scale.span * lift) if arm > 0.0 else None
    return ModeRules(
        phugoid_period=period,
        phugoid_damping=damping,
        roll_time=roll_time(
            derivatives=derivatives, inertia=inertia, scale=scale, speed=speed, density=density
        ),
        spiral_product=spiral_product(derivatives),
        spiral_number=number,
        effective_dihedral=dihedral,
    )


@dataclass(frozen=True)
class MotionReading:
    """What the pilot will find, one word for each motion."""

    short_period: Swing
    phugoid: Swing
    roll: Rolling
    spiral: Spiral
    dutch_roll: Swing


def _swing(mode: Mode | None, least: float, most: float) -> Swing:
    if mode is None:
        return "none"
    if not mode.stable or mode.damping is None:
        return "grows"
    if mode.damping < least:
        return "lightly damped"
    return "heavily damped" if mode.damping > most else "good"


def _spiral(mode: Mode | None) -> Spiral:
    if mode is None:
        return "none"
    if mode.double is None:
        return "stable"
    if mode.double >= SPIRAL[0]:
        return "gentle"
    return "noticeable" if mode.double >= SPIRAL[1] else "tight"


def read_motions(motions: Motions) -> MotionReading:
    """Hold the motions against MIL-F-8785C, written for piloted airplanes, from memory."""
    roll = motions.roll
    quick: Rolling = "none"
    if roll is not None:
        quick = "quick" if -1 / roll.real <= ROLL_TIME else "slow"
    return MotionReading(
        short_period=_swing(motions.short_period, *SHORT_PERIOD),
        phugoid=_swing(motions.phugoid, PHUGOID, math.inf),
        roll=quick,
        spiral=_spiral(motions.spiral),
        dutch_roll=_swing(motions.dutch_roll, DUTCH_ROLL, math.inf),
    )
