"""How a material gives and what it stands, in one direction, as the structure needs it.

Also a sheet as a stack of layers: paper on foam, liner on flutes, or one plain layer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import inf

from plansgen.library.bending import stiffness_of
from plansgen.library.mechanics import Mechanics, Substance, ValueName
from plansgen.library.stock import measured_modulus
from plansgen.library.tables import Material

MEASURED = "measured"
"""Mark of a modulus that comes from a bend test."""


@dataclass(frozen=True)
class Solid:
    """One material loaded in one direction. Stresses and moduli in Pa.

    spread: of strength, one standard deviation, as a share. mark: how far to trust the modulus,
    ``measured`` when it comes from a bend test. strength_mark and source: the same of strength.
    """

    name: str
    modulus: float
    shear_modulus: float
    tension: float
    compression: float
    shear: float
    spread: float
    mark: str = ""
    strength_mark: str = ""
    source: str = ""


@dataclass(frozen=True)
class Ply:
    """One layer of a sheet. thickness [m]"""

    solid: Solid
    thickness: float


@dataclass(frozen=True)
class Sheet:
    """Layers through the thickness, outer face first; one layer for plain sheet."""

    name: str
    plies: tuple[Ply, ...]

    @cached_property
    def thickness(self) -> float:
        """Of all layers together. [m]"""
        return sum(ply.thickness for ply in self.plies)

    @cached_property
    def core(self) -> Ply | None:
        """The layer that faces are bonded to; None for plain sheet."""
        return self.plies[1] if len(self.plies) > 1 else None

    @cached_property
    def faces(self) -> tuple[Ply, ...]:
        """The layers that are no core: both faces, one face, or the plain sheet itself."""
        return tuple(ply for number, ply in enumerate(self.plies) if number != 1)

    @cached_property
    def axial(self) -> float:
        """Stiffness against stretching, per width: sum of E t. [N/m]"""
        return sum(ply.solid.modulus * ply.thickness for ply in self.plies)

    @cached_property
    def bending(self) -> float:
        """Bending stiffness per width about the sheet's own stiffness centre. [N m]"""
        return stiffness_of([(ply.solid.modulus, ply.thickness) for ply in self.plies])

    @cached_property
    def core_shear(self) -> float | None:
        """Shear stiffness per width, G d² / c between two faces; None for other sheet. [N/m]

        d is the distance between the middles of the faces, c the core (Allen, Analysis and Design
        of Structural Sandwich Panels, 1969, from memory). A load P on the middle of a span L
        sinks P L / (4 w G d² / c) more by it.
        """
        if self.core is None or len(self.faces) != 2:
            return None
        apart = self.core.thickness + sum(face.thickness for face in self.faces) / 2
        return self.core.solid.shear_modulus * apart**2 / self.core.thickness


def solid_of(material: Material, *, across: bool = False, damp: bool = False) -> Solid | None:
    """The material as one solid loaded along its grain or across it; None if nothing is known.

    A faced sheet is smeared over its thickness, as it acts when loaded in its own plane (a web
    stood on edge, a skin pulled): moduli by thickness, strength at the strain where the first
    layer gives. It does not hold for bending the sheet out of its plane: use :func:`sheet_of`.
    A glue's ``shear`` is its strength in a lap joint.

    Args:
        material: packaged, or a design's own.
        across: loaded across grain, flutes or machine direction.
        damp: as left when damp.

    Raises:
        ValueError: a bend test gives no modulus; readings of a design file were checked before.
    """
    mechanics = material.mechanics
    if mechanics is None:
        return None
    if mechanics.solid is None:
        sheet = sheet_of(material, across=across, damp=damp)
        return _smeared(sheet) if sheet else None
    solid = _solid(material.name, mechanics.solid, across=across, damp=damp)
    return _as_measured(material, mechanics, solid, across=across, damp=damp)


