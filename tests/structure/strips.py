"""Cuts for tests, of strips in millimetres and newtons: a modulus of 1 shows plain inertias."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from plansgen.structure.elastic import Solid
from plansgen.structure.section import Cut, Piece, Place


def solid(modulus: float = 1.0, shear_modulus: float = 1.0, *, name: str = "stuff") -> Solid:
    """A material that stands a stress of 1 in every way."""
    return Solid(name, modulus, shear_modulus, 1.0, 1.0, 1.0, 0.1)


ONE = solid()


def strip(
    start: Place, end: Place, thickness: float, material: Solid = ONE, part: str = "strip"
) -> Piece:
    """One strip by its middle line."""
    return Piece(part, material, start, end, thickness)


def chain(places: Sequence[Place], thickness: float, material: Solid = ONE) -> list[Piece]:
    """Strips from place to place."""
    return [strip(a, b, thickness, material) for a, b in pairwise(places)]


def box(width: float, height: float, wall: float, material: Solid = ONE) -> list[Piece]:
    """The middle lines of a hollow box whose outside is given, joined at the corners."""
    x, z = (width - wall) / 2, (height - wall) / 2
    return chain([(x, z), (x, -z), (-x, -z), (-x, z), (x, z)], wall, material)


def full_box(width: float, height: float, wall: float, material: Solid = ONE) -> list[Piece]:
    """The same with the whole material of its corners: for area and inertia."""
    x, z = (width - wall) / 2, (height - wall) / 2
    return [
        strip((-width / 2, z), (width / 2, z), wall, material),
        strip((-width / 2, -z), (width / 2, -z), wall, material),
        strip((-x, -height / 2 + wall), (-x, height / 2 - wall), wall, material),
        strip((x, -height / 2 + wall), (x, height / 2 - wall), wall, material),
    ]


def cut(pieces: Sequence[Piece], axis: Place | None = None) -> Cut:
    """A cut of joined strips."""
    return Cut(0.0, tuple(pieces), axis=axis)
