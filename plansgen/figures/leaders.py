"""Labels beside a view, each tied to its point by a thin leader line; no two leaders cross.

The labels keep their distance and move as little as they can: with the order given, the sum of
squared displacements is least (isotonic regression; pool-adjacent-violators algorithm, Barlow et
al. 1972). Two leaders that cross then exchange their places, which shortens their total length, so
that this comes to an end with none crossing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Literal

from plansgen.figures import style
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.lettering import clean, width_mm
from plansgen.figures.scales import Rect
from plansgen.figures.view import View

Side = Literal["left", "right", "above", "below"]

_TEXT_PITCH_MM = 5.8
_BALLOON_MM = 6.4
_BALLOON_PITCH_MM = 7.2
_NUMBER_PITCH_MM = 5.0
_SHELF_MM = 3.0
_GAP_MM = 1.0
_DOT_MM = 0.6


@dataclass(frozen=True)
class _Label:
    """What one leader points at: a place on the sheet, and the words for it or for its group."""

    target: Point
    words: tuple[str, ...]


def label_points(
    view: View,
    points: Sequence[tuple[float, float, str]],
    side: Side = "right",
    *,
    start_mm: float = 8.0,
    within: Rect | None = None,
    dots: bool = True,
) -> Mapping[int, str]:
    """Label points of a view in a column beside it, or in a row above or below it.

    Labels in a row stand upright along the right-hand reading direction. If the labels do not all
    fit, they are numbered instead, in balloons while those fit; when there are more than even bare
    numbers have room for, neighbours share one, as ``4–6``, with a leader to the middle one.

    Args:
        view: the view, with all that labels must stay clear of already drawn.
        points: horizontal and vertical coordinate in metres, and the words.
        side: of the view.
        start_mm: from the view's box to the bend of the leaders.
        within: where labels may go; the sheet's drawing area by default.
        dots: end the leaders in a dot, as they must on a surface; not where a mark stands already.

    Returns:
        The words for each number, in order; empty if all words stand in the drawing.

    Raises:
        ValueError: there is no room for a single label.
    """
    labels = [_Label(_settled(view.at(h, v)), (clean(text),)) for h, v, text in points]
    if not labels:
        return {}
    strip = _Strip.beside(view, side, start_mm=start_mm, within=within)
    labels.sort(key=lambda label: (strip.along(label.target), label.words))
    words_fit = max(width_mm(label.words[0]) for label in labels) <= strip.room
    if words_fit and strip.capacity(_TEXT_PITCH_MM) >= len(labels):
        for label, place in strip.arranged(labels, _TEXT_PITCH_MM):
            strip.leader(label, place, dot=dots)
            strip.words(label.words[0], place)
        return {}
    return _numbered(labels, strip, dots=dots)


def _settled(point: Point) -> Point:
    """To the micrometre: points that only rounding errors keep apart are to be one point."""
    return round(point[0], 3), round(point[1], 3)


def _numbered(labels: Sequence[_Label], strip: _Strip, *, dots: bool) -> Mapping[int, str]:
    """Draw numbers instead of words; the words for each number."""
    pitch = _number_pitch(len(labels), strip)
    groups = _grouped(labels, strip.capacity(pitch))
    legend: dict[int, str] = {}
    for group, place in strip.in_reading_order(strip.arranged(groups, pitch)):
        first, last = len(legend) + 1, len(legend) + len(group.words)
        legend.update(zip(range(first, last + 1), group.words, strict=True))
        strip.leader(group, place, dot=dots)
        number = f"{first}" if first == last else f"{first}–{last}"
        strip.number(number, place, balloon=pitch == _BALLOON_PITCH_MM)
    return legend


def _number_pitch(count: int, strip: _Strip) -> float:
    """Distance of numbers: in balloons if those fit, else bare, else shared ones."""
    if count < 100 and strip.capacity(_BALLOON_PITCH_MM) >= count:
        return _BALLOON_PITCH_MM
    if strip.column:
        return _NUMBER_PITCH_MM
    # In a row numbers stand side by side, so there the widest one sets the pitch.
    bare = width_mm(f"{count}") + 2 * _GAP_MM
    shared = width_mm(f"{count}–{count}") + 2 * _GAP_MM
    return bare if strip.capacity(bare) >= count else shared


def _grouped(labels: Sequence[_Label], capacity: int) -> list[_Label]:
    """Neighbours put together until there are no more groups than there is room for."""
    if capacity < 1:
        raise ValueError("there is no room for labels beside the view")
    number = min(capacity, len(labels))
    edges = [round(i * len(labels) / number) for i in range(number + 1)]
    groups = [labels[first:last] for first, last in pairwise(edges)]
    return [
        _Label(group[len(group) // 2].target, tuple(label.words[0] for label in group))
        for group in groups
    ]


@dataclass(frozen=True)
class _Strip:
    """Where the labels of one side go: ``bend`` across it, ``low`` to ``high`` along it."""

    canvas: Canvas
    side: Side
    bend: float
    low: float
    high: float
    room: float

    @classmethod
    def beside(cls, view: View, side: Side, *, start_mm: float, within: Rect | None) -> _Strip:
        box, area = view.box, within or view.canvas.drawing_area
        bend, far, low, high = {
            "left": (box.left - start_mm, area.left, area.bottom, area.top),
            "right": (box.right + start_mm, area.right, area.bottom, area.top),
            "below": (box.bottom - start_mm, area.bottom, area.left, area.right),
            "above": (box.top + start_mm, area.top, area.left, area.right),
        }[side]
        outward = 1 if side in ("right", "above") else -1
        room = outward * (far - bend) - _SHELF_MM - _GAP_MM
        return cls(view.canvas, side, bend, low, high, room)

    @property
    def column(self) -> bool:
        return self.side in ("left", "right")

    @property
    def outward(self) -> int:
        return 1 if self.side in ("right", "above") else -1

    def capacity(self, pitch: float) -> int:
        return max(0, math.floor((self.high - self.low) / pitch + 1e-9))

    def along(self, point: Point) -> float:
        return point[1] if self.column else point[0]

    def at(self, along: float, *, out: float = 0.0) -> Point:
        across = self.bend + self.outward * out
        return (across, along) if self.column else (along, across)

    def arranged(self, labels: Sequence[_Label], pitch: float) -> list[tuple[_Label, float]]:
        """The labels with their places along the strip, ascending."""
        places = spread(
            [self.along(label.target) for label in labels],
            pitch=pitch,
            low=self.low + pitch / 2,
            high=self.high - pitch / 2,
        )
        order = uncrossed([label.target for label in labels], [self.at(place) for place in places])
        return [(labels[i], place) for i, place in zip(order, places, strict=True)]

    def in_reading_order(self, placed: list[tuple[_Label, float]]) -> list[tuple[_Label, float]]:
        """Down a column, along a row."""
        return placed[::-1] if self.column else placed

    def leader(self, label: _Label, place: float, *, dot: bool) -> None:
        bend, end = self.at(place), self.at(place, out=_SHELF_MM)
        self.canvas.line([label.target, bend, end], style.NARROW)
        if dot:
            self.canvas.sector(label.target, radius_mm=_DOT_MM, role="thin")

    def words(self, text: str, place: float) -> None:
        x, y = self.at(place, out=_SHELF_MM + _GAP_MM)
        self.canvas.text(
            x,
            y,
            text,
            align="left" if self.outward > 0 else "right",
            level="middle",
            rotation=0 if self.column else 90,
        )

    def number(self, text: str, place: float, *, balloon: bool) -> None:
        if self.column and not balloon:
            self.words(text, place)
            return
        half = _BALLOON_MM / 2 if balloon else _GAP_MM + style.TEXT_MM / 2
        centre = self.at(place, out=_SHELF_MM + half)
        if balloon:
            self.canvas.arc(centre, radius_mm=half, kind=style.NARROW)
        self.canvas.text(*centre, text, align="center", level="middle")


def spread(wanted: Sequence[float], *, pitch: float, low: float, high: float) -> list[float]:
    """Places at least ``pitch`` apart between two limits, as near to the wanted ones as can be.

    Exact: least sum of squared displacements for the order given. All arguments share one unit.

    Args:
        wanted: wanted places, ascending.
        pitch: least distance of neighbours.
        low: least place.
        high: greatest place.

    Raises:
        ValueError: the places do not fit between the limits.
    """
    if (len(wanted) - 1) * pitch > high - low + 1e-6:
        raise ValueError(f"{len(wanted)} places {pitch:g} apart do not fit in {high - low:g}")
    # With i * pitch taken off, "at least pitch apart" is "not descending".
    blocks: list[tuple[float, int]] = []  # mean and number of pooled places
    for i, place in enumerate(wanted):
        mean, count = place - i * pitch, 1
        while blocks and blocks[-1][0] > mean:
            before, number = blocks.pop()
            mean = (before * number + mean * count) / (number + count)
            count += number
        blocks.append((mean, count))
    level = [mean for mean, count in blocks for _ in range(count)]
    top = max(low, high - (len(wanted) - 1) * pitch)
    return [min(max(mean, low), top) + i * pitch for i, mean in enumerate(level)]


def uncrossed(targets: Sequence[Point], bends: Sequence[Point]) -> list[int]:
    """For each bend the index of its target, so that the straight leaders do not cross."""
    order = list(range(len(targets)))
    swapped = True
    while swapped:
        swapped = False
        for i, j in combinations(range(len(order)), 2):
            first, second = targets[order[i]], targets[order[j]]
            if not crossing(first, bends[i], second, bends[j]):
                continue
            now = math.dist(first, bends[i]) + math.dist(second, bends[j])
            then = math.dist(second, bends[i]) + math.dist(first, bends[j])
            if then < now - 1e-12:
                order[i], order[j] = order[j], order[i]
                swapped = True
    return order


def crossing(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the segments ``a b`` and ``c d`` cross in a point inside both."""

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0
