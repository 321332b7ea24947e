"""Which sticks, tubes and wires are bought, and what is sawn from each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plansgen.library.models import DesignFile
from plansgen.library.tables import Material
from plansgen.patterns.sticks import CutList, StickPiece, cut_list
from plansgen.patterns.stock import StockStick, sticks_of
from plansgen.patterns.strips import CutPiece

SAWN = ("stick", "tube", "wire")
"""Kinds of material that come in lengths; tape comes from a roll."""


@dataclass(frozen=True)
class StickCuts:
    """One material and size: the stick it is bought as, and how it is cut."""

    material: str
    size: str
    stick: StockStick
    cuts: CutList


def stick_cuts(
    file: DesignFile, pieces: Sequence[CutPiece], materials: Mapping[str, Material]
) -> tuple[StickCuts, ...]:
    """Group pieces by material and size, and cut each group from its stick.

    A piece that tapers is cut from a stick of its larger end.
    """
    groups: dict[tuple[str, str], list[CutPiece]] = {}
    for piece in pieces:
        if materials[piece.material].kind in SAWN:
            groups.setdefault((piece.material, piece.size.split(" to ")[0]), []).append(piece)
    found = []
    for (material, size), group in groups.items():
        stock = sticks_of(file, material, size)
        stick = StockStick(
            name=f"{materials[material].name}, {size}" if stock.assumed else stock.name,
            material=material,
            length=stock.length,
            price=stock.price,
            currency=stock.currency,
            assumed=stock.assumed,
        )
        wanted = [StickPiece(one.name, one.length, one.count) for one in group]
        cuts = cut_list(wanted, stick=stick.length, kerf=file.nesting.kerf)
        found.append(StickCuts(material, size, stick, cuts))
    return tuple(found)
