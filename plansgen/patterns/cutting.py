"""All parts of a design cut from sheet and stick, before they are laid out and before the balance.

The balance counts parts by their drawings, so nothing here may need it: balance marks are where the
design wants the model to balance, not where it does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from plansgen.airframe.build import Airframe
from plansgen.balance.drawn import Drawn, PartRef, by_part
from plansgen.library.design import Design
from plansgen.library.models import DesignFile
from plansgen.library.tables import Material
from plansgen.patterns.body_parts import BodyParts, body_parts
from plansgen.patterns.flat import FlatPart
from plansgen.patterns.naming import unique
from plansgen.patterns.seams import EdgeRef, Seam
from plansgen.patterns.step_of import step_of
from plansgen.patterns.strips import CutPiece
from plansgen.patterns.surface_parts import SurfaceParts, surface_parts


@dataclass(frozen=True)
class CutParts:
    """What a design is cut from, with what is needed to prove that it fits.

    parts: flat parts of surfaces, then of bodies, with their build steps; every key once. cut_list:
    sticks, tubes, wires and tapes.
    """

    surfaces: SurfaceParts
    bodies: BodyParts
    parts: tuple[FlatPart, ...]
    cut_list: tuple[CutPiece, ...]

    @cached_property
    def drawn(self) -> Mapping[PartRef, Drawn]:
        """What each part of the design that is cut weighs and where, for the balance."""
        flat = (one for part in self.parts for one in part.drawn)
        sawn = (one for piece in self.cut_list for one in piece.drawn)
        return by_part((*flat, *sawn))


def cut_parts(design: Design, airframe: Airframe) -> CutParts:
    """Cut a design's parts.

    Raises:
        ValueError: a shape cannot be unrolled.
    """
    cut = cut_file(design.file, airframe, design.materials)
    return replace(cut, parts=tuple(_named(part, design) for part in cut.parts))


def cut_file(file: DesignFile, airframe: Airframe, materials: Mapping[str, Material]) -> CutParts:
    """Cut the parts of a design file that has no build steps yet.

    Raises:
        ValueError: a shape cannot be unrolled.
    """
    surfaces = surface_parts(file, airframe, materials)
    bodies = _apart(surfaces, body_parts(file, airframe, materials))
    parts = (*surfaces.parts, *bodies.parts)
    return CutParts(surfaces, bodies, parts, (*surfaces.cut_list, *bodies.cut_list))


def _named(part: FlatPart, design: Design) -> FlatPart:
    """A part with its build step, and its step and material in a builder's words."""
    step = step_of(design, part.key, part.name)
    titles = (
        f"step {number}: {one.head.title}"
        for number, one in enumerate(design.steps, 1)
        if one.key == step
    )
    stuff = design.materials[part.material].name
    return replace(part, step=step, used=next(titles, ""), stuff=stuff)


# --- keys ------------------------------------------------------------------------------------


def _apart(surfaces: SurfaceParts, bodies: BodyParts) -> BodyParts:
    """Bodies whose keys are those of no surface part, and each its own."""
    taken = [p.key for p in surfaces.parts] + [c.key for c in surfaces.cut_list]
    old = [p.key for p in bodies.parts] + [c.key for c in bodies.cut_list]
    new = unique([*taken, *old])[len(taken) :]
    if new == old:
        return bodies
    twice = {key for key, count in Counter(old).items() if count > 1}
    # A key that two bodies use stays with the first of them in seams, which name no body.
    names = dict(reversed([(a, b) for a, b in zip(old, new, strict=True) if a not in twice]))

    def edge(ref: EdgeRef) -> EdgeRef:
        return replace(ref, part=names.get(ref.part, ref.part))

    def seam(one: Seam) -> Seam:
        return replace(one, a=edge(one.a), b=edge(one.b))

    count = len(bodies.parts)
    parts = tuple(replace(p, key=k) for p, k in zip(bodies.parts, new[:count], strict=True))
    return replace(
        bodies,
        parts=parts,
        cut_list=tuple(
            replace(c, key=k) for c, k in zip(bodies.cut_list, new[count:], strict=True)
        ),
        seams=tuple(seam(one) for one in bodies.seams),
        refolds=tuple(replace(r, part=names.get(r.part, r.part)) for r in bodies.refolds),
        slots=tuple(replace(s, part=names.get(s.part, s.part)) for s in bodies.slots),
        panels=tuple(
            replace(p, part=replace(p.part, key=names.get(p.part.key, p.part.key)))
            for p in bodies.panels
        ),
        formers=tuple(
            replace(f, part=replace(f.part, key=names.get(f.part.key, f.part.key)))
            for f in bodies.formers
        ),
    )
