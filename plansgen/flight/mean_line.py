"""The mean line of a section: half-way between its upper and lower surface."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.planform import StationPoint
from plansgen.airframe.sections import Outline, cosine_points
from plansgen.airframe.sections import mean_line as naca_mean_line

Array = NDArray[np.float64]
Side = tuple[Array, Array]

_NACA = re.compile(r"^NACA (\d)(\d)\d\d$")
_FINE = 800  # points of a four-digit mean line; its angles then hold to 1e-5 of themselves
_GRID = 100  # points of a mean line between two curves
_NOSE, _TAIL = 0.05, 0.02
_ROUNDS = 6
_CURVED = 12  # points on a side from which on it is a curve and not a chain of straight lines


def _one_side(line: Array) -> Side:
    """Heights against strictly rising x, of a line from nose to tail; a blunt end is a corner."""
    order = np.argsort(line[:, 0], kind="stable")
    x, z = line[order, 0], line[order, 1]
    last = np.append(np.diff(x) > 1e-12, True)
    first = np.append(True, np.diff(x) > 1e-12)
    keep = np.where(x < 0.5, last, first)  # the corner nearer to mid-chord
    return x[keep], z[keep]


def _read(side: Side, x: Array) -> Array:
    """Height of one surface at x.

    A curve of many points is read by cubics in θ, x = (1 − cos θ)/2, in which a round nose is
    smooth; one of few points is a chain of straight lines with real corners.
    """
    if len(side[0]) < _CURVED:
        return np.asarray(np.interp(x, *side))
    theta, at = (np.arccos(np.clip(1 - 2 * v, -1.0, 1.0)) for v in (side[0], x))
    slope = np.gradient(side[1], theta, edge_order=2)
    index = np.clip(np.searchsorted(theta, at, side="right") - 1, 0, len(theta) - 2)
    width = theta[index + 1] - theta[index]
    t = np.clip((at - theta[index]) / width, 0.0, 1.0)
    start, stop = side[1][index], side[1][index + 1]
    return np.asarray(
        start * (1 + 2 * t) * (1 - t) ** 2
        + stop * t**2 * (3 - 2 * t)
        + width * t * (1 - t) * (slope[index] * (1 - t) - slope[index + 1] * t)
    )


def _between(sides: tuple[Side, Side], x: Array) -> Array:
    """Height of the mean line at x, thickness laid off square to it.

    Square to the x-axis, a cambered section's nose would count as camber: 4 % of the zero-lift
    angle of a NACA 2412. The slope is found by repeating; six rounds leave 1e-5 of the chord. In
    the nose itself both surfaces are too steep for that, and at a blunt trailing edge one ends
    before the other: there the line runs on as a parabola from further in.
    """
    nose, behind = x < _NOSE, (x >= _NOSE) & (x <= 4 * _NOSE)
    tail, ahead = x > 1 - _TAIL, (x <= 1 - _TAIL) & (x >= 1 - 8 * _TAIL)
    sin, cos = np.zeros_like(x), np.ones_like(x)
    half = np.zeros_like(x)
    for _ in range(_ROUNDS):
        over = _read(sides[0], x - half * sin)
        under = _read(sides[1], x + half * sin)
        height, half = (over + under) / 2, (over - under) / (2 * cos)
        height[nose] = np.polyval(np.polyfit(x[behind], height[behind], 2), x[nose])
        height[tail] = np.polyval(np.polyfit(x[ahead], height[ahead], 2), x[tail])
        slope = np.clip(np.gradient(height, x), -1.0, 1.0)
        sin, cos = slope / np.hypot(1.0, slope), 1.0 / np.hypot(1.0, slope)
    return np.asarray(height)


def mean_line_of_outline(outline: Outline) -> Array:
    """Points (x, z) of the mean line in chords, leading edge first.

    outline: trailing edge over the top to the leading edge and back underneath. The line lies
    half-way between both surfaces. Angles are kept against the section's own x-axis, so a folded
    sheet's stay against its flat underside.

    Raises:
        ValueError: the outline has no upper or no lower surface, or no chord.
    """
    points = np.asarray(outline, dtype=float)
    nose = int(points[:, 0].argmin()) if len(points) else 0
    if nose in (0, len(points) - 1) or np.ptp(points[:, 0]) <= 0.0:
        raise ValueError("the outline must run from the trailing edge round the nose and back")
    points = (points - [points[nose, 0], 0.0]) / np.ptp(points[:, 0])
    sides = _one_side(points[nose::-1]), _one_side(points[nose:])
    if all(len(side[0]) >= _CURVED for side in sides):
        x = cosine_points(_GRID)
        return np.column_stack([x, _between(sides, x)])
    corners = np.unique(np.concatenate([side[0] for side in sides if len(side[0]) < _CURVED]))
    x = np.union1d(corners[(corners > 1e-9) & (corners < 1 - 1e-9)], [0.0, 1.0])
    if any(len(side[0]) >= _CURVED for side in sides):
        x = np.union1d(x, cosine_points(_GRID).round(9))
    return np.column_stack([x, (_read(sides[0], x) + _read(sides[1], x)) / 2])


def mean_line_of(station: StationPoint) -> Array:
    """Points (x, z) of a station's mean line in chords, leading edge first.

    Four-digit sections come from their formula; all others from the station's outline, whose 24
    points a side leave 0.1 % in the angles.
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
