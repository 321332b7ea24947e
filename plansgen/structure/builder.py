"""Gathers the pieces and walls of a cut."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from plansgen.structure.cut import Cut, Piece, Place, Plate, Wall
from plansgen.structure.elastic import Solid
from plansgen.structure.strips import joints

_JOINT = 1e-6  # ends nearer than this are one joint: a micrometre [m]

Ends = tuple[Place, Place]  # top, bottom
Strip = tuple[Solid, Place, Place, float]  # solid, start, end, thickness


def joint(x: float, z: float) -> Place:
    """A place rounded, so that ends which meet are equal."""
    return (round(float(x) / _JOINT) * _JOINT, round(float(z) / _JOINT) * _JOINT)


@dataclass
class Builder:
    """Pieces and walls as they are laid down."""

    pieces: list[Piece] = field(default_factory=list)
    walls: list[Wall] = field(default_factory=list)

    def wall(
        self,
        part: str,
        start: Place,
        end: Place,
        strips: Iterable[Strip],
        *,
        core: Solid | None = None,
        face_limit: float | None = None,
        plate: Plate | None = None,
        stick: bool = False,
        rounded: bool = False,
        free_length: float = math.inf,
    ) -> None:
        """Lay down a wall with the strips on it; nothing where it has no length."""
        if math.dist(start, end) < _JOINT:
            return
        plies = []
        for solid, first, last, thickness in strips:
            if math.dist(first, last) < _JOINT:
                continue
            plies.append(len(self.pieces))
            self.pieces.append(Piece(part, solid, first, last, thickness, free_length))
        if not plies:
            return
        self.walls.append(
            Wall(start, end, tuple(plies), core, face_limit, plate, stick=stick, rounded=rounded)
        )

    def link(self, a: Place, b: Place) -> None:
        """Glue two joints together."""
        if math.dist(a, b) >= _JOINT:
            self.walls.append(Wall(a, b, ()))

    def joined(self, a: Place, b: Place) -> bool:
        """Whether two joints already hang together."""
        numbers, groups = joints(self.walls)
        if a not in numbers or b not in numbers:
            return a == b
        return groups[numbers[a]] == groups[numbers[b]]

    def ring(self, part: str, solid: Solid, centre: Place, *, diameter: float, bore: float) -> Ends:
        """Lay down a rod or tube; gives its top and its bottom."""
        radius, thickness = ring_size(diameter=diameter, bore=bore)
        turns = np.arange(RING + 1) * 2 * math.pi / RING
        places: list[Place] = [
            (centre[0] + radius * math.sin(a), centre[1] + radius * math.cos(a))
            for a in turns.tolist()
        ]
        places[-1] = places[0]
        for a, b in pairwise(places):
            self.wall(part, a, b, [(solid, a, b, thickness)], rounded=True)
        return places[0], places[RING // 2]

    def cut(
        self,
        span: float,
        *,
        axis: Place | None,
        ignored: Sequence[str] = (),
        joiners: Sequence[str] = (),
    ) -> Cut:
        """The cut as it stands."""
        return Cut(
            span=span,
            pieces=tuple(self.pieces),
            walls=tuple(self.walls),
            axis=axis,
            ignored=tuple(sorted(set(ignored))),
            joiners=tuple(sorted(set(joiners))),
        )


RING = 16
"""Straight strips that stand for a round one."""


def ring_size(*, diameter: float, bore: float = 0.0) -> tuple[float, float]:
    """Corner radius and thickness of a ring of strips with a rod's or tube's area and inertia. [m]

    Both are exact; the outermost fibre of a solid rod comes out 5 % too far out, which is on the
    safe side, and that of a thin tube where it is.
    """
    area = math.pi / 4 * (diameter**2 - bore**2)
    polar = math.pi / 32 * (diameter**4 - bore**4)
    # polar = area (L² (1/(4 tan²) + 1/12) + t²/12) with t = area/(RING L), solved for L²
    a = 1 / (4 * math.tan(math.pi / RING) ** 2) + 1 / 12
    b = area**2 / (12 * RING**2)
    g = polar / area
    square = (g + math.sqrt(g**2 - 4 * a * b)) / (2 * a)
    side = math.sqrt(square)
    return side / (2 * math.sin(math.pi / RING)), area / (RING * side)
