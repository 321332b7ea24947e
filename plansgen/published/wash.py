"""Propeller wash and the wing's wake against closed forms and the momentum theorem."""

from __future__ import annotations

import math
from functools import partial

from plansgen.flight.slipstream import disc
from plansgen.flight.wake import wake_at
from plansgen.published.case import Case

ROOM = "Propeller wash and the wing's wake"
GLAUERT = "H. Glauert, The Elements of Aerofoil and Airscrew Theory (1926), ch. XV"

_disc = partial(
    Case, room=ROOM, relative=True, tolerance=1e-5, why="Closed form, six digits.", mark="derived"
)


def _drag_from_wake(*, drag: float, chord: float, chords: float) -> float:
    """Profile drag coefficient that the wake carries: (2/c) ∫ u (1 − u) dz."""
    wake = wake_at(distance=chords * chord, chord=chord, drag=drag)
    steps = 400
    total = 0.0
    for step in range(steps):
        u = math.sqrt(1 - wake.loss_at(wake.half_width * (2 * (step + 0.5) / steps - 1)))
        total += 2 * u * (1 - u)
    return total * 2 * wake.half_width / steps / chord


def cases() -> tuple[Case, ...]:
    """An actuator disc of 254 mm at 10 N, and the drag in a wake."""
    still = disc(thrust=10.0, diameter=0.254, speed=0.0, density=1.225)
    return (
        _disc(
            key="disc-added",
            title="Speed added at a 254 mm disc pulling 10 N, standing: √(T/2ρA)",
            published=8.97508,
            ours=still.added,
            unit="m/s",
            source=GLAUERT,
        ),
        _disc(
            key="disc-far",
            title="Speed of that disc's wash far behind: twice as much",
            published=17.95016,
            ours=still.far_speed,
            unit="m/s",
            source=GLAUERT,
        ),
        _disc(
            key="disc-power",
            title="Least power of that disc",
            published=89.7508,
            ours=still.power,
            unit="W",
            source=GLAUERT,
        ),
        _disc(
            key="disc-width",
            title="Width of the wash far behind, over the disc's: 1/√2",
            published=0.707107,
            ours=still.far_radius / 0.127,
            unit="",
            source=GLAUERT,
        ),
        _disc(
            key="disc-axis",
            title="Speed a radius behind, over that at the disc: 1 + 1/√2",
            published=1.707107,
            ours=still.speed_at(0.127) / still.added,
            unit="",
            source="B. W. McCormick, Aerodynamics of V/STOL Flight (1967)",
        ),
        Case(
            key="wake-drag",
            room=ROOM,
            title="Drag of a section with c_d 0.012, from its wake a chord behind",
            published=0.012,
            ours=_drag_from_wake(drag=0.012, chord=0.2, chords=1.0),
            unit="",
            tolerance=0.4,
            relative=True,
            why="Width and depth of the wake were fitted apart, to measured wakes.",
            source="Momentum theorem, B. M. Jones, ARC R&M 1688; wake of A. Silverstein & "
            "S. Katzoff, NACA Report 648 (1939)",
            mark="from memory",
            note="Whether the middle of the wake has lost a fifth or a seventh of its dynamic "
            "pressure cannot be told from this. If in doubt, put the tail out of the wake.",
        ),
    )
