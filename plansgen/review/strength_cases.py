"""What holds how well in which case, in one list, and how that is told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from plansgen.review.finding import Severity
from plansgen.review.words import mm
from plansgen.structure.cases import CRASHES, LoadCase, is_service
from plansgen.structure.joints import JointResult
from plansgen.structure.reserve import CAP
from plansgen.structure.result import StructureResult
from plansgen.structure.strength import FailureKind, SurfaceStrength, Weakest

LIMIT = "pull-up"  # key of the pull-up at the designer's limit
_NO_BENDING = 1e-9  # N m
FULL = "full-pull"  # of all that the wing can pull
GLUE = "the glue of "  # before the name of a brace
WHEN = {
    LIMIT: "in the pull-up at its limit",
    FULL: "at all the wing can pull",
    "push": "in the inverted push",
    "gust-up": "in a gust from below",
    "gust-down": "in a gust from above",
    "side-gust": "in a gust from the side",
    "elevator-nose-up": "with full elevator, nose up, at once",
    "elevator-nose-down": "with full elevator, nose down, at once",
    "rudder-one-way": "with full rudder at once",
    "hand-launch": "in a hand launch",
    "nose": "in a landing on the nose",
    "wing-tip": "in a landing on one wing tip",
    "bench": "lifted by one tip on the bench",
}
HOW: dict[FailureKind, str] = {
    "tension": "is pulled apart",
    "compression": "is crushed",
    "shear": "shears",
    "wrinkling": "wrinkles in its face",
    "buckling": "buckles",
}


@dataclass(frozen=True)
class Held:
    """One thing in one case. what: the thing and how it gives, in words."""

    what: str
    case: str
    reserve: float


def severity_of(held: Iterable[Held]) -> Severity:
    """Severe where something breaks in the pull-up at the limit, else caution."""
    breaks = any(one.case == LIMIT and one.reserve < 1.0 for one in held)
    return "severe" if breaks else "caution"


def capital(words: str) -> str:
    """The same words to begin a sentence with."""
    return words[:1].upper() + words[1:]


def factor(reserve: float) -> str:
    """A reserve factor as told."""
    return f"{reserve:.2f}" if reserve < 10 else f"{reserve:.0f}"


def case_of(structure: StructureResult, key: str) -> LoadCase | None:
    """A load case by its key; None where no surface has it."""
    cases = (case.case for surface in structure.surfaces for case in surface.cases)
    return next((case for case in cases if case.key == key), None)


def in_case(structure: StructureResult, key: str) -> str:
    """When a case happens, to go on a sentence with."""
    if key in WHEN:
        return WHEN[key]
    case = case_of(structure, key)
    return f"in the case of: {key if case is None else case.title}"


def where(place: Weakest) -> str:
    """The weakest place of a surface and how it gives."""
    at = "at the root" if place.span < 0.0005 else f"{mm(place.span)} out"
    return f"{at}, where {place.part} {HOW[place.kind]}"


def flown(surface: SurfaceStrength) -> tuple[Weakest, ...]:
    """The weakest place in each case that a surface must stand."""
    return tuple(case.weakest for case in surface.cases if is_service(case.case.key))


def is_weak(structure: StructureResult, surface: SurfaceStrength) -> bool:
    """Whether a surface misses the wanted reserve in flight, or breaks if its material is weak."""
    return any(place.reserve < structure.wanted or place.low < 1.0 for place in flown(surface))


# --- everything in one list ------------------------------------------------------------------


def of_surface(surface: SurfaceStrength) -> tuple[Held, ...]:
    """A surface in each of its cases."""
    return tuple(
        Held(f"the {surface.title}, {where(case.weakest)}", case.case.key, case.weakest.reserve)
        for case in surface.cases
    )


@dataclass(frozen=True)
class JointCase:
    """A joint in one case. brace, glue: their reserve factors; glue None where not known."""

    case: str
    brace: float
    glue: float | None

    @property
    def reserve(self) -> float:
        """The lesser of both."""
        return min(self.brace, CAP if self.glue is None else self.glue)


def joint_cases(structure: StructureResult, joint: JointResult) -> tuple[JointCase, ...]:
    """A joint in every case, from the one that asks most of it.

    The brace's stress goes with the bending through the joint, and so, nearly, does the glue's: the
    shear, which helps or adds a little over the length of an overlap, is taken to go with it.
    """
    surface = next(one for one in structure.surfaces if one.surface == joint.surface)
    found = []
    for case in surface.cases:
        bending = abs(float(np.interp(joint.span, case.spans, case.bending)))
        share = abs(joint.bending) / bending if bending > _NO_BENDING else CAP
        if abs(joint.bending) <= _NO_BENDING:
            share = 1.0  # at the very tip, where no case bends it
        glue = None if joint.glue_reserve is None else min(CAP, joint.glue_reserve * share)
        found.append(JointCase(case.case.key, min(CAP, joint.brace_reserve * share), glue))
    return tuple(found)


def of_joint(structure: StructureResult, joint: JointResult) -> tuple[Held, ...]:
    """A joint in each case."""
    found = []
    for case in joint_cases(structure, joint):
        glued = case.glue is not None and case.glue < case.brace
        what = f"{GLUE}{joint.part}" if glued else joint.part
        found.append(Held(what, case.case, case.reserve))
    return tuple(found)


def _others(structure: StructureResult) -> Iterator[Held]:
    for held in structure.hold_downs:
        for hold in held.cases:
            if not (held.lets_go and hold.case in CRASHES):
                yield Held(f"what holds the {held.title} on", hold.case, hold.reserve)
    for braced in structure.bracing.cases if structure.bracing else ():
        for force in braced.forces:
            yield Held(force.name, braced.case, force.reserve)
    for boom in structure.booms:
        for bent in boom.cases:
            yield Held(f"the {boom.title}", bent.case, bent.reserve)


def everything(structure: StructureResult) -> tuple[Held, ...]:
    """Surfaces, joints, hold-down, bracing and bodies in every case."""
    surfaces = (held for surface in structure.surfaces for held in of_surface(surface))
    joints = (held for joint in structure.joints for held in of_joint(structure, joint))
    return (*surfaces, *joints, *_others(structure))
