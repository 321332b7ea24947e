"""Rules about the stall, launching, cruise, wing loading and what the tables know."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from plansgen.airframe.build import Airframe
from plansgen.atmosphere import GRAVITY
from plansgen.balance.result import BalanceResult
from plansgen.flight.result import FlightResult
from plansgen.flight.stall import Stall
from plansgen.flight.thin_airfoil import LIFT_SLOPE
from plansgen.library.design import Design
from plansgen.review.curves import at
from plansgen.review.finding import Finding
from plansgen.review.words import ESTIMATE, PRACTICE, degrees, grams, percent, speed

THROW_EASY, THROW_HARD = 6.0, 9.0  # m/s, what a person throws (estimate)
LAUNCH = 1.1  # stall speeds: leaving the hand slower, it sinks or drops a wing (common practice)
CALM = 1 / 3  # of the stall speed: the most wind for a first flight (common practice, no source)
ROOM = 1.5  # top level speed over stall speed: less is hard to fly (estimate)
GENTLE, HOT = 7.0, 13.0  # kg/m³ of cubic loading (common practice, no source)
TIP, NEAR_TIP = 0.70, 0.60  # of the half span (common practice, no source)
DATA = (40_000, 500_000)  # Reynolds numbers that the section tables hold
MOST_WASHOUT = math.radians(6.0)  # more costs too much when fast (common practice)
Curve = Sequence[tuple[float, float]]
SCHRENK = "O. Schrenk, NACA Technical Memorandum 948 (1940), basic load"


def launch(design: Design, balance: BalanceResult, flight: FlightResult) -> Iterator[Finding]:
    """The speed a hand can give against the speed it needs."""
    ready = balance.ready
    needed = LAUNCH * flight.stall.speed
    if "hand" not in design.file.launches or ready is None or needed <= THROW_HARD:
        return
    mass, wind = ready.state.mass * (THROW_HARD / needed) ** 2, needed - THROW_HARD
    yield Finding(
        rule="hand-launch",
        severity="severe" if flight.stall.speed > THROW_HARD else "caution",
        title="Too fast for a hand launch in calm air",
        number=f"needs {speed(needed)} when it leaves the hand; it stalls at "
        f"{speed(flight.stall.speed)}",
        limit=f"{THROW_EASY:.0f} to {THROW_HARD:.0f} m/s, what a person throws (estimate)",
        why="Thrown below its stall speed it drops or falls off on a wing, propeller running, "
        "next to the thrower.",
        do=(
            f"Wait for a steady {speed(wind)} of wind and throw into it, launch"
            if wind <= CALM * flight.stall.speed
            else "Launch"
        )
        + f" it another way, or bring it down to {grams(mass)}.",
        source=ESTIMATE,
    )


def _forces(flight: FlightResult, mass: float) -> tuple[Curve, Curve]:
    """Full thrust and drag of level flight against speed. [m/s, N]"""
    table = flight.performance
    thrusts: Curve = [(point.speed, point.thrust) for point in flight.control.on]
    rows = zip(table.speeds, table.drags, table.lifts, strict=True)
    return thrusts, [(speed_, mass * GRAVITY * drag / lift) for speed_, drag, lift in rows]


def level_flight(balance: BalanceResult, flight: FlightResult) -> Iterator[Finding]:
    """Whether full throttle flies it level with room above the stall."""
    ready, wanted = balance.ready, ROOM * flight.stall.speed
    if ready is None or not flight.control.on:
        return
    curves = _forces(flight, ready.state.mass)
    available, drag = (at(wanted, curve) for curve in curves)
    if available is None or drag is None or drag <= available:
        return
    short = drag - available
    factor = (available + short) / available if available > 0.0 else math.inf
    more = f", {factor:.1f} times what it has" if math.isfinite(factor) else ""
    yield Finding(
        rule="level-flight",
        severity="note" if flight.control.thrust_assumed else "caution",
        title="Little speed between stall and full throttle",
        number=f"{short:.2f} N ({grams(short / GRAVITY)}) short of level flight at {speed(wanted)}",
        limit=f"level at {ROOM:g} times the stall speed (estimate)",
        why="It can only mush along near the stall, and does not climb."
        + (" The thrust is assumed, not given." if flight.control.thrust_assumed else ""),
        do=f"Find {available + short:.2f} N at that speed{more}, or build it lighter.",
        source=ESTIMATE,
    )


def glide_speed(flight: FlightResult) -> Iterator[Finding]:
    """Best glide so close to the stall that it cannot be flown."""
    glide = flight.performance.best_glide
    safe = 1.3 * flight.stall.speed
    if glide.speed >= LAUNCH * flight.stall.speed:
        return
    table = flight.performance
    sink = at(safe, list(zip(table.glide_speeds, table.sinks, strict=True))) or 0.0
    flat = math.sqrt(max(safe**2 - sink**2, 0.0)) / sink if sink > 0.0 else 0.0
    yield Finding(
        rule="glide-near-stall",
        severity="note",
        title="It glides furthest just where it stalls",
        number=f"best glide at {speed(glide.speed)}, stall at {speed(flight.stall.speed)}",
        limit=f"best glide above {speed(LAUNCH * flight.stall.speed)}",
        why="Who stretches the glide by pulling stalls it.",
        do=f"Approach at {speed(safe)}, 1.3 times the stall speed, where it sinks {sink:.1f} m/s "
        f"and glides {flat:.1f} to 1.",
        source="1.3 stall speeds: airworthiness practice for the approach, from memory",
    )


def wing_loading(design: Design, balance: BalanceResult) -> Iterator[Finding]:
    """How the cubic wing loading will feel, to the hands the design is for."""
    ready = balance.ready
    limit = GENTLE if design.file.skill == "first build" else HOT
    if ready is None or ready.state.cubic_loading <= limit:
        return
    state = ready.state
    yield Finding(
        rule="wing-loading",
        severity="note",
        title="Heavy for its size"
        if limit == HOT
        else "Livelier than a first model should be for its size",
        number=f"{state.cubic_loading:.1f} kg/m³ cubic, {10 * state.wing_loading:.0f} g/dm²",
        limit=f"{limit:g} kg/m³",
        why="Up to about 5 floats, 5 to 7 is gentle, 7 to 10 lively, 10 to 13 fast, above that "
        "for practised hands only.",
        do=f"Bring it down to {grams(state.mass * limit / state.cubic_loading)}, or fly it faster "
        "and leave more room.",
        source=PRACTICE,
    )


# --- where it stalls first -----------------------------------------------------------------------


def washout_needed(airframe: Airframe, stall: Stall, *, within: float = NEAR_TIP) -> float | None:
    """Extra washout, straight from root to tip, that lets another place stall first. [rad]

    A wing twisted by ε(y) keeps its lift and gains at each place half of what its sections would
    gain by themselves against the mean twist: Δc_l = a₀ (ε̄ − ε)/2. within: of the half span, where
    it should begin.

    Returns:
        None when 6° are not enough.
    """
    surface = airframe.surface(stall.first_surface)
    half = max(abs(station.y) for station in surface.stations)
    mean = surface.planform.mac_y / half
    rows = [
        (abs(row.y) / half, row.margin)
        for row in stall.strips
        if row.surface == stall.first_surface and row.lift > 0.0
    ]
    for step in range(1, 25):
        twist = step / 24 * MOST_WASHOUT
        place, _ = min(
            (
                (place_, margin - LIFT_SLOPE / 2 * twist * (mean - place_))
                for place_, margin in rows
            ),
            key=lambda pair: pair[1],
            default=(1.0, 0.0),
        )
        if place <= within:
            return twist
    return None


def tip_stall(airframe: Airframe, flight: FlightResult) -> Iterator[Finding]:
    """Where it stalls first, against where a wing should."""
    stall = flight.stall
    surface = airframe.surface(stall.first_surface)
    if airframe.layout == "canard" and surface.role == "wing":
        yield _wing_before_foreplane(stall)
    if surface.role != "wing" or stall.first_share <= NEAR_TIP or not stall.found:
        return
    washout = washout_needed(airframe, stall)
    yield Finding(
        rule="tip-stall",
        severity="caution" if stall.first_share > TIP else "note",
        title="The wing lets go near the tip first"
        if stall.first_share > TIP
        else "The wing lets go well outboard",
        number=f"first at {percent(stall.first_share)} of the half span",
        limit=f"within {percent(NEAR_TIP)} (caution beyond {percent(TIP)})",
        why="A stalled tip drops its wing without warning, and the aileron there makes it worse.",
        do=f"Build in {degrees(washout, 2)} more washout, straight from root to tip."
        if washout is not None
        else f"Washout up to {degrees(MOST_WASHOUT, 0)} does not mend it: less taper or a rounder, "
        "more cambered section at the tip does.",
        source=f"{PRACTICE}; washout by {SCHRENK}",
    )


def _wing_before_foreplane(stall: Stall) -> Finding:
    return Finding(
        rule="foreplane-stall",
        severity="severe",
        title="The wing stalls before the foreplane",
        number=f"first at {percent(stall.first_share)} of the wing's half span",
        limit="the foreplane first",
        why="When the main wing goes first the nose pitches up, and there may be no way out.",
        do="Give the foreplane more incidence or the wing less, until the foreplane lets go first.",
        source="D. P. Raymer, Aircraft Design: A Conceptual Approach, canard layouts",
    )


def tail_stall(flight: FlightResult) -> Iterator[Finding]:
    """The tail giving up before the wing does."""
    margin = flight.stall.tail_margin
    if margin is not None and margin < 0.0:
        yield Finding(
            rule="tail-stall",
            severity="caution",
            title="The tail stalls before the wing",
            number=f"{-margin:.2f} of lift coefficient beyond what its section carries",
            limit="0",
            why="The nose drops by itself when it is flown slowly, and the elevator is gone.",
            do="Move the balance point back within its band, or enlarge the tail by "
            f"{percent(-margin / (1.0 + margin) if margin > -0.5 else 1.0)} or more (estimate).",
            source="C. D. Perkins & R. E. Hage, Airplane Performance, Stability and Control",
        )


def outside_data(flight: FlightResult) -> Iterator[Finding]:
    """Section data used beyond what the tables hold."""
    stall = flight.stall
    if stall.outside_data:
        reynolds = min(
            (row.reynolds for row in stall.strips if row.surface == stall.first_surface),
            default=0.0,
        )
        yield Finding(
            rule="section-data",
            severity="note",
            title="The section data stop short of this wing",
            number=f"Reynolds {reynolds:,.0f} at its smallest chord, at the stall",
            limit=f"the tables: Reynolds {DATA[0]:,} to {DATA[1]:,}, camber up to 6 %",
            why="Greatest lift and drag are held at the tables' end, so stall speed and glide are "
            "less sure than usual.",
            do="Leave 20 % more speed than the page says until it has flown (estimate).",
            source=ESTIMATE,
        )
    if not stall.found:
        yield Finding(
            rule="no-stall-found",
            severity="note",
            title="No stall was found",
            number="nothing lets go up to 28°",
            limit="a stall within the theory's range",
            why="Very low aspect ratios hold on beyond where the theory ends; the stall speed is "
            "then only that at 28°.",
            do="Find the slowest speed at height, in flight.",
            source="the method's own limits",
        )
