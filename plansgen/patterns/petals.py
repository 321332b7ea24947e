"""Skins of round bodies: between two frames a ring of sheet, unrolled whole or in petals.

Between two frames the skin is swept by straight lines. Where those make a cone the ring unrolls
without stretch; where they do not, it is cut into petals until none must stretch too much, and what
is left is told.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.bodies import FramePoint
from plansgen.airframe.build import BodyPart
from plansgen.balance.drawn import Drawn, PartRef
from plansgen.balance.elements import Moments
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns.allowance import K_FACTOR
from plansgen.patterns.develop import Developed, develop
from plansgen.patterns.flat import FlatPart, Label, Outline, signed_area
from plansgen.patterns.naming import key_of
from plansgen.patterns.panel import Layer, layers_of, share_note
from plansgen.patterns.refold import folded_back
from plansgen.patterns.seams import EdgeRef, Refold, Seam
from plansgen.patterns.unrolled import Pose
from plansgen.patterns.weights import between_rails, both_sides, of_sheet, on_pose
from plansgen.patterns.wraps import plain

Array = NDArray[np.float64]

LIMIT = 0.005
"""A ring is cut into more petals while one must stretch by more than this."""

COUNTS = (1, 4, 8, 12)
"""Into how many petals a ring may be cut."""

_AROUND = 240  # straight lines round a ring


@dataclass(frozen=True, eq=False)
class Petal:
    """A ring or one of its petals as a flat part."""

    part: FlatPart
    refold: Refold
    seams: tuple[Seam, ...]


def petals_of(
    body: BodyPart, parts: Sequence[Part], materials: Mapping[str, Material]
) -> list[Petal]:
    """The skins of a round body, outside first, nose first.

    A cover of ``all``, or of sides, top and bottom, is one skin all round; ends are flat discs.
    """
    found: list[Petal] = []
    around = [layer for layer in layers_of(parts, materials) if layer.face == "starboard"]
    for layer in around:
        inset = layer.depth + layer.thickness * (1.0 - K_FACTOR)
        for number, (fore, aft) in enumerate(pairwise(body.frames), 1):
            found += _ring(body, layer, materials, (fore, aft), inset, number)
    for layer in layers_of(parts, materials):
        if layer.face in ("front", "rear"):
            frame = body.frames[0 if layer.face == "front" else -1]
            found.append(_disc(body, layer, materials, frame))
    return found


def _ellipse(frame: FramePoint, inset: float, angles: Array) -> Array:
    a, b = frame.width / 2 - inset, frame.height / 2 - inset
    y, z = frame.y + a * np.sin(angles), frame.z - b * np.cos(angles)
    return np.column_stack([np.full_like(angles, frame.x), y, z])


def _ring(
    body: BodyPart,
    layer: Layer,
    materials: Mapping[str, Material],
    ends: tuple[FramePoint, FramePoint],
    inset: float,
    number: int,
) -> list[Petal]:
    """One bay, in as few petals as its stretch allows; it is parted underneath.

    A skin all round that is drawn for the sides alone is not all theirs: only a part that covers
    everything is counted by its drawing.
    """
    part = layer.part
    for count in COUNTS:
        sheets = [_sheet(ends, inset, n, count) for n in range(count)]
        if max(sheet.misfit.stretch for sheet in sheets) <= LIMIT:
            break
    title = f"{part.name}, bay {number}"
    flats = []
    for n, sheet in enumerate(sheets, 1):
        name = title if count == 1 else f"{title}, petal {n} of {count}"
        flats.append((name, sheet))
    found = []
    for name, sheet in flats:
        key = key_of(body.key, name)
        outline = _outline(sheet)
        flat = FlatPart(
            key=key,
            name=name,
            material=part.material,
            thickness=layer.thickness,
            outline=outline,
            labels=(Label(*sheet.at((len(sheet.near) - 1) / 2, 0.92), "front", size=0.003),),
            count=1,
            mirrored=1 if body.mirrored else 0,
            note=" ".join(filter(None, (_note(sheet, count), share_note(part)))),
        )
        if part.cover == "all":
            shape = between_rails(sheet.near, sheet.far)
            flat = replace(flat, drawn=_drawn(body, layer, materials, shape, flat))
        refold = Refold(key, _rolled(sheet), folded_back(sheet), sheet.misfit.stretch)
        found.append(Petal(flat, refold, ()))
    return [
        replace(petal, seams=(_seam(petal.part, sheets[n], other.part, sheets[n + 1 - count]),))
        for n, (petal, other) in enumerate(zip(found, [*found[1:], found[0]], strict=True))
    ]


def _drawn(
    body: BodyPart,
    layer: Layer,
    materials: Mapping[str, Material],
    shape: Moments,
    flat: FlatPart,
) -> tuple[Drawn]:
    """A piece in its place, with its mirror image where there is one."""
    ref, part = PartRef(body.key, layer.index), layer.part
    shape = both_sides(shape, mirrored=body.mirrored)
    return (of_sheet(ref, part, materials[part.material], shape, area=flat.area * flat.pieces),)


def _sheet(ends: tuple[FramePoint, FramePoint], inset: float, n: int, count: int) -> Developed:
    steps = _AROUND // count
    angles = np.linspace(2 * np.pi * n / count, 2 * np.pi * (n + 1) / count, steps + 1)
    aft, fore = (_ellipse(frame, inset, angles) for frame in reversed(ends))
    return develop(aft, fore)


def _rolled(sheet: Developed) -> float:
    """How far the edges are off when the sheet is rolled up by its triangles. [m]"""
    off = 0.0
    for flat, solid in ((sheet.flat_near, sheet.near), (sheet.flat_far, sheet.far)):
        back = sheet.rolled([(float(x), float(y)) for x, y in flat])
        off = max(off, float(np.linalg.norm(back - solid, axis=1).max()))
    return off


def _outline(sheet: Developed) -> Outline:
    loop = np.vstack([sheet.flat_near, sheet.flat_far[::-1]])
    outline = plain(tuple((float(x), float(y)) for x, y in loop))
    return outline if signed_area(outline) > 0 else outline[::-1]


def _note(sheet: Developed, count: int) -> str:
    stretch = sheet.misfit.stretch * 100
    pieces = "In one piece, parted underneath." if count == 1 else f"{count} petals round the body."
    if stretch < 0.01:
        return f"{pieces} It rolls up without stretch."
    return f"{pieces} It must give by {stretch:.2f} % somewhere: dampen or warm it, and go slowly."


def _seam(part: FlatPart, sheet: Developed, other: FlatPart, beside: Developed) -> Seam:
    """The straight edges of two petals, or of a ring that is one piece, that meet."""
    ends = []
    for one, flat, n in ((part, sheet, -1), (other, beside, 0)):
        edge = tuple((float(x), float(y)) for x, y in (flat.flat_near[n], flat.flat_far[n]))
        ends.append(EdgeRef(one.key, "straight edge", edge))
    name = f"{part.name} to {other.name}" if part is not other else f"{part.name}, underneath"
    return Seam(name, ends[0], ends[1], "butt")


def _disc(
    body: BodyPart, layer: Layer, materials: Mapping[str, Material], frame: FramePoint
) -> Petal:
    part, face = layer.part, layer.face
    angles = np.linspace(0.0, 2 * np.pi, _AROUND + 1)[:-1]
    outline = plain(
        tuple(
            (frame.width / 2 * math.cos(a), frame.height / 2 * math.sin(a)) for a in angles.tolist()
        )
    )
    name = f"{part.name}, {face}" if part.cover == "all" else part.name
    key = key_of(body.key, name)
    flat = FlatPart(
        key=key,
        name=name,
        material=part.material,
        thickness=layer.thickness,
        outline=outline,
        mirrored=1 if body.mirrored else 0,
    )
    inward = (1.0 if face == "front" else -1.0, 0.0, 0.0)
    pose = Pose((frame.x, frame.y, frame.z), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), inward)
    shape = on_pose(flat.polygon, pose, deep=layer.depth + layer.thickness / 2)
    flat = replace(flat, drawn=_drawn(body, layer, materials, shape, flat))
    return Petal(flat, Refold(key, 0.0), ())
