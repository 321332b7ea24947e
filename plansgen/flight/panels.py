"""From lifting surfaces to sheets of vortex panels.

The sheets are laid flat: chord lines run along the body's x-axis at the leading edge's height.
Incidence, washout, camber and controls only turn the direction in which the flow must not pass,
which is first order in those angles, as is the whole theory.

Along each half the panels are spaced by cosines, dense at the tip, at the root and at joints with
other surfaces, and controlled at the middle of each step of the angle: evenly spaced strips leave
an error of the first order at free tips and at the bend of a swept wing's root, these one of the
second. (J. DeYoung & C. W. Harper, NACA Report 921 (1948), use the same places.) Strips end at
every station, control end and joint with another surface.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import LiftingSurface, station_at
from plansgen.airframe.planform import StationPoint
from plansgen.flight.mean_line import mean_line_of
from plansgen.flight.rows import camber_angles

Array = NDArray[np.float64]
Spacing = Literal["cosine", "uniform"]

_SNAP = 2e-3  # breaks nearer than this share of the half span fall together
_CARRIED = 0.25  # of the root chord: halves nearer to the centre line than this are joined
_LEAST_BY_JOINT = 4  # strips between a joint and the next


@dataclass(frozen=True)
class Sheet:
    """A grid of panels: strips from port to starboard (or from root to tip), rows along the chord.

    edges: leading edge x, y, z and chord at each strip's end, (strips + 1, 4). middle: share of
    each strip's width at which it is controlled. mid_span: developed distance from the root there,
    negative on the port half and 0 where a body carries over. built_in: angle of each row and strip
    from incidence, washout and camber, (rows, strips). [m, rad]
    """

    surface: str
    rows: int
    edges: Array
    middle: Array
    mid_span: Array
    built_in: Array

    @property
    def strips(self) -> int:
        """How many strips."""
        return len(self.middle)

    @property
    def widths(self) -> Array:
        """Width of each strip, square to the x-axis. [m]"""
        step = np.diff(self.edges[:, 1:3], axis=0)
        return np.hypot(step[:, 0], step[:, 1])

    @property
    def normals(self) -> Array:
        """Unit vectors square to the x-axis and to each strip: up on a level wing. (strips, 3)"""
        step = np.diff(self.edges[:, 1:3], axis=0) / self.widths[:, None]
        return np.column_stack([np.zeros(self.strips), -step[:, 1], step[:, 0]])

    @property
    def mid_edges(self) -> Array:
        """Leading edge x, y, z and chord where each strip is controlled. (strips, 4)"""
        part = self.middle[:, None]
        return np.asarray(self.edges[:-1] * (1 - part) + self.edges[1:] * part)

    @property
    def nodes(self) -> Array:
        """Vortex corners on the strips' ends: a row at each quarter, then the trailing edge."""
        shares = np.append((np.arange(self.rows) + 0.25) / self.rows, 1.0)
        grid = np.repeat(self.edges[None, :, :3], self.rows + 1, axis=0)
        grid[:, :, 0] += shares[:, None] * self.edges[None, :, 3]
        return grid

    @property
    def controls(self) -> Array:
        """Points where the flow must not pass, (rows, strips, 3)."""
        shares = (np.arange(self.rows) + 0.75) / self.rows
        mid = self.mid_edges
        grid = np.repeat(mid[None, :, :3], self.rows, axis=0)
        grid[:, :, 0] += shares[:, None] * mid[None, :, 3]
        return grid


def _check(surface: LiftingSurface) -> None:
    """Refuse what no lattice can be laid on.

    Raises:
        ValueError: the surface has no area, or something in it is not a number.
    """
    stations = surface.stations
    numbers = [(s.span, s.x, s.y, s.z, s.chord, s.twist) for s in stations]
    if not np.isfinite(numbers).all():
        raise ValueError(f"surface '{surface.key}' has a station with something not a number")
    if len(stations) < 2 or any(s.chord < 0 for s in stations):
        raise ValueError(f"surface '{surface.key}' needs two stations or more, no chord below zero")
    for inner, outer in pairwise(stations):
        width = math.hypot(outer.y - inner.y, outer.z - inner.z)
        if width <= 0.0 or inner.chord + outer.chord <= 0.0:
            raise ValueError(
                f"surface '{surface.key}' has no area between {inner.span * 1000:g} and "
                f"{outer.span * 1000:g} mm along its span"
            )


def _clear_of(places: Sequence[float], kept: Sequence[float], length: float) -> list[float]:
    """Add places inside the span that do not all but fall on one that is kept already."""
    found = list(kept)
    for place in sorted(places):
        if 0.0 < place < length and min(abs(place - k) for k in found) > _SNAP * length:
            found.append(place)
    return sorted(found)


def _divide(
    surface: LiftingSurface, joints: Sequence[float], count: int, spacing: Spacing
) -> tuple[Array, Array]:
    """Developed spans of the strips' ends and of their control places, root to tip."""
    length = surface.stations[-1].span
    fields = _clear_of(joints, [0.0, length], length)
    controls = [end for c in surface.controls for end in (c.inboard, c.outboard)]
    breaks = _clear_of([s.span for s in surface.stations], fields, length)
    breaks = _clear_of(controls, breaks, length)
    ends, middles = [0.0], []
    for a, b in pairwise(fields):
        least = _LEAST_BY_JOINT if len(fields) > 2 else 1
        strips = max(least, round(count * _cosine_share(a, b, length)))
        inside = [(place - a) / (b - a) for place in breaks if a <= place <= b]
        for share, middle in _steps(inside, strips, spacing):
            ends.append(a + (b - a) * share)
            middles.append(a + (b - a) * middle)
    return np.array(ends), np.array(middles)


