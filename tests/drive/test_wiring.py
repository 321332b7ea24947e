"""The graph of leads: who is wired to whom, which wire lies where, and what it carries."""

from __future__ import annotations

import math
from typing import Any

import pytest

from plansgen.drive.servo_current import stall_current_of
from plansgen.drive.wiring import wiring_of
from plansgen.drive.wiring_graph import DriveCurrent, Wiring
from tests.designs import Raw, battery, file_of, glider, item

MOTOR, CONTROLLER, PROPELLER = "motor", "controller", "propeller"


def electric(*, mirror: bool = False, servos: int = 2, **power: Any) -> Raw:
    """A glider with one motor, or with one on each side."""
    raw = glider()
    both: Raw = {"mirror": True, "y": 200} if mirror else {}
    kinds = {MOTOR: "motor", PROPELLER: "propeller", CONTROLLER: "speed controller"}
    raw["items"] = [{**item(name, 30, **both), "kind": kind} for name, kind in kinds.items()]
    raw["items"] += [{**item(f"servo {n + 1}", 9), "kind": "servo"} for n in range(servos)]
    raw["items"].append({**item("receiver", 8), "kind": "receiver"})
    raw["batteries"] = [battery(cells=3, capacity=1300)]
    raw["bay"] = {"from": -50, "to": 50}
    drive = {
        **{"motor": MOTOR, "propeller": PROPELLER, "controller": CONTROLLER},
        **{"kv": 1000, "no_load_current": 0.8, "resistance": 0.1},
        **{"pitch": 150, "diameter": 229},
    }
    raw["power"] = {"drives": [drive], **power}
    return raw


def wired(raw: Raw, *, amperes: float = 20.0) -> Wiring:
    wiring = wiring_of(file_of(raw), [DriveCurrent(MOTOR, amperes, amperes)], voltage=11.0)
    assert wiring is not None
    return wiring


def test_a_shape_without_anything_electric_has_no_wiring() -> None:
    raw = glider()
    raw["items"] = []
    raw.pop("batteries", None)
    raw.pop("bay", None)
    assert wiring_of(file_of(raw)) is None


def test_one_motor_takes_all_that_the_battery_gives() -> None:
    wiring = wired(electric())
    lead = wiring.between("battery", "controller-1")
    assert lead is not None
    assert lead.current == wiring.total == 20.0
    assert not lead.estimated
    assert wiring.of_kind("split") == ()


def test_two_motors_share_a_lead_that_splits() -> None:
    """Kirchhoff: what goes in at the split comes out of it."""
    wiring = wired(electric(mirror=True))
    shared = wiring.between("battery", "split")
    assert shared is not None
    parts = [c.current for c in wiring.conductors if c.start == "split"]
    assert parts == [20.0, 20.0]
    assert shared.current == sum(filter(None, parts)) == wiring.total
    assert [block.side for block in wiring.of_kind("motor")] == ["port", "starboard"]


def test_a_motor_lead_carries_the_motors_current_two_thirds_of_the_time() -> None:
    """Root-mean-square of a current that flows 2/3 of the time: √(2/3) of it."""
    lead = wired(electric()).between("controller-1", "motor-1")
    assert lead is not None
    assert lead.count == 3
    assert lead.current == pytest.approx(20.0 * math.sqrt(2 / 3))


def test_only_one_controller_feeds_the_receiver() -> None:
    wiring = wired(electric(mirror=True))
    feeds = [c.current for c in wiring.conductors if c.end == "receiver"]
    assert feeds == [wiring.supply_stalled, 0.0]


def test_a_glider_feeds_its_receiver_from_the_battery() -> None:
    raw = electric()
    raw["items"] = [one for one in raw["items"] if one["kind"] in ("servo", "receiver")]
    raw["power"] = {}
    wiring = wiring_of(file_of(raw))
    assert wiring is not None
    assert wiring.between("battery", "receiver") is not None
    assert wiring.total is None


def test_wires_find_their_leads() -> None:
    wires = [
        {"name": "battery lead", "from": "battery", "gauge": 14, "length": 100},
        {"name": "to the wing", "from": "battery", "to": CONTROLLER, "area": 1.5, "length": 400},
        {"name": "to nowhere", "gauge": 22, "length": 100},
    ]
    wiring = wired(electric(mirror=True, wires=wires))
    shared = wiring.between("battery", "split")
    branch = wiring.between("split", "controller-2")
    assert shared is not None
    assert branch is not None
    assert shared.wires == ("battery lead",)
    assert branch.wires == ("to the wing",)
    assert branch.area == pytest.approx(1.5e-6)
    assert wiring.unmatched == ("to nowhere",)


def test_voltage_lost_by_hand() -> None:
    """Ohm's law with the copper of IEC 60028: 2 × 20 A × 17.241 mΩ/m × 1.1572 × 1.03 × 0.5 m."""
    wires = [{"name": "lead", "from": "battery", "to": CONTROLLER, "area": 1.0, "length": 500}]
    wiring = wired(electric(wires=wires))
    assert wiring.drop == pytest.approx(2 * 20 * 0.017241 * 1.1572 * 1.03 * 0.5, rel=1e-6)


def test_two_wires_end_to_end_are_one_lead() -> None:
    wires = [
        {"name": "one", "from": "battery", "to": CONTROLLER, "gauge": 14, "length": 100},
        {"name": "two", "from": "battery", "gauge": 18, "length": 200},
    ]
    lead = wired(electric(wires=wires)).between("battery", "controller-1")
    assert lead is not None
    assert lead.length == pytest.approx(0.3)
    assert lead.size.startswith("AWG 18")


def test_the_makers_limit_comes_first() -> None:
    wires = [{"name": "x", "from": "battery", "gauge": 14, "length": 100, "most": 25}]
    lead = wired(electric(wires=wires)).between("battery", "controller-1")
    assert lead is not None
    assert (lead.limit, lead.limit_given) == (25.0, True)


def test_plugs_carry_what_their_wire_does() -> None:
    wires = [{"name": "to the wing", "from": "battery", "to": CONTROLLER, "gauge": 16, "length": 9}]
    plugs = [
        {"name": "battery plug", "most_current": 60},
        {"name": "wing plug", "most_current": 30, "wire": "to the wing"},
    ]
    wiring = wired(electric(mirror=True, wires=wires, connectors=plugs))
    assert [(plug.name, plug.current) for plug in wiring.plugs] == [
        ("battery plug", 40.0),
        ("wing plug", 20.0),
    ]


def test_stall_current_from_torque_and_speed() -> None:
    """V I = T ω for a motor without friction; here with 40 % left (estimate)."""
    assert stall_current_of(torque=0.16, speed=8.7, voltage=5.0) == pytest.approx(
        0.16 * 8.7 / 5.0 / 0.4
    )


def test_servo_leads_carry_what_a_held_servo_draws() -> None:
    """Common practice, no source: a servo of 9 g draws 0.5 to 1 A when it is held."""
    lead = wired(electric()).between("receiver", "servo-1")
    assert lead is not None
    assert lead.estimated
    assert lead.current is not None
    assert 0.5 <= lead.current <= 1.0
