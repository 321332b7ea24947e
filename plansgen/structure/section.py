"""Stiffness of a cut and the stresses in it, by the transformed section.

Every strip counts by its own modulus: EA, the centre of stiffness and EI are sums over strips, and
under bending, whatever its direction, plane cuts stay plane. Bending positive: tip bent up, the top
is compressed. Chord bending positive: tip bent aft. Torque positive: nose up. Axial positive: pull.

Parts that nothing joins (a strip held by ribs only) bend with the rest but each about its own
centre. Skins that ripple under next to nothing (paper stretched over ribs) pull but do not push.

Source: transformed section and unsymmetric bending as in Gere & Timoshenko, *Mechanics of
Materials* (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from plansgen.structure.cells import analyse
from plansgen.structure.cut import Cut, CutProperties, Piece, Place, Plate, Stress, Wall
from plansgen.structure.stress_table import Loads, StressTable, acting_tables

__all__ = [
    "Cut",
    "CutProperties",
    "Piece",
    "Place",
    "Plate",
    "Stress",
    "Wall",
    "properties",
    "stresses",
]

Array = NDArray[np.float64]


def properties(cut: Cut) -> CutProperties:
    """Work out the stiffness of a cut.

    Raises:
        ValueError: nothing of known strength is cut.
    """
    found = analyse(cut)
    return CutProperties(
        axial=found.pull,
        centre=found.centre,
        bending=float(found.stiffness[1, 1]),
        chord_bending=float(found.stiffness[0, 0]),
        product=float(found.stiffness[0, 1]),
        torsion=found.torsion,
    )


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
    """Work out the worst stress of each kind in each material of each part. [N, N m]

    Shear up and aft is the load outboard of the cut; torque and shear are given about the cut's
    axis.

    Raises:
        ValueError: nothing of known strength is cut.
    """
    load = {"shear": shear, "bending": bending, "torque": torque, "chord_shear": chord_shear}
    table, stress, reserve = _under(cut, load | {"chord_bending": chord_bending, "axial": axial})
    found = []
    for (_, _, kind), rows in table.groups:
        row = int(rows[reserve[rows].argmin()])
        if stress[row] > 0.0 or kind == "shear":
            found.append(table.made(row, float(stress[row])))
    return tuple(found)


def _under(cut: Cut, load: Mapping[str, float]) -> tuple[StressTable, Array, Array]:
    """The table that holds, and stress and reserve factor of its rows."""
    loads = Loads.of([load])
    ((table, _),) = acting_tables(cut, loads)
    stress = table.stress(loads)[:, 0]
    reserve = np.full_like(stress, np.inf)
    np.divide(table.strengths, stress, out=reserve, where=stress > 0.0)
    return table, stress, reserve
