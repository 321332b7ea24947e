"""The mean line of a section: half-way between its upper and lower surface."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.planform import StationPoint
from plansgen.airframe.sections import Outline, cosine_points
from plansgen.airframe.sections import mean_line as naca_mean_line

Array = NDArray[np.float64]

_NACA = re.compile(r"^NACA (\d)(\d)\d\d$")
_FINE = 200  # points of a four-digit mean line; its angles then hold to 1e-4 of themselves


def _one_side(line: Array) -> tuple[Array, Array]:
    """Heights against strictly rising x, so that a blunt end counts as its last corner."""
    order = np.argsort(line[:, 0], kind="stable")
    x, z = line[order, 0], line[order, 1]
    last = np.append(np.diff(x) > 1e-12, True)
    first = np.append(True, np.diff(x) > 1e-12)
    keep = np.where(x < 0.5, last, first)  # the corner nearer to mid-chord
    return x[keep], z[keep]


def mean_line_of_outline(outline: Outline) -> Array:
    """Points (x, z) of the mean line in chords, leading edge first.

    outline: trailing edge over the top to the leading edge and back underneath. The line is the
    mean height of both surfaces at the same x, with a corner wherever either has one. Angles are
    kept against the section's own x-axis, so a folded sheet's stay against its flat underside.

    Raises:
        ValueError: the outline has no upper or no lower surface, or no chord.
    """
    points = np.asarray(outline, dtype=float)
    nose = int(points[:, 0].argmin()) if len(points) else 0
    if nose in (0, len(points) - 1) or np.ptp(points[:, 0]) <= 0.0:
        raise ValueError("the outline must run from the trailing edge round the nose and back")
    points = (points - [points[nose, 0], 0.0]) / np.ptp(points[:, 0])
    upper, lower = _one_side(points[: nose + 1]), _one_side(points[nose:])
    start = max(upper[0][0], lower[0][0], 0.0)
    end = min(upper[0][-1], lower[0][-1])
    inside = np.union1d(upper[0], lower[0])
    x = np.concatenate([[0.0], inside[(inside > start + 1e-9) & (inside < end - 1e-9)], [1.0]])
    return np.column_stack([x, (np.interp(x, *upper) + np.interp(x, *lower)) / 2])


def mean_line_of(station: StationPoint) -> Array:
    """Points (x, z) of a station's mean line in chords, leading edge first.

    Four-digit sections come from their formula; all others from the station's outline, whose 24
    points a side leave 0.5 % in the angles.
    """
    digits = _NACA.match(station.section)
    if digits:
        camber, place = int(digits[1]) / 100, int(digits[2]) / 10
        x = cosine_points(_FINE)
        if camber == 0.0 or place == 0.0:
            return np.column_stack([x, np.zeros_like(x)])
        x = np.union1d(x, [place])
        return np.column_stack([x, naca_mean_line(x, camber, place)[0]])
    return mean_line_of_outline(station.outline)
