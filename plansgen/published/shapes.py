"""Plain wings to check theory with. Lengths in m; the span is 1 unless said otherwise."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from plansgen.airframe.build import ControlSurface, LiftingSurface
from plansgen.airframe.planform import StationPoint, Weight, work_out_planform
from plansgen.airframe.sections import Outline, section_shape
from plansgen.flight.lattice import Flow, Lattice, Scale
from plansgen.flight.loads import Loads
from plansgen.flight.panels import Spacing
from plansgen.library.models import Section, SurfaceRole

FLAT: Outline = ((1.0, 0.0), (0.0, 0.0), (1.0, 0.0))
SMALL = 1e-3  # rad; small enough for slopes


def station(
    span: float,
    *,
    x: float = 0.0,
    y: float = 0.0,
    z: float = 0.0,
    chord: float = 1.0,
    twist: float = 0.0,
    digits: str = "",
) -> StationPoint:
    """A station with a flat section, or a four-digit one."""
    outline, name = FLAT, "flat plate"
    if digits:
        shape = section_shape(Section(kind="naca", digits=digits), chord=chord)
        outline, name = shape.outline, shape.name
    return StationPoint(span, x, y, z, chord, twist, name, 1.0, 1.0, 0.0, 0.0, outline)


def chain(
    stations: Sequence[StationPoint],
    *,
    key: str = "wing",
    role: SurfaceRole = "wing",
    mirrored: bool = True,
    weight: Weight = "developed",
    controls: tuple[ControlSurface, ...] = (),
) -> LiftingSurface:
    """A lifting surface of those stations."""
    row = tuple(stations)
    return LiftingSurface(
        key=key,
        title=key,
        role=role,
        mirrored=mirrored,
        weight=weight,
        stations=row,
        planform=work_out_planform(row, mirrored=mirrored, weight=weight),
        controls=controls,
    )


def trapezium(
    aspect: float,
    *,
    taper: float = 1.0,
    sweep: float = 0.0,
    span: float = 1.0,
    x: float = 0.0,
    z: float = 0.0,
    key: str = "wing",
    twist: float = 0.0,
    digits: str = "",
    role: SurfaceRole = "wing",
    controls: tuple[ControlSurface, ...] = (),
) -> LiftingSurface:
    """A straight-tapered wing; sweep of the quarter line in degrees, x of the root's nose."""
    root = 2 * span / (aspect * (1 + taper))
    tip = root * taper
    back = math.tan(math.radians(sweep)) * span / 2 + (root - tip) / 4
    half = span / 2
    return chain(
        [
            station(0.0, x=x, z=z, chord=root, twist=twist, digits=digits),
            station(half, x=x + back, y=half, z=z, chord=tip, twist=twist, digits=digits),
        ],
        key=key,
        role=role,
        controls=controls,
    )


def ellipse(aspect: float, *, stations: int = 24, line: float = 0.25) -> LiftingSurface:
    """An elliptical wing of span 1 as a polygon; ``line``: share of the chord kept straight."""
    y = (1 - np.cos(np.linspace(0.0, math.pi, stations + 1))) / 4
    chords = 4 / (math.pi * aspect) * np.sqrt(np.maximum(0.0, 1 - (2 * y) ** 2))
    return chain(
        [
            station(float(s), x=float(-line * c), y=float(s), chord=float(c))
            for s, c in zip(y, chords, strict=True)
        ]
    )


def scale_for(wing: LiftingSurface) -> Scale:
    """Area, span and mean aerodynamic chord of that surface."""
    return Scale(area=wing.planform.area, span=wing.planform.span, chord=wing.planform.mac)


def loads_of(lattice: Lattice, flow: Flow, scale: Scale) -> Loads:
    """Loads about the datum."""
    return lattice.solve(flow, point=(0.0, 0.0, 0.0), scale=scale)


def small_angle_loads(
    wing: LiftingSurface, *, rows: int = 5, strips: int = 18, spacing: Spacing = "cosine"
) -> Loads:
    """Loads of one wing at a thousandth of a radian, about the datum."""
    lattice = Lattice([wing], rows=rows, strips=strips, spacing=spacing)
    return loads_of(lattice, Flow(alpha=SMALL), scale_for(wing))


def lift_slope(
    wing: LiftingSurface, *, rows: int = 5, strips: int = 18, spacing: Spacing = "cosine"
) -> float:
    """Lift slope of one wing. [1/rad]"""
    return small_angle_loads(wing, rows=rows, strips=strips, spacing=spacing).lift / SMALL


def aerodynamic_centre(
    wing: LiftingSurface, *, rows: int = 5, strips: int = 18, spacing: Spacing = "cosine"
) -> float:
    """Where one wing's lift for angle of attack acts, x aft of the datum. [m]"""
    loads = small_angle_loads(wing, rows=rows, strips=strips, spacing=spacing)
    return -loads.pitch / loads.lift * wing.planform.mac
