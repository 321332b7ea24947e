"""Throws: degrees at the hinge to millimetres at the edge, and where to start with a new model.

The edge is measured with a ruler square to the surface, at the control's widest place, with its
true chord: square to the hinge line.

Starting throws come from the flight calculation at 1.1 stall speeds, where controls are weakest:
ailerons for a helix angle pb/2V of 0.07 (R. R. Gilruth & W. N. Turner, NACA Report 715, 1941, from
memory), elevator for a quarter of it left (estimate), rudder for the sideslip of a cross-wind of a
fifth of the stall speed (airworthiness practice, from memory). Beside them stands what fliers use.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated

import numpy as np

from plansgen.airframe.build import ControlSurface, LiftingSurface, cut
from plansgen.airframe.planform import StationPoint
from plansgen.flight.control_power import HELIX, HELIX_LEAST, SIDESLIP, SPARE, PowerPoint
from plansgen.flight.controls import Motion
from plansgen.flight.handling import JUST_ABOVE
from plansgen.flight.pitching import felt, needed
from plansgen.flight.result import FlightResult
from plansgen.library.models import ControlKind
from plansgen.quantity import Quantity

# Full throws that fliers begin with, in degrees (common practice, no source).
PRACTICE: dict[tuple[ControlKind, Motion], tuple[float, float]] = {
    ("aileron", "roll"): (10.0, 15.0),
    ("elevator", "pitch"): (10.0, 15.0),
    ("rudder", "yaw"): (15.0, 25.0),
    ("elevon", "pitch"): (6.0, 10.0),
    ("elevon", "roll"): (8.0, 15.0),
    ("flap", "flap"): (20.0, 40.0),
    ("flaperon", "flap"): (10.0, 20.0),
    ("flaperon", "roll"): (10.0, 15.0),
    ("ruddervator", "pitch"): (10.0, 15.0),
    ("ruddervator", "yaw"): (12.0, 20.0),
}
MOST = math.radians(25.0)  # a plain flap gives hardly more beyond (see ``flight.pitching.felt``)


@dataclass(frozen=True)
class StartThrow:
    """Where to start with one control in one motion, each way.

    flight: what the flight calculation asks for; None where it has nothing to say. out_of_reach: no
    travel of this control would do what is asked. low, high: common practice. start: the flight's
    throw, kept within common practice; its upper end where no travel would do. given: what the
    design's travel leaves for this motion alone, mixing counted.
    """

    motion: Motion
    basis: str
    flight: Annotated[
        float | None, Quantity("rad", "By the flight calculation", "controls-start-throw")
    ]
    out_of_reach: bool
    low: Annotated[float, Quantity("rad", "Common practice from", "controls-practice-throw")]
    high: Annotated[float, Quantity("rad", "Common practice to", "controls-practice-throw")]
    start: Annotated[float, Quantity("rad", "Start with", "controls-start-throw")]
    edge: Annotated[float, Quantity("m", "Start with, at the edge", "controls-edge")]
    given: Annotated[float, Quantity("rad", "The design gives", "controls-travel")]


def true_chord(surface: LiftingSurface, control: ControlSurface) -> float:
    """Hinge line to trailing edge at the widest place, square to the hinge line. [m]"""
    share = control.chord_share
    piece = cut(surface.stations, control.inboard, control.outboard)
    return max(
        share * station.chord * _squareness(inner, outer, share)
        for inner, outer in pairwise(piece)
        for station in (inner, outer)
    )


def _squareness(inner: StationPoint, outer: StationPoint, share: float) -> float:
    """Cosine of the hinge line's sweep in one panel."""
    out = outer.span - inner.span
    aft = (outer.x + (1 - share) * outer.chord) - (inner.x + (1 - share) * inner.chord)
    return out / math.hypot(out, aft) if out > 0.0 else 1.0


def edge_of(chord: float, angle: float) -> float:
    """How far the edge goes, with a ruler square to the surface. [m]

    chord: of the control, true. [m] angle: size of the deflection. [rad]
    """
    return chord * math.sin(angle)


def angle_of(chord: float, edge: float) -> float:
    """Deflection for a distance at the edge. [rad]

    Raises:
        ValueError: the edge does not reach so far.
    """
    if not 0.0 <= edge <= chord:
        raise ValueError(f"the edge goes {edge:g} m, but its control is only {chord:g} m deep")
    return math.asin(edge / chord)


def start_throw(
    control: ControlSurface,
    motion: Motion,
    *,
    chord: float,
    travel: float,
    given: float,
    neutral: float = 0.0,
    flight: FlightResult | None,
    strongest: bool,
    rolls_by_rudder: bool,
) -> StartThrow:
    """Where to start with one motion of one control.

    chord: true. [m] travel: what the flight calculation took for full. given: the design's, for
    this motion alone. neutral: how far it stands that way, stick in the middle. [rad] strongest: it
    is the control that the flight calculation speaks of.
    rolls_by_rudder: nothing else rolls the model.
    """
    low, high = (math.radians(d) for d in PRACTICE[control.kind, motion])
    theory, basis = None, "common practice alone"
    if flight is not None and strongest and motion != "flap":
        share = felt(travel, share=control.chord_share)
        times, basis = _times(flight, motion, rolls_by_rudder)
        theory = None if times is None else share * times
    asked = None if theory is None else needed(theory, share=control.chord_share)
    lost = theory is not None and (asked is None or asked > MOST + 1e-9)
    asked = None if asked is None else max(0.0, asked - neutral)
    start = high if asked is None and lost else min(max(asked or low, low), high)
    return StartThrow(
        motion=motion,
        basis=basis,
        flight=asked,
        out_of_reach=lost,
        low=low,
        high=high,
        start=start,
        edge=edge_of(chord, start),
        given=given,
    )


def _times(flight: FlightResult, motion: Motion, by_rudder: bool) -> tuple[float | None, str]:
    """Share of the full effect that is enough, and the words for what enough is."""
    if motion == "roll":
        helix = _just_above(flight, "helix")
        return (HELIX / helix if helix else None), f"roll with pb/2V {HELIX:g}"
    if motion == "pitch":
        return _pitch_times(
            flight
        ), f"{SPARE * 100:.0f} % of the elevator left just above the stall"
    slip, helix = _just_above(flight, "sideslip"), _just_above(flight, "rudder_helix")
    wanted = [SIDESLIP / slip] if slip else []
    words = "sideslip for a cross-wind of a fifth of the stall speed"
    if by_rudder and helix is not None and helix > 0.0:
        wanted.append(HELIX_LEAST / helix)
        words += f", and roll by rudder with pb/2V {HELIX_LEAST:g}"
    return (max(wanted) if wanted else None), words


def _pitch_times(flight: FlightResult) -> float | None:
    """What is left is pressure − need/times; it should be the spare share."""
    left, pressure = _just_above(flight, "elevator_left"), _just_above(flight, "pressure")
    if left is None or pressure is None or pressure <= SPARE or left >= pressure:
        return None
    return (pressure - left) / (pressure - SPARE)


def _just_above(flight: FlightResult, name: str) -> float | None:
    """A value just above the stall, power off; between the points worked out."""
    return between(JUST_ABOVE * flight.stall.speed, flight.control.off, name)


def between(speed: float, points: Sequence[PowerPoint], name: str) -> float | None:
    """A value of the control power at a speed, straight between its points, clamped to the ends."""
    rows = [(p.speed, getattr(p, name)) for p in points if getattr(p, name) is not None]
    if not rows:
        return None
    return float(np.interp(speed, [row[0] for row in rows], [row[1] for row in rows]))
