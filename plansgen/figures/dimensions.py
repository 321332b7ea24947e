"""Dimensions after ISO 129-1 (from memory): values in millimetres, above their line, no unit sign.

Dimensions on one side of a view are stacked in tiers, shorter ones nearer the view, so that no
value meets another value, a dimension line or an extension line. Values read from the bottom or
from the right edge of the sheet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from plansgen.figures import style
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.leaders import label_points
from plansgen.figures.lettering import measure, width_mm
from plansgen.figures.scales import Scale
from plansgen.figures.tiers import ARROW_MM, CLEAR_MM, SAME_MM, SIDE_MM, TAIL_MM, Dim, Laid, lay_out
from plansgen.figures.view import View

__all__ = [
    "Dim",
    "angle",
    "arrowhead",
    "label_points",
    "stack_depth_mm",
    "stack_horizontal",
    "stack_vertical",
]

ARROW_DEG = 15.0
TIER_MM = 7.5
START_MM = 10.0

_LIFT_MM = 1.3  # from the line to the foot of the value
_GAP_MM = 1.0  # between a feature and its extension line
_OVERRUN_MM = 2.0  # of an extension line past its dimension line


def stack_horizontal(
    view: View,
    dims: Iterable[Dim],
    side: Literal["below", "above"] = "below",
    *,
    start_mm: float = START_MM,
) -> float:
    """Draw horizontal dimensions below or above what the view has drawn so far.

    Args:
        view: the view they belong to.
        dims: the dimensions; doubles are drawn once.
        side: of the view.
        start_mm: from the view's box to the first dimension line, at least 8.

    Returns:
        Sheet coordinate of the outermost thing drawn, for whatever comes next.
    """
    outward = -1 if side == "below" else 1
    base = view.box.bottom if side == "below" else view.box.top
    limits = (view.canvas.limits.left, view.canvas.limits.right)
    laid = lay_out(dims, view.x, view.y, limits)
    axis = _Axis(view.canvas, base + outward * start_mm, outward, vertical=False)
    return _draw_stack(axis, laid)


def stack_vertical(
    view: View,
    dims: Iterable[Dim],
    side: Literal["left", "right"] = "left",
    *,
    start_mm: float = START_MM,
) -> float:
    """Draw vertical dimensions left or right of a view; see :func:`stack_horizontal`."""
    outward = -1 if side == "left" else 1
    base = view.box.left if side == "left" else view.box.right
    limits = (view.canvas.limits.bottom, view.canvas.limits.top)
    laid = lay_out(dims, view.y, view.x, limits)
    axis = _Axis(view.canvas, base + outward * start_mm, outward, vertical=True)
    return _draw_stack(axis, laid)


def stack_depth_mm(dims: Iterable[Dim], scale: Scale, *, start_mm: float = START_MM) -> float:
    """Room a stack will need beside its view at a scale, for laying out a sheet beforehand."""
    laid = lay_out(dims, scale.mm, scale.mm, (-math.inf, math.inf))
    tiers = max((dim.tier for dim in laid), default=-1) + 1
    return start_mm + tiers * TIER_MM if tiers else 0.0


def arrowhead(
    canvas: Canvas, tip: Point, *, direction_deg: float, role: style.Role = "thin"
) -> None:
    """A closed, filled, narrow arrowhead that points in a direction."""
    half = ARROW_MM * math.tan(math.radians(ARROW_DEG / 2))
    c, s = math.cos(math.radians(direction_deg)), math.sin(math.radians(direction_deg))
    x, y = tip[0] - ARROW_MM * c, tip[1] - ARROW_MM * s
    canvas.mark([tip, (x - half * s, y + half * c), (x + half * s, y - half * c)], role)


def angle(
    view: View,
    apex: Point,
    *,
    start_deg: float,
    end_deg: float,
    label: str,
    radius_mm: float = 30.0,
) -> None:
    """Dimension an angle, such as dihedral or sweep.

    Args:
        view: the view it belongs to.
        apex: where the legs meet, in metres of the view.
        start_deg: direction of the first leg, anticlockwise from the right.
        end_deg: direction of the second leg, greater than ``start_deg``.
        label: the value with its degree sign.
        radius_mm: of the dimension arc.
    """
    canvas, (x, y) = view.canvas, view.at(*apex)

    def polar(radius: float, degrees: float) -> Point:
        turn = math.radians(degrees)
        return x + radius * math.cos(turn), y + radius * math.sin(turn)

    for leg in (start_deg, end_deg):
        canvas.line([(x, y), polar(radius_mm + _OVERRUN_MM, leg)], style.NARROW)
    per_mm = math.degrees(1 / radius_mm)
    inside = (end_deg - start_deg) / per_mm >= 2 * ARROW_MM + CLEAR_MM
    tail = 0.0 if inside else TAIL_MM * per_mm
    canvas.arc(
        (x, y),
        radius_mm=radius_mm,
        kind=style.NARROW,
        start_deg=start_deg - tail,
        end_deg=end_deg + tail,
    )
    # The head is straight: half its length along the arc gives the chord it should lie on.
    lean = ARROW_MM / 2 * per_mm
    turn = 90 if inside else -90
    ahead = -lean if inside else lean
    arrowhead(canvas, polar(radius_mm, end_deg), direction_deg=end_deg + ahead + turn)
    arrowhead(canvas, polar(radius_mm, start_deg), direction_deg=start_deg - ahead - turn)
    middle = math.radians((start_deg + end_deg) / 2)
    half_width, half_height = width_mm(label) / 2, style.TEXT_MM / 2
    reach = half_width * abs(math.cos(middle)) + half_height * abs(math.sin(middle))
    far = radius_mm + _OVERRUN_MM + CLEAR_MM + reach
    tx, ty = polar(far, math.degrees(middle))
    canvas.text(tx, ty, label, role="thin", align="center", level="middle")


@dataclass(frozen=True)
class _Axis:
    """Turns (along, across) into the sheet's x and y; ``first`` is where tier 0 lies."""

    canvas: Canvas
    first: float
    outward: int
    vertical: bool

    def level(self, tier: int) -> float:
        return self.first + self.outward * TIER_MM * tier

    def point(self, along: float, across: float) -> Point:
        return (across, along) if self.vertical else (along, across)

    def line(self, start: Point, end: Point) -> None:
        self.canvas.line([self.point(*start), self.point(*end)], style.NARROW)

    def arrow(self, along: float, across: float, *, forward: bool) -> None:
        direction = (90.0 if self.vertical else 0.0) + (0.0 if forward else 180.0)
        arrowhead(self.canvas, self.point(along, across), direction_deg=direction)

    @property
    def rise(self) -> int:
        """Which way across the line is up for someone who reads the value."""
        return -1 if self.vertical else 1


