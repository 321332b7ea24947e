"""What stands round a chart: marked places in balloons above it, the key and words below it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plansgen.figures import style
from plansgen.figures.blocks import draw_legend, legend_height
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import Chart, Tint, fill_box
from plansgen.figures.leaders import label_points
from plansgen.figures.lettering import fit
from plansgen.figures.scales import Free, Rect
from plansgen.figures.style import LineType
from plansgen.figures.view import View

MARK = LineType(style.NARROW_MM, "thin", (12.0, 3.0, 0.5, 3.0))

BALLOONS_MM = 16.0  # room above a chart for marked places
_ROW_MM = 6.4
_SIGN_MM = 12.0
_BEND_MM = 4.0
_OVERHANG_MM = 6.0  # of balloons beyond the axes
_LEAST_APART_MM = 0.8  # nearer marked places share one line


@dataclass(frozen=True)
class KeyRow:
    """A line of a key: a tint or a line type, and its words."""

    sign: Tint | LineType
    words: str


def mark_places(charts: Sequence[Chart], places: Sequence[tuple[float, str]]) -> Mapping[int, str]:
    """Upright lines through charts above one another, numbered in balloons above them.

    charts: the top one first. places: on the axis they share, with words; those off it are left
    out.

    Returns:
        The words for each number; see :func:`draw_notes`.
    """
    top, foot = charts[0].area, charts[-1].area
    shared = charts[0]
    held = sorted(place for place in places if shared.across.holds(place[0]))
    view = View(shared.canvas, Free(per_metre=1.0), origin_mm=(0.0, 0.0))
    last = -math.inf
    for value, _ in held:
        x = shared.x(value)
        if x - last >= _LEAST_APART_MM:
            view.line([(x, foot.bottom), (x, top.top)], MARK)
            last = x
    points = [(shared.x(value), top.top, words) for value, words in held]
    row = Rect(top.left - _OVERHANG_MM, top.top, top.right + _OVERHANG_MM, top.top + BALLOONS_MM)
    return label_points(view, points, "above", start_mm=_BEND_MM, within=row, dots=False)


def notes_height(places: int, rows: Sequence[KeyRow]) -> float:
    """Room that the words of so many marked places and a key take. [mm]"""
    return legend_height(places, 1) + _ROW_MM * len(rows)


def draw_notes(
    canvas: Canvas, words: Mapping[int, str], rows: Sequence[KeyRow], *, top: float, left: float
) -> None:
    """The words for numbers, one a row, and below them the key. top, left: of the first. [mm]"""
    right = canvas.width_mm - 4.0
    # Numbers end where the key's signs do.
    draw_legend(canvas, words, Rect(left + 3.5, 0.0, right, top), columns=1)
    foot = top - legend_height(len(words), 1)
    for number, row in enumerate(rows):
        _draw_row(canvas, row, left, foot - (number + 0.5) * _ROW_MM, right)


def _draw_row(canvas: Canvas, row: KeyRow, left: float, middle: float, right: float) -> None:
    box = Rect(left, middle - 1.9, left + 9.0, middle + 1.9)
    if isinstance(row.sign, LineType):
        canvas.line([(box.left, middle), (box.right, middle)], row.sign)
    else:
        fill_box(canvas, box, row.sign)
    start = left + _SIGN_MM
    canvas.text(start, middle, fit(row.words, right - start), level="middle")
