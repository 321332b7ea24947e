"""The fit report: what meets, what folds back, what goes through, what fits its stock."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
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

_SLIGHT = 4.0  # times its limit: what is off by less gives way under the hand (estimate)
_TRIM = 1e-4  # nobody cuts finer: a part longer than its sheet by less fits [m]

LOOSE_LIMIT = 0.0006
"""A slot may be so much wider than what goes through it; estimate. [m]"""


@dataclass(frozen=True)
class SeamFit:
    """One seam, both lengths and whether they agree."""

    seam: Seam
    first: Annotated[float, Quantity("m", "First edge", "pattern-seam")]
    second: Annotated[float, Quantity("m", "Second edge", "pattern-seam")]
    gap: Annotated[float, Quantity("m", "Difference", "pattern-seam")]

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

    @property
    def slight(self) -> bool:
        """Whether all that does not fit is a sheet that bends or an edge that is pulled straight.

        That is: edges and folds off by less than four times their limit, nothing else wrong.
        """
        edges = [abs(one.gap) / SEAM_LIMIT for one in self.open_seams if not one.seam.by_hand]
        folds = [max(one.off / REFOLD_LIMIT, one.stretch / STRETCH_LIMIT) for one in self.off]
        return not (self.bad_slots or self.uncuttable) and max([*edges, *folds, 0.0]) < _SLIGHT


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


def faults_of(fit: Fit, names: Mapping[str, str] | None = None) -> tuple[str, ...]:
    """What does not hold, in sentences, each with by how much. names: of the parts, by key."""
    known = names or {}
    found = [_open(one) for one in fit.open_seams if not one.seam.by_hand]
    found += [
        f"{known.get(one.part, one.part)} comes back to within {one.off * 1000:.2f} mm and must "
        f"give {one.stretch * 100:.2f} %"
        for one in fit.off
    ]
    found += [
        f"{known.get(one.part, one.part)}: the slot for {known.get(one.through, one.through)} is "
        f"{one.slot * 1000:.2f} wide and {one.height * 1000:.2f} high for "
        f"{one.thickness * 1000:.2f} × {one.needed * 1000:.2f}"
        for one in fit.bad_slots
    ]
    return (*found, *fit.no_stock, *fit.uncuttable)


def hand_work_of(fit: Fit, names: Mapping[str, str] | None = None) -> tuple[str, ...]:
    """What is trimmed or twisted on the bench, in sentences. names: of the parts, by key."""
    known = names or {}
    trimmed = [_open(one) for one in fit.open_seams if one.seam.by_hand]
    agreeing = [
        f"{one.seam.name}: {one.seam.by_hand}"
        for one in fit.seams
        if one.seam.by_hand and one.holds
    ]
    twisted = [
        f"{known.get(one.part, one.part)} is twisted by hand by {one.twist * 1000:.1f} mm"
        for one in fit.twisted
    ]
    return (*trimmed, *agreeing, *twisted)


def _open(one: SeamFit) -> str:
    longer = "longer" if one.gap > 0 else "shorter"
    why = f"; {one.seam.by_hand}" if one.seam.by_hand else ""
    return (
        f"{one.seam.name}: {one.seam.a.name} is {abs(one.gap) * 1000:.2f} mm {longer} than "
        f"{one.seam.b.name}{why}"
    )


def worst_gap(fit: Fit) -> float:
    """Of the seams that agree, the greatest difference. [m]"""
    return max((abs(one.gap) for one in fit.seams if one.holds), default=0.0)


def worst_off(fit: Fit) -> float:
    """How far the worst part is off when it is folded back. [m]"""
    return max((one.off for one in fit.refolds), default=0.0)


def words_of(fit: Fit, names: Mapping[str, str] | None = None) -> tuple[str, ...]:
    """The fit report in sentences: first what does not hold, then hand work, then the sum."""
    agree = sum(one.holds for one in fit.seams)
    return (
        *faults_of(fit, names),
        *hand_work_of(fit, names),
        f"{agree} of {len(fit.seams)} seams agree, the worst of them to "
        f"{math.ceil(worst_gap(fit) * 1e5) / 100:.2f} mm; {len(fit.refolds)} parts were folded "
        f"back, to within {math.ceil(worst_off(fit) * 1e5) / 100:.2f} mm; {len(fit.slots)} slots "
        "were measured.",
    )
