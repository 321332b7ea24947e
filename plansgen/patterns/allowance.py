"""Sheet thickness made real: folds, bends, joints, slots and the width of a cut.

Every rule carries where it comes from. A folded paper-faced board is developed on its outer paper:
that is never cut, so it neither stretches nor shrinks, and the inner side makes room.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import Polygon

from plansgen.balance.placing import areal_density
from plansgen.library.tables import Mark, Material
from plansgen.patterns.flat import Outline

SCORE_ONLY = math.radians(30.0)
"""Up to here the foam gives way: one cut through the inner paper is enough. [rad]"""

SQUARE_GROOVE = math.radians(100.0)
"""Beyond this no V is cut: the inner paper is peeled off and the foam pressed down. [rad]"""

K_FACTOR = 0.5
"""Where the neutral line of a bent sheet lies, as a share of its thickness from the inside."""

CLEARANCE = 0.0002
"""What a slot is wider than what goes through it. [m]"""

KERF = 0.0
"""Width of a cut that outlines make up for, unless said otherwise: a knife takes nothing. [m]"""


_WATER = 1000.0  # [kg/m³]
_THINNEST = 1e-6  # [m]


@dataclass(frozen=True)
class Rule:
    """A rule of thumb or of geometry, and how far to trust it."""

    key: str
    text: str
    source: str
    mark: Mark


RULES: tuple[Rule, ...] = (
    Rule(
        "outer-paper",
        "A scored fold is measured along the outer paper, which stays whole.",
        "plain geometry: what is not cut keeps its length",
        "derived",
    ),
    Rule(
        "groove",
        "A fold by an angle needs a groove 2 t tan(angle/2) wide on its inner side.",
        "plain geometry of a mitre",
        "derived",
    ),
    Rule(
        "score-only",
        "Up to 30° the foam gives way and a single cut of the inner paper is enough; beyond 100° "
        "the inner paper is peeled off and the foam pressed down.",
        "common practice, no source",
        "estimate",
    ),
    Rule(
        "bend-allowance",
        "A bent sheet keeps its length on its neutral line: angle × (R + K t); K 0.5 for sheets "
        "bent over a large radius.",
        "sheet-metal practice, any machinery handbook",
        "published",
    ),
    Rule(
        "slot",
        "A slot is as wide as what goes through it and 0.2 mm more.",
        "common practice, no source",
        "estimate",
    ),
    Rule(
        "kerf",
        "With a cut of some width, outlines move out and holes in by half of it.",
        "plain geometry",
        "derived",
    ),
)


def sheet_thickness(material: Material) -> float:
    """Thickness of a sheet; where only its mass per area is known, as if it were as dense as water.

    Estimate: films and papers lie within a third of that. [m]
    """
    return material.thickness or max(areal_density(material) / _WATER, _THINNEST)


def bend_allowance(*, angle: float, radius: float, thickness: float, k: float = K_FACTOR) -> float:
    """Length of flat sheet in a bend: angle (R + K t). [m]

    Args:
        angle: By which the sheet turns. [rad]
        radius: Inside radius. [m]
        thickness: Of the sheet. [m]
        k: Place of the neutral line from the inside, as a share of the thickness.

    Source: sheet-metal practice, any machinery handbook.
    """
    return angle * (radius + k * thickness)


def setback(*, angle: float, radius: float, thickness: float) -> float:
    """From the tangent of a bend to the corner where the outsides would meet. [m]"""
    return (radius + thickness) * math.tan(angle / 2)


def bend_deduction(*, angle: float, radius: float, thickness: float, k: float = K_FACTOR) -> float:
    """What a flat sheet is shorter than the two outside lengths of its bend. [m]"""
    flat = bend_allowance(angle=angle, radius=radius, thickness=thickness, k=k)
    return 2 * setback(angle=angle, radius=radius, thickness=thickness) - flat


def outer_strain(*, radius: float, thickness: float) -> float:
    """Strain of the outside of a sheet bent to an inside radius, neutral line in its middle."""
    return thickness / (2 * radius + thickness)


def groove_width(*, angle: float, thickness: float) -> float:
    """Width of the groove on the inner side of a fold whose outer paper stays whole. [m]

    0 where a single cut is enough; beyond a square fold the strip of inner paper to peel off: as
    wide as the outer paper of a nose cut off at half a square, √2 t.
    """
    if angle <= SCORE_ONLY:
        return 0.0
    if angle > SQUARE_GROOVE:
        return math.sqrt(2.0) * thickness
    return 2 * thickness * math.tan(angle / 2)


def mitre(*, angle: float) -> float:
    """By how much each edge is bevelled from square where two sheets meet at a bend. [rad]"""
    return angle / 2


def bevel_width(*, angle: float, thickness: float) -> float:
    """Width of the bevel that brings a sheet to nothing against another at an angle. [m]

    Args:
        angle: Between the two sheets, such as at a trailing edge; not nothing. [rad]
        thickness: Of the bevelled sheet. [m]
    """
    return thickness / math.tan(angle)


def butt(*, outside: float, covered_by: float, ends: int = 2) -> float:
    """Length of a sheet that stands between others, under a given outside length. [m]

    Args:
        outside: From outside to outside. [m]
        covered_by: Thickness of what it butts against. [m]
        ends: At how many ends it does.
    """
    return outside - ends * covered_by


def overlap(*, length: float, lap: float, ends: int = 1) -> float:
    """Length of a sheet that laps over others. [m]"""
    return length + ends * lap


def slot_width(thickness: float, *, clearance: float = CLEARANCE) -> float:
    """Width of a slot for what is so thick. [m]"""
    return thickness + clearance


def with_kerf(outline: Outline, holes: tuple[Outline, ...], *, kerf: float) -> Polygon:
    """A part as a cutter's line must run so that the part comes out true. [m]

    The outline moves out and the holes in by half the width of the cut; corners stay sharp.
    """
    polygon = Polygon(outline, holes)
    return polygon if kerf == 0.0 else polygon.buffer(kerf / 2, join_style="mitre")
