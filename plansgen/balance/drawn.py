"""Parts as they are really cut: what the drawn ones weigh and where, for the mass build-up.

Whoever draws parts says of each piece which part of the design it comes of; a part with a drawing
is counted by that, every other one by the estimate from planform and places.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from plansgen.balance.elements import Moments


@dataclass(frozen=True, order=True)
class PartRef:
    """A part of the design file: key of its surface or body (empty for neither), place in its list.

    The place counts from 0.
    """

    owner: str
    index: int


@dataclass(frozen=True, eq=False)
class Drawn:
    """How much of a part is drawn, all copies on both sides.

    amount: area of sheet [m²] or length of stick or strip [m], less openings that are not drawn.
    sheet: whether it is an area. moments: of its mass, in its place.
    """

    part: PartRef
    amount: float
    sheet: bool
    moments: Moments


def by_part(pieces: Iterable[Drawn]) -> Mapping[PartRef, Drawn]:
    """Everything drawn of each part as one."""
    found: dict[PartRef, Drawn] = {}
    for piece in pieces:
        sofar = found.get(piece.part)
        if sofar is not None:
            amount = sofar.amount + piece.amount
            piece = Drawn(piece.part, amount, piece.sheet, sofar.moments + piece.moments)
        found[piece.part] = piece
    return found
