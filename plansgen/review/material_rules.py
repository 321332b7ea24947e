"""Rules about materials: whose strength nobody knows, and which soften when damp."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.airframe.build import Airframe
from plansgen.library.design import Design
from plansgen.review.finding import Finding
from plansgen.review.strength_cases import factor, flown, in_case, is_weak
from plansgen.review.words import PRACTICE
from plansgen.structure.result import StructureResult

_CARRIES = ("sheet", "stick", "tube", "wire")  # kinds of material that are there for strength
LIKE = (
    "Give its material a like: with the packaged material nearest to it, and bend_tests: from a "
    "strip laid over two books."
)


def refused(structure: StructureResult | None, refusal: str) -> Iterator[Finding]:
    """Nothing can be said of the strength. refusal: why; empty where that was told elsewhere."""
    if structure is None and refusal:
        yield Finding(
            rule="strength-unknown",
            severity="note",
            title="Nobody can say whether it holds",
            number=refusal,
            limit="strength known of what runs along the wing",
            why="No margin, spar reach or static test is worked out for it.",
            do=LIKE,
            source=PRACTICE,
        )


def unknown_materials(
    design: Design, airframe: Airframe, structure: StructureResult
) -> Iterator[Finding]:
    """Parts that would carry load, if anyone knew their strength."""
    missing = set(structure.unknown)
    found = [
        (f"{part.name} of the {surface.title}", part.material)
        for surface in airframe.surfaces
        for part in design.file.surfaces[surface.key].parts
        if f"{surface.title}: {part.name}" in missing
    ]
    for boom in structure.booms:
        parts = design.file.bodies[boom.body].parts
        found += [
            (f"{p.name} of the {boom.title}", p.material) for p in parts if p.name in boom.ignored
        ]
    names = [n for n, material in found if design.materials[material].kind in _CARRIES]
    if not names:
        return
    parts_told = ", ".join(list(dict.fromkeys(names))[:4]) + (" and more" if len(names) > 4 else "")
    yield Finding(
        rule="strength-of-material",
        severity="note",
        title="Some parts are left out of the strength",
        number=parts_told,
        limit="strength known of everything that carries load",
        why="They are taken to carry nothing, so it may be stronger than told.",
        do=LIKE,
        source=PRACTICE,
    )


def damp(design: Design, structure: StructureResult) -> Iterator[Finding]:
    """Paper, board and wood that soften: the reserve left when damp.

    On water, or without paint, the wanted reserve counts; else 1. A surface that is too weak when
    dry was told of.
    """
    bare = design.file.allowance.paint is None
    wet = "water" in design.file.launches
    limit = structure.wanted if wet or bare else 1.0
    rows = [
        (place.damp, surface, place)
        for surface in structure.surfaces
        if not is_weak(structure, surface)
        for place in flown(surface)
        if place.damp is not None
    ]
    if not rows:
        return
    left, surface, place = min(rows, key=lambda row: row[0])
    if left >= limit:
        return
    yield Finding(
        rule="damp",
        severity="note",
        title="Strong enough only while it is dry",
        number=f"reserve factor of the {surface.title} {factor(place.reserve)} dry, {factor(left)} "
        f"damp, {in_case(structure, place.case)}",
        limit=f"{limit:g}"
        + (" (it flies from water)" if wet else " (no paint is told of)" if bare else ""),
        why="Paper, board and wood lose strength with the water they take up, long before they "
        "look wet.",
        do="Seal faces and cut edges with varnish or film, dry it in a warm room before you fly, "
        "and do not fly it on dewy grass or in drizzle.",
        source="damp factors of the packaged materials, each with its own source",
    )
