"""What else could drive it: thrust, current, time and stall speed of every choice, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.alternatives import Choice
from plansgen.figures import style
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import GRID
from plansgen.figures.lettering import fit, width_mm
from plansgen.figures.save import Drawing, finish
from plansgen.figures.style import LineType

WIDTH_MM = 190.0
_MARK = LineType(style.WIDE_MM, "band_line")
_LEFT_MM, _RIGHT_MM = 5.0, 185.0
_HEAD_MM, _NAME_MM, _BAR_ROW_MM, _BETWEEN_MM, _KEY_MM = 9.0, 6.0, 6.5, 4.0, 10.0
_BAR_MM = 4.4
_FIGURE_MM = 14.0  # room for the number right of the longest bar
_GAP_MM = 3.0  # between columns


@dataclass(frozen=True)
class Column:
    """One quantity of every choice, in the unit of its title; None where there is none."""

    title: str
    values: tuple[float | None, ...]
    decimals: int

    @property
    def most(self) -> float:
        """The greatest of them."""
        return max((value for value in self.values if value is not None), default=0.0)

    def word(self, value: float | None) -> str:
        """A value as lettered."""
        return "–" if value is None else f"{value:.{self.decimals}f}"


def columns_of(choices: Sequence[Choice]) -> tuple[Column, ...]:
    """What is compared, in the order of the columns."""
    times = tuple(None if c.time is None else c.time / 60 for c in choices)
    return (
        Column("thrust, N", tuple(c.thrust for c in choices), 1),
        Column("current, A", tuple(c.current for c in choices), 0),
        Column("time, min", times, 0),
        Column("stall, m/s", tuple(c.stall for c in choices), 1),
    )


def draw_alternatives(name: str, choices: Sequence[Choice]) -> Drawing:
    """Draw the choices, the usual one first. name: the design's."""
    return finish(
        chart_of(choices).figure(),
        name="alternatives",
        alt=_alt(name, choices),
        caption="Thrust and current at full throttle, standing still; time of a usual flight; and "
        "stall speed of each choice.",
    )


def chart_of(choices: Sequence[Choice]) -> Canvas:
    """The chart on a canvas of its own size."""
    row = _NAME_MM + _BAR_ROW_MM + _BETWEEN_MM
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=_HEAD_MM + row * len(choices) + _KEY_MM)
    columns = columns_of(choices)
    top = canvas.height_mm - _HEAD_MM
    pitch = (_RIGHT_MM - _LEFT_MM + _GAP_MM) / len(columns)
    for number, choice in enumerate(choices):
        y = top - number * row
        over = f" (over a limit: {choice.over[0].kind})" if choice.over else ""
        words = fit(f"{choice.name}{over}", _RIGHT_MM - _LEFT_MM, bold=number == 0)
        canvas.text(_LEFT_MM, y - _NAME_MM / 2, words, level="middle", bold=number == 0)
    for place, column in enumerate(columns):
        _draw_column(canvas, column, _LEFT_MM + place * pitch, top, row, pitch - _GAP_MM)
    _draw_key(canvas)
    return canvas


def _draw_column(
    canvas: Canvas, column: Column, left: float, top: float, row: float, width: float
) -> None:
    """One column of bars; a dashed line marks the usual choice in the others' rows."""
    canvas.text(left, top + 3.0, column.title, role="thin")
    scale = (width - _FIGURE_MM) / column.most if column.most > 0.0 else 0.0
    usual = column.values[0]
    for number, value in enumerate(column.values):
        middle = top - number * row - _NAME_MM - _BAR_ROW_MM / 2
        low, high = middle - _BAR_MM / 2, middle + _BAR_MM / 2
        end = left + scale * (value or 0.0)
        if end > left:
            box = [(left, low), (end, low), (end, high), (left, high)]
            canvas.fill(box, "band" if number == 0 else "part_2")
            canvas.line(box, style.NARROW, closed=True)
        canvas.line([(left, low - 1.0), (left, high + 1.0)], GRID)
        mark = left + scale * usual if usual is not None else left
        text_left = max(end, mark) + 1.6 if number and usual is not None else end + 1.6
        if number and usual is not None:
            canvas.line([(mark, low - 0.8), (mark, high + 0.8)], _MARK)
        words = column.word(value)
        room = left + width - text_left
        if width_mm(words) <= room:
            canvas.text(text_left, middle, words, level="middle")


def _draw_key(canvas: Canvas) -> None:
    middle = _KEY_MM / 2 - 0.5
    canvas.line([(_LEFT_MM + 4.0, middle - 2.2), (_LEFT_MM + 4.0, middle + 2.2)], _MARK)
    canvas.text(_LEFT_MM + 8.0, middle, "the usual one", level="middle")


def _alt(name: str, choices: Sequence[Choice]) -> str:
    words = [f"What else could drive {name}."]
    for choice in choices:
        time = "not level on it" if choice.time is None else f"{choice.time / 60:.0f} min"
        words.append(
            f"{choice.name[:1].upper()}{choice.name[1:]}: thrust {choice.thrust:.1f} N, current "
            f"{choice.current:.0f} A, time {time}, stall {choice.stall:.1f} m/s."
        )
    return " ".join(words)
