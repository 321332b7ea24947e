"""Moments of inertia against the table that every text of mechanics has."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from plansgen.balance.elements import (
    Moments,
    block,
    inertia_about,
    polyline,
    quad,
    simplex,
)
from plansgen.published.case import Case

ROOM = "Moments of inertia"

_case = partial(
    Case,
    room=ROOM,
    unit="kg mm²",
    relative=True,
    source="Meriam & Kraige, Dynamics, table of mass moments of inertia",
    mark="derived",
)
_exact = partial(_case, tolerance=1e-6, why="Closed form, six digits.")


def _about_centre(moments: Moments, axis: int) -> float:
    """About an axis through the centre. [kg mm²]"""
    return float(inertia_about(moments, moments.centre)[axis, axis]) * 1e6


def cases() -> tuple[Case, ...]:
    """Rod, plate, box, triangle and hoop."""
    rod = simplex([(0, 0, 0), (0.6, 0, 0)], 0.3)
    plate = quad((0, 0, 0), (0.2, 0, 0), (0.2, 0.5, 0), (0, 0.5, 0), 4.0)
    box = block((1, 2, 3), (0.07, 0.034, 0.024), 0.12)
    triangle = simplex([(0, 0, 0), (0.3, 0, 0), (0, 0.2, 0)], 0.03)
    turns = np.linspace(0, 2 * math.pi, 721)
    hoop = polyline([(0.1 * math.cos(a), 0.1 * math.sin(a), 0.0) for a in turns.tolist()], 0.05)
    return (
        _exact(
            key="rod-middle",
            title="Rod 600 mm, 300 g, about its middle: m L²/12",
            published=9000.0,
            ours=_about_centre(rod, 1),
        ),
        _exact(
            key="rod-end",
            title="Rod 600 mm, 300 g, about its end: m L²/3",
            published=36000.0,
            ours=float(inertia_about(rod, np.zeros(3))[1, 1]) * 1e6,
        ),
        _exact(
            key="plate",
            title="Plate 200 × 500 mm, 400 g, turned in its plane",
            published=9666.6667,
            ours=_about_centre(plate, 2),
        ),
        _exact(
            key="box",
            title="Battery 70 × 34 × 24 mm, 120 g, about its length",
            published=17.32,
            ours=_about_centre(box, 0),
        ),
        _exact(
            key="triangle",
            title="Triangle 300 × 200 mm, 30 g, about its base's direction: m h²/18",
            published=66.666667,
            ours=_about_centre(triangle, 0),
        ),
        _case(
            key="hoop",
            title="Hoop of radius 100 mm, 50 g, about its axis: m r²",
            published=500.0,
            ours=_about_centre(hoop, 2),
            tolerance=1e-4,
            why="720 straight pieces instead of a circle.",
        ),
    )
