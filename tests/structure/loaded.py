"""Small designs with their loads worked out, once for all tests. SI."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from plansgen.airframe.build import Airframe, build_airframe
from plansgen.balance.result import BalanceResult, work_out_balance
from plansgen.flight.result import FlightResult, work_out_flight
from plansgen.library.models import DesignFile
from plansgen.structure.cases import LoadCase, cases_of
from plansgen.structure.span_loads import Loader
from tests import designs


@dataclass(frozen=True)
class Loaded:
    """A design through all the rooms up to its loads."""

    file: DesignFile
    airframe: Airframe
    balance: BalanceResult
    flight: FlightResult
    loader: Loader
    cases: dict[str, LoadCase]


def load(raw: dict[str, Any]) -> Loaded:
    file = designs.file_of(raw)
    stock = designs.stock(file)
    airframe = build_airframe(file, {})
    balance = work_out_balance(file, airframe, stock)
    flight = work_out_flight(file, airframe, balance)
    assert flight is not None
    cases = cases_of(file, airframe, balance, flight, tip_stiffness=lambda _: 500.0)
    loader = Loader(file, airframe, balance, flight, stock)
    return Loaded(file, airframe, balance, flight, loader, {c.key: c for c in cases})


def flying() -> dict[str, Any]:
    """A trainer with dihedral, elevator, rudder and a pair of nacelles."""
    raw = designs.trainer()
    surfaces = raw["surfaces"]
    surfaces["wing"]["stations"][1]["z"] = 40
    surfaces["tailplane"]["controls"] = {
        "elevator": {"kind": "elevator", "from": 0, "to": 170, "chord": 0.3}
    }
    surfaces["fin"]["controls"] = {
        "rudder": {"kind": "rudder", "from": 10, "to": 110, "chord": 0.4}
    }
    frames = [{"x": 0, "width": 30, "height": 30}, {"x": 160, "width": 30, "height": 30}]
    raw["bodies"]["nacelle"] = {
        "role": "nacelle",
        "mirror": True,
        "at": {"x": 80, "y": 200, "z": 10},
        "stations": frames,
        "parts": [designs.skin("all")],
    }
    raw["items"] += [designs.item("side motor", 40, x=80, y=200, z=10, mirror=True)]
    raw["bay"]["x"] = 60
    return raw


@cache
def loaded(make: Callable[[], dict[str, Any]] = flying) -> Loaded:
    """Cached: takes a second each."""
    return load(make())
