"""The fit report: what meets, what folds back, what goes through, what fits its stock."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Annotated

from plansgen.patterns.attitudes import allowed_angles
from plansgen.patterns.flat import FlatPart, bounds, faults, placed
from plansgen.patterns.seams import Refold, Seam, SlotFit
from plansgen.patterns.stock import StockSheet, serving
from plansgen.quantity import Quantity

SEAM_LIMIT = 0.0002
"""Edges that meet may differ by so much. [m]"""

REFOLD_LIMIT = 0.0005
"""A part folded back may be so far from the solid. [m]"""

STRETCH_LIMIT = 0.005
"""Paper, board and ply give so much over a short way without a crease; estimate."""

_TRIM = 1e-4  # nobody cuts finer: a part longer than its sheet by less fits [m]

LOOSE_LIMIT = 0.0006
"""A slot may be so much wider than what goes through it; estimate. [m]"""


@dataclass(frozen=True)
class SeamFit:
    """One seam, both lengths and whether they agree."""

    seam: Seam
    first: Annotated[float, Quantity("m", "First edge", "pattern-seam", "mm")]
    second: Annotated[float, Quantity("m", "Second edge", "pattern-seam", "mm")]
    gap: Annotated[float, Quantity("m", "Difference", "pattern-seam", "mm")]

    @property
    def holds(self) -> bool:
        """Whether the edges agree."""
        return abs(self.gap) <= SEAM_LIMIT


@dataclass(frozen=True)
class Fit:
    """Everything that was proved about flat parts, and what does not hold.

    no_stock: parts that fit on none of their sheets, in words. uncuttable: outlines that cannot be
    cut. twisted: parts that must be twisted by hand on their way back to the solid.
    """

    seams: tuple[SeamFit, ...]
    refolds: tuple[Refold, ...]
    slots: tuple[SlotFit, ...]
    no_stock: tuple[str, ...]
    uncuttable: tuple[str, ...]

    @property
    def open_seams(self) -> tuple[SeamFit, ...]:
        """Those that do not agree, the worst first."""
        worst = [one for one in self.seams if not one.holds]
        return tuple(sorted(worst, key=lambda one: -abs(one.gap)))

    @property
    def off(self) -> tuple[Refold, ...]:
        """Parts that do not come back to the solid."""
        return tuple(
            one for one in self.refolds if one.off > REFOLD_LIMIT or one.stretch > STRETCH_LIMIT
        )

    @property
    def twisted(self) -> tuple[Refold, ...]:
        """Parts that come back only when they are twisted by hand: hand-fitting, not a fault."""
        return tuple(one for one in self.refolds if one.twist > REFOLD_LIMIT)

    @property
    def bad_slots(self) -> tuple[SlotFit, ...]:
        """Slots that are too narrow, too wide or too low for what goes through them."""
        return tuple(one for one in self.slots if not slot_holds(one))

    @property
    def by_hand(self) -> tuple[Seam, ...]:
        """Seams that are trimmed on the bench, with why."""
        return tuple(one.seam for one in self.seams if one.seam.by_hand)

    @property
    def holds(self) -> bool:
        """Whether everything fits that is not trimmed by hand."""
        wrong = [one for one in self.open_seams if not one.seam.by_hand]
        return not (wrong or self.off or self.bad_slots or self.no_stock or self.uncuttable)


def slot_holds(slot: SlotFit) -> bool:
    """Whether what goes through a slot goes in and does not rattle."""
    loose = slot.slot - slot.thickness
    return -1e-6 <= loose <= LOOSE_LIMIT and slot.height >= slot.needed - SEAM_LIMIT


def prove(
    parts: Sequence[FlatPart],
    *,
    seams: Iterable[Seam],
    refolds: Iterable[Refold],
    slots: Iterable[SlotFit],
    stocks: Sequence[StockSheet] = (),
    margin: float = 0.0,
) -> Fit:
    """Work out the fit report of flat parts.

    Args:
        parts: All of them.
        seams: Edges that meet.
        refolds: What each part is folded back.
        slots: What goes through what.
        stocks: Sheets that parts are cut from; a material without any is not judged.
        margin: Left free at the edge of a sheet. [m]
    """
    return Fit(
        seams=tuple(SeamFit(s, s.a.length, s.b.length, s.gap) for s in seams),
        refolds=tuple(refolds),
        slots=tuple(slots),
        no_stock=tuple(words for part in parts for words in _no_stock(part, stocks, margin)),
        uncuttable=tuple(words for part in parts for words in faults(part)),
    )


def _no_stock(part: FlatPart, stocks: Sequence[StockSheet], margin: float) -> list[str]:
    own = serving(stocks, part.material, part.thickness)
    if not own or any(_fits(part, stock, margin) for stock in own):
        return []
    largest = max(own, key=lambda stock: stock.area)
    west, south, east, north = part.bounds
    return [
        f"{part.name} measures {(east - west) * 1000:.1f} × {(north - south) * 1000:.1f} mm; "
        f"the largest sheet is {largest.width * 1000:.0f} × {largest.height * 1000:.0f} mm"
    ]


def _fits(part: FlatPart, stock: StockSheet, margin: float) -> bool:
    """Whether a part lies on a sheet at one of the angles that its grain allows."""
    for angle in allowed_angles(part, stock, mirrored=False):
        west, south, east, north = bounds(placed(part.outline, angle=angle))
        wide, high = stock.width - 2 * margin, stock.height - 2 * margin
        if east - west <= wide + _TRIM and north - south <= high + _TRIM:
            return True
    return False


def words_of(fit: Fit) -> tuple[str, ...]:
    """The fit report in sentences: first what does not hold, then hand work, then the sum."""
    found = [
        f"{one.seam.name}: {one.seam.a.name} is {abs(one.gap) * 1000:.2f} mm "
        f"{'longer' if one.gap > 0 else 'shorter'} than {one.seam.b.name}"
        + (f"; {one.seam.by_hand}" if one.seam.by_hand else "")
        for one in fit.open_seams
    ]
    found += [
        f"{one.part} comes back to within {one.off * 1000:.2f} mm and must give "
        f"{one.stretch * 100:.2f} %"
        for one in fit.off
    ]
    found += [
        f"{one.part}: the slot for {one.through} is {one.slot * 1000:.2f} wide and "
        f"{one.height * 1000:.2f} high for {one.thickness * 1000:.2f} × {one.needed * 1000:.2f}"
        for one in fit.bad_slots
    ]
    found += [*fit.no_stock, *fit.uncuttable]
    found += [f"{one.part} is twisted by hand by {one.twist * 1000:.1f} mm" for one in fit.twisted]
    worst = max((abs(one.gap) for one in fit.seams if one.holds), default=0.0)
    off = max((one.off for one in fit.refolds), default=0.0)
    agree = sum(one.holds for one in fit.seams)
    return (
        *found,
        f"{agree} of {len(fit.seams)} seams agree, the worst of them to "
        f"{math.ceil(worst * 1e5) / 100:.2f} mm; {len(fit.refolds)} parts were folded back, to "
        f"within {math.ceil(off * 1e5) / 100:.2f} mm; {len(fit.slots)} slots were measured.",
    )