def _draw_stack(axis: _Axis, laid: Sequence[Laid]) -> float:
    for dim in laid:
        _draw_dimension(axis, dim)
    for u, (start, end) in sorted(_extension_lines(axis, laid).items()):
        for low, high in _broken(start, end, _texts_at(axis, laid, u)):
            axis.line((u, low), (u, high))
    tiers = max((dim.tier for dim in laid), default=-1) + 1
    return axis.level(tiers) if tiers else axis.first - axis.outward * START_MM


def _draw_dimension(axis: _Axis, dim: Laid) -> None:
    level = axis.level(dim.tier)
    axis.line((dim.line[0], level), (dim.line[1], level))
    axis.arrow(dim.low, level, forward=not dim.inside)
    axis.arrow(dim.high, level, forward=dim.inside)
    x, y = axis.point(dim.text, level + axis.rise * _LIFT_MM)
    axis.canvas.text(x, y, dim.label, rotation=90 if axis.vertical else 0)


def _extension_lines(axis: _Axis, laid: Sequence[Laid]) -> dict[float, tuple[float, float]]:
    """One extension line for each place, from its innermost feature to its outermost tier."""
    lines: dict[float, tuple[float, float]] = {}
    for dim in laid:
        end = axis.level(dim.tier) + axis.outward * _OVERRUN_MM
        for u, feature in zip((dim.low, dim.high), dim.features, strict=True):
            start = feature + axis.outward * _GAP_MM
            key = round(u / SAME_MM) * SAME_MM
            old_start, old_end = lines.get(key, (start, end))
            inner, outer = (min, max) if axis.outward > 0 else (max, min)
            lines[key] = inner(start, old_start), outer(end, old_end)
    return {u: ends for u, ends in lines.items() if (ends[1] - ends[0]) * axis.outward > 0}


def _texts_at(axis: _Axis, laid: Sequence[Laid], u: float) -> list[tuple[float, float]]:
    """Stretches across the stack that values take at a place along it."""
    taken = []
    for dim in laid:
        if dim.text - SIDE_MM < u < dim.text + dim.width + SIDE_MM:
            ink = measure(dim.label)
            foot = axis.level(dim.tier) + axis.rise * _LIFT_MM
            ends = (
                foot - axis.rise * (ink.below + SIDE_MM),
                foot + axis.rise * (ink.above + SIDE_MM),
            )
            taken.append((min(ends), max(ends)))
    return sorted(taken)


def _broken(
    start: float, end: float, taken: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """A line from ``start`` to ``end`` without the stretches that are taken."""
    low, high = sorted((start, end))
    pieces = []
    for first, last in taken:
        if first > low:
            pieces.append((low, min(first, high)))
        low = max(low, last)
    pieces.append((low, high))
    return [(a, b) for a, b in pieces if b - a > SAME_MM]
