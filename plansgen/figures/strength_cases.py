"""What the charts of strength share: which surface and which cases they show, and how."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.airframe.build import Airframe
from plansgen.figures import style
from plansgen.figures.axis import Axis
from plansgen.figures.blocks import mm
from plansgen.figures.chart import FIRST, SECOND
from plansgen.figures.style import LineType
from plansgen.structure.reserve import CAP
from plansgen.structure.strength import CaseStrength, SurfaceStrength, Weakest

WIDTH_MM = 190.0
LEFT_MM, RIGHT_MM = 28.0, 182.0
AXIS_MM = 18.0
NOTES_MM = 8.0  # where the key below a chart begins

CASE_LINES = (
    FIRST,
    SECOND,
    LineType(style.WIDE_MM, "band_line", (8.0, 2.5, 1.5, 2.5)),
    LineType(style.WIDE_MM, "accent", (1.5, 1.5)),
)
"""One line type for each case shown: continuous, dashed, dash and dot, dotted."""

_FIRST_KEYS = ("pull-up", "full-pull", "push")
FAILURES = {
    "tension": "tearing",
    "compression": "crushing",
    "shear": "shearing",
    "wrinkling": "wrinkling",
    "buckling": "buckling",
}
_AT_ROOT = 1e-3  # m
_DIGITS = (1.0, 2.0, 5.0)


def surface_shown(airframe: Airframe, surfaces: Sequence[SurfaceStrength]) -> SurfaceStrength:
    """The surface that the charts show: the weakest wing, or the weakest of all.

    Raises:
        ValueError: there is none.
    """
    wings = [one for one in surfaces if one.surface in airframe.reference.wings]
    return min(wings or surfaces, key=lambda one: one.worst.reserve)


def cases_shown(strength: SurfaceStrength) -> list[CaseStrength]:
    """Pull-up, all that the wing can pull, push, and one of the rest; four at most.

    That one is the case of the surface's weakest place, or else the weakest of the rest.
    """
    first = [case for key in _FIRST_KEYS for case in strength.cases if case.case.key == key]
    rest = [case for case in strength.cases if case.case.key not in _FIRST_KEYS]
    worst = strength.worst.case
    rest.sort(key=lambda case: (case.case.key != worst, case.weakest.reserve))
    return [*first, *rest[: 1 if first else len(CASE_LINES)]]


def case_words(case: CaseStrength) -> str:
    """Name of a case with its load factor where that says something."""
    title, load = case.case.title, case.case.load_factor
    said = abs(load - 1.0) > 0.05 and case.case.kind == "air"
    return f"{title}, load factor {load:.1f}" if said else title


def title_of(strength: SurfaceStrength) -> str:
    """Title of a surface at the start of a sentence."""
    return strength.title[:1].upper() + strength.title[1:]


def reserve_words(value: float) -> str:
    """A reserve factor as lettered, with two digits; above the cap only that."""
    if value >= CAP:
        return f"over {CAP:.0f}"
    return f"{value:.2f}" if value < 10.0 else f"{value:.0f}"


def number(value: float) -> str:
    """A force, moment or stiffness with about three digits, and no more than two decimals."""
    return f"{round(value, 2) + 0.0:.2f}" if abs(value) < 10.0 else f"{round(value, 1):.4g}"


def where_words(place: Weakest) -> str:
    """Where the weakest place is and what gives there."""
    where = f"{mm(place.span)} mm out" if place.span >= _AT_ROOT else "at the root"
    return f"{where}: {FAILURES[place.kind]} of {short(place.part)}"


def short(part: str) -> str:
    """A builder's name of a part up to its first comma."""
    return part.split(",")[0]


@dataclass(frozen=True)
class LogAxis(Axis):
    """An axis of reserve factors by their common logarithm, ticks at 1, 2 and 5 times a decade."""

    @classmethod
    def reserves(cls, values: Sequence[float], *, most: float) -> LogAxis:
        """From just below the least value, or below 1, to a round number.

        most: greatest value shown.
        """
        least = min([0.7, *(0.9 * value for value in values if value > 0.0)])
        return cls(math.log10(max(least, 0.05)), math.log10(most), 1.0)

    @property
    def ticks(self) -> list[float]:
        """Logarithms of the round numbers on it."""
        decades = range(math.floor(self.low) - 1, math.ceil(self.high) + 1)
        logs = [decade + math.log10(digit) for decade in decades for digit in _DIGITS]
        return [log for log in logs if self.holds(log)]

    def word(self, value: float) -> str:
        """The number itself."""
        return f"{10**value:.4g}"
