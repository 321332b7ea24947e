"""Thin-airfoil theory: what a mean line and a plain flap do to lift and moment.

The mean line is a vortex sheet laid on the chord; with x = (1 − cos θ)/2 its slope is a Fourier
series whose first terms give everything. Between two points of the mean line the slope is constant,
so the integrals are exact for the line as given.

Source: H. Glauert, *The Elements of Aerofoil and Airscrew Theory* (1926), ch. VII; flaps: H.
Glauert, ARC R&M 1095 (1927), restated in Houghton & Carpenter, *Aerodynamics for Engineering
Students*. Inviscid: real sections lose a little camber effect and a flap 10–25 % of its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.quantity import Quantity

Array = NDArray[np.float64]

LIFT_SLOPE = 2 * math.pi  # per radian


@dataclass(frozen=True)
class ThinSection:
    """What a mean line does, before viscosity."""

    zero_lift_angle: Annotated[float, Quantity("rad", "Zero-lift angle", "thin-airfoil")]
    moment: Annotated[
        float, Quantity("1", "Moment coefficient about the quarter chord", "thin-airfoil")
    ]
    ideal_angle: Annotated[float, Quantity("rad", "Ideal angle of attack", "thin-airfoil")]


@dataclass(frozen=True)
class ThinFlap:
    """What a plain flap, hinged without a gap, does per radian (trailing edge down positive).

    Hinge moments are over ½ρV² and the flap's chord squared; negative pushes the flap back.
    """

    share: Annotated[float, Quantity("1", "Share of the chord", "given-by-designer", "%")]
    effectiveness: Annotated[float, Quantity("1", "Flap effectiveness", "flap-effectiveness")]
    lift: Annotated[float, Quantity("1/rad", "Lift for deflection", "flap-effectiveness")]
    moment: Annotated[
        float, Quantity("1/rad", "Moment about the quarter chord for deflection", "flap-moment")
    ]
    hinge_angle: Annotated[
        float, Quantity("1/rad", "Hinge moment for angle of attack", "hinge-moment")
    ]
    hinge_deflection: Annotated[
        float, Quantity("1/rad", "Hinge moment for deflection", "hinge-moment")
    ]


def _checked(line: Array) -> tuple[Array, Array]:
    points = np.asarray(line, dtype=float)
    if points.ndim != 2 or points.shape[1] != 2 or len(points) < 2:
        raise ValueError("a mean line needs two or more points x, z")
    x, z = points.T
    if not np.isfinite(points).all() or (np.diff(x) <= 0).any():
        raise ValueError("a mean line's x must rise from leading edge to trailing edge")
    return (x - x[0]) / (x[-1] - x[0]), z / (x[-1] - x[0])


def thin_section(line: Array) -> ThinSection:
    """Zero-lift angle, quarter-chord moment and ideal angle of a mean line.

    line: points (x, z), leading edge first; angles are against its x-axis.

    Raises:
        ValueError: fewer than two points, or x does not rise.
    """
    x, z = _checked(line)
    slope = np.diff(z) / np.diff(x)
    theta = np.arccos(1.0 - 2.0 * x)
    a0 = float(slope @ np.diff(theta)) / math.pi  # mean of the slope over θ
    a1 = float(slope @ np.diff(np.sin(theta))) * 2 / math.pi
    a2 = float(slope @ np.diff(np.sin(2 * theta) / 2)) * 2 / math.pi
    return ThinSection(zero_lift_angle=a0 - a1 / 2, moment=math.pi / 4 * (a2 - a1), ideal_angle=a0)


def _hinge(phi: float, share: float) -> tuple[float, float]:
    """Hinge moments for angle of attack and for deflection, by Gauss–Legendre quadrature.

    The loading for deflection has a logarithm at the hinge; the grading θ = φ + (π − φ)t² takes it
    away, and 60 points then hold 1e-7.
    """
    nodes, weights = np.polynomial.legendre.leggauss(60)
    t = (nodes + 1) / 2
    theta = phi + (math.pi - phi) * t**2
    measure = weights / 2 * 2 * t * (math.pi - phi) * np.sin(theta) / 2
    arm = (math.cos(phi) - np.cos(theta)) / 2
    plate = 4 / np.tan(theta / 2)  # pressure difference over ½ρV² for one radian
    bend = np.log(np.sin((theta + phi) / 2) / np.sin((theta - phi) / 2))
    flap = (math.pi - phi) / math.pi * plate + 4 / math.pi * bend
    weight = arm * measure / share**2
    return -float(plate @ weight), -float(flap @ weight)


def thin_flap(share: float) -> ThinFlap:
    """What a plain flap does.

    share: flap chord over chord, above 0 to 1.

    Raises:
        ValueError: the flap has no chord or more than the whole.
    """
    if not 0.0 < share <= 1.0:
        raise ValueError(f"a control's share of the chord is {share:g}, but must lie in 0 to 1")
    phi = math.acos(2 * share - 1)
    lift = 2 * (math.pi - phi + math.sin(phi))
    hinge_angle, hinge_deflection = _hinge(phi, share)
    return ThinFlap(
        share=share,
        effectiveness=lift / LIFT_SLOPE,
        lift=lift,
        moment=-math.sin(phi) * (1 - math.cos(phi)) / 2,
        hinge_angle=hinge_angle,
        hinge_deflection=hinge_deflection,
    )
