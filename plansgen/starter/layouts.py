"""What each layout fixes before the nose is known: surfaces and body length.

All lengths are whole millimetres, x aft of the foremost surface's root leading edge.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from plansgen.library.models import Layout, SurfaceRole
from plansgen.starter.sizing import (
    HORIZONTAL_VOLUME,
    TAIL_ARM_CHORDS,
    TAILLESS_VERTICAL_VOLUME,
    TWO_SURFACE_VERTICAL_VOLUME,
    VERTICAL_VOLUME,
    WING_ASPECT,
    WING_TAPER,
    Panel,
    tail_area,
    trapezoid,
    two_surface_neutral_point,
)

_SWEEP = math.radians(25)  # tailless; common practice, no source
_TAILLESS_TAPER = 0.6  # common practice, no source
_CANARD_SHARE = 0.28  # of the wing's area; common practice, no source
_CANARD_ARM, _TANDEM_ARM = 3.0, 3.0  # chords between quarter points; common practice, no source
PROPELLER_SHARE = 0.19  # diameter over span; common practice, no source
_STAGGER, _GAP = 0.25, 1.0  # chords; common practice, no source


@dataclass(frozen=True)
class Placed:
    """A surface in its place. seat: top or bottom of the body.

    raised: height above its seat [mm]. out: how far to the side it stands [mm].
    """

    key: str
    role: SurfaceRole
    panel: Panel
    x: int
    comment: str
    seat: str = "top"
    raised: int = 0
    out: int = 0
    incidence: float = 0.0
    dihedral: float = 0.0
    washout: float = 0.0
    control: str = ""

    @property
    def quarter(self) -> float:
        """Quarter point of its mean aerodynamic chord. [mm]"""
        return self.x + self.panel.quarter

    @property
    def end(self) -> int:
        """Its aftmost point. [mm]"""
        return self.x + max(self.panel.root, self.panel.back + self.panel.tip)


@dataclass(frozen=True)
class Outline:
    """A layout to scale, without its nose.

    wide_to: where the body begins to narrow. end: where it ends. nose: least and greatest length
    ahead of the foremost surface.
    """

    layout: Layout
    surfaces: tuple[Placed, ...]
    wide_to: int
    end: int
    nose: tuple[int, int]
    struts: int = 0

    @property
    def wings(self) -> tuple[Placed, ...]:
        """The surfaces that balance is referred to."""
        return tuple(surface for surface in self.surfaces if surface.role == "wing")

    @property
    def wing_area(self) -> float:
        """Area of the wings together. [mm²]"""
        return sum(wing.panel.area for wing in self.wings)

    @property
    def chord(self) -> float:
        """Mean aerodynamic chord of the wings. [mm]"""
        return sum(wing.panel.mac * wing.panel.area for wing in self.wings) / self.wing_area


def outline_of(layout: Layout, *, span: float) -> Outline:
    """Proportion a layout to a span. [mm]"""
    return _MAKERS[layout](span)


def _wing(span: float, *, aspect: float = WING_ASPECT, taper: float = WING_TAPER) -> Panel:
    return trapezoid(area=span**2 / aspect, aspect=aspect, taper=taper)


def _fin(*, area: float, quarter: float, volume: float) -> Placed:
    panel = trapezoid(area=area, aspect=1.4, taper=0.6, sweep=math.radians(20), halves=1)
    x = round(quarter - panel.quarter)
    comment = f"Area from a vertical tail volume of {volume:g}, its arm from the balance point."
    return Placed("fin", "fin", panel, x, comment, control="rudder")


def _tailed(layout: Layout, wings: tuple[Placed, ...], *, struts: int = 0) -> Outline:
    """Put a tail behind one wing, or behind two taken together."""
    bare = Outline(layout, wings, 0, 0, (0, 0))
    area, chord = bare.wing_area, bare.chord
    quarter = sum(wing.quarter * wing.panel.area for wing in wings) / area
    arm = TAIL_ARM_CHORDS * chord
    level = tail_area(volume=HORIZONTAL_VOLUME, area=area, length=chord, arm=arm)
    panel = trapezoid(area=level, aspect=4.0, taper=0.8)
    tail = Placed(
        "tailplane",
        "tailplane",
        panel,
        round(quarter + arm - panel.quarter),
        f"Area from a horizontal tail volume of {HORIZONTAL_VOLUME:g} on "
        f"{TAIL_ARM_CHORDS:g} chords of arm.",
        control="elevator",
    )
    upright = tail_area(
        volume=VERTICAL_VOLUME, area=area, length=max(w.panel.span for w in wings), arm=arm
    )
    fin = _fin(area=upright, quarter=quarter + arm, volume=VERTICAL_VOLUME)
    end = max(tail.x + panel.root, fin.end)
    nose = (round(0.6 * chord), round(1.6 * chord))
    wide_to = max(wing.x + wing.panel.root for wing in wings)
    return Outline(layout, (*wings, tail, fin), wide_to, end, nose, struts=struts)


def _conventional(span: float) -> Outline:
    panel = _wing(span)
    comment = f"Aspect ratio about {WING_ASPECT:g}, taper {WING_TAPER:g}, straight quarter line."
    wing = Placed("wing", "wing", panel, 0, comment, incidence=2.0, dihedral=5.0)
    return _tailed("conventional", (wing,))


def _biplane(span: float) -> Outline:
    panel = _wing(span)
    gap = round(_GAP * panel.mac)
    upper = Placed(
        "upper_wing",
        "wing",
        panel,
        0,
        f"Gap {_GAP:g} chord, stagger {_STAGGER:g} chord.",
        seat="bottom",
        raised=gap,
        incidence=2.0,
        dihedral=2.0,
    )
    lower = Placed(
        "lower_wing",
        "wing",
        panel,
        round(_STAGGER * panel.mac),
        "The same panels as the upper wing.",
        seat="bottom",
        incidence=2.0,
        dihedral=4.0,
    )
    return _tailed("biplane", (upper, lower), struts=gap)


def _tailless(span: float) -> Outline:
    panel = trapezoid(
        area=span**2 / WING_ASPECT, aspect=WING_ASPECT, taper=_TAILLESS_TAPER, sweep=_SWEEP
    )
    wing = Placed(
        "wing",
        "wing",
        panel,
        0,
        f"Aspect ratio about {WING_ASPECT:g}, quarter line swept 25 degrees, washed out.",
        dihedral=1.0,
        washout=3.5,
        control="elevon",
    )
    quarter = panel.back + 0.9 * panel.tip  # the fins' own, at the back of the tips
    both = tail_area(
        volume=TAILLESS_VERTICAL_VOLUME,
        area=panel.area,
        length=panel.span,
        arm=quarter - panel.quarter,
    )
    fin = trapezoid(area=both / 2, aspect=1.2, taper=0.6, sweep=math.radians(20), halves=1)
    fins = Placed(
        "tip_fins",
        "fin",
        fin,
        round(quarter - fin.quarter),
        f"Area from a vertical tail volume of {TAILLESS_VERTICAL_VOLUME:g}.",
        out=panel.half,
    )
    nose = (round(0.3 * panel.mac), round(1.5 * panel.mac))
    # The trailing edge runs aft as it runs out; a pusher's blades must turn behind it.
    swept = (panel.back + panel.tip - panel.root) / panel.half
    end = panel.root + round(max(0.0, swept) * PROPELLER_SHARE / 2 * panel.span)
    return Outline("tailless", (wing, fins), round(0.6 * panel.root), end, nose)


def _two_surfaces(layout: Layout, front: Placed, rear: Placed, *, chords: float) -> Outline:
    """Two lifting surfaces one behind the other, with a fin at the end."""
    bare = Outline(layout, (front, rear), 0, 0, (0, 0))
    chord = bare.chord
    rear = replace(rear, x=round(front.quarter + chords * chord - rear.panel.quarter))
    middle = front.quarter + two_surface_neutral_point(
        front.panel, rear.panel, distance=rear.quarter - front.quarter
    )
    quarter = rear.quarter + 1.2 * chord
    area = tail_area(
        volume=TWO_SURFACE_VERTICAL_VOLUME,
        area=bare.wing_area,
        length=rear.panel.span,
        arm=quarter - middle,
    )
    fin = _fin(area=area, quarter=quarter, volume=TWO_SURFACE_VERTICAL_VOLUME)
    return Outline(
        layout,
        (front, rear, fin),
        rear.x + rear.panel.root,
        fin.end,
        (round(0.4 * chord), round(1.8 * chord)),
    )


def _canard(span: float) -> Outline:
    panel = _wing(span)
    small = trapezoid(area=_CANARD_SHARE * panel.area, aspect=5.0, taper=0.8)
    front = Placed(
        "canard",
        "canard",
        small,
        0,
        f"{_CANARD_SHARE * 100:g} % of the wing's area, set to a greater angle so that it stalls "
        "first.",
        incidence=4.5,
        dihedral=2.0,
        control="elevator",
    )
    comment = f"Aspect ratio about {WING_ASPECT:g}, {_CANARD_ARM:g} chords behind the canard."
    rear = Placed("wing", "wing", panel, 0, comment, incidence=1.0, dihedral=3.0)
    return _two_surfaces("canard", front, rear, chords=_CANARD_ARM)


def _tandem(span: float) -> Outline:
    panel = _wing(span, aspect=8.0)
    front = Placed(
        "front_wing",
        "wing",
        panel,
        0,
        "Both wings alike; the front one at a greater angle so that it stalls first.",
        incidence=3.0,
        dihedral=5.0,
        control="elevator",
    )
    comment = f"{_TANDEM_ARM:g} chords behind the front wing."
    rear = Placed("rear_wing", "wing", panel, 0, comment, incidence=0.5, dihedral=3.0)
    return _two_surfaces("tandem", front, rear, chords=_TANDEM_ARM)


_MAKERS: dict[Layout, Callable[[float], Outline]] = {
    "conventional": _conventional,
    "tailless": _tailless,
    "canard": _canard,
    "tandem": _tandem,
    "biplane": _biplane,
}
