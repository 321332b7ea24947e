"""Names in power and control entries: they must be those of the right things."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from plansgen.library.assumed import assumptions
from plansgen.library.driven import check_power
from plansgen.library.text import Place, dotted
from tests.designs import Raw, file_of, glider, item, powered, trainer

Change = Callable[[Raw], Any]


def told(raw: Raw) -> list[tuple[str, str, str]]:
    found: list[tuple[str, str, str]] = []

    def trouble(path: Place, wrong: str, *, allowed: str = "", nearest: str = "") -> None:
        found.append((dotted(path), wrong, nearest))

    check_power(trouble, file_of(raw))
    return found


@pytest.mark.parametrize("build", [glider, trainer, powered])
def test_good_designs_are_left_alone(build: Callable[[], Raw]) -> None:
    assert told(build()) == []


def _drive(**value: Any) -> Change:
    return lambda raw: raw["power"]["drives"][0].update(value)


def _power(**value: Any) -> Change:
    return lambda raw: raw["power"].update(value)


def _item(number: int, **value: Any) -> Change:
    return lambda raw: raw["items"][number].update(value)


WIRE = {"name": "lead", "length": 100, "gauge": 16}
WRONG: dict[str, tuple[Change, str, str, str]] = {
    "no such motor": (
        _drive(motor="moter"),
        "power.drives[0].motor",
        'no motor "moter"',
        "motor",
    ),
    "a propeller that is a motor": (
        _drive(propeller="motor"),
        "power.drives[0].propeller",
        '"motor" is an item of kind motor, not propeller',
        "",
    ),
    "two motors of one name": (
        lambda raw: raw["items"].append(item("motor", 40, kind="motor")),
        "power.drives[0].motor",
        '2 items have the name "motor"',
        "",
    ),
    "one propeller for two motors": (
        lambda raw: (
            _item(0, mirror=True, at={"x": 0, "y": 90})(raw),
            _item(-1, mirror=True, at={"x": 0, "y": 90})(raw),
        ),
        "power.drives[0].propeller",
        "is not mirrored, but its motor is",
        "",
    ),
    "two controllers for one motor": (
        _item(-1, mirror=True, at={"x": 0, "y": 90}),
        "power.drives[0].controller",
        "is mirrored, but its motor is not",
        "",
    ),
    "a propeller of no size": (
        _item(1, diameter=None),
        "power.drives[0]",
        "diameter is missing",
        "",
    ),
    "no cells": (
        lambda raw: raw["batteries"][1].update(cells=None),
        "batteries[1]",
        "cells is missing",
        "",
    ),
    "no battery": (lambda raw: raw.update(batteries=[]), "power.drives", "needs a battery", ""),
    "a wire to nothing": (
        _power(wires=[WIRE | {"from": "battery", "to": "controler"}]),
        "power.wires[0].to",
        'no item "controler"',
        "controller",
    ),
    "a plug on no wire": (
        _power(wires=[WIRE], connectors=[{"name": "plug", "wire": "leed"}]),
        "power.connectors[0].wire",
        'no wire "leed"',
        "lead",
    ),
    "an alternative without its battery": (
        _power(alternatives=[{"name": "more", "battery": "three cell"}]),
        "power.alternatives[0].battery",
        'no battery "three cell"',
        "three cells",
    ),
    "a surface moved by a motor": (
        lambda raw: raw["surfaces"]["wing"]["controls"]["ailerons"].update(servo="motor"),
        "surfaces.wing.controls.ailerons.servo",
        '"motor" is an item of kind motor, not servo',
        "",
    ),
}


@pytest.mark.parametrize(("change", "field", "words", "nearest"), WRONG.values(), ids=WRONG)
def test_wrong_names(change: Change, field: str, words: str, nearest: str) -> None:
    raw = powered()
    change(raw)
    ((where, wrong, near),) = told(raw)
    assert where == field
    assert words in wrong
    assert near == nearest


def test_a_motor_works_once() -> None:
    raw = powered()
    raw["power"]["drives"] *= 2
    assert [where for where, _, _ in told(raw)] == [
        f"power.drives[1].{part}" for part in ("motor", "propeller", "controller")
    ]


def test_what_a_drive_leaves_out_is_told_and_a_glider_assumes_nothing_of_it() -> None:
    of_power = [one.where for one in assumptions(file_of(powered())) if "power" in one.where]
    assert of_power == [
        *(
            f"power.drives[0].{name}"
            for name in ("controller_resistance", "down", "side", "blades")
        ),
        "power.flight_mix",
        "power.usable",
    ]
    assert [one for one in assumptions(file_of(glider())) if "power" in one.where] == []


def test_halves_of_a_mixing_and_ends_of_a_travel() -> None:
    raw = powered()
    control = raw["surfaces"]["wing"]["controls"]["ailerons"]
    control |= {"kind": "flaperon", "travel": 20, "down": 10}
    raw["mixing"] = [{"kind": "flaperon", "roll": 0.6}]
    file = file_of(raw)
    assert file.mixing[0].shares == (("roll", 0.6), ("flap", 0.5))
    read = file.surfaces["wing"].controls["ailerons"]
    assert (read.most_up, read.most_down) == pytest.approx((0.349066, 0.174533), abs=1e-6)
