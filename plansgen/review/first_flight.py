"""The first-flight card: what to set, how to try the glide, how to go on from there."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Literal

from plansgen.airframe.build import Airframe
from plansgen.atmosphere import GRAVITY
from plansgen.balance.result import BalanceResult
from plansgen.balance.target import share_of_mark
from plansgen.controls.mixing import ORDERS
from plansgen.controls.result import ControlsResult
from plansgen.controls.throws import edge_of, true_chord
from plansgen.flight.controls import Motion
from plansgen.flight.pitching import felt, needed
from plansgen.flight.result import FlightResult
from plansgen.flight.travels import share_of
from plansgen.library.design import Design
from plansgen.library.models import ControlKind
from plansgen.quantity import Quantity
from plansgen.review.curves import at
from plansgen.review.speed_rules import CALM

FIRST_THROW = 2 / 3  # of full travel (common practice, no source)
THROW_SPEED = 1.2  # stall speeds: fast enough to fly, slow enough for a hand (common practice)
APPROACH = 1.3  # stall speeds (airworthiness practice for the approach, from memory)
SHOULDER = 1.6  # m, where a glide test begins (estimate)
STRAIGHT = math.radians(0.25)  # nobody sets a control more finely
EASY_THROW = 7.5  # m/s, the middle of what a person throws (estimate)


@dataclass(frozen=True)
class Throw:
    """How far one control goes, each way, measured with a ruler at its widest place.

    key: surface and control, as the flight result names them; motion: which stick moves it so; one
    that obeys two sticks has a throw for each. mixed: it does. chord: of the control there, square
    to its hinge line. full, first: at the trailing edge, square to the surface, from where the
    stick's middle puts it. neutral: how far up that is. first: the recommended start of the
    controls' own calculation, or else a common share of the full throw.
    """

    key: str
    surface: str
    control: str
    kind: ControlKind
    motion: Motion
    mixed: bool
    chord: Annotated[float, Quantity("m", "Chord of the control", "trim-out-throw")]
    neutral: Annotated[float, Quantity("rad", "Edge up, sticks in the middle", "given-by-designer")]
    travel: Annotated[float, Quantity("rad", "Travel each way", "controls-travel")]
    full: Annotated[float, Quantity("m", "Full throw each way", "trim-out-throw")]
    first: Annotated[float, Quantity("m", "Throw for the first flight", "trim-out-first-throw")]


@dataclass(frozen=True)
class StartTrim:
    """Where to set the pitch control before the first flight, for the speed of the approach.

    At the balance point of the card. way: of its trailing edge. height: of its trailing edge from
    straight. left: what its full throw leaves beyond that, the same way.
    """

    key: str
    way: Literal["up", "down", "straight"]
    angle: Annotated[float, Quantity("rad", "Pitch control set at", "flight-trim")]
    height: Annotated[float, Quantity("m", "Trailing edge", "trim-out-throw")]
    left: Annotated[float, Quantity("m", "Throw left beyond it", "trim-out-throw")]


@dataclass(frozen=True)
class GlideTest:
    """A straight hand launch without power.

    wind: that helps the throw along, 0 when none is needed. possible: no more wind is wanted than a
    first flight may have. distance: of the glide from shoulder height in calm air, at that speed
    all the way. longest: when it floats down to its stall as well.
    """

    speed: Annotated[float, Quantity("m/s", "Throw at", "trim-out-throw-speed")]
    wind: Annotated[float, Quantity("m/s", "Wind wanted", "trim-out-throw-wind")]
    possible: bool
    distance: Annotated[float, Quantity("m", "Glides about", "trim-out-glide-distance")]
    longest: Annotated[float, Quantity("m", "Glides at most", "trim-out-glide-distance")]
    sink: Annotated[float, Quantity("m/s", "Sinks", "flight-glide")]


@dataclass(frozen=True)
class PowerUp:
    """What power does.

    level_share: of the full thrust there is at that speed; above 1 it does not hold height. climb:
    of the flight path at full throttle; None where it sinks. assumed: the thrust is not given.
    """

    level_speed: Annotated[float, Quantity("m/s", "Speed of cruise", "flight-glide")]
    level_thrust: Annotated[float, Quantity("N", "Thrust to hold height", "trim-out-level-thrust")]
    level_power: Annotated[
        float, Quantity("W", "Power to hold height, in the air", "flight-level-power")
    ]
    level_share: Annotated[
        float | None,
        Quantity("1", "Share of full thrust to hold height", "trim-out-level-share", "%"),
    ]
    climb: Annotated[float | None, Quantity("rad", "Climb at full throttle", "trim-out-climb")]
    climb_speed: Annotated[float, Quantity("m/s", "Climb at", "flight-level-power")]
    assumed: bool


@dataclass(frozen=True)
class FirstFlightCard:
    """Everything for the first flight, on one sheet.

    Places are behind the wing's root leading edge. origin: where the balance point is from. later:
    the design's target, where it has another place for its first flights.
    forward, aft: where the target's own limits and the worked-out ones both allow it; None when
    they share no place, so that it must not fly yet. within: whether the balance point itself lies
    between them. start: None without a pitch control. glide: None unless it is launched by hand.
    lift_off: None unless it takes off by itself. power: None without a propeller.
    """

    balance: Annotated[float, Quantity("m", "Balance it at", "trim-out-balance")]
    later: Annotated[float | None, Quantity("m", "Later, balance it at", "trim-out-balance")]
    origin: Literal["own", "rule", "worked out"]
    forward: Annotated[float | None, Quantity("m", "Not ahead of", "trim-out-band")]
    aft: Annotated[float | None, Quantity("m", "Not behind", "trim-out-band")]
    within: bool
    throws: tuple[Throw, ...]
    start: StartTrim | None
    stall: Annotated[float, Quantity("m/s", "Stall speed", "flight-stall")]
    approach: Annotated[float, Quantity("m/s", "Approach at", "trim-out-approach")]
    turn_stall: Annotated[float, Quantity("m/s", "Stalls in a turn of 45°", "flight-turn")]
    wind: Annotated[float, Quantity("m/s", "Most wind, first flight", "trim-out-wind")]
    glide: GlideTest | None
    lift_off: Annotated[float | None, Quantity("m/s", "Lifts off at", "trim-out-lift-off")]
    power: PowerUp | None


def throws_of(
    design: Design, airframe: Airframe, controls: ControlsResult | None
) -> tuple[Throw, ...]:
    """The throw of every control for each of its sticks."""
    starts = {
        (control.key, start.motion): start.start
        for control in (controls.controls if controls else ())
        for start in control.starts
    }
    found = []
    for surface in airframe.surfaces:
        given = design.file.surfaces[surface.key].controls
        for control in surface.controls:
            key, chord = f"{surface.key}.{control.key}", true_chord(surface, control)
            for motion in ORDERS[control.kind]:
                share = share_of(design.file, control.kind, motion)
                travel = share * given[control.key].travel
                first = starts.get((key, motion), FIRST_THROW * travel)
                found.append(
                    Throw(
                        key=key,
                        surface=surface.title,
                        control=control.key.replace("_", " "),
                        kind=control.kind,
                        motion=motion,
                        mixed=len(ORDERS[control.kind]) > 1,
                        chord=chord,
                        neutral=given[control.key].neutral,
                        travel=travel,
                        full=edge_of(chord, travel),
                        first=edge_of(chord, min(first, travel)),
                    )
                )
    return tuple(found)


def card_of(
    design: Design,
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult,
    mass: float,
    controls: ControlsResult | None = None,
) -> FirstFlightCard:
    """The card of one design. mass: ready to fly, with the usual battery. [kg]"""
    launches, stall = design.file.launches, flight.stall
    root = airframe.reference.root_x
    target, origin = _point(balance, flight, airframe.reference.mac)
    first = design.file.balance.first
    x = target
    if first is not None:
        x = airframe.reference.x_of_share(share_of_mark(first, airframe.reference))
    band = _band(balance, flight, airframe.reference.mac)
    turn = min(stall.turns, key=lambda t: abs(t.bank - math.radians(45)))
    throws = throws_of(design, airframe, controls)
    runs = bool({"ground", "water"} & set(launches))
    return FirstFlightCard(
        balance=x - root,
        later=target - root if first is not None else None,
        origin=origin,
        forward=band[0] - root if band else None,
        aft=band[1] - root if band else None,
        within=band is not None and band[0] - 1e-9 <= x <= band[1] + 1e-9,
        throws=throws,
        start=_start(
            airframe, balance, flight, throws, x, flies_off=runs and "hand" not in launches
        ),
        stall=stall.speed,
        approach=APPROACH * stall.speed,
        turn_stall=turn.speed,
        wind=CALM * stall.speed,
        glide=_glide(flight) if "hand" in launches else None,
        lift_off=THROW_SPEED * stall.speed if runs else None,
        power=_power(flight, mass) if flight.control.on else None,
    )


def _point(
    balance: BalanceResult, flight: FlightResult, chord: float
) -> tuple[float, Literal["own", "rule", "worked out"]]:
    """The design's target; without one, 10 % of static margin, but not ahead of the forward limit.

    10 % is usual for a first flight (common practice, no source).
    """
    if balance.target is not None:
        return balance.target.x, balance.target.origin
    limits = flight.limits
    x = limits.neutral_point - max(0.10, limits.least_margin) * chord
    if limits.forward is not None:
        x = min(max(x, limits.forward.x), limits.aft_x)
    return x, "worked out"


def _band(balance: BalanceResult, flight: FlightResult, chord: float) -> tuple[float, float] | None:
    """Where everything allows the balance point; None when that is nowhere.

    Without a forward limit of any kind it begins at a static margin of a quarter (estimate).
    """
    limits, target = flight.limits, balance.target
    forwards = [limits.forward.x] if limits.forward else []
    afts = [limits.aft_x]
    if target is not None:
        forwards.append(target.forward_x)
        afts.append(target.aft_x)
    forward = max(forwards, default=limits.neutral_point - 0.25 * chord)
    return (forward, min(afts)) if forward <= min(afts) else None


def _start(
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult,
    throws: tuple[Throw, ...],
    x: float,
    *,
    flies_off: bool,
) -> StartTrim | None:
    """From the trim curve, at the card's balance point; within a quarter of a degree is straight.

    flies_off: it starts under power, without a throw that shows the glide first, so the thrust
    that holds height counts too: a high thrust line takes a setting down away again.
    """
    control, speed = flight.trim.control, APPROACH * flight.stall.speed
    held = at(speed, [(p.speed, p.deflection) for p in flight.trim.points])
    if control is None or held is None:
        return None
    name = control.rpartition(".")[0]
    throw = next(throw for throw in throws if throw.key == name and throw.motion == "pitch")
    moment = _moved(airframe, balance, flight, x, speed)
    if flies_off:
        moment += _thrust_moment(airframe, balance, flight, speed)
    slope = flight.derivatives.control(control).pitch
    surface, key = throw.key.split(".")
    share = next(c.chord_share for c in airframe.surface(surface).controls if c.key == key)
    set_to = needed(felt(held, share=share) - moment / slope, share=share) if slope else held
    ends = edge_of(throw.chord, throw.neutral + throw.travel)
    if set_to is None or abs(set_to) > throw.travel + abs(throw.neutral):
        return None
    way: Literal["up", "down", "straight"] = "up" if set_to < 0.0 else "down"
    if abs(set_to) < STRAIGHT:
        way = "straight"
    height = throw.chord * math.sin(abs(set_to))
    left = ends - height if way == "up" else throw.full - height
    return StartTrim(throw.key, way, abs(set_to), height, left)


def _moved(
    airframe: Airframe, balance: BalanceResult, flight: FlightResult, x: float, speed: float
) -> float:
    """Cm that the lift gives when the model is balanced at x and not as the file has it."""
    ready = balance.ready
    lift = at(speed, [(p.speed, p.lift) for p in flight.trim.points])
    if ready is None or lift is None:
        return 0.0
    return lift * (x - ready.state.x) / airframe.reference.mac


def _thrust_moment(
    airframe: Airframe, balance: BalanceResult, flight: FlightResult, speed: float
) -> float:
    """Cm of the thrust that holds height; a thrust line above the balance point noses it down."""
    total = sum(p.diameter**2 for p in airframe.propellers)
    ratio = at(speed, list(zip(flight.performance.speeds, _ratios(flight), strict=True)))
    if not total or balance.ready is None or ratio is None:
        return 0.0
    state, reference = balance.ready.state, airframe.reference
    height = sum(p.diameter**2 * p.z for p in airframe.propellers) / total - state.z
    pressure = flight.air.dynamic_pressure(speed) * reference.area
    return -state.mass * GRAVITY * ratio * height / (pressure * reference.mac)


def _glide(flight: FlightResult) -> GlideTest:
    table = flight.performance
    speed = THROW_SPEED * flight.stall.speed
    sink = at(speed, list(zip(table.glide_speeds, table.sinks, strict=True))) or 0.0
    ratio = math.sqrt(max(speed**2 - sink**2, 0.0)) / sink if sink > 0.0 else 0.0
    wind = max(0.0, speed - EASY_THROW)
    float_ = (speed**2 - flight.stall.speed**2) / (2 * GRAVITY)
    return GlideTest(
        speed=speed,
        wind=wind,
        possible=wind <= CALM * flight.stall.speed,
        distance=SHOULDER * ratio,
        longest=(SHOULDER + float_) * ratio,
        sink=sink,
    )


def _power(flight: FlightResult, mass: float) -> PowerUp:
    table, speed = flight.performance, flight.cruise
    ratio = at(speed, list(zip(table.speeds, _ratios(flight), strict=True))) or 0.0
    drag = mass * GRAVITY * ratio
    full = at(speed, [(point.speed, point.thrust) for point in flight.control.on])
    spare = (full or 0.0) - drag
    return PowerUp(
        level_speed=speed,
        level_thrust=drag,
        level_power=drag * speed,
        level_share=drag / full if full else None,
        climb=math.asin(min(spare / (mass * GRAVITY), 1.0)) if spare > 0.0 else None,
        climb_speed=max(table.least_power_speed, APPROACH * flight.stall.speed),
        assumed=flight.control.thrust_assumed,
    )


def _ratios(flight: FlightResult) -> list[float]:
    table = flight.performance
    return [drag / lift for drag, lift in zip(table.drags, table.lifts, strict=True)]
