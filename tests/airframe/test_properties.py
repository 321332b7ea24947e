"""What must hold for every airframe: it follows from geometry alone."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.airframe.build import Airframe, cut, station_at
from plansgen.airframe.planform import Planform, integral
from tests.designs import EVERY_LAYOUT, airframe_of
from tests.random_designs import designs, not_finite, scaled, shifted, split

moderate = settings(max_examples=40, deadline=None)

POWER = {  # how each measure of a planform grows with the size of the aeroplane
    **dict.fromkeys(("span_flat", "span", "mac", "mac_x", "mac_y", "mac_z"), 1),
    **dict.fromkeys(("area_developed", "area", "wetted"), 2),
    **dict.fromkeys(
        ("aspect_ratio", "taper", "sweep", "dihedral", "equivalent_dihedral", "washout"), 0
    ),
}


def close(value: float) -> Any:
    return pytest.approx(value, rel=1e-9, abs=1e-12)


@moderate
@given(designs())
def test_every_number_is_finite_and_sensible(raw: dict[str, Any]) -> None:
    airframe = airframe_of(raw)
    assert not_finite(airframe) == []
    for surface in airframe.surfaces:
        planform, chords = surface.planform, [s.chord for s in surface.stations]
        assert planform.area > 0
        assert planform.area <= planform.area_developed * (1 + 1e-12)
        assert planform.span <= planform.span_flat * (1 + 1e-12)
        assert min(chords) <= planform.mac <= max(chords) * (1 + 1e-12)
        edges = [s.x for s in surface.stations]
        assert min(edges) - 1e-12 <= planform.mac_x <= max(edges) + 1e-12
        assert planform.wetted > 1.99 * planform.area_developed * 0.5
    box = airframe.extents
    assert box.x_min < box.x_max
    assert box.z_min <= box.z_max
    assert box.y_max >= airframe.reference.span / 2 - 1e-12


@moderate
@given(designs(), st.floats(0.4, 3.0))
def test_scaling(raw: dict[str, Any], factor: float) -> None:
    one, other = airframe_of(raw), airframe_of(scaled(raw, factor))
    for before, after in zip(one.surfaces, other.surfaces, strict=True):
        for name, power in POWER.items():
            value = getattr(before.planform, name) * factor**power
            assert getattr(after.planform, name) == close(value), name
    for before, after in zip(one.bodies, other.bodies, strict=True):
        assert after.measures.volume == close(before.measures.volume * factor**3)
        assert after.measures.wetted == close(before.measures.wetted * factor**2)
        assert after.measures.side_area == close(before.measures.side_area * factor**2)
    for tail, tail_after in zip(one.tails, other.tails, strict=True):
        assert tail_after.volume == close(tail.volume)
    assert other.layout == one.layout
    assert {field.name for field in dataclasses.fields(Planform)} == set(POWER)


@moderate
@given(designs(), st.integers(-900, 900), st.integers(-300, 300))
def test_another_datum(raw: dict[str, Any], x: int, z: int) -> None:
    one, other = airframe_of(raw), airframe_of(shifted(raw, x=x, z=z))
    moved = {"mac_x": x / 1000, "mac_z": z / 1000}
    for before, after in zip(one.surfaces, other.surfaces, strict=True):
        for name in POWER:
            value = getattr(before.planform, name) + moved.get(name, 0.0)
            assert getattr(after.planform, name) == close(value), name
    assert other.reference.root_x == close(one.reference.root_x + x / 1000)
    assert other.reference.share_of_mac(x / 1000) == close(one.reference.share_of_mac(0.0))
    assert [tail.arm for tail in other.tails] == close([tail.arm for tail in one.tails])  # type: ignore[arg-type]
    assert (other.layout, other.wetted) == (one.layout, close(one.wetted))
    assert other.side_x == close(one.side_x + x / 1000)


def _with_naca(raw: dict[str, Any]) -> dict[str, Any]:
    """A section without a thickness of its own: a sheet's skin grows a little faster than c."""
    for surface in raw["surfaces"].values():
        surface["section"] = "NACA 2412"
    return raw


@moderate
@given(designs().map(_with_naca), st.data())
def test_splitting_a_panel_changes_nothing(raw: dict[str, Any], data: st.DataObject) -> None:
    key = data.draw(st.sampled_from(sorted(raw["surfaces"])))
    panel = data.draw(st.integers(0, len(raw["surfaces"][key]["stations"]) - 2))
    part = data.draw(st.floats(0.1, 0.9))
    one, other = airframe_of(raw), airframe_of(split(raw, key, panel, part))
    for name in POWER:
        whole = getattr(one.surface(key).planform, name)
        assert getattr(other.surface(key).planform, name) == close(whole), name
    assert [t.volume for t in other.tails] == close([t.volume for t in one.tails])  # type: ignore[arg-type]


@moderate
@given(designs(), st.floats(0.05, 0.95))
def test_pieces_make_the_whole(raw: dict[str, Any], part: float) -> None:
    stations = airframe_of(raw).surface("wing").stations
    tip = stations[-1].span

    def area(inboard: float, outboard: float) -> float:
        piece = cut(stations, inboard, outboard)
        return integral(piece, lambda s: s.chord, lambda _: 1.0, weight="developed")

    assert area(0.0, part * tip) + area(part * tip, tip) == close(area(0.0, tip))


@moderate
@given(designs())
def test_station_at_a_station_is_that_station(raw: dict[str, Any]) -> None:
    stations = airframe_of(raw).surface("wing").stations
    for station in stations:
        found = station_at(stations, station.span)
        for name in ("x", "y", "z", "chord", "twist", "upper", "lower"):
            assert getattr(found, name) == close(getattr(station, name)), name
    assert station_at(stations, -1.0).chord == close(stations[0].chord)
    assert station_at(stations, 99.0).chord == close(stations[-1].chord)


@pytest.mark.parametrize("build", EVERY_LAYOUT.values(), ids=EVERY_LAYOUT)
def test_same_input_same_airframe(build: Any) -> None:
    one, other = airframe_of(build()), airframe_of(build())
    assert isinstance(one, Airframe)
    assert one == other
