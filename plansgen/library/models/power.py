"""What drives the model: motors, propellers, wires, and what else might drive it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field
from pydantic import model_validator as check

from plansgen.library.models.fields import FileModel, Line, assumed
from plansgen.library.units import (
    Angle,
    Current,
    Mass,
    MotorConstant,
    PositiveLength,
    Resistance,
    Share,
    Voltage,
    WireArea,
)
from plansgen.library.units import (
    Power as Watts,
)

Blades = Annotated[int, Field(ge=1, le=6, strict=True)]
Gear = Annotated[float, Field(gt=0.1, le=100.0, allow_inf_nan=False)]
Gauge = Annotated[int, Field(ge=0, le=40, strict=True)]
# A bare off is a switch in YAML, and reads as false.
Throttle = Annotated[
    Literal["full", "level", "off"], BeforeValidator(lambda v: "off" if v is False else v)
]

CONTROLLER_RESISTANCE = 0.005
"""Of a small speed controller with its leads; estimate. [ohm]"""
USABLE = 0.8
"""Share of a pack's charge that is flown with; common practice, no source."""
MOST_TILT = math.radians(30.0) + 1e-9
"""Of a shaft against the datum line; more is a slip of the pen. [rad]"""
LEAST_ON, LEAST_USABLE = 0.01, 0.05  # less says nothing of a flight
MIX_SLACK = 0.005
"""How far shares may miss the whole, because people round them."""


class BladeStation(FileModel):
    """How wide and how steep a propeller's blade is at one radius."""

    at: Share = Field(description="Share of the radius.")
    chord: Share = Field(description="Width of the blade as a share of the radius.")
    pitch: PositiveLength | None = Field(
        None, description="Pitch there; else that of the propeller."
    )


class PropellerRow(FileModel):
    """One measured point of a propeller.

    With n in turns a second and D the diameter: J = V / (n D), CT = T / (rho n^2 D^4),
    CP = P / (rho n^3 D^5).
    """

    j: Annotated[float, Field(ge=0, le=4, allow_inf_nan=False)] = Field(
        description="Advance ratio J."
    )
    ct: Annotated[float, Field(ge=-1, le=1, allow_inf_nan=False)] = Field(
        description="Thrust coefficient CT."
    )
    cp: Annotated[float, Field(ge=-1, le=1, allow_inf_nan=False)] = Field(
        description="Power coefficient CP."
    )
    rpm: Annotated[float, Field(ge=100, le=100_000, allow_inf_nan=False)] | None = Field(
        None, description="Turns a minute at which it was measured."
    )


class DriveChange(FileModel):
    """What differs from the drive as it is built; all else stays."""

    kv: MotorConstant | None = Field(None, description="No-load turns a minute for each volt.")
    no_load_current: Current | None = Field(None, description="Current at no load.")
    no_load_voltage: Voltage | None = Field(None, description="Voltage that it was read at.")
    resistance: Resistance | None = Field(None, description="Resistance of the motor.")
    gear: Gear | None = Field(None, description="Motor turns for one turn of the propeller.")
    most_current: Current | None = Field(None, description="Greatest current of the motor.")
    most_power: Watts | None = Field(None, description="Greatest power into the motor.")
    controller_current: Current | None = Field(
        None, description="Greatest current of the controller."
    )
    controller_resistance: Resistance | None = Field(None, description="Of the controller.")
    pitch: PositiveLength | None = Field(None, description="Pitch of the propeller.")
    diameter: PositiveLength | None = Field(None, description="Diameter of the propeller.")
    blades: Blades | None = Field(None, description="Number of blades.")


