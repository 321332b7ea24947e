"""Batteries: voltage, sag, and what the cold takes.

A pack is its rested voltage less current times resistance. Voltages are the usual ones of the
chemistry; the resistance of a pack that nobody measured, and what the cold takes, are from memory
of makers' curves: ten points of capacity either way, and half of the resistance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from plansgen.library.models import Chemistry

ABSOLUTE_ZERO = -273.15
ROOM = 293.15  # K


@dataclass(frozen=True)
class Cells:
    """One kind of cell.

    fresh: rested voltage at the start of a flight, a little under full; mean: over the charge that
    is used. [V] unit_resistance: of one cell times its capacity, at 20 °C. [ohm A h] kept: share of
    the capacity left at each of the temperatures. [K] resists: resistance over that at 20 °C.
    """

    fresh: float
    mean: float
    unit_resistance: float
    kept: tuple[float, ...]
    resists: tuple[float, ...]
    mark: str = "from memory"


TEMPERATURES = tuple(celsius - ABSOLUTE_ZERO for celsius in (-20.0, -10.0, 0.0, 10.0, 20.0))
COLD_SPREAD = 0.1  # of the capacity, as a share of the whole

CELLS: Mapping[Chemistry, Cells] = MappingProxyType(
    {
        "lithium polymer": Cells(
            4.10, 3.80, 0.016, (0.50, 0.65, 0.85, 0.94, 1.0), (4.5, 3.0, 2.0, 1.4, 1.0)
        ),
        "lithium ion": Cells(
            4.10, 3.60, 0.065, (0.55, 0.70, 0.85, 0.94, 1.0), (3.5, 2.5, 1.8, 1.3, 1.0)
        ),
        "lithium iron phosphate": Cells(
            3.35, 3.22, 0.030, (0.45, 0.60, 0.80, 0.92, 1.0), (5.0, 3.3, 2.2, 1.4, 1.0)
        ),
        "nickel metal hydride": Cells(
            1.35, 1.23, 0.030, (0.50, 0.70, 0.85, 0.95, 1.0), (3.0, 2.2, 1.6, 1.2, 1.0)
        ),
    }
)


@dataclass(frozen=True)
class Pack:
    """A battery on the day.

    capacity: on its label. [C] resistance: of the whole pack, at 20 °C; else an estimate. [ohm]
    discharge: rate on its label over capacity. [1/h] temperature: of the pack. [K]
    """

    name: str
    cells: int
    capacity: float
    chemistry: Chemistry = "lithium polymer"
    resistance: float | None = None
    discharge: float | None = None
    temperature: float = ROOM

    def __post_init__(self) -> None:
        """Check the pack.

        Raises:
            ValueError: no cells, or no capacity.
        """
        if self.cells < 1 or not self.capacity > 0.0:
            raise ValueError("a battery needs cells and a capacity")

    @property
    def kind(self) -> Cells:
        """The numbers of its chemistry."""
        return CELLS[self.chemistry]

    @property
    def fresh(self) -> float:
        """Rested voltage at the start of a flight. [V]"""
        return self.cells * self.kind.fresh

    @property
    def mean(self) -> float:
        """Rested voltage over the used charge. [V]"""
        return self.cells * self.kind.mean

    @property
    def inner(self) -> float:
        """Resistance of the pack at its temperature. [ohm]"""
        warm = self.resistance
        if warm is None:
            warm = self.cells * self.kind.unit_resistance / (self.capacity / 3600.0)
        return warm * float(np.interp(self.temperature, TEMPERATURES, self.kind.resists))

    @property
    def kept(self) -> float:
        """Share of the label's capacity that the cold leaves."""
        return float(np.interp(self.temperature, TEMPERATURES, self.kind.kept))

    @property
    def most_current(self) -> float | None:
        """Current that the label allows. [A] None without a rate."""
        return None if self.discharge is None else self.discharge * self.capacity / 3600.0
