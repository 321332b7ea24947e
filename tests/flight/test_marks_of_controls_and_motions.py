"""Every number of wash, wake, control power and motions carries a known unit and method."""

from __future__ import annotations

from typing import get_type_hints

import pytest

from plansgen.flight.control_help import PitchHelp
from plansgen.flight.control_power import ControlPower, PowerPoint
from plansgen.flight.handling import NoseLimit
from plansgen.flight.mode_rules import ModeRules
from plansgen.flight.modes import Inertia, Mode, Motions
from plansgen.flight.slipstream import Disc, SurfaceWash, WashedStrip
from plansgen.flight.wake import TailWake, Wake
from plansgen.library.tables import methods
from plansgen.quantity import quantities

KINDS = (
    ControlPower,
    Disc,
    Inertia,
    Mode,
    ModeRules,
    Motions,
    NoseLimit,
    PitchHelp,
    PowerPoint,
    SurfaceWash,
    TailWake,
    Wake,
    WashedStrip,
)
UNITS = {"m", "m²", "m/s", "N", "W", "Pa", "kg", "kg m²", "kg/m³", "s", "1/s", "1"} | {
    "rad",
    "rad/s",
    "rad/s²",
}


@pytest.mark.parametrize("kind", KINDS)
def test_marks(kind: type) -> None:
    marks = quantities(kind)
    bare = {name for name, hint in get_type_hints(kind).items() if hint in (float, float | None)}
    assert bare <= set(marks)
    for name, mark in marks.items():
        assert mark.method in methods(), name
        assert mark.unit in UNITS, name
        assert mark.label[0].isupper(), name
        assert mark.shown in ("", "%"), name
