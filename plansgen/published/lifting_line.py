"""Lifting-line theory as a yardstick for the lattice.

Source: H. Glauert, *The Elements of Aerofoil and Airscrew Theory* (1926), ch. XI. Glauert solved it
with four terms, here it has 200.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SLOPE = 2 * math.pi
TERMS = 200


def lifting_line(aspect: float, taper: float, angle: Callable[[Array], Array]) -> Array:
    """Glauert's series A₁, A₂ … for span 1: Γ = 2 V b Σ Aₙ sin nθ, y = −½ cos θ.

    angle: angle of attack along the span, for y between −½ and ½. [rad]
    """
    theta = (np.arange(TERMS) + 0.5) * math.pi / TERMS
    y = -np.cos(theta) / 2
    chord = 2 / (aspect * (1 + taper)) * (1 - (1 - taper) * 2 * np.abs(y))
    share = chord * SLOPE / 4
    n = np.arange(1, TERMS + 1)
    matrix = np.sin(np.outer(theta, n)) * (share[:, None] * n / np.sin(theta)[:, None] + 1)
    return np.linalg.solve(matrix, share * angle(y))
