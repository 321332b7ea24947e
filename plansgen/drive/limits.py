"""What must not be exceeded: by motor, controller, battery and propeller."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

from plansgen.drive.case import DriveCase
from plansgen.drive.state import DriveState
from plansgen.quantity import Quantity

SAFE_TURNS = 150_000.0  # rpm times inches of stiff moulded blades (common practice, no source)
INCH = 0.0254

Kind = Literal[
    "motor current", "motor power", "controller current", "battery current", "propeller turns"
]


@dataclass(frozen=True)
class DriveLimit:
    """One thing that must not be exceeded, at full throttle standing still.

    drive: name of the motor, or of the battery. most: in the unit of the value.
    """

    kind: Kind
    drive: str
    value: float
    most: float
    unit: str
    share: Annotated[float, Quantity("1", "Share of the limit", "drive-limits", "%")]

    @property
    def over(self) -> bool:
        """Whether it is exceeded."""
        return self.value > self.most


def limits_of(
    case: DriveCase, states: Sequence[DriveState], *, current: float
) -> tuple[DriveLimit, ...]:
    """Everything that has a limit. states: of each drive. current: of the battery. [A]"""
    found = []
    for drive, unit, state in zip(case.drives, case.fresh.units, states, strict=True):
        turns = SAFE_TURNS / (unit.diameter / INCH)
        into_motor = state.power_in - state.motor_current**2 * drive.controller_resistance
        found += [
            _limit("motor current", drive.motor, state.motor_current, drive.most_current, "A"),
            _limit("motor power", drive.motor, into_motor, drive.most_power, "W"),
            _limit("propeller turns", drive.propeller, state.rpm, turns, "rpm"),
        ]
        most = drive.controller_current
        found.append(_limit("controller current", drive.controller, state.motor_current, most, "A"))
    pack = case.pack
    found.append(_limit("battery current", pack.name, current, pack.most_current, "A"))
    return tuple(limit for limit in found if limit is not None)


def _limit(
    kind: Kind, drive: str, value: float, most: float | None, unit: str
) -> DriveLimit | None:
    return None if not most else DriveLimit(kind, drive, value, most, unit, value / most)
