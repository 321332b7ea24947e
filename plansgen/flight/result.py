"""The whole flight calculation of a design, in order.

1. Air at the field.
2. The lattice of all surfaces, solved once.
3. Neutral point and static margin at each loading.
4. Stall, drag and speeds at the usual loading; then the state of cruise.
5. Trim, and how far forward and aft the balance point may lie, power off and on.
6. Control power, and what would help.
7. Motions of their own.
8. Flight under power, where the design tells its drive.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from plansgen.airframe.build import Airframe
from plansgen.airframe.field import field_air
from plansgen.atmosphere import GRAVITY, Air
from plansgen.balance.centre import MassState
from plansgen.balance.result import BalanceResult
from plansgen.drive.result import DriveResult
from plansgen.flight.control_help import PitchHelp, pitch_help
from plansgen.flight.control_power import ControlPower, work_out_control_power
from plansgen.flight.derivatives import Derivatives, derivatives_of, scale_of
from plansgen.flight.drag import rods_of
from plansgen.flight.handling import Handling
from plansgen.flight.lattice import Lattice, Point
from plansgen.flight.limits import ForwardLimit, Limits, forward_limit, work_out_limits
from plansgen.flight.margins import LoadingMargin, margins_of
from plansgen.flight.mode_rules import (
    ModeRules,
    MotionReading,
    downwash_lag,
    mode_rules,
    read_motions,
)
from plansgen.flight.modes import Motions, inertia_of, motions_of
from plansgen.flight.performance import Performance, work_out_performance
from plansgen.flight.pitching import PitchModel
from plansgen.flight.powered import Powered
from plansgen.flight.powered_case import powered_of
from plansgen.flight.slipstream import wash_on_surfaces
from plansgen.flight.stall import Stall, work_out_stall
from plansgen.flight.travels import travels_of
from plansgen.flight.trim import Trim, work_out_trim
from plansgen.flight.wake import near_stall, tail_wakes
from plansgen.library.models import TRAVEL, DesignFile
from plansgen.quantity import Quantity

CRUISE = 1.4  # cruise over stall speed; estimate, where no better glide lies above it
TOP = 3.0  # top speed over stall speed; estimate, until a drive is worked out


@dataclass(frozen=True)
class FlightResult:
    """Everything about how it flies, at the usual loading unless said otherwise.

    neutral_in_wake: the aft limit keeps its margin from the foremost of the two neutral points.
    cruise: of derivatives and motions. forward_on: the forward limit at full throttle. powered:
    None without a drive that is known.
    """

    air: Air
    neutral_share: Annotated[
        float, Quantity("1", "Neutral point on the mean aerodynamic chord", "neutral-point", "%")
    ]
    neutral_from_root: Annotated[
        float, Quantity("m", "Neutral point aft of the wing's root leading edge", "neutral-point")
    ]
    neutral_in_wake: Annotated[
        float,
        Quantity("1", "Neutral point with the tail in the wing's wake", "flight-aft-limit", "%"),
    ]
    cruise: Annotated[float, Quantity("m/s", "Speed of cruise", "flight-glide")]
    cruise_lift: Annotated[float, Quantity("1", "Lift coefficient in cruise", "flight-glide")]
    derivatives: Derivatives
    margins: tuple[LoadingMargin, ...]
    limits: Limits
    forward_on: ForwardLimit | None
    stall: Stall
    performance: Performance
    trim: Trim
    control: ControlPower
    help: PitchHelp | None
    motions: Motions
    rules: ModeRules
    reading: MotionReading
    powered: Powered | None = None

    @property
    def aft_share(self) -> float:
        """Aft limit on the mean aerodynamic chord."""
        return self.limits.aft_share

    @property
    def forward_share(self) -> float | None:
        """Forward limit on the mean aerodynamic chord; None without a pitch control."""
        return self.limits.forward.mac_share if self.limits.forward else None


def thrust_of(design: DesignFile, airframe: Airframe) -> float | None:
    """Static thrust of all propellers where the design gives it. [N]"""
    if design.flight.thrust is None or not airframe.propellers:
        return None
    count = sum(2 if propeller.mirrored else 1 for propeller in airframe.propellers)
    return design.flight.thrust * GRAVITY * count


@dataclass(frozen=True)
class _Case:
    """One model in the air of its field, solved once."""

    design: DesignFile
    airframe: Airframe
    state: MassState
    air: Air
    lattice: Lattice
    wings: Lattice
    model: PitchModel
    travels: Mapping[str, float]
    drive: DriveResult | None

    @classmethod
    def of(
        cls,
        design: DesignFile,
        airframe: Airframe,
        state: MassState,
        drive: DriveResult | None,
    ) -> _Case:
        lattice = Lattice(airframe.surfaces)
        wings = [surface for surface in airframe.surfaces if surface.role == "wing"]
        alone = Lattice(wings) if len(wings) < len(airframe.surfaces) else lattice
        point: Point = (state.x, 0.0, state.z)
        model = PitchModel(airframe, lattice=lattice, point=point)
        weather, travels = field_air(design), travels_of(design)
        return cls(design, airframe, state, weather, lattice, alone, model, travels, drive)

    @property
    def travel(self) -> float:
        """Travel of the pitch control each way. [rad]"""
        mode = self.model.mode
        return self.travels[mode.name] if mode else TRAVEL

    def lift_at(self, speed: float) -> float:
        """Lift coefficient of level flight."""
        area = self.airframe.reference.area
        return 2 * self.state.mass * GRAVITY / (self.air.density * speed**2 * area)


def work_out_flight(
    design: DesignFile,
    airframe: Airframe,
    balance: BalanceResult,
    drive: DriveResult | None = None,
) -> FlightResult | None:
    """Work out how a design flies; None when nothing in it has a mass.

    drive: what its motors give; left out, thrust is an estimate.

    Raises:
        ValueError: the surfaces cannot fly, with the reason in words.
    """
    if balance.ready is None:
        return None
    case = _Case.of(design, airframe, balance.ready.state, drive)
    stall = work_out_stall(case.model, mass=case.state.mass, air=case.air)
    performance = _performance(case, stall)
    cruise = max(performance.best_glide.speed, CRUISE * stall.speed)
    derivatives = _derivatives(case, case.lift_at(cruise))
    handling = _handling(case, stall, performance)
    control = work_out_control_power(handling)
    motions, rules = _motions(case, derivatives, performance, cruise)
    reference, neutral = airframe.reference, derivatives.neutral_point
    in_wake = _neutral_in_wake(case, derivatives, performance, case.lift_at(cruise))
    return FlightResult(
        air=case.air,
        neutral_share=reference.share_of_mac(neutral),
        neutral_from_root=neutral - reference.root_x,
        neutral_in_wake=reference.share_of_mac(in_wake),
        cruise=cruise,
        cruise_lift=case.lift_at(cruise),
        derivatives=derivatives,
        margins=margins_of(balance, neutral, reference.mac),
        limits=_limits(case, stall, performance, min(neutral, in_wake)),
        forward_on=_forward_on(case, stall, performance, handling.thrust_at(stall.speed)),
        stall=stall,
        performance=performance,
        trim=_trim(case, stall),
        control=control,
        help=pitch_help(handling),
        motions=motions,
        rules=rules,
        reading=read_motions(motions),
        powered=powered_of(
            design,
            handling,
            drive=drive,
            measured=thrust_of(design, airframe),
            performance=performance,
            air=case.air,
            cruise=cruise,
        ),
    )


def _performance(case: _Case, stall: Stall) -> Performance:
    return work_out_performance(
        case.model,
        mass=case.state.mass,
        air=case.air,
        lift_max=stall.lift_max,
        rods=rods_of(case.design, case.airframe),
        stopped_propellers=any(not propeller.folds for propeller in case.airframe.propellers),
    )


def _derivatives(case: _Case, lift: float) -> Derivatives:
    """Derivatives at the angle of attack that gives a lift coefficient."""
    point = case.model.point
    level = derivatives_of(case.airframe, point=point, lattice=case.lattice)
    alpha = (lift - level.lift) / level.alpha.lift
    return derivatives_of(case.airframe, point=point, alpha=alpha, lattice=case.lattice)


def _wing_drag(case: _Case, performance: Performance) -> float:
    """Profile drag coefficient of the wings at best glide, for their wake."""
    titles = {surface.title for surface in case.airframe.surfaces if surface.role == "wing"}
    parts = performance.breakdown.parts
    return sum(p.coefficient for p in parts if p.kind == "surface" and p.name in titles)


def _handling(case: _Case, stall: Stall, performance: Performance) -> Handling:
    return Handling(
        case.airframe,
        state=case.state,
        density=case.air.density,
        lift_max=stall.lift_max,
        top_speed=TOP * stall.speed,
        thrust=thrust_of(case.design, case.airframe),
        drive=case.drive,
        profile_drag=_wing_drag(case, performance),
        travels=case.travels,
        lattice=case.lattice,
        wings=case.wings,
    )


def _trim(case: _Case, stall: Stall) -> Trim:
    steps = [stall.speed * (1.0 + (TOP - 1.0) * step / 16) for step in range(17)]
    return work_out_trim(
        case.model,
        mass=case.state.mass,
        air=case.air,
        lift_max=stall.lift_max,
        speeds=steps,
        travel=case.travel,
    )


def _limits(case: _Case, stall: Stall, performance: Performance, neutral: float) -> Limits:
    """Both limits, power off: the tail works in the wing's wake."""
    return work_out_limits(
        _in_other_air(case, stall, performance, thrust=0.0),
        mass=case.state.mass,
        air=case.air,
        neutral_point=neutral,
        travel=case.travel,
        least_margin=case.design.flight.least_margin,
    )


