"""Friction, stall and gliding against closed forms."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from plansgen.atmosphere import air
from plansgen.flight.performance import GlidePoint, glide_points
from plansgen.flight.polars import laminar_friction, turbulent_friction
from plansgen.flight.stall import level_speed
from plansgen.published.case import Case

ROOM = "Friction, stall and gliding"
GLIDE = "J. D. Anderson, Aircraft Performance and Design, drag as CD₀ + k CL²"

_case = partial(Case, room=ROOM, relative=True, mark="derived")
_friction = partial(_case, unit="", tolerance=0.0015, why="Three printed digits.")
_glide = partial(
    _case,
    tolerance=0.002,
    why="Closed form; ours looks for the best among 400 speeds.",
    source=GLIDE,
)


def _gliding() -> tuple[GlidePoint, GlidePoint]:
    """Best glide and least sink of 1 kg on 0.2 m², CD = 0.03 + 0.06 CL²."""
    lifts = np.linspace(1.6, 0.1, 400)
    speeds = level_speed(lift=lifts, mass=1.0, area=0.2, air=air())
    drags = 0.03 + 0.06 * lifts**2
    return glide_points(speeds=speeds.tolist(), lifts=lifts.tolist(), drags=drags.tolist())


def _level(*, load: float) -> float:
    """1 kg on 0.2 m² at CL 1.2. [m/s]"""
    return float(level_speed(lift=1.2, mass=1.0, area=0.2, air=air(), load=load))


def cases() -> tuple[Case, ...]:
    """Skin friction, speed at a lift coefficient, in turns, and gliding with a plain polar."""
    best, least = _gliding()
    return (
        _friction(
            key="blasius",
            title="Friction of one side of a plate, laminar, Re 100 000",
            published=0.00420,
            ours=laminar_friction(1e5),
            source="H. Blasius (1908), 1.328/√Re",
        ),
        _friction(
            key="schlichting",
            title="Friction of one side of a plate, turbulent, Re 100 000",
            published=0.00716,
            ours=turbulent_friction(1e5),
            source="H. Schlichting, Boundary-Layer Theory, 0.455/(log₁₀ Re)^2.58",
        ),
        _case(
            key="stall-turn",
            title="Stall speed in a turn of 60° over that in level flight: √2",
            published=1.41421,
            ours=_level(load=1 / math.cos(math.radians(60))) / _level(load=1.0),
            unit="",
            tolerance=1e-5,
            why="Closed form, six digits.",
            source="Elementary: load factor 1/cos φ",
        ),
        _case(
            key="level-speed",
            title="Speed of 1 kg on 0.2 m² at a lift coefficient of 1.2, sea level",
            published=8.1678,
            ours=_level(load=1.0),
            unit="m/s",
            tolerance=1e-5,
            why="Closed form √(2mg/(ρ S CL)), five digits.",
            source="Elementary, with the air of ISO 2533",
        ),
        _glide(
            key="glide-ratio",
            title="Best glide with CD = 0.03 + 0.06 CL²: 1/(2√(k CD₀))",
            published=11.7851,
            ours=best.ratio,
            unit="",
        ),
        _glide(
            key="glide-lift",
            title="Lift coefficient of the best glide: √(CD₀/k)",
            published=0.707107,
            ours=best.lift,
            unit="",
        ),
        _glide(
            key="sink-lift",
            title="Lift coefficient of least sink: √3 times as much",
            published=1.224745,
            ours=least.lift,
            unit="",
            tolerance=0.01,
            why="The closed form takes small glide angles; at 1 in 10 that is off by 1 %.",
        ),
        _glide(
            key="sink-ratio",
            title="Glide ratio at least sink: √3/2 of the best",
            published=10.2062,
            ours=least.ratio,
            unit="",
            tolerance=0.01,
            why="The closed form takes small glide angles; at 1 in 10 that is off by 1 %.",
        ),
    )
