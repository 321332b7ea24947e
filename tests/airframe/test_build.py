"""Stations, twist, sections, controls, extents and side area placed in the body frame."""

from __future__ import annotations

import math

import pytest

from tests.designs import (
    Raw,
    airframe_of,
    bare,
    bent,
    glider,
    surface,
    trainer,
    twin_fins,
    vee_tail,
)


def with_wing(stations: list[Raw], **more: object) -> Raw:
    return bare({"wing": {"role": "wing", "section": "NACA 0012", "stations": stations, **more}})


def test_places_of_a_bent_wing() -> None:
    raw = bare({"wing": bent("wing", [(0, 0, 200), (100, 30, 200), (300, -30, 200)])})
    root, bend, tip = airframe_of(raw).surface("wing").stations
    assert (root.y, root.z) == (0.0, 0.0)
    assert (bend.y, bend.z) == pytest.approx((0.1 * math.cos(math.pi / 6), 0.05))
    assert (tip.y, tip.z) == pytest.approx((0.3 * math.cos(math.pi / 6), -0.05))


def test_surface_is_carried_to_its_place() -> None:
    raw = glider()
    raw["surfaces"]["wing"]["at"] = {"x": 150, "z": 40}
    root = airframe_of(raw).surface("wing").stations[0]
    assert (root.x, root.y, root.z) == pytest.approx((0.15, 0, 0.04))


def test_fin_stands_upright_without_being_told() -> None:
    raw = glider()
    raw["surfaces"]["fin"]["stations"] = [{"span": 0, "chord": 100}, {"span": 150, "chord": 80}]
    root, tip = airframe_of(raw).surface("fin").stations
    assert tip.y == root.y == 0.0
    assert tip.z - root.z == pytest.approx(0.15)


def test_washout_is_straight_between_those_given() -> None:
    """Incidence 2, washout 0 at the root and 3 at 300 of 400: 1 at a third, 3 beyond."""
    stations = [
        {"span": 0, "chord": 200},
        {"span": 100, "chord": 200},
        {"span": 300, "chord": 200, "washout": 3},
        {"span": 400, "chord": 200},
    ]
    wing = airframe_of(with_wing(stations, incidence=2)).surface("wing")
    twists = [math.degrees(station.twist) for station in wing.stations]
    assert twists == pytest.approx([2, 1, -1, -1])
    assert math.degrees(wing.planform.washout) == pytest.approx(3)


def test_section_holds_from_its_station_outboard() -> None:
    stations = [
        {"span": 0, "chord": 200},
        {"span": 100, "chord": 200, "section": "NACA 2412"},
        {"span": 200, "chord": 200},
    ]
    names = [s.section for s in airframe_of(with_wing(stations)).surface("wing").stations]
    assert names == ["NACA 0012", "NACA 2412", "NACA 2412"]


def test_pointed_tip_keeps_a_finite_section() -> None:
    raw = bare({"wing": surface("wing", [(0, 0, 200), (400, 100, 0)])})
    tip = airframe_of(raw).surface("wing").stations[-1]
    assert tip.chord == 0.0
    assert math.isfinite(tip.upper)
    assert tip.thickness < 0.1


def test_control_on_a_tapered_wing() -> None:
    """Chord 200 to 100 over 500; from 250 to 500 the mean chord is 125, a fifth of it moves."""
    raw = bare({"wing": surface("wing", [(0, 0, 200), (500, 50, 100)])})
    raw["surfaces"]["wing"]["controls"] = {
        "aileron": {"kind": "aileron", "from": 250, "to": 500, "chord": 0.2}
    }
    (aileron,) = airframe_of(raw).surface("wing").controls
    assert aileron.area == pytest.approx(2 * 0.25 * 0.125 * 0.2)
    inboard, outboard = aileron.hinge
    assert inboard == pytest.approx((0.025 + 0.8 * 0.150, 0.25, 0))
    assert outboard == pytest.approx((0.05 + 0.8 * 0.1, 0.5, 0))


def test_extents_of_a_rectangle_with_a_body() -> None:
    raw = trainer()
    box = airframe_of(raw).extents
    fuselage_front, tail_end = -0.0, 0.65 + 0.12
    # The propeller counts neither in length nor in height of the airframe's own parts.
    assert box.x_max == pytest.approx(tail_end)
    assert box.x_min <= fuselage_front
    assert box.y_max == pytest.approx(0.5)
    assert box.z_max == pytest.approx(0.12)
    assert box.length == pytest.approx(box.x_max - box.x_min)


def test_side_area_is_bodies_and_fins() -> None:
    """Two fins of 0.012 m² each; centre of a trapezoid 120 to 80 over 120, tip 40 back."""
    airframe = airframe_of(twin_fins())
    assert airframe.side_area == pytest.approx(2 * 0.12 * 0.1)
    # ∫ (x + c/2) c dz: middles 60 and 80 of chords 120 and 80
    centre = (2 * 60 * 120 + 60 * 80 + 80 * 120 + 2 * 80 * 80) / 6 / 100
    assert airframe.side_x == pytest.approx(0.65 + centre / 1000)


def test_side_area_without_anything_upright_is_nought() -> None:
    airframe = airframe_of(bare({"wing": surface("wing", [(0, 0, 200), (500, 0, 200)])}))
    assert (airframe.side_area, airframe.side_x) == (0.0, 0.0)


def test_vee_tail_shows_its_height_to_the_side() -> None:
    raw = vee_tail()
    height = 0.2 * math.sin(math.radians(35))
    assert airframe_of(raw).side_area == pytest.approx(2 * height * 0.105)


def test_wetted_area_is_the_sum() -> None:
    airframe = airframe_of(trainer())
    parts = [s.planform.wetted for s in airframe.surfaces]
    parts += [b.measures.wetted for b in airframe.bodies]
    assert airframe.wetted == pytest.approx(sum(parts))


def test_title_is_the_key_unless_given() -> None:
    raw = glider()
    raw["surfaces"]["wing"]["title"] = "Main wing"
    raw["surfaces"]["left_over"] = raw["surfaces"].pop("fin")
    titles = [surface.title for surface in airframe_of(raw).surfaces]
    assert titles == ["Main wing", "tailplane", "left over"]


def test_body_in_its_place() -> None:
    raw = trainer()
    raw["bodies"]["fuselage"]["at"] = {"x": -60, "z": 12}
    body = airframe_of(raw).bodies[0]
    assert body.origin == pytest.approx((-0.06, 0, 0.012))
    assert (body.frames[0].x, body.frames[2].z) == pytest.approx((-0.06, 0.022))
    assert body.measures.length == pytest.approx(0.76)
    assert (body.measures.width, body.measures.height) == pytest.approx((0.06, 0.08))


def test_section_from_a_file() -> None:
    """Three points a side of a wedge of 10 %: skins of √(1 + 0.05²) of the chord."""
    raw = with_wing([{"span": 0, "chord": 200}, {"span": 300, "chord": 200}])
    raw["surfaces"]["wing"]["section"] = "points sections/wedge.txt"
    wedge = ((1.0, 0.05), (0.5, 0.025), (0.0, 0.0), (0.5, -0.025), (1.0, -0.05))
    station = airframe_of(raw, {"sections/wedge.txt": wedge}).surface("wing").stations[0]
    assert station.section == "section from sections/wedge.txt"
    assert (station.upper, station.lower) == pytest.approx((math.hypot(1, 0.05),) * 2)
    assert station.thickness == pytest.approx(0.1, rel=0.005)
