"""Rules about what wings and tails hold: in flight, at top speed and in a bad landing."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from plansgen.flight.result import FlightResult
from plansgen.review.finding import Finding
from plansgen.review.strength_cases import (
    FULL,
    GLUE,
    LIMIT,
    Held,
    case_of,
    everything,
    factor,
    flown,
    in_case,
    is_weak,
    of_surface,
    severity_of,
    where,
)
from plansgen.review.words import speed
from plansgen.structure.cases import CRASHES
from plansgen.structure.result import StructureResult
from plansgen.structure.strength import Suggestion, SurfaceStrength

_SHOWN = 3  # suggestions in one finding
WANTED = (
    "the design's wanted reserve (common practice, no source); strength over load by beam theory"
)


def told(suggestions: Sequence[Suggestion]) -> str:
    """Changes, each enough or helpful by itself, with the reserve factor that it gives."""
    ways = [f"{one.words} (then {factor(one.reserve)} in its hardest case)" for one in suggestions]
    return ". Or: ".join(ways[:_SHOWN]) + "." if ways else ""


# --- the weakest place -------------------------------------------------------------------------


def weakest(structure: StructureResult) -> Iterator[Finding]:
    """The weakest place of every surface against the wanted reserve."""
    for surface in structure.surfaces:
        if not is_weak(structure, surface):
            continue
        places = flown(surface)
        worst = min(places, key=lambda place: place.reserve)
        weak = min(places, key=lambda place: place.low)
        place = worst if worst.reserve < structure.wanted else weak
        yield Finding(
            rule="strength",
            severity=severity_of(of_surface(surface)),
            title=f"The {surface.title} breaks {in_case(structure, place.case)}"
            if place.reserve < 1.0
            else f"The {surface.title} holds with less in reserve than wanted",
            number=f"reserve factor {factor(place.reserve)} {in_case(structure, place.case)}, "
            f"{where(place)}; {factor(weak.low)} with weak material",
            limit=f"{structure.wanted:g}, and 1 with material two standard deviations weak",
            why="Below 1 it breaks. The rest of the reserve is for what nobody sees: uneven sheet, "
            "a dry glue line, a crease.",
            do=_strengthen(structure, surface, place.case, place.reserve),
            source=WANTED,
        )


def _strengthen(
    structure: StructureResult, surface: SurfaceStrength, case: str, reserve: float
) -> str:
    """What to change; for want of that, or until then, how hard to fly it."""
    ways = told(surface.suggestions)
    limit = case_of(structure, case)
    if case == LIMIT and limit is not None:
        most = limit.load_factor * reserve / structure.wanted
        keep = (
            f"no harder than {most:.1f} times its weight"
            if most > 1.0
            else "not at all: level flight alone takes the reserve"
        )
        return f"{ways} As it is, fly it {keep}.".strip()
    return ways or "Add a spar or a stick where it gives, or put thicker sheet there."


def full_pull(structure: StructureResult, flight: FlightResult) -> Iterator[Finding]:
    """What the wing can pull at top speed against what everything holds.

    It breaks at the load factor n that it holds, which it can reach from V = Vs √n.
    """
    case = case_of(structure, FULL)
    first = min(
        (held for held in everything(structure) if held.case == FULL),
        key=lambda held: held.reserve,
        default=None,
    )
    if case is None or first is None:
        return
    lows = [c.weakest.low for s in structure.surfaces for c in s.cases if c.case.key == FULL]
    low = min([first.reserve, *lows])
    if low >= 1.0:
        return
    stall = flight.stall.speed
    holds, weak = case.load_factor * first.reserve, case.load_factor * low
    breaks = stall * math.sqrt(max(weak, 1.0))
    easy = stall * math.sqrt(max(holds / structure.wanted, 1.0))
    yield Finding(
        rule="pulls-more-than-it-holds",
        severity="caution" if first.reserve < 1.0 else "note",
        title="At top speed it can pull more than it holds"
        if first.reserve < 1.0
        else "At top speed it can pull more than weak material holds",
        number=f"holds {holds:.1f} times its weight ({first.what}), {weak:.1f} with weak material; "
        f"full elevator at {speed(case.speed)} pulls {case.load_factor:.1f}",
        limit="as much as it can pull",
        why="Slow, the lift ends first; fast, something breaks first. A hard pull out of a dive "
        "does it.",
        do=f"Do not pull hard above {speed(easy)}; there {structure.wanted:g} is still in reserve. "
        f"From {speed(breaks)} on full elevator can break it"
        f"{'' if first.reserve < 1.0 else ' where its material is weak'}.",
        source=f"V = Vs √n; {case.source}",
    )


# --- landings ----------------------------------------------------------------------------------


def landings(structure: StructureResult) -> Iterator[Finding]:
    """What breaks first when it comes down on a wing tip or on its nose."""
    first = [
        held
        for case in CRASHES
        for held in [_first(held for held in everything(structure) if held.case == case)]
        if held is not None and held.reserve < 1.0
    ]
    if not first:
        return
    bands = any(hold.lets_go and hold.gives_on_nose for hold in structure.hold_downs)
    yield Finding(
        rule="landing-breaks",
        severity="note",
        title="Where a bad landing breaks it",
        number="; ".join(
            f"{in_case(structure, h.case).removeprefix('in a ')}: {h.what}, reserve factor "
            f"about {h.reserve:.1f}"
            for h in first
        ),
        limit="1, to come away whole",
        why="Something has to give in a crash; better a place that is quick to mend."
        + (" The rubber bands let the wing go on the nose, as they are meant to." if bands else ""),
        do="Look there after every hard landing, and keep what mends it at hand."
        + (" More overlap makes a glued brace last." if any(GLUE in h.what for h in first) else ""),
        source="P = v √(k m) and v²/2s: elementary; the way that nose and turf give is an estimate",
    )


def _first(held: Iterator[Held]) -> Held | None:
    return min(held, key=lambda one: one.reserve, default=None)
