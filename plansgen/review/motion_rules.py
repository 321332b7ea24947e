"""Rules about aileron and rudder, the trim at cruise, and the motions of their own."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from plansgen.airframe.build import Airframe
from plansgen.flight.control_power import HELIX, HELIX_LEAST, SIDESLIP, SIDESLIP_LEAST
from plansgen.flight.handling import JUST_ABOVE
from plansgen.flight.mode_rules import DUTCH_ROLL, PHUGOID, ROLL_TIME, SHORT_PERIOD, SPIRAL
from plansgen.flight.result import FlightResult
from plansgen.library.models import ControlKind, DesignFile
from plansgen.review.curves import at
from plansgen.review.finding import Finding
from plansgen.review.words import ESTIMATE, degrees, dm2, mm, percent, speed

MIL = "MIL-F-8785C (1980), for piloted aeroplanes, from memory"
MOST_TRIM = math.radians(5.0)  # up-elevator in cruise that is better built in (estimate)
MOST_TRAVEL = math.radians(25.0)  # more turns a plain flap no further
_ROLLERS: frozenset[ControlKind] = frozenset({"aileron", "elevon", "flaperon"})
_TURNERS: frozenset[ControlKind] = frozenset({"rudder", "ruddervator"})

Number = Literal["helix", "sideslip", "rudder_helix"]


def _just_above(flight: FlightResult, name: Number) -> float | None:
    """A control's number, power off, just above the stall; between the points worked out."""
    return at(
        JUST_ABOVE * flight.stall.speed, [(p.speed, getattr(p, name)) for p in flight.control.off]
    )


def _travel_words(share: float, kinds: str) -> str:
    """What to do for a control that gives a share of what is wanted."""
    times = math.ceil(10 / share - 1e-9) / 10
    return (
        f"Give the {kinds} {times:.1f} times the travel (up to {degrees(MOST_TRAVEL, 0)}; a flap "
        "gives no more beyond), or that much more area."
    )


def ailerons(flight: FlightResult) -> Iterator[Finding]:
    """Aileron power just above the stall."""
    helix, word = _just_above(flight, "helix"), flight.control.reading.aileron
    if word not in ("little", "gone") or helix is None:
        return
    yield Finding(
        rule="aileron-power",
        severity="caution" if word == "gone" else "note",
        title="Ailerons do little when slow",
        number=f"pb/2V {helix:.3f} at {speed(JUST_ABOVE * flight.stall.speed)}",
        limit=f"{HELIX:.2f}; below {HELIX_LEAST:.3f} it feels slow",
        why="A wing that drops on the approach comes up too late.",
        do=_travel_words(helix / HELIX, "ailerons")
        if helix > 0.0
        else "Move the ailerons outboard and enlarge them.",
        source="R. R. Gilruth & W. N. Turner, NACA Report 715 (1941), from memory",
    )


def rudder(flight: FlightResult) -> Iterator[Finding]:
    """Rudder power just above the stall."""
    slip, word = _just_above(flight, "sideslip"), flight.control.reading.rudder
    if word not in ("little", "gone") or slip is None:
        return
    yield Finding(
        rule="rudder-power",
        severity="caution" if word == "gone" else "note",
        title="Rudder does little when slow",
        number=f"holds {degrees(slip)} of sideslip at {speed(JUST_ABOVE * flight.stall.speed)}",
        limit=f"{degrees(SIDESLIP)}, a cross-wind of a fifth of the stall speed; at least "
        f"{degrees(SIDESLIP_LEAST)} in calm air",
        why="It weathercocks on the ground and drifts off the strip in a cross-wind.",
        do=_travel_words(slip / SIDESLIP, "rudder")
        if slip > 0.0
        else "Enlarge the rudder, hinge line first.",
        source="a cross-wind of a fifth of the stall speed: airworthiness practice, from memory",
    )


