"""Shear, bending and torsion along one half of a surface, root to tip, in each load case."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.build import Airframe
from plansgen.balance.buildup import Materials
from plansgen.balance.result import BalanceResult
from plansgen.flight.result import FlightResult
from plansgen.library.models import DesignFile
from plansgen.quantity import Quantity
from plansgen.structure.cases import LoadCase

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Lump:
    """A force at a place, body frame, and the developed span it belongs to. [N, m]"""

    place: Vector
    force: Vector
    span: float


@dataclass(frozen=True)
class SpanLoad:
    """One half surface in one case, root first, tip last. [m, N, N m]

    shear: outboard of the station, up at right angles to the panel positive. bending: tip bent up
    positive. torque: nose up positive, about the line at share ``axis`` of the chord. chord_shear,
    chord_bending: tip pushed aft positive. axial: tension positive. lumps: the same load as forces.
    """

    case: str
    spans: tuple[Annotated[float, Quantity("m", "Along the span", "given-by-designer")], ...]
    shear: tuple[Annotated[float, Quantity("N", "Shear", "structure-load-span")], ...]
    bending: tuple[Annotated[float, Quantity("N m", "Bending", "structure-load-span")], ...]
    torque: tuple[Annotated[float, Quantity("N m", "Torsion", "structure-load-span")], ...]
    chord_shear: tuple[Annotated[float, Quantity("N", "Shear aft", "structure-load-span")], ...]
    chord_bending: tuple[
        Annotated[float, Quantity("N m", "Bending aft", "structure-load-span")], ...
    ]
    axial: tuple[Annotated[float, Quantity("N", "Pull along it", "structure-load-span")], ...]
    lumps: tuple[Lump, ...]


class Loader:
    """Loads of every surface and body of a design: one lattice, solved once."""

    def __init__(
        self,
        design: DesignFile,
        airframe: Airframe,
        balance: BalanceResult,
        flight: FlightResult,
        materials: Materials,
    ) -> None:
        """Solve the lattice and lay out the masses."""
        raise NotImplementedError

    def span_load(self, case: LoadCase, surface: str, *, axis: float) -> SpanLoad:
        """The load along the starboard (or only) half of a surface.

        axis: share of the chord that torque is taken about.
        """
        raise NotImplementedError
