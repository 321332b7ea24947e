"""What the page on controls shows beyond the numbers themselves: rows, and words for them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from plansgen.controls.card import StickCheck
from plansgen.controls.fitting import Fit
from plansgen.controls.mixing import MixRow, Way
from plansgen.controls.result import ControlsResult, ControlThrow
from plansgen.controls.throws import StartThrow
from plansgen.dossier import Dossier
from plansgen.figures.linkage_drawing import linkage_name
from plansgen.review.first_flight import Throw
from plansgen.review.rules import CONTROL_RULES
from plansgen.site.format import GAP, plain, show

_HAIR = 1e-4  # rad
_PLAIN = 0.01  # rad: less differential than anybody sets
STICK_NAMES = {"pitch": "elevator stick", "roll": "aileron stick", "yaw": "rudder stick"}
MIX_NAMES = {"elevon": "Elevons", "flaperon": "Flaperons", "ruddervator": "V-tail"}
ARROWS: Mapping[Way, str] = {"up": "▲", "down": "▼", "left": "◀", "right": "▶", "straight": "–"}
ORDER = (
    "Take the propeller off, or have somebody hold the model fast by its middle. A motor that "
    "starts while you look at the tail cuts fingers.",
    "Transmitter on first, model chosen, throttle closed. Then the battery. (Afterwards the other "
    "way round: battery out first.)",
    "Stand behind the model and look the way it flies. Its right is your right.",
    "Sticks in the middle: every edge in line with its surface, but for trim that is meant.",
    "Work down the card. Say aloud what must happen, then move the stick, then look.",
    "Full stick into every corner: nothing binds, buzzes, rubs or runs into its stop.",
    "Range check as the radio's book says, motor off and then running.",
)
FAILSAFE = (
    "Failsafe: model held fast, propeller clear of everything, a little throttle on. Switch the "
    "transmitter off. The motor must stop within a second or two and stay off; the surfaces go "
    "where you have set them. Switch it on again, close the throttle, and only then let go."
)
FAILSAFE_GLIDER = (
    "Failsafe: model held fast. Switch the transmitter off. The surfaces must go where you have "
    "set them: a gentle turn and, where there are any, flaps out. Switch it on again."
)
RISING = (
    "Raise the speed in small steps over several flights, and never dive it at full throttle.",
    "A buzz, a blurred edge or a stick that shakes is flutter: throttle closed, nose gently up, "
    "land at once. Look at every hinge, horn, rod and servo before it flies again.",
    "Before every day's flying take hold of each edge and wiggle it. If you can see it "
    "move, find out why.",
)


@dataclass(frozen=True)
class ThrowRow:
    """One control in the table of throws.

    first: of the first-flight card, one for each stick; none where there is no card.
    """

    throw: ControlThrow
    name: str
    travel: str
    first: tuple[Throw, ...]
    down_way: str
    up_way: str


@dataclass(frozen=True)
class StartRow:
    """One order of one control: where to start."""

    name: str
    stick: str
    start: StartThrow
    flight: str
    practice: str


@dataclass(frozen=True)
class LinkageView:
    """One linkage: its drawing, where there is one, and what it does, in sentences."""

    throw: ControlThrow
    title: str
    figure: str
    words: list[str]


def _name(throw: ControlThrow) -> str:
    return f"{throw.title[:1].upper()}{throw.title[1:]}"


def _ways(throw: ControlThrow) -> tuple[str, str]:
    return ("right", "left") if throw.upright else ("down", "up")


def travel_words(throw: ControlThrow) -> str:
    """Full travel in degrees, in words."""
    down, up = _ways(throw)
    if not throw.differential:
        if throw.neutral:
            way = "up" if throw.neutral > 0.0 else "down"
            middle = _degrees(abs(throw.neutral))
            return f"{_degrees(throw.up)} each way from the middle, which stands {middle} {way}"
        return f"{_degrees(throw.up)} each way"
    ends = [(throw.up, up), (throw.down, down)]
    told = [f"{_degrees(angle)} {way}" for angle, way in ends if angle > _HAIR]
    return " and ".join(told) if len(told) > 1 else f"{told[0]} only"


def throw_rows(dossier: Dossier, controls: ControlsResult) -> list[ThrowRow]:
    """Every control, with the first-flight card's own throw."""
    card = dossier.trim_out.card.throws if dossier.trim_out else ()
    first = [throw for throw in card if throw.motion != "flap"]
    return [
        ThrowRow(
            throw,
            _name(throw),
            travel_words(throw),
            tuple(one for one in first if one.key == throw.key),
            *_ways(throw),
        )
        for throw in controls.controls
    ]


def start_rows(controls: ControlsResult) -> Iterator[StartRow]:
    """Every order of every control."""
    for throw in controls.controls:
        for start in throw.starts:
            low, high = (show(angle, "rad").metric for angle in (start.low, start.high))
            yield StartRow(
                name=_name(throw),
                stick=STICK_NAMES.get(start.motion, "flaps out"),
                start=start,
                flight=_flight_text(start),
                practice=f"{low} to {high}",
            )


def _flight_text(start: StartThrow) -> str:
    if start.out_of_reach:
        return "more than a flap can do"
    return "–" if start.flight is None else show(start.flight, "rad").metric


