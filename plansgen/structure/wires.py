"""A braced wing, solved as the statically indeterminate frame that it is.

For every case: what each strut and wire carries, which go slack, and what is left to the wing.

Source: the direct stiffness method (see ``frame``); names after any text on rigging.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated, Literal

from plansgen.airframe.build import LiftingSurface
from plansgen.library.models import DesignFile
from plansgen.library.tables import Material
from plansgen.quantity import Quantity
from plansgen.structure.braced_half import BracedHalf, CaseLoads, WingBeam, wing_beam
from plansgen.structure.braces import Brace, Vector, find_braces
from plansgen.structure.cases import is_service
from plansgen.structure.frame import FrameAnswer, NodeLoad, UnstableFrame, solve_all
from plansgen.structure.reserve import CAP, reserve_factor

if TYPE_CHECKING:
    from plansgen.structure.members import Members

_MOST_BRACES = 24  # on one half: more than two bays of a biplane have
USUAL_DIAMETERS = (
    *(0.0003, 0.0004, 0.0005, 0.0006, 0.0008, 0.001, 0.0012, 0.0015),
    *(0.002, 0.0025, 0.003, 0.004),
)
"""Wire and line as sold. [m]"""


@dataclass(frozen=True)
class BraceForce:
    """One brace in one case. force: of each of ``count``; minus when pushed."""

    part: str
    name: str
    force: Annotated[float, Quantity("N", "Force in it, pull positive", "structure-wires")]
    slack: bool
    reserve: Annotated[float, Quantity("1", "Reserve factor", "structure-wires")]


@dataclass(frozen=True)
class BracedCase:
    """All braces in one case, and the loads that they leave to the wing.

    preload: the least rigged tension, the same in all wires, that keeps every wire tight; None
    where there is no wire, or one has nothing to pull against.
    """

    case: str
    forces: tuple[BraceForce, ...]
    loads: CaseLoads
    tips: Annotated[Mapping[str, float], Quantity("m", "Tip moves up", "structure-wires")]
    preload: Annotated[float | None, Quantity("N", "Least preload, each wire", "structure-preload")]


@dataclass(frozen=True)
class BraceResult:
    """One strut or wire over the cases of service.

    push_strength: None for a wire. least_diameter: of the usual ones, with the wanted reserve in
    all of them; None for a tube or flat strut, or when none does.
    """

    part: str
    name: str
    kind: Literal["strut", "wire"]
    material: str
    count: int
    start: Vector
    end: Vector
    length: Annotated[float, Quantity("m", "Length", "given-by-designer")]
    pull_strength: Annotated[float, Quantity("N", "Breaking load", "structure-wire-strength")]
    push_strength: Annotated[
        float | None, Quantity("N", "Greatest push it stands", "structure-strut-buckling")
    ]
    worst_case: str
    worst_force: Annotated[float, Quantity("N", "Force in it then", "structure-wires")]
    reserve: Annotated[float, Quantity("1", "Least reserve factor", "structure-wires")]
    diameter: Annotated[float | None, Quantity("m", "Diameter", "given-by-designer")]
    least_diameter: Annotated[
        float | None, Quantity("m", "Least diameter, of the usual ones", "structure-wire-size")
    ]


@dataclass(frozen=True)
class Bracing:
    """A braced wing. roots: how each held surface was taken at its root. notes: in words."""

    braces: tuple[BraceResult, ...]
    cases: tuple[BracedCase, ...]
    roots: Mapping[str, Literal["clamped", "hinged"]]
    notes: tuple[str, ...]

    def case(self, key: str) -> BracedCase:
        """The case of that key.

        Raises:
            KeyError: there is none.
        """
        return {case.case: case for case in self.cases}[key]


def _force(brace: Brace, total: float, *, slack: bool) -> BraceForce:
    force = total / brace.count
    strength = brace.pull_strength if force >= 0 else brace.push_strength
    reserve = CAP if slack else reserve_factor(strength=strength, load=force)
    return BraceForce(brace.part, brace.name, force, slack, reserve)


def _forces(half: BracedHalf, answer: FrameAnswer) -> tuple[BraceForce, ...]:
    return tuple(
        _force(brace, answer.tension[half.bar(n)], slack=half.bar(n) in answer.slack)
        for n, brace in enumerate(half.braces)
    )


def _case(
    half: BracedHalf, key: str, case: CaseLoads, answer: FrameAnswer, preload: float | None
) -> BracedCase:
    tips = {key: answer.moved[row.name(len(row.spans) - 1)][2] for key, row in half.rows.items()}
    return BracedCase(
        case=key,
        forces=_forces(half, answer),
        loads=half.changed(case, answer),
        tips=tips,
        preload=preload,
    )


def _resized(brace: Brace, diameter: float) -> Brace:
    area, second = math.pi / 4 * diameter**2, math.pi / 64 * diameter**4
    return replace(brace, diameter=diameter, area=area, second_moment=second)


def _least_diameter(
    half: BracedHalf,
    beams: Sequence[WingBeam],
    number: int,
    loads: Sequence[Sequence[NodeLoad]],
    want: float,
) -> float | None:
    """The thinnest usual wire with the wanted reserve in every case; the others stay as they are.

    A thicker wire is stiffer and so draws more load: each size is solved anew.
    """
    if half.braces[number].diameter is None:
        return None
    for diameter in USUAL_DIAMETERS:
        braces = list(half.braces)
        braces[number] = _resized(braces[number], diameter)
        other = BracedHalf(beams, braces)
        frame, _ = other.set_up()
        found = [_forces(other, answer)[number] for answer in solve_all(frame, loads)]
        if all(force.reserve >= want for force in found):
            return diameter
    return None


def solve_bracing(
    beams: Sequence[WingBeam],
    braces: Sequence[Brace],
    loads: Mapping[str, CaseLoads],
    *,
    wanted: float,
) -> Bracing:
    """Solve a braced half model in every case.

    loads: by key of case and key of surface. wanted: reserve factor for the least wire.

    Raises:
        UnstableFrame: something moves without resistance.
    """
    found = [_solve_group(beams, group, loads, wanted=wanted) for group in _groups(braces)]
    cases = zip(*(one.cases for one in found), strict=True)
    return Bracing(
        braces=tuple(result for one in found for result in one.braces),
        cases=tuple(_merged(parts) for parts in cases),
        roots={key: root for one in found for key, root in one.roots.items()},
        notes=tuple(dict.fromkeys(note for one in found for note in one.notes)),
    )


def _surfaces_of(brace: Brace) -> set[str]:
    return {end.surface for end in brace.ends if end is not None}


def _groups(braces: Sequence[Brace]) -> list[list[Brace]]:
    """Braces that hang together through the surfaces they hold; each group is its own frame."""
    groups: list[tuple[set[str], list[Brace]]] = []
    for brace in braces:
        surfaces, members = _surfaces_of(brace), [brace]
        apart = []
        for other, others in groups:
            if other & surfaces:
                surfaces, members = surfaces | other, [*others, *members]
            else:
                apart.append((other, others))
        groups = [*apart, (surfaces, members)]
    return [members for _, members in groups]


def _merged(parts: Sequence[BracedCase]) -> BracedCase:
    """One case of several groups together."""
    loads = dict(parts[0].loads)
    for part in parts:
        loads |= {key: part.loads[key] for key in part.tips if key in part.loads}
    known = [part.preload for part in parts if part.preload is not None]
    return BracedCase(
        case=parts[0].case,
        forces=tuple(force for part in parts for force in part.forces),
        loads=loads,
        tips={key: tip for part in parts for key, tip in part.tips.items()},
        preload=max(known, default=None),
    )


def _solve_group(
    beams: Sequence[WingBeam],
    braces: Sequence[Brace],
    loads: Mapping[str, CaseLoads],
    *,
    wanted: float,
) -> Bracing:
    held = {surface for brace in braces for surface in _surfaces_of(brace)}
    used = [beam for beam in beams if beam.surface.key in held]
    half = BracedHalf(used, braces)
    frame, as_set = half.set_up()
    nodal = [half.loads(case) for case in loads.values()]
    rows = zip(loads.items(), solve_all(frame, nodal), half.preloads(nodal), strict=True)
    cases = tuple(_case(half, key, case, answer, preload) for (key, case), answer, preload in rows)
    asked = [at for at, key in enumerate(loads) if is_service(key)] or list(range(len(cases)))
    notes = []
    if not as_set:
        notes.append(
            "The wires cannot be set to the preload given: they have nothing to pull against. They "
            "are taken without preload."
        )
    results = []
    for number, brace in enumerate(half.braces):
        worst = min((cases[at] for at in asked), key=lambda case: case.forces[number].reserve)
        force = worst.forces[number]
        results.append(
            BraceResult(
                part=brace.part,
                name=brace.name,
                kind=brace.kind,
                material=brace.material,
                count=brace.count,
                start=brace.start,
                end=brace.end,
                length=brace.length,
                pull_strength=brace.pull_strength,
                push_strength=brace.push_strength if brace.kind == "strut" else None,
                worst_case=worst.case,
                worst_force=force.force,
                reserve=force.reserve,
                diameter=brace.diameter,
                least_diameter=_least_diameter(
                    half, used, number, [nodal[at] for at in asked], wanted
                ),
            )
        )
    return Bracing(
        braces=tuple(results),
        cases=cases,
        roots={beam.surface.key: "hinged" if beam.hinged else "clamped" for beam in used},
        notes=tuple(notes),
    )


def work_out_bracing(
    design: DesignFile,
    surfaces: Sequence[LiftingSurface],
    materials: Mapping[str, Material],
    members: Mapping[str, Members],
    loads: Mapping[str, CaseLoads],
    *,
    loose: Collection[str] = ("bench",),
) -> Bracing | None:
    """The bracing of a design in every case, or None when nothing braces a surface.

    members: by key of surface; surfaces without are not braced. loads: by key of case and of
    surface. loose: keys of cases in which the wing is off its body, so that no brace holds it.
    The wanted reserve is the design's.

    Raises:
        ValueError: more struts and wires than can be worked out.
        UnstableFrame: they do not hold.
    """
    loads = {key: case for key, case in loads.items() if key not in loose}
    known = [surface for surface in surfaces if surface.key in members]
    axes = {surface.key: members[surface.key].spar_share for surface in known}
    braces, left_out = find_braces(design, known, materials, axes)
    if not braces:
        return None
    if len(braces) > _MOST_BRACES:
        raise ValueError(
            f"{len(braces)} struts and wires on one half are too many to work out; "
            f"allowed: {_MOST_BRACES}"
        )
    held = {surface for brace in braces for surface in _surfaces_of(brace)}
    beams, notes = [], [f"Not counted: {words}." for words in left_out]
    for surface in known:
        if surface.key not in held:
            continue
        hinged = _hinged(design, surface)
        beams.append(wing_beam(surface, members[surface.key], hinged=hinged))
        if hinged:
            notes.append(
                f"No part of the {surface.title} joins its halves at the centre, so it is taken as "
                "hinged there: the bracing alone holds it up."
            )
    try:
        found = solve_bracing(beams, braces, loads, wanted=design.structure.reserve)
    except UnstableFrame:
        if not any(beam.hinged for beam in beams):
            raise
        beams = [replace(beam, hinged=False) for beam in beams]
        notes.append(
            "Hinged at the centre it would fold: where the wires go slack nothing holds it. The "
            "numbers are for halves that are joined; give it a brace with joins: 0."
        )
        found = solve_bracing(beams, braces, loads, wanted=design.structure.reserve)
    return replace(found, notes=(*notes, *found.notes))


def loads_left(bracing: Bracing | None, loads: Mapping[str, CaseLoads]) -> dict[str, CaseLoads]:
    """The loads that the wings themselves must carry: as they are, where nothing braces them."""
    braced = {case.case: case.loads for case in bracing.cases} if bracing else {}
    return {key: braced.get(key, case) for key, case in loads.items()}


def _hinged(design: DesignFile, surface: LiftingSurface) -> bool:
    """Whether the two halves of a wing are not joined at the centre by any part told so.

    A tail is taken as one piece: its sheet and its spar run through.
    """
    joints = [part.joins for part in design.surfaces[surface.key].parts if part.joins is not None]
    return surface.mirrored and surface.role == "wing" and not any(j < 1e-3 for j in joints)
