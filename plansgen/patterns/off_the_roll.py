"""What is bought by length or by area: tape, and film or paper that no sheet size is known of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.build import Airframe, BodyPart, LiftingSurface
from plansgen.airframe.inside import is_sheet
from plansgen.balance.placing import placed
from plansgen.library.models import DesignFile, Part
from plansgen.library.tables import Material
from plansgen.patterns.flat import FlatPart
from plansgen.patterns.strips import CutPiece
from plansgen.quantity import Quantity


@dataclass(frozen=True)
class RollAmount:
    """How much of one material, as the model carries it: without overlaps, edges and waste.

    length: of tape; 0 for what is bought by area. area: of film, paper and sheet; 0 for tape.
    pieces: how many it comes to.
    """

    material: str
    pieces: int
    length: Annotated[float, Quantity("m", "Length", "pattern-roll")] = 0.0
    area: Annotated[float, Quantity("m²", "Area", "pattern-roll")] = 0.0


def off_the_roll(
    file: DesignFile,
    airframe: Airframe,
    materials: Mapping[str, Material],
    *,
    parts: Sequence[FlatPart],
    cut_list: Sequence[CutPiece],
) -> tuple[RollAmount, ...]:
    """Add up tape by length, and by area all that lies on no sheet of the layout.

    Args:
        file: The design.
        airframe: Its geometry, for covers that have no pattern.
        materials: By id.
        parts: Flat parts whose material comes in no known size of sheet.
        cut_list: Of everything.

    Returns:
        Tapes, then films, papers and sheets, each kind in the order in which it is first used.
    """
    tapes: dict[str, list[float]] = {}
    for piece in cut_list:
        if materials[piece.material].kind == "tape":
            tapes.setdefault(piece.material, []).extend([piece.length] * piece.count)
    areas: dict[str, list[float]] = {}
    for part in parts:
        areas.setdefault(part.material, []).extend([part.area] * part.pieces)
    for material, area, count in _without_pattern(file, airframe, materials):
        areas.setdefault(material, []).extend([area] * count)
    return (
        *(RollAmount(key, len(each), length=sum(each)) for key, each in tapes.items()),
        *(RollAmount(key, len(each), area=sum(each)) for key, each in areas.items()),
    )


def _without_pattern(
    file: DesignFile, airframe: Airframe, materials: Mapping[str, Material]
) -> Iterator[tuple[str, float, int]]:
    """Material, area of one and count of the parts that there is no pattern of. [m²]"""
    owners: list[tuple[Sequence[Part], LiftingSurface | BodyPart | None]] = [
        *((file.surfaces[s.key].parts, s) for s in airframe.surfaces),
        *((file.bodies[b.key].parts, b) for b in airframe.bodies),
        (file.parts, None),
    ]
    for parts, owner in owners:
        sides = 2 if owner is not None and owner.mirrored else 1
        for part in parts:
            film = isinstance(owner, BodyPart) and not is_sheet(materials[part.material])
            if part.area is not None or (part.cover is not None and film):
                amount, _, _ = placed(part, owner)
                # A mirrored surface's cover is counted for one half, a body's for one body.
                yield part.material, amount * part.share, part.count * sides
