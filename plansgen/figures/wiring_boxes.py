"""Boxes with words in them, and leads told apart by line type, for the wiring diagram."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.lettering import fit, width_mm
from plansgen.figures.scales import Rect
from plansgen.figures.style import EDGE, LineType

PLUS = LineType(0.7, "ink")
MINUS = LineType(0.7, "ink", (4.0, 2.0))
MOTOR = LineType(0.25, "construction")
SIGNAL = LineType(0.5, "band_line", (6.0, 2.0, 1.0, 2.0))

APART_MM = 5.0  # between plus and minus
ROW_MM = 5.4
PAD_MM = 2.6
LEAD_MM = 7.0  # from a box's left edge to its lead
_MOTOR_APART_MM = 2.2
_LABEL_MM, _PAIR_LABEL_MM = 4.5, 9.4  # from a lead's middle to its words; past a minus sign
_DOT_MM = 0.9


def wrapped(text: str, room: float, *, most: int, bold: bool = False) -> list[str]:
    """Words in lines no wider than a room in mm; what is left over ends in an ellipsis."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most:
        count = 1
        while count < len(words) and width_mm(" ".join(words[: count + 1]), bold=bold) <= room:
            count += 1
        last = len(lines) == most - 1
        line = " ".join(words if last else words[:count])
        lines.append(fit(line, room, bold=bold))
        words = [] if last else words[count:]
    return lines


@dataclass(frozen=True)
class Words:
    """What stands in a box: bold lines, then plain ones."""

    bold: tuple[str, ...]
    plain: tuple[str, ...]

    @classmethod
    def of(cls, title: str, name: str, width: float, *, most: int = 3) -> Words:
        """Title and name, wrapped into a box so wide."""
        room = width - 2 * PAD_MM
        return cls(
            tuple(wrapped(title, room, most=3, bold=True)), tuple(wrapped(name, room, most=most))
        )

    @property
    def height(self) -> float:
        """Of the box that holds them. [mm]"""
        return ROW_MM * (len(self.bold) + len(self.plain)) + PAD_MM


def draw_box(canvas: Canvas, box: Rect, words: Words) -> None:
    """A box with its words from the top."""
    corners = [
        (box.left, box.bottom),
        (box.right, box.bottom),
        (box.right, box.top),
        (box.left, box.top),
    ]
    canvas.fill(corners, "part")
    canvas.line(corners, EDGE, closed=True)
    y = box.top - PAD_MM / 2 - ROW_MM / 2
    for text, bold in [(t, True) for t in words.bold] + [(t, False) for t in words.plain]:
        canvas.text(box.left + PAD_MM, y, text, level="middle", bold=bold)
        y -= ROW_MM


def draw_pair(canvas: Canvas, x: float, top: float, foot: float, *, signs: bool = True) -> None:
    """Plus and minus of the battery from above to below; signs: lettered beside them."""
    left, right = x - APART_MM / 2, x + APART_MM / 2
    canvas.line([(left, top), (left, foot)], PLUS)
    canvas.line([(right, top), (right, foot)], MINUS)
    if signs:
        draw_signs(canvas, x, top - 4.0)


def draw_signs(canvas: Canvas, x: float, middle: float) -> None:
    """The letters + and − outside a pair of leads."""
    canvas.text(x - APART_MM / 2 - 1.2, middle, "+", align="right", level="middle", bold=True)
    canvas.text(x + APART_MM / 2 + 1.2, middle, "−", level="middle", bold=True)


def draw_three(canvas: Canvas, x: float, top: float, foot: float) -> None:
    """The three leads of a motor."""
    for step in (-1, 0, 1):
        at = x + step * _MOTOR_APART_MM
        canvas.line([(at, top), (at, foot)], MOTOR)


def draw_dot(canvas: Canvas, point: Point) -> None:
    """A place where leads are joined."""
    canvas.sector(point, radius_mm=_DOT_MM, role="ink")


def draw_label(
    canvas: Canvas,
    x: float,
    top: float,
    lines: Sequence[Sequence[str]],
    *,
    right: float,
    pair: bool = False,
) -> None:
    """Lines of words beside a lead or a pair, each the longest of its wordings that fits."""
    left = x + (_PAIR_LABEL_MM if pair else _LABEL_MM)
    for number, wordings in enumerate(lines):
        room = right - left
        text = next((w for w in wordings if width_mm(w) <= room), fit(wordings[-1], room))
        canvas.text(left, top - (number + 0.5) * ROW_MM, text, level="middle")
