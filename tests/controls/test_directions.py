"""Which way every edge goes: rules of every flying school, and the flight calculation's signs."""

from __future__ import annotations

import math
from typing import Any

import pytest

from plansgen.airframe.build import Airframe, build_airframe
from plansgen.balance.result import work_out_balance
from plansgen.controls.card import check_card
from plansgen.controls.mixing import MixTable, mix_table, mixed
from plansgen.controls.result import work_out_controls
from plansgen.flight.result import FlightResult, work_out_flight
from plansgen.library.models import DesignFile
from tests.designs import Raw, bare, bent, glider, item, skin, surface

WING: Raw = surface("wing", [(0, 0, 200), (500, 0, 200)], at={"x": 150}, parts=[skin()])


def control(kind: str, start: float = 10, end: float = 100, **more: Any) -> Raw:
    return {"control": {"kind": kind, "from": start, "to": end, "chord": 0.3, **more}}


def built(surfaces: Raw, **more: Any) -> tuple[DesignFile, Airframe]:
    file = DesignFile.model_validate(bare(surfaces, **more))
    return file, build_airframe(file, {})


def ways(airframe: Airframe, flight: FlightResult | None = None) -> dict[str, dict[str, str]]:
    return {
        check.motion: {edge.side: edge.way for edge in check.edges}
        for check in check_card(airframe, flight)
    }


def test_an_elevator_behind_the_wing_goes_up_for_nose_up() -> None:
    tail = surface("tailplane", [(0, 0, 100), (150, 0, 100)], at={"x": 650})
    tail["controls"] = control("elevator")
    assert ways(built({"wing": WING, "tail": tail})[1]) == {
        "pitch": {"port": "up", "starboard": "up"}
    }


def test_a_canard_s_elevator_goes_down_for_nose_up() -> None:
    canard = surface("canard", [(0, 0, 100), (150, 0, 100)], at={"x": -400})
    canard["controls"] = control("elevator")
    assert ways(built({"wing": WING, "canard": canard})[1]) == {
        "pitch": {"port": "down", "starboard": "down"}
    }


def test_the_aileron_on_the_side_of_the_stick_goes_up() -> None:
    wing = WING | {"controls": control("aileron", 300, 480)}
    assert ways(built({"wing": wing})[1]) == {"roll": {"port": "down", "starboard": "up"}}


def test_a_rudder_goes_to_the_side_of_the_stick() -> None:
    fin = surface("fin", [(0, 0, 120), (120, 40, 80)], at={"x": 650})
    fin["controls"] = control("rudder")
    assert ways(built({"wing": WING, "fin": fin})[1]) == {"yaw": {"centre": "right"}}
    twins = fin | {"at": {"x": 650, "y": 100}, "mirror": True}
    assert ways(built({"wing": WING, "fin": twins})[1]) == {
        "yaw": {"port": "right", "starboard": "right"}
    }


def test_a_rudder_ahead_of_the_wing_goes_the_other_way() -> None:
    fin = surface("fin", [(0, 0, 120), (120, 40, 80)], at={"x": -500})
    fin["controls"] = control("rudder")
    assert ways(built({"wing": WING, "fin": fin})[1]) == {"yaw": {"centre": "left"}}


@pytest.mark.parametrize(("dihedral", "starboard"), [(35, "down"), (-35, "up")])
def test_a_v_tail_s_edges_both_swing_to_the_side_of_the_rudder_stick(
    dihedral: float, starboard: str
) -> None:
    """Upright V: right rudder sends the starboard edge down and the port edge up."""
    tail = bent("vee-tail", [(0, dihedral, 120), (250, dihedral, 120)], at={"x": 650})
    tail["controls"] = control("ruddervator", 20, 240)
    other = {"down": "up", "up": "down"}[starboard]
    assert ways(built({"wing": WING, "tail": tail})[1]) == {
        "pitch": {"port": "up", "starboard": "up"},
        "yaw": {"port": other, "starboard": starboard},
    }


