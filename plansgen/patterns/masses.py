"""What the drawn parts weigh, against the estimate from planform and places without a drawing.

Both are worked out from the same materials; what differs is the area and the length. The balance
counts drawn parts by their drawings. Parts that are not drawn are in neither.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.build import Airframe, BodyPart
from plansgen.airframe.inside import NO_WALLS, walls_of
from plansgen.balance.buildup import AsDrawn, Materials, Owner, estimated
from plansgen.balance.drawn import PartRef
from plansgen.library.models import DesignFile, Part
from plansgen.quantity import Quantity


@dataclass(frozen=True)
class OwnerMass:
    """Parts of one surface or body (or of none), both sides."""

    title: str
    parts: Annotated[float, Quantity("kg", "Mass of the parts as drawn", "pattern-mass")]
    estimate: Annotated[float, Quantity("kg", "Estimate from the planform", "pattern-mass")]

    @property
    def difference(self) -> float:
        """By how much the drawn parts are heavier. [kg]"""
        return self.parts - self.estimate


@dataclass(frozen=True)
class MassDifference:
    """Mass of the drawn parts against the estimate."""

    parts: Annotated[float, Quantity("kg", "Mass of the parts as drawn", "pattern-mass")]
    estimate: Annotated[float, Quantity("kg", "Estimate from the planform", "pattern-mass")]
    owners: tuple[OwnerMass, ...]

    @property
    def difference(self) -> float:
        """By how much the drawn parts are heavier. [kg]"""
        return self.parts - self.estimate


def mass_difference(
    file: DesignFile, airframe: Airframe, materials: Materials, drawn: AsDrawn
) -> MassDifference:
    """Weigh what is drawn, and the same parts by the estimate."""
    given: list[tuple[str, str, Owner, Sequence[Part]]] = [
        (s.key, s.title, s, file.surfaces[s.key].parts) for s in airframe.surfaces
    ]
    given += [(b.key, b.title, b, file.bodies[b.key].parts) for b in airframe.bodies]
    given.append(("", "other parts", None, file.parts))
    rows = []
    for key, title, owner, parts in given:
        walls = walls_of(parts, materials) if isinstance(owner, BodyPart) else NO_WALLS
        both = [
            (drawn[ref].moments.mass, estimated(part, owner, materials, walls).moments.mass)
            for index, part in enumerate(parts)
            if (ref := PartRef(key, index)) in drawn
        ]
        if both:
            rows.append(OwnerMass(title, sum(a for a, _ in both), sum(b for _, b in both)))
    return MassDifference(
        parts=sum(row.parts for row in rows),
        estimate=sum(row.estimate for row in rows),
        owners=tuple(rows),
    )
