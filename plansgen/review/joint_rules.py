"""Rules about what holds it together and on: joints, hold-down, motor mounts."""

from __future__ import annotations

import math
from collections.abc import Iterator

from plansgen.review.finding import Finding
from plansgen.review.strength_cases import (
    Held,
    JointCase,
    capital,
    factor,
    in_case,
    joint_cases,
    severity_of,
)
from plansgen.review.strength_rules import WANTED
from plansgen.review.words import PRACTICE, mm
from plansgen.structure.cases import is_service
from plansgen.structure.joints import JointResult
from plansgen.structure.result import StructureResult

_HIGHER = 1.3  # times its height: a brace is not offered higher than this


# --- joints ------------------------------------------------------------------------------------


def joints(structure: StructureResult) -> Iterator[Finding]:
    """Braces that bend, and glue that lets go, in flight."""
    for joint in structure.joints:
        cases = [case for case in joint_cases(structure, joint) if is_service(case.case)]
        worst = min(cases, key=lambda case: case.reserve, default=None)
        if worst is None or worst.reserve >= structure.wanted:
            continue
        held = [Held(joint.part, case.case, case.reserve) for case in cases]
        yield Finding(
            rule="joint",
            severity=severity_of(held),
            title=f"{capital(joint.part)}: the joint gives before the wing should",
            number=_joint_number(structure, joint, worst),
            limit=f"{structure.wanted:g}",
            why="At a joint the brace carries all the bending; what ends there helps nothing.",
            do=_mend(structure, joint, worst),
            source=WANTED,
        )


def _joint_number(structure: StructureResult, joint: JointResult, worst: JointCase) -> str:
    lengths = [overlap.length for overlap in joint.overlaps]
    said = [f"reserve factor of the brace {factor(worst.brace)}"]
    if worst.glue is not None:
        first = f" ({joint.first} gives)" if worst.glue < worst.brace and joint.first else ""
        overlap = f" of {mm(min(lengths))} overlap" if lengths else ""
        said.append(f"of the glue{overlap} {factor(worst.glue)}{first}")
    return f"{', '.join(said)}, {in_case(structure, worst.case)}"


def _mend(structure: StructureResult, joint: JointResult, worst: JointCase) -> str:
    """What brings the wanted reserve in flight; for the glue, what does so in every case."""
    ways = []
    if worst.brace < structure.wanted:
        ways += _stronger(joint, now=worst.brace, wanted=structure.wanted)
    if worst.glue is not None and worst.glue < structure.wanted:
        ways += [
            f"{one.words}, which is enough {in_case(structure, joint.case)} too"
            if joint.case != worst.case
            else one.words
            for one in structure.suggestions
            if joint.part in one.words and "overlap" in one.words
        ]
    return f"{'. '.join(ways) or 'Make it longer, higher, or add one'}."


def _stronger(joint: JointResult, *, now: float, wanted: float) -> list[str]:
    """More of a brace or a higher one: its reserve goes with number, and height squared or cubed.

    Height is offered only where it is not much more: inside a wing there is no more.
    """
    power = 1 / 3 if joint.stands == "round" else 1 / 2
    ways = []
    if joint.stands == "flat":
        ways.append("It lies flat: stand it on edge beside the spar, as high as the wing allows")
    count = math.ceil(joint.count * wanted / now - 1e-9)
    ways.append(f"Take {count} of {joint.part} instead of {joint.count}, or thicker stock")
    if joint.least_height is not None and (wanted / now) ** power <= _HIGHER:
        # from the height that the hardest case asks for, to that of this case
        height = joint.least_height * (joint.brace_reserve / now) ** power
        what = "thick" if joint.stands == "round" else "high"
        ways.append(f"Or make it {math.ceil(height * 2000) / 2:g} mm {what}, if there is room")
    return ways


# --- hold-down and mounts ----------------------------------------------------------------------


def hold_down(structure: StructureResult) -> Iterator[Finding]:
    """Too few bands, bolts or ties; or bands so many that they do not let go in a crash."""
    for hold in structure.hold_downs:
        cases = [case for case in hold.cases if is_service(case.case)]
        worst = min(cases, key=lambda case: case.reserve, default=None)
        if worst is not None and worst.reserve < structure.wanted:
            yield Finding(
                rule="hold-down",
                severity=severity_of(Held(hold.title, c.case, c.reserve) for c in cases),
                title=f"Too little holds the {hold.title} on",
                number=f"{hold.count} of {hold.name}: reserve factor {factor(worst.reserve)} "
                f"{in_case(structure, worst.case)}",
                limit=f"{structure.wanted:g}",
                why="A wing that lifts off its seat turns the model over at once.",
                do=f"Use {worst.least} of them, or thicker ones."
                if worst.least is not None
                else "Use thicker ones, or bolts.",
                source=WANTED,
            )
        elif hold.lets_go and hold.gives_on_nose is False:
            yield Finding(
                rule="hold-down-stiff",
                severity="note",
                title=f"The {hold.title} will not come off in a crash",
                number=f"{hold.count} of {hold.name} hold on in a landing on the nose",
                limit="that they let go there",
                why="Bands are there to let the wing go before it or the body breaks.",
                do=f"{worst.least} of them are enough to fly."
                if worst is not None and worst.least is not None and worst.least < hold.count
                else "Use thinner ones, and look over wing and body after every hard landing.",
                source=PRACTICE,
            )


def mounts(structure: StructureResult) -> Iterator[Finding]:
    """Glued faces of motors, under thrust, torque and the hardest landing at once."""
    for mount in structure.mounts:
        if mount.reserve >= structure.wanted:
            continue
        area = mount.least_area
        yield Finding(
            rule="motor-mount",
            severity="caution" if mount.reserve < 1.0 else "note",
            title=f"Little glue holds {mount.item}",
            number=f"{mount.area * 1e4:.1f} cm² on {mount.to}: reserve factor "
            f"{factor(mount.reserve)}; {mount.first} gives first",
            limit=f"{structure.wanted:g}, with full thrust and a landing on the nose at once",
            why="A motor that tears off goes through the air with its propeller turning.",
            do=f"Give it {area * 1e4:.1f} cm² of glued face, or screw it to a plate that is let in."
            if area is not None
            else "Screw it to a plate that is let into the body: no glued face is enough.",
            source="combined stresses of a square glued face: elementary",
        )
