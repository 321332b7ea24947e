"""Spars of a started wing, sized for its limit load with the reserve that the checks ask for.

A first size by hand: the bending moment at the root of an elliptic load, held by pine alone in a
wing as thin as drawn. ``plansgen check`` works the same wing out in full.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from plansgen.starter.entries import Entry, number
from plansgen.starter.sizing import GRAVITY
from plansgen.structure.elastic import Sheet, Solid

LIMIT = 4.0  # load factor; the design file's own default
RESERVE = 2.0  # as checks want; skins help, which the sum leaves out
GUST = 4.0  # m/s; the design file's own default
PINE = 33.1  # MPa crushed along the grain: USDA Wood Handbook, eastern white pine, from memory
REACH = 0.98  # of the half span that a spar runs; common practice, no source
_BOX = 8.0  # mm between the skins; below it one solid strip is simpler than caps and a web
_WIDEST = 2.0  # width over height of a strip let into a plate; estimate
_SLENDER = 2.5  # height over width of a strip on edge; estimate
_CAP = 0.2  # thickness of a cap over the height of the spar; estimate
_THINNEST = 1.5  # mm; no thinner strip is sold everywhere (common practice, no source)


@dataclass(frozen=True)
class Span:
    """A spar's place: lengths in mm. root, end: height between the skins there."""

    name: str
    half: int
    root: float
    end: float

    @property
    def run(self) -> Entry:
        """Along the wing, at the thickest of its section."""
        return {"from": 0, "to": round(REACH * self.half), "at": 0.3}


def load_factor(*, mass: float, area: float) -> float:
    """Load factor to size for: the limit, or a sharp gust at twice the stall speed.

    n = 1 + ρ V a U/(2 W/S), without relief, a = 4 per radian and V for a lift coefficient of 1 at
    the stall. Source: the sharp-edged gust of every text on loads; a is an estimate.

    mass: [kg]. area: of the wings [m²].
    """
    loading = mass * GRAVITY / area
    speed = 2 * math.sqrt(2 * loading / 1.225)
    return max(LIMIT, 1 + 1.225 * speed * 4.0 * GUST / (2 * loading) * 0.6)


def root_moment(*, force: float, half: float) -> float:
    """Bending moment at the root under an elliptic load. [N mm]

    M = (L/2) (4/3π) b/2; elementary. force: lift of both halves [N]. half: [mm].
    """
    return force / 2 * 4 / (3 * math.pi) * half


def section_modulus(moment: float) -> float:
    """What a pine section must have for a moment [N mm] with its reserve. [mm³]"""
    return RESERVE * moment / PINE


def box_spar(span: Span, *, moment: float, web: str, thickness: float) -> list[Entry]:
    """Two caps and a web between the skins, or one solid strip where the wing is too thin.

    moment: at the root [N mm]. web: id of the sheet it is cut from, of that thickness [mm].
    """
    modulus = section_modulus(moment)
    if span.root < _BOX or span.end < 2 * _THINNEST + 2:
        return [_solid(span, modulus)]
    cap = min(max(_THINNEST, _half(_CAP * span.root)), _half_down((span.end - 2) / 2))
    inner = span.root - 2 * cap
    width = _width(6 * span.root * modulus / (span.root**3 - inner**3))
    return [
        {
            "name": f"{span.name} spar caps",
            "material": "pine",
            "run": span.run,
            "size": {"width": width, "height": number(cap)},
            "lies": "top and bottom",
            "count": 2,
        },
        {
            "name": f"{span.name} spar web",
            "material": web,
            "run": span.run,
            "size": {"width": number(thickness, 3), "height": number(inner)},
            "size_out": {"width": number(thickness, 3), "height": number(span.end - 2 * cap)},
            "lies": "between",
            "grain": "along",
        },
    ]


def _solid(span: Span, modulus: float) -> Entry:
    width = _width(6 * modulus / span.root**2)
    return {
        "name": f"{span.name} spar",
        "material": "pine",
        "run": span.run,
        "size": {"width": width, "height": number(span.root)},
        "size_out": {"width": width, "height": number(span.end)},
        "lies": "between",
    }


def plate_spar(span: Span, *, moment: float, at: float = 0.3) -> Entry:
    """A strip let into a plate, as high as the plate is thick; in a thin one a strip on edge."""
    modulus = section_modulus(moment)
    height = span.root
    width = _width(6 * modulus / height**2)
    if width > _WIDEST * height:
        width = _width((6 * modulus / _SLENDER**2) ** (1 / 3))
        height = _half_up(math.sqrt(6 * modulus / width))
    let_in = height == span.root
    return {
        "name": f"{span.name} {'strip, let in' if let_in else 'strip, on edge'}",
        "material": "pine",
        "run": {**span.run, "at": at},
        "size": {"width": width, "height": number(height, 3)},
        "lies": "middle",
    }


def plate_moment(sheet: Sheet | None, *, chord: float) -> float:
    """Bending moment that a plate holds alone, with what uneven sheet leaves of it. [N mm]

    M = D c ε/(t/2): its bending stiffness, and the strain at which a face is crushed, less two
    standard deviations; elementary. None: nothing is known of its strength. chord: [mm].
    """
    if sheet is None:
        return 0.0
    strain = min(_weak(ply.solid) / ply.solid.modulus for ply in (sheet.plies[0], sheet.plies[-1]))
    return 1000 * sheet.bending * (chord / 1000) * strain / (sheet.thickness / 2)


def _weak(solid: Solid) -> float:
    return solid.compression * (1 - 2 * solid.spread)


def web_force(sheet: Sheet | None, *, height: float) -> float:
    """Shear force that a web of the sheet holds, its layers strained alike. [N]

    V = h γ Σ G t; elementary. height: [mm].
    """
    if sheet is None:
        return 0.0
    strain = min(ply.solid.shear / ply.solid.shear_modulus for ply in sheet.plies)
    stiffness = sum(ply.solid.shear_modulus * ply.thickness for ply in sheet.plies)
    return height / 1000 * strain * stiffness


def box_moment(sheet: Sheet | None, *, width: float, height: float) -> float:
    """Bending moment that a box of the sheet holds by its two flanges. [N mm]

    M = b h ε Σ E t; elementary. width, height: [mm].
    """
    if sheet is None:
        return 0.0
    strain = min(_weak(ply.solid) / ply.solid.modulus for ply in sheet.plies)
    return width * height / 1000 * strain * sheet.axial


def longerons(*, moment: float, height: float, start: int, end: int) -> Entry:
    """Four square strips in the corners of a box body.

    moment: bending it must hold [N mm]. height: of the body there [mm]. start, end: x [mm].
    """
    side = max(3.0, _half_up(math.sqrt(RESERVE * moment / (2 * height * PINE))))
    return {
        "name": "longerons in the corners",
        "material": "pine",
        "run": {"from": start, "to": end},
        "size": {"width": number(side), "height": number(side)},
        "lies": "corners",
        "count": 4,
    }


def _half(value: float) -> float:
    """To the half millimetres that strips are sold in."""
    return round(2 * value) / 2


def _half_up(value: float) -> float:
    return math.ceil(2 * value) / 2


def _half_down(value: float) -> float:
    return math.floor(2 * value) / 2


def _width(value: float) -> float | int:
    return number(max(3.0, math.ceil(2 * value) / 2))
