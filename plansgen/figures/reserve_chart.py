"""Reserve factor along one half of a wing, below the wing itself with its weakest place marked."""

from __future__ import annotations

import math
from itertools import pairwise

from plansgen.airframe.build import LiftingSurface
from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.axis import Axis
from plansgen.figures.blocks import mm
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import LEVEL, Chart, End
from plansgen.figures.chart_key import BALLOONS_MM, KeyRow, draw_notes, mark_places, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.figures.strength_cases import (
    AXIS_MM,
    CASE_LINES,
    LEFT_MM,
    NOTES_MM,
    WIDTH_MM,
    LogAxis,
    case_words,
    cases_shown,
    reserve_words,
    title_of,
    where_words,
)
from plansgen.structure.reserve import CAP
from plansgen.structure.strength import SurfaceStrength

_RIGHT_MM = 152.0
_CHART_MM, _BETWEEN_MM = 72.0, 5.0
_MOST = 20.0  # greater reserve factors are cut off
_PLAN_MM = 90.0  # greatest height of the wing's plan
_MARK_MM = 1.6


def draw_reserve(dossier: Dossier, strength: SurfaceStrength, *, wanted: float) -> Drawing:
    """Draw the half wing and below it, over the same span, the reserve factors.

    wanted: the reserve factor wanted.
    """
    places = _places(strength)
    rows = _rows(strength)
    notes = notes_height(len(places), rows)
    surface = dossier.airframe.surface(strength.surface)
    plan_mm, right = _plan_size(surface)
    height = notes + AXIS_MM + _CHART_MM + _BETWEEN_MM + plan_mm + BALLOONS_MM + 4.0
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=height)
    foot = notes + AXIS_MM + 2.0
    across = Axis.over([0.0, surface.stations[-1].span * 1000], most=8, high=False)
    chart = Chart(
        canvas,
        Rect(LEFT_MM, foot, right, foot + _CHART_MM),
        across=across,
        up=LogAxis.reserves([case.weakest.low for case in cases_shown(strength)], most=_MOST),
    )
    low, high = _chordwise(surface)
    middle = chart.area.top + _BETWEEN_MM
    plan = Chart(
        canvas,
        Rect(LEFT_MM, middle, right, middle + plan_mm),
        across=across,
        up=Axis(low * 1000, high * 1000, 1.0),
    )
    _draw_wing(plan, surface, strength)
    _draw_chart(chart, strength, wanted)
    words = mark_places((plan, chart), places)
    draw_notes(canvas, words, rows, top=notes + 2.0, left=NOTES_MM)
    return finish(
        canvas.figure(),
        name="reserve",
        alt=_alt(dossier, strength, wanted),
        caption=f"{title_of(strength)}, one half laid flat, and its reserve factor: strength over "
        f"load at the weakest part of each cut; the cross is the weakest place in service. Cut off "
        f"at {_MOST:.0f}; hatched: it breaks.",
    )


# --- the wing ----------------------------------------------------------------------------------


def _chordwise(surface: LiftingSurface) -> tuple[float, float]:
    """Trailing and leading end of the plan, forward upwards. [m]"""
    stations = surface.stations
    return -max(s.x + s.chord for s in stations), -min(s.x for s in stations)


def _plan_size(surface: LiftingSurface) -> tuple[float, float]:
    """Height of the plan and the right end of its axes, to one scale. [mm]"""
    low, high = _chordwise(surface)
    width = _RIGHT_MM - LEFT_MM
    slope = (high - low) / surface.stations[-1].span
    width = min(width, _PLAN_MM / slope)
    return slope * width, LEFT_MM + width


def _line(surface: LiftingSurface, share: float) -> list[tuple[float, float]]:
    """A line at a share of the chord: distance along the half, forward. [mm]"""
    return [(s.span * 1000, -(s.x + share * s.chord) * 1000) for s in surface.stations]


