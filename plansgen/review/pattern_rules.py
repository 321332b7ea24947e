"""Rules about flat parts: what does not fit, what fits no sheet, what is not drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plansgen.library.text import first_of
from plansgen.patterns.fit import REFOLD_LIMIT, SEAM_LIMIT
from plansgen.patterns.summary import PatternSummary
from plansgen.review.finding import Finding
from plansgen.review.words import PRACTICE

_MOST = 4  # named in one finding; the page of the parts has them all


def fit(patterns: PatternSummary) -> Iterator[Finding]:
    """Edges that do not meet, parts that do not fold back, slots that do not take what they must.

    What is too large for its sheet is told by :func:`oversize`.
    """
    if patterns.faults:
        yield Finding(
            rule="pattern-fit",
            severity="note" if patterns.slight else "caution",
            title="Some parts do not fit each other"
            if not patterns.slight
            else "Some parts must be bent or pulled into place",
            number=_some(patterns.faults),
            limit=f"{SEAM_LIMIT * 1000:g} mm along a seam, {REFOLD_LIMIT * 1000:g} mm folded back",
            why="The builder finds out at the bench, when the sheet is cut.",
            do="Change the part in the design file, or say in the notes how it is fitted by hand.",
            source="limits of careful work with knife and rule: estimate",
        )


def oversize(patterns: PatternSummary) -> Iterator[Finding]:
    """Parts that no sheet holds and pieces longer than their stick.

    Where the design names no stock, the usual size that was taken may be the wrong one: a note.
    """
    if patterns.oversize:
        yield Finding(
            rule="pattern-stock",
            severity="note" if patterns.oversize_assumed else "caution",
            title="Some parts fit on no sheet or stick",
            number=_some(patterns.oversize),
            limit="a sheet or stick of the design's stock that holds each part",
            why="They are missing from the sheets and from the shopping list.",
            do="Name a larger sheet or longer stick under stock, or part them at a station.",
            source=PRACTICE,
        )


def unstocked(patterns: PatternSummary) -> Iterator[Finding]:
    """Sheet that nobody knows the size of."""
    if patterns.unstocked:
        yield Finding(
            rule="pattern-sheet-size",
            severity="note",
            title="Some parts are laid on no sheet",
            number=f"no size of sheet is known of {', '.join(patterns.unstocked)}",
            limit="a size of sheet for every material",
            why="How many sheets to buy cannot be told.",
            do="Name the sheet under stock, with its width and height.",
            source=PRACTICE,
        )


def not_drawn(patterns: PatternSummary) -> Iterator[Finding]:
    """Parts that are weighed but on no sheet."""
    if patterns.not_drawn:
        yield Finding(
            rule="pattern-missing",
            severity="note",
            title="Some parts have no pattern",
            number=_some(patterns.not_drawn),
            limit="a shape for every part",
            why="A builder has to work out their outline, or lays them on by hand.",
            do="Where the shape is known, give plate, outline or drawing instead of area.",
            source=PRACTICE,
        )


def misplaced(patterns: PatternSummary) -> Iterator[Finding]:
    """Openings that are cut in no part."""
    if patterns.misplaced:
        yield Finding(
            rule="pattern-opening",
            severity="caution",
            title="Some openings are not cut",
            number=_some(patterns.misplaced),
            limit="each inside one flat part, 1 mm clear of its edge and of other holes",
            why="They are missing from the sheets, and their mass is still counted.",
            do="Give the opening a place that its part has, under openings in the design file.",
            source="least rim of sheet beside a hole: estimate",
        )


def strangers(patterns: PatternSummary) -> Iterator[Finding]:
    """Places on sheets for parts that there are none of."""
    if patterns.strangers:
        yield Finding(
            rule="pattern-place",
            severity="caution",
            title="Places on sheets name parts that there are none of",
            number=_some(patterns.strangers),
            limit="the key of a part, as its pattern shows it",
            why="What was meant is laid where the program finds room.",
            do="Write the key of the part under nesting, places; the page of the parts has them.",
            source=PRACTICE,
        )


def _some(words: Sequence[str]) -> str:
    return first_of(words, _MOST, between="; ")
