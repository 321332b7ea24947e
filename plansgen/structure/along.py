"""From forces on one half of a surface to what each cut of it must carry.

At a cut, everything outboard of it is one force and one moment about the point where the cut meets
the surface's reference line; both are resolved along the panel there: along its span, along the
chord, and at right angles to the panel. So dihedral and gull bends need no thought of their own.
Cuts run along the chord, as the lattice's strips do.

Source: statics; e.g. D. J. Peery, *Aircraft Structures*, shear and bending-moment diagrams.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import LiftingSurface

Array = NDArray[np.float64]

CUTS = 61
_BESIDE = 1e-6  # m; a point force is cut just inboard and just outboard


@dataclass(frozen=True)
class Forces:
    """Forces at places in the body frame: x aft, y to starboard, z up.

    places, forces: (n, 3). inner, outer: developed spans between which each is spread evenly; the
    same for a point force. along: how its place moves for each metre of span, (n, 3). [m, N]
    """

    places: Array
    forces: Array
    inner: Array
    outer: Array
    along: Array

    @classmethod
    def points(cls, places: Array, forces: Array, spans: Array) -> Forces:
        """Point forces."""
        return cls(places, forces, spans, spans, np.zeros_like(places))

    @classmethod
    def none(cls) -> Forces:
        """No forces."""
        empty = np.zeros((0, 3))
        return cls.points(empty, empty, np.zeros(0))

    def __add__(self, other: Forces) -> Forces:
        return Forces(
            np.vstack([self.places, other.places]),
            np.vstack([self.forces, other.forces]),
            np.append(self.inner, other.inner),
            np.append(self.outer, other.outer),
            np.vstack([self.along, other.along]),
        )

    @property
    def spans(self) -> Array:
        """Developed span at the middle of each. [m]"""
        return np.asarray((self.inner + self.outer) / 2)

    @property
    def is_point(self) -> NDArray[np.bool_]:
        """Which are point forces."""
        return self.outer <= self.inner


@dataclass(frozen=True)
class Reference:
    """A surface's reference line at some developed spans.

    points: (n, 3). spanwise, normal: unit vectors of the panel there, (n, 3). [m]
    """

    spans: Array
    points: Array
    spanwise: Array
    normal: Array


@dataclass(frozen=True)
class Resultants:
    """What every cut carries; see ``span_loads.SpanLoad`` for the signs. [m, N, N m]"""

    spans: Array
    shear: Array
    bending: Array
    torque: Array
    chord_shear: Array
    chord_bending: Array
    axial: Array


def reference_line(surface: LiftingSurface, spans: Array, *, axis: float) -> Reference:
    """The line at share ``axis`` of the chord, as flat as the lattice has it."""
    stations = surface.stations
    at = [s.span for s in stations]

    def between(values: Sequence[float]) -> Array:
        return np.asarray(np.interp(spans, at, values))

    points = np.column_stack(
        [
            between([s.x for s in stations]) + axis * between([s.chord for s in stations]),
            between([s.y for s in stations]),
            between([s.z for s in stations]),
        ]
    )
    tilts = [np.arctan2(b.z - a.z, b.y - a.y) for a, b in pairwise(stations)]
    panel = np.clip(np.searchsorted(at, spans, side="left") - 1, 0, len(tilts) - 1)
    tilt = np.asarray(tilts)[panel]
    zero = np.zeros_like(tilt)
    return Reference(
        spans=spans,
        points=points,
        spanwise=np.column_stack([zero, np.cos(tilt), np.sin(tilt)]),
        normal=np.column_stack([zero, -np.sin(tilt), np.cos(tilt)]),
    )


def cuts_for(surface: LiftingSurface, spans: Sequence[float] = ()) -> Array:
    """Developed spans of the cuts: even steps, both sides of bends and of point forces. [m]

    spans: of the point forces.
    """
    length = surface.stations[-1].span
    steps = np.linspace(0.0, length, CUTS)
    breaks = np.unique([*spans, *(s.span for s in surface.stations[1:-1])])
    beside = np.concatenate([breaks - _BESIDE, breaks + _BESIDE])
    places = np.unique(np.concatenate([steps, beside[(beside > 0.0) & (beside < length)]]))
    return np.asarray(places)


def resultants(line: Reference, forces: Forces) -> Resultants:
    """Add up everything outboard of each cut."""
    cut = line.spans[:, None]
    width = np.maximum(forces.outer - forces.inner, 1e-12)
    point = forces.is_point
    share = np.where(
        point,
        forces.inner > cut,
        np.clip((forces.outer - np.maximum(cut, forces.inner)) / width, 0.0, 1.0),
    )
    # What is left of a spread force beyond the cut acts further out by half of what is cut off.
    shift = np.where(point, 0.0, (np.clip(cut, forces.inner, forces.outer) - forces.inner) / 2)
    outboard = share[:, :, None] * forces.forces
    place = forces.places + shift[:, :, None] * forces.along
    force = outboard.sum(axis=1)
    moment = np.cross(place - line.points[:, None, :], outboard).sum(axis=1)
    return Resultants(
        spans=line.spans,
        shear=(force * line.normal).sum(axis=1),
        bending=moment[:, 0],
        torque=(moment * line.spanwise).sum(axis=1),
        chord_shear=force[:, 0],
        chord_bending=-(moment * line.normal).sum(axis=1),
        axial=(force * line.spanwise).sum(axis=1),
    )
