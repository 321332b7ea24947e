"""Layers to lay over the plan view: structure, masses, air loads, controls.

Each is a drawing of the plan view's own size without paper, so that pictures of both, one over the
other, agree to the line.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.blocks import Corner, mm
from plansgen.figures.canvas import Canvas
from plansgen.figures.plan_view import plan_layout
from plansgen.figures.save import Drawing, finish
from plansgen.figures.shapes import chord_line, project, trailing_at
from plansgen.figures.sheet import Sheet
from plansgen.figures.view import View
from plansgen.library.design import Design
from plansgen.library.text import first_of

TITLES: Mapping[str, str] = MappingProxyType(
    {
        "structure": "Structure",
        "masses": "Masses",
        "air": "Air loads",
        "controls": "Controls",
    }
)
"""Layers by the end of their file's name, and what a reader calls them."""

_BIGGEST_MM = 9.0  # radius of the heaviest thing's disc
_LEAST_MM = 0.7  # that of the lightest
_NAMED = 5  # things named beside their discs
_EDGE_MM = 2.0
_LONGEST_MM = 22.0  # arrow of the greatest air load
_MASS = style.LineType(style.WIDE_MM, "mass")


def draw_plan_layers(design: Design, dossier: Dossier) -> list[Drawing]:
    """Draw the layers that a design has something for; what each says in words is its ``alt``."""
    layers: tuple[tuple[str, Callable[[View], str]], ...] = (
        ("structure", lambda view: _structure(view, design, dossier)),
        ("masses", lambda view: _masses(view, dossier)),
        ("air", lambda view: _air(view, dossier)),
        ("controls", lambda view: _controls(view, dossier)),
    )
    layout = plan_layout(dossier)
    size = Sheet()
    drawings = []
    for name, draw in layers:
        canvas = Canvas(width_mm=size.width_mm, height_mm=size.height_mm)
        words = draw(layout.view(canvas))
        if not words:
            continue
        figure = canvas.figure()
        figure.set_facecolor("none")
        title = f"{TITLES[name]}, over the plan view"
        drawings.append(
            layout.setup.printed(finish(figure, name=f"plan-{name}", alt=words, caption=title))
        )
    return drawings


def _both(points: list[Corner], surface: LiftingSurface) -> list[list[Corner]]:
    """A line on one half, and its mirror image where the surface has one."""
    return [points, [(-h, v) for h, v in points]] if surface.mirrored else [points]


def _structure(view: View, design: Design, dossier: Dossier) -> str:
    """Sticks and tubes that run along wings and tails."""
    names = []
    for surface in dossier.airframe.surfaces:
        component = design.file.surfaces[surface.key]
        spans = [station.span for station in surface.stations]
        for part in component.parts:
            run = part.run
            if run is None or part.size is None or run.at is None:
                continue
            line = np.array([project(p, "above") for p in chord_line(surface, run.at)])
            inner = [span for span in spans if run.from_ < span < run.to]
            places = [
                tuple(float(np.interp(span, spans, along)) for along in line.T)
                for span in (run.from_, *inner, run.to)
            ]
            for points in _both([(h, v) for h, v in places], surface):
                view.line(points, style.ACCENT)
            names.append(part.name)
    return f"Sticks and tubes: {_few(names)}." if names else ""


def _few(names: list[str]) -> str:
    return first_of(list(dict.fromkeys(names)), 3, between="; ")


def _masses(view: View, dossier: Dossier) -> str:
    """A disc for each thing aboard, its area as its mass; the heaviest are named."""
    lines = sorted(
        (line for line in dossier.balance.lines if line.mass > 0.0),
        key=lambda line: (-line.mass, line.name),
    )
    if not lines:
        return ""
    for line in lines:
        share = math.sqrt(line.mass / lines[0].mass)
        centre = view.at(line.y, -line.x)
        radius = min(max(_BIGGEST_MM * share, _LEAST_MM), _room_around(view.canvas, centre))
        if radius >= _LEAST_MM / 2:  # a weight far ahead of the nose may lie off the paper
            view.canvas.arc(centre, radius_mm=radius, kind=_MASS)
    named = "; ".join(f"{line.name} {line.mass * 1000:.0f} g" for line in lines[:_NAMED])
    return f"Masses, discs of their share: {named}."


def _room_around(canvas: Canvas, centre: Corner) -> float:
    """How far the nearest edge of the paper is, less a margin. [mm]"""
    h, v = centre
    return min(h, v, canvas.width_mm - h, canvas.height_mm - v) - _EDGE_MM


def _air(view: View, dossier: Dossier) -> str:
    """Lift along each surface at the stall, one g: arrows ahead from the quarter chord."""
    if dossier.flight is None:
        return ""
    stall, air = dossier.flight.stall, dossier.flight.air
    pressure = 0.5 * air.density * stall.speed**2
    loads = []
    for strip in stall.strips:
        surface = dossier.airframe.surface(strip.surface)
        if surface.role == "fin":
            continue
        ys = [station.y for station in surface.stations]
        chords = [station.chord for station in surface.stations]
        quarters = [station.x + station.chord / 4 for station in surface.stations]
        chord = float(np.interp(abs(strip.y), ys, chords))
        x = float(np.interp(abs(strip.y), ys, quarters))
        loads.append((strip.y, x, pressure * strip.lift * chord))
    most = max((abs(load) for _, _, load in loads), default=0.0)
    if most <= 0.0:
        return ""
    for y, x, load in loads:
        reach = _LONGEST_MM * load / most / view.mm(1.0)
        view.line([(y, -x), (y, -x + reach)], style.CONSTRUCTION)
    return f"Lift along the span at the stall in level flight: {most:.2g} N/m where it is greatest."


def _controls(view: View, dossier: Dossier) -> str:
    """Every control surface filled, with its span."""
    words = []
    for surface in dossier.airframe.surfaces:
        if surface.role == "fin":
            continue  # seen edge on
        for control in surface.controls:
            front = [project(point, "above") for point in control.hinge]
            ends = (control.outboard, control.inboard)
            back = [project(trailing_at(surface, span), "above") for span in ends]
            for outline in _both([*front, *back], surface):
                view.fill(outline, "band")
                view.line(outline, style.CONSTRUCTION, closed=True)
            name = control.key.replace("_", " ")
            words.append(f"{name} {mm(control.outboard - control.inboard)} mm long")
    return f"Controls: {'; '.join(words)}." if words else ""
