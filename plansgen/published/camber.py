"""Camber and plain flaps by thin-airfoil theory, against its own numbers and a tunnel's."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from plansgen.flight.mean_line import mean_line_of
from plansgen.flight.thin_airfoil import ThinSection, thin_flap, thin_section
from plansgen.published.case import Case
from plansgen.published.shapes import station

ROOM = "Camber and controls"
GLAUERT = "H. Glauert, The Elements of Aerofoil and Airscrew Theory (1926), ch. VII"
FLAPS = "H. Glauert, ARC R&M 1095 (1927)"
TUNNEL = "Abbott, von Doenhoff & Stivers, NACA Report 824 (1945), measured"
ANGLE_NOTE = (
    "Theory has no friction, so a real section gives a little less camber effect than computed. "
    "On the model that is a fraction of a degree of elevator."
)
MOMENT_NOTE = (
    "The computed nose-down moment is larger than a tunnel measures. Expect to need a little less "
    "up-elevator than computed."
)

_theory = partial(Case, room=ROOM, relative=False, mark="derived")
_flap = partial(
    _theory, unit="", tolerance=6e-5, why="Half of the last digit, and a little.", source=FLAPS
)
_measured = partial(Case, room=ROOM, relative=True, source=TUNNEL, mark="from memory")


def _section(digits: str) -> ThinSection:
    return thin_section(mean_line_of(station(0.0, digits=digits)))


def _arc() -> ThinSection:
    """A shallow arc of 4 % camber."""
    x = (1 - np.cos(np.linspace(0, math.pi, 401))) / 2
    return thin_section(np.column_stack([x, 4 * 0.04 * x * (1 - x)]))


def cases() -> tuple[Case, ...]:
    """Zero-lift angles and moments of mean lines; lift, moment and hinge moment of flaps."""
    two, four = _section("2412"), _section("4412")
    quarter, half = thin_flap(0.25), thin_flap(0.5)
    return (
        _theory(
            key="zero-lift-2412",
            title="NACA 2412, angle without lift, theory",
            published=-2.0772,
            ours=math.degrees(two.zero_lift_angle),
            unit="°",
            tolerance=1e-4,
            why="The last digit.",
            source=GLAUERT,
        ),
        _theory(
            key="zero-lift-4412",
            title="NACA 4412, angle without lift, theory",
            published=-4.1545,
            ours=math.degrees(four.zero_lift_angle),
            unit="°",
            tolerance=1e-4,
            why="The last digit.",
            source=GLAUERT,
        ),
        _theory(
            key="zero-lift-arc",
            title="Arc of 4 % camber, angle without lift",
            published=-4.584,
            ours=math.degrees(_arc().zero_lift_angle),
            unit="°",
            tolerance=1e-3,
            why="The last digit.",
            source=GLAUERT,
        ),
        _measured(
            key="zero-lift-2412-tunnel",
            title="NACA 2412, angle without lift, measured",
            published=-2.0,
            ours=math.degrees(two.zero_lift_angle),
            unit="°",
            tolerance=0.05,
            why="Friction takes 2 to 5 % off the effect of camber.",
            note=ANGLE_NOTE,
        ),
        _measured(
            key="zero-lift-4412-tunnel",
            title="NACA 4412, angle without lift, measured",
            published=-4.0,
            ours=math.degrees(four.zero_lift_angle),
            unit="°",
            tolerance=0.05,
            why="Friction takes 2 to 5 % off the effect of camber.",
            note=ANGLE_NOTE,
        ),
        _measured(
            key="moment-2412-tunnel",
            title="NACA 2412, moment about the quarter chord, measured",
            published=-0.047,
            ours=two.moment,
            unit="",
            tolerance=0.15,
            why="Friction takes up to a seventh off the moment.",
            note=MOMENT_NOTE,
        ),
        _measured(
            key="moment-4412-tunnel",
            title="NACA 4412, moment about the quarter chord, measured",
            published=-0.093,
            ours=four.moment,
            unit="",
            tolerance=0.15,
            why="Friction takes up to a seventh off the moment.",
            note=MOMENT_NOTE,
        ),
        _flap(
            key="flap-25",
            title="Effectiveness of a control of 25 % of the chord",
            published=0.6090,
            ours=quarter.effectiveness,
        ),
        _flap(
            key="flap-50",
            title="Effectiveness of a control of 50 % of the chord",
            published=0.8183,
            ours=half.effectiveness,
        ),
        _flap(
            key="flap-moment",
            title="Moment of a 25 % control about the quarter chord (per radian)",
            published=-0.6495,
            ours=quarter.moment,
        ),
        _flap(
            key="hinge-deflection",
            title="Hinge moment of a 25 % control for deflection (per radian)",
            published=-0.9436,
            ours=quarter.hinge_deflection,
        ),
        _flap(
            key="hinge-angle",
            title="Hinge moment of a 25 % control for angle of attack (per radian)",
            published=-0.5653,
            ours=quarter.hinge_angle,
        ),
    )
