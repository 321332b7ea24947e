"""Measured propellers: CT and CP over advance ratio, at one or several rates of turning."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from plansgen.drive.propeller import Curves
from plansgen.library.models import PropellerRow

Array = NDArray[np.float64]

_GRID = 80
_BEYOND = 1.4  # times the last advance ratio
MEASURED_SPREAD = 0.03  # of thrust and power; typical of small wind tunnels (estimate)


def measured_curves(rows: Sequence[PropellerRow], *, diameter: float) -> Curves:
    """Curves from a table. diameter: [m]

    Below its first advance ratio a row is held; beyond its last it goes on in a straight line, for
    wind tunnels often stop before the thrust has gone.

    Raises:
        ValueError: no rows.
    """
    if not rows:
        raise ValueError("a measured propeller needs rows")
    speeds = sorted({row.rpm or 0.0 for row in rows})
    advance = np.linspace(min(r.j for r in rows), _BEYOND * max(r.j for r in rows), _GRID)
    thrust, power = [], []
    for speed in speeds:
        block = sorted((r for r in rows if (r.rpm or 0.0) == speed), key=lambda row: row.j)
        places = np.array([row.j for row in block])
        thrust.append(_carried_on(advance, places, np.array([row.ct for row in block])))
        power.append(_carried_on(advance, places, np.array([row.cp for row in block])))
    tips = np.array([max(speed, 1.0) / 60 * math.pi * diameter for speed in speeds])
    return Curves(
        tip_speeds=tips,
        advance=advance,
        thrust=np.array(thrust),
        power=np.array(power),
        measured=True,
    )


def _carried_on(at: Array, places: Array, values: Array) -> Array:
    found = np.interp(at, places, values)
    if len(places) < 2:
        return found
    slope = (values[-1] - values[-2]) / (places[-1] - places[-2])
    return np.where(at > places[-1], values[-1] + min(slope, 0.0) * (at - places[-1]), found)
