"""Advice on what holds a wing together and on: braces of joints, wires, fasteners.

Joints, bracing and hold-down solve their own least sizes. Here each change is put into the design
and that answer worked out anew, so that the reserve factor told with it is the one it gives.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from plansgen.library.models import DesignFile, Part
from plansgen.library.models.parts import StickSize
from plansgen.structure.hold_down import HoldDownResult
from plansgen.structure.joints import JointResult
from plansgen.structure.reserve import CAP
from plansgen.structure.strength import Suggestion
from plansgen.structure.suggest import STEP, mm
from plansgen.structure.wires import BraceResult, Bracing

_OVERLAP = 1e-3  # m; overlaps are told in whole millimetres


@dataclass(frozen=True)
class Anew:
    """Works out one answer for a changed design, under the same loads."""

    joints: Callable[[DesignFile], Sequence[JointResult]]
    bracing: Callable[[DesignFile], Bracing | None]
    holds: Callable[[DesignFile], Sequence[HoldDownResult]]


def with_part(design: DesignFile, name: str, change: Callable[[Part], Part]) -> DesignFile:
    """The design with every part of that name changed."""

    def changed(parts: Sequence[Part]) -> tuple[Part, ...]:
        return tuple(change(part) if part.name == name else part for part in parts)

    surfaces = {
        key: surface.model_copy(update={"parts": changed(surface.parts)})
        for key, surface in design.surfaces.items()
    }
    bodies = {
        key: body.model_copy(update={"parts": changed(body.parts)})
        for key, body in design.bodies.items()
    }
    return design.model_copy(
        update={"surfaces": surfaces, "bodies": bodies, "parts": changed(design.parts)}
    )


def other_suggestions(
    design: DesignFile,
    *,
    joints: Sequence[JointResult],
    bracing: Bracing | None,
    holds: Sequence[HoldDownResult],
    anew: Anew,
) -> tuple[Suggestion, ...]:
    """What brings the wanted reserve where joints, bracing or hold-down miss it."""
    found: list[Suggestion] = []
    for number, joint in enumerate(joints):
        found += [*_taller(design, number, joint, anew), *_longer(design, number, joint, anew)]
    for number, brace in enumerate(bracing.braces if bracing else ()):
        found += _thicker(design, number, brace, anew)
    for number, held in enumerate(holds):
        found += _more(design, number, held, anew)
    return tuple(found)


def _up(value: float, step: float) -> float:
    return math.ceil(value / step - 1e-9) * step


# --- braces of joints ------------------------------------------------------------------------


def _taller(
    design: DesignFile, number: int, joint: JointResult, anew: Anew
) -> Iterator[Suggestion]:
    wanted, least = design.structure.reserve, joint.least_height
    if joint.brace_reserve >= wanted or least is None:
        return
    size = _up(least, STEP)

    def change(part: Part) -> Part:
        return part.model_copy(update={"size": _sized(part.size, size)})

    then = anew.joints(with_part(design, joint.part, change))
    if number < len(then):
        what = "thick" if joint.stands == "round" else "high"
        words = f"Make {joint.part} {mm(size)} mm {what}, for bending"
        yield Suggestion("brace", words, then[number].brace_reserve)


def _sized(size: StickSize | None, height: float) -> StickSize | None:
    if size is None:
        return None
    if size.diameter is not None:
        bore = size.bore if size.bore is not None and size.bore < height else None
        return size.model_copy(update={"diameter": height, "bore": bore})
    return size.model_copy(update={"height": height})


def _longer(
    design: DesignFile, number: int, joint: JointResult, anew: Anew
) -> Iterator[Suggestion]:
    wanted, least = design.structure.reserve, joint.least_overlap
    if joint.glue_reserve is None or joint.glue_reserve >= wanted or least is None:
        return
    length = _up(least, _OVERLAP)

    def change(part: Part) -> Part:
        run, at = part.run, part.joins
        if run is None or at is None:
            return part
        ends = {"from_": max(min(run.from_, at - length), 0.0), "to": max(run.to, at + length)}
        return part.model_copy(update={"run": run.model_copy(update=ends)})

    then = anew.joints(with_part(design, joint.part, change))
    if number < len(then) and (reserve := then[number].glue_reserve) is not None:
        words = f"Let {joint.part} overlap {mm(length)} mm on each side of the joint, for the glue"
        yield Suggestion("brace", words, reserve)


# --- wires and fasteners ---------------------------------------------------------------------


def _thicker(
    design: DesignFile, number: int, brace: BraceResult, anew: Anew
) -> Iterator[Suggestion]:
    least = brace.least_diameter
    if brace.reserve >= design.structure.reserve or least is None:
        return
    size = least

    def change(part: Part) -> Part:
        wire = part.size.model_copy(update={"diameter": size}) if part.size else None
        return part.model_copy(update={"size": wire})

    then = anew.bracing(with_part(design, brace.part, change))
    if then is not None and number < len(then.braces):
        words = f"Make {brace.part} ({brace.name}) {mm(size)} mm thick"
        yield Suggestion("wire", words, then.braces[number].reserve)


def _more(
    design: DesignFile, number: int, held: HoldDownResult, anew: Anew
) -> Iterator[Suggestion]:
    least = held.least
    if held.reserve >= design.structure.reserve or least is None or least <= held.count:
        return
    lines = list(design.structure.hold_down)
    lines[number] = lines[number].model_copy(update={"count": least})
    structure = design.structure.model_copy(update={"hold_down": tuple(lines)})
    then = anew.holds(design.model_copy(update={"structure": structure}))
    name = held.name[:1].lower() + held.name[1:]
    words = f"Hold the {held.title} with {least} instead of {held.count} ({name})"
    yield Suggestion("hold-down", words, min(then[number].reserve, CAP))
