"""Reading a number off a curve that was worked out at some speeds."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def at(place: float, curve: Sequence[tuple[float, float | None]]) -> float | None:
    """The value at a place, straight between the points that have one; held beyond the ends.

    curve: places, rising, and values. None when no point has a value.
    """
    known = [(x, value) for x, value in curve if value is not None]
    if not known:
        return None
    return float(np.interp(place, [x for x, _ in known], [value for _, value in known]))
