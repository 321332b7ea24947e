"""Angles that the chordwise rows of a lattice must see to carry a bent section's lift and moment.

Each row has its vortex at a quarter and its control point at three quarters of its panel. With
equal panels a flat plate's lift and moment are then exact for any number of rows (R. M. James,
*Computer Methods in Applied Mechanics and Engineering* 1 (1972)), but a corner in the mean line (a
hinge, a fold) falls somewhere inside a panel and leaves an error of the first order. So the mean
slope over each panel is corrected by a constant and a linear part, such that in two dimensions the
rows carry exactly the lift and moment of thin-airfoil theory.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from plansgen.flight.thin_airfoil import LIFT_SLOPE, thin_flap, thin_section

Array = NDArray[np.float64]


@lru_cache(maxsize=32)
def _rows(count: int) -> tuple[Array, Array]:
    """Lift and quarter-chord moment that each row's angle gives in two dimensions, (2, count)."""
    vortex = (np.arange(count) + 0.25) / count
    control = (np.arange(count) + 0.75) / count
    circulation = np.linalg.inv(1.0 / (2 * math.pi * (control[:, None] - vortex[None, :])))
    gains = np.stack([2 * circulation.sum(axis=0), 2 * (0.25 - vortex) @ circulation])
    return gains, control


def _corrected(angles: Array, lift: float, moment: float) -> Array:
    """Add a constant and a linear part so that lift and moment come out as given.

    One row alone can only be given the lift.
    """
    gains, control = _rows(len(angles))
    if len(angles) == 1:
        return np.array([lift / gains[0, 0]])
    shapes = np.stack([np.ones_like(control), control])
    short = np.array([lift, moment]) - gains @ angles
    return np.asarray(angles + np.linalg.solve(gains @ shapes.T, short) @ shapes)


def camber_angles(line: Array, rows: int) -> Array:
    """Nose-up angle of each row against the section's x-axis. [rad]

    line: points (x, z) of the mean line in chords, leading edge first. rows: number of rows.

    Raises:
        ValueError: the mean line's x does not rise.
    """
    section = thin_section(line)
    edges = np.linspace(0.0, 1.0, rows + 1)
    x = (line[:, 0] - line[0, 0]) / (line[-1, 0] - line[0, 0])
    z = line[:, 1] / (line[-1, 0] - line[0, 0])
    slope = np.diff(np.interp(edges, x, z)) * rows
    return _corrected(-slope, -LIFT_SLOPE * section.zero_lift_angle, section.moment)


def flap_angles(share: float, rows: int) -> Array:
    """Angle of each row per radian of a plain flap, trailing edge down.

    share: flap chord over chord. rows: number of rows.

    Raises:
        ValueError: share outside 0 to 1.
    """
    flap = thin_flap(share)
    edges = np.linspace(0.0, 1.0, rows + 1)
    covered = np.diff(np.maximum(edges - (1.0 - share), 0.0)) * rows
    return _corrected(covered, flap.lift, flap.moment)
