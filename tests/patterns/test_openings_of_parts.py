"""Openings of panels, formers, plates and skins: what they take away, by hand; what is told.

Areas and masses are plain geometry. Lengths in mm in the files.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.airframe.build import build_airframe
from plansgen.balance.opened import left_of, open_across
from plansgen.library.models import DesignFile
from plansgen.patterns.body_parts import BodyParts, body_parts
from plansgen.patterns.flat import bounds
from plansgen.patterns.own import strangers
from plansgen.patterns.surface_parts import SurfaceParts, surface_parts
from plansgen.patterns.typeface import width
from tests.designs import Raw, airframe_of, file_of, glider, item, plate, skin, stock
from tests.patterns.boxes import Row, boxed, cover, cut, former, panel

PLAIN: tuple[Row, ...] = ((0, 60, 50, 0), (300, 60, 50, 0))
DENSITY = 0.46  # of the board in tests.designs [kg/m²]


def hole(**measures: Any) -> Raw:
    return {"name": "window", **measures}


def bodied(parts: list[Raw], *items: Raw, **more: Any) -> tuple[DesignFile, BodyParts]:
    raw = glider()
    raw["items"] += items
    frames = [{"x": x, "width": w, "height": h, "z": z} for x, w, h, z in PLAIN]
    raw["bodies"] = {"box": {"role": "fuselage", "stations": frames, "parts": parts, **more}}
    file = file_of(raw)
    return file, body_parts(file, build_airframe(file, {}), stock(file))


def winged(*openings: Raw, cover: str = "plate") -> SurfaceParts:
    raw = glider()
    section = plate() if cover == "plate" else {"kind": "folded sheet", "thickness": 5}
    if cover != "plate":
        section["spar_height"] = 12
    raw["surfaces"]["wing"]["section"] = section
    raw["surfaces"]["wing"]["parts"] = [skin(cover, openings=list(openings))]
    return surface_parts(file_of(raw), airframe_of(raw), stock(file_of(raw)))


# --- bodies ------------------------------------------------------------------------------------


@settings(max_examples=8, deadline=None)
@given(
    start=st.floats(10, 150),
    long=st.floats(5, 100),
    wide=st.floats(5, 40),
)
def test_an_opening_leaves_area_and_mass(start: float, long: float, wide: float) -> None:
    whole = panel(boxed(PLAIN, faces=["bottom"]), "bottom").part
    one = cover("bottom", openings=[hole(**{"from": start, "to": start + long}, width=wide)])
    (part,) = cut(PLAIN, [one]).parts
    assert part.area == pytest.approx(whole.area - long * wide * 1e-6, rel=1e-9)
    (drawn,) = part.drawn
    assert drawn.moments.mass == pytest.approx(part.area * DENSITY, rel=1e-9)


@pytest.mark.parametrize(
    "opening",
    [
        hole(**{"from": 280, "to": 320}, width=20),
        hole(**{"from": 20, "to": 60}, width=60),
        hole(**{"from": 400, "to": 420}, width=20),
        hole(**{"from": 400, "to": 420}),
    ],
)
def test_an_opening_outside_its_panel_is_told_and_not_cut(opening: Raw) -> None:
    parts = cut(PLAIN, [cover("bottom", openings=[opening])])
    assert all(part.holes == () for part in parts.parts)
    (words,) = parts.misplaced
    assert 'opening "window" of bottom does not lie inside it: it reaches from 0 to 300' in words


def test_openings_that_leave_nothing_are_told() -> None:
    halves = [hole(**{"from": 0, "to": 150}), hole(**{"from": 150, "to": 300})]
    parts = cut(PLAIN, [cover("sides"), cover("top", openings=halves)])
    assert parts.misplaced == ("the openings of top leave nothing of the top",)
    halves[1]["to"] = 250
    assert cut(PLAIN, [cover("sides"), cover("top", openings=halves)]).misplaced == ()


def test_an_opening_on_one_side_makes_two_parts() -> None:
    one = cover("sides", openings=[hole(**{"from": 50, "to": 90}, height=20, on="port")])
    parts = {p.name: p for p in cut(PLAIN, [one]).parts}
    assert {name: len(p.holes) for name, p in parts.items()} == {
        "sides, starboard": 0,
        "sides, port": 1,
    }
    assert parts["sides, port"].area == pytest.approx((300 * 50 - 40 * 20) * 1e-6)
    assert [(p.count, p.mirrored) for p in parts.values()] == [(1, 0), (0, 1)]


def test_an_opening_in_each_of_the_formers() -> None:
    parts = cut(PLAIN, [cover("sides"), former(100, 200, openings=[hole(width=20, height=10)])])
    formers = [p for p in parts.parts if p.name.startswith("former")]
    assert [len(p.holes) for p in formers] == [1, 1]
    too_wide = [former(100, openings=[hole(width=60, height=10)])]
    assert "does not lie inside it" in cut(PLAIN, too_wide).misplaced[0]


def test_slots_that_run_into_each_other_are_weighed_all_the_same() -> None:
    parts = boxed(PLAIN, former(100, 100.5))
    assert all(drawn.moments.mass > 0.0 for part in parts.parts for drawn in part.drawn)


def test_an_item_goes_through_with_half_a_millimetre_all_round() -> None:
    servo = item("servo", x=80, y=12, size={"x": 23, "y": 12, "z": 24})
    one = cover("top", openings=[hole(item="servo")])
    _, parts = bodied([one], servo)
    west, south, east, north = bounds(parts.parts[0].holes[0])
    assert (east - west, north - south) == pytest.approx((0.024, 0.013))
    assert (west + east) / 2 == pytest.approx(0.080)
    assert abs(south + north) / 2 == pytest.approx(0.012)


def test_a_word_is_no_longer_than_its_hole() -> None:
    one = cover("bottom", openings=[{"name": "elevator servo", "from": 40, "to": 64, "width": 12}])
    (part,) = cut(PLAIN, [one]).parts
    (label,) = [one for one in part.labels if one.text == "elevator servo"]
    assert width(label.text, 1000 * label.size) <= 24.0


# --- surfaces ----------------------------------------------------------------------------------


@pytest.mark.parametrize("place", [{"at": 0.5}, {"behind": 100}])
def test_an_opening_in_a_plate_leaves_its_area(place: Raw) -> None:
    whole, open_ = winged().parts, winged(hole(**{"from": 50, "to": 90}, width=30, **place)).parts
    gone = sum(p.area * p.pieces for p in whole) - sum(p.area * p.pieces for p in open_)
    assert gone == pytest.approx(2 * 40 * 30 * 1e-6)  # on both wings


def test_an_opening_in_a_folded_skin_is_as_large_as_in_space() -> None:
    """The lower skin is flat, so nothing there is stretched or foreshortened."""
    one = hole(**{"from": 50, "to": 90}, width=30, at=0.5, on="bottom")
    (part,) = [p for p in winged(one, cover="both skins").parts if p.holes]
    assert part.area == pytest.approx(
        next(p for p in winged(cover="both skins").parts if p.key == part.key).area
        - 2 * 40 * 30e-6,  # the skin lies across the centre line
        rel=1e-6,
    )


@pytest.mark.parametrize(
    "opening",
    [
        hole(**{"from": 480, "to": 520}, width=30, at=0.5),
        hole(**{"from": 600, "to": 620}, width=30, at=0.5),
        hole(**{"from": 50, "to": 90}, width=30, at=0.99),
    ],
)
def test_an_opening_outside_its_skin_is_told(opening: Raw) -> None:
    found = winged(opening)
    assert all(part.holes == () for part in found.parts if part.name.startswith("plate"))
    assert any('opening "window"' in words for words in found.misplaced)


# --- what the balance makes of them ------------------------------------------------------------


def test_what_openings_leave_by_hand() -> None:
    one = cover("bottom", openings=[hole(**{"from": 50, "to": 100}, width=30)])
    file, _ = bodied([one])
    part, body = file.bodies["box"].parts[0], build_airframe(file, {}).bodies[0]
    assert left_of(part, body, 0.3 * 0.06) == pytest.approx(1 - 50 * 30 / (300 * 60))
    assert not open_across(part, "bottom", 0.07, body)


def test_a_gap_is_open_right_across() -> None:
    file, _ = bodied([cover("top", openings=[hole(**{"from": 50, "to": 100})])])
    part, body = file.bodies["box"].parts[0], build_airframe(file, {}).bodies[0]
    assert left_of(part, body, 0.3 * 0.06) == pytest.approx(250 / 300)
    assert open_across(part, "top", 0.07, body)
    assert not open_across(part, "bottom", 0.07, body)
    assert not open_across(part, "top", 0.12, body)


# --- places on sheets --------------------------------------------------------------------------


def test_a_place_for_a_part_that_is_not_there_names_the_nearest() -> None:
    raw = glider() | {
        "stock": [{"name": "board", "material": "board", "width": 600, "height": 400}],
        "nesting": {
            "places": [
                {"part": key, "stock": "board", "x": 10, "y": 10}
                for key in ("wing-plat-of-board", "wing-plate-of-board")
            ]
        },
    }
    file = file_of(raw)
    parts = surface_parts(file, airframe_of(raw), stock(file)).parts
    assert strangers(file, parts) == (
        'no part "wing-plat-of-board", perhaps "wing-plate-of-board"',
    )
