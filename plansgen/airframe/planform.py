"""Areas and chords of a chain of straight panels, by exact integrals.

Between two stations the chord, the leading edge and the height all vary linearly along the span,
so every integral of a product of two of them over a panel is exact with the ends alone::

    ∫ f g dw = w (2 f₀g₀ + f₀g₁ + f₁g₀ + 2 f₁g₁) / 6

Source: D. P. Raymer, *Aircraft Design: A Conceptual Approach*, wing geometry (the mean aerodynamic
chord as ∫c² dy / S); the integral itself is elementary.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal

from plansgen.airframe.sections import Outline
from plansgen.quantity import Quantity

Weight = Literal["level", "upright", "developed"]
Place = tuple[float, float, float]


@dataclass(frozen=True)
class StationPoint:
    """One station of the starboard (or only) half, in the body frame. [m, rad]

    span: developed distance from the root. x, y, z: leading edge. twist: nose-up against the
    datum line, incidence included. upper, lower: developed skin lengths in chords. enclosed: its
    area over chord squared. thickness: over chord. outline: section in chords.
    """

    span: float
    x: float
    y: float
    z: float
    chord: float
    twist: float
    section: str
    upper: float
    lower: float
    enclosed: float
    thickness: float
    outline: Outline


@dataclass(frozen=True)
class Planform:
    """What the textbooks want to know of one surface, both halves where it is mirrored.

    Twin fins do not meet in the middle: their areas are of both, spans and aspect ratio of one.
    """

    span_flat: Annotated[float, Quantity("m", "Span, laid flat", "planform-span-flat")]
    span: Annotated[float, Quantity("m", "Span, projected", "planform-span-projected")]
    area_developed: Annotated[float, Quantity("m²", "Area, developed", "planform-area-developed")]
    area: Annotated[float, Quantity("m²", "Area, projected", "planform-area-projected")]
    mac: Annotated[float, Quantity("m", "Mean aerodynamic chord", "mean-aerodynamic-chord")]
    mac_x: Annotated[
        float, Quantity("m", "Leading edge of the mean aerodynamic chord, x", "mac-position")
    ]
    mac_y: Annotated[
        float, Quantity("m", "Mean aerodynamic chord, distance from centre line", "mac-position")
    ]
    mac_z: Annotated[float, Quantity("m", "Mean aerodynamic chord, height", "mac-position")]
    aspect_ratio: Annotated[float, Quantity("1", "Aspect ratio", "aspect-ratio")]
    taper: Annotated[float, Quantity("1", "Taper ratio", "taper-ratio")]
    sweep: Annotated[float, Quantity("rad", "Quarter-chord sweep", "quarter-chord-sweep")]
    dihedral: Annotated[float, Quantity("rad", "Dihedral, root to tip", "dihedral")]
    equivalent_dihedral: Annotated[
        float, Quantity("rad", "Equivalent dihedral", "equivalent-dihedral")
    ]
    washout: Annotated[float, Quantity("rad", "Washout at the tip", "washout")]
    wetted: Annotated[float, Quantity("m²", "Wetted area", "wetted-area-surface")]

    @property
    def quarter_chord_x(self) -> float:
        """Quarter point of the mean aerodynamic chord. [m]"""
        return self.mac_x + 0.25 * self.mac


def panel_tilts(stations: Sequence[StationPoint]) -> list[float]:
    """Dihedral at each station: of the panel inboard of it, at the root of the first one. [rad]"""
    tilts = [
        math.atan2(outer.z - inner.z, outer.y - inner.y) for inner, outer in pairwise(stations)
    ]
    return [tilts[0], *tilts]


def chord_point(station: StationPoint, *, share: float, tilt: float) -> Place:
    """A place on a station's chord in the body frame. [m]

    Twist turns the chord about the span of its own panel, so that a fin's offset moves its trailing
    edge sideways and not down.

    share: of the chord, from the leading edge. tilt: dihedral of the panel. [rad]
    """
    along = share * station.chord
    drop = along * math.sin(station.twist)
    return (
        station.x + along * math.cos(station.twist),
        station.y + drop * math.sin(tilt),
        station.z - drop * math.cos(tilt),
    )


def _lengths(stations: Sequence[StationPoint], weight: Weight) -> list[float]:
    """Width of each panel: level (Δy), upright (|Δz|), or developed along the surface."""
    pairs = pairwise(stations)
    if weight == "level":
        return [outer.y - inner.y for inner, outer in pairs]
    if weight == "upright":
        return [abs(outer.z - inner.z) for inner, outer in pairs]
    return [outer.span - inner.span for inner, outer in pairs]


Value = Callable[[StationPoint], float]


def integral(stations: Sequence[StationPoint], f: Value, g: Value, *, weight: Weight) -> float:
    """Integrate the product of two linear quantities over one half, exactly."""
    total = 0.0
    widths = _lengths(stations, weight)
    for width, inner, outer in zip(widths, stations, stations[1:], strict=False):
        f0, f1, g0, g1 = f(inner), f(outer), g(inner), g(outer)
        total += width * (2 * f0 * g0 + f0 * g1 + f1 * g0 + 2 * f1 * g1) / 6
    return total


def _one(_: StationPoint) -> float:
    return 1.0


def _chord(station: StationPoint) -> float:
    return station.chord


def _equivalent_dihedral(stations: Sequence[StationPoint]) -> float:
    """Weight each panel's dihedral by chord times distance out: the roll it gives in sideslip.

    Strip theory: Cl_β = -(a/(S b)) ∫ Γ c y dy. Source: Perkins & Hage, *Airplane Performance,
    Stability and Control*. Distances are developed, as the theory is one of small angles.
    """
    moment = turned = 0.0
    for inner, outer in pairwise(stations):
        share = integral((inner, outer), _chord, lambda s: s.span, weight="developed")
        moment += share
        turned += share * math.atan2(outer.z - inner.z, outer.y - inner.y)
    return turned / moment


def _sweep(stations: Sequence[StationPoint], weight: Weight) -> float:
    root, tip = stations[0], stations[-1]
    back = (tip.x + tip.chord / 4) - (root.x + root.chord / 4)
    return math.atan2(back, sum(_lengths(stations, weight)))


def _wetted(stations: Sequence[StationPoint]) -> float:
    """Developed skin area of one half, both sides: girth times chord along the span."""
    return integral(stations, lambda s: (s.upper + s.lower) * s.chord, _one, weight="developed")


def work_out_planform(
    stations: Sequence[StationPoint], *, mirrored: bool, weight: Weight
) -> Planform:
    """Work out one surface.

    stations: root first, in the body frame. mirrored: two halves. weight: the view in which
    projected values are taken: level for wings and tailplanes, upright for fins, developed for
    V-tails.
    """
    halves = 2 if mirrored else 1
    area = integral(stations, _chord, _one, weight=weight)
    flat = integral(stations, _chord, _one, weight="developed")
    root, tip = stations[0], stations[-1]

    def mean(value: Value) -> float:
        return integral(stations, _chord, value, weight=weight) / area

    across = 1 if weight == "upright" else halves
    span = across * sum(_lengths(stations, weight))
    rise, run = tip.z - root.z, tip.y - root.y
    return Planform(
        span_flat=across * tip.span,
        span=span,
        area_developed=halves * flat,
        area=halves * area,
        mac=mean(_chord),
        mac_x=mean(lambda s: s.x),
        mac_y=mean(lambda s: s.y),
        mac_z=mean(lambda s: s.z),
        aspect_ratio=span**2 / (across * area),
        taper=tip.chord / root.chord,
        sweep=_sweep(stations, weight),
        dihedral=math.atan2(rise, run),
        equivalent_dihedral=_equivalent_dihedral(stations),
        washout=root.twist - tip.twist,
        wetted=halves * _wetted(stations),
    )
