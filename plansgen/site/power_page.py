"""What the page on power shows beyond the numbers themselves: rows, and words for them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from plansgen.alternatives import Choice
from plansgen.atmosphere import GRAVITY
from plansgen.dossier import Dossier
from plansgen.drive.limits import DriveLimit
from plansgen.drive.result import DriveResult
from plansgen.drive.state import WholeState
from plansgen.drive.wiring_graph import Conductor, Wiring
from plansgen.flight.powered import FlightTime, Powered, StaticThrust
from plansgen.flight.thrust_line import ThrustLine
from plansgen.library.tables import cautions_for
from plansgen.review.balance_rules import what_to_move
from plansgen.review.power_rules import POWER_RULES
from plansgen.review.wiring_rules import WIRING_RULES
from plansgen.site.format import GAP, plain, show

PAGE_RULES = POWER_RULES | WIRING_RULES | {"level-flight"}
CAUTIONS = (
    *("propellers", "arming", "several-motors", "pusher-hand-launch", "radio-check"),
    *("power-leads", "lithium-use", "lithium-charging", "lithium-below-freezing"),
)
"""Safety notes that are repeated on this page, where the design calls for them."""
OUT_OF_SCOPE = (
    "Only electric drives are worked out. A rubber motor gives its torque by its turns, and a "
    "combustion engine by its own curve that hardly any maker prints; neither is told here."
)
# Thrust over weight and what it feels like: common practice, no source.
FEELS = (
    (
        1.0,
        "It hangs on its propeller: more than any quiet flying needs, so open the throttle slowly",
    ),
    (0.7, "That is plenty: it climbs steeply and goes round again without fuss"),
    (0.45, "That is enough for circuits and a climb that nobody worries about"),
    (0.3, "That is modest: it climbs gently, and wants a good throw and a shallow climb-out"),
    (0.0, "That is little: it flies, but it will not save you from a low, slow turn"),
)
FIRST_TIMER = 0.5  # of the worked-out time (common practice, no source)
_FAR_OFF = 2.0  # standard deviations
_HAIR = 5e-4  # m
_SMALL = 0.01  # of Cm and Cn
_SENSIBLE = math.radians(8.0)  # of down- or upthrust (estimate)
THROTTLES = {"full": "climbing at full throttle", "level": "level at cruise", "off": "motor off"}


@dataclass(frozen=True)
class SpeedRow:
    """Full throttle at one airspeed; rpm: of the first drive."""

    state: WholeState
    rpm: str


@dataclass(frozen=True)
class LeadRow:
    """One lead, or several alike; count in words where there is more than one."""

    lead: Conductor
    title: str
    size: str
    advised: str


@dataclass(frozen=True)
class ChoiceRow:
    """One way to drive it. over: limits exceeded, in words."""

    choice: Choice
    move: str
    over: str


# --- sentences -----------------------------------------------------------------------------------


def reading_of(powered: Powered) -> list[str]:
    """What it comes to, in a few sentences."""
    words = [_thrust_words(powered), *measured_words(powered.static), *_level_words(powered)]
    return [*words, time_words(powered.time)]


def _thrust_words(powered: Powered) -> str:
    thrust, ratio = powered.static.used, powered.thrust_to_weight
    feel = next(words for least, words in FEELS if ratio >= least)
    return (
        f"Held fast at full throttle it pulls {show(thrust, 'N').metric}, which is "
        f"{plain(thrust / GRAVITY * 1000, 0)}{GAP}g on a luggage scale and {plain(ratio, 2)} of "
        f"its weight. {feel} (common practice, no source)."
    )


def measured_words(static: StaticThrust) -> Iterator[str]:
    """What the scale says beside the calculation."""
    if static.apart is None:
        yield (
            f"Nobody has measured that yet; the calculation may be {_percent(static.spread)} off. "
            "A luggage scale between the tail and a post tells in a minute."
        )
        return
    more = "more" if static.apart > 0.0 else "less"
    near = abs(static.apart) <= _FAR_OFF * static.spread
    yield (
        f"The scale says {show(static.measured or 0.0, 'N').metric}, the calculation "
        f"{show(static.worked_out, 'N').metric}: {_percent(abs(static.apart))} {more}. "
        + (
            "That is as near as such a calculation comes, and the scale is believed."
            if near
            else "That is further apart than it should be: look at the propeller's true pitch, the "
            "motor's turns a volt and the state of the battery. The scale is believed."
        )
    )


def _level_words(powered: Powered) -> Iterator[str]:
    cruise, top = powered.cruise, powered.top_speed
    if top is None:
        yield "Full throttle does not hold it level at any speed."
        return
    if cruise is None:
        yield "It cannot be held level at its cruise on the battery's mean voltage."
    else:
        yield (
            f"At its cruise of {_speed(cruise.speed)} it holds level with "
            f"{_percent(cruise.throttle)} of throttle and {show(cruise.current, 'A').metric}; "
            f"full throttle takes it to {_speed(top)}."
        )


def time_words(time: FlightTime) -> str:
    """How long a flight is, and what to set the timer to."""
    mix = ", ".join(f"{_percent(p.share)} {THROTTLES[p.throttle]}" for p in time.parts)
    timer = max(1, round(FIRST_TIMER * time.mixed / 60))
    return (
        f"A flight of {mix} would last {show(time.mixed, 's').metric} in still air with a steady "
        f"thumb. Nobody flies like that: set the timer to {timer}{GAP}min at first, see how much "
        "the charger puts back, and lengthen it from there."
    )


def line_words(line: ThrustLine) -> list[str]:
    """Where the thrust passes the balance point, and what you feel of it."""
    height = line.height
    if abs(height) < _HAIR:
        start = "Its line passes through the balance point"
    else:
        side = "above" if height > 0.0 else "below"
        start = f"Its line passes {show(abs(height), 'm').metric} {side} the balance point"
    words = [f"{start}, with {_angle(line.down)} of downthrust."]
    if abs(line.moment) < _SMALL:
        words.append("Opening the throttle hardly changes the trim by that.")
    else:
        way = "up" if line.moment > 0.0 else "down"
        words.append(
            f"Opening the throttle pushes the nose {way} by that; the wash on wing and tail comes "
            "on top. Change it in steps of one degree, after a flight that asked for it."
        )
    if line.side:
        side = "starboard" if line.side > 0.0 else "port"
        words.append(f"The shaft points {_angle(abs(line.side))} to {side}, against the wash.")
    return words


def _speed(value: float) -> str:
    return f"{plain(value, 1)}{GAP}m/s"


def _percent(share: float) -> str:
    return f"{plain(100 * share, 0)}{GAP}%"


def _angle(angle: float) -> str:
    return show(angle, "rad").metric


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


# --- rows ----------------------------------------------------------------------------------------


def speed_rows(drive: DriveResult, powered: Powered) -> list[SpeedRow]:
    """Full throttle from standing still to just over top speed, with the thrust that is used."""
    static = powered.static
    share = static.used / static.worked_out if static.worked_out > 0.0 else 1.0
    states = zip(drive.over_speed, drive.units[0].over_speed, strict=True)
    return [
        SpeedRow(
            replace(whole, thrust=whole.thrust * share, efficiency=whole.efficiency * share),
            plain(round(one.rpm, -1), 0),
        )
        for whole, one in states
        if whole.speed <= powered.speeds[-1]
    ]


def limit_text(value: float, unit: str) -> str:
    """A value beside its limit."""
    if unit == "rpm":
        return f"{plain(round(value, -1), 0)} a minute"
    return f"{plain(value, 1 if value < 10.0 else 0)}{GAP}{unit}"


def limit_rows(drive: DriveResult) -> list[DriveLimit]:
    """Limits, the nearest first."""
    return sorted(drive.limits, key=lambda limit: -limit.share)


def lead_rows(wiring: Wiring) -> list[LeadRow]:
    """Leads in their order; those that differ only in their side in one row."""
    names = {block.key: block.name for block in wiring.blocks}
    rows: dict[tuple[object, ...], list[Conductor]] = {}
    for lead in wiring.conductors:
        end = names[lead.end] if lead.circuit == "servo" else ""
        rows.setdefault((lead.circuit, end, lead.current, lead.wires), []).append(lead)
    return [_lead_row(leads, names) for leads in rows.values()]


def _lead_row(leads: Sequence[Conductor], names: Mapping[str, str]) -> LeadRow:
    lead = leads[0]
    title = lead.title
    if lead.circuit == "servo":
        title = f"receiver to {names[lead.end]}"
    elif len(leads) > 1:
        title = title.replace(", port", "")
    advised = f"AWG{GAP}{lead.gauge_advised} or thicker" if lead.gauge_advised else "–"
    both = f" ({len(leads)}{GAP}×)" if len(leads) > 1 else ""
    return LeadRow(lead, f"{_upper(title)}{both}", lead.size or "not given", advised)


def choice_rows(choices: Sequence[Choice]) -> list[ChoiceRow]:
    """Every choice, with what to move and what it overloads."""
    return [
        ChoiceRow(choice, _move(choice), ", ".join(limit.kind for limit in choice.over))
        for choice in choices
    ]


def _move(choice: Choice) -> str:
    if choice.remedy is None:
        return "–"
    if abs(choice.remedy.offset) < _HAIR:
        return "Nothing to move."
    return what_to_move(choice.remedy)


# --- the page ------------------------------------------------------------------------------------


def power_context(dossier: Dossier) -> Mapping[str, Any]:
    """What the template on power shows."""
    drive, powered = dossier.drive, dossier.flight.powered if dossier.flight else None
    known = drive is not None and powered is not None
    notes = {note.id: note for note in cautions_for(frozenset(dossier.facts))}
    return {
        "drive": drive if known else None,
        "powered": powered if known else None,
        "drive_refusal": dossier.drive_refusal or dossier.flight_refusal,
        "has_motor": bool(dossier.wiring and dossier.wiring.of_kind("motor")),
        "out_of_scope": OUT_OF_SCOPE,
        "power_findings": [f for f in dossier.findings if f.rule in PAGE_RULES],
        "power_cautions": [notes[name] for name in CAUTIONS if name in notes],
        "power_reading": reading_of(powered) if powered else [],
        "speed_rows": speed_rows(drive, powered) if drive and powered else [],
        "limit_rows": limit_rows(drive) if drive else [],
        "limit_text": limit_text,
        "line_words": line_words,
        "sensible": lambda line: line.through is not None and abs(line.through) <= _SENSIBLE,
        "throttle_words": THROTTLES,
        "wiring": dossier.wiring,
        "lead_rows": lead_rows(dossier.wiring) if dossier.wiring else [],
        "choice_rows": choice_rows(dossier.choices),
        "upper": _upper,
    }
