"""Charts on a canvas: axes with round ticks, lines told apart by type and by a label at the end.

A chart is drawn in this order: tints and bands, axes, lines, marks, labels. Lettering stands
outside the axes only, so that no line can run through it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, Self

from plansgen.figures import style
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.leaders import spread
from plansgen.figures.lettering import fit, width_mm
from plansgen.figures.scales import Rect
from plansgen.figures.style import LineType
from plansgen.figures.symbols import hatching

Number = float | None
Tint = Literal["band", "hatch", "spread"]

FIRST = style.EDGE
SECOND = LineType(style.WIDE_MM, "construction", (5.0, 3.0))
LEVEL = LineType(style.NARROW_MM, "band_line", (12.0, 3.0))
GRID = LineType(0.13, "hidden")

_TICK_MM = 1.6
_LABEL_PITCH_MM = 5.8
_LABEL_GAP_MM = 4.0
_PLACES = 6  # decimals kept of a place on an axis


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


@dataclass(frozen=True)
class End:
    """A label at the right end of a line: value on the upright axis, words."""

    value: float
    words: str


class Chart:
    """One pair of axes. Coordinates are those of the axes.

    Args:
        canvas: what is drawn on.
        area: inside of the axes, mm.
        across: axis to the right.
        up: axis upwards.
    """

    def __init__(self, canvas: Canvas, area: Rect, *, across: Axis, up: Axis) -> None:
        self.canvas, self.area, self.across, self.up = canvas, area, across, up

    def x(self, value: float) -> float:
        """Sheet millimetres from the left."""
        axis, area = self.across, self.area
        return area.left + area.width * (value - axis.low) / (axis.high - axis.low)

    def y(self, value: float) -> float:
        """Sheet millimetres from the bottom."""
        axis, area = self.up, self.area
        return area.bottom + area.height * (value - axis.low) / (axis.high - axis.low)

    def at(self, x: float, y: float) -> Point:
        """Sheet position of a pair of values."""
        return self.x(x), self.y(y)

    def axes(
        self,
        title: str,
        *,
        across: str = "",
        word: Callable[[float], str] | None = None,
    ) -> None:
        """Frame, grid, ticks and titles.

        title: of the upright axis, with its unit. across: of the other; without it that axis has
        ticks but no figures, as in the upper of two charts. word: how an upright tick is lettered.
        """
        canvas, area = self.canvas, self.area
        corners = [(area.left, area.top), (area.left, area.bottom), (area.right, area.bottom)]
        canvas.line(corners, style.NARROW)
        widest = self._upright_ticks(word or self.up.word)
        canvas.text(
            area.left - _TICK_MM - widest - 3.0,
            area.centre[1],
            fit(title, area.height + 8.0),
            align="center",
            rotation=90,
        )
        for value in self.across.ticks:
            x, foot = self.x(value), area.bottom - _TICK_MM
            canvas.line([(x, area.bottom), (x, foot)], style.NARROW)
            if across:
                words = self.across.word(value)
                canvas.text(x, foot - 1.0, words, align="center", level="top", role="thin")
        if across:
            canvas.text(area.centre[0], area.bottom - 8.5, across, align="center", level="top")

    def _upright_ticks(self, word: Callable[[float], str]) -> float:
        """Ticks and grid lines; the width of the widest figure."""
        area, widest = self.area, 0.0
        for value in self.up.ticks:
            y, words = self.y(value), word(value)
            self.canvas.line([(area.left - _TICK_MM, y), (area.left, y)], style.NARROW)
            if y > area.bottom + 0.1:
                self.canvas.line([(area.left, y), (area.right, y)], GRID)
            left = area.left - _TICK_MM - 1.0
            self.canvas.text(left, y, words, align="right", level="middle", role="thin")
            widest = max(widest, width_mm(words) + 1.0)
        return widest

    def line(self, points: Sequence[tuple[float, Number]], kind: LineType = FIRST) -> None:
        """A line through points, cut at the axes; a gap where a value is None."""
        for run in _runs(points):
            for piece in clipped(run, self.across, self.up):
                if len(piece) > 1:
                    self.canvas.line([self.at(*point) for point in piece], kind)

    def between(self, xs: Sequence[float], lows: Sequence[float], highs: Sequence[float]) -> None:
        """A tinted band between two lines over the same places, cut at the axes."""
        rows = [
            (x, self.up.held(low), self.up.held(high))
            for x, low, high in zip(xs, lows, highs, strict=True)
            if self.across.holds(x)
        ]
        if len(rows) > 1:
            lower = [self.at(x, low) for x, low, _ in rows]
            upper = [self.at(x, high) for x, _, high in rows]
            self.canvas.fill([*lower, *upper[::-1]], "part_2")

    def level_band(self, low: float, high: float, *, look: Tint = "band") -> None:
        """A band over the whole width between two values: tinted green, or hatched besides."""
        bottom, top = self.y(self.up.held(low)), self.y(self.up.held(high))
        if top - bottom > 0.1:
            fill_box(self.canvas, Rect(self.area.left, bottom, self.area.right, top), look)

    def level(self, value: float, kind: LineType = LEVEL) -> None:
        """A level line over the whole width."""
        self.line([(self.across.low, value), (self.across.high, value)], kind)

    def ends(self, labels: Sequence[End], *, right: float) -> None:
        """Labels right of the axes, each as near its line's end as the others let it.

        right: where they must end, mm.
        """
        placed = sorted((self.y(self.up.held(label.value)), label.words) for label in labels)
        middles = spread(
            [y for y, _ in placed],
            pitch=_LABEL_PITCH_MM,
            low=self.area.bottom,
            high=self.area.top,
        )
        left = self.area.right + _LABEL_GAP_MM
        for (y, words), middle in zip(placed, middles, strict=True):
            self.canvas.line([(self.area.right + 0.6, y), (left - 0.8, middle)], style.NARROW)
            self.canvas.text(left, middle, fit(words, right - left), level="middle")


def fill_box(canvas: Canvas, box: Rect, look: Tint) -> None:
    """A rectangle tinted as a band or as a spread, or hatched as forbidden ground."""
    corners = [
        (box.left, box.bottom),
        (box.right, box.bottom),
        (box.right, box.top),
        (box.left, box.top),
    ]
    if look != "hatch":
        canvas.fill(corners, "band" if look == "band" else "part_2")
        return
    for segment in hatching(box, spacing_mm=2.0):
        canvas.line(segment, LineType(0.18, "accent"))


def _runs(points: Sequence[tuple[float, Number]]) -> list[list[Point]]:
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
