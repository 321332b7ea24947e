"""What is bought, where the battery sits, where it must balance, glue and paint."""

from __future__ import annotations

import math
from typing import Literal, Self

from pydantic import Field
from pydantic import model_validator as check

from plansgen.library.models.fields import (
    Count,
    FileModel,
    ItemKind,
    Line,
    Point,
    Prose,
    Size,
    assumed,
)
from plansgen.library.units import (
    ArealDensity,
    Charge,
    DischargeRate,
    Length,
    Mass,
    PositiveLength,
    Resistance,
    Share,
    Throw,
    Time,
    Torque,
    Voltage,
)

Chemistry = Literal[
    "lithium polymer", "lithium ion", "lithium iron phosphate", "nickel metal hydride"
]
SERVO_TRAVEL = math.radians(45.0)
"""Of an ordinary servo arm each way at full stick; common practice, no source. [rad]"""


class Servo(FileModel):
    """What a servo can do."""

    torque: Torque | None = Field(
        None, description="Greatest torque at its voltage; a bare number is in kg cm."
    )
    speed: Time | None = Field(None, description="Seconds that it takes for 60 degrees.")
    travel: Throw = assumed(
        "Travel of its arm each way at full stick.",
        "45° of servo travel each way (common practice, no source)",
        default=SERVO_TRAVEL,
    )
    voltage: Voltage | None = Field(None, description="Voltage that torque and speed are told for.")


class Item(FileModel):
    """A bought or ready-made thing with a mass and a place."""

    name: Line = Field(description="What it is.")
    kind: ItemKind = Field("other", description="Groups it in tables and chooses its cautions.")
    mass: Mass = Field(description="Mass of one.")
    measured: bool = Field(
        False, description="True when weighed, not from a data sheet.", strict=True
    )
    at: Point = Field(description="Where its middle lies, from the datum.")
    mirror: bool = Field(False, description="One on each side.", strict=True)
    size: Size | None = Field(None, description="Outside dimensions; else it counts as a point.")
    diameter: PositiveLength | None = Field(
        None, description="Diameter of a propeller, for drawings."
    )

    folds: bool = Field(
        False, description="True for a propeller whose blades fold back in the glide.", strict=True
    )
    servo: Servo | None = Field(None, description="What a servo can do; only for kind servo.")

    @check(mode="after")
    def _fits_its_kind(self) -> Self:
        if self.folds and self.kind != "propeller":
            raise ValueError("only a propeller folds")
        if self.servo is not None and self.kind != "servo":
            raise ValueError("servo goes with an item of kind servo")
        if self.servo is not None and self.servo.travel == 0.0:
            raise ValueError("servo: travel must be above 0")
        return self

    @check(mode="after")
    def _mirror_has_side(self) -> Self:
        if self.mirror and self.at.y == 0.0:
            raise ValueError("a mirrored item needs at.y: how far out it sits")
        return self


class Variant(FileModel):
    """Another way of loading the model: things taken out of it, or put in."""

    name: Line = Field(description="What it is called, such as with camera.")
    add: tuple[Item, ...] = Field((), max_length=20, description="Items put in.")
    without: tuple[Line, ...] = Field((), max_length=20, description="Names of items taken out.")

    @check(mode="after")
    def _changes_something(self) -> Self:
        if not self.add and not self.without:
            raise ValueError("a variant must add something or do without something")
        return self


class Battery(FileModel):
    """One of the batteries the model may fly with."""

    name: Line = Field(description="What a builder would look for, without a maker's name.")
    mass: Mass = Field(description="Mass with its lead and plug.")
    measured: bool = Field(
        False, description="True when weighed, not from a data sheet.", strict=True
    )
    cells: Count | None = Field(None, description="Cells in series.")
    capacity: Charge | None = Field(None, description="Capacity.")
    chemistry: Chemistry = assumed(
        "What its cells are.", "lithium polymer cells", default="lithium polymer"
    )
    resistance: Resistance | None = Field(
        None,
        description="Resistance of the whole pack; a bare number is in ohm. Left out: an estimate.",
    )
    discharge: DischargeRate | None = Field(
        None, description="Lasting discharge as its label says, in multiples of the capacity."
    )
    size: Size | None = Field(None, description="Outside dimensions; else it counts as a point.")
    x: Length | None = Field(None, description="Where its middle sits; else as the bay says.")


class BatteryBay(FileModel):
    """Where the battery may slide. Places are those of the middle of the battery."""

    from_: Length = Field(alias="from", description="Foremost place of the battery's middle.")
    to: Length = Field(description="Aftmost place of the battery's middle.")
    x: Length | None = assumed(
        "Where it sits on the plan; else the middle of the bay.",
        "a battery without a place of its own sits in the middle of the bay",
        default=None,
    )
    y: Length = assumed("Distance to starboard.", "battery on the centre line", default=0.0)
    z: Length = assumed("Height above the datum.", "battery at the datum's height", default=0.0)

    @check(mode="after")
    def _order(self) -> Self:
        if self.to < self.from_:
            raise ValueError("to must lie aft of from")
        if self.x is not None and not self.reaches(self.x):
            raise ValueError("x must lie between from and to")
        return self

    @property
    def usual_x(self) -> float:
        """Where a battery without a place of its own sits. [m]"""
        return self.x if self.x is not None else (self.from_ + self.to) / 2

    def reaches(self, x: float) -> bool:
        """Whether the middle of a battery may sit at ``x``, to a nanometre."""
        return self.from_ - 1e-9 <= x <= self.to + 1e-9


class BalanceMark(FileModel):
    """A place on the wing: a share of the mean aerodynamic chord, or a distance on the root."""

    mac: Share | None = Field(None, description="Share of the mean aerodynamic chord.")
    root: Length | None = Field(None, description="Aft of the wing's root leading edge.")

    @check(mode="after")
    def _one(self) -> Self:
        if (self.mac is None) == (self.root is None):
            raise ValueError("give mac or root, one of them")
        return self


class Balance(FileModel):
    """Where the designer wants it to balance, and where ballast may go."""

    target: BalanceMark | None = Field(None, description="Where it must balance.")
    first: BalanceMark | None = Field(
        None, description="Where it balances on its first flights; without it, at the target."
    )
    forward: BalanceMark | None = Field(None, description="Foremost balance point allowed.")
    aft: BalanceMark | None = Field(None, description="Aftmost balance point allowed.")
    why: Prose | None = Field(None, description="How the designer found it.")
    nose: Point | None = Field(None, description="Where ballast goes in the nose.")
    tail: Point | None = Field(None, description="Where ballast goes at the tail.")

    @check(mode="after")
    def _limits_with_target(self) -> Self:
        if self.target is None and (self.forward is not None or self.aft is not None):
            raise ValueError("forward and aft limits need a target")
        if self.target is None and self.first is not None:
            raise ValueError("a place for the first flights needs a target")
        return self


class Allowance(FileModel):
    """Glue and paint, on top of the worked-out parts."""

    glue: Share = assumed(
        "Glue as a share of the worked-out parts' mass.",
        "glue is 8 % of the worked-out parts (estimate)",
        default=0.08,
    )
    paint: ArealDensity | None = assumed(
        "Paint or film over all wetted area.", "no paint", default=None
    )