class Drive(FileModel):
    """One motor with its propeller and its speed controller; mirrored items make two alike."""

    motor: Line = Field(description="Name of the motor among the items.")
    propeller: Line = Field(description="Name of the propeller among the items.")
    controller: Line = Field(description="Name of the speed controller among the items.")
    kv: MotorConstant = Field(
        description="No-load turns a minute for each volt; a bare number is in rpm/V."
    )
    no_load_current: Current = Field(description="Current of the motor at no load, in A.")
    no_load_voltage: Voltage | None = Field(
        None, description="Voltage that the no-load current was read at."
    )
    resistance: Resistance = Field(
        description="Resistance of the motor between two of its leads; a bare number is in ohm."
    )
    gear: Gear = Field(1.0, description="Motor turns for one turn of the propeller.")
    most_current: Current | None = Field(
        None, description="Greatest current that the motor stands."
    )
    most_power: Watts | None = Field(None, description="Greatest power into the motor, in W.")
    controller_current: Current | None = Field(
        None, description="Greatest current of the speed controller."
    )
    controller_resistance: Resistance = assumed(
        "Resistance of the speed controller; a bare number is in ohm.",
        "a speed controller of 5 milliohm (estimate)",
        default=CONTROLLER_RESISTANCE,
    )
    down: Angle = assumed("Downthrust: nose of the shaft down.", "no downthrust", default=0.0)
    side: Angle = assumed(
        "Sidethrust: nose of the shaft to starboard; on the port one of two to port.",
        "no sidethrust",
        default=0.0,
    )
    pitch: PositiveLength | None = Field(
        None, description="Pitch of the propeller; not needed with a table."
    )
    diameter: PositiveLength | None = Field(
        None, description="Diameter of the propeller; else that of the item."
    )
    blades: Blades = assumed("Number of blades.", "two blades", default=2)
    blade: tuple[BladeStation, ...] = Field(
        (), max_length=40, description="Shape of the blade, from the hub outward; else a usual one."
    )
    table: Line | None = Field(
        None,
        description="Measured CT and CP: a file of the folder such as propellers/9x6.csv, with "
        "the columns J, CT, CP and perhaps rpm.",
    )
    measured: tuple[PropellerRow, ...] = Field(
        (), max_length=500, description="The same rows written here, instead of a table."
    )

    @check(mode="after")
    def _limits_and_line(self) -> Self:
        for name in ("most_current", "controller_current"):
            if getattr(self, name) == 0.0:
                raise ValueError(f"{name} must be above 0; leave it out where it is not known")
        for name in ("down", "side"):
            if abs(getattr(self, name)) > MOST_TILT:
                raise ValueError(f"{name} must lie between -30 and 30 deg")
        return self

    @check(mode="after")
    def _one_propeller(self) -> Self:
        given = [name for name in ("blade", "table", "measured") if name in self.model_fields_set]
        if len(given) > 1:
            raise ValueError(f"give one of blade, table and measured, not {' and '.join(given)}")
        if self.pitch is None and given in ([], ["blade"]):
            raise ValueError("pitch is missing: only a measured propeller does without it")
        return self

    @check(mode="after")
    def _blade_in_order(self) -> Self:
        if len(self.blade) == 1:
            raise ValueError("blade needs two places or more, from the hub to the tip")
        for number, station in enumerate(self.blade):
            if not 0.0 < station.chord <= 0.8 or station.at < 0.05:
                raise ValueError(
                    f"blade[{number}] must lie beyond 0.05 of the radius, with a chord above 0 and "
                    "up to 0.8 of it"
                )
        if any(b.at <= a.at for a, b in pairwise(self.blade)):
            raise ValueError("blade: at must rise from the hub to the tip")
        return self

    @check(mode="after")
    def _measured_in_order(self) -> Self:
        if self.measured and (wrong := wrong_row(self.measured)):
            number, words = wrong
            raise ValueError(f"measured[{number}]: {words}")
        return self

    def changed(self, change: DriveChange | None) -> Drive:
        """This drive with what differs.

        A blade's shape and measured rows belong to one propeller: another pitch, diameter or
        number of blades drops them.
        """
        if change is None:
            return self
        update = {name: getattr(change, name) for name in change.model_fields_set}
        update = {name: value for name, value in update.items() if value is not None}
        if {"pitch", "diameter", "blades"} & set(update):
            update |= {"blade": (), "table": None, "measured": ()}
        return self.model_copy(update=update)


def wrong_row(rows: Sequence[PropellerRow]) -> tuple[int, str] | None:
    """The first measured row that cannot be used, and why; None when all are fine."""
    least = 2
    if len(rows) < least:
        return 0, "two rows or more are needed"
    if len({row.rpm is None for row in rows}) > 1:
        first = rows[0].rpm is None
        number = next(n for n, row in enumerate(rows) if (row.rpm is None) != first)
        return number, "rpm stands in every row or in none"
    if rows[0].ct <= 0.0 or rows[0].cp <= 0.0:
        return 0, "CT and CP must be above 0 in the first row"
    for number, (before, row) in enumerate(pairwise(rows), 1):
        if row.rpm == before.rpm and row.j <= before.j:
            return number, "J must rise from row to row"
        if row.rpm is not None and before.rpm is not None and row.rpm < before.rpm:
            return number, "rpm must rise from block to block"
        if row.rpm != before.rpm and (row.ct <= 0.0 or row.cp <= 0.0):
            return number, "CT and CP must be above 0 where a new rpm begins"
    speeds = [row.rpm for row in rows]
    for number, speed in enumerate(speeds):
        if speeds.count(speed) < least:
            return number, "each rpm needs two rows or more"
    return None


