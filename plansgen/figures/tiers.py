"""Where dimensions of one side go: which tier, arrowheads in or out, value between or beside.

Intervals are packed shortest first, each into the tier outside all it overlaps, so that no
extension line of a shorter dimension crosses the line of a longer one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from plansgen.figures.lettering import width_mm

ARROW_MM = 3.5
TAIL_MM = ARROW_MM + 3.0
"""Length of a dimension line past an arrowhead that stands outside."""
SIDE_MM = 0.75
"""Between a value and the ends of its line."""
CLEAR_MM = 1.0
"""Between two values, or a value and a line."""
SAME_MM = 0.01
"""Places nearer than this are the same."""


@dataclass(frozen=True)
class Dim:
    """One dimension, in metres of its view.

    start: where it begins, along the dimension line.
    end: where it ends.
    label: the value as lettered.
    feature: where the dimensioned feature lies across the line; the extension line starts there.
    feature_end: the same for the other end, if it differs.
    """

    start: float
    end: float
    label: str
    feature: float
    feature_end: float | None = None


@dataclass(frozen=True)
class Laid:
    """A dimension on the sheet: millimetres along its line (``u``), and its tier."""

    low: float
    high: float
    label: str
    text: float  # where the value begins
    width: float
    inside: bool  # arrowheads between the extension lines
    line: tuple[float, float]
    room: tuple[float, float]  # taken in its tier
    features: tuple[float, float]
    tier: int = 0

    @property
    def value_between(self) -> bool:
        """Whether the value stands between its extension lines."""
        return self.low < self.text and self.text + self.width < self.high


def lay_out(
    dims: Iterable[Dim],
    along: Callable[[float], float],
    across: Callable[[float], float],
    limits: tuple[float, float],
) -> list[Laid]:
    """Dimensions with their places on the sheet, shortest first; doubles are left out.

    Args:
        dims: in metres of their view.
        along: sheet millimetres of a place along the dimension lines.
        across: sheet millimetres of a place across them.
        limits: ends of the sheet along the dimension lines, in millimetres.
    """
    shaped = [_shape(dim, along, across, limits) for dim in dict.fromkeys(dims)]
    shaped.sort(key=lambda d: (round(d.high - d.low, 3), round(d.low, 3), d.label))
    placed: list[Laid] = []
    for dim in shaped:
        below = [other.tier for other in placed if _overlap(dim.room, other.room)]
        placed.append(replace(dim, tier=max(below, default=-1) + 1))
    return [_dodge(dim, placed) for dim in placed]


def _shape(
    dim: Dim,
    along: Callable[[float], float],
    across: Callable[[float], float],
    limits: tuple[float, float],
) -> Laid:
    """Where arrowheads and value go: between the extension lines, or beside them."""
    first, last = (
        (along(dim.start), across(dim.feature)),
        (
            along(dim.end),
            across(dim.feature if dim.feature_end is None else dim.feature_end),
        ),
    )
    (low, low_feature), (high, high_feature) = sorted((first, last))
    width = width_mm(dim.label)
    # Slack in both comparisons: round numbers must not fall either way by rounding errors.
    inside = high - low > 2 * ARROW_MM + CLEAR_MM - SAME_MM
    tail = 0.0 if inside else TAIL_MM
    line = room = (low - tail, high + tail)
    text = (low + high - width) / 2
    if width + 2 * SIDE_MM > high - low + SAME_MM:
        beside = (0.0 if inside else ARROW_MM) + CLEAR_MM
        text = _beside(low - beside - width, high + beside, width, limits)
        line = (min(line[0], text), max(line[1], text + width))
        room = (line[0] - CLEAR_MM, line[1] + CLEAR_MM)
    return Laid(low, high, dim.label, text, width, inside, line, room, (low_feature, high_feature))


def _beside(left: float, right: float, width: float, limits: tuple[float, float]) -> float:
    """Start of a value beside its dimension: to the right if the sheet has room there."""
    over_right = right + width + CLEAR_MM - limits[1]
    over_left = limits[0] - (left - CLEAR_MM)
    return right if over_right <= 0 or over_right <= over_left else left


def _overlap(first: tuple[float, float], second: tuple[float, float]) -> bool:
    return first[0] < second[1] - SAME_MM and second[0] < first[1] - SAME_MM


def _dodge(dim: Laid, placed: Sequence[Laid]) -> Laid:
    """Move a value along its line, clear of extension lines that pass to farther tiers."""
    passing = sorted({u for d in placed if d.tier > dim.tier for u in (d.low, d.high)})
    if not dim.value_between:
        return dim
    reach = (dim.low + SIDE_MM, dim.high - SIDE_MM - dim.width)
    places = [dim.text]
    places += [u + CLEAR_MM for u in passing] + [u - CLEAR_MM - dim.width for u in passing]

    def free(text: float) -> bool:
        span = (text - CLEAR_MM + SAME_MM, text + dim.width + CLEAR_MM - SAME_MM)
        return reach[0] <= text <= reach[1] and not any(span[0] < u < span[1] for u in passing)

    best = min(filter(free, places), key=lambda text: abs(text - dim.text), default=dim.text)
    return replace(dim, text=best)
