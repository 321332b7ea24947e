"""How far off a worked-out drive may be: each uncertain thing is moved, and what follows added up.

Independent errors add as squares. Propeller theory on small propellers is good to 10 to 15 %
(R. W. Deters, G. K. Ananda & M. S. Selig, *Reynolds Number Effects on the Performance of
Small-Scale Propellers*, AIAA 2014-2151, show how much shape and Reynolds number matter); the other
figures are estimates.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated

from plansgen.drive.operating import Plant, Unit
from plansgen.drive.propeller import SPREAD
from plansgen.drive.table import MEASURED_SPREAD
from plansgen.quantity import Quantity

KV = 0.04  # share, one standard deviation: motors of one kind differ
VOLTAGE = 0.015
PACK_KNOWN, PACK_GUESSED = 0.15, 0.5  # of its resistance


@dataclass(frozen=True)
class Spread:
    """One standard deviation as a share, at full throttle standing still."""

    thrust: Annotated[float, Quantity("1", "Spread of thrust", "drive-spread", "%")]
    current: Annotated[float, Quantity("1", "Spread of current", "drive-spread", "%")]


def spread_of(plant: Plant, *, from_table: bool, resistance_known: bool) -> Spread:
    """Spread of thrust and current of a plant. from_table: its propellers were measured."""
    propeller = MEASURED_SPREAD if from_table else SPREAD
    pack = PACK_KNOWN if resistance_known else PACK_GUESSED
    base = plant.state(speed=0.0)
    if not (base.thrust > 0.0 and base.current > 0.0):
        return Spread(thrust=propeller, current=propeller)
    moved = (
        plant.with_share(thrust=1 + propeller),
        plant.with_share(power=1 + propeller),
        _each(plant, lambda u: replace(u, motor=replace(u.motor, kv=u.motor.kv * (1 + KV)))),
        replace(plant, open_voltage=plant.open_voltage * (1 + VOLTAGE)),
        replace(plant, resistance=plant.resistance * (1 + pack)),
    )
    states = [other.state(speed=0.0) for other in moved]
    return Spread(
        thrust=math.hypot(*(state.thrust / base.thrust - 1 for state in states)),
        current=math.hypot(*(state.current / base.current - 1 for state in states)),
    )


def _each(plant: Plant, change: Callable[[Unit], Unit]) -> Plant:
    return replace(plant, units=tuple(change(unit) for unit in plant.units))
