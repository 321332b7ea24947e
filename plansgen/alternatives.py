"""What else could drive it: other batteries, motors and propellers, each worked out like the usual.

For every alternative the masses are added up again and the drive is solved again. The flight is
not: at the same lift coefficient a heavier model flies as it did, only faster by the root of the
mass, so stall speed, drag and speeds are those of the usual model brought to the new mass. Reynolds
number and trim are kept, as if the balance point were brought back to its place. Where the usual
drive's static thrust was measured, every other's is corrected by the same share.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Annotated

from plansgen.airframe.build import Airframe
from plansgen.balance.advice import Remedy
from plansgen.balance.buildup import Materials
from plansgen.balance.result import BalanceResult, Loading, work_out_balance
from plansgen.drive.case import DriveCase, drive_case
from plansgen.drive.limits import DriveLimit, limits_of
from plansgen.drive.state import WholeState
from plansgen.flight.powered import Powered, static_thrust_of, work_out_powered
from plansgen.flight.result import FlightResult
from plansgen.library.models import Alternative, Battery, DesignFile, Drive
from plansgen.quantity import Quantity

USUAL = "as it is"


@dataclass(frozen=True)
class Choice:
    """One way to drive the model. The first of a comparison is the usual one.

    shift: of the balance point against the usual one, with the battery where it is said to sit.
    remedy: what brings it to its target; None without a target. over: limits that are exceeded.
    """

    name: str
    battery: str
    mass: Annotated[float, Quantity("kg", "Mass, ready to fly", "alternatives")]
    shift: Annotated[float, Quantity("m", "Balance point moves aft", "alternatives")]
    remedy: Remedy | None
    stall: Annotated[float, Quantity("m/s", "Stall speed", "alternatives")]
    thrust: Annotated[float, Quantity("N", "Static thrust", "alternatives")]
    thrust_to_weight: Annotated[float, Quantity("1", "Thrust over weight", "alternatives")]
    current: Annotated[float, Quantity("A", "Current at full throttle", "alternatives")]
    top_speed: Annotated[float | None, Quantity("m/s", "Top speed, level", "alternatives")]
    time: Annotated[float | None, Quantity("s", "Flight time", "alternatives")]
    over: tuple[DriveLimit, ...]


def compare_choices(
    design: DesignFile,
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult,
    materials: Materials,
) -> tuple[Choice, ...]:
    """The usual way to drive it and every alternative; empty when there is nothing to compare.

    Raises:
        ValueError: something about a drive is missing, in words.
    """
    if design.power is None or not design.power.drives or balance.ready is None:
        return ()
    ways = list(alternatives_of(design))
    if not ways:
        return ()
    usual = Alternative.model_construct(name=USUAL, battery=None, drive=None, mass=None)
    static = flight.powered.static if flight.powered else None
    share = static.used / static.worked_out if static and static.worked_out > 0.0 else None
    maker = _Maker(design, airframe, balance, flight, materials, share)
    return tuple(maker.choice(way) for way in (usual, *ways))


def alternatives_of(design: DesignFile) -> Iterator[Alternative]:
    """Those of the design, after them every battery that none of them tries alone."""
    listed = design.power.alternatives if design.power else ()
    yield from listed
    tried = {one.battery for one in listed if one.drive is None and one.mass is None}
    for battery in design.batteries[1:]:
        if battery.name not in tried:
            yield Alternative(name=battery.name, battery=battery.name)


@dataclass(frozen=True)
class _Maker:
    """Works one alternative out at a time.

    share: static thrust of the usual drive that is used over the worked-out one.
    """

    design: DesignFile
    airframe: Airframe
    balance: BalanceResult
    flight: FlightResult
    materials: Materials
    share: float | None

    def choice(self, way: Alternative) -> Choice:
        """One way to drive it, with masses, balance, drive and time of its own."""
        changed = changed_design(self.design, way)
        usual, loading = self.balance.ready, self._loading(way, changed)
        case = drive_case(changed, air=self.flight.air)
        if usual is None or loading is None or case is None:
            raise ValueError(f'the alternative "{way.name}" has no drive')
        states = [one[0] for one in case.fresh.states(throttle=[1.0], speed=[0.0])]
        whole = WholeState.of(states, [unit.count for unit in case.fresh.units])
        powered = self._powered(case, whole.thrust, mass=loading.state.mass, usual=usual.state.mass)
        return Choice(
            name=way.name,
            battery=loading.battery or "",
            mass=loading.state.mass,
            shift=loading.state.x - usual.state.x,
            remedy=loading.remedy,
            stall=self.flight.stall.speed * math.sqrt(loading.state.mass / usual.state.mass),
            thrust=powered.static.used,
            thrust_to_weight=powered.thrust_to_weight,
            current=whole.current,
            top_speed=powered.top_speed,
            time=powered.time.mixed if powered.cruise else None,
            over=tuple(x for x in limits_of(case, states, current=whole.current) if x.over),
        )

    def _loading(self, way: Alternative, changed: DesignFile) -> Loading | None:
        """The model ready to fly; added up again only where a mass differs."""
        if way.mass is not None:
            return work_out_balance(changed, self.airframe, self.materials).ready
        battery = changed.batteries[0].name
        usual = [one for one in self.balance.loadings if one.variant is None]
        return next((one for one in usual if one.battery == battery), None)

    def _powered(self, case: DriveCase, worked_out: float, *, mass: float, usual: float) -> Powered:
        """Flight under power with the usual model's drag, brought to a mass."""
        faster, flight = math.sqrt(mass / usual), self.flight
        table = replace(
            flight.performance, speeds=tuple(v * faster for v in flight.performance.speeds)
        )
        measured = None if self.share is None else self.share * worked_out
        power = self.design.power
        return work_out_powered(
            case,
            static=static_thrust_of(worked_out=worked_out, spread=0.0, measured=measured),
            performance=table,
            air=flight.air,
            area=self.airframe.reference.area,
            mass=mass,
            cruise=flight.cruise * faster,
            mix=power.flight_mix if power else (),
        )


def changed_design(design: DesignFile, way: Alternative) -> DesignFile:
    """The design with another battery as its usual one, other masses and other drives."""
    power = design.power
    if power is None:
        return design
    drives = tuple(drive.changed(way.drive) for drive in power.drives)
    masses = _masses(way, power.drives)
    items = tuple(
        item.model_copy(update={"mass": masses[item.name]}) if item.name in masses else item
        for item in design.items
    )
    return design.model_copy(
        update={
            "items": items,
            "batteries": _first(design.batteries, way.battery),
            "power": power.model_copy(update={"drives": drives}),
        }
    )


def _masses(way: Alternative, drives: tuple[Drive, ...]) -> Mapping[str, float]:
    """Masses that differ, by the names of items. [kg]"""
    if way.mass is None:
        return {}
    given = {kind: getattr(way.mass, kind) for kind in ("motor", "propeller", "controller")}
    return {
        getattr(drive, kind): mass
        for drive in drives
        for kind, mass in given.items()
        if mass is not None
    }


def _first(batteries: tuple[Battery, ...], name: str | None) -> tuple[Battery, ...]:
    """The batteries with one of them moved to the front, where the usual one stands."""
    chosen = [battery for battery in batteries if battery.name == name]
    return (*chosen, *(battery for battery in batteries if battery.name != name))
