"""Charts on a canvas: axes with round ticks, lines told apart by type and by a label at the end.

A chart is drawn in this order: tints and bands, axes, lines, marks, labels. Lettering stands
outside the axes only, so that no line can run through it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from plansgen.figures import style
from plansgen.figures.axis import Axis, Number, clipped, runs, smoothed
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.leaders import spread
from plansgen.figures.lettering import fit, width_mm
from plansgen.figures.scales import Rect
from plansgen.figures.style import LineType
from plansgen.figures.symbols import hatching

Tint = Literal["band", "hatch", "spread"]

FIRST = style.EDGE
SECOND = LineType(style.WIDE_MM, "construction", (5.0, 3.0))
LEVEL = LineType(style.NARROW_MM, "band_line", (12.0, 3.0))
GRID = LineType(0.13, "hidden")

_TICK_MM = 1.6
_LABEL_PITCH_MM = 5.8
_LABEL_GAP_MM = 4.0


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

    def line(
        self,
        points: Sequence[tuple[float, Number]],
        kind: LineType = FIRST,
        *,
        smooth: bool = False,
    ) -> None:
        """A line through points, cut at the axes; a gap where a value is None.

        smooth: join them by a curve that rises and falls only where they do.
        """
        for run in runs(points):
            for piece in clipped(smoothed(run) if smooth else run, self.across, self.up):
                if len(piece) > 1:
                    self.canvas.line([self.at(*point) for point in piece], kind)

    def between(self, xs: Sequence[float], lows: Sequence[float], highs: Sequence[float]) -> None:
        """A tinted band between two lines over the same rising places, cut at the axes."""
        if not xs:
            return
        ends = [end for end in (self.across.low, self.across.high) if xs[0] < end < xs[-1]]
        inside = sorted({*ends, *(x for x in xs if self.across.holds(x))})
        if len(inside) > 1:
            lower, upper = (
                [self.at(x, self.up.held(float(np.interp(x, xs, edge)))) for x in inside]
                for edge in (lows, highs)
            )
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
