"""Velocity induced by straight vortex pieces, by the law of Biot and Savart.

For a piece from A to B of unit circulation, r₁ and r₂ the vectors from its ends to the point::

    v = (r₁ × r₂) (R₁ + R₂) / (4π R₁R₂ (R₁R₂ + r₁·r₂ + δ²)),   R² = r² + δ²

and for one from A to infinity along x::

    v = (x̂ × r₁) (R₁ + r₁ₓ) / (4π R₁ (r₁y² + r₁z² + δ²))

δ is the core radius (Rosenhead–Moore): the exact velocity of a filament whose every element is
smoothed over δ; see ``flattening`` for what is done about its error. Source: J. Katz & A. Plotkin,
*Low-Speed Aerodynamics*, vortex line elements; L. Rosenhead, *Proc. R. Soc. A* 127 (1930).

Both numerators are linear in the point's position, so they are matrix products.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def _distances_squared(points: Array, ends: Array) -> Array:
    """Squared distances; small ones keep an error of 1e-16 of the model's size squared."""
    square = (
        (points**2).sum(axis=1)[:, None] - 2.0 * points @ ends.T + (ends**2).sum(axis=1)[None, :]
    )
    return np.asarray(np.maximum(square, 0.0, out=square))


def _moments(points: Array, directions: Array, starts: Array, along: Array) -> list[Array]:
    """Components n · (along × (P − start)) for each set of directions n."""
    turned = np.cross(along, starts)
    return [np.cross(points, n) @ along.T - n @ turned.T for n in directions]


def pieces(
    points: Array, directions: Array, starts: Array, ends: Array, core: Array
) -> list[Array]:
    """Velocity of finite pieces at points, seen along given directions.

    points: (P, 3). directions: (D, P, 3), D unit vectors at each point. starts, ends: (S, 3).
    core: squared core radius, (P, S), above zero. Returns D arrays (P, S).
    """
    along = ends - starts
    one = _distances_squared(points, starts)
    two = _distances_squared(points, ends)
    inner = one + two
    inner -= (along**2).sum(axis=1)[None, :]
    inner *= 0.5
    inner += core
    one += core
    two += core
    one, two = np.sqrt(one, out=one), np.sqrt(two, out=two)
    product = one * two
    inner += product
    inner *= product
    np.maximum(inner, 1e-300, out=inner)
    weight = (one + two) / inner
    weight *= 1.0 / (4.0 * math.pi)
    return [moment * weight for moment in _moments(points, directions, starts, along)]


def wakes(
    points: Array, directions: Array, starts: Array, core: Array, normals: Array
) -> list[Array]:
    """Velocity of legs that run from their start to infinity along x; shapes as in ``pieces``.

    normals: (S, 3), of the sheet that each leg belongs to, for ``flattening``.
    """
    aft = points[:, :1] - starts[None, :, 0]
    aside = (points[:, 1:2] - starts[None, :, 1]) ** 2 + (points[:, 2:3] - starts[None, :, 2]) ** 2
    height = points @ normals.T - (starts * normals).sum(axis=1)
    aside += core
    square = aft**2 + aside
    distance = np.sqrt(square)
    weight = (distance + aft) / (distance * aside)
    weight += 2 * flattening(height, core) * (weight + aft / (2 * square * distance)) / aside
    weight /= 4.0 * math.pi
    along = np.tile([1.0, 0.0, 0.0], (len(starts), 1))
    return [moment * weight for moment in _moments(points, directions, starts, along)]


def flattening(height: Array, core: Array) -> Array:
    """Step back from the height that a core lifts a point to: s(s − |h|), s² = h² + δ².

    A row of smoothed legs acts on a point at height h above their sheet as bare legs would from
    s. For a function f of s², f − 2 s(s − |h|) f′ is then right at h to the first order, and the
    smoothing's error is one of the second.
    """
    lifted = np.sqrt(height**2 + core)
    return np.asarray(core * lifted / np.maximum(lifted + np.abs(height), 1e-300))
