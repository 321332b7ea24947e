"""Rules about tail volumes and what the elevator can still do when slow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plansgen.airframe.build import Airframe
from plansgen.atmosphere import GRAVITY
from plansgen.balance.result import BalanceResult
from plansgen.flight.control_help import PitchHelp
from plansgen.flight.control_power import SPARE, Cause
from plansgen.flight.result import FlightResult
from plansgen.library.design import Design
from plansgen.review.finding import Finding, Severity
from plansgen.review.words import dm2, mm, move_to, percent, speed

RAYMER = "D. P. Raymer, Aircraft Design: A Conceptual Approach, table 6.4"
LOW_REYNOLDS = 1e5  # of a tail at the stall: below it a thin laminar layer costs lift (estimate)
UPPER_HALF = 0.70  # V_H of the table's general aviation aeroplanes
MOST_LEVEL, MOST_UPRIGHT = 1.2, 0.09  # a textbook's upper figure; the table's transports
SAILPLANE_ASPECT = 10.0  # estimate: from here a model counts as a sailplane


@dataclass(frozen=True)
class Kind:
    """A row of the table: least horizontal and vertical tail volume."""

    name: str
    level: float
    upright: float


SAILPLANE = Kind("sailplane", 0.50, 0.02)
HOMEBUILT = Kind("homebuilt", 0.50, 0.04)
FLYING_BOAT = Kind("flying boat", 0.70, 0.06)

CAUSES: dict[Cause, str] = {
    "tail volume": "the tail is small or close for this wing",
    "wake": "the tail sits in the slow air behind the wing",
    "travel": "the elevator has little travel",
    "nose-heavy": "it balances far forward",
}


def kind_of(design: Design, airframe: Airframe) -> Kind:
    """The row of the table that a design belongs to."""
    if "water" in design.file.launches:
        return FLYING_BOAT
    slim = airframe.reference.aspect_ratio >= SAILPLANE_ASPECT
    return SAILPLANE if slim else HOMEBUILT


def horizontal(design: Design, airframe: Airframe, flight: FlightResult) -> Iterator[Finding]:
    """The horizontal tail volume of a layout with its tail behind."""
    tails = [t for t in airframe.tails if t.direction == "horizontal"]
    if airframe.layout not in ("conventional", "biplane") or not tails:
        return
    volume, area = sum(t.volume for t in tails), sum(t.area for t in tails)
    kind = kind_of(design, airframe)
    main = max(tails, key=lambda t: (t.area, t.surface))
    reynolds = flight.air.reynolds(
        speed=flight.stall.speed, length=airframe.surface(main.surface).planform.mac
    )
    least = kind.level
    weak = not _enough(flight)
    sluggish = flight.control.reading.elevator_off in ("little", "gone")
    if volume >= least and sluggish and reynolds < LOW_REYNOLDS:
        least = UPPER_HALF
    if least <= volume <= MOST_LEVEL or volume <= 0.0:
        return
    reference = airframe.reference
    wanted = least if volume < least else MOST_LEVEL
    arm = wanted * reference.area * reference.mac / area
    buildable = arm <= reference.span  # nobody builds a tail further back than the wing is wide
    yield Finding(
        rule="tail-volume-horizontal",
        severity="caution" if weak and volume < least else "note",
        title=f"{'Small' if volume < least else 'Very large'} horizontal tail",
        number=f"tail volume {volume:.2f}",
        limit=f"{least:.2f} to {MOST_LEVEL:.2f} ({kind.name})",
        why=_why_level(reynolds, small=volume < least, weak=weak),
        do=(f"A tail arm of {mm(arm)} in place of {mm(main.arm)}, or a" if buildable else "A")
        + f" tail of {dm2(area * wanted / volume)} in place of {dm2(area)}, gives {wanted:.2f}.",
        source=f"{RAYMER}; the upper end from another textbook",
    )


def _why_level(reynolds: float, *, small: bool, weak: bool) -> str:
    if not small:
        return "More tail than needed is mass far behind the balance point."
    text = "Less tail means less stability and less elevator when slow."
    if reynolds < LOW_REYNOLDS:
        text += f" At Reynolds {reynolds:,.0f} a small tail wants the upper half of the range."
    return text if weak else f"{text} Worked out in full, this one is enough all the same."


def _enough(flight: FlightResult) -> bool:
    """Stable at every loading, and enough elevator just above the stall."""
    stable = all(m.static_margin >= flight.limits.least_margin for m in flight.margins)
    return stable and flight.control.reading.elevator_off in ("enough", "none")


def vertical(design: Design, airframe: Airframe) -> Iterator[Finding]:
    """The vertical tail volume of a layout with its tail behind."""
    tails = [t for t in airframe.tails if t.direction == "vertical"]
    if airframe.layout not in ("conventional", "biplane") or not tails:
        return
    volume, area = sum(t.volume for t in tails), sum(t.area for t in tails)
    kind = kind_of(design, airframe)
    if kind.upright <= volume <= MOST_UPRIGHT or volume <= 0.0:
        return
    small = volume < kind.upright
    wanted = kind.upright if small else MOST_UPRIGHT
    yield Finding(
        rule="tail-volume-vertical",
        severity="caution" if volume < 0.6 * kind.upright else "note",
        title=f"{'Small' if small else 'Very large'} fin",
        number=f"tail volume {volume:.3f}",
        limit=f"{kind.upright:.2f} to {MOST_UPRIGHT:.2f} ({kind.name})",
        why="A small fin lets the tail wag and the nose wander in a turn; see the Dutch roll."
        if small
        else "A large fin winds it into a spiral; see the spiral.",
        do=f"A fin of {dm2(area * wanted / volume)} in place of {dm2(area)} at the same arm gives "
        f"{wanted:.2f}.",
        source=RAYMER,
    )


def elevator(airframe: Airframe, balance: BalanceResult, flight: FlightResult) -> Iterator[Finding]:
    """Whether full up-elevator still lifts the nose just above the stall, and what helps."""
    help_, control = flight.help, flight.control
    if help_ is None or control.nose_off is None:
        return
    ends = control.nose_off.reach != "to the stall"
    if control.reading.elevator_off == "enough" and not ends:
        return
    yield Finding(
        rule="elevator-when-slow",
        severity=_gravity(flight),
        title=_elevator_title(flight),
        number=f"{percent(help_.now)} of the elevator left at {speed(help_.speed)}, power off"
        + (f"; {percent(help_.with_power)} with full throttle" if help_.with_power else ""),
        limit=f"{percent(SPARE)} left (estimate)",
        why=_because(control.reading.causes),
        do="One of these alone: " + "; ".join(_ways(airframe, balance, flight, help_)) + ".",
        source="C. D. Perkins & R. E. Hage, Airplane Performance, Stability and Control, elevator "
        "control power",
    )


def _gravity(flight: FlightResult) -> Severity:
    nose = flight.control.nose_off
    assert nose is not None
    if nose.reach == "never" or (flight.help is not None and flight.help.now < -SPARE):
        return "severe"
    return "caution"


def _elevator_title(flight: FlightResult) -> str:
    nose = flight.control.nose_off
    if nose is not None and nose.reach == "never":
        return "Full up-elevator never lifts the nose, power off"
    if nose is not None and nose.speed is not None:
        return f"Below {speed(nose.speed)} full up-elevator no longer lifts the nose, power off"
    return "Little elevator left when slow"


def _because(causes: tuple[Cause, ...]) -> str:
    text = "The nose drops in the landing flare, and pulling does not bring it back"
    return text + (": " + ", and ".join(CAUSES[cause] for cause in causes) if causes else "") + "."


def _ways(
    airframe: Airframe, balance: BalanceResult, flight: FlightResult, ways: PitchHelp
) -> list[str]:
    wanted = percent(ways.target)
    found = []
    if ways.tail_arm is not None:
        found.append(f"tail arm {mm(ways.tail_arm)} gives {wanted}")
    if ways.tail_area is not None:
        found.append(f"tail area {dm2(ways.tail_area)} gives {wanted}")
    if ways.out_of_wake > ways.now + 0.02:
        found.append(f"a tail out of the wing's wake gives {percent(ways.out_of_wake)}")
    loading = balance.ready
    if ways.balance_shift > 0.0 and loading is not None:
        least = flight.limits.least_margin
        if ways.static_margin_then >= least:
            x = loading.state.x + ways.balance_shift
            move = move_to(x, loading=loading, balance=balance, reference=airframe.reference)
            found.append(
                f"balance point {mm(ways.balance_shift)} further aft, which leaves a static margin "
                f"of {percent(ways.static_margin_then, 1)} ({move[0].lower()}{move[1:-1]})"
            )
        else:
            found.append(
                f"not the balance point: {mm(ways.balance_shift)} further aft would leave a static "
                f"margin of {percent(ways.static_margin_then, 1)}"
            )
    if ways.thrust is not None and ways.now < ways.target:
        full = flight.control.thrust
        part = f", {percent(ways.thrust / full)} of full power" if ways.thrust <= full else ""
        found.append(
            f"a burst of throttle: {ways.thrust:.1f} N ({1000 * ways.thrust / GRAVITY:.0f} g)"
            f"{part} gives {wanted}"
        )
    return found or ["keep more speed; nothing else worked out here gives enough"]
