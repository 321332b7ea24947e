"""Hinge moments of plain flaps and the laws of the lever against closed forms."""

from __future__ import annotations

import math
from functools import partial

from plansgen.controls.hinge import glauert
from plansgen.controls.linkage import Linkage
from plansgen.published.case import Case

ROOM = "Hinge moments and linkages"
GLAUERT = (
    "H. Glauert, ARC R&M 1095 (1927), loading integrated; restated in Houghton & Carpenter, "
    "Aerodynamics for Engineering Students"
)

# Share of the chord, hinge moment for angle of attack, for deflection.
ROWS = (
    (0.10, -0.3449, -0.8842),
    (0.15, -0.4273, -0.9031),
    (0.20, -0.4994, -0.9229),
    (0.25, -0.5653, -0.9436),
    (0.30, -0.6274, -0.9654),
    (0.40, -0.7448, -1.0127),
    (0.50, -0.8584, -1.0658),
)

_hinge = partial(
    Case,
    room=ROOM,
    unit="",
    tolerance=6e-5,
    relative=False,
    why="Half of the last printed digit.",
    source=GLAUERT,
    mark="derived",
)
_linkage = partial(
    Case,
    room=ROOM,
    unit="°",
    relative=False,
    source="Elementary: a rod that keeps its length",
    mark="derived",
)


def cases() -> tuple[Case, ...]:
    """Glauert's hinge moments at seven shares of the chord, and three linkages."""
    found = []
    for share, of_angle, of_deflection in ROWS:
        ours = glauert(share)
        percent = f"{share * 100:.0f}"
        found += [
            _hinge(
                key=f"hinge-angle-{percent}",
                title=f"Hinge moment per radian of angle of attack, control {percent} % of chord",
                published=of_angle,
                ours=ours[0],
            ),
            _hinge(
                key=f"hinge-deflection-{percent}",
                title=f"Hinge moment per radian of deflection, control {percent} % of chord",
                published=of_deflection,
                ours=ours[1],
            ),
        ]
    return (*found, *_linkages())


def _swing(linkage: Linkage, degrees: float) -> float:
    swing = linkage.swing(math.radians(degrees))
    return math.nan if swing is None else math.degrees(swing)


def _linkages() -> tuple[Case, ...]:
    return (
        _linkage(
            key="linkage-parallel",
            title="Arm and horn 12 mm: the surface turns as far as the servo, 40°",
            published=40.0,
            ours=_swing(Linkage(arm=0.012, horn=0.012, rod=0.15), 40.0),
            tolerance=1e-6,
            why="Closed form: a parallelogram.",
        ),
        _linkage(
            key="linkage-sine",
            title="Arm 8 mm, horn 16 mm, endless rod, servo at 40°: sin φ = ½ sin 40°",
            published=18.7472,
            ours=_swing(Linkage(arm=0.008, horn=0.016, rod=1e5), 40.0),
            tolerance=1e-4,
            why="Closed form; our rod is 100 km long for it.",
        ),
        _linkage(
            key="linkage-right-angle",
            title="Arm 10 mm, horn 20 mm, endless rod, servo at 90°: 30°",
            published=30.0,
            ours=_swing(Linkage(arm=0.010, horn=0.020, rod=1e5), 90.0),
            tolerance=1e-4,
            why="Closed form; our rod is 100 km long for it.",
        ),
    )
