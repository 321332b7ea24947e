"""Formers: the inside less the sheets, tabs in their slots, notches, openings, their mass."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import Polygon, box

from plansgen.patterns.body_seams import tabs_off
from plansgen.patterns.formers import slots_in
from tests.designs import Raw, balance_of, glider
from tests.patterns.boxes import THICK, Row, boxed, cover, fit_of, former, panel, stick

PLAIN: tuple[Row, ...] = ((0, 80, 90, 0), (400, 80, 90, 0))
TAPERED: tuple[Row, ...] = ((0, 80, 90, 0), (400, 40, 50, 0))


def core(polygon: Polygon) -> Polygon:
    """A former without its tabs, which are narrower than half its height."""
    return polygon.buffer(-0.011, join_style="mitre").buffer(0.011, join_style="mitre")


def test_inside_less_the_sheets() -> None:
    """80 × 90 outside of 5 mm board leave 70 × 80; tabs reach through both sides."""
    parts = boxed(PLAIN, former(200))
    (one,) = parts.formers
    west, south, east, north = one.part.bounds
    assert (east - west, north - south) == (pytest.approx(0.080), pytest.approx(0.080))
    west, south, east, north = core(Polygon(one.part.outline)).bounds
    assert (east - west, north - south) == (pytest.approx(0.070), pytest.approx(0.080))
    assert len(one.tabs) == 2
    assert len(panel(parts, "starboard").part.holes) == 2
    assert fit_of(parts).holds


def test_no_sides_no_tabs() -> None:
    parts = boxed(PLAIN, former(200), faces=["bottom"])
    assert parts.formers[0].tabs == ()
    west, _, east, _ = parts.formers[0].part.bounds
    assert east - west == pytest.approx(0.080)


def test_smaller_face_counts_where_the_body_tapers() -> None:
    """Half width falls by 20 in 400: at 200 the outside is 60 wide, at 205 it is 59.5."""
    parts = boxed(TAPERED, former(200))
    half = 0.0595 / 2 - THICK * (1 + (20 / 400) ** 2) ** 0.5
    assert parts.formers[0].room.half == pytest.approx(half, abs=1e-9)
    assert fit_of(parts).holds


def test_slot_is_the_thickness_and_the_clearance() -> None:
    for slot in boxed(PLAIN, former(200)).slots:
        assert slot.slot == pytest.approx(0.0052)
        assert slot.thickness == pytest.approx(0.005)
        assert slot.height - slot.needed == pytest.approx(0.0002)


@pytest.mark.parametrize("rows", [PLAIN, TAPERED])
def test_tabs_lie_in_their_slots(rows: tuple[Row, ...]) -> None:
    """The tab's cross-section, put in place, lies inside the slot of the refolded side."""
    parts = boxed(rows, former(90, 250), cover("sides", name="doubler"))
    for one in parts.formers:
        off = tabs_off(one, parts.panels)
        assert off is not None
        assert off < 1e-4
        for side in (p for p in parts.panels if p.face == "starboard"):
            for tab, slot in zip(one.tabs, slots_in(side, one), strict=True):
                for deep in (0.0, side.layer.thickness):
                    places = side.pose.space(slot, deep=deep)
                    hole = Polygon([(x, z) for x, _, z in places])
                    tongue = box(one.x, tab.low, one.x + THICK, tab.high)
                    assert hole.buffer(1e-5).contains(tongue)


def test_a_slot_out_of_place_is_found_out() -> None:
    parts = boxed(PLAIN, former(200))
    (one,) = parts.formers
    moved = replace(one, x=one.x + 0.002)
    side = panel(parts, "starboard")
    shifted = replace(side, pose=replace(side.pose, start=(0.006, 0.04, 0.0)))
    assert tabs_off(one, [shifted]) == pytest.approx(0.001, abs=1e-6)
    assert tabs_off(moved, [side]) == pytest.approx(0.0, abs=1e-9)


def test_former_at_the_end_of_the_sides_has_no_tabs() -> None:
    parts = boxed(PLAIN, former(0, 200, 395), faces=["sides"])
    assert [len(one.tabs) for one in parts.formers] == [0, 2, 0]
    assert fit_of(parts).holds


