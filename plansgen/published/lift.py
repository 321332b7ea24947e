"""The vortex lattice against worked examples, limits of theory and wind tunnels."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from plansgen.flight.lattice import Lattice
from plansgen.published.case import Case
from plansgen.published.lifting_line import TERMS, lifting_line
from plansgen.published.shapes import (
    SMALL,
    ellipse,
    lift_slope,
    small_angle_loads,
    trapezium,
)

ROOM = "Lift and induced drag"
BERTIN = "J. J. Bertin & M. L. Smith, Aerodynamics for Engineers, ex. 7.2"
EVEN = "An independent lattice of even panels, carried to its limit"
GLAUERT = "H. Glauert, The Elements of Aerofoil and Airscrew Theory (1926), ch. XI"
LONG = 9.424778  # aspect ratio of Glauert's row A/a₀ = 1.5

_case = partial(Case, room=ROOM, relative=True)
_slope = partial(_case, unit="1/rad")


def _textbook() -> tuple[Case, ...]:
    """Aspect ratio 5, swept 45°, four even panels a side, in one row."""
    wing = trapezium(5.0, sweep=45.0)
    loads = small_angle_loads(wing, rows=1, strips=4, spacing="uniform")
    tip = [s.circulation for s in loads.strips if s.y > 0.0][-1] / (4 * math.pi * SMALL)
    centre = -loads.pitch / loads.lift * wing.planform.mac
    same = partial(_case, source=BERTIN, mark="from memory")
    return (
        same(
            key="bertin-slope",
            title="Lift slope, aspect ratio 5 swept 45°, four panels a side",
            published=3.443,
            ours=loads.lift / SMALL,
            unit="1/rad",
            tolerance=0.002,
            why="The same algebra; the book rounds on the way.",
        ),
        same(
            key="bertin-tip",
            title="Strength of that wing's tip panel, Γ/(4πbVα)",
            published=0.0250,
            ours=tip,
            unit="",
            tolerance=5e-5,
            relative=False,
            why="Half of the last printed digit.",
        ),
        same(
            key="bertin-centre",
            title="Where that wing's lift acts, behind its nose, in spans",
            published=0.29594,
            ours=centre,
            unit="",
            tolerance=1e-5,
            relative=False,
            why="The same algebra in another program, five digits.",
            source="An independent lattice of the same panels",
            mark="derived",
        ),
    )


def _plates() -> tuple[Case, ...]:
    """Rectangles: limits of even lattices, a formula, a tunnel, and the short-wing limit."""
    six = lift_slope(trapezium(6.0))
    limit = partial(
        _slope,
        tolerance=0.005,
        why="Our lattice's step from its own limit.",
        source=EVEN,
        mark="derived",
    )
    return (
        limit(
            key="rectangle-2",
            title="Lift slope of a rectangle of aspect ratio 2",
            published=2.471,
            ours=lift_slope(trapezium(2.0)),
        ),
        limit(
            key="rectangle-6",
            title="Lift slope of a rectangle of aspect ratio 6",
            published=4.213,
            ours=six,
        ),
        _slope(
            key="helmbold-6",
            title="Lift slope of aspect ratio 6 by Helmbold's formula",
            published=4.5287,
            ours=six,
            tolerance=0.075,
            why="The formula is fitted to elliptical loads; a rectangle lifts up to 7.5 % less.",
            source="J. D. Anderson, Aircraft Performance and Design, eq. 2.18a",
            mark="published",
            note="Quick formulas give a plain rectangular wing more lift for its angle than it "
            "has. At a lift coefficient of 0.6 it needs about half a degree more than they say.",
        ),
        _slope(
            key="short-limit",
            title="Lift slope of aspect ratio 0.05: πA/2",
            published=0.07854,
            ours=lift_slope(trapezium(0.05)),
            tolerance=0.003,
            why="The next term of the series is below 0.3 % here.",
            source="R. T. Jones, NACA Report 835 (1946)",
            mark="from memory",
        ),
        _slope(
            key="plate-3-tunnel",
            title="Lift slope of a flat plate, aspect ratio 3, measured",
            published=3.3,
            ours=lift_slope(trapezium(3.0)),
            tolerance=0.10,
            why="Read from a figure, good to 10 %.",
            source="A. Pelletier & T. J. Mueller, J. Aircraft 37 (2000)",
            mark="from memory",
            note="The measured figure can be read to 10 % only, so this shows that the size is "
            "right and no more.",
        ),
        _slope(
            key="swept-tunnel",
            title="Lift slope, aspect ratio 5 swept 45°, measured at 2.1°",
            published=3.301,
            ours=lift_slope(trapezium(5.0, sweep=45.0)),
            tolerance=0.05,
            why="The tunnel wing had a thick section and a boundary layer, the theory neither.",
            source="J. Weber & G. G. Brebner, ARC R&M 2882, CL 0.121",
            mark="from memory",
            note="The real swept wing lifts a little more than computed. It then flies at a "
            "slightly smaller angle, which harms nothing.",
        ),
    )


def _lines() -> tuple[Case, ...]:
    """Elliptical and rectangular wings against the lifting line."""
    wing = ellipse(20.0)
    loads = small_angle_loads(wing, strips=24)
    efficiency = loads.efficiency(area=wing.planform.area, span=1.0)
    return (
        _slope(
            key="ellipse-20",
            title="Lift slope of an ellipse of aspect ratio 20: 2πA/(A + 2)",
            published=5.7120,
            ours=loads.lift / SMALL,
            tolerance=0.02,
            why="The line has no chord; the chord costs about 0.7 % by Jones's edge correction, "
            "and as much again by surface theory.",
            source=GLAUERT,
            mark="derived",
        ),
        _case(
            key="ellipse-efficiency",
            title="Span efficiency of that ellipse",
            published=1.0,
            ours=efficiency,
            unit="",
            tolerance=0.005,
            why="The chord moves the load a little towards the tips.",
            source=GLAUERT,
            mark="derived",
        ),
        _slope(
            key="line-rectangle",
            title="Lift slope of a rectangle with A/a₀ = 1.5, τ = 0.2168",
            published=4.9938,
            ours=lift_slope(trapezium(LONG)),
            tolerance=0.05,
            why="The line has no chord. By Jones's edge correction that costs 2 % for an ellipse "
            "of this length, and surface theory finds about 2 % more.",
            source=GLAUERT,
            mark="derived",
            note="Lifting-line theory, which many hand methods rest on, makes stubby wings lift "
            "more than they do.",
        ),
        _case(
            key="trefftz-rectangle",
            title="Extra drag δ of the line's load, rectangle, aspect ratio 6",
            published=0.0483,
            ours=_extra_drag(6.0, 1.0),
            unit="",
            tolerance=0.001,
            relative=False,
            why="The load goes in strip by strip.",
            source=GLAUERT,
            mark="derived",
        ),
        _case(
            key="trefftz-taper",
            title="Extra drag δ of the line's load, taper 0.4, aspect ratio 6",
            published=0.0088,
            ours=_extra_drag(6.0, 0.4),
            unit="",
            tolerance=0.001,
            relative=False,
            why="The load goes in strip by strip.",
            source=GLAUERT,
            mark="derived",
        ),
    )


def _extra_drag(aspect: float, taper: float) -> float:
    """δ in C_D = C_L² (1 + δ)/(πA), for the lifting line's load in our Trefftz plane."""
    series = lifting_line(aspect, taper, np.ones_like)
    lattice = Lattice([trapezium(aspect, taper=taper)], rows=1)
    (sheet,) = lattice.sheets
    theta = np.arccos(-2 * sheet.mid_edges[:, 1])
    load = 2 * np.sin(np.outer(theta, np.arange(1, TERMS + 1))) @ series
    area = 1 / aspect
    lift = 2 * float(load @ sheet.widths) / area
    drag = 2 * float(lattice.trefftz.drag(load)) / area
    return drag * math.pi * aspect / lift**2 - 1


def cases() -> tuple[Case, ...]:
    """A textbook's lattice, plates, and wings against the lifting line."""
    return (*_textbook(), *_plates(), *_lines())