def sheet_of(material: Material, *, across: bool = False, damp: bool = False) -> Sheet | None:
    """The sheet's layers, loaded along its grain or across it; None if nothing is known.

    None also when the material has no thickness. With bend tests in that direction the modulus of
    the faces, or of a plain sheet, is the measured one; strengths stay as they were.

    Args:
        material: packaged, or a design's own.
        across: loaded across grain, flutes or machine direction.
        damp: as left when damp.

    Raises:
        ValueError: a bend test gives no modulus; readings of a design file were checked before.
    """
    mechanics, thickness = material.mechanics, material.thickness
    if mechanics is None or thickness is None:
        return None
    name = material.name
    outer = _solid(_outer_name(material), mechanics.outer(), across=across, damp=damp)
    outer = _as_measured(material, mechanics, outer, across=across, damp=damp)
    if mechanics.faces is None or mechanics.core is None:
        return Sheet(name, (Ply(outer, thickness),))
    face = Ply(outer, mechanics.faces.thickness)
    core = _solid(f"{name}, core", mechanics.core, across=across, damp=damp)
    middle = Ply(core, thickness - mechanics.faces.sides * face.thickness)
    return Sheet(name, (face, middle, face) if mechanics.faces.sides == 2 else (face, middle))


def _outer_name(material: Material) -> str:
    faced = material.mechanics is not None and material.mechanics.faces is not None
    return f"{material.name}, face" if faced else material.name


def _solid(name: str, substance: Substance, *, across: bool, damp: bool) -> Solid:
    """One substance in one direction, dry or damp."""

    def value(key: str) -> float:
        turned = getattr(substance, f"{key}_across") if across else None
        return float(getattr(substance, key) if turned is None else turned)

    left = substance.damp if damp else None
    stiff, strong = (left.stiffness, left.strength) if left else (1.0, 1.0)
    return Solid(
        name=name,
        modulus=value("modulus") * stiff,
        shear_modulus=value("shear_modulus") * stiff,
        tension=value("tension") * strong,
        compression=value("compression") * strong,
        shear=value("shear") * strong,
        spread=substance.spread,
        mark=_mark(substance, "modulus", across=across),
        strength_mark=_mark(substance, "compression", across=across),
        source=substance.source or "given by the designer",
    )


def _mark(substance: Substance, name: ValueName, *, across: bool) -> str:
    """How far to trust a value; what ``published`` names are values along."""
    if across and getattr(substance, f"{name}_across", None) is not None:
        return substance.mark or "given by the designer"
    return substance.mark_of(name)


def _as_measured(
    material: Material, mechanics: Mechanics, solid: Solid, *, across: bool, damp: bool
) -> Solid:
    """With the modulus of the bend tests in that direction; they are taken as done dry."""
    modulus = measured_modulus(material, mechanics, across=across)
    if modulus is None:
        return solid
    left = mechanics.outer().damp if damp else None
    return replace(solid, modulus=modulus * (left.stiffness if left else 1.0), mark=MEASURED)


def _smeared(sheet: Sheet) -> Solid:
    """A sheet loaded in its own plane, as one solid of its whole thickness.

    All layers stretch alike, so each modulus is the mean by thickness, and the sheet holds up to
    the strain at which its first layer gives (Jones, Mechanics of Composite Materials: laminate
    loaded in plane, no warping).
    """
    whole = sheet.thickness
    shares = [(ply.solid, ply.thickness / whole) for ply in sheet.plies]
    modulus = sum(solid.modulus * share for solid, share in shares)
    shear_modulus = sum(solid.shear_modulus * share for solid, share in shares)
    solids = [solid for solid, _ in shares]
    outer = solids[0]
    return replace(
        outer,
        name=sheet.name,
        modulus=modulus,
        shear_modulus=shear_modulus,
        tension=modulus * min(solid.tension / solid.modulus for solid in solids),
        compression=modulus * min(solid.compression / solid.modulus for solid in solids),
        shear=shear_modulus * min(_shear_strain(solid) for solid in solids),
    )


def _shear_strain(solid: Solid) -> float:
    return solid.shear / solid.shear_modulus if solid.shear_modulus else inf