def steering(airframe: Airframe, flight: FlightResult) -> Iterator[Finding]:
    """A model without ailerons must roll by its rudder and dihedral; one with neither cannot."""
    kinds = {c.kind for surface in airframe.surfaces for c in surface.controls}
    if kinds & _ROLLERS or not kinds:
        return
    helix = _just_above(flight, "rudder_helix") if kinds & _TURNERS else None
    if helix is not None and helix >= HELIX_LEAST:
        return
    needed = flight.rules.effective_dihedral * HELIX_LEAST / helix if helix and helix > 0 else None
    yield Finding(
        rule="rudder-roll",
        severity="caution" if helix is not None and helix > 0.0 else "severe",
        title="Rudder and dihedral hardly roll it" if helix else "Nothing rolls it",
        number=f"pb/2V {helix:.3f} with full rudder" if helix is not None else "no rudder",
        limit=f"{HELIX_LEAST:.3f}",
        why="Without ailerons the turn comes from sideslip and dihedral; too little, and it skids "
        "round flat or does not turn at all.",
        do=f"An effective dihedral of {degrees(needed)} in place of "
        f"{degrees(flight.rules.effective_dihedral)} gives {HELIX_LEAST:.3f}, or more rudder."
        if needed is not None
        else "Add a rudder and dihedral, or ailerons.",
        source="half of the helix angle of NACA Report 715 (estimate)",
    )


def no_pitch_control(airframe: Airframe, flight: FlightResult) -> Iterator[Finding]:
    """Controls, but none that holds the nose up for the flare or slows it."""
    if flight.trim.control is not None or not any(s.controls for s in airframe.surfaces):
        return
    yield Finding(
        rule="no-pitch-control",
        severity="caution",
        title="Nothing on the stick holds its nose up or down",
        number="no elevator",
        limit="an elevator, elevons or a V-tail's",
        why="Its speed is set on the ground by balance and incidence. It cannot be flared, and not "
        "be pulled out of a dive.",
        do="Add an elevator; or try every setting in glides over long grass first, and fly it only "
        "where a dive into the ground hurts nobody.",
        source="common practice, no source",
    )


def trim_at_cruise(file: DesignFile, flight: FlightResult) -> Iterator[Finding]:
    """Pitch control that cruise needs all the time, beyond where it is set to stand."""
    trim = flight.trim
    held = at(flight.cruise, [(p.speed, p.deflection) for p in trim.points])
    if trim.control is None or held is None:
        return
    surface, control, _ = trim.control.split(".")
    held += file.surfaces[surface].controls[control].neutral
    if abs(held) <= MOST_TRIM:
        return
    nose_up = held * trim.nose_up > 0.0
    way = "up" if held < 0.0 else "down"
    yield Finding(
        rule="trim-at-cruise",
        severity="note",
        title=f"It needs nose-{'up' if nose_up else 'down'} trim all the time",
        number=f"{degrees(abs(held))} with the trailing edge {way} at {speed(flight.cruise)}",
        limit=f"{degrees(MOST_TRIM)} (estimate)",
        why="With the control straight it dives on its first flight."
        if nose_up
        else "With the control straight it rears up on its first flight.",
        do=f"Set the control {degrees(abs(held))} {way} when it is built and call that straight, "
        "or change the tail's incidence (a tailless wing: its reflex or washout).",
        source=ESTIMATE,
    )


def pitch_motions(flight: FlightResult) -> Iterator[Finding]:
    """Short period and phugoid."""
    reading, motions = flight.reading, flight.motions
    short, slow = motions.short_period, motions.phugoid
    if short is not None and short.damping is not None and reading.short_period == "lightly damped":
        yield Finding(
            rule="short-period",
            severity="caution",
            title="It bobs in pitch after every pull",
            number=f"damping ratio {short.damping:.2f}",
            limit=f"at least {SHORT_PERIOD[0]:.2f}",
            why="The nose overshoots and comes back; chasing it with the stick makes it worse.",
            do=f"A tail arm {(SHORT_PERIOD[0] / short.damping):.1f} times as long (estimate: "
            "damping grows with the square of the arm, stiffness with the arm).",
            source=MIL,
        )
    if slow is None or slow.damping is None or reading.phugoid not in ("lightly damped", "grows"):
        return
    grows = reading.phugoid == "grows"
    yield Finding(
        rule="phugoid",
        severity="caution" if grows else "note",
        title=f"Left alone it swoops up and down{', more and more' if grows else ''}",
        number=f"damping ratio {slow.damping:.3f}, period {slow.period or 0.0:.1f} s",
        limit=f"at least {PHUGOID:.2f}",
        why="A slow swing of speed and height; a hand on the stick stops it without thinking.",
        do="Trim it a little faster. It belongs to every clean model; nothing needs rebuilding.",
        source=MIL,
    )