def test_notch_of_a_longeron_along_the_side() -> None:
    """6 × 6 against the side: 6.1 deep and 6.2 high with the clearance, tabs clear of it."""
    parts = boxed(PLAIN, stick(run={"from": 10, "to": 390, "y": 32, "z": 20}), former(200))
    polygon = Polygon(parts.formers[0].part.outline)
    assert not polygon.intersects(box(0.0291, 0.0171, 0.0349, 0.0229))
    assert polygon.contains(box(0.020, 0.017, 0.0288, 0.023))
    assert polygon.contains(box(-0.0349, 0.018, -0.030, 0.022))  # only on its own side
    assert all(tab.high < 0.017 or tab.low > 0.023 for tab in parts.formers[0].tabs)
    assert fit_of(parts).holds


def test_sticks_in_all_corners() -> None:
    run = {"from": 10, "to": 390}
    parts = boxed(PLAIN, stick(run=run, lies="corners", count=4), former(200))
    whole = 0.070 * 0.080 - 4 * 0.0061**2
    tabs = 4 * THICK * (parts.formers[0].tabs[0].high - parts.formers[0].tabs[0].low)
    assert parts.formers[0].part.area == pytest.approx(whole + tabs, abs=1e-8)


def test_two_sticks_off_the_middle_are_one_a_side() -> None:
    run = {"from": 10, "to": 390, "y": 32, "z": 20}
    parts = boxed(PLAIN, stick(run=run, count=2), former(200))
    polygon = Polygon(parts.formers[0].part.outline)
    for side in (-1, 1):
        a, b = sorted((side * 0.0295, side * 0.0345))
        assert not polygon.intersects(box(a, 0.018, b, 0.022))


def test_stick_that_ends_before_and_one_in_the_open() -> None:
    parts = boxed(
        PLAIN,
        stick(run={"from": 10, "to": 150, "y": 32, "z": 20}),
        stick(name="keel", run={"from": 10, "to": 390, "z": -20}),
        former(200),
    )
    (one,) = parts.formers
    assert [line.label for line in one.part.lines] == ["keel passes: cut to fit"]
    assert len(one.part.outline) == 20  # a rectangle and four tabs


def test_opening_leaves_the_share_and_its_frame() -> None:
    parts = boxed(PLAIN, former(200, share=0.6))
    part = parts.formers[0].part
    (hole,) = part.holes
    assert Polygon(hole).area == pytest.approx(0.4 * 0.070 * 0.080, rel=1e-3)
    assert box(-0.035, -0.040, 0.035, 0.035).exterior.distance(Polygon(hole)) >= 0.008 - 1e-9
    assert part.note == ""


def test_opening_that_its_frame_forbids_is_told() -> None:
    part = boxed(PLAIN, former(200, share=0.1)).formers[0].part
    assert "A frame of 8 mm leaves" in part.note
    assert "the design asks for 10 %" in part.note


def test_names_and_marks() -> None:
    named = {"name": "formers", "material": "board"}
    parts = boxed(PLAIN, {**named, "formers": {"at": [100, 200], "names": ["F2", "F3"]}})
    assert [one.part.key for one in parts.formers] == ["box-f2", "box-f3"]
    words = [line.label for line in panel(parts, "bottom").part.lines]
    assert words == ["F2, front face at 100 mm", "F3, front face at 200 mm"]


def test_round_former_fills_the_tube() -> None:
    parts = boxed(PLAIN, former(200), faces=["all"], shape="round")
    (one,) = parts.formers
    assert one.tabs == ()
    assert one.room.area == pytest.approx(3.14159265 / 4 * 0.070 * 0.080)


# --- what they weigh -----------------------------------------------------------------------------


def weighed(*parts: Raw) -> tuple[float, float]:
    """Mass and place of the formers in a body. [kg, m]"""
    raw = glider()
    frames = [{"x": x, "width": w, "height": h, "z": z} for x, w, h, z in PLAIN]
    raw["bodies"] = {
        "box": {"role": "fuselage", "stations": frames, "parts": list(parts), "at": {"x": 50}}
    }
    line = next(line for line in balance_of(raw).lines if line.name == "former")
    return line.mass, line.x


def test_mass_is_the_inside_times_the_share() -> None:
    """Two of 70 × 80 mm at 460 g/m² and 60 %: 3.09 g, between 150 and 350 mm."""
    mass, x = weighed(cover("sides"), cover("top"), cover("bottom"), former(100, 300, share=0.6))
    assert mass == pytest.approx(2 * 0.070 * 0.080 * 0.460 * 0.6)
    assert x == pytest.approx(0.050 + 0.200)
    bare, _ = weighed(former(100, 300, share=0.6))
    assert bare == pytest.approx(2 * 0.080 * 0.090 * 0.460 * 0.6)
