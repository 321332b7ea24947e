"""Struts and wires that brace a wing: what they hold, what they are called, what they stand.

A brace ends on a wing where its end lies within the chord and close to it; any other end is on the
body, which does not give. Only the starboard half counts: the port one is its mirror image.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.library.bending import GRAVITY
from plansgen.library.models import DesignFile, Part
from plansgen.library.models.parts import StickSize
from plansgen.library.tables import Material
from plansgen.structure.along import reference_line
from plansgen.structure.elastic import solid_of

Vector = tuple[float, float, float]
BraceKind = Literal["strut", "wire"]

NEAR_CHORD = 0.12  # of the chord: how far above or below it an end may sit on a post
NEAR_LEAST = 0.015  # m; the same on a small chord
BEYOND_CHORD = 0.05  # of the chord, ahead of the leading or behind the trailing edge
_STEEP = 0.25  # between two wings: sideways run below this share of the rest is no lift wire
_SAME_SIDE = 1e-6  # m
_FINE = 400  # places along a half at which an end is looked for


@dataclass(frozen=True)
class Held:
    """Where a brace holds a wing. arm: from the spar line to the end of the brace. [m]"""

    surface: str
    span: float
    arm: Vector


@dataclass(frozen=True)
class Brace:
    """One leg of a strut or wire, inboard end first.

    name: what it does. ends: None on the body. area [m²] and least second moment [m⁴] of one of
    ``count``. modulus, tension, compression: of its material [Pa]. preload: as set, of each [N];
    None when the design does not say.
    """

    part: str
    name: str
    kind: BraceKind
    material: str
    start: Vector
    end: Vector
    ends: tuple[Held | None, Held | None]
    area: float
    second_moment: float
    count: int
    modulus: float
    tension: float
    compression: float
    preload: float | None
    diameter: float | None

    @property
    def length(self) -> float:
        """From end to end. [m]"""
        return math.dist(self.start, self.end)

    @property
    def pull_strength(self) -> float:
        """What one of them stands pulled: tensile strength times area. [N]"""
        return self.tension * self.area

    @property
    def push_strength(self) -> float:
        """What one strut stands pushed, hinged at both ends: Euler's load or crushing. [N]

        Source: Euler, P = π² E I/L² (any text of strength of materials).
        """
        buckling = math.pi**2 * self.modulus * self.second_moment / self.length**2
        return min(buckling, self.compression * self.area)


def areas_of(size: StickSize) -> tuple[float, float]:
    """Cross-section and least second moment of area of a stick, rod, tube or wire. [m², m⁴]"""
    if size.diameter is not None:
        d, b = size.diameter, size.bore or 0.0
        return math.pi / 4 * (d**2 - b**2), math.pi / 64 * (d**4 - b**4)
    wide, high = float(size.width or 0.0), float(size.height or 0.0)
    return wide * high, max(wide, high) * min(wide, high) ** 3 / 12


def held_at(surface: LiftingSurface, place: Vector, *, axis: float) -> Held | None:
    """Where a place sits on the starboard half of a surface, or None when it is not on it.

    axis: share of the chord at which the spar line runs.
    """
    stations = surface.stations
    spans = np.linspace(stations[0].span, stations[-1].span, _FINE + 1)
    line = reference_line(surface, spans, axis=axis)
    gap = np.asarray(place) - line.points
    along = np.abs((gap * line.spanwise).sum(axis=1))
    at = int(np.argmin(along + 1e-3 * np.linalg.norm(gap, axis=1)))
    if along[at] > 2 * (spans[1] - spans[0]):
        return None  # beyond the root or the tip
    chord = float(np.interp(spans[at], [s.span for s in stations], [s.chord for s in stations]))
    share = axis + gap[at, 0] / chord if chord > 0 else math.inf
    height = abs(float(gap[at] @ line.normal[at]))
    if not -BEYOND_CHORD <= share <= 1 + BEYOND_CHORD:
        return None
    if height > max(NEAR_CHORD * chord, NEAR_LEAST):
        return None
    x, y, z = (float(value) for value in gap[at])
    return Held(surface.key, float(spans[at]), (x, y, z))


def _owners(design: DesignFile) -> Iterator[Part]:
    """Parts that may brace; those of a mirrored body hang on the wing and hold nothing up."""
    for surface in design.surfaces.values():
        yield from surface.parts
    for body in design.bodies.values():
        if not body.mirror:
            yield from body.parts
    yield from design.parts


def _legs(part: Part) -> Iterator[tuple[Vector, Vector]]:
    """Straight pieces on the starboard side, inboard end first; cut at the centre line."""
    points: list[Vector] = [(p.x, p.y, p.z) for p in part.line or ()]
    for a, b in pairwise(points):
        near, far = sorted((a, b), key=lambda p: (p[1], p))
        if far[1] <= _SAME_SIDE:
            continue
        if near[1] < -_SAME_SIDE:
            share = -near[1] / (far[1] - near[1])
            near = (
                near[0] + share * (far[0] - near[0]),
                0.0,
                near[2] + share * (far[2] - near[2]),
            )
        if math.dist(near, far) > 0.0:
            yield near, far


def job_of(start: Vector, end: Vector, *, kind: BraceKind, between: bool) -> str:
    """What a brace does, by how it runs from its inboard to its outboard end.

    between: it joins two wings. The names are those of every text on rigging.
    """
    x, y, z = (b - a for a, b in zip(start, end, strict=True))
    if between and abs(y) < _STEEP * math.hypot(x, z):
        return "interplane strut" if kind == "strut" else "incidence wire"
    if abs(z) >= abs(x):
        return f"lift {kind}" if z > 0 else f"landing {kind}"
    return f"drag {kind}" if x > 0 else f"anti-drag {kind}"


def find_braces(
    design: DesignFile,
    surfaces: Sequence[LiftingSurface],
    materials: Mapping[str, Material],
    axes: Mapping[str, float],
) -> tuple[tuple[Brace, ...], tuple[str, ...]]:
    """Every brace that holds one of the surfaces, and what had to be left out and why.

    axes: share of the chord of the spar line, by key of surface; others are not looked at.
    """
    found: list[Brace] = []
    left_out: list[str] = []
    for part in _owners(design):
        if part.braces is None:
            continue
        solid = solid_of(materials[part.material])
        if solid is None or part.size is None:
            left_out.append(f"{part.name}: its strength is not known")
            continue
        area, second = areas_of(part.size)
        for start, end in _legs(part):
            ends = tuple(_held(surfaces, axes, place) for place in (start, end))
            if ends == (None, None):
                left_out.append(f"{part.name}: neither end is on a wing")
                continue
            between = None not in ends and ends[0].surface != ends[1].surface  # type: ignore[union-attr]
            found.append(
                Brace(
                    part=part.name,
                    name=job_of(start, end, kind=part.braces, between=between),
                    kind=part.braces,
                    material=part.material,
                    start=start,
                    end=end,
                    ends=(ends[0], ends[1]),
                    area=area,
                    second_moment=second,
                    count=part.count,
                    modulus=solid.modulus,
                    tension=solid.tension,
                    compression=solid.compression,
                    preload=None if part.preload is None else part.preload * GRAVITY,
                    diameter=part.size.diameter if part.size.bore is None else None,
                )
            )
    return tuple(found), tuple(dict.fromkeys(left_out))


def _held(
    surfaces: Sequence[LiftingSurface], axes: Mapping[str, float], place: Vector
) -> Held | None:
    """The surface whose spar line is nearest, of those that the place is on."""
    held = [
        found
        for surface in surfaces
        if surface.key in axes
        and (found := held_at(surface, place, axis=axes[surface.key])) is not None
    ]
    return min(held, key=lambda found: (math.hypot(*found.arm), found.surface), default=None)