class Wire(FileModel):
    """A pair of conductors, out and back. One to a mirrored item is there on both sides."""

    name: Line = Field(description="What it connects, such as battery to controller.")
    from_: Line | None = Field(
        None, alias="from", description="Where it begins: battery, or the name of an item."
    )
    to: Line | None = Field(
        None,
        description="Where it ends: the name of an item. Left out on a wire from the battery that "
        "all controllers share.",
    )
    length: PositiveLength = Field(description="Length of one conductor.")
    gauge: Gauge | None = Field(None, description="Wire gauge number, AWG (ASTM B258).")
    area: WireArea | None = Field(
        None, description="Copper of one conductor; a bare number is in mm2."
    )
    most: Current | None = Field(
        None, description="Greatest current as its maker says; else by common practice."
    )

    @check(mode="after")
    def _one_size(self) -> Self:
        if (self.gauge is None) == (self.area is None):
            raise ValueError("give gauge or area of the wire, one of them")
        if self.from_ is not None and self.from_ == self.to:
            raise ValueError("from and to must differ")
        if self.most == 0.0:
            raise ValueError("most must be above 0; leave it out where it is not known")
        return self


class Connector(FileModel):
    """A plug and its socket."""

    name: Line = Field(description="What it is, such as battery plug.")
    most_current: Current | None = Field(None, description="Greatest lasting current.")
    wire: Line | None = Field(None, description="Name of the wire that it sits in.")

    @check(mode="after")
    def _carries(self) -> Self:
        if self.most_current == 0.0:
            raise ValueError("most_current must be above 0; leave it out where it is not known")
        return self


class MixPart(FileModel):
    """One share of a usual flight."""

    share: Share = Field(description="Share of the flight's time.")
    throttle: Throttle = Field(description="Full, as level flight needs, or off.")


FLIGHT_MIX = (
    MixPart(share=0.15, throttle="full"),
    MixPart(share=0.6, throttle="level"),
    MixPart(share=0.25, throttle="off"),
)


class OtherMass(FileModel):
    """Masses of one of each that differ."""

    motor: Mass | None = Field(None, description="Mass of the motor.")
    propeller: Mass | None = Field(None, description="Mass of the propeller.")
    controller: Mass | None = Field(None, description="Mass of the speed controller.")


class Alternative(FileModel):
    """Another battery, motor or propeller, to be compared with the usual ones."""

    name: Line = Field(description="What it is called, such as four cells, smaller propeller.")
    battery: Line | None = Field(
        None, description="Name of a battery of the list; else the usual one."
    )
    drive: DriveChange | None = Field(None, description="What differs in every drive.")
    mass: OtherMass | None = Field(None, description="Masses that differ.")

    @check(mode="after")
    def _differs(self) -> Self:
        if self.battery is None and self.drive is None and self.mass is None:
            raise ValueError("an alternative must differ: give battery, drive or mass")
        return self


class Power(FileModel):
    """What drives the model. Left out: a glider, or nothing is known."""

    drives: tuple[Drive, ...] = Field((), max_length=8, description="Motors with propellers.")
    wires: tuple[Wire, ...] = Field((), max_length=40, description="What carries the current.")
    connectors: tuple[Connector, ...] = Field((), max_length=40, description="Plugs.")
    fuse: Current | None = Field(None, description="Fuse in the battery's lead, if there is one.")
    arming_plug: bool = Field(
        False, description="True when a plug outside the model makes the motor live.", strict=True
    )
    flight_mix: tuple[MixPart, ...] = assumed(
        "How a usual flight goes; the shares add to 1.",
        "a flight of 15 % full throttle, 60 % level flight and 25 % gliding (estimate)",
        default=FLIGHT_MIX,
        min_length=1,
        max_length=10,
    )
    usable: Share = assumed(
        "Share of the battery's capacity that is used.",
        "80 % of the battery's capacity is used (common practice, no source)",
        default=USABLE,
    )
    alternatives: tuple[Alternative, ...] = Field(
        (), max_length=10, description="What else might drive it."
    )

    @check(mode="after")
    def _hangs_together(self) -> Self:
        whole = math.fsum(part.share for part in self.flight_mix)
        if abs(whole - 1.0) > MIX_SLACK:
            raise ValueError(f"flight_mix: the shares add to {whole:.3g}, not to 1")
        if math.fsum(part.share for part in self.flight_mix if part.throttle != "off") < LEAST_ON:
            raise ValueError("flight_mix: the motor must run for 1 % of the flight or more")
        if self.usable < LEAST_USABLE:
            raise ValueError("usable must be 5 % or more")
        if self.fuse == 0.0:
            raise ValueError("fuse must be above 0; leave it out where there is none")
        for what in ("wires", "alternatives"):
            names = [one.name for one in getattr(self, what)]
            if twice := sorted({name for name in names if names.count(name) > 1}):
                raise ValueError(f'two {what} have the name "{twice[0]}"')
        return self
