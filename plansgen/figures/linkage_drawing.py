"""A linkage to scale: arm, rod and horn in the middle and at both ends of the travel."""

from __future__ import annotations

import math
from dataclasses import dataclass

from plansgen.controls.fitting import Fit
from plansgen.controls.linkage import Place
from plansgen.controls.result import ControlThrow
from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.blocks import mm
from plansgen.figures.canvas import Canvas
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect, choose_scale
from plansgen.figures.strength_cases import WIDTH_MM
from plansgen.figures.view import View

_LEFT_MM, _RIGHT_MM = 10.0, 150.0  # beyond it the numbers at the edge stand
_TALLEST_MM = 90.0
_ROW_MM = 6.4
_ABOVE_MM, _BELOW_MM = 11.0, 4.0
_HOLE_MM, _AXIS_MM = 0.9, 1.6
_APART_MM = 5.5  # between two numbers at the edge
_STUB = 0.018  # m of the fixed surface drawn ahead of the hinge
_STILL = 1e-6  # rad
_ROD = 0.05  # m of a long rod that is drawn; the rest is broken out


@dataclass(frozen=True)
class _Position:
    """The linkage at one swing. Angles: positive where arm and horn swing aft. [rad]"""

    arm: float
    swing: float


@dataclass(frozen=True)
class _End(_Position):
    """One end of the travel. name: the way it goes. edge: how far the trailing edge is. [m]"""

    name: str
    edge: float


def linkage_name(throw: ControlThrow) -> str:
    """File name of the drawing of one control."""
    return f"linkage-{throw.key.replace('.', '-').replace('_', '-')}"


def draw_linkages(dossier: Dossier) -> list[Drawing]:
    """Every control whose linkage is known and moves."""
    controls = dossier.controls.controls if dossier.controls else ()
    drawings = (draw_linkage(throw) for throw in controls)
    return [drawing for drawing in drawings if drawing is not None]


def draw_linkage(throw: ControlThrow) -> Drawing | None:
    """Draw one; None while it is not known, or where the rod does not reach."""
    fit = throw.fit
    if fit is None or fit.down is None or fit.up is None:
        return None
    sheet = _Linkage(throw, fit, (fit.down, fit.up))
    sheet.draw()
    turns = " and ".join(
        f"{_degrees(abs(end.arm))} for {mm(end.edge)} mm {end.name}" for end in sheet.ends
    )
    ways = " and ".join(f"full {end.name}" for end in sheet.ends)
    return finish(
        sheet.canvas.figure(),
        name=linkage_name(throw),
        alt=f"Linkage of the {throw.title}: servo arm {mm(fit.arm)} mm, rod {mm(fit.rod)} mm, horn "
        f"{mm(fit.horn)} mm. The servo turns {turns} at the edge.",
        caption=f"{throw.title[:1].upper()}{throw.title[1:]}: linkage seen from "
        f"{'above' if throw.upright else 'the port side'}, {sheet.scale} at full size of this "
        f"drawing, nose to the left. Thin: {ways}. Numbers at the edge are mm from "
        f"{'where the sticks in the middle put it' if throw.neutral else 'straight'}."
        f"{' The rod is drawn broken.' if sheet.broken else ''}",
    )


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle):.0f}°"


