"""Cautions about flutter. Nobody works out its speed here: what tells is how the control is made.

A control whose own mass lies behind its hinge swings with the wing and feeds on the air; slop, a
soft horn, a long thin control driven at one end and speed all help it. Sources: R. L. Bisplinghoff,
H. Ashley & R. L. Halfman, *Aeroelasticity* (control-surface flutter and mass balance, from memory);
the limits below are estimates that only sort what is worth saying.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

MUCH_SLOP = math.radians(2.0)  # stop to stop; anybody sees it at the edge (common practice)
SOME_SLOP = math.radians(1.0)  # a fingertip feels it (common practice, no source)
LARGE = 0.25  # of the chord (estimate)
SLENDER = 12.0  # span of one half over its chord (estimate)
FAST = 25.0  # m/s: well beyond what slow foam models fly (estimate)

Grade = Literal["caution", "note"]


@dataclass(frozen=True)
class FlutterCaution:
    """One thing to look at. number: what was found, in words; why, do: sentences."""

    key: str
    control: str
    grade: Grade
    title: str
    number: str
    limit: str
    why: str
    do: str


@dataclass(frozen=True, kw_only=True)
class Made:
    """How one control is made.

    chord: true, at the widest place. span: of one half. [m] share: of the chord. slop: stop to
    stop; None where it was not measured. [rad]
    """

    title: str
    chord: float
    span: float
    share: float
    slop: float | None
    balanced: bool


def flutter_cautions(made: Made, *, top_speed: float) -> Iterator[FlutterCaution]:
    """What to look at on one control. top_speed: [m/s]"""
    fast = top_speed >= FAST
    yield from _slop(made, fast=fast)
    if fast and made.share >= LARGE and not made.balanced:
        yield FlutterCaution(
            key="flutter-unbalanced",
            control=made.title,
            grade="note",
            title=f"{_capital(made.title)}: large, without mass balance, on a fast model",
            number=f"{made.share * 100:.0f} % of the chord, no balance weight, top speed "
            f"{top_speed:.0f} m/s",
            limit=f"a light control of less than {LARGE * 100:.0f} %, or a balance weight, from "
            f"{FAST:.0f} m/s on",
            why="Its own mass lies behind the hinge. At speed it can begin to buzz, and a buzz "
            "tears a control off in a second or two.",
            do="Keep it light behind the hinge, the hinge gap closed and the linkage stiff, and "
            "raise the speed in small steps. If you hear a buzz: throttle back, raise the nose "
            "gently, land, and find out why before it flies again.",
        )
    if fast and made.span > SLENDER * made.chord:
        yield FlutterCaution(
            key="flutter-slender",
            control=made.title,
            grade="note",
            title=f"{_capital(made.title)}: long and thin",
            number=f"{made.span * 1000:.0f} mm long, {made.chord * 1000:.0f} mm deep",
            limit=f"at most {SLENDER:.0f} times as long as deep, from {FAST:.0f} m/s on",
            why="Driven at one place it twists, and its far end does what it likes.",
            do="Put the horn near its middle, stiffen its skin, or divide it and give each part "
            "its own servo.",
        )


def _slop(made: Made, *, fast: bool) -> Iterator[FlutterCaution]:
    if made.slop is None or made.slop < SOME_SLOP:
        return
    edge = made.chord * math.sin(made.slop) * 1000
    much = made.slop >= MUCH_SLOP or (fast and made.slop > SOME_SLOP)
    yield FlutterCaution(
        key="flutter-slop",
        control=made.title,
        grade="caution" if much else "note",
        title=f"{_capital(made.title)}: there is play in it",
        number=f"{math.degrees(made.slop):.1f}° stop to stop, {edge:.1f} mm at the edge",
        limit=f"less than {math.degrees(SOME_SLOP):.0f}°",
        why="Play lets a control flutter at a speed that it would else stand, and the model never "
        "quite holds its trim.",
        do="Find it: hold the horn, then the rod, then the arm, and wiggle the edge. Tighter "
        "holes, a new clevis or a new servo gear take it out; a longer horn makes it less.",
    )


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
