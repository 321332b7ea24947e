"""What the real parts weigh, against the estimate from planform and places that the balance uses.

Both are worked out from the same materials; what differs is the area and the length. Parts that are
not drawn are in neither.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.build import Airframe, BodyPart, LiftingSurface
from plansgen.airframe.inside import NO_WALLS, Walls, is_sheet, walls_of
from plansgen.balance.placing import areal_density, linear_density, placed
from plansgen.library.models import DesignFile, Part
from plansgen.library.tables import Material
from plansgen.patterns.flat import FlatPart
from plansgen.patterns.naming import key_of
from plansgen.patterns.strips import CutPiece
from plansgen.patterns.surface_parts import distinct
from plansgen.quantity import Quantity

Materials = Mapping[str, Material]
Owner = LiftingSurface | BodyPart | None


@dataclass(frozen=True)
class OwnerMass:
    """Parts of one surface or body (or of none), both sides."""

    title: str
    parts: Annotated[float, Quantity("kg", "Mass of the parts as drawn", "pattern-mass")]
    estimate: Annotated[float, Quantity("kg", "Mass the balance counts", "pattern-mass")]

    @property
    def difference(self) -> float:
        """By how much the drawn parts are heavier. [kg]"""
        return self.parts - self.estimate


@dataclass(frozen=True)
class MassDifference:
    """Mass of the real parts against the estimate."""

    parts: Annotated[float, Quantity("kg", "Mass of the parts as drawn", "pattern-mass")]
    estimate: Annotated[float, Quantity("kg", "Mass the balance counts", "pattern-mass")]
    owners: tuple[OwnerMass, ...]

    @property
    def difference(self) -> float:
        """By how much the drawn parts are heavier. [kg]"""
        return self.parts - self.estimate


def mass_difference(
    file: DesignFile,
    airframe: Airframe,
    materials: Materials,
    parts: Sequence[FlatPart],
    cut_list: Sequence[CutPiece],
) -> MassDifference:
    """Weigh the real parts, and the same parts as the balance counts them."""
    given: list[tuple[str, str, Owner, Sequence[Part]]] = [
        (s.key, s.title, s, file.surfaces[s.key].parts) for s in airframe.surfaces
    ]
    given += [(b.key, b.title, b, file.bodies[b.key].parts) for b in airframe.bodies]
    given.append(("", "other parts", None, file.parts))
    keys = [key_of(key) for key, *_ in given if key]
    loose = {key_of(part.name) for part in distinct(file.parts)}

    def of(one: FlatPart | CutPiece, key: str) -> bool:
        owner = "" if one.key in loose else _owner_key(one.key, keys)
        return owner == (key_of(key) if key else "")

    rows = []
    for key, title, owner, own in given:
        flats = [part for part in parts if of(part, key)]
        sticks = [piece for piece in cut_list if of(piece, key)]
        row = _owner_mass(title, owner, distinct(own), materials, flats, sticks)
        if row.parts or row.estimate:
            rows.append(row)
    return MassDifference(
        parts=sum(row.parts for row in rows),
        estimate=sum(row.estimate for row in rows),
        owners=tuple(rows),
    )


def _owner_key(key: str, owners: Sequence[str]) -> str:
    """The longest key of an owner that a part's key begins with."""
    return max((o for o in owners if key.startswith(f"{o}-")), key=len, default="")


def _owner_mass(
    title: str,
    owner: Owner,
    given: Sequence[Part],
    materials: Materials,
    flats: Sequence[FlatPart],
    sticks: Sequence[CutPiece],
) -> OwnerMass:
    real = sum(p.area * p.pieces * areal_density(materials[p.material]) for p in flats)
    walls = walls_of(given, materials) if isinstance(owner, BodyPart) else NO_WALLS
    estimate = 0.0
    for part in given:
        guess = _estimate(part, owner, materials, walls)
        cut = [c for c in sticks if c.name == part.name or c.name.startswith(f"{part.name}, ")]
        if cut:
            length = sum(one.length * one.count for one in cut)
            real += length * guess.density
        elif not _drawn(part, owner, materials):
            continue
        elif part.ribs is None and part.formers is None:
            # Openings that a share tells of are cut by the builder; they are on no drawing.
            real -= guess.amount * guess.density * (1.0 - part.share)
        estimate += guess.amount * guess.density * part.share
    return OwnerMass(title, real, estimate)


@dataclass(frozen=True)
class _Guess:
    """Area or length of all of a part, both sides, and its mass for each."""

    amount: float
    density: float


def _estimate(part: Part, owner: Owner, materials: Materials, walls: Walls) -> _Guess:
    amount, moments, sheet = placed(part, owner, walls)
    material = materials[part.material]
    sides = 2 if owner is not None and owner.mirrored else 1
    if sheet:
        return _Guess(amount * part.count * sides, areal_density(material))
    # A tapering run has less than its length times the mass per length of its thick end.
    mean = moments.mass / amount if amount else 0.0
    return _Guess(amount * part.count * sides, linear_density(material, part.size) * mean)


def _drawn(part: Part, owner: Owner, materials: Materials) -> bool:
    """Whether a flat part comes of it."""
    if part.area is not None:
        return False
    return not (
        isinstance(owner, BodyPart)
        and part.cover is not None
        and not is_sheet(materials[part.material])
    )
