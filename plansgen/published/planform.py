"""Wing geometry against worked examples and closed forms."""

from __future__ import annotations

import math
from collections.abc import Sequence

from plansgen.airframe.planform import Planform, work_out_planform
from plansgen.published.case import Case
from plansgen.published.shapes import station

ROOM = "Wing geometry"
RAYMER = "D. P. Raymer, Aircraft Design: A Conceptual Approach, c̄ = (2/S) ∫ c² dy"
STRIPS = "Perkins & Hage, Airplane Performance, Stability and Control, Γ = ∫ Γ c y dy/∫ c y dy"
PRINTED = 1e-4  # mm; the worked values are rounded to four decimals
BY_HAND = "Worked by hand to 0.0001 mm."

Row = tuple[float, float, float]
# Rows of distance out, leading edge and chord of one half. [mm]
TAPERED: Sequence[Row] = [(0, 0, 400), (1000, 600, 200)]
CRANKED: Sequence[Row] = [(0, 0, 200), (300, 0, 200), (600, 50, 120)]
TWICE: Sequence[Row] = [(0, 0, 250), (200, 10, 220), (500, 60, 120)]
SWEPT_TIPS: Sequence[Row] = [(0, 0, 200), (400, 0, 200), (600, 80, 100)]
DELTA: Sequence[Row] = [(0, 0, 300), (500, 300, 0)]


def _planform(rows: Sequence[Row]) -> Planform:
    stations = [
        station(y / 1000, x=x / 1000, y=y / 1000, chord=chord / 1000) for y, x, chord in rows
    ]
    return work_out_planform(stations, mirrored=True, weight="level")


def _ellipse() -> Planform:
    """Span 1 m, root chord 200 mm, sixty stations by even steps of arc."""
    arcs = [math.pi / 2 * number / 59 for number in range(60)]
    return _planform([(500 * math.sin(a), 0.0, 200 * max(math.cos(a), 0.0)) for a in arcs])


def _bent(*panels: tuple[float, float]) -> Planform:
    """Constant chord; panels of (end in m, dihedral in degrees)."""
    row, y, z, before = [station(0.0, chord=0.2)], 0.0, 0.0, 0.0
    for end, degrees in panels:
        angle = math.radians(degrees)
        y, z = y + (end - before) * math.cos(angle), z + (end - before) * math.sin(angle)
        row.append(station(end, y=y, z=z, chord=0.2))
        before = end
    return work_out_planform(row, mirrored=True, weight="level")


def _length(key: str, title: str, published: float, metres: float, source: str = RAYMER) -> Case:
    return Case(
        key=key,
        room=ROOM,
        title=title,
        published=published,
        ours=metres * 1000,
        unit="mm",
        tolerance=PRINTED,
        relative=False,
        why=BY_HAND,
        source=source,
        mark="derived",
    )


def _round(key: str, title: str, published: float, metres: float) -> Case:
    return Case(
        key=key,
        room=ROOM,
        title=title,
        published=published,
        ours=metres * 1000,
        unit="mm",
        tolerance=2e-4,
        relative=True,
        why="Sixty stations, the most that a file holds, cut 0.012 % off the area of an ellipse.",
        source="Closed form: c̄ = 8 c₀/(3π), ȳ = 4/(3π) · b/2",
        mark="derived",
    )


def _angle(key: str, title: str, published: float, planform: Planform) -> Case:
    return Case(
        key=key,
        room=ROOM,
        title=title,
        published=published,
        ours=math.degrees(planform.equivalent_dihedral),
        unit="°",
        tolerance=0.005,
        relative=False,
        why="Half of the last digit.",
        source=STRIPS,
        mark="derived",
    )


def cases() -> tuple[Case, ...]:
    """Mean aerodynamic chords, an ellipse, bent wings."""
    tapered = _planform(TAPERED)
    ellipse = _ellipse()
    example = f"A worked example in general use; {RAYMER}"
    return (
        _length(
            "mac-tapered", "Mean chord, 400 to 200 mm, swept", 311.1111, tapered.mac, source=example
        ),
        _length(
            "mac-tapered-quarter",
            "Quarter point of that chord, behind the root's nose",
            344.4444,
            tapered.quarter_chord_x,
            source=example,
        ),
        _length("mac-cranked", "Mean chord of a cranked wing", 183.7037, _planform(CRANKED).mac),
        _length("mac-twice", "Mean chord, two tapered panels", 203.8776, _planform(TWICE).mac),
        _length(
            "mac-swept-tips",
            "Quarter point, straight wing with swept tips",
            56.6667,
            _planform(SWEPT_TIPS).quarter_chord_x,
        ),
        _length("mac-delta", "Leading edge of a delta's mean chord", 100.0, _planform(DELTA).mac_x),
        _round("mac-ellipse", "Mean chord of an ellipse", 169.7653, ellipse.mac),
        _round(
            "mac-ellipse-out",
            "How far out the mean chord of an ellipse lies",
            212.2066,
            ellipse.mac_y,
        ),
        _angle("bent-tips", "Dihedral, flat to half then 10°", 7.50, _bent((0.5, 0), (1, 10))),
        _angle("gull", "Dihedral, 8° to four tenths then flat", 1.28, _bent((0.4, 8), (1, 0))),
        _angle("polyhedral", "Dihedral, 4° to six tenths then 12°", 9.12, _bent((0.6, 4), (1, 12))),
    )
