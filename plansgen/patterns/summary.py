"""The patterns of a design in numbers, small enough to travel with everything else about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from plansgen.patterns.by_hand import left_to_hand
from plansgen.patterns.fit import faults_of, worst_gap, worst_off
from plansgen.patterns.result import PatternSet
from plansgen.patterns.shopping import Total
from plansgen.quantity import Quantity


@dataclass(frozen=True)
class PatternSummary:
    """What there is to cut, whether it fits, and what it is cut from.

    parts: different ones; pieces: all copies. sheets: used; bound: no layout on this stock needs
    fewer. assumed: names of the stock that the program chose. faults: what does not fit, with by
    how much; slight: so little that it gives way under the hand. hand_work: what is left to hand
    and eye. oversize: parts that none of their sheets holds, with why;
    oversize_assumed: whether only sizes that the program chose are too small for them. unstocked:
    materials that no size of sheet is known of. not_drawn: parts without a pattern, with why.
    misplaced: openings that lie in no part, with what is allowed. strangers: parts laid on a sheet
    by a name that no part has. totals: by currency; unpriced: what none holds.
    """

    parts: int
    pieces: int
    sheets: int
    bound: int
    sheet_area: Annotated[float, Quantity("m²", "Area of the sheets", "pattern-sheets")]
    used: Annotated[float, Quantity("m²", "Area of the parts on sheets", "pattern-sheets")]
    waste: Annotated[float, Quantity("m²", "Waste", "pattern-sheets")]
    cut: Annotated[float, Quantity("m", "Length of all cuts", "pattern-sheets")]
    assumed: tuple[str, ...]
    seams: int
    seams_agreeing: int
    seam_gap: Annotated[float, Quantity("m", "Worst seam that agrees", "pattern-seam", "mm")]
    refolds: int
    refold_off: Annotated[float, Quantity("m", "Worst part folded back", "pattern-refold", "mm")]
    slots: int
    holds: bool
    faults: tuple[str, ...]
    slight: bool
    hand_work: tuple[str, ...]
    oversize: tuple[str, ...]
    oversize_assumed: bool
    unstocked: tuple[str, ...]
    not_drawn: tuple[str, ...]
    misplaced: tuple[str, ...]
    strangers: tuple[str, ...]
    totals: tuple[Total, ...]
    unpriced: tuple[str, ...]
    mass: Annotated[float, Quantity("kg", "Mass of the parts as drawn", "pattern-mass")]
    mass_estimate: Annotated[float, Quantity("kg", "Estimate from the planform", "pattern-mass")]
    mass_difference: Annotated[float, Quantity("kg", "Drawn parts heavier by", "pattern-mass")]


def summary_of(patterns: PatternSet) -> PatternSummary:
    """Sum up the patterns of a design."""
    fit, nesting, masses = patterns.fit, patterns.nesting, patterns.masses
    names = patterns.names
    return PatternSummary(
        parts=len(patterns.parts),
        pieces=patterns.pieces,
        sheets=len(nesting.sheets),
        bound=nesting.bound,
        sheet_area=nesting.area,
        used=nesting.used,
        waste=nesting.waste,
        cut=nesting.cut,
        assumed=tuple(line.name for line in patterns.shopping.purchases if line.assumed),
        seams=len(fit.seams),
        seams_agreeing=sum(seam.holds for seam in fit.seams),
        seam_gap=worst_gap(fit),
        refolds=len(fit.refolds),
        refold_off=worst_off(fit),
        slots=len(fit.slots),
        holds=fit.holds,
        faults=(
            *(words for words in faults_of(fit, names) if words not in fit.no_stock),
            *patterns.layout_faults,
        ),
        slight=fit.slight and not patterns.layout_faults,
        hand_work=left_to_hand(patterns),
        oversize=tuple(patterns.oversize),
        oversize_assumed=patterns.oversize_assumed,
        unstocked=patterns.unstocked,
        not_drawn=patterns.not_drawn,
        misplaced=patterns.misplaced,
        strangers=patterns.strangers,
        totals=patterns.shopping.totals,
        unpriced=patterns.shopping.unpriced,
        mass=masses.parts,
        mass_estimate=masses.estimate,
        mass_difference=masses.difference,
    )
