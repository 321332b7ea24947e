"""Loads along a wing and bending of beams, against closed forms and older methods."""

from __future__ import annotations

from functools import partial

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.published.case import Case
from plansgen.published.shapes import small_angle_loads, trapezium
from plansgen.structure.along import Forces
from plansgen.structure.deflection import bent
from plansgen.structure.events import gust_of, pull
from plansgen.structure.span_loads import span_load_of

ROOM = "Loads and beams"
LOAD = 40.0  # N; 10 N at four times its weight
STRIPS = 400
BEAM = 10e9 * 2e-3 * 10e-3**3 / 12  # N m²; E 10 GPa, strip 10 × 2 mm on edge
TIMOSHENKO = "S. Timoshenko, Strength of Materials I, deflection of beams"
TEXT = "J. D. Anderson, Aircraft Performance and Design, V-n diagram"

_case = partial(Case, room=ROOM, relative=True, mark="derived")


def _even(wing: LiftingSurface, cumulative: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Forces:
    """Upright forces between even strips of a straight half wing, from the load inboard of each."""
    edges = np.linspace(0.0, wing.stations[-1].span, STRIPS + 1)
    upright = np.diff(cumulative)
    middles = (edges[:-1] + edges[1:]) / 2
    zero = np.zeros(STRIPS)
    return Forces(
        np.column_stack([zero, middles, zero]),
        np.column_stack([zero, zero, upright]),
        edges[:-1],
        edges[1:],
        np.tile([0.0, 1.0, 0.0], (STRIPS, 1)),
    )


def _root_bending(lift: bool, weight: bool) -> float:
    """Bending at the root of a wing of 1 m span that carries 40 N. [N m]

    lift: spread as half an ellipse. weight: three tenths of it are the wing's own, spread evenly.
    """
    wing = trapezium(6.0)
    eta = np.linspace(0.0, 1.0, STRIPS + 1)
    total = np.zeros_like(eta)
    if lift:
        total += LOAD / 2 * 2 / np.pi * (eta * np.sqrt(1 - eta**2) + np.arcsin(eta))
    if weight:
        total -= 0.3 * LOAD / 2 * eta
    return span_load_of(wing, _even(wing, total), case="check", axis=0.25).bending[0]


def _centre(taper: float) -> float:
    """Where an even lattice's lift acts on a half wing of aspect ratio 6, of the half span."""
    wing = trapezium(6.0, taper=taper)
    loads = small_angle_loads(wing, rows=8, strips=20, spacing="uniform")
    strips = [s for s in loads.strips if s.y > 0.0]
    lift = [s.circulation * s.width for s in strips]
    return sum(f * s.y for f, s in zip(lift, strips, strict=True)) / sum(lift) / 0.5


def _along_wing() -> tuple[Case, ...]:
    ellipse, relief = _root_bending(True, False), -_root_bending(False, True)
    exact = partial(
        _case,
        tolerance=1e-4,
        why="Four hundred even strips instead of a smooth load.",
        source="Half an ellipse has its centre at 4/(3π); statics",
    )
    schrenk = partial(
        _case,
        unit="",
        source="O. Schrenk, NACA TM 948 (1940): mean of the chord and an ellipse",
    )
    return (
        exact(
            key="loads-ellipse",
            title="Root bending, span 1 m, 40 N spread as half an ellipse",
            published=4.24413,
            ours=ellipse,
            unit="N m",
        ),
        exact(
            key="loads-relief",
            title="Share of it that a wing of three tenths of the mass takes off",
            published=0.3534,
            ours=relief / ellipse,
            unit="",
        ),
        exact(
            key="loads-net",
            title="Root bending that is left",
            published=2.74413,
            ours=_root_bending(True, True),
            unit="N m",
        ),
        schrenk(
            key="loads-schrenk",
            title="Where the half wing's lift acts, aspect ratio 6, no taper, of the half span",
            published=0.46221,
            ours=_centre(1.0),
            tolerance=0.035,
            why="An even lattice of twenty strips is known to lie 3 % further in than the rule.",
            note="Schrenk's rule of thumb bends an untapered wing a little more than the lattice; "
            "than the finely spaced one that the loads are worked out with, by 4 %.",
        ),
        schrenk(
            key="loads-schrenk-taper",
            title="The same with a taper of one half",
            published=0.43443,
            ours=_centre(0.5),
            tolerance=0.015,
            why="The same lattice is known to lie 1 % further in than the rule at that taper.",
        ),
    )


def _factors() -> tuple[Case, ...]:
    gust = gust_of(loading=30.0, density=1.225, chord=0.2, slope=4.5, gust=3.0, speed=10.0)
    formula = partial(
        _case,
        unit="",
        tolerance=1e-4,
        why="The same formula, five digits.",
        source="K. G. Pratt, NACA Report 1206 (1954), worked by hand at 30 N/m²",
        mark="from memory",
    )
    return (
        _case(
            key="loads-pull",
            title="Load factor at two and a half times the stall speed",
            published=6.25,
            ours=pull(speed=20.0, stall=8.0),
            unit="",
            tolerance=1e-9,
            why="Closed form.",
            source=TEXT,
        ),
        formula(
            key="loads-gust-ratio",
            title="Mass ratio of a model in a gust",
            published=5.5495,
            ours=gust.mass_ratio,
        ),
        formula(
            key="loads-gust-share",
            title="How much of a sharp gust it feels",
            published=0.45012,
            ours=gust.alleviation,
        ),
        formula(
            key="loads-gust",
            title="Load factor that a gust of 3 m/s adds at 10 m/s",
            published=1.24064,
            ours=gust.step,
        ),
    )


def _tip(length: float, push: float, spread: float) -> float:
    """Tip deflection of a cantilever under a push at its tip and a spread load. [mm]"""
    spans = np.linspace(0.0, length, 31)
    left = length - spans
    return 1000 * float(
        bent(
            spans=spans.tolist(),
            moments=(push * left + spread * left**2 / (2 * length)).tolist(),
            shears=(push + spread * left / length).tolist(),
            stiffness=[BEAM] * len(spans),
        )[-1]
    )


def _beams() -> tuple[Case, ...]:
    beam = partial(
        _case, unit="mm", tolerance=2e-5, why="Closed form, five digits.", source=TIMOSHENKO
    )
    return (
        beam(
            key="beam-tip",
            title="Strip 10 × 2 mm on edge, 500 mm out, 1 N at its end: P L³/3EI",
            published=25.0,
            ours=_tip(0.5, 1.0, 0.0),
        ),
        beam(
            key="beam-spread",
            title="The same with 1 N spread over it: W L³/8EI",
            published=9.375,
            ours=_tip(0.5, 0.0, 1.0),
        ),
        beam(
            key="beam-two-supports",
            title="The same on two supports, 1 N in the middle: P L³/48EI",
            published=1.5625,
            ours=_tip(0.25, 0.5, 0.0),
        ),
        beam(
            key="beam-two-supports-spread",
            title="The same on two supports, 1 N spread over it: 5 W L³/384EI",
            published=0.97656,
            ours=_tip(0.25, 0.5, -0.5),
        ),
    )


def cases() -> tuple[Case, ...]:
    """Loads along a wing, load factors, beams."""
    return (*_along_wing(), *_factors(), *_beams())
