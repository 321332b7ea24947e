"""What a part's material gives to a cut: as a sheet laid as skin, or as a stick."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plansgen.balance.placing import size_along
from plansgen.library.models import Part, StickSize
from plansgen.library.tables import Material, materials
from plansgen.structure.buckling import COMPRESSED, face_limit, flute_pitch, plate_load
from plansgen.structure.cut import Plate
from plansgen.structure.elastic import Ply, Sheet, Solid, sheet_of, solid_of

_MEMBRANE = 1e-4  # a bay that ripples at less strain than this counts as stretched paper


@dataclass(frozen=True)
class Skin:
    """A sheet as it lies, loaded along the span or body."""

    part: str
    sheet: Sheet
    across: Sheet
    share: float
    face_limit: float | None

    @property
    def thickness(self) -> float:
        """Of the whole sheet. [m]"""
        return self.sheet.thickness

    def plate(self, key: str, bay: float) -> Plate:
        """What a bay of it needs to buckle. [m]"""
        stiffness = self.share * math.sqrt(self.sheet.bending * self.across.bending)
        core_shear = self.sheet.core_shear or math.inf
        limit = plate_load(stiffness=stiffness, bay=bay, core_shear=core_shear, factor=COMPRESSED)
        thin = self.sheet.core is None and limit < _MEMBRANE * self.sheet.axial * self.share
        return Plate(f"{key}, {self.part}", bay, stiffness, core_shear, thin)


def thickest(skins: Sequence[Skin]) -> Skin | None:
    """Of sheets glued upon each other, the one that keeps the others from buckling alone."""
    return max(skins, key=lambda skin: skin.thickness, default=None)


def _pitch(material: Material, sheet: Sheet) -> float | None:
    """Between lines of glue of corrugated board; a weighed board is like a packaged one. [m]"""
    packaged = materials().get(material.like or "", material)
    if "cardboard" not in (material.family, packaged.family) or sheet.core is None:
        return None
    return flute_pitch(sheet.thickness)


def skin_of(part: Part, stock: Mapping[str, Material], *, damp: bool) -> Skin | None:
    """A part as a skin, or None when nothing is known of its strength."""
    material = stock[part.material]
    turned = part.grain == "across"
    sheet = sheet_of(material, across=turned, damp=damp)
    across = sheet_of(material, across=not turned, damp=damp)
    if sheet is None or across is None:
        return None
    pitch = _pitch(material, sheet)
    limit = face_limit(sheet, pitch=pitch, along_flutes=not turned)
    return Skin(part.name, sheet, across, part.share, limit)


@dataclass(frozen=True)
class Stick:
    """A stick, tube, wire or strip of sheet as it lies, loaded along the span or body. [m]

    sheet: layers side by side across its width, when it is a sheet stood on edge.
    """

    part: str
    solid: Solid
    sheet: Sheet | None
    width: float
    height: float
    bore: float = 0.0
    round: bool = False
    face_limit: float | None = None

    @property
    def area(self) -> float:
        """Cross-section. [m²]"""
        if self.round:
            return math.pi / 4 * (self.width**2 - self.bore**2)
        return self.width * self.height

    def plies(self) -> tuple[Ply, ...]:
        """Layers across its width, adding up to it."""
        if self.sheet is None:
            return (Ply(self.solid, self.width),)
        scale = self.width / self.sheet.thickness
        return tuple(Ply(ply.solid, ply.thickness * scale) for ply in self.sheet.plies)


def _size_at(part: Part, span: float) -> StickSize | None:
    """Its cross-section there; beyond its far end it goes on as it ends. [m]"""
    if part.run is None:
        return part.size
    share = (span - part.run.from_) / (part.run.to - part.run.from_)
    return size_along(part, min(max(share, 0.0), 1.0))


def stick_of(part: Part, stock: Mapping[str, Material], *, span: float, damp: bool) -> Stick | None:
    """A part as a stick there, or None when its strength or size is not known."""
    material = stock[part.material]
    across = part.grain == "across"
    solid = solid_of(material, across=across, damp=damp)
    size = _size_at(part, span)
    if solid is None or size is None:
        return None
    if size.diameter is not None:
        bore = size.bore or 0.0
        return Stick(part.name, solid, None, size.diameter, size.diameter, bore, round=True)
    width, height = float(size.width or 0.0), float(size.height or 0.0)
    sheet = sheet_of(material, across=across, damp=damp)
    upright = sheet is not None and abs(width - sheet.thickness) <= abs(height - sheet.thickness)
    if sheet is None or not upright:
        return Stick(part.name, solid, None, width, height)
    pitch = _pitch(material, sheet)
    limit = face_limit(sheet, pitch=pitch, along_flutes=not across)
    return Stick(part.name, solid, sheet, width, height, face_limit=limit)
