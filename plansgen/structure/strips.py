"""The strips of a cut as arrays, and how their walls hang together."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plansgen.structure.cut import Piece, Place, Wall

Array = NDArray[np.float64]

RIPPLED = 1e-6
"""What is left of the modulus of a rippled skin; not nothing, to stay solvable."""


def rectangle_torsion(width: float, thickness: float) -> float:
    """Torsion constant of a solid rectangle. [m⁴]

    Source: Roark, *Formulas for Stress and Strain*, torsion of a solid rectangle (from memory);
    within 0.1 % of the exact series.
    """
    long, short = max(width, thickness), min(width, thickness)
    ratio = short / long
    return long * short**3 * (1 / 3 - 0.21 * ratio * (1 - ratio**4 / 12))


@dataclass(frozen=True)
class Strips:
    """The pieces of a cut as arrays: middle, along, across, width, thickness, moduli. SI."""

    middle: Array
    start: Array
    end: Array
    along: Array
    across: Array
    width: Array
    thickness: Array
    modulus: Array
    shear_modulus: Array

    @property
    def pull(self) -> Array:
        """EA of each. [N]"""
        return np.asarray(self.modulus * self.width * self.thickness)

    def rippled(self, which: Collection[int]) -> Strips:
        """The same with some that have rippled and give way to next to any pull or push."""
        if not which:
            return self
        modulus = self.modulus.copy()
        modulus[sorted(which)] *= RIPPLED
        return replace(self, modulus=modulus)


def strips_of(pieces: Sequence[Piece]) -> Strips:
    """The pieces as arrays."""
    start = np.array([piece.start for piece in pieces], dtype=float).reshape(-1, 2)
    end = np.array([piece.end for piece in pieces], dtype=float).reshape(-1, 2)
    width = np.hypot(*(end - start).T)
    along = (end - start) / width[:, None]
    return Strips(
        middle=(start + end) / 2,
        start=start,
        end=end,
        along=along,
        across=np.column_stack([-along[:, 1], along[:, 0]]),
        width=width,
        thickness=np.array([piece.thickness for piece in pieces]),
        modulus=np.array([piece.solid.modulus for piece in pieces]),
        shear_modulus=np.array([piece.solid.shear_modulus for piece in pieces]),
    )


def walls_of(pieces: Sequence[Piece]) -> tuple[Wall, ...]:
    """Walls for pieces that came without: joined where ends meet, the rest linked end to end."""
    ends = [place for piece in pieces for place in (piece.start, piece.end)]
    free = {place for place in ends if ends.count(place) == 1}
    walls = [
        Wall(piece.start, piece.end, (i,), stick=piece.start in free and piece.end in free)
        for i, piece in enumerate(pieces)
    ]
    while True:
        names, groups = joints(walls)
        if len(set(groups)) <= 1:
            return tuple(walls)
        places = list(names)
        first = [p for p, g in zip(places, groups, strict=True) if g == groups[0]]
        others = [p for p, g in zip(places, groups, strict=True) if g != groups[0]]
        _, a, b = min((math.dist(a, b), a, b) for a in first for b in others)
        walls.append(Wall(a, b, ()))


def joints(walls: Sequence[Wall]) -> tuple[dict[Place, int], list[int]]:
    """Number every joint, and say which group of joined walls each belongs to."""
    numbers: dict[Place, int] = {}
    for wall in walls:
        for place in (wall.start, wall.end):
            numbers.setdefault(place, len(numbers))
    parent = list(range(len(numbers)))

    def top(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    for wall in walls:
        parent[top(numbers[wall.start])] = top(numbers[wall.end])
    return numbers, [top(i) for i in range(len(numbers))]


def wall_of_each(walls: Sequence[Wall], count: int) -> tuple[int, ...]:
    """Which wall each of so many pieces lies on."""
    found = [0] * count
    for index, wall in enumerate(walls):
        for ply in wall.plies:
            found[ply] = index
    return tuple(found)
