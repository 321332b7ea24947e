"""Unrolled cones, developed sections and bent sheet against geometry and handbooks."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from plansgen.airframe.sections import naca_outline
from plansgen.patterns.allowance import bend_allowance, bend_deduction, outer_strain
from plansgen.patterns.develop import Array, Developed, develop
from plansgen.published.case import Case

ROOM = "Unrolling and folds"

_case = partial(Case, room=ROOM, relative=False)
_CONE = "Right circular cone: slant √(r² + h²), sector 2πr/slant, area πr·slant; any geometry text"
_ARC = "Jacobs, Ward & Pinkerton, NACA Report 460 (1933), arc length by numerical integration"
_BEND = "Bend allowance angle × (R + K t), any machinery handbook"
_STEPS = 720  # chords round a circle; each is shorter than its arc by 3e-6


def _ring(radius: float, height: float) -> Array:
    angle = np.linspace(0.0, 2 * math.pi, _STEPS + 1)
    return np.column_stack(
        [radius * np.cos(angle), radius * np.sin(angle), np.full_like(angle, height)]
    )


def _across(sheet: Developed) -> float:
    """From one end of the far rail straight to the other: 2 R sin(sector/2)."""
    return float(np.linalg.norm(sheet.flat_far[-1] - sheet.flat_far[0]))


def _cone() -> Developed:
    return develop(_ring(0.0, 120.0), _ring(50.0, 0.0))


def _frustum() -> tuple[Developed, Array]:
    """The strip and the place in its plane where its rungs meet."""
    sheet = develop(_ring(30.0, 100.0), _ring(50.0, 0.0))
    a, b = sheet.flat_near[0], sheet.flat_far[0]
    middle = len(sheet.flat_near) // 2
    c, d = sheet.flat_near[middle], sheet.flat_far[middle]
    along = np.linalg.solve(np.column_stack([b - a, c - d]), c - a)
    return sheet, np.asarray(a + (b - a) * along[0])


def _skin(digits: str, side: int) -> float:
    """Width of a flat skin of a straight wing of chord 100 mm, unrolled. [mm]"""
    profile = naca_outline(digits)[side] * 100.0
    root = np.column_stack([profile[:, 0], np.zeros(len(profile)), profile[:, 1]])
    sheet = develop(root, root + np.array([0.0, 500.0, 0.0]))
    return float(np.linalg.norm(sheet.flat_near[-1] - sheet.flat_near[0]))


def cases() -> tuple[Case, ...]:
    """A cone, a frustum, skins over NACA sections, a bent sheet."""
    cone = _cone()
    frustum, apex = _frustum()
    chord = "A circle is taken as 720 chords."
    derived = partial(_case, mark="derived")
    return (
        derived(
            key="cone-sector",
            title="Cone of radius 50 and height 120: straight across the ends of its flat sector",
            published=243.1042,
            ours=_across(cone),
            unit="mm",
            tolerance=0.001,
            why=chord,
            source=_CONE,
        ),
        derived(
            key="cone-area",
            title="The same cone: area of the flat sector",
            published=20420.35,
            ours=cone.flat_area,
            unit="mm²",
            tolerance=0.4,
            why=chord,
            source=_CONE,
        ),
        derived(
            key="frustum-outer",
            title="Frustum of radii 30 and 50, height 100: outer radius of its flat ring",
            published=254.950976,
            ours=float(np.linalg.norm(frustum.flat_far[0] - apex)),
            unit="mm",
            tolerance=0.002,
            why=chord,
            source=_CONE,
        ),
        derived(
            key="frustum-sector",
            title="The same frustum: straight across the ends of its flat ring",
            published=294.6573,
            ours=_across(frustum),
            unit="mm",
            tolerance=0.001,
            why=chord,
            source=_CONE,
        ),
        *(
            derived(
                key=f"unrolled-{digits}-{'lower' if side else 'upper'}",
                title=f"NACA {digits}, {'lower' if side else 'upper'} skin unrolled, chord 100 mm",
                published=published,
                ours=_skin(digits, side),
                unit="mm",
                tolerance=1e-3,
                why="Six digits; the skin is laid down in 2000 strips.",
                source=_ARC,
            )
            for digits, side, published in (
                ("0012", 0, 101.9636),
                ("2412", 0, 102.8032),
                ("2412", 1, 101.3370),
                ("4412", 0, 103.8457),
                ("4412", 1, 100.9309),
            )
        ),
        derived(
            key="bend-allowance",
            title="Sheet of 3 mm bent 90° to 5 mm inside, K 0.33: length of the bend",
            published=9.4091,
            ours=bend_allowance(angle=math.pi / 2, radius=5.0, thickness=3.0, k=0.33),
            unit="mm",
            tolerance=1e-4,
            why="The last digit.",
            source=_BEND,
        ),
        derived(
            key="bend-deduction",
            title="The same sheet with K 0.5: what the blank is shorter than both outsides",
            published=5.7898,
            ours=bend_deduction(angle=math.pi / 2, radius=5.0, thickness=3.0, k=0.5),
            unit="mm",
            tolerance=1e-4,
            why="The last digit.",
            source=_BEND,
        ),
        derived(
            key="outer-strain",
            title="Foam of 3 mm bent to 50 mm inside: stretch of its outside",
            published=2.913,
            ours=100 * outer_strain(radius=50.0, thickness=3.0),
            unit="%",
            tolerance=0.001,
            why="The last digit.",
            source="Bending of a thin sheet, t/(2R + t); any text of strength of materials",
        ),
    )
