"""Numbers in balloons in a row above or below a view, each with a leader to its place."""

from __future__ import annotations

from collections.abc import Sequence

from plansgen.figures import style
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.leaders import spread, uncrossed

BALLOON_MM = 6.4
LEADER_MM = 6.0  # from the view to the foot of a balloon
ROW_MM = LEADER_MM + BALLOON_MM + 1.0
"""Room that a row takes."""
MOST = 20
"""A row as wide as a chart has room for so many."""

_PITCH_MM = 7.2
_DOT_MM = 0.6


def balloon_row(
    canvas: Canvas,
    numbered: Sequence[tuple[int, Point]],
    *,
    edge: float,
    above: bool,
    left: float,
    right: float,
) -> None:
    """Draw one row.

    numbered: numbers with the places they belong to, on the sheet. edge: of the view, where leaders
    leave it. left, right: between which balloons may stand. [mm]

    Raises:
        ValueError: there is no room for so many.
    """
    if not numbered:
        return
    order = sorted(numbered, key=lambda pair: (pair[1], pair[0]))
    way = 1.0 if above else -1.0
    bend = edge + way * LEADER_MM
    places = spread([target[0] for _, target in order], pitch=_PITCH_MM, low=left, high=right)
    ends = [(place, bend) for place in places]
    for index, end in zip(uncrossed([target for _, target in order], ends), ends, strict=True):
        number, target = order[index]
        canvas.line([target, end], style.NARROW)
        canvas.sector(target, radius_mm=_DOT_MM, role="thin")
        centre = (end[0], bend + way * BALLOON_MM / 2)
        canvas.arc(centre, radius_mm=BALLOON_MM / 2, kind=style.NARROW)
        canvas.text(*centre, str(number), align="center", level="middle")
