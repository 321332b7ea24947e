"""The two comparisons a builder wants: a stick on edge against flat, a box against loose sheets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plansgen.structure.cells import analyse
from plansgen.structure.cut import Cut
from plansgen.structure.strips import rectangle_torsion


@dataclass(frozen=True)
class OnEdge:
    """Bending stiffness of one stick both ways. [N m²]"""

    on_edge: float
    flat: float

    @property
    def ratio(self) -> float:
        """How many times stiffer on edge: (height/width)²."""
        return self.on_edge / self.flat


def stick_on_edge_against_flat(*, width: float, height: float, modulus: float) -> OnEdge:
    """EI = E w h³/12 of a stick on its edge and on its flat. [m, Pa]

    Which of the two is called width does not matter: on edge the longer one stands.
    """
    long, short = max(width, height), min(width, height)
    return OnEdge(modulus * short * long**3 / 12, modulus * long * short**3 / 12)


@dataclass(frozen=True)
class BoxAgainstSheets:
    """A cut glued up, and the same sheets and sticks lying loose beside each other. [N m²]"""

    bending: float
    loose_bending: float
    torsion: float
    loose_torsion: float

    @property
    def bending_ratio(self) -> float:
        """How many times stiffer in bending the closed one is."""
        return self.bending / self.loose_bending

    @property
    def torsion_ratio(self) -> float:
        """How many times stiffer in torsion the closed one is."""
        return self.torsion / self.loose_torsion


def box_against_sheets(cut: Cut) -> BoxAgainstSheets:
    """Set a cut against its strips, each bending about its own middle as it lies.

    A sandwich stays glued in itself: what comes loose is sheet from sheet and stick from sheet.

    Raises:
        ValueError: nothing of known strength is cut.
    """
    found = analyse(cut)
    strips, bending, torsion = found.strips, 0.0, 0.0
    for wall in found.walls:
        if not wall.plies:
            continue
        plies = list(wall.plies)
        pull = strips.pull[plies]
        arm = strips.middle[plies] - (pull @ strips.middle[plies]) / pull.sum()
        # A sheet lies flat when loose, a stick as it was built in.
        along = (np.asarray(wall.end) - wall.start) / wall.length
        up = np.array([0.0, 1.0]) if wall.stick else np.array([-along[1], along[0]])
        bending += float(pull @ (arm @ up) ** 2)
        for size, way in (
            (strips.width[plies], strips.along[plies]),
            (strips.thickness[plies], strips.across[plies]),
        ):
            bending += float((pull * size**2 / 12) @ (way @ up) ** 2)
        for i, offset in zip(plies, arm @ np.array([-along[1], along[0]]), strict=True):
            g, w, t = strips.shear_modulus[i], strips.width[i], strips.thickness[i]
            own = rectangle_torsion(w, t) if wall.stick else w * t**3 / 3
            torsion += float(g * (own + 4 * w * t * offset**2))
    return BoxAgainstSheets(float(found.stiffness[1, 1]), bending, found.torsion, torsion)
