"""Rules about wires, struts, booms and bodies."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.review.finding import Finding
from plansgen.review.strength_cases import (
    LIMIT,
    Held,
    capital,
    factor,
    in_case,
    severity_of,
)
from plansgen.review.strength_rules import WANTED, told
from plansgen.review.words import ESTIMATE, PRACTICE, mm, percent
from plansgen.structure.booms import BoomResult
from plansgen.structure.cases import is_service
from plansgen.structure.result import StructureResult

MOST_LOST = 0.15  # of a control's effect that a bent boom may take (estimate)


def bracing(structure: StructureResult) -> Iterator[Finding]:
    """Wires too thin and struts that buckle, in flight."""
    if structure.bracing is None:
        return
    for number, brace in enumerate(structure.bracing.braces):
        held = [
            (case.case, case.forces[number])
            for case in structure.bracing.cases
            if is_service(case.case)
        ]
        case, force = min(held, key=lambda pair: pair[1].reserve, default=("", None))
        if force is None or force.reserve >= structure.wanted:
            continue
        pushed = force.force < 0.0
        ways = told([s for s in structure.suggestions if f"{brace.part} (" in s.words])
        yield Finding(
            rule="bracing",
            severity=severity_of(Held(brace.name, key, one.reserve) for key, one in held),
            title=f"{capital(brace.part)} {'buckles' if pushed else 'is too thin'}",
            number=f"{abs(force.force):.1f} N {'push' if pushed else 'pull'} "
            f"{in_case(structure, case)}: reserve factor {factor(force.reserve)}",
            limit=f"{structure.wanted:g}",
            why="Without it the wing carries bending that it was not built for.",
            do=ways
            or (
                "Take a thicker strut or a tube, or hold it in its middle: half the length stands "
                "four times the push."
                if pushed
                else "Take two, or a stronger kind."
            ),
            source="Euler's column and the breaking load of the wire" if pushed else WANTED,
        )


def slack_wires(structure: StructureResult) -> Iterator[Finding]:
    """Wires that go slack in the pull-up at the limit, in one finding."""
    if structure.bracing is None:
        return
    case = next((case for case in structure.bracing.cases if case.case == LIMIT), None)
    slack = [force for force in case.forces if force.slack] if case is not None else []
    if case is None or not slack:
        return
    names = ", ".join(dict.fromkeys(f"{force.part} ({force.name})" for force in slack))
    yield Finding(
        rule="slack-wires",
        severity="note",
        title="Wires go slack in a pull-up",
        number=names,
        limit="tight in flight",
        why="A slack wire carries nothing, hums, and snatches when the load turns round.",
        do=f"Rig every wire to {case.preload:.1f} N."
        if case.preload is not None
        else "No preload keeps it tight: it has nothing to pull against. Leave it, if it is there "
        "for landings.",
        source="frame by the direct stiffness method; " + PRACTICE,
    )


# --- booms and bodies ----------------------------------------------------------------------------


def booms(structure: StructureResult) -> Iterator[Finding]:
    """Bodies and booms that break or give too much of the tail's effect away."""
    for boom in structure.booms:
        held = [Held(boom.title, c.case, c.reserve) for c in boom.cases if is_service(c.case)]
        worst = min(held, key=lambda one: one.reserve, default=None)
        if worst is not None and worst.reserve < structure.wanted:
            yield _weak_boom(structure, boom, held, worst)
        lost = [(case.lost, case) for case in boom.cases if case.lost is not None]
        most, bent = max(lost, key=lambda pair: pair[0], default=(0.0, None))
        if bent is not None and most > MOST_LOST:
            yield Finding(
                rule="soft-boom",
                severity="caution",
                title=f"The {boom.title} bends and takes from the tail",
                number=f"{percent(most)} of the control's effect lost, "
                f"{in_case(structure, bent.case)}",
                limit=f"{percent(MOST_LOST)} (estimate)",
                why="The tail turns away from its own load: fast, the control does less, and the "
                "model may not come out of a dive.",
                do="Stiffen it: strips in its corners, a higher section, or a wrap glued round it.",
                source=ESTIMATE,
            )


def _weak_boom(
    structure: StructureResult, boom: BoomResult, held: list[Held], worst: Held
) -> Finding:
    case = next(case for case in boom.cases if case.case == worst.case)
    part = f", where {case.worst.part} gives" if case.worst is not None else ""
    end = "ahead of" if boom.end == "nose" else "behind"
    return Finding(
        rule="weak-body",
        severity=severity_of(held),
        title=f"The {boom.title} is weak {end} the wing",
        number=f"reserve factor {factor(worst.reserve)} {in_case(structure, worst.case)}, at "
        f"x = {mm(case.worst_x)}{part}",
        limit=f"{structure.wanted:g}",
        why="What it carries hangs on this place in every pull-out.",
        do="Glue strips into the corners there, double the sheet, or make the section higher.",
        source=WANTED,
    )