def _forward_on(
    case: _Case, stall: Stall, performance: Performance, thrust: float
) -> ForwardLimit | None:
    """The forward limit at full throttle; None without propellers."""
    if not case.airframe.propellers:
        return None
    model = _in_other_air(case, stall, performance, thrust=thrust)
    return forward_limit(model, mass=case.state.mass, air=case.air, travel=case.travel)


def _neutral_in_wake(
    case: _Case, derivatives: Derivatives, performance: Performance, lift: float
) -> float:
    """Neutral point in cruise with each tail in the wing's wake, x. [m]

    Slow air takes from the tail's share of stability, so the aft limit must keep its margin from
    here: x - c dCm/dCL, read off the states with the control held.
    """
    alpha, drag = derivatives.alpha_at, _wing_drag(case, performance)
    ratios = _wakes(case, alpha=alpha, drag=drag)
    if not ratios:
        return derivatives.neutral_point
    point = case.model.point
    model = PitchModel(case.airframe, lattice=case.lattice, point=point, pressures=ratios)
    line = model.line(0.0)
    slopes = np.gradient(line.pitches, line.lifts)
    slope = float(np.interp(lift, line.lifts, slopes))
    return point[0] - slope * case.airframe.reference.mac


def _wakes(case: _Case, *, alpha: float, drag: float) -> dict[str, float]:
    """Dynamic pressure that the wing's wake leaves each tail, over free air's."""
    ratios = {}
    for surface in case.airframe.surfaces:
        if surface.role in ("tailplane", "vee-tail"):
            (wake,) = tail_wakes(
                case.airframe, surface, alphas=[alpha], drags=[drag], wings=case.wings
            )
            ratios[surface.key] = wake.ratio
    return ratios


