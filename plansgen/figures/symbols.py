"""Marks that drawings of model aeroplanes share."""

from __future__ import annotations

import numpy as np

from plansgen.figures import style
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.dimensions import arrowhead
from plansgen.figures.lettering import width_mm
from plansgen.figures.scales import Rect
from plansgen.figures.style import Role
from plansgen.figures.view import View

_HATCH_MM = 2.0
_GAP_MM = 1.5


def balance_point(
    view: View, h: float, v: float, *, role: Role = "accent", diameter_mm: float = 6.0
) -> None:
    """The trade's mark for the centre of gravity: a quartered disc, at a point in metres."""
    canvas, (x, y) = view.canvas, view.at(h, v)
    radius = diameter_mm / 2
    canvas.sector((x, y), radius_mm=radius + 0.4, role="paper")
    canvas.sector((x, y), radius_mm=radius, role=role)
    canvas.sector((x, y), radius_mm=radius - style.WIDE_MM, role="paper")
    for start in (0.0, 180.0):
        canvas.sector((x, y), radius_mm=radius, role=role, start_deg=start, end_deg=start + 90)
    arm = radius + 2.0
    canvas.line([(x - arm, y), (x + arm, y)], style.LineType(style.NARROW_MM, role))
    canvas.line([(x, y - arm), (x, y + arm)], style.LineType(style.NARROW_MM, role))


def mass_mark(view: View, h: float, v: float, *, diameter_mm: float = 2.6) -> None:
    """A disc with a paper-coloured eye for a single mass, at a point in metres."""
    centre = view.at(h, v)
    view.canvas.sector(centre, radius_mm=diameter_mm / 2, role="mass")
    view.canvas.sector(centre, radius_mm=diameter_mm / 5, role="paper")


def arrow(canvas: Canvas, tail: Point, tip: Point, *, role: Role = "thin") -> None:
    """A straight arrow on the sheet, in millimetres."""
    direction = np.degrees(np.arctan2(tip[1] - tail[1], tip[0] - tail[0]))
    canvas.line([tail, tip], style.LineType(style.NARROW_MM, role))
    arrowhead(canvas, tip, direction_deg=float(direction), role=role)


def direction(
    canvas: Canvas, x: float, y: float, word: str, *, to_deg: float = 0.0, length_mm: float = 14.0
) -> None:
    """An arrow from a place on the sheet with a word at its tail, such as ``aft``.

    Args:
        canvas: the sheet.
        x: tail of the arrow, mm.
        y: tail of the arrow, mm.
        word: which way the arrow points.
        to_deg: direction of the arrow, anticlockwise from the right.
        length_mm: of the arrow.
    """
    c, s = float(np.cos(np.radians(to_deg))), float(np.sin(np.radians(to_deg)))
    arrow(canvas, (x, y), (x + length_mm * c, y + length_mm * s))
    back = _GAP_MM + width_mm(word) / 2 * abs(c) + style.TEXT_MM / 2 * abs(s)
    canvas.text(x - back * c, y - back * s, word, role="thin", align="center", level="middle")


def station_tick(
    view: View, h: float, v: float, label: str = "", *, up: bool = True, length_mm: float = 3.0
) -> None:
    """A short upright tick at a station on a base line, its value beyond the tick's end."""
    x, y = view.at(h, v)
    towards = 1 if up else -1
    view.canvas.line([(x, y), (x, y + towards * length_mm)], style.NARROW)
    view.canvas.text(
        x,
        y + towards * (length_mm + 1.0),
        label,
        role="thin",
        align="center",
        level="baseline" if up else "top",
    )


def target_band(view: View, *, low_m: Point, high_m: Point) -> None:
    """The band in which something should lie: tinted, hatched at 45°, with its two edges drawn.

    Args:
        view: the view.
        low_m: lower left corner, metres.
        high_m: upper right corner, metres.
    """
    box = Rect(*view.at(*low_m), *view.at(*high_m))
    canvas = view.canvas
    canvas.fill(
        [
            (box.left, box.bottom),
            (box.right, box.bottom),
            (box.right, box.top),
            (box.left, box.top),
        ],
        "band",
    )
    for segment in hatching(box, spacing_mm=_HATCH_MM):
        canvas.line(segment, style.BAND_LINE)
    for start, end in (
        ((box.left, box.bottom), (box.left, box.top)),
        ((box.right, box.bottom), (box.right, box.top)),
    ):
        canvas.line([start, end], style.BAND_LINE)


def hatching(box: Rect, *, spacing_mm: float) -> list[tuple[Point, Point]]:
    """Lines rising at 45°, a distance apart, cut off at the edges of a rectangle."""
    step = spacing_mm * 2**0.5
    lines = []
    for k in range(1, int((box.width + box.height) / step) + 1):
        # The line y - bottom = x - left + shift, with shift from -width to +height.
        shift = k * step - box.width
        start = max(0.0, -shift)
        end = min(box.width, box.height - shift)
        if end > start:
            lines.append(
                (
                    (box.left + start, box.bottom + start + shift),
                    (box.left + end, box.bottom + end + shift),
                )
            )
    return lines
