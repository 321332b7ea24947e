"""Mass elements: points, thin rods and thin triangles, with exact moments.

All three are simplices, and one formula serves them: for a uniform n-simplex with vertices v₀…vₙ

    ∫ r dm   = m/(n+1) Σ vᵢ
    ∫ r rᵀ dm = m/((n+1)(n+2)) (Σ vᵢvᵢᵀ + (Σvᵢ)(Σvᵢ)ᵀ)

Source: moments of a simplex by barycentric coordinates, e.g. Lasserre & Avrachenkov, *The
multi-dimensional version of ∫xᵖ dx*, Am. Math. Monthly 108 (2001); for n = 1, 2 the textbook rod
and plate.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Vertex = tuple[float, float, float]


@dataclass(frozen=True)
class Moments:
    """Mass [kg], first moments [kg m] and second moments ∫ r rᵀ dm [kg m²] about the datum."""

    mass: float
    first: Array
    second: Array

    def __add__(self, other: Moments) -> Moments:
        return Moments(self.mass + other.mass, self.first + other.first, self.second + other.second)

    def scaled(self, factor: float) -> Moments:
        """The same shape with another density."""
        return Moments(self.mass * factor, self.first * factor, self.second * factor)

    def mirrored(self) -> Moments:
        """The same thing on the other side of the centre plane."""
        flip = np.array([1.0, -1.0, 1.0])
        return Moments(self.mass, self.first * flip, self.second * np.outer(flip, flip))

    def moved(self, to: Sequence[float]) -> Moments:
        """The same thing carried bodily so that its centre lies at ``to``."""
        about_centre = self.second - np.outer(self.first, self.first) / self.mass
        place = np.asarray(to, dtype=float)
        return Moments(
            self.mass, self.mass * place, about_centre + self.mass * np.outer(place, place)
        )

    @property
    def centre(self) -> Array:
        """Centre of gravity. [m]"""
        return np.asarray(self.first / self.mass)


NOTHING = Moments(0.0, np.zeros(3), np.zeros((3, 3)))


def simplex(vertices: Sequence[Vertex], mass: float) -> Moments:
    """Moments of a uniform point, rod or triangle. [kg, m]"""
    points = np.asarray(vertices, dtype=float)
    count = len(points)
    total = points.sum(axis=0)
    second = points.T @ points + np.outer(total, total)
    return Moments(mass, mass / count * total, mass / (count * (count + 1)) * second)


def block(centre: Vertex, size: Vertex, mass: float) -> Moments:
    """Moments of a uniform box with edges along the axes: m a²/12 about its own centre."""
    place = np.asarray(centre, dtype=float)
    own = np.diag(np.square(np.asarray(size, dtype=float))) / 12
    return Moments(mass, mass * place, mass * (own + np.outer(place, place)))


def together(pieces: Iterable[Moments]) -> Moments:
    """Moments of several things as one."""
    return sum(pieces, NOTHING)


def polyline(points: Sequence[Vertex], mass: float) -> Moments:
    """A uniform stick or wire bent through points."""
    ends = list(pairwise(points))
    lengths = [float(np.linalg.norm(np.subtract(b, a))) for a, b in ends]
    total = sum(lengths)
    return together(
        simplex(pair, mass * length / total) for pair, length in zip(ends, lengths, strict=True)
    )


def quad(a: Vertex, b: Vertex, c: Vertex, d: Vertex, density: float) -> Moments:
    """A sheet spanned by four corners in order, as two triangles of equal areal density."""
    return together(
        simplex(corners, density * triangle_area(corners)) for corners in ((a, b, c), (a, c, d))
    )


def triangles(corners: Array, areas: Array) -> Moments:
    """A sheet of triangles at unit mass per area, as corners (n, 3, 3) and areas (n). [m, m²]

    An area below 0 takes away: the same formula then serves any polygon cut into a fan.
    """
    total = corners.sum(axis=1)
    own = np.einsum("n,nvi,nvj->ij", areas, corners, corners)
    return Moments(
        float(areas.sum()),
        areas @ total / 3,
        (own + np.einsum("n,ni,nj->ij", areas, total, total)) / 12,
    )


def triangle_area(corners: Sequence[Vertex]) -> float:
    """Area of a triangle in space. [m²]"""
    a, b, c = (np.asarray(corner, dtype=float) for corner in corners)
    return float(np.linalg.norm(np.cross(b - a, c - a)) / 2)


def inertia_about(moments: Moments, place: Array) -> Array:
    """Inertia tensor about a place: trace(J)·1 - J, with J the shifted second moments. [kg m²]"""
    shifted = (
        moments.second
        - np.outer(moments.first, place)
        - np.outer(place, moments.first)
        + moments.mass * np.outer(place, place)
    )
    return np.asarray(np.trace(shifted) * np.eye(3) - shifted)
