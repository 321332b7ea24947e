"""Bending stiffness of a layered strip, and from the sag of one laid over two books.

Source: Gere & Timoshenko, Mechanics of Materials: composite beam by transformed section, and the
simply supported beam with its load at the middle, sag = P L³ / (48 E I).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

GRAVITY = 9.80665  # m/s², standard gravity, ISO 80000-3


def measured_stiffness(*, load: float, span: float, width: float, sag: float) -> float:
    """Bending stiffness per width from a three-point bend: P L³ / (48 w sag).

    Args:
        load: mass laid on the middle. [kg]
        span: distance between the supports. [m]
        width: of the strip. [m]
        sag: how much further the middle sank under the load. [m]

    Returns:
        Stiffness per width [N m]. The sag holds the shear of a soft core too, so this is a little
        less than the bending alone would give.
    """
    return load * GRAVITY * span**3 / (48 * width * sag)


def stiffness_of(layers: Sequence[tuple[float, float]]) -> float:
    """Bending stiffness per width about the stack's own stiffness centre. [N m]

    Args:
        layers: (modulus [Pa], thickness [m]) from one side to the other.
    """
    middle, axial, moment, second = 0.0, 0.0, 0.0, 0.0
    for modulus, thickness in layers:
        middle += thickness / 2
        stretch = modulus * thickness
        axial += stretch
        moment += stretch * middle
        second += stretch * (middle**2 + thickness**2 / 12)
        middle += thickness / 2
    return second - moment**2 / axial


def outer_modulus(
    stiffness: float, *, face: float, sides: int, core: float, core_thickness: float
) -> float:
    """Modulus of the faces that gives a strip this bending stiffness per width. [Pa]

    With two faces the stiffness is linear in it: D = E_f (t_f d² / 2 + t_f³ / 6) + E_c c³ / 12,
    d = c + t_f (Allen, Analysis and Design of Structural Sandwich Panels, 1969, from memory).
    With one face the neutral axis moves with the modulus; the stiffness still only rises with it,
    so it is found by halving. Plain sheet: core_thickness 0 and sides 1.

    Args:
        stiffness: measured. [N m]
        face: thickness of one face. [m]
        sides: 1 or 2.
        core: modulus of the core. [Pa]
        core_thickness: of the core. [m]

    Raises:
        ValueError: the strip is softer than its bare core, or stiffer than anything known.
    """
    if stiffness <= core * core_thickness**3 / 12:
        raise ValueError("the strip came out softer than its bare core would be")

    def with_faces(modulus: float) -> float:
        outer = [(modulus, face)]
        inner = outer if sides == 2 else []
        middle = [(core, core_thickness)] if core_thickness else []
        return stiffness_of([*outer, *middle, *inner])

    low, high = 1.0, 2e12  # Pa; nothing known is stiffer than diamond, some 1.1e12
    if with_faces(high) < stiffness:
        raise ValueError("the strip came out stiffer than anything known")
    for _ in range(200):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if with_faces(middle) < stiffness else (low, middle)
    return math.sqrt(low * high)
