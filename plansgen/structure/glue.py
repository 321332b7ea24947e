"""Glued faces and sockets: the formulas of joints and mounts, and what gives first.

Sources: eccentric joint, τ = M r/J (J. E. Shigley, Mechanical Engineering Design, eccentric loading
of joints); dowel in a socket, w = 4 V/L + 6 M/L² (straight-line bearing, by statics).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

from plansgen.library.models.parts import StickSize
from plansgen.library.tables import Material
from plansgen.structure.elastic import sheet_of, solid_of

Stands = Literal["on edge", "flat", "square", "round"]

ROLLING = 0.23  # rolling shear over shear along the grain
_SQUARE = 1e-6  # m


def stands(size: StickSize) -> Stands:
    """How a brace stands as built."""
    if size.diameter is not None:
        return "round"
    wide, high = float(size.width or 0.0), float(size.height or 0.0)
    if abs(wide - high) < _SQUARE:
        return "square"
    return "on edge" if high > wide else "flat"


def modulus_of_section(size: StickSize) -> float:
    """Section modulus against lift: b h²/6, or π (D⁴ − d⁴)/32 D. [m³]"""
    if size.diameter is not None:
        d, bore = size.diameter, size.bore or 0.0
        return math.pi * (d**4 - bore**4) / (32 * d)
    return float(size.width or 0.0) * float(size.height or 0.0) ** 2 / 6


def height_of(size: StickSize) -> float:
    """Height of a stick as built in, or its diameter. [m]"""
    return float(size.diameter or size.height or 0.0)


def glue_stress(*, moment: float, shear: float, length: float, height: float) -> float:
    """Greatest shear stress in a rectangular glued face under moment and shear in its plane. [Pa]

    moment: about the middle of the face [N m]. shear [N]. length, height: of the face [m].
    τ = M r/J + V/A with J = L h (L² + h²)/12 and r to the corner; both taken in one line, which
    is on the safe side.
    """
    area = length * height
    polar = area * (length**2 + height**2) / 12
    return abs(moment) * math.hypot(length, height) / 2 / polar + abs(shear) / area


def peel_stress(*, moment: float, shear: float, length: float, width: float) -> float:
    """Greatest pull across a flat glued face that is pried open. [Pa]

    A stiff brace on a bed: 6 M/(w L²) + V/(w L); moment about the middle of the face.
    """
    return 6 * abs(moment) / (width * length**2) + abs(shear) / (width * length)


def bearing_stress(*, moment: float, shear: float, length: float, diameter: float) -> float:
    """Greatest pressure of a round joiner on its hole, moment and shear at the mouth. [Pa]

    w = 4 V/L + 6 M/L² along the hole, over the diameter.
    """
    return (4 * abs(shear) / length + 6 * abs(moment) / length**2) / diameter


def shear_strength(material: Material, *, damp: bool = False) -> tuple[str, float] | None:
    """The weakest layer that a glued face hangs on, and its shear strength. [Pa]

    Of a faced sheet the core, when it is weaker than the face: the face tears off. Of plywood the
    cross veneer, whose fibres roll: 18 to 28 % of wood's shear strength along the grain (USDA Wood
    Handbook, chapter 5, rolling shear; from memory).
    """
    sheet = sheet_of(material, damp=damp) if material.kind == "sheet" else None
    if sheet is not None:
        layers = [(ply.solid.name, ply.solid.shear) for ply in sheet.plies]
        turned = sheet_of(material, across=True, damp=damp)
        if sheet.core is not None and turned is not None and turned.core is not None:
            core = sheet.core.solid
            if turned.core.solid.modulus > core.modulus:
                layers.append((f"{material.name}, cross veneer", ROLLING * core.shear))
        return min(layers, key=lambda layer: layer[1])
    solid = solid_of(material, damp=damp)
    return None if solid is None else (solid.name, solid.shear)


def least(works: Callable[[float], bool], *, low: float, high: float) -> float | None:
    """The least value that works, to a thousandth, when all larger ones do; None if none does."""
    if not works(high):
        return None
    if works(low):
        return low
    while high - low > 1e-3 * high:
        middle = (low + high) / 2
        low, high = (low, middle) if works(middle) else (middle, high)
    return high
