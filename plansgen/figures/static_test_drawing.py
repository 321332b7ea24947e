"""The bench test: one half of the wing upside down, its bags, and how far its tip should go."""

from __future__ import annotations

import math

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.blocks import mm
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Free
from plansgen.figures.strength_cases import WIDTH_MM
from plansgen.figures.style import LineType
from plansgen.figures.view import View
from plansgen.structure.static_test import StaticTest

BENT = LineType(style.NARROW_MM, "construction", (12.0, 3.0))

_LEFT_MM, _RIGHT_MM = 14.0, 168.0
_BAG_MM = 12.0  # width and height of the heaviest bag
_ABOVE_MM = 8.0
_SUPPORT_MM = 10.0
_RULER_MM = 14.0  # room below the wing for the ruler of places


def draw_static_test(dossier: Dossier, test: StaticTest) -> Drawing:
    """Draw one half from behind, upside down, with its bags."""
    wing = dossier.airframe.surface(test.surface)
    line, drop = _line(wing), _drop(test)
    per_metre = (_RIGHT_MM - _LEFT_MM) / line[-1][0]
    under = max(_SUPPORT_MM, per_metre * (drop - min(y for _, y in line))) + _RULER_MM
    over = per_metre * max(y for _, y in line) + _BAG_MM + _ABOVE_MM
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=under + over)
    view = View(canvas, Free(per_metre=per_metre), origin_mm=(_LEFT_MM, under))
    _draw_support(view, test)
    view.edge(line)
    if drop:
        view.line(_bent(line, drop), BENT)
    most = max(bag.mass for bag in test.bags)
    _draw_ruler(canvas, view, [_place(line, wing, b.span)[0] for b in test.bags], test)
    for bag in test.bags:
        x, y = view.at(*_place(line, wing, bag.span))
        canvas.line([(x, y - 1.0), (x, _RULER_MM - 4.0)], style.HIDDEN)
        size = _BAG_MM * math.sqrt(bag.mass / most)
        _draw_bag(canvas, x, y + 0.6, size)
        canvas.text(x, y + size + 2.6, f"{bag.mass * 1000:.0f} g", align="center")
    down = f" Dashed: with all bags on, the tip {mm(drop)} mm down." if drop else ""
    return finish(
        canvas.figure(),
        name="static-test",
        alt=_alt(dossier, wing, test, drop),
        caption="One half upside down, from the centre to the tip: bags, and their places in mm "
        f"from the root along the wing. The other half alike.{down}",
    )


def _line(wing: LiftingSurface) -> list[Point]:
    """The half from behind, upside down: out, up. [m]"""
    root = wing.stations[0]
    return [(station.y - root.y, root.z - station.z) for station in wing.stations]


def _place(line: list[Point], wing: LiftingSurface, span: float) -> Point:
    """A place on it by the distance along the wing. [m]"""
    spans = [station.span for station in wing.stations]
    out, up = (float(np.interp(span, spans, values)) for values in np.array(line).T)
    return out, up


def _drop(test: StaticTest) -> float:
    """How far the tip goes down with all bags; 0 where that is not known. [m]"""
    return test.steps[-1].deflection or 0.0


def _bent(line: list[Point], drop: float) -> list[Point]:
    """The half with its tip down, as a parabola: only the tip's place was worked out. [m]"""
    out = line[-1][0]
    shares = np.linspace(0.0, 1.0, 25)
    xs, ys = np.array(line).T
    return [
        (float(t * out), float(np.interp(t * out, xs, ys)) - float(drop * t * t)) for t in shares
    ]


def _draw_support(view: View, test: StaticTest) -> None:
    """The block that the middle lies on, as wide as the body."""
    out, tall = max(test.support, 0.02), _SUPPORT_MM / view.mm(1.0)
    box = [(0.0, 0.0), (out, 0.0), (out, -tall), (0.0, -tall)]
    view.fill(box, "part_2")
    view.narrow(box, closed=True)


def _draw_ruler(canvas: Canvas, view: View, outs: list[float], test: StaticTest) -> None:
    """The places of the bags, from the root along the wing. outs: how far out they are. [m]"""
    ruler = _RULER_MM - 4.0
    canvas.line([(_LEFT_MM, ruler), (_RIGHT_MM, ruler)], style.NARROW)
    spans = [0.0, *(bag.span for bag in test.bags)]
    for out, span in zip([0.0, *outs], spans, strict=True):
        x = view.x(out)
        canvas.line([(x, ruler), (x, ruler - 2.0)], style.NARROW)
        canvas.text(x, ruler - 3.0, mm(span), align="center", level="top", role="thin")


def _draw_bag(canvas: Canvas, x: float, foot: float, size: float) -> None:
    """A bag on a place; size: its width and height. [mm]"""
    half = size / 2
    bag = [
        (x - half, foot),
        (x + half, foot),
        (x + 0.85 * half, foot + 0.75 * size),
        (x + 0.2 * half, foot + 0.85 * size),
        (x + 0.35 * half, foot + size),
        (x - 0.35 * half, foot + size),
        (x - 0.2 * half, foot + 0.85 * size),
        (x - 0.85 * half, foot + 0.75 * size),
    ]
    canvas.fill(bag, "part_2")
    canvas.line(bag, style.NARROW, closed=True)


def _alt(dossier: Dossier, wing: LiftingSurface, test: StaticTest, drop: float) -> str:
    bags = ", ".join(f"{bag.mass * 1000:.0f} g at {mm(bag.span)} mm" for bag in test.bags)
    down = f" With all of them the tip should go down {mm(drop)} mm." if drop else ""
    return (
        f"Bench test of the {wing.title} of {dossier.name}: the wing lies upside down on its "
        f"middle. Bags on each half, from the root: {bags}.{down}"
    )