def linkage_views(controls: ControlsResult, figures: Mapping[str, Any]) -> list[LinkageView]:
    """Every control's linkage, or what is missing of it."""
    views = []
    for throw in controls.controls:
        name = linkage_name(throw)
        words = list(_linkage_words(throw, throw.fit)) if throw.fit else []
        if throw.missing:
            words.append(f"Not given: {_listed(throw.missing)}. {_left_out(throw)}")
        views.append(LinkageView(throw, _name(throw), name if name in figures else "", words))
    return views


def _left_out(throw: ControlThrow) -> str:
    if throw.fit is None:
        return "So only degrees and millimetres are told here, and nothing of the servo."
    return "What hangs on it is left out."


def _linkage_words(throw: ControlThrow, fit: Fit) -> Iterator[str]:
    down, up = _ways(throw)
    if fit.used is not None:
        yield (
            f"The rod's hole {_millimetres(fit.arm)} out on the servo arm and "
            f"{_millimetres(fit.horn)} from the hinge: {_share(fit.used)} of the servo's "
            "travel gives the full throw."
        )
    if fit.ahead:
        side = "ahead of" if fit.ahead > 0.0 else "behind"
        yield (
            f"The horn's hole lies {_millimetres(abs(fit.ahead))} {side} the hinge line, with the "
            f"horn {_horn_side(throw, fit)}."
        )
    if fit.alike_down is not None and fit.alike_up is not None and throw.down > _HAIR < throw.up:
        if abs(fit.alike_down - fit.alike_up) < _PLAIN:
            yield "Turned alike both ways, the servo moves it alike both ways."
        else:
            yield (
                f"Turned alike both ways, the servo moves it {_degrees(fit.alike_down)} {down} and "
                f"{_degrees(fit.alike_up)} {up}: that is differential by itself."
            )
    if throw.differential and throw.down > _HAIR < throw.up:
        yield (
            f"The design asks for {_degrees(throw.down)} {down} and {_degrees(throw.up)} {up}; set "
            "what is left of the difference at the transmitter."
        )


def _horn_side(throw: ControlThrow, fit: Fit) -> str:
    if throw.upright:
        return "to port" if fit.above else "to starboard"
    return "on top" if fit.above else "on the underside"


def _millimetres(metres: float) -> str:
    return show(metres, "m").metric


def _degrees(angle: float) -> str:
    return show(angle, "rad").metric


def _share(share: float) -> str:
    return f"{plain(100 * share, 0)}{GAP}%"


def _listed(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def edge_text(angle: float, edge: float) -> str:
    """Where an edge stands, in a table: millimetres and degrees with their way."""
    if abs(angle) < _HAIR:
        return "straight"
    way = "down" if angle > 0.0 else "up"
    return f"{plain(abs(edge) * 1000, 0)}{GAP}mm {way} ({_degrees(abs(angle))})"


def mix_cells(row: MixRow) -> tuple[str, str]:
    """Both edges of one row of mixing."""
    return edge_text(row.port, row.port_edge), edge_text(row.starboard, row.starboard_edge)


def edge_words(check: StickCheck) -> list[tuple[str, str, str]]:
    """Arrow, part and way of every edge; both sides in one line where they go alike."""
    lines: list[tuple[str, str, str]] = []
    for key in dict.fromkeys(edge.key for edge in check.edges):
        edges = [edge for edge in check.edges if edge.key == key]
        ways = {edge.way for edge in edges}
        if len(edges) == 2 and len(ways) == 1:
            part = edges[0].part.removeprefix("port ")
            lines.append((ARROWS[edges[0].way], f"{part}, both sides", edges[0].way))
        else:
            lines += [(ARROWS[edge.way], edge.part, edge.way) for edge in edges]
    return lines


def controls_context(dossier: Dossier, figures: Mapping[str, Any]) -> Mapping[str, Any]:
    """What the template on controls shows."""
    controls = dossier.controls
    if controls is None:
        return {"controls": None, "controls_refusal": dossier.controls_refusal}
    weakest = _weakest(controls)
    return {
        "controls": controls,
        "control_findings": [f for f in dossier.findings if f.rule in CONTROL_RULES],
        "throw_rows": throw_rows(dossier, controls),
        "start_rows": list(start_rows(controls)),
        "linkage_views": linkage_views(controls, figures),
        "weakest_servo": weakest.load if weakest else None,
        "weakest_servo_of": weakest.title if weakest else "",
        "mix_cells": mix_cells,
        "mix_names": MIX_NAMES,
        "stick_names": STICK_NAMES,
        "mix_share": _share,
        "edge_words": edge_words,
        "check_order": ORDER,
        "failsafe": FAILSAFE if dossier.airframe.propellers else FAILSAFE_GLIDER,
        "rising": RISING,
    }


def _weakest(controls: ControlsResult) -> ControlThrow | None:
    """The control whose servo has least to spare."""
    margins = [
        (throw.load.margin, throw.key)
        for throw in controls.controls
        if throw.load is not None and throw.load.margin is not None
    ]
    return controls.control(min(margins)[1]) if margins else None