def _cosine_share(a: float, b: float, length: float) -> float:
    """Share of all cosine-spaced strips that lie between two places."""
    return (math.acos(1 - 2 * b / length) - math.acos(1 - 2 * a / length)) / math.pi


def _steps(breaks: Sequence[float], count: int, spacing: Spacing) -> Iterator[tuple[float, float]]:
    """Outer end and control place of each strip of a field from 0 to 1 with breaks in it."""
    even = spacing == "uniform"
    for inner, outer in pairwise(breaks):
        first, last = (s if even else _cosine_share(0.0, s, 1.0) for s in (inner, outer))
        strips = max(1, round(count * (last - first)))
        scale = np.linspace(first, last, 2 * strips + 1)
        places = (scale if even else (1.0 - np.cos(math.pi * scale)) / 2).tolist()
        places[-1] = outer
        yield from zip(places[2::2], places[1::2], strict=True)


def joined_at_centre(surface: LiftingSurface) -> bool:
    """Whether both halves meet on the centre line and make one sheet."""
    root = surface.stations[0]
    return surface.mirrored and abs(root.y) <= 1e-9 + 1e-6 * root.chord


def _carried_across(surface: LiftingSurface) -> tuple[LiftingSurface, float]:
    """Both halves joined through a narrow body between them, and how far the root moved in. [m]

    A body carries the lift across (common practice: the gross area counts); an open gap of a few
    millimetres in a lattice would cost a tenth of the lift.
    """
    root = surface.stations[0]
    narrow = surface.mirrored and surface.role != "fin" and root.y <= _CARRIED * root.chord
    if not narrow or root.y <= 0.0 or joined_at_centre(surface):
        return surface, 0.0
    shift = root.y
    stations = tuple(replace(s, span=s.span + shift) for s in surface.stations)
    controls = tuple(
        replace(c, inboard=c.inboard + shift, outboard=c.outboard + shift) for c in surface.controls
    )
    centre = replace(root, y=0.0)
    return replace(surface, stations=(centre, *stations), controls=controls), shift


def _angles(surface: LiftingSurface, middles: Array, rows: int) -> Array:
    """Incidence, washout and camber of each row and strip; straight between stations. [rad]"""
    at_stations = np.stack(
        [camber_angles(mean_line_of(s), rows) + s.twist for s in surface.stations]
    )
    spans = [s.span for s in surface.stations]
    return np.stack([np.interp(middles, spans, at_stations[:, row]) for row in range(rows)])


def _row_of(station: StationPoint) -> tuple[float, float, float, float]:
    return (station.x, station.y, station.z, station.chord)


def _mirror(half: Sheet) -> Sheet:
    """The port side: run from tip to root, so that its normals mirror the starboard ones."""
    return Sheet(
        surface=half.surface,
        rows=half.rows,
        edges=(half.edges * [1.0, -1.0, 1.0, 1.0])[::-1],
        middle=(1.0 - half.middle)[::-1],
        mid_span=-half.mid_span[::-1],
        built_in=half.built_in[:, ::-1],
    )


def lay_panels(
    surface: LiftingSurface,
    *,
    rows: int,
    strips: int,
    joints: Sequence[float] = (),
    spacing: Spacing = "cosine",
) -> tuple[Sheet, ...]:
    """Lay panels on one surface: one sheet, or two where the mirrored halves do not meet.

    rows: panels along the chord. strips: about how many along the half (or only) span. joints:
    developed spans at which another surface stands on this one. spacing: evenly spaced strips are
    for comparison with published lattices.

    Raises:
        ValueError: the surface has no area somewhere, or its two halves fall together.
    """
    _check(surface)
    surface, shift = _carried_across(surface)
    ends, middles = _divide(surface, [joint + shift for joint in joints], strips, spacing)
    half = Sheet(
        surface=surface.key,
        rows=rows,
        edges=np.array([_row_of(station_at(surface.stations, span)) for span in ends]),
        middle=(middles - ends[:-1]) / np.diff(ends),
        mid_span=np.maximum(middles - shift, 0.0),
        built_in=_angles(surface, middles, rows),
    )
    if not surface.mirrored:
        return (half,)
    if joined_at_centre(surface) and np.abs(half.edges[1, 1]) <= 1e-6 * half.edges[0, 3]:
        raise ValueError(
            f"the two halves of surface '{surface.key}' lie on each other: it rises at 90° from "
            "the centre line; give it less dihedral, or make it a fin"
        )
    port = _mirror(half)
    if not joined_at_centre(surface):
        return (port, half)
    return (
        Sheet(
            surface=surface.key,
            rows=rows,
            edges=np.vstack([port.edges, half.edges[1:]]),
            middle=np.concatenate([port.middle, half.middle]),
            mid_span=np.concatenate([port.mid_span, half.mid_span]),
            built_in=np.hstack([port.built_in, half.built_in]),
        ),
    )
