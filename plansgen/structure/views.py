"""Cuts as a drawing shows them: every strip with what it carries, and the neutral axis.

Source: transformed section and unsymmetric bending; J. M. Gere & S. P. Timoshenko, *Mechanics of
Materials*.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import LiftingSurface, station_at
from plansgen.structure.cells import Analysis
from plansgen.structure.cut import Cut, Place
from plansgen.structure.margins import Half, load_at
from plansgen.structure.span_loads import SpanLoad
from plansgen.structure.strength import CutPiece, CutView, PartShare
from plansgen.structure.stress_table import Loads, acting_tables

Array = NDArray[np.float64]

_FAR_OUT = 0.9  # of the half span: a spar that ends beyond it is cut nearer in


def cut_views(
    surface: LiftingSurface, half: Half, load: SpanLoad, *, body_edge: float
) -> tuple[CutView, ...]:
    """The section beside the body; of a wing also at half of its span and where the spar ends.

    load: of the case that they show. body_edge: where the surface leaves the body. [m]
    """
    places = [("beside the body" if body_edge > 0.0 else "at the root", body_edge)]
    reach = half.members.reach
    if surface.role == "wing":
        places.append(("at half of the span", half.tip / 2))
        if reach > _FAR_OUT * half.tip:
            places.append(("at three quarters of the span", 0.75 * half.tip))
        elif reach > 0.0:
            places.append(("just inside of the spar's end", half.beside(reach)[0]))
    views = [cut_view(surface, half, load, title=title, span=span) for title, span in places]
    return tuple(view for view in views if view is not None)


def cut_view(
    surface: LiftingSurface, half: Half, load: SpanLoad, *, title: str, span: float
) -> CutView | None:
    """One cut under a load; None where nothing of known strength is cut. span [m]"""
    if not half.cut(span).pieces:
        return None
    there = load_at(load, span)
    loads = Loads.of([there])
    ((table, _),) = acting_tables(half.cut(span), loads)
    cut, found = table.cut, table.found
    bent, even = table.curvature(loads)
    lifted = -np.linalg.solve(found.stiffness, np.array([0.0, 1.0]))
    return CutView(
        title=title,
        span=span,
        chord=station_at(surface.stations, span).chord,
        pieces=_pieces(cut, found, bent[:, 0], even=float(even[0])),
        shares=_shares(cut, found, lifted),
        neutral=found.centre[1],
        slope=math.atan(-lifted[0] / lifted[1]),
        centre_x=found.centre[0],
        bending=float(found.stiffness[1, 1]),
        torsion=found.torsion,
        moment=there["bending"],
    )


def _pieces(cut: Cut, found: Analysis, curvature: Array, *, even: float) -> tuple[CutPiece, ...]:
    """Every strip with the greatest stress along the span at its ends."""
    strips = found.strips
    ends = [
        strips.modulus * (even + (place - found.centres) @ curvature)
        for place in (strips.start, strips.end)
    ]
    most = np.where(np.abs(ends[0]) > np.abs(ends[1]), *ends)
    return tuple(
        CutPiece(
            part=piece.part,
            material=piece.solid.name,
            start=_rounded(piece.start),
            end=_rounded(piece.end),
            thickness=piece.thickness,
            stress=float(f"{stress:.4g}"),
        )
        for piece, stress in zip(cut.pieces, most.tolist(), strict=True)
    )


def _rounded(place: Place) -> Place:
    """To a micrometre; finer is no drawing."""
    return (round(place[0], 6), round(place[1], 6))


def _shares(cut: Cut, found: Analysis, curvature: Array) -> tuple[PartShare, ...]:
    """What share of a bending moment that lifts the tip each part carries, the greatest first.

    The pull of each strip times its height, and what it resists bent about its own middle.
    """
    strips = found.strips
    arm = strips.middle - found.centres
    carried = -strips.pull * (arm @ curvature) * arm[:, 1]
    for size, way in ((strips.width, strips.along), (strips.thickness, strips.across)):
        carried -= strips.pull * size**2 / 12 * (way @ curvature) * way[:, 1]
    sums: dict[str, float] = {}
    for piece, share in zip(cut.pieces, carried.tolist(), strict=True):
        sums[piece.part] = sums.get(piece.part, 0.0) + share
    total = sum(sums.values())
    order = sorted(sums, key=lambda part: (-sums[part], part))
    return tuple(PartShare(part, sums[part] / total) for part in order)
