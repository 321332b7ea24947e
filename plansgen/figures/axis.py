"""A chart's axis with round ticks, and lines made ready for it: cut at its ends, smoothed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Self

from plansgen.figures.canvas import Point

Number = float | None

_PLACES = 6  # decimals kept of a place on an axis
_BETWEEN = 6  # straight pieces between two points of a smooth curve


def round_step(span: float, most: int) -> float:
    """The finest of 1, 2 and 5 times a power of ten that makes at most so many steps of a span."""
    least = span / most
    decade = 10.0 ** math.floor(math.log10(least))
    return next(step * decade for step in (1, 2, 5, 10) if step * decade >= least * (1 - 1e-9))


@dataclass(frozen=True)
class Axis:
    """A range of numbers in the unit that is lettered, with ticks at whole multiples of a step."""

    low: float
    high: float
    step: float

    @classmethod
    def over(
        cls, values: Iterable[float], *, most: int = 6, low: bool = True, high: bool = True
    ) -> Self:
        """An axis that holds some values. low, high: whether that end moves out to a tick.

        Raises:
            ValueError: no values, or one that is not finite.
        """
        every = list(values)
        if not every or not all(math.isfinite(value) for value in every):
            raise ValueError("an axis needs finite values")
        first, last = min(every), max(every)
        if last - first < 1e-6 * max(1.0, abs(last)):
            first, last = first - 0.5, last + 0.5
        step = round_step(last - first, most)
        return cls(
            math.floor(first / step + 1e-9) * step if low else first,
            math.ceil(last / step - 1e-9) * step if high else last,
            step,
        )

    @property
    def ticks(self) -> list[float]:
        """Every tick from the low end to the high one."""
        first = math.ceil(self.low / self.step - 1e-6)
        last = math.floor(self.high / self.step + 1e-6)
        return [round(number * self.step, _PLACES) + 0.0 for number in range(first, last + 1)]

    def word(self, value: float) -> str:
        """A tick as lettered, with the decimals that its step needs."""
        return f"{value:.{max(0, -math.floor(math.log10(self.step) + 1e-9))}f}"

    def holds(self, value: float) -> bool:
        """Whether a value lies on the axis."""
        return self.low - 1e-9 <= value <= self.high + 1e-9

    def held(self, value: float) -> float:
        """The value, or the end that it lies beyond."""
        return min(max(value, self.low), self.high)


def runs(points: Sequence[tuple[float, Number]]) -> list[list[Point]]:
    """Stretches without a gap."""
    runs: list[list[Point]] = [[]]
    for x, value in points:
        if value is None:
            runs.append([])
        else:
            runs[-1].append((x, value))
    return [run for run in runs if run]


def clipped(points: Sequence[Point], across: Axis, up: Axis) -> list[list[Point]]:
    """The parts of a line that lie within two axes (Liang and Barsky 1984)."""
    pieces: list[list[Point]] = []
    for start, end in pairwise(points):
        part = _inside(start, end, across, up)
        if part is None:
            continue
        if pieces and math.dist(pieces[-1][-1], part[0]) < 1e-9:
            pieces[-1].append(part[1])
        else:
            pieces.append(list(part))
    return pieces


def _inside(start: Point, end: Point, across: Axis, up: Axis) -> tuple[Point, Point] | None:
    enter, leave = 0.0, 1.0
    for first, last, axis in zip(start, end, (across, up), strict=True):
        step = last - first
        if step == 0.0:
            if not axis.holds(first):
                return None
            continue
        near, far = sorted(((axis.low - first) / step, (axis.high - first) / step))
        enter, leave = max(enter, near), min(leave, far)
    if enter > leave:
        return None

    def point(share: float) -> Point:
        if share in (0.0, 1.0):  # as given, to the last digit, so that neighbours join
            return end if share else start
        return (
            start[0] + share * (end[0] - start[0]),
            start[1] + share * (end[1] - start[1]),
        )

    return point(enter), point(leave)


def smoothed(points: Sequence[Point]) -> list[Point]:
    """A curve through points with rising x that rises and falls only where they do.

    Cubics between neighbours with the slopes of F. N. Fritsch & J. Butland (1984): the harmonic
    mean of the slopes on both sides, or none where these have different signs.
    """
    if len(points) < 3:
        return list(points)
    chords = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(points)]
    inner = [2 * s * t / (s + t) if s * t > 0.0 else 0.0 for s, t in pairwise(chords)]
    slopes = [_end_slope(chords[0], inner[0]), *inner, _end_slope(chords[-1], inner[-1])]
    curve = [points[0]]
    for (start, end), (m, n) in zip(pairwise(points), pairwise(slopes), strict=True):
        width = end[0] - start[0]
        for k in range(1, _BETWEEN):
            t = k / _BETWEEN
            y = (
                (1 + 2 * t) * (1 - t) ** 2 * start[1]
                + t * (1 - t) ** 2 * width * m
                + t * t * (3 - 2 * t) * end[1]
                + t * t * (t - 1) * width * n
            )
            curve.append((start[0] + t * width, y))
        curve.append(end)
    return curve


def _end_slope(chord: float, neighbour: float) -> float:
    """Slope at the end of a curve: a parabola's, held so that it does not overshoot."""
    slope = (3 * chord - neighbour) / 2
    if slope * chord <= 0.0:
        return 0.0
    return math.copysign(min(abs(slope), 3 * abs(chord)), chord)