def spiral(flight: FlightResult) -> Iterator[Finding]:
    """The spiral, against the time a pilot has."""
    mode, product = flight.motions.spiral, flight.rules.spiral_product
    if mode is None or mode.double is None or flight.reading.spiral not in ("noticeable", "tight"):
        return
    dihedral = flight.rules.effective_dihedral
    more = dihedral * (1 / product - 1) if product is not None and product > 0.0 else None
    yield Finding(
        rule="spiral",
        severity="caution" if flight.reading.spiral == "tight" else "note",
        title="A bank grows into a spiral dive by itself",
        number=f"doubles in {mode.double:.1f} s",
        limit=f"{SPIRAL[0]:.0f} s or longer",
        why="Look away for that long and a gentle bank is a steep one with the nose down.",
        do=f"{degrees(more)} more effective dihedral (now {degrees(dihedral)}) makes it neutral, "
        "or a smaller fin."
        if more is not None and more > 0.0
        else "Add dihedral, or make the fin smaller.",
        source=f"{MIL}; neutral point of the spiral: Nelson, ch. 5",
    )


def dutch_roll(airframe: Airframe, flight: FlightResult) -> Iterator[Finding]:
    """Tail wagging with rolling, and a fin that does not hold the nose into the wind."""
    if flight.derivatives.beta.yaw <= 0.0:
        yield _no_weathercock(airframe)
        return
    mode, word = flight.motions.dutch_roll, flight.reading.dutch_roll
    if mode is None or mode.damping is None or word not in ("lightly damped", "grows"):
        return
    yield Finding(
        rule="dutch-roll",
        severity="severe"
        if word == "grows"
        else "caution"
        if mode.damping < DUTCH_ROLL / 4
        else "note",
        title="The tail wags" + (", and more each time" if word == "grows" else ""),
        number=f"damping ratio {mode.damping:.3f}, period {mode.period or 0.0:.1f} s",
        limit=f"at least {DUTCH_ROLL:.2f}",
        why="It rolls and wags its way through gusts, and every touch of rudder sets it off again.",
        do=_more_fin(airframe, mode.damping),
        source=MIL,
    )


def _more_fin(airframe: Airframe, damping: float) -> str:
    """Damping ratio grows with the root of fin area and with its arm to the power of 3/2."""
    fins = [t for t in airframe.tails if t.direction == "vertical" and t.arm > 0.0]
    if damping <= 0.0 or not fins:
        return "Put more fin further back, or take dihedral out."
    main = max(fins, key=lambda t: (t.area, t.surface))
    area = sum(t.area for t in fins)
    arm = main.arm * (DUTCH_ROLL / damping) ** (2 / 3)
    bigger = area * min((DUTCH_ROLL / damping) ** 2, 2.0)
    return (
        f"Fin further aft, its arm {mm(arm)} in place of {mm(main.arm)}; or larger, {dm2(bigger)} "
        f"in place of {dm2(area)}; or less dihedral or sweep (estimate: damping goes with the root "
        "of the fin's area and with its arm to the power of one and a half)."
    )


def _no_weathercock(airframe: Airframe) -> Finding:
    area = sum(t.area for t in airframe.tails if t.direction == "vertical")
    return Finding(
        rule="weathercock",
        severity="severe",
        title="The nose does not hold into the wind",
        number=f"fin area {dm2(area)}",
        limit="a nose that turns into the wind by itself",
        why="It goes sideways and does not come back.",
        do=f"Put more fin further back: begin with {dm2(2 * area)}."
        if area > 0.0
        else f"Add a fin, about {percent(0.1)} of the wing's area to begin with (estimate).",
        source="R. C. Nelson, Flight Stability and Automatic Control, directional stability",
    )


def rolling(flight: FlightResult) -> Iterator[Finding]:
    """How soon it takes up a roll, and motions that have run together."""
    mode = flight.motions.roll
    if mode is not None and flight.reading.roll == "slow":
        yield Finding(
            rule="roll-damping",
            severity="note",
            title="It is slow to take up a roll",
            number=f"time constant {-1 / mode.real:.1f} s" if mode.real < 0.0 else "not damped",
            limit=f"{ROLL_TIME:g} s",
            why="It goes on rolling after the stick is back.",
            do="Bring mass in from the tips.",
            source=MIL,
        )
    both = flight.motions.coupled
    if both is not None and not both.stable:
        yield Finding(
            rule="coupled-motions",
            severity="caution",
            title="Two motions have run together into one that grows",
            number=f"doubles in {both.double:.1f} s" if both.double else "grows",
            limit="a motion that dies away",
            why="It is unlike what thumbs expect: roll and turn, or pitch and speed, swing as one.",
            do="More tail, or less mass far out; then look at this page again.",
            source="B. Etkin, Dynamics of Flight",
        )
