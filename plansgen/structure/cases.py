"""Load cases: what a wing, a tail and a body must stand, and where each number comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from plansgen.airframe.build import Airframe
from plansgen.balance.result import BalanceResult
from plansgen.flight.result import FlightResult
from plansgen.library.models import DesignFile
from plansgen.library.tables import Mark
from plansgen.quantity import Quantity

Kind = Literal["air", "hand launch", "wing tip", "nose", "bench"]
Stiffness = Callable[[str], float]  # key of a wing to N/m at its tip


@dataclass(frozen=True)
class LoadCase:
    """One thing that happens to the model.

    key: names it. kind: in the air, or what happens on the ground. on: roles of the surfaces that
    it loads. load_factor: lift over weight, upward positive; of a landing, the deceleration over
    gravity. words: what happens, plainly. source: where the numbers come from. along: forward
    acceleration; the parts push aft. [m/s²] force: of the ground at the tip. [N] deflections: of
    control modes, as theory has it. [rad]
    """

    key: str
    title: str
    load_factor: Annotated[float, Quantity("1", "Load factor, n", "structure-load-factor")]
    speed: Annotated[float, Quantity("m/s", "Speed", "structure-load-speed")]
    words: str
    source: str
    mark: Mark
    kind: Kind = "air"
    on: tuple[str, ...] = ("wing",)
    along: Annotated[float, Quantity("m/s²", "Acceleration forward", "structure-load-along")] = 0.0
    force: Annotated[float, Quantity("N", "Force at the tip", "structure-load-tip")] = 0.0
    deflections: Mapping[str, float] = field(default_factory=dict)


def cases_of(
    design: DesignFile,
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult,
    *,
    tip_stiffness: Callable[[str], float] | None = None,
) -> tuple[LoadCase, ...]:
    """Every case that this design must stand. tip_stiffness: of a wing's tip, by its key. [N/m]"""
    raise NotImplementedError
