"""What the flight page shows beyond the dossier's own numbers: words for readings, and tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plansgen.dossier import Dossier
from plansgen.flight.control_power import PowerPoint
from plansgen.flight.derivatives import Slopes
from plansgen.flight.handling import NoseLimit
from plansgen.flight.modes import Mode
from plansgen.flight.result import FlightResult
from plansgen.review.feel import feel_of
from plansgen.site.format import plain, show

SWING_WORDS = {
    "good": "dies away well",
    "lightly damped": "dies away slowly",
    "heavily damped": "creeps back without swinging",
    "grows": "grows: the pilot must hold it",
    "none": "does not show by itself",
}
ROLL_WORDS = {
    "quick": "follows the stick at once",
    "slow": "follows the stick with a delay",
    "none": "does not show by itself",
}
SPIRAL_WORDS = {
    "stable": "lifts its wing by itself",
    "gentle": "tightens a turn so slowly that nobody minds",
    "noticeable": "tightens a turn: keep an eye on it",
    "tight": "tightens a turn quickly: it must be flown all the time",
    "none": "does not show by itself",
}
ENOUGH_WORDS = {
    "enough": "enough",
    "little": "little: use it early and gently",
    "gone": "none left",
    "none": "no such control",
}
CAUSE_WORDS = {
    "tail volume": "the tail is small, or close to the wing",
    "wake": "the tail works in the slow air behind the wing",
    "travel": "the control does not move far enough",
    "nose-heavy": "the balance point lies far ahead of the neutral point",
}


@dataclass(frozen=True)
class MotionRow:
    """One motion, in words and times."""

    name: str
    what: str
    mode: Mode | None
    reading: str


@dataclass(frozen=True)
class SlopeRow:
    """One line of the table of derivatives; numbers as text, per radian."""

    name: str
    values: tuple[str, ...]


def motion_rows(flight: FlightResult) -> list[MotionRow]:
    """The five motions and how they read."""
    motions, reading = flight.motions, flight.reading
    return [
        MotionRow(
            "Short period",
            "a quick nod",
            motions.short_period,
            SWING_WORDS[reading.short_period],
        ),
        MotionRow(
            "Phugoid",
            "a slow rise and fall of speed",
            motions.phugoid,
            SWING_WORDS[reading.phugoid],
        ),
        MotionRow("Roll", "after the stick is moved", motions.roll, ROLL_WORDS[reading.roll]),
        MotionRow("Spiral", "a turn left alone", motions.spiral, SPIRAL_WORDS[reading.spiral]),
        MotionRow(
            "Dutch roll",
            "tail-wagging with a roll",
            motions.dutch_roll,
            SWING_WORDS[reading.dutch_roll],
        ),
    ]


def _row(name: str, slopes: Slopes) -> SlopeRow:
    fields = ("lift", "side", "roll", "pitch", "yaw")
    return SlopeRow(name, tuple(plain(getattr(slopes, field), 3) for field in fields))


def slope_rows(flight: FlightResult) -> list[SlopeRow]:
    """Derivatives by angle, rate and control."""
    d = flight.derivatives
    rows = [
        _row("angle of attack, α", d.alpha),
        _row("sideslip, β", d.beta),
        _row("roll rate, pb/2V", d.p),
        _row("pitch rate, qc/2V", d.q),
        _row("yaw rate, rb/2V", d.r),
    ]
    return rows + [
        _row(f"{c.mode.control.replace('_', ' ')}, in {c.mode.motion}", c.slopes)
        for c in d.controls
    ]


def nose_words(limit: NoseLimit | None, *, power: str) -> str:
    """The sentence about full up-elevator at low speed."""
    if limit is None:
        return f"With the power {power} there is nothing to say: no pitch control."
    if limit.reach == "to the stall":
        return f"With the power {power}, full up-elevator lifts the nose right down to the stall."
    if limit.reach == "never" or limit.speed is None:
        return f"With the power {power}, full up-elevator never lifts the nose. Do not fly it so."
    speed = show(limit.speed, "m/s").metric
    return f"With the power {power}, full up-elevator no longer lifts the nose below {speed}."


def _with(shift: float | None) -> str:
    """The balance point's own move that goes with a change of the tail."""
    if shift is None or abs(shift) < 5e-4:
        return ""
    way = "aft" if shift > 0 else "forward"
    return f", with the balance point {show(abs(shift), 'm').metric} further {way}"


def help_words(flight: FlightResult) -> list[str]:
    """What would give the elevator more to work with, each alone, solved for this design."""
    ways = flight.help
    if ways is None or ways.now >= ways.target:
        return []
    share = f"{ways.target * 100:.0f} % left just above the stall"
    words = []
    if ways.tail_arm is not None:
        words.append(
            f"A tail arm of {show(ways.tail_arm, 'm').metric} gives "
            f"{share}{_with(ways.tail_arm_shift)}."
        )
    if ways.tail_area is not None:
        words.append(
            f"A tail area of {show(ways.tail_area, 'm²').metric} gives "
            f"{share}{_with(ways.tail_area_shift)}."
        )
    if ways.balance_shift is not None and ways.static_margin_then is not None:
        words.append(
            f"A balance point {show(ways.balance_shift, 'm').metric} further aft gives {share}, "
            f"with a static margin of {show(ways.static_margin_then, '%').metric} then."
        )
    if ways.out_of_wake > ways.now + 0.02:
        words.append(
            f"A tail out of the wing's wake gives {show(ways.out_of_wake, '%').metric} left."
        )
    if ways.thrust is not None:
        words.append(
            f"A burst of throttle, {show(ways.thrust, 'N').metric} of thrust, gives {share}."
        )
    return words


@dataclass(frozen=True)
class ControlRow:
    """All controls at one speed, power off and, where there is a propeller, on."""

    off: PowerPoint
    on: PowerPoint | None


def control_rows(flight: FlightResult) -> list[ControlRow]:
    """Control power side by side, slowest first."""
    on = flight.control.on or (None,) * len(flight.control.off)
    return [ControlRow(*pair) for pair in zip(flight.control.off, on, strict=True)]


def flight_context(dossier: Dossier) -> Mapping[str, Any]:
    """What the flight page's template shows; empty when there is no flight result."""
    flight = dossier.flight
    if flight is None:
        return {"flight": None}
    reading = flight.control.reading
    return {
        "flight": flight,
        "feel": feel_of(dossier.airframe, flight),
        "motion_rows": motion_rows(flight),
        "slope_rows": slope_rows(flight),
        "nose_off": nose_words(flight.control.nose_off, power="off"),
        "nose_on": nose_words(flight.control.nose_on, power="on") if flight.control.on else "",
        "help_words": help_words(flight),
        "causes": [CAUSE_WORDS[cause] for cause in reading.causes],
        "control_rows": control_rows(flight),
        "control_reading": [
            ("Elevator, power off", ENOUGH_WORDS[reading.elevator_off]),
            *(
                [("Elevator, power on", ENOUGH_WORDS[reading.elevator_on])]
                if flight.control.on
                else []
            ),
            ("Aileron", ENOUGH_WORDS[reading.aileron]),
            ("Rudder", ENOUGH_WORDS[reading.rudder]),
        ],
    }
