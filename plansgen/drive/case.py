"""Drives and battery of a design put together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.airframe.field import CELSIUS, field_air
from plansgen.atmosphere import Air
from plansgen.drive.battery import ROOM, Pack
from plansgen.drive.blade import drawn_blade, typical_blade
from plansgen.drive.motor import Motor
from plansgen.drive.operating import Plant, Unit
from plansgen.drive.propeller import Curves, Propeller, curves_of
from plansgen.drive.table import measured_curves
from plansgen.library.models import Battery, DesignFile, Drive, Item


@dataclass(frozen=True)
class DriveCase:
    """Drives and battery put together, to be asked at any throttle and speed.

    fresh: with the pack just started on. mean: with its mean voltage.
    """

    drives: tuple[Drive, ...]
    pack: Pack
    usable: float
    fresh: Plant
    mean: Plant


def pack_of(design: DesignFile, battery: Battery) -> Pack:
    """A battery of the design on the day it flies.

    Raises:
        ValueError: cells or capacity are not known.
    """
    if battery.cells is None or battery.capacity is None:
        raise ValueError(f'battery "{battery.name}" has no cells or no capacity')
    day = design.flight.temperature
    return Pack(
        name=battery.name,
        cells=battery.cells,
        capacity=battery.capacity,
        chemistry=battery.chemistry,
        resistance=battery.resistance,
        discharge=battery.discharge,
        temperature=ROOM if day is None else day + CELSIUS,
    )


def drive_case(
    design: DesignFile,
    *,
    battery: Battery | None = None,
    drives: Sequence[Drive] | None = None,
    air: Air | None = None,
) -> DriveCase | None:
    """Put drives and battery together; None when the design has no drive.

    battery: else the usual one. drives: else the design's. air: else that of the field.

    Raises:
        ValueError: something is missing, in words.
    """
    if design.power is None:
        return None
    chosen = tuple(design.power.drives if drives is None else drives)
    if not chosen:
        return None
    if battery is None and not design.batteries:
        raise ValueError("there is no battery")
    pack = pack_of(design, battery or design.batteries[0])
    weather = air or field_air(design)
    items = {item.name: item for item in design.items}
    units = tuple(_unit(drive, items, weather) for drive in chosen)
    fresh, mean = (
        Plant(units, open_voltage=voltage, resistance=pack.inner, density=weather.density)
        for voltage in (pack.fresh, pack.mean)
    )
    return DriveCase(chosen, pack, design.power.usable, fresh, mean)


def _unit(drive: Drive, items: dict[str, Item], air: Air) -> Unit:
    item = items.get(drive.propeller)
    diameter = drive.diameter or (item.diameter if item else None)
    if diameter is None:
        raise ValueError(f'propeller "{drive.propeller}" has no diameter')
    return Unit(
        motor=Motor(
            kv=drive.kv * math.pi / 30,
            resistance=drive.resistance,
            no_load_current=drive.no_load_current,
            no_load_voltage=drive.no_load_voltage,
            gear=drive.gear,
        ),
        controller_resistance=drive.controller_resistance,
        curves=_curves(drive, diameter, air),
        diameter=diameter,
        count=2 if item and item.mirror else 1,
    )


def _curves(drive: Drive, diameter: float, air: Air) -> Curves:
    if drive.measured:
        return measured_curves(drive.measured, diameter=diameter)
    if drive.pitch is None:
        raise ValueError(f'propeller "{drive.propeller}" has neither a pitch nor a table')
    if drive.blade:
        rows = [(place.at, place.chord, place.pitch or drive.pitch) for place in drive.blade]
        blade = drawn_blade(rows, diameter=diameter)
    else:
        blade = typical_blade(diameter=diameter, pitch=drive.pitch)
    propeller = Propeller(diameter=diameter, blades=drive.blades, blade=blade)
    return curves_of(propeller, viscosity=air.kinematic_viscosity)
