"""Rules about the spar: is there one, does it reach far enough, how does it end, is it soft."""

from __future__ import annotations

import math
from collections.abc import Iterator

from plansgen.airframe.build import Airframe
from plansgen.review.finding import Finding
from plansgen.review.strength_cases import LIMIT, factor, flown, in_case, is_weak
from plansgen.review.words import ESTIMATE, PRACTICE, degrees, mm, percent
from plansgen.structure.result import StructureResult
from plansgen.structure.strength import SurfaceStrength

MOST_BEND = 0.10  # of the half span, in the limit pull-up (common practice, no source)
MOST_TWIST = math.radians(2.0)  # in the limit pull-up (common practice, no source)
STEP = 3.0  # stiffness inside of the spar's end over outside (common practice, no source)
_TIP = 0.97  # of the half span: a spar that ends further out ends at the tip
_SHORT = 0.6  # of the half span: a spar runs at least so far out (common practice, no source)
_PLENTY = 2.0  # times the wanted reserve: then nobody misses a spar
_GAIN = 1.1  # times the reserve: a turned stick that gives less is not worth telling


def deflection(airframe: Airframe, structure: StructureResult) -> Iterator[Finding]:
    """How far tips bend and twist in the limit pull-up."""
    for surface in structure.surfaces:
        half = airframe.surface(surface.surface).stations[-1].span
        case = next((case for case in surface.cases if case.case.key == LIMIT), None)
        if case is None:
            continue
        bends = abs(case.tip_deflection) > MOST_BEND * half
        twists = abs(case.tip_twist) > MOST_TWIST
        if not (bends or twists):
            continue
        up = case.tip_twist > MOST_TWIST
        yield Finding(
            rule="soft-wing",
            severity="caution" if up else "note",
            title=f"The {surface.title} twists nose up at its tips"
            if up
            else f"The {surface.title} is soft",
            number=f"tips {mm(abs(case.tip_deflection))} up, "
            f"{percent(abs(case.tip_deflection) / half)} of the half span, and twisted "
            f"{degrees(abs(case.tip_twist))} nose {'up' if case.tip_twist > 0 else 'down'} in the "
            "pull-up at its limit",
            limit=f"{percent(MOST_BEND)} and {degrees(MOST_TWIST)}",
            why="Tips that twist nose up under load lift more and so twist more. Fast enough, that "
            "has no end; slow, the tips stall first."
            if up
            else "Bending takes lift from its direction; twist nose down takes it from the tips, "
            "and ailerons lose their bite.",
            do="Close the skin to a box from leading edge to spar, or cover it with thicker sheet: "
            "twist is held by closed skin, not by a thicker spar."
            if twists
            else "Stand the spar higher, or add caps on top and bottom: stiffness goes with the "
            "square of the distance between them.",
            source=PRACTICE,
        )


# --- the spar itself ---------------------------------------------------------------------------


def no_spar(structure: StructureResult) -> Iterator[Finding]:
    """A wing that its skin alone carries, without much to spare."""
    for surface in structure.surfaces:
        if not _is_wing(surface) or surface.reach is not None or not flown(surface):
            continue
        worst = min(flown(surface), key=lambda place: place.reserve)
        if worst.reserve >= _PLENTY * structure.wanted or is_weak(structure, surface):
            continue
        yield Finding(
            rule="no-spar",
            severity="note",
            title=f"The {surface.title} has no spar",
            number=f"reserve factor of the skin alone {factor(worst.reserve)} "
            f"{in_case(structure, worst.case)}",
            limit=f"{_PLENTY * structure.wanted:g}, or a spar (estimate)",
            why="A skin that is creased once, or damp, folds there; a spar still holds.",
            do="Glue a stick on edge, or caps on top and bottom, along the thickest line of the "
            "section.",
            source=ESTIMATE,
        )


def _is_wing(surface: SurfaceStrength) -> bool:
    return any(case.case.key == LIMIT for case in surface.cases)


def spar_reach(structure: StructureResult) -> Iterator[Finding]:
    """A spar that stops well short of the tip, where the skin has little to spare.

    One whose wing misses the wanted reserve is told with the weakest place.
    """
    for surface in structure.surfaces:
        reach = surface.reach
        if not _is_wing(surface) or reach is None or is_weak(structure, surface):
            continue
        if reach.now_share >= _SHORT or reach.blunt_reserve >= _PLENTY * structure.wanted:
            continue
        yield Finding(
            rule="spar-reach",
            severity="note",
            title=f"The spar of the {surface.title} stops well short of the tip",
            number=f"ends {mm(reach.now)} out, {percent(reach.now_share)} of the half span; "
            f"reserve factor of the skin at its end {factor(reach.blunt_reserve)}",
            limit=f"{percent(_SHORT)} of the half span, or a skin with "
            f"{_PLENTY * structure.wanted:g} there",
            why="Bending falls towards the tip, but beyond the spar's end a crease or a damp skin "
            "is all there is.",
            do=f"Let it run to {mm(_SHORT * reach.now / reach.now_share)} or further, tapered.",
            source=PRACTICE,
        )


def spar_end(structure: StructureResult) -> Iterator[Finding]:
    """A spar that ends in a step of stiffness."""
    for surface in structure.surfaces:
        reach = surface.reach
        if reach is None or reach.now_share >= _TIP or reach.stiffness_out <= 0.0:
            continue
        ratio = reach.stiffness_in / reach.stiffness_out
        if ratio <= STEP:
            continue
        yield Finding(
            rule="spar-end",
            severity="note",
            title=f"The spar of the {surface.title} ends in a step",
            number=f"{ratio:.1f} times stiffer inside of its end, {mm(reach.now)} out; reserve "
            f"factor of the skin at a square-cut end {factor(reach.blunt_reserve)}",
            limit=f"{STEP:g} times",
            why="All the bend goes into the skin at one line, and it creases there.",
            do="Cut the spar's end to a long point, or let its sticks end one after another.",
            source=PRACTICE,
        )


def flat_sticks(structure: StructureResult) -> Iterator[Finding]:
    """Sticks that lie flat and would do more on edge, where nothing else is said of the surface."""
    for surface in structure.surfaces:
        if is_weak(structure, surface):
            continue  # told among what brings the wanted reserve
        better = [
            stick
            for stick in surface.sticks
            if stick.place == "flat"
            and stick.reserve_turned is not None
            and stick.reserve_turned >= _GAIN * stick.reserve_now
        ]
        if not better:
            continue
        best = max(better, key=lambda stick: stick.reserve_turned or 0.0)
        names = ", ".join(stick.part for stick in better)
        yield Finding(
            rule="flat-stick",
            severity="note",
            title="A stick that lies flat would do more on edge",
            number=f"{names}: {best.ratio:.1f} times stiffer by itself when it stands",
            limit="on edge",
            why=f"Stood up, the {surface.title} has a reserve factor of "
            f"{factor(best.reserve_turned or 0.0)} instead of {factor(best.reserve_now)} in its "
            "hardest case.",
            do=f"Stand {best.part} on edge; there is height for it.",
            source="second moment of a rectangle: elementary",
        )
