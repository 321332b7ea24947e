"""Stiffness of a cut and the stresses in it, by the transformed section."""

from __future__ import annotations

from plansgen.structure.cut import Cut, CutProperties, Piece, Stress

__all__ = ["Cut", "CutProperties", "Piece", "Stress", "properties", "stresses"]


def properties(cut: Cut) -> CutProperties:
    """Work out the stiffness of a cut."""
    raise NotImplementedError


def stresses(
    cut: Cut,
    *,
    shear: float,
    bending: float,
    torque: float,
    chord_shear: float = 0.0,
    chord_bending: float = 0.0,
    axial: float = 0.0,
) -> tuple[Stress, ...]:
    """Work out the worst stress of each kind in each material of each part."""
    raise NotImplementedError
