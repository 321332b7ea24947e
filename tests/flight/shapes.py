"""Plain surfaces for tests of the lattice, and controls for them."""

from __future__ import annotations

from plansgen.airframe.build import ControlSurface
from plansgen.library.models import ControlKind
from plansgen.published.shapes import (
    FLAT,
    SMALL,
    aerodynamic_centre,
    chain,
    ellipse,
    lift_slope,
    loads_of,
    scale_for,
    station,
    trapezium,
)

__all__ = [
    "FLAT",
    "SMALL",
    "aerodynamic_centre",
    "chain",
    "control",
    "ellipse",
    "lift_slope",
    "loads_of",
    "scale_for",
    "station",
    "trapezium",
]


def control(
    kind: ControlKind, inboard: float, outboard: float, share: float, key: str = "control"
) -> ControlSurface:
    """A control surface; area and hinge line are not needed here."""
    return ControlSurface(key, kind, inboard, outboard, share, 0.0, ())