class _Linkage:
    """One drawing on its way."""

    def __init__(self, throw: ControlThrow, fit: Fit, turns: tuple[float, float]) -> None:
        self.throw, self.fit = throw, fit
        self.linkage = fit.linkage
        below = 1.0 if throw.upright else -1.0
        self.flip = -below if fit.above else below
        (down, up), aft = turns, -1.0 if fit.above else 1.0
        self.middle = _Position(0.0, 0.0)
        names = ("right", "left") if throw.upright else ("down", "up")
        ends = (
            _End(-aft * down, -aft * throw.down, names[0], throw.down_edge),
            _End(aft * up, aft * throw.up, names[1], throw.up_edge),
        )
        self.ends = tuple(end for end in ends if abs(end.swing) > _STILL)
        self.drawn = min(fit.rod, _ROD + fit.arm + fit.horn)
        self.broken = self.drawn < fit.rod - 1e-6
        self.thick = min(max(0.12 * throw.chord, 0.004), 0.010)
        low, high = self._box()
        self.scale = choose_scale(
            width_m=high[0] - low[0],
            height_m=high[1] - low[1],
            area=Rect(_LEFT_MM, 0.0, _RIGHT_MM, _TALLEST_MM),
        )
        foot = 2 * _ROW_MM + _BELOW_MM + 4.0
        tall = self.scale.mm(high[1] - low[1])
        self.canvas = Canvas(width_mm=WIDTH_MM, height_mm=foot + tall + _ABOVE_MM)
        self.view = View(self.canvas, self.scale, origin_mm=(_LEFT_MM, foot), datum_m=low)

    # --- places on the drawing -----------------------------------------------------------------

    def _at(self, place: Place) -> Place:
        return place[0], self.flip * place[1]

    def _servo(self, place: Place) -> Place:
        """A place at the servo, moved to where the broken rod brings it."""
        return self._at((place[0] + self.fit.rod - self.drawn, place[1]))

    def _edge(self, swing: float) -> Place:
        """The trailing edge. A horn that swings aft carries an edge on its far side along."""
        return self._at((self.throw.chord * math.cos(swing), -self.throw.chord * math.sin(swing)))

    def _box(self) -> tuple[Place, Place]:
        places = [self._edge(p.swing) for p in (self.middle, *self.ends)]
        places += [self._at(self.linkage.horn_hole(p.swing)) for p in (self.middle, *self.ends)]
        places += [self._servo(self.linkage.arm_hole(p.arm)) for p in (self.middle, *self.ends)]
        places += [self._servo(self.linkage.servo), (-_STUB, self.thick), (0.0, -self.thick)]
        xs, ys = zip(*places, strict=True)
        return (min(xs), min(ys)), (max(xs), max(ys))

    # --- drawing -------------------------------------------------------------------------------

    def draw(self) -> None:
        """Everything, lines first."""
        half = self.thick / 2
        self.view.outline([(-_STUB, half), (0.0, half), (0.0, -half), (-_STUB, -half)], "part_2")
        self.view.outline(self._blade(0.0))
        for position in self.ends:
            self.view.adjacent(self._blade(position.swing), closed=True)
            self._bars(position, style.ADJACENT)
        self._bars(self.middle, style.EDGE)
        self._pin(self._servo(self.linkage.servo), _AXIS_MM)
        self._pin((0.0, 0.0), _AXIS_MM)
        self._words()

    def _blade(self, swing: float) -> list[Place]:
        """Outline of the control: its hinge end and its edge."""
        half = self.thick / 2
        cos, sin = math.cos(swing), -self.flip * math.sin(swing)
        x, y = self._edge(swing)
        return [(-sin * half, cos * half), (x, y), (sin * half, -cos * half)]

    def _bars(self, position: _Position, kind: style.LineType) -> None:
        """Arm, horn and rod; the rod's middle is left out where it is broken."""
        hole, horn = self.linkage.arm_hole(position.arm), self.linkage.horn_hole(position.swing)
        self.view.line([self._servo(self.linkage.servo), self._servo(hole)], kind)
        self.view.line([(0.0, 0.0), self._at(horn)], kind)
        along = ((horn[0] - hole[0]) / self.fit.rod, (horn[1] - hole[1]) / self.fit.rod)
        if not self.broken:
            self.view.line([self._servo(hole), self._at(horn)], kind)
        else:
            reach = 0.42 * self.drawn
            out = (hole[0] + reach * along[0], hole[1] + reach * along[1])
            back = (horn[0] - reach * along[0], horn[1] - reach * along[1])
            self.view.line([self._servo(hole), self._servo(out)], kind)
            self.view.line([self._at(back), self._at(horn)], kind)
            if position is self.middle:
                for x, y in (self._servo(out), self._at(back)):
                    self._break(x, y)
        for place in (self._servo(hole), self._at(horn)):
            self._pin(place, _HOLE_MM)

    def _break(self, x: float, y: float) -> None:
        """The zigzag of a rod that goes on."""
        px, py = self.view.at(x, y)
        zigzag = [(px, py - 2.2), (px + 0.8, py - 0.7), (px - 0.8, py + 0.7), (px, py + 2.2)]
        self.canvas.line(zigzag, style.NARROW)

    def _pin(self, place: Place, radius: float) -> None:
        self.canvas.arc(self.view.at(*place), radius_mm=radius, kind=style.NARROW)

    def _words(self) -> None:
        top = self.canvas.height_mm - _ABOVE_MM + 3.0
        x, _ = self.view.at(*self._servo(self.linkage.servo))
        self.canvas.text(max(x - 6.0, 4.0), top, "servo")
        self.canvas.text(self.view.x(0.0), top, "hinge", align="center")
        _, straight = self.view.at(*self._edge(0.0))
        for end in self.ends:
            x, y = self.view.at(*self._edge(end.swing))
            away = max(abs(y - straight), _APART_MM) * (1.0 if y > straight else -1.0)
            # beside the edge, unless it lies so near that it would meet the straight one
            right = x if abs(y - straight) > 2 * _APART_MM else self.view.x(self.throw.chord)
            words = f"{mm(end.edge)} {end.name}"
            self.canvas.text(right + 4.0, straight + away, words, level="middle")
        fit, turns = self.fit, (f"{_degrees(abs(e.arm))} for full {e.name}" for e in self.ends)
        rows = (
            f"Servo arm {mm(fit.arm)} mm, horn {mm(fit.horn)} mm, rod about "
            f"{fit.rod * 1000:.0f} mm",
            f"The servo turns {', '.join(turns)}",
        )
        for row, words in enumerate(rows):
            self.canvas.text(_LEFT_MM, _BELOW_MM + (1 - row) * _ROW_MM, words)
