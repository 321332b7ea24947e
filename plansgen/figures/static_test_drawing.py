"""The bench test: one half of the wing upside down, its bags, and how far its tip should go."""

from __future__ import annotations

import math

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.blocks import mm
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.chart_key import KeyRow, draw_notes, notes_height
from plansgen.figures.dimensions import Dim, stack_horizontal
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Free
from plansgen.figures.strength_cases import NOTES_MM, WIDTH_MM
from plansgen.figures.style import LineType
from plansgen.figures.symbols import arrow
from plansgen.figures.view import View
from plansgen.structure.static_test import StaticTest

BENT = LineType(style.NARROW_MM, "construction", (12.0, 3.0))

_LEFT_MM, _RIGHT_MM = 14.0, 168.0
_BAG_MM = 15.0  # width and height of the heaviest bag
_ABOVE_MM = 8.0
_SUPPORT_MM = 12.0
_TIER_MM = 8.0


def draw_static_test(dossier: Dossier, test: StaticTest) -> Drawing:
    """Draw one half from behind, upside down, with its bags."""
    wing = dossier.airframe.surface(test.surface)
    line = _line(wing)
    per_metre = (_RIGHT_MM - _LEFT_MM) / line[-1][0]
    drop = _drop(test)
    rows = [
        KeyRow(style.EDGE, "wing upside down, before the bags"),
        *([KeyRow(BENT, f"with all bags the tip should go down {mm(drop)} mm")] if drop else []),
    ]
    notes = notes_height(0, rows)
    low = per_metre * (min(y for _, y in line) - drop)
    high = per_metre * max(y for _, y in line)
    tiers = _TIER_MM * len(test.bags) + 6.0
    foot = notes + tiers + 6.0
    height = foot + max(_SUPPORT_MM, -low) + high + _BAG_MM + _ABOVE_MM + 4.0
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=height)
    origin = (_LEFT_MM, foot + max(_SUPPORT_MM, -low))
    view = View(canvas, Free(per_metre=per_metre), origin_mm=origin)
    view.edge(line)
    if drop:
        bent = _bent(line, drop)
        view.line(bent, BENT)
        top, end = view.at(*line[-1]), view.at(*bent[-1])
        if top[1] - end[1] > 4.0:
            arrow(canvas, (top[0] + 3.0, top[1]), (end[0] + 3.0, end[1]))
    _draw_support(view, test)
    for bag in test.bags:
        _draw_bag(canvas, view, line, wing, bag.span, bag.mass / max(b.mass for b in test.bags))
    for bag in test.bags:
        x, y = view.at(*_place(line, wing, bag.span))
        canvas.text(x, y + _BAG_MM + 2.0, f"{bag.mass * 1000:.0f} g", align="center")
    places = [(bag, _place(line, wing, bag.span)) for bag in test.bags]
    dims = [Dim(0.0, out, mm(bag.span), 0.0, up) for bag, (out, up) in places]
    stack_horizontal(view, dims, "below", start_mm=8.0)
    draw_notes(canvas, {}, rows, top=notes + 2.0, left=NOTES_MM)
    return finish(
        canvas.figure(),
        name="static-test",
        alt=_alt(dossier, wing, test, drop),
        caption="One half upside down, from the centre to the tip, with the bag for each place and "
        "how far it stands from the root along the wing, in mm. The other half is loaded alike.",
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


def _draw_bag(
    canvas: Canvas, view: View, line: list[Point], wing: LiftingSurface, span: float, share: float
) -> None:
    """A bag on the wing; its area grows with its mass."""
    x, y = view.at(*_place(line, wing, span))
    size = _BAG_MM * math.sqrt(share)
    foot = y + 0.6
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
