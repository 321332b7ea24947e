"""Trimming out a new model: symptom, cause and action, each action with this design's own numbers.

The rows say what to do and by how much; the words are the page's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from plansgen.airframe.build import Airframe
from plansgen.balance.result import BalanceResult
from plansgen.controls.result import ControlsResult
from plansgen.flight.result import FlightResult
from plansgen.library.design import Design
from plansgen.review.first_flight import FirstFlightCard, card_of
from plansgen.review.trim_steps import Action, Steps

Symptom = Literal[
    "dives in the glide",
    "balloons in the glide",
    "pitches up with power",
    "pitches down with power",
    "turns in the glide",
    "turns with power",
    "drops a wing",
    "hunts up and down",
    "wags its tail",
    "sluggish elevator when slow",
    "twitchy in pitch",
    "does not climb",
    "rolls slowly",
]


@dataclass(frozen=True)
class TrimRow:
    """One symptom and what to do about it, the first thing to try first."""

    symptom: Symptom
    actions: tuple[Action, ...]


@dataclass(frozen=True)
class TrimOut:
    """The trim-out guide of one design."""

    card: FirstFlightCard
    rows: tuple[TrimRow, ...]


def trim_out_of(
    design: Design,
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult,
    controls: ControlsResult | None = None,
) -> TrimOut | None:
    """The guide of one design; None when nothing in it has a mass.

    controls: give the throws to start with.
    """
    if balance.ready is None:
        return None
    card = card_of(design, airframe, balance, flight, balance.ready.state.mass, controls)
    steps = Steps(airframe, balance, balance.ready, flight, card)
    return TrimOut(card, tuple(row for row in _rows(steps) if row.actions))


def _rows(steps: Steps) -> Iterator[TrimRow]:
    up, down = steps.pitch_trim("nose-up trim"), steps.pitch_trim("nose-down trim")
    ahead = steps.balance_step("balance point forward")
    behind = steps.balance_step("balance point aft")
    yield TrimRow("dives in the glide", (*up, *behind))
    yield TrimRow("balloons in the glide", (*down, *ahead))
    yield TrimRow("pitches up with power", steps.thrust_line("thrust line nose-down"))
    yield TrimRow("pitches down with power", steps.thrust_line("thrust line nose-up"))
    yield TrimRow("turns in the glide", (*steps.roll_trim(), *steps.tip_weight()))
    yield TrimRow("turns with power", steps.thrust_line("thrust line against the turn"))
    yield TrimRow("drops a wing", (*steps.keep_speed(), *steps.washout(), *ahead))
    yield TrimRow("hunts up and down", (*steps.swing(), *down, *ahead))
    yield TrimRow("wags its tail", tuple(steps.less_wagging()))
    yield TrimRow("sluggish elevator when slow", tuple(steps.more_elevator()))
    yield TrimRow("twitchy in pitch", (*ahead, *steps.less_throw()))
    yield TrimRow("does not climb", tuple(steps.climb()))
    yield TrimRow("rolls slowly", tuple(steps.more_roll()))
