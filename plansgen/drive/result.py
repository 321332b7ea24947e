"""What a design's motors, propellers and battery give, worked out once.

Full throttle is taken on a pack just started on, when current and thrust are greatest: that is what
a scale and a meter on the bench show. Times are worked out with the pack's mean voltage.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from plansgen.airframe.build import Airframe
from plansgen.airframe.build import Propeller as Disc
from plansgen.atmosphere import Air
from plansgen.drive.case import DriveCase, drive_case
from plansgen.drive.limits import DriveLimit, limits_of
from plansgen.drive.operating import Unit
from plansgen.drive.propeller import figure_of_merit, pitch_speed
from plansgen.drive.spread import Spread, spread_of
from plansgen.drive.state import DriveState, WholeState
from plansgen.library.models import Battery, DesignFile, Drive
from plansgen.quantity import Quantity

SPEEDS = 16


@dataclass(frozen=True)
class PackState:
    """The battery on the day. kept: share of the label's capacity that the cold leaves."""

    name: str
    chemistry: str
    cells: int
    capacity: Annotated[float, Quantity("C", "Capacity on the label", "given-by-designer")]
    temperature: Annotated[float, Quantity("K", "Temperature of the pack", "drive-battery")]
    fresh: Annotated[float, Quantity("V", "Rested voltage, fresh", "drive-battery")]
    mean: Annotated[float, Quantity("V", "Rested voltage, mean of a flight", "drive-battery")]
    resistance: Annotated[float, Quantity("ohm", "Resistance of the pack", "drive-battery")]
    resistance_estimated: bool
    kept: Annotated[float, Quantity("1", "Capacity that the cold leaves", "drive-battery", "%")]
    usable: Annotated[float, Quantity("C", "Charge that is flown with", "drive-battery")]


@dataclass(frozen=True)
class DriveUnit:
    """One drive, or two alike on either side, each with the numbers of one.

    at: where the propeller sits, the starboard one of two. [m] down, side: of its shaft's front.
    static: full throttle, standing still. over_speed: full throttle, rising speeds. pitch_speed:
    None for a measured propeller without a pitch. from_table: whether its coefficients were
    measured.
    """

    motor: str
    propeller: str
    controller: str
    count: int
    at: tuple[float, float, float] | None
    down: Annotated[float, Quantity("rad", "Downthrust", "given-by-designer")]
    side: Annotated[float, Quantity("rad", "Sidethrust", "given-by-designer")]
    diameter: Annotated[float, Quantity("m", "Diameter of the propeller", "given-by-designer")]
    pitch: Annotated[float | None, Quantity("m", "Pitch of the propeller", "given-by-designer")]
    blades: int
    from_table: bool
    static: DriveState
    over_speed: tuple[DriveState, ...]
    pitch_speed: Annotated[float | None, Quantity("m/s", "Pitch speed", "drive-pitch-speed")]
    thrust_static: Annotated[float, Quantity("1", "CT, standing still", "drive-propeller")]
    power_static: Annotated[float, Quantity("1", "CP, standing still", "drive-propeller")]
    merit: Annotated[float, Quantity("1", "Figure of merit, standing still", "drive-merit", "%")]


@dataclass(frozen=True)
class DriveResult:
    """All drives of a model at one battery.

    static, over_speed: all together at full throttle on a fresh pack. estimated: what had to be,
    in words.
    """

    units: tuple[DriveUnit, ...]
    pack: PackState
    static: WholeState
    over_speed: tuple[WholeState, ...]
    spread: Spread
    estimated: tuple[str, ...]
    limits: tuple[DriveLimit, ...]


def work_out_drive(
    design: DesignFile,
    airframe: Airframe,
    *,
    battery: Battery | None = None,
    drives: Sequence[Drive] | None = None,
    air: Air | None = None,
) -> DriveResult | None:
    """Work out what the drives give; None when the design has none.

    battery, drives, air: as for ``drive_case``.

    Raises:
        ValueError: something is missing, in words.
    """
    case = drive_case(design, battery=battery, drives=drives, air=air)
    return None if case is None else result_of(case, airframe)


