"""All flat parts of a design's surfaces: skins, ribs, plates, webs, and a list of what is sawn."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.balance.drawn import PartRef
from plansgen.balance.placing import placed
from plansgen.balance.target import Target, target_of
from plansgen.library.models import DesignFile, Part
from plansgen.library.tables import Material
from plansgen.patterns.allowance import sheet_thickness
from plansgen.patterns.body_openings import rectangle_opened
from plansgen.patterns.flat import FlatPart, Outline, signed_area
from plansgen.patterns.item_openings import for_items_on_surface
from plansgen.patterns.naming import key_of, unique
from plansgen.patterns.plates import plates
from plansgen.patterns.rib_seams import rib_seams
from plansgen.patterns.ribs import ribs
from plansgen.patterns.seams import Refold, Seam, SlotFit
from plansgen.patterns.skin_openings import beyond
from plansgen.patterns.skins import skin_refold, skin_seams, skins
from plansgen.patterns.solid import SurfaceSolid
from plansgen.patterns.standing import SolidFace, plate_faces, rib_faces, skin_faces
from plansgen.patterns.strips import CutPiece, line_piece, runs, size_words
from plansgen.patterns.weights import both_sides, of_run, of_sheet
from plansgen.patterns.wraps import wraps_of


@dataclass(frozen=True)
class NotDrawn:
    """A part that is on no sheet and in no cut list, and why."""

    name: str
    why: str


@dataclass(frozen=True)
class SurfaceParts:
    """What a design's surfaces and loose parts are cut from.

    parts: flat parts. cut_list: sticks, tubes, wires and tapes. seams, refolds, slots: for the fit
    report. not_drawn: what is left to the builder. misplaced: openings that do not fit, in words.
    faces: of the first of the parts, in their order, where each stands; nothing where that is not
    known.
    """

    parts: tuple[FlatPart, ...]
    cut_list: tuple[CutPiece, ...]
    seams: tuple[Seam, ...]
    refolds: tuple[Refold, ...]
    slots: tuple[SlotFit, ...]
    not_drawn: tuple[NotDrawn, ...]
    misplaced: tuple[str, ...] = ()
    faces: tuple[tuple[SolidFace, ...], ...] = field(default=(), compare=False)


def surface_parts(
    file: DesignFile, airframe: Airframe, materials: Mapping[str, Material]
) -> SurfaceParts:
    """Cut a design's surfaces, and the parts of no surface and no body, from sheet and stick."""
    target = target_of(file.balance, airframe.layout, airframe.reference)
    # Balance marks go on the first wing, which they are measured on.
    marked = next((s.key for s in airframe.surfaces if s.role == "wing"), None)
    found = [
        _surface(surface, file, materials, target if surface.key == marked else None)
        for surface in airframe.surfaces
    ]
    found.append(loose_parts(distinct(file.parts), materials, owner="", mirrored=False))
    return _named_once(together(found))


def together(found: Sequence[SurfaceParts]) -> SurfaceParts:
    """Several as one."""
    return SurfaceParts(
        parts=tuple(part for one in found for part in one.parts),
        cut_list=tuple(piece for one in found for piece in one.cut_list),
        seams=tuple(seam for one in found for seam in one.seams),
        refolds=tuple(refold for one in found for refold in one.refolds),
        slots=tuple(slot for one in found for slot in one.slots),
        not_drawn=tuple(item for one in found for item in one.not_drawn),
        misplaced=tuple(words for one in found for words in one.misplaced),
        faces=tuple(faces for one in found for faces in _faces_each(one)),
    )


def _faces_each(found: SurfaceParts) -> tuple[tuple[SolidFace, ...], ...]:
    """As many as there are parts."""
    return (*found.faces, *(() for _ in found.parts[len(found.faces) :]))


def _surface(
    surface: LiftingSurface,
    file: DesignFile,
    materials: Mapping[str, Material],
    target: Target | None,
) -> SurfaceParts:
    given = file.surfaces[surface.key]
    placed = [for_items_on_surface(p, surface, file.items) for p in distinct(given.parts)]
    given = given.model_copy(update={"parts": tuple(placed)})
    solid = SurfaceSolid(surface, given)
    wrapped = skins(solid, given.parts, materials, target)
    stood = ribs(solid, given.parts, wraps_of(given.parts, materials, solid), materials, target)
    flat = [
        plates(solid, index, given.parts, materials, target)
        for index, part in enumerate(given.parts)
        if part.cover == "plate"
    ]
    along = runs(solid, given.parts, materials)
    own = SurfaceParts(
        parts=(
            *(skin.part for skin in wrapped),
            *(part for rib in stood for part in rib.parts),
            *(part for plate in flat for part in plate.parts),
            *along.parts,
        ),
        cut_list=along.cut_list,
        seams=(
            *skin_seams(wrapped),
            *rib_seams(stood, wrapped),
            *(seam for plate in flat for seam in plate.seams),
            *along.seams,
        ),
        refolds=tuple(skin_refold(skin) for skin in wrapped),
        slots=tuple(slot for rib in stood for slot in rib.slots),
        not_drawn=(),
        misplaced=(
            *(words for skin in wrapped for words in skin.misplaced),
            *(words for plate in flat for words in plate.misplaced),
            *(
                words
                for part in given.parts
                if part.cover is not None
                for words in beyond(part, surface.stations[-1].span)
            ),
        ),
        faces=(
            *(skin_faces(skin.piece, skin.part) for skin in wrapped),
            *(rib_faces(solid, rib.span, part) for rib in stood for part in rib.parts),
            *(
                plate_faces(solid, part, moving=part.key in plate.moving)
                for plate in flat
                for part in plate.parts
            ),
            *along.faces,
        ),
    )
    loose = loose_parts(given.parts, materials, owner=surface.key, mirrored=surface.mirrored)
    return together([own, loose])


