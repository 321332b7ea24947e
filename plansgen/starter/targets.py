"""Where a started layout without a trade's rule must balance: ahead of its neutral point.

The neutral point is that of the drafted model itself, by the vortex lattice with its bodies. What
each layout keeps ahead of it is common practice, and a first estimate.
"""

from __future__ import annotations

from dataclasses import dataclass

from plansgen.airframe.build import Airframe
from plansgen.flight.derivatives import derivatives_of
from plansgen.flight.lattice import Lattice, Point
from plansgen.library.models import Layout

_CRUISE_LIFT = 0.35  # of cruise, at 1.4 times the stall speed; estimate


@dataclass(frozen=True)
class Margin:
    """Static margins to begin with, in mean chords: the target's, and how far it may be off."""

    target: float
    half_band: float


# Common practice, no source. A tailless model has little pitch damping and pays for stability with
# reflex; two surfaces far apart carry more. The aft ends stay at the least margin of 5 % or above.
MARGINS: dict[Layout, Margin] = {
    "tailless": Margin(0.08, 0.03),
    "canard": Margin(0.10, 0.04),
    "tandem": Margin(0.10, 0.04),
}


@dataclass(frozen=True)
class Target:
    """Where it must balance, aft of the wing's root leading edge [mm], and why."""

    forward: float
    target: float
    aft: float
    why: str


def _neutral_point(airframe: Airframe, lattice: Lattice, point: Point) -> float:
    """Neutral point at the angle of attack of cruise, x. [m]"""
    level = derivatives_of(airframe, point=point, lattice=lattice)
    alpha = (_CRUISE_LIFT - level.lift) / level.alpha.lift
    return derivatives_of(airframe, point=point, alpha=alpha, lattice=lattice).neutral_point


def target_of(airframe: Airframe, *, lattice: Lattice, point: Point) -> Target | None:
    """Where a drafted model must balance; None where the trade's starting rule holds.

    lattice: of its surfaces. point: its centre of gravity as it is, for the height. [m]

    Source: R. C. Nelson, *Flight Stability and Automatic Control*, static margin; the neutral point
    as in ``flight.derivatives``.

    Raises:
        ValueError: the surfaces have no neutral point.
    """
    margin = MARGINS.get(airframe.layout)
    if margin is None:
        return None
    reference = airframe.reference
    neutral = 1000 * (_neutral_point(airframe, lattice, point) - reference.root_x)
    chord = 1000 * reference.mac
    # Half millimetres: a whole one is two hundredths of the smallest chords.
    forward, target, aft = (
        round(2 * (neutral - share * chord)) / 2
        for share in (
            margin.target + margin.half_band,
            margin.target,
            margin.target - margin.half_band,
        )
    )
    why = (
        f"The vortex lattice puts the neutral point of these surfaces and this body "
        f"{abs(neutral):.0f} mm {'ahead' if neutral < 0 else 'aft'} of the wing's root leading "
        f"edge. The target is {margin.target * 100:g} % of the mean chord ahead of that, the "
        f"limits {100 * (margin.target + margin.half_band):g} and "
        f"{100 * (margin.target - margin.half_band):g} %. These margins are common practice and a "
        f"first estimate, to be proved by gentle glides; begin at the forward limit."
    )
    return Target(forward, target, aft, why)
