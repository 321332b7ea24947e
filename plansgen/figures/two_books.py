"""A strip of sheet over two books with a weight on its middle: how stiffness is measured."""

from __future__ import annotations

from plansgen.figures import style
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.dimensions import arrowhead
from plansgen.figures.save import Drawing, finish

WIDTH_MM, HEIGHT_MM = 170.0, 68.0
_TABLE, _TOP = 4.0, 34.0  # heights of the table and of the books
_LEFT, _RIGHT = 38.0, 132.0  # edges of the books that face each other
_BOOK = 26.0  # width of a book
_SAG = 11.0
_THICK = 2.4
_STEPS = 24


def draw_two_books() -> Drawing:
    """The bend test, not to scale."""
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=HEIGHT_MM)
    canvas.line([(4.0, _TABLE), (WIDTH_MM - 4.0, _TABLE)], style.EDGE)
    for left in (_LEFT - _BOOK, _RIGHT):
        book = [(left, _TABLE), (left + _BOOK, _TABLE), (left + _BOOK, _TOP), (left, _TOP)]
        canvas.fill(book, "part_2")
        canvas.line(book, style.EDGE, closed=True)
        canvas.text(left + _BOOK / 2, (_TABLE + _TOP) / 2, "books", align="center", level="middle")
    _strip(canvas)
    _weight(canvas)
    _span(canvas)
    _sag(canvas)
    return finish(
        canvas.figure(),
        name="bend-over-two-books",
        alt="A strip of sheet lies over two stacks of books and sags under a weight on its middle. "
        "The span is measured between the edges of the books that face each other, the sag at the "
        "middle, as how far the weight lets it sink.",
        caption="Bend test over two books (not to scale)",
    )


def _curve(depth: float, lift: float) -> list[Point]:
    """Shape of a beam with a load at its middle, deflected by depth there."""
    length = _RIGHT - _LEFT
    shares = [number / _STEPS for number in range(_STEPS + 1)]
    sags = [4 * (d := min(s, 1 - s)) * (0.75 - d * d) for s in shares]  # y = y_max (3 x - 4 x³)
    return [
        (_LEFT + share * length, _TOP + lift - depth * sag)
        for share, sag in zip(shares, sags, strict=True)
    ]


def _strip(canvas: Canvas) -> None:
    # The ends beyond the books rise by the slope at the support.
    rise = 3 * _SAG / (_RIGHT - _LEFT) * 12.0
    lower = [(_LEFT - 12, _TOP + rise), *_curve(_SAG, 0.0), (_RIGHT + 12, _TOP + rise)]
    upper = [(x, y + _THICK) for x, y in reversed(lower)]
    canvas.fill([*lower, *upper], "part")
    canvas.line([*lower, *upper], style.EDGE, closed=True)
    canvas.line([(_LEFT, _TOP), (_RIGHT, _TOP)], style.HIDDEN)


def _weight(canvas: Canvas) -> None:
    middle, foot = (_LEFT + _RIGHT) / 2, _TOP - _SAG + _THICK
    box = [(middle - 5, foot), (middle + 5, foot), (middle + 5, foot + 9), (middle - 5, foot + 9)]
    canvas.fill(box, "band")
    canvas.line(box, style.EDGE, closed=True)
    canvas.text(middle, foot + 12, "load", align="center")


def _span(canvas: Canvas) -> None:
    level = 56.0
    for x in (_LEFT, _RIGHT):
        canvas.line([(x, _TOP + 9), (x, level + 2)], style.NARROW)
    canvas.line([(_LEFT, level), (_RIGHT, level)], style.NARROW)
    arrowhead(canvas, (_LEFT, level), direction_deg=180.0)
    arrowhead(canvas, (_RIGHT, level), direction_deg=0.0)
    canvas.text((_LEFT + _RIGHT) / 2, level + 1.5, "span", align="center")


def _sag(canvas: Canvas) -> None:
    x = (_LEFT + _RIGHT) / 2 + 14
    low = _TOP - _SAG
    canvas.line([((_LEFT + _RIGHT) / 2, low), (x + 3, low)], style.NARROW)
    canvas.line([(x, _TOP), (x, low)], style.NARROW)
    arrowhead(canvas, (x, _TOP), direction_deg=90.0)
    arrowhead(canvas, (x, low), direction_deg=-90.0)
    canvas.text(x + 5, low - 5.5, "sag")
