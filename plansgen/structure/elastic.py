"""How a material gives and what it stands, in one direction, as the structure needs it.

Also a sheet as a stack of layers: paper on foam, liner on flutes, or one plain layer.
"""

from __future__ import annotations

from dataclasses import dataclass

from plansgen.library.tables import Material


@dataclass(frozen=True)
class Solid:
    """One material loaded in one direction. Stresses and moduli in Pa.

    spread: of strength, one standard deviation, as a share.
    """

    name: str
    modulus: float
    shear_modulus: float
    tension: float
    compression: float
    shear: float
    spread: float


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

    @property
    def thickness(self) -> float:
        """Of all layers together. [m]"""
        return sum(ply.thickness for ply in self.plies)

    @property
    def core(self) -> Ply | None:
        """The layer that faces are bonded to; None for plain sheet."""
        return self.plies[1] if len(self.plies) > 1 else None

    @property
    def faces(self) -> tuple[Ply, ...]:
        """The layers that are no core: both faces, one face, or the plain sheet itself."""
        return tuple(ply for number, ply in enumerate(self.plies) if number != 1)


def solid_of(material: Material, *, across: bool = False, damp: bool = False) -> Solid | None:
    """The material in one direction, or None when nothing is known of its strength."""
    return None


def sheet_of(material: Material, *, across: bool = False, damp: bool = False) -> Sheet | None:
    """The sheet's layers in one direction, or None when nothing is known of its strength."""
    return None
