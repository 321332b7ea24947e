"""The wiring diagram: clean lettering for every number of motors and servos, and all in words."""

from __future__ import annotations

import re

import pytest

from plansgen.drive.wiring import wiring_of
from plansgen.drive.wiring_graph import DriveCurrent, Wiring
from plansgen.figures.collisions import collisions, crossed_texts
from plansgen.figures.wiring_boxes import wrapped
from plansgen.figures.wiring_diagram import diagram_of, draw_wiring
from plansgen.library.models import DesignFile
from tests.designs import Raw, file_of, item
from tests.drive.test_wiring import CONTROLLER, MOTOR, PROPELLER, electric

LONG = ", about 1000 turns a volt and a name that goes on for quite a while longer"
KINDS = {MOTOR: "motor", PROPELLER: "propeller", CONTROLLER: "speed controller"}


def wires(motors: int) -> list[Raw]:
    if motors == 0:
        return []
    shared = {"name": "battery lead", "from": "battery", "gauge": 12, "length": 100}
    branch = {"name": "x", "from": "battery", "to": CONTROLLER, "area": 1.5, "length": 400}
    return [shared] if motors == 1 else [shared, branch]


def model(motors: int, servos: int) -> DesignFile:
    """A model with so many motors and servos, and names too long for any box."""
    raw = electric(mirror=motors > 1, servos=servos, wires=wires(motors), arming_plug=True, fuse=40)
    if motors == 0:
        raw["items"] = [one for one in raw["items"] if one["kind"] in ("servo", "receiver")]
        raw["power"] = {}
    if motors == 4:
        raw["items"] += [
            {**item(name + LONG, 30, y=400), "mirror": True, "kind": kind}
            for name, kind in KINDS.items()
        ]
        outer = {key: key + LONG for key in ("motor", "propeller", "controller")}
        raw["power"]["drives"].append({**raw["power"]["drives"][0], **outer})
    for one in raw["items"]:
        if one["kind"] == "servo":
            one["name"] += LONG
    return file_of(raw)


def graph(motors: int, servos: int) -> Wiring:
    currents = [DriveCurrent(name, 18.3, 18.3) for name in (MOTOR, MOTOR + LONG)]
    wiring = wiring_of(model(motors, servos), currents, voltage=10.8)
    assert wiring is not None
    return wiring


@pytest.mark.parametrize("motors", [0, 1, 2, 4])
@pytest.mark.parametrize("servos", [0, 1, 2, 4, 5, 8, 20])
def test_nothing_overlaps(motors: int, servos: int) -> None:
    if motors == servos == 0:
        return
    figure = diagram_of(graph(motors, servos)).figure()
    assert collisions(figure) == []
    assert crossed_texts(figure) == []


def test_the_words_tell_every_current_and_size() -> None:
    wiring = graph(2, 4)
    told = draw_wiring("Dunlin", wiring).alt
    for lead in wiring.conductors:
        assert lead.title.lower() in told.lower()
        if lead.current:
            assert re.search(rf"\b{lead.current:.1f}|{lead.current:.0f} A", told)
        assert lead.size in told


def test_plus_and_minus_are_letters_and_not_only_lines() -> None:
    letters = [lettering.text for lettering in diagram_of(graph(1, 2)).letterings]
    assert letters.count("+") == letters.count("−") > 0


def test_what_is_not_drawn_is_told() -> None:
    assert "4 more servos" in draw_wiring("Dunlin", graph(1, 20)).caption
    assert "more" not in draw_wiring("Dunlin", graph(1, 8)).caption


def test_long_words_are_cut_and_short_ones_wrapped() -> None:
    assert wrapped("one two three", 200.0, most=2) == ["one two three"]
    assert wrapped("one two three four", 25.0, most=2)[0] == "one two"
    assert wrapped("a" * 80, 25.0, most=2)[0].endswith("…")
