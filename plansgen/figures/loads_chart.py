"""Shear, bending and torque along one half of a wing."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.axis import Axis
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import Chart
from plansgen.figures.chart_key import KeyRow, draw_notes, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.figures.strength_cases import (
    AXIS_MM,
    CASE_LINES,
    LEFT_MM,
    NOTES_MM,
    RIGHT_MM,
    WIDTH_MM,
    case_words,
    cases_shown,
    number,
    title_of,
)
from plansgen.structure.strength import CaseStrength, SurfaceStrength

_HEIGHTS_MM = (44.0, 54.0, 36.0)
_BETWEEN_MM, _TOP_MM = 8.0, 6.0
_TITLES = ("shear, N", "bending, N m", "torque, N m")


def draw_loads(dossier: Dossier, strength: SurfaceStrength) -> Drawing:
    """Draw the three charts above one another over the same half span."""
    cases = cases_shown(strength)
    rows = [KeyRow(kind, _words(case)) for kind, case in zip(CASE_LINES, cases, strict=False)]
    notes = notes_height(0, rows)
    charts_mm = sum(_HEIGHTS_MM) + _BETWEEN_MM * 2
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=notes + AXIS_MM + charts_mm + _TOP_MM + 2.0)
    tip = max(case.spans[-1] for case in cases)
    tip = max(tip, dossier.airframe.surface(strength.surface).stations[-1].span)
    across = Axis.over([0.0, tip * 1000], most=8, high=False)
    top = canvas.height_mm - _TOP_MM
    for row, (height, title) in enumerate(zip(_HEIGHTS_MM, _TITLES, strict=True)):
        values = [_loads(case)[row] for case in cases]
        area = Rect(LEFT_MM, top - height, RIGHT_MM, top)
        up = Axis.over([0.0, *(value for line in values for value in line)], most=5)
        chart = Chart(canvas, area, across=across, up=up)
        for kind, case, line in zip(CASE_LINES, cases, values, strict=False):
            places = [span * 1000 for span in case.spans]
            chart.line(list(zip(places, line, strict=True)), kind)
        last = row == len(_TITLES) - 1
        chart.axes(title, across="distance along the half from its root, mm" if last else "")
        top = area.bottom - _BETWEEN_MM
    draw_notes(canvas, {}, rows, top=notes + 2.0, left=NOTES_MM)
    return finish(
        canvas.figure(),
        name="loads",
        alt=_alt(dossier, strength, cases),
        caption=f"{title_of(strength)}, one half: shear, bending and torque along it, what its own "
        "mass takes off already taken off. Bending up and torque nose up are positive.",
    )


def _loads(case: CaseStrength) -> tuple[tuple[float, ...], ...]:
    return case.shear, case.bending, case.torque


def _most(values: tuple[float, ...]) -> float:
    return max(values, key=abs)


def _words(case: CaseStrength) -> str:
    return f"{case_words(case)}: most {number(_most(case.bending))} N m of bending"


def _alt(dossier: Dossier, strength: SurfaceStrength, cases: list[CaseStrength]) -> str:
    words = [
        f"{case_words(case)}: most shear {number(_most(case.shear))} N, bending "
        f"{number(_most(case.bending))} N m, torque {number(_most(case.torque))} N m."
        for case in cases
    ]
    return f"Loads along one half of the {strength.title} of {dossier.name}. {' '.join(words)}"