def _on_line(surface: LiftingSurface, share: float, span: float) -> tuple[float, float]:
    """The place on it at a span. [m in, mm out]"""
    places = _line(surface, share)
    for (a, u), (b, v) in pairwise(places):
        if span * 1000 <= b:
            return span * 1000, u + (v - u) * (span * 1000 - a) / (b - a)
    return places[-1]


def _draw_wing(plan: Chart, surface: LiftingSurface, strength: SurfaceStrength) -> None:
    """Outline, panel breaks, spar to its end, and the weakest place."""
    canvas = plan.canvas
    front, back = _line(surface, 0.0), _line(surface, 1.0)
    outline = [plan.at(*place) for place in [*front, *back[::-1]]]
    canvas.fill(outline, "part_2")
    canvas.line(outline, style.EDGE, closed=True)
    for lead, trail in list(zip(front, back, strict=True))[1:-1]:
        canvas.line([plan.at(*lead), plan.at(*trail)], style.NARROW)
    axis, reach = strength.axis, strength.reach
    if reach is not None:
        inner = [place for place in _line(surface, axis) if place[0] < reach.now * 1000]
        spar = [*inner, _on_line(surface, axis, reach.now)]
        canvas.line([plan.at(*place) for place in spar], style.HIDDEN)
        x, y = plan.at(*spar[-1])
        canvas.line([(x, y - 2.0), (x, y + 2.0)], style.EDGE)
    x, y = plan.at(*_on_line(surface, axis, strength.worst.span))
    _cross(canvas, x, y)


def _cross(canvas: Canvas, x: float, y: float) -> None:
    size = _MARK_MM
    for way in (1.0, -1.0):
        canvas.line([(x - size, y - way * size), (x + size, y + way * size)], style.ACCENT)


# --- the chart ---------------------------------------------------------------------------------


def _draw_chart(chart: Chart, strength: SurfaceStrength, wanted: float) -> None:
    up = chart.up
    chart.level_band(up.low, 0.0, look="hatch")
    for kind, case in zip(CASE_LINES, cases_shown(strength), strict=False):
        line = [
            (span * 1000, math.log10(max(reserve, 1e-3)))
            for span, reserve in zip(case.spans, case.reserves, strict=True)
        ]
        chart.line(line, kind)
    chart.axes("reserve factor", across="distance along the half from its root, mm")
    chart.level(math.log10(wanted))
    worst = strength.worst
    x = chart.x(worst.span * 1000)
    _cross(chart.canvas, x, chart.y(up.held(math.log10(worst.reserve))))
    ends = [End(math.log10(wanted), f"wanted {wanted:g}"), End(0.0, "it breaks")]
    chart.ends(ends, right=WIDTH_MM - 3.0)


def _rows(strength: SurfaceStrength) -> list[KeyRow]:
    cases = cases_shown(strength)
    return [
        KeyRow(
            kind,
            f"{case_words(case)}: least {reserve_words(case.weakest.reserve)}, "
            f"weak material {reserve_words(case.weakest.low)}",
        )
        for kind, case in zip(CASE_LINES, cases, strict=False)
    ] + [KeyRow(LEVEL, "reserve factor wanted")]


def _places(strength: SurfaceStrength) -> list[tuple[float, str]]:
    worst, reach = strength.worst, strength.reach
    places = [(worst.span * 1000, f"weakest {where_words(worst)}")]
    if reach is not None:
        places.append((reach.now * 1000, f"the spar ends {mm(reach.now)} mm out"))
    return places


def _alt(dossier: Dossier, strength: SurfaceStrength, wanted: float) -> str:
    cases = "; ".join(
        f"{case_words(case)} {reserve_words(case.weakest.reserve)}"
        for case in cases_shown(strength)
    )
    worst, reach = strength.worst, strength.reach
    ends = f" The spar ends {mm(reach.now)} mm out." if reach is not None else ""
    return (
        f"Reserve factor along one half of the {strength.title} of {dossier.name}. Least in each "
        f"case: {cases}; wanted is {reserve_words(wanted)}. Weakest: {where_words(worst)}, "
        f"reserve factor {reserve_words(min(worst.reserve, CAP))}.{ends}"
    )