def distinct(parts: Sequence[Part]) -> tuple[Part, ...]:
    """Parts that share a name are numbered, so that a builder can tell them apart."""
    seen: Counter[str] = Counter()
    found = []
    for part in parts:
        seen[key_of(part.name)] += 1
        number = seen[key_of(part.name)]
        name = f"{part.name} ({number})" if number > 1 else part.name
        found.append(part if name == part.name else part.model_copy(update={"name": name}))
    return tuple(found)


def loose_parts(
    parts: Sequence[Part], materials: Mapping[str, Material], *, owner: str, mirrored: bool
) -> SurfaceParts:
    """Parts that are given by themselves: rectangles, drawn outlines, lines, bare amounts.

    Args:
        parts: All of a surface, a body or of neither; those that need its shape are left out.
        materials: Of the design.
        owner: Key of what they belong to.
        mirrored: Whether there is a second one on the other side.
    """
    flats: list[FlatPart] = []
    sticks: list[CutPiece] = []
    missing: list[NotDrawn] = []
    misplaced: list[str] = []
    for index, part in enumerate(parts):
        material = materials[part.material]
        key, ref = key_of(owner, part.name), PartRef(owner, index)
        if part.line is not None or part.length is not None:
            piece = _stick(part, material, key, mirrored=mirrored)
            length = piece.length * piece.count
            drawn = of_run(ref, part, material, None, mirrored=mirrored, length=length)
            sticks.append(replace(piece, drawn=(drawn,)))
        elif part.plate is not None or part.outline is not None:
            flat, wrong = _drawn(part, material, key, mirrored=mirrored)
            shape = both_sides(placed(part, None)[1], mirrored=mirrored)
            drawn = of_sheet(ref, part, material, shape, area=flat.area * flat.pieces)
            flats.append(replace(flat, drawn=(drawn,)))
            misplaced += wrong
        elif part.area is not None:
            missing.append(NotDrawn(part.name, "its shape is not given, only its area"))
    return SurfaceParts(tuple(flats), tuple(sticks), (), (), (), tuple(missing), tuple(misplaced))


def _stick(part: Part, material: Material, key: str, *, mirrored: bool) -> CutPiece:
    """A stick from point to point, or one of which only the length is given."""
    if part.line is not None:
        return line_piece(part, material, key, mirrored=mirrored)
    assert part.length is not None  # one of the two
    count = part.count * (2 if mirrored else 1)
    size = size_words(part, material)
    return CutPiece(key, part.name, part.material, size, part.length, count)


def _drawn(
    part: Part, material: Material, key: str, *, mirrored: bool
) -> tuple[FlatPart, list[str]]:
    """A rectangle or an outline as it is; in words its openings that do not fit."""
    outline: Outline
    if part.plate is not None:
        long, wide = part.plate.length, part.plate.width
        outline = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    else:
        assert part.outline is not None  # one of the two
        outline = _counter_clockwise(part.outline)
    # A rectangle with openings that lie evenly is its own mirror image; nobody needs to know.
    alike = part.plate is not None and not part.openings
    flat = FlatPart(
        key=key,
        name=part.name,
        material=part.material,
        thickness=sheet_thickness(material),
        outline=outline,
        holes=tuple(_counter_clockwise(hole) for hole in part.holes),
        count=part.count * (2 if mirrored and alike else 1),
        mirrored=part.count if mirrored and not alike else 0,
        grain=math.pi / 2 if part.grain == "across" else 0.0,
        note=(
            f"Openings are not drawn: {100 * (1 - part.share):.0f} % is cut out."
            if part.share < 1.0
            else ""
        ),
    )
    return rectangle_opened(flat, part) if part.plate is not None else (flat, [])


def _counter_clockwise(ring: Outline) -> Outline:
    return ring if signed_area(ring) > 0 else ring[::-1]


def _named_once(found: SurfaceParts) -> SurfaceParts:
    """Keys made different where names of ribs and of other parts still repeat."""
    keys = unique([*(p.key for p in found.parts), *(c.key for c in found.cut_list)])
    count = len(found.parts)
    parts = tuple(replace(p, key=k) for p, k in zip(found.parts, keys[:count], strict=True))
    sticks = tuple(replace(c, key=k) for c, k in zip(found.cut_list, keys[count:], strict=True))
    faces = tuple(
        tuple(replace(face, part=part.key) for face in own)
        for part, own in zip(parts, found.faces, strict=False)
    )
    return replace(found, parts=parts, cut_list=sticks, faces=faces)
