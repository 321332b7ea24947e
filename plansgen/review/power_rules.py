"""Rules about motor, battery and propeller, and about flight under power.

That full throttle holds level with room above the stall is among the rules about speeds.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from types import MappingProxyType

from plansgen.drive.limits import DriveLimit, Kind
from plansgen.drive.result import DriveResult
from plansgen.flight.powered import Powered
from plansgen.flight.result import FlightResult
from plansgen.flight.thrust_line import ThrustLine
from plansgen.review.finding import Finding, Severity
from plansgen.review.words import ESTIMATE, PRACTICE, degrees, mm, percent, speed

POWER_RULES = frozenset(
    {
        *("motor-current", "motor-power", "controller-current", "battery-current"),
        *("propeller-turns", "thrust-to-weight", "no-level-flight", "cold-battery"),
        *("thrust-line", "thrust-apart", "one-motor", "no-thrust"),
    }
)
"""What these rules find is told on the page on power too."""

CLOSE = 0.9  # of a limit: motors and propellers differ by as much (estimate)
FAR = 1.15  # of a limit: more than spread can explain (estimate)
LEAST_THRUST = 0.35  # of the weight; sport models have 0.5 and more (common practice, no source)
WEAK_THRUST = 0.2  # of the weight: barely climbs (common practice, no source)
COLD = 0.95  # of the capacity
MUCH_ELEVATOR = 4.0  # degrees that full throttle asks for in cruise (estimate)
FAR_APART = (-0.5, 1.0)  # half or twice: a figure is wrong, not only uncertain (estimate)
LEAST_PULL = 0.01  # N: a gram
APART = 2.0  # spreads
_CELSIUS = 273.15

_WHY: Mapping[Kind, str] = MappingProxyType(
    {
        "motor current": "Windings burn and magnets weaken, often in the first minute.",
        "motor power": "More heat than the motor sheds; it smells, then stops.",
        "controller current": "It shuts down, or burns and takes the radio's supply with it.",
        "battery current": "The pack gets hot and swells; a hot lithium pack may burn.",
        "propeller turns": "Blades can break off, and hit like a knife.",
    }
)
_DO: Mapping[Kind, str] = MappingProxyType(
    {
        "motor current": "Less pitch first, then an inch less diameter",
        "motor power": "Less pitch first, then an inch less diameter",
        "controller current": "A controller for more current, or less pitch",
        "battery current": "A pack of more capacity or a higher rate, or less pitch",
        "propeller turns": "A propeller for more turns, or fewer cells",
    }
)


def power(drive: DriveResult, flight: FlightResult | None) -> Iterator[Finding]:
    """Every rule about the drive; those about flight where there is one."""
    for limit in drive.limits:
        yield from _limit(limit, drive)
    yield from _dead(drive)
    yield from _cold(drive)
    powered = flight.powered if flight else None
    if flight is None or powered is None:
        return
    yield from _thrust(powered)
    yield from _apart(powered)
    for line in powered.thrust_lines:
        yield from _line(line, flight)
    yield from _one_motor(powered, flight)


def _limit(limit: DriveLimit, drive: DriveResult) -> Iterator[Finding]:
    """One limit that is near or exceeded at full throttle standing still."""
    if limit.share < CLOSE:
        return
    severity: Severity = "note" if not limit.over else "caution"
    severity = "severe" if limit.share > FAR else severity
    turns = limit.kind == "propeller turns"
    words = "over" if limit.over else "close to"
    off = percent(drive.spread.current)
    yield Finding(
        rule=limit.kind.replace(" ", "-"),
        severity=severity,
        title=f"{limit.kind.capitalize()} {words} its limit",
        number=f"{limit.drive}: {_amount(limit.value, limit)} at full throttle, standing still",
        limit=_amount(limit.most, limit)
        + (f" (150 000 rpm over the diameter in inches, {PRACTICE})" if turns else " as given"),
        why=_WHY[limit.kind],
        do=("Read the figure on the blade or its packet; it comes first. " if turns else "")
        + f"{_DO[limit.kind]}; then measure on the bench, model held fast and nobody in line with "
        f"the blades. The worked-out current is good to about {off}.",
        source=PRACTICE if turns else "the part's own figure",
    )


def _amount(value: float, limit: DriveLimit) -> str:
    if limit.unit == "rpm":
        return f"{round(value, -2):.0f} rpm"
    return f"{value:.{1 if value < 30 else 0}f} {limit.unit}"


def _dead(drive: DriveResult) -> Iterator[Finding]:
    """A motor that does not turn its propeller."""
    for unit in drive.units:
        if unit.static.thrust >= LEAST_PULL:
            continue
        yield Finding(
            rule="no-thrust",
            severity="severe",
            title="The motor does not turn its propeller",
            number=f"{unit.motor}: {unit.static.rpm:.0f} rpm at full throttle, standing still",
            limit="some thrust",
            why="By the numbers given, the battery cannot drive even the motor's no-load current.",
            do="Look at kv, no_load_current and resistance of the drive: an ohm more or a comma "
            "amiss does that.",
            source="first-order motor equations",
        )


def _cold(drive: DriveResult) -> Iterator[Finding]:
    """A battery in the cold."""
    pack = drive.pack
    if pack.kept >= COLD:
        return
    yield Finding(
        rule="cold-battery",
        severity="note",
        title="The cold takes from the battery",
        number=f"{percent(pack.kept)} of the capacity left at {pack.temperature - _CELSIUS:.0f} °C",
        limit=f"{percent(COLD)} ({ESTIMATE})",
        why="Less charge, more sag: it stops climbing sooner than the timer says.",
        do="Carry the packs warm inside the coat, fly shorter, and never charge a pack below 0 °C.",
        source="makers' curves, from memory",
    )


def _thrust(powered: Powered) -> Iterator[Finding]:
    """Thrust for the weight, and whether it holds level anywhere."""
    if powered.top_speed is None:
        yield Finding(
            rule="no-level-flight",
            severity="severe",
            title="Full throttle does not hold it level",
            number="drag above thrust at every speed",
            limit="thrust above drag somewhere above the stall",
            why="It only sinks more slowly with the motor on.",
            do="More pitch or diameter within the motor's limits, more cells, or a lighter model.",
            source="thrust against drag in level flight",
        )
        return
    if powered.thrust_to_weight >= LEAST_THRUST:
        return
    climb = powered.best_climb
    rate = f", climbs {climb.rate:.1f} m/s at best" if climb else ""
    yield Finding(
        rule="thrust-to-weight",
        severity="caution" if powered.thrust_to_weight < WEAK_THRUST else "note",
        title="Little thrust for its weight",
        number=f"static thrust {percent(powered.thrust_to_weight)} of the weight{rate}",
        limit=f"{percent(LEAST_THRUST)} ({PRACTICE})",
        why="A long take-off run and a launch that leaves no room for a mistake.",
        do="A larger propeller within the motor's limits, or a lighter model.",
        source=PRACTICE,
    )


def _apart(powered: Powered) -> Iterator[Finding]:
    """Measured and worked-out thrust that do not belong together."""
    static = powered.static
    if static.apart is None or abs(static.apart) <= APART * static.spread:
        return
    more = "more" if static.apart > 0.0 else "less"
    yield Finding(
        rule="thrust-apart",
        severity="note" if FAR_APART[0] <= static.apart <= FAR_APART[1] else "caution",
        title="Measured and worked-out thrust do not agree",
        number=f"worked out {percent(abs(static.apart))} {more} than measured",
        limit=f"{percent(APART * static.spread)}, two spreads",
        why="Either the scale or one of the motor's or propeller's figures is wrong; the measured "
        "thrust is used, currents and times may be off.",
        do="Measure current and turns too: a lower current than worked out points to Kv, a higher "
        "one to the propeller.",
        source=ESTIMATE,
    )


def _line(line: ThrustLine, flight: FlightResult) -> Iterator[Finding]:
    """Full throttle that asks for much elevator in cruise."""
    slopes = [c.slopes.pitch for c in flight.derivatives.controls if c.mode.motion == "pitch"]
    strongest = max((abs(slope) for slope in slopes), default=0.0)
    if strongest <= 0.0:
        return
    held = abs(line.moment) / strongest
    if math.degrees(held) <= MUCH_ELEVATOR:
        return
    up = line.moment > 0.0
    through = ""
    if line.through is not None:
        way = "down" if line.through > 0.0 else "up"
        through = (
            f" {degrees(abs(line.through))} of {way}thrust takes it through the balance point."
        )
    yield Finding(
        rule="thrust-line",
        severity="note",
        title="Throttle moves the nose " + ("up" if up else "down"),
        number=f"line {mm(abs(line.height))} {'below' if up else 'above'} the balance point, full "
        f"throttle in cruise takes {degrees(held)} of elevator",
        limit=f"{MUCH_ELEVATOR:.0f}° ({ESTIMATE})",
        why="Opening or closing the throttle needs the other stick at once; the wash on "
        "the tail adds to it or takes from it.",
        do="Open the throttle slowly, or mix in some elevator." + through,
        source="moment of the thrust about the balance point",
    )


def _one_motor(powered: Powered, flight: FlightResult) -> Iterator[Finding]:
    """The speed from which the rudder holds one motor at full throttle."""
    out = powered.engine_out
    if out is None:
        return
    if out.least_speed is not None and out.least_speed <= 1.05 * flight.stall.speed:
        return
    held = out.least_speed
    yield Finding(
        rule="one-motor",
        severity="note" if held is not None else "caution",
        title="With one motor stopped it turns by itself",
        number="full rudder holds full throttle of the other one "
        + (f"from {speed(held)} up" if held is not None else "at no speed"),
        limit=f"stall at {speed(flight.stall.speed)}",
        why="Slower than that it yaws towards the dead motor, drops that wing and spins.",
        do="When one stops: throttle back first, nose down, land straight ahead.",
        source="thrust of one side against full rudder, both worked out",
    )
