"""What stands in the propeller wash."""

from __future__ import annotations

import math

import pytest

from plansgen.airframe.build import Propeller
from plansgen.flight.slipstream import disc, discs_of, running_discs, wash_on_surfaces, wash_over
from tests.designs import airframe_of, glider, item
from tests.flight.shapes import chain, station

AIR = 1.225


def strip_at(x: float, *, z: float = 0.0):  # type: ignore[no-untyped-def]
    """A level strip of 1 m span and 40 mm chord."""
    rows = [station(0.0, x=x, z=z, chord=0.04), station(0.5, x=x, y=0.5, z=z, chord=0.04)]
    return chain(rows, key="strip")


def washed(surface, *, thrust: float = 4.0, speed: float = 6.0, prop=None):  # type: ignore[no-untyped-def]
    place = prop or Propeller(0.0, 0.0, 0.0, 0.2, mirrored=False)
    discs = running_discs([place], thrust=thrust, speed=speed, density=AIR)
    return wash_over(surface, discs, speed=speed, density=AIR)


def test_share_is_the_width_of_the_narrowed_wash() -> None:
    """Geometry: a level strip through the axis lies in it for its diameter there."""
    flow = disc(thrust=4.0, diameter=0.2, speed=6.0, density=AIR)
    found = washed(strip_at(0.49))  # quarter chord 0.5 m behind
    assert found.share == pytest.approx(2 * flow.radius_at(0.5) / 1.0, abs=0.003)
    inside = (flow.speed_at(0.5) / 6.0) ** 2
    assert found.gain == pytest.approx(1 + found.share * (inside - 1))
    assert [strip.outboard for strip in found.strips] == pytest.approx(
        [flow.radius_at(0.5), -flow.radius_at(0.5)], abs=0.002
    )


def test_above_the_axis_less_of_it() -> None:
    flow = disc(thrust=4.0, diameter=0.2, speed=6.0, density=AIR)
    half = math.sqrt(flow.radius_at(0.5) ** 2 - 0.05**2)
    assert washed(strip_at(0.49, z=0.05)).share == pytest.approx(2 * half, abs=0.003)
    assert washed(strip_at(0.49, z=0.11)).share == 0.0


def test_a_pusher_behind_the_tail_washes_nothing() -> None:
    found = washed(strip_at(-0.3))
    assert (found.share, found.gain, found.strips) == (0.0, 1.0, ())


def test_standing_still_there_is_pressure_but_no_gain() -> None:
    found = washed(strip_at(0.49), speed=0.0)
    assert found.gain is None
    assert found.pressure > 0.0


def test_no_thrust_no_wash() -> None:
    found = washed(strip_at(0.49), thrust=0.0)
    assert (found.share, found.gain) == (0.0, 1.0)
    assert found.pressure == pytest.approx(AIR / 2 * 36)


def test_two_discs_share_the_thrust() -> None:
    twin = Propeller(0.0, 0.25, 0.0, 0.2, mirrored=True)
    assert [place.y for place in discs_of([twin])] == [0.25, -0.25]
    shared = running_discs([twin], thrust=4.0, speed=6.0, density=AIR)
    assert [flow.thrust for _, flow in shared] == pytest.approx([2.0, 2.0])
    both = wash_over(strip_at(0.49), shared, speed=6.0, density=AIR)
    assert len(both.strips) == 2
    assert both.strips[0].inboard == pytest.approx(-both.strips[1].inboard)


def test_unequal_discs_share_by_area_and_the_faster_wash_counts() -> None:
    pair = [
        Propeller(0.0, 0.0, 0.0, 0.2, mirrored=False),
        Propeller(0.1, 0.0, 0.0, 0.1, mirrored=False),
    ]
    (_, large), (_, small) = running_discs(pair, thrust=5.0, speed=6.0, density=AIR)
    assert large.thrust == pytest.approx(4 * small.thrust)
    assert large.added == pytest.approx(small.added)


def test_more_thrust_more_pressure_on_a_tail() -> None:
    raw = glider()
    raw["items"].append(item("propeller", 10, kind="propeller", x=-20, diameter=200))
    frame = airframe_of(raw)
    gains = [
        {
            w.surface: w.gain or 0.0
            for w in wash_on_surfaces(frame, thrust=t, speed=6.0, density=AIR)
        }
        for t in (0.0, 1.0, 3.0)
    ]
    assert gains[0]["tailplane"] == 1.0 < gains[1]["tailplane"] < gains[2]["tailplane"]
    assert gains[2]["fin"] > 1.0


def test_without_a_propeller_all_is_dry() -> None:
    frame = airframe_of(glider())
    found = wash_on_surfaces(frame, thrust=3.0, speed=6.0, density=AIR)
    assert all(wash.share == 0.0 and wash.gain == 1.0 for wash in found)


@pytest.mark.parametrize(
    "wrong", [{"thrust": -1.0}, {"speed": -1.0}, {"diameter": 0.0}, {"density": math.nan}]
)
def test_refuses_in_words(wrong: dict[str, float]) -> None:
    given = {"thrust": 1.0, "diameter": 0.2, "speed": 5.0, "density": AIR} | wrong
    with pytest.raises(ValueError, match=next(iter(wrong))):
        disc(**given)


def test_tiny_thrust_keeps_its_digits() -> None:
    """v → T/(2ρAV): the root is taken without a difference of two like numbers."""
    flow = disc(thrust=1e-12, diameter=0.2, speed=10.0, density=AIR)
    assert flow.added == pytest.approx(1e-12 / (2 * AIR * math.pi * 0.01 * 10.0), rel=1e-9)