def flown(raw: Raw) -> tuple[DesignFile, Airframe, FlightResult]:
    file = DesignFile.model_validate(raw)
    airframe = build_airframe(file, {})
    balance = work_out_balance(file, airframe, file.materials)
    flight = work_out_flight(file, airframe, balance)
    assert flight is not None
    return file, airframe, flight


def test_the_flight_calculation_agrees_with_the_geometry() -> None:
    """An independent sign: moments of the lattice for each deflection."""
    raw = glider()
    raw["surfaces"]["wing"]["controls"] = control("aileron", 300, 480)
    raw["surfaces"]["tailplane"]["controls"] = control("elevator", 10, 170)
    raw["surfaces"]["fin"]["controls"] = control("rudder")
    _, airframe, flight = flown(raw)
    assert ways(airframe, flight) == ways(airframe)
    roll = next(c for c in flight.derivatives.controls if c.mode.motion == "roll")
    # positive: starboard edge down, port up; it must roll to port, so right stick is the opposite
    assert roll.slopes.roll < 0.0


# --- mixing ----------------------------------------------------------------------------------


def elevons(**mixing: Any) -> MixTable:
    wing = WING | {"controls": control("elevon", 200, 480, travel=20)}
    more = {"mixing": [{"kind": "elevon", **mixing}]} if mixing else {}
    file, airframe = built({"wing": wing}, **more)
    result = work_out_controls(file, airframe, None)
    assert result is not None
    (table,) = result.mixes
    return table


def angles(table: MixTable) -> dict[str, tuple[float, float]]:
    return {
        row.sticks.lower(): (
            round(math.degrees(row.port), 6),
            round(math.degrees(row.starboard), 6),
        )
        for row in table.rows
    }


def test_elevons_share_the_travel_by_halves() -> None:
    """Half each, by hand; a flying wing's elevons are level behind its quarter chord."""
    table = elevons()
    assert table.assumed
    found = angles(table)
    assert found["elevator stick back (nose up)"] == (-10.0, -10.0)
    assert found["aileron stick right"] == (10.0, -10.0)
    assert found["elevator stick back (nose up) and aileron stick right"] == (0.0, -20.0)
    assert found["elevator stick forward (nose down) and aileron stick left"] == (0.0, 20.0)
    assert len(found) == 8
    assert table.lost == 0.0
    assert not any(row.clipped for row in table.rows)


def test_shares_beyond_the_whole_are_clipped_and_told() -> None:
    table = elevons(pitch=0.8, roll=0.7)
    found = angles(table)
    assert found["elevator stick back (nose up)"] == (-16.0, -16.0)
    assert found["elevator stick back (nose up) and aileron stick right"] == (-2.0, -20.0)
    assert sum(row.clipped for row in table.rows) == 4
    assert table.lost == pytest.approx(1 - 1 / 1.5)
    assert not table.assumed


def test_the_order_of_commands_adds_up_and_stops() -> None:
    assert mixed((1.0, 1.0), (0.5, 0.5), (-1, 1)) == (0.0, 0.0)
    assert mixed((1.0, -1.0), (0.9, 0.6), (1, -1)) == (1.0, pytest.approx(1.5))


def test_flaperons_go_down_together_and_apart_with_the_stick() -> None:
    wing = WING | {"controls": control("flaperon", 100, 480, travel=20)}
    _, airframe = built({"wing": wing})
    surface_ = airframe.surface("wing")
    table = mix_table(
        airframe,
        surface_,
        surface_.controls[0],
        shares=(0.5, 0.5),
        assumed=True,
        down=math.radians(20),
        up=math.radians(10),
        chord=0.06,
        flight=None,
    )
    found = angles(table)
    assert found["flaps out"] == (10.0, 10.0)
    assert found["aileron stick right"] == (10.0, -5.0)  # half of the lesser travel up
    assert found["aileron stick right and flaps out"] == (20.0, 0.0)
    assert "elevator" not in " ".join(found)


def test_nothing_to_move_gives_nothing() -> None:
    file, airframe = built({"wing": WING}, items=[item()])
    assert work_out_controls(file, airframe, None) is None
