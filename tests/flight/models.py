"""Whole airframes of bare surfaces, and pitch models of them, for tests. Lengths in m."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from plansgen.airframe.build import Airframe, BodyPart, Extents, LiftingSurface
from plansgen.airframe.layout import recognise, reference_of, tail_volumes
from plansgen.flight.lattice import Lattice
from plansgen.flight.pitching import PitchModel
from tests.flight.shapes import control, trapezium

HEAVY = 20.0  # kg: so fast that every strip lies beyond the table, where greatest lift is held


def airframe(*surfaces: LiftingSurface, bodies: tuple[BodyPart, ...] = ()) -> Airframe:
    """An airframe of those surfaces and nothing else."""
    reference = reference_of(surfaces)
    return Airframe(
        layout=recognise(surfaces),
        surfaces=surfaces,
        bodies=bodies,
        reference=reference,
        tails=tail_volumes(surfaces, reference),
        propellers=(),
        wires=(),
        extents=Extents(0.0, 1.0, 0.5, 0.0, 0.0),
        wetted=2 * reference.area,
        side_area=0.0,
        side_x=0.0,
    )


def model(
    *surfaces: LiftingSurface, x: float = 0.0, pressures: Mapping[str, float] | None = None
) -> PitchModel:
    """A pitch model balanced at x."""
    return PitchModel(
        airframe(*surfaces),
        lattice=Lattice(surfaces),
        point=(x, 0.0, 0.0),
        pressures=pressures,
    )


def wing(**more: object) -> LiftingSurface:
    """A rectangular wing of 1 m span, 0.167 m chord, NACA 2412."""
    bare = trapezium(6.0, digits="2412", **more)  # type: ignore[arg-type]
    return replace(bare, stations=tuple(replace(s, thickness=0.12) for s in bare.stations))


def tail(*, x: float = 0.6, share: float = 0.3) -> LiftingSurface:
    """A flat tailplane of 0.4 m span and 0.1 m chord with an elevator over the whole of it."""
    return replace(
        trapezium(4.0, span=0.4, x=x, z=0.03, key="tailplane", role="tailplane"),
        controls=(control("elevator", 0.0, 0.2, share, key="elevator"),),
    )


def trainer(*, x: float = 0.05, pressures: Mapping[str, float] | None = None) -> PitchModel:
    """Wing and tailplane, balanced at x."""
    return model(wing(), tail(), x=x, pressures=pressures)