def _in_other_air(
    case: _Case, stall: Stall, performance: Performance, *, thrust: float
) -> PitchModel:
    """The model at its stall with each tail in the wing's wake and the propellers' wash."""
    drag = near_stall(
        drag=_wing_drag(case, performance), lift=stall.lift_max, lift_max=stall.lift_max
    )
    washes = wash_on_surfaces(
        case.airframe, thrust=thrust, speed=stall.speed, density=case.air.density
    )
    gains = {wash.surface: wash.gain or 1.0 for wash in washes}
    wakes = _wakes(case, alpha=stall.angle, drag=drag)
    ratios = {key: max(0.0, ratio + gains[key] - 1.0) for key, ratio in wakes.items()}
    return PitchModel(case.airframe, lattice=case.lattice, point=case.model.point, pressures=ratios)


def _motions(
    case: _Case, derivatives: Derivatives, performance: Performance, cruise: float
) -> tuple[Motions, ModeRules]:
    """Motions at cruise, and the textbook rules beside them."""
    lift, density = case.lift_at(cruise), case.air.density
    drag = float(np.interp(cruise, performance.speeds, performance.drags))
    lag = downwash_lag(
        case.airframe,
        lattice=case.lattice,
        point=case.model.point,
        alpha=derivatives.alpha_at,
        wings=case.wings,
    )
    motions = motions_of(
        derivatives=derivatives,
        state=case.state,
        scale=scale_of(case.airframe.reference),
        speed=cruise,
        density=density,
        lift=lift,
        drag=drag,
        alpha_dot=lag,
    )
    rules = mode_rules(
        case.airframe,
        derivatives=derivatives,
        inertia=inertia_of(case.state, alpha=derivatives.alpha_at),
        speed=cruise,
        density=density,
        lift=lift,
        drag=drag,
    )
    return motions, rules