def result_of(case: DriveCase, airframe: Airframe) -> DriveResult:
    """The numbers of drives and battery that have been put together."""
    discs = {propeller.name: propeller for propeller in airframe.propellers}
    plant = case.fresh
    speeds = np.linspace(0.0, _fastest(case), SPEEDS)
    full = np.ones_like(speeds)
    each = plant.states(throttle=full, speed=speeds)
    whole = plant.whole(throttle=full, speed=speeds)
    units = tuple(
        _described(drive, unit, states, discs.get(drive.propeller))
        for drive, unit, states in zip(case.drives, plant.units, each, strict=True)
    )
    return DriveResult(
        units=units,
        pack=_pack_state(case),
        static=whole[0],
        over_speed=whole,
        spread=spread_of(
            plant,
            from_table=all(unit.curves.measured for unit in plant.units),
            resistance_known=case.pack.resistance is not None,
        ),
        estimated=_estimated(case),
        limits=limits_of(case, [states[0] for states in each], current=whole[0].current),
    )


def _fastest(case: DriveCase) -> float:
    """A little beyond the speed at which the last propeller no longer pulls. [m/s]"""
    return max(
        1.1
        * unit.curves.no_thrust
        * unit.motor.kv
        / unit.motor.gear
        / (2 * math.pi)
        * case.pack.fresh
        * unit.diameter
        for unit in case.fresh.units
    )


def _described(
    drive: Drive, unit: Unit, states: tuple[DriveState, ...], disc: Disc | None
) -> DriveUnit:
    static = states[0]
    rate = static.rpm / 60
    tip = np.array(math.pi * rate * unit.diameter)
    found = unit.curves.at(np.array(0.0), tip)
    thrust, power = float(found.thrust), float(found.power)
    return DriveUnit(
        motor=drive.motor,
        propeller=drive.propeller,
        controller=drive.controller,
        count=unit.count,
        at=(disc.x, disc.y, disc.z) if disc else None,
        down=drive.down,
        side=drive.side,
        diameter=unit.diameter,
        pitch=drive.pitch,
        blades=drive.blades,
        from_table=unit.curves.measured,
        static=static,
        over_speed=states,
        pitch_speed=None if drive.pitch is None else pitch_speed(pitch=drive.pitch, rate=rate),
        thrust_static=thrust,
        power_static=power,
        merit=figure_of_merit(thrust=thrust, power=power),
    )


def _pack_state(case: DriveCase) -> PackState:
    pack = case.pack
    return PackState(
        name=pack.name,
        chemistry=pack.chemistry,
        cells=pack.cells,
        capacity=pack.capacity,
        temperature=pack.temperature,
        fresh=pack.fresh,
        mean=pack.mean,
        resistance=pack.inner,
        resistance_estimated=pack.resistance is None,
        kept=pack.kept,
        usable=pack.capacity * pack.kept * case.usable,
    )


def _estimated(case: DriveCase) -> tuple[str, ...]:
    drives, words = case.drives, []
    if any(not drive.measured and not drive.blade for drive in drives):
        words.append("the shape of the propeller's blade")
    if any(not drive.measured for drive in drives):
        words.append("lift and drag of the blade's sections")
    if case.pack.resistance is None:
        words.append("the battery's resistance")
    if any("controller_resistance" not in drive.model_fields_set for drive in drives):
        words.append("the speed controller's resistance")
    if case.pack.kept < 1.0:
        words.append("what the cold takes from the battery")
    return tuple(words)


def thrust_at(result: DriveResult, speed: float) -> float:
    """Thrust of all propellers at full throttle, not below 0. [N] speed: [m/s]"""
    speeds = [state.speed for state in result.over_speed]
    thrusts = [state.thrust for state in result.over_speed]
    return max(0.0, float(np.interp(speed, speeds, thrusts)))
