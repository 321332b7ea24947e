"""One root for each element of an array, inside a bracket that never opens.

Source: T. R. Chandrupatla, *A new hybrid quadratic/bisection algorithm for finding the zero of a
nonlinear function without using derivatives*, Advances in Engineering Software 28, 1997.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_MOST_STEPS = 90


def roots(
    function: Callable[[Array], Array], low: Array, high: Array, *, tolerance: float
) -> Array:
    """Where the function is zero between low and high, to within the tolerance in x.

    Where it has one sign at both ends there is no root; the end at which it is smaller is given.
    """
    one, two = high.astype(float), low.astype(float)
    at_one, at_two = function(one), function(two)
    nearer = np.where(np.abs(at_one) < np.abs(at_two), one, two)
    none = (at_one > 0.0) == (at_two > 0.0)
    share = np.full(one.shape, 0.5)
    best = nearer
    for _ in range(_MOST_STEPS):
        new = one + share * (two - one)
        value = function(new)
        same = (value > 0.0) == (at_one > 0.0)
        three, at_three = np.where(same, one, two), np.where(same, at_one, at_two)
        two, at_two = np.where(same, two, one), np.where(same, at_two, at_one)
        one, at_one = new, value
        best = np.where(np.abs(at_one) < np.abs(at_two), one, two)
        width = np.abs(two - one)
        if bool((none | (width < 2 * tolerance) | (value == 0.0)).all()):
            break
        share = _next_share((one, two, three), (at_one, at_two, at_three))
        least = np.minimum(tolerance / np.maximum(width, tolerance), 0.5)
        share = np.clip(share, least, 1 - least)
    return np.where(none, nearer, best)


def _next_share(x: tuple[Array, Array, Array], f: tuple[Array, Array, Array]) -> Array:
    """Inverse quadratic step where it is safe, else half of the bracket."""
    (x1, x2, x3), (f1, f2, f3) = x, f
    with np.errstate(divide="ignore", invalid="ignore"):
        xi, phi = (x1 - x2) / (x3 - x2), (f1 - f2) / (f3 - f2)
        safe = (phi**2 < xi) & ((1 - phi) ** 2 < 1 - xi)
        step = f1 / (f2 - f1) * f3 / (f2 - f3)
        step = step + (x3 - x1) / (x2 - x1) * f1 / (f3 - f1) * f2 / (f3 - f2)
    return np.where(safe & np.isfinite(step), step, 0.5)
