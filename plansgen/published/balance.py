"""Downwash, bodies and the neutral point."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.flight.derivatives import work_out_derivatives
from plansgen.flight.lattice import Flow, Lattice
from plansgen.flight.slender import flow_turning, inertia_factors
from plansgen.published.case import Case
from plansgen.published.shapes import SMALL, ellipse, loads_of, scale_for, trapezium

ROOM = "Downwash, bodies and the neutral point"
NELSON = "R. C. Nelson, Flight Stability and Automatic Control (2nd ed. 1998)"
BOOK_BODY = 0.12  # 1/rad, what the book adds to the pitching moment for the fuselage
BOTH_SETS = (
    "The same book gives this aeroplane a neutral point of 0.449 c from its table of derivatives "
    "and 0.551 c by adding up wing, tail and fuselage. No method on these pages is better than "
    "0.05 to 0.10 of the mean chord. Balance the first flights with a margin larger than that."
)

_case = partial(Case, room=ROOM)
_place = partial(_case, unit="c", relative=False)


def _far_downwash() -> float:
    """Mean downwash far behind an elliptical wing, over the rule 2 CLα/(πA)."""
    wing = ellipse(20.0)
    lattice, scale = Lattice([wing], strips=24), scale_for(wing)
    points = np.array([[200.0, y, 0.0] for y in (0.05, 0.1, 0.15, 0.2, 0.25)])
    turned = 1 - flow_turning(lattice, points, alpha=0.0, scale=scale)
    slope = loads_of(lattice, Flow(alpha=SMALL), scale).lift / SMALL
    return float(turned.mean()) / (2 * slope * wing.planform.area / math.pi)


def _tail_downwash() -> float:
    """dε/dα half a span behind and level, rectangle of aspect ratio 6."""
    wing = trapezium(6.0)
    point = np.array([[0.25 / 6.0 + 0.5, 0.0, 0.0]])
    return 1 - float(flow_turning(Lattice([wing]), point, alpha=0.0, scale=scale_for(wing))[0])


def light_aeroplane(height: float) -> tuple[LiftingSurface, LiftingSurface]:
    """Wing and tailplane of Nelson's general aviation aeroplane in feet, arm 16 ft.

    Area, span, chord and arm are Nelson's, from memory; the tapers, and a tail of 13.2 ft span, are
    assumed. height: of the tail over the wing. [ft]
    """
    wing = trapezium(33.4**2 / 184.0, taper=0.54, span=33.4)
    trial = trapezium(13.2**2 / 43.0, taper=0.67, span=13.2)
    back = wing.planform.quarter_chord_x + 16.0 - trial.planform.quarter_chord_x
    tail = trapezium(
        13.2**2 / 43.0, taper=0.67, span=13.2, x=back, z=height, key="tail", role="tailplane"
    )
    return wing, tail


def _neutral_points() -> tuple[float, float]:
    """Of the light aeroplane in mean chords: bare, and with the book's fuselage."""
    wing, tail = light_aeroplane(1.5)
    found = work_out_derivatives(
        Lattice([wing, tail]), flow=Flow(), point=(0.0, 0.0, 0.0), scale=scale_for(wing)
    )
    bare = (found.neutral_point - wing.planform.mac_x) / wing.planform.mac
    return bare, bare - BOOK_BODY / found.alpha.lift


def _light_aeroplane() -> tuple[Case, ...]:
    bare, whole = _neutral_points()
    return (
        _place(
            key="navion-bare",
            title="Neutral point of a light aeroplane, wing and tail alone, in mean chords",
            published=0.525,
            ours=bare,
            tolerance=0.05,
            why="What the book's downwash rule is good for.",
            source=f"{NELSON}, ex. 2.2, numbers put into the full formula",
            mark="derived",
        ),
        _place(
            key="navion-sum",
            title="Neutral point of the light aeroplane with fuselage, the book's sum",
            published=0.551,
            ours=whole,
            tolerance=0.10,
            why="The sum leaves the tail out of the whole lift.",
            source=f"{NELSON}, ex. 2.2",
            mark="from memory",
            note=BOTH_SETS,
        ),
        _place(
            key="navion-table",
            title="Neutral point of the light aeroplane from the book's derivatives",
            published=0.449,
            ours=whole,
            tolerance=0.10,
            why="Published sets of this aeroplane differ by 0.04 to 0.10 c among themselves.",
            source=f"{NELSON}, App. B, 0.295 + 0.683/4.44",
            mark="from memory",
            note="Ours lies aft of the table's, which is the unsafe side: propeller, free elevator "
            "and a real wake all move the point forward.",
        ),
    )


def _body(key: str, fineness: float, published: float) -> Case:
    along, across = inertia_factors(fineness)
    return _case(
        key=key,
        title=f"Munk's factor k₂ − k₁ of a body {fineness:g} times as long as wide",
        published=published,
        ours=across - along,
        unit="",
        tolerance=0.0015,
        relative=False,
        why="Two factors printed to three digits.",
        source="M. M. Munk, NACA Report 184 (1924), table",
        mark="from memory",
    )


def cases() -> tuple[Case, ...]:
    """Downwash far behind and at a tail, bodies, and a full-size aeroplane's neutral point."""
    return (
        _case(
            key="downwash-far",
            title="Downwash far behind an ellipse, over 2 CLα/(πA)",
            published=1.0,
            ours=_far_downwash(),
            unit="",
            tolerance=0.05,
            relative=True,
            why="A lattice's load is a little flatter in the middle than an ellipse.",
            source="H. Glauert, The Elements of Aerofoil and Airscrew Theory (1926), ch. XII",
            mark="derived",
        ),
        _case(
            key="downwash-tail",
            title="Downwash half a span behind a rectangle of aspect ratio 6, dε/dα",
            published=0.3606,
            ours=_tail_downwash(),
            unit="",
            tolerance=0.15,
            relative=True,
            why="A fit to tunnels, where the wake rolls up and sinks below the tail.",
            source="USAF Stability and Control DATCOM, fit to measurements",
            mark="from memory",
            note="Our wake stays flat and level with the tail, so the computed downwash is on the "
            "high side. The tail of a real model works a little better than computed, most of all "
            "a high one.",
        ),
        _body("body-4", 3.99, 0.778),
        _body("body-6", 6.01, 0.873),
        *_light_aeroplane(),
    )
