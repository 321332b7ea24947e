"""The mass build-up, line by line, against sums done by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.airframe.build import build_airframe
from plansgen.balance.buildup import MassLine, build_up
from plansgen.balance.drawn import Drawn, PartRef
from plansgen.balance.elements import Moments, simplex
from plansgen.balance.placing import areal_density, cross_section, linear_density, placed
from plansgen.library.models import Part, StickSize
from plansgen.library.tables import Material
from plansgen.library.units import FileUnits
from tests.designs import (
    Raw,
    airframe_of,
    balance_of,
    bare,
    battery,
    file_of,
    glider,
    item,
    plate,
    skin,
    stock,
    surface,
    trainer,
    wing,
)


def lines(raw: Raw) -> dict[str, MassLine]:
    return {line.name: line for line in balance_of(raw).lines}


def stick(**how: Any) -> Raw:
    size = {"width": 5, "height": 10}
    return {"name": "stick", "material": "pine", "size": size} | how


def read(model: Any, **data: Any) -> Any:
    return model.model_validate(data, context={"units": FileUnits()})


def test_sheet_over_a_wing() -> None:
    """1 m × 200 mm of board at 460 g/m²: 92 g, in the middle of the chord."""
    line = lines(bare({"wing": wing(parts=[skin()])}, allowance={"glue": 0}))["plate of board"]
    assert line.mass == pytest.approx(0.092)
    assert (line.x, line.y, line.z) == pytest.approx((0.25, 0, 0))
    assert (line.origin, line.group, line.method) == ("worked out", "wing", "part-mass-sheet")
    assert line.amount == "2 × 10.00 dm², board"


@pytest.mark.parametrize(
    ("cover", "girth"),
    [("plate", 1.0), ("top skin", 1.025), ("bottom skin", 1.025), ("both skins", 2.05)],
)
def test_skins_follow_the_section(cover: str, girth: float) -> None:
    """A plate 5 thick on 200: each skin is 205 long."""
    raw = bare({"wing": wing(parts=[skin(cover)])}, allowance={"glue": 0})
    assert balance_of(raw).lines[0].mass == pytest.approx(0.092 * girth)


def test_part_of_the_span_share_and_count() -> None:
    """From 100 to 300 of 500, half of it holes, three layers."""
    part = skin(share=0.5, count=3) | {"from": 100, "to": 300}
    line = balance_of(bare({"wing": wing(parts=[part])})).lines[0]
    assert line.mass == pytest.approx(2 * 0.2 * 0.2 * 0.46 * 0.5 * 3)
    assert line.amount.startswith("6 × 2.00 dm²")


def test_spar_along_a_swept_wing() -> None:
    """√(400² + 100²) long at 30 % of a constant chord; both sides."""
    raw = bare(
        {
            "wing": surface(
                "wing", [(0, 0, 200), (400, 100, 200)], parts=[stick(run={"from": 0, "to": 400})]
            )
        }
    )
    line = lines(raw)["stick"]
    length = math.hypot(0.4, 0.1)
    assert line.mass == pytest.approx(2 * length * 5e-5 * 500)
    assert line.x == pytest.approx(0.05 + 0.06)
    assert line.method == "part-mass-stick"


def test_spar_follows_dihedral_and_incidence() -> None:
    """At 30 % of 200 with 10° of incidence it lies 60 sin 10° below the leading edge."""
    raw = bare({"wing": wing(incidence=10, parts=[stick(run={"from": 0, "to": 500})])})
    line = lines(raw)["stick"]
    angle = math.radians(10)
    assert line.x == pytest.approx(0.15 + 0.06 * math.cos(angle))
    assert line.z == pytest.approx(-0.06 * math.sin(angle))


def test_body_sheets() -> None:
    """A straight box 50 × 60 × 300: sides 360, top and bottom 150, ends 30 cm² each."""
    frames = [{"x": 0, "width": 50, "height": 60}, {"x": 300, "width": 50, "height": 60}]
    covers = ["all", "sides", "top", "bottom", "front", "rear"]
    body = {"role": "fuselage", "stations": frames, "parts": [skin(cover) for cover in covers]}
    found = lines(bare({"wing": wing()}, bodies={"fuselage": body}))
    areas = {"all": 0.072, "sides": 0.036, "top": 0.015, "bottom": 0.015, "front": 0.003}
    for cover, area in areas.items():
        assert found[f"{cover} of board"].mass == pytest.approx(area * 0.46), cover
    assert found["top of board"].z == pytest.approx(0.03)
    assert found["bottom of board"].z == pytest.approx(-0.03)
    assert (found["front of board"].x, found["rear of board"].x) == (0.0, pytest.approx(0.3))


def test_stick_along_a_body_moves_with_it() -> None:
    frames = [{"x": 0, "width": 50, "height": 60}, {"x": 300, "width": 50, "height": 60}]
    run = {"from": 20, "to": 280, "z": 25, "y": 0}
    body = {"role": "boom", "at": {"x": 100, "y": 80, "z": 5}, "stations": frames, "mirror": True}
    raw = bare({"wing": wing()}, bodies={"boom": body | {"parts": [stick(run=run)]}})
    line = lines(raw)["stick"]
    assert line.mass == pytest.approx(2 * 0.26 * 5e-5 * 500)
    assert (line.x, line.y, line.z) == pytest.approx((0.25, 0, 0.03))


def test_line_area_and_length_with_a_place() -> None:
    points = [{"x": 0}, {"x": 30, "y": 40}, {"x": 30, "y": 40, "z": 50}]
    parts = [
        stick(name="wire", line=points),
        {
            "name": "patch",
            "material": "board",
            "area": "2 dm2",
            "at": {"x": 77, "z": 5},
            "count": 2,
        },
        stick(name="dowel", length=90, at={"x": 160}),
    ]
    found = lines(bare({"wing": wing()}, parts=parts))
    assert found["wire"].mass == pytest.approx(0.1 * 5e-5 * 500)
    assert found["wire"].x == pytest.approx((0.05 * 0.015 + 0.05 * 0.03) / 0.1)
    assert found["patch"].mass == pytest.approx(2 * 0.02 * 0.46)
    assert (found["patch"].x, found["patch"].group) == (pytest.approx(0.077), "other parts")
    assert found["dowel"].mass == pytest.approx(0.09 * 5e-5 * 500)


@pytest.mark.parametrize(
    ("size", "area"),
    [
        ({"width": 5, "height": 10}, 50),
        ({"diameter": 6}, math.pi * 9),
        ({"diameter": 6, "bore": 4}, math.pi * 5),
    ],
)
def test_cross_sections(size: Raw, area: float) -> None:
    assert cross_section(read(StickSize, **size)) == pytest.approx(area * 1e-6)


def test_densities_given_or_from_thickness() -> None:
    solid = read(Material, name="m", kind="sheet", density=100, thickness=6)
    assert areal_density(solid) == pytest.approx(0.6)
    both = read(Material, name="m", kind="sheet", density=100, thickness=6, areal_density=700)
    assert areal_density(both) == pytest.approx(0.7)
    tube = read(Material, name="m", kind="tube", linear_density=12)
    assert linear_density(tube, None) == pytest.approx(0.012)
    rod = read(Material, name="m", kind="stick", density=160)
    assert linear_density(rod, read(StickSize, diameter=10)) == pytest.approx(160 * math.pi * 25e-6)


def test_items_and_their_origin() -> None:
    raw = bare({"wing": wing()})
    raw["items"] = [
        item("wheel", 15, x=180, y=90, z=-110, mirror=True, kind="undercarriage"),
        item("receiver", 8, x=50, measured=True),
    ]
    found = lines(raw)
    wheel, receiver = found["wheel"], found["receiver"]
    assert (wheel.mass, wheel.y, wheel.z) == (pytest.approx(0.03), 0.0, pytest.approx(-0.11))
    assert (wheel.origin, wheel.amount) == ("given", "two, undercarriage")
    assert (receiver.origin, receiver.method) == ("measured", "measured-mass")


def test_glue_is_a_share_of_worked_out_parts_only() -> None:
    raw = glider() | {"allowance": {"glue": 0.1}}
    plain = [line for line in balance_of(raw).lines if line.origin == "worked out"]
    parts = sum(line.mass for line in plain if line.name != "glue")
    assert lines(raw)["glue"].mass == pytest.approx(0.1 * parts)
    for each in raw["surfaces"].values():
        each["measured"] = 30
    assert "glue" not in lines(raw)
    assert "glue" not in lines(glider() | {"allowance": {"glue": 0}})


def test_paint_lies_on_what_was_not_weighed() -> None:
    """40 g/m² on both sides and the edges of each sheet."""
    raw = glider() | {"allowance": {"glue": 0, "paint": 40}}
    wing_area = 2 * 0.5 * 0.2 * 2.05
    tail_area = lines(raw)["paint"].mass / 0.04 - wing_area
    raw["surfaces"]["wing"]["measured"] = 95
    assert lines(raw)["paint"].mass == pytest.approx(tail_area * 0.04)
    for each in raw["surfaces"].values():
        each["measured"] = 95
    assert "paint" not in lines(raw)


def test_a_thing_that_was_only_weighed() -> None:
    """No parts: its mass lies evenly over its planform."""
    raw = bare({"wing": wing(measured=95)})
    line = lines(raw)["wing, as built"]
    assert (line.mass, line.x, line.worked_out) == (
        pytest.approx(0.095),
        pytest.approx(0.25),
        None,
    )
    assert (line.origin, line.amount) == ("measured", "weighed whole")


def test_inertia_of_a_whole_model_by_hand() -> None:
    """A plate wing about its own middle: m b²/12 in roll, m c²/12 in pitch."""
    state = balance_of(bare({"wing": wing(parts=[skin()])}, allowance={"glue": 0})).empty
    assert state is not None
    assert state.ixx == pytest.approx(0.092 * 1.0**2 / 12)
    assert state.iyy == pytest.approx(0.092 * 0.2**2 / 12)
    assert state.izz == pytest.approx(state.ixx + state.iyy)
    assert state.ixz == pytest.approx(0.0, abs=1e-15)


def test_product_of_inertia_is_the_textbook_one() -> None:
    """∫ x z dm about the centre: two points of 10 g at (±100, ±50) give 1e-4 kg m²."""
    raw = bare({"wing": wing()}, items=[item("a", 10, x=100, z=50), item("b", 10, x=-100, z=-50)])
    state = balance_of(raw).empty
    assert state is not None
    assert state.ixz == pytest.approx(2 * 0.01 * 0.1 * 0.05)


def test_loadings_of_the_state() -> None:
    raw = bare({"wing": wing(measured=100)})
    state = balance_of(raw).empty
    assert state is not None
    assert state.wing_loading == pytest.approx(0.5)
    assert state.cubic_loading == pytest.approx(0.1 / 0.2**1.5)
    assert (state.from_mac, state.from_root) == pytest.approx((0.1, 0.1))
    assert state.mac_share == pytest.approx(0.5)


def test_nothing_weighs_anything() -> None:
    result = balance_of(bare({"wing": wing()}))
    assert (result.lines, result.empty, result.loadings, result.ready) == ((), None, (), None)
    assert (result.sensitivity, result.lateral) == (None, None)


def test_a_battery_alone_is_a_model() -> None:
    raw = bare({"wing": wing()}, batteries=[battery()], bay={"from": 0, "to": 100, "z": 20, "y": 5})
    result = balance_of(raw)
    assert result.empty is None
    assert result.ready is not None
    state = result.ready.state
    assert (state.mass, state.x, state.y, state.z) == pytest.approx((0.12, 0.05, 0.005, 0.02))


def test_each_battery_is_a_loading() -> None:
    result = balance_of(trainer())
    assert [loading.battery for loading in result.loadings] == ["three cells", "two cells"]
    one, two = (loading.state.mass for loading in result.loadings)
    assert one - two == pytest.approx(0.040)
    assert result.ready is result.loadings[0]
    assert result.bay == pytest.approx((0.03, 0.16))


def test_plate_of_a_fin_lies_in_its_plane() -> None:
    raw = bare({"wing": wing(), "fin": {**surface("fin", [(0, 0, 100), (100, 0, 100)])}})
    raw["surfaces"]["fin"] |= {"parts": [skin()], "section": plate(), "at": {"x": 500, "z": 10}}
    line = lines(raw)["plate of board"]
    assert (line.x, line.y, line.z) == pytest.approx((0.55, 0, 0.06))
    assert line.mass == pytest.approx(0.01 * 0.46)


def test_incidence_of_a_fin_turns_it_sideways_and_not_down() -> None:
    """Turned by 10° about its own upright edge, a chord of 100 puts its middle 50 sin 10° aside."""
    fin = surface("fin", [(0, 0, 100), (100, 0, 100)], parts=[skin()], incidence=10)
    raw = bare({"wing": wing(), "fin": fin | {"at": {"x": 500}}})
    line = lines(raw)["plate of board"]
    angle = math.radians(10)
    assert line.x == pytest.approx(0.5 + 0.05 * math.cos(angle))
    assert line.y == pytest.approx(0.05 * math.sin(angle))
    assert line.z == pytest.approx(0.05)


def upright(part: Raw) -> MassLine:
    """The line of a part of a fin: its z is how far out it lies."""
    fin = surface("fin", [(0, 0, 200), (400, 0, 200)], parts=[part])
    return lines(bare({"wing": wing(), "fin": fin}))["stick"]


def test_a_tapered_stick() -> None:
    """5 × 10 down to 5 × 2 over 400: a frustum of mean section 5 × 6; centre by hand.

    Mass per length falls linearly from 1 to 1/5: its centre lies at L (1 + 2/5)/(3 (1 + 1/5)).
    """
    part = stick(run={"from": 0, "to": 400}, size_out={"width": 5, "height": 2})
    line = upright(part)
    assert line.mass == pytest.approx(500 * 0.4 * 0.005 * 0.006)
    assert line.z == pytest.approx(0.4 * 1.4 / 3.6)


def test_a_stick_that_tapers_both_ways() -> None:
    """A pyramid frustum 10 × 10 to 5 × 5: h (A + √(A B) + B)/3, Euclid."""
    size, out = {"width": 10, "height": 10}, {"width": 5, "height": 5}
    part = stick(size=size, size_out=out, run={"from": 0, "to": 300})
    line = upright(part)
    assert line.mass == pytest.approx(500 * 0.3 * (100 + 50 + 25) / 3 * 1e-6)
    # Centre of a frustum above its base: h (A + 2 √(A B) + 3 B)/(4 (A + √(A B) + B)).
    assert line.z == pytest.approx(0.3 * (100 + 100 + 75) / (4 * 175))


def test_a_stick_that_does_not_taper_is_a_plain_one() -> None:
    plain = stick(run={"from": 50, "to": 300})
    raw = bare({"wing": surface("wing", [(0, 0, 200), (250, 30, 180), (500, 80, 120)])})
    (owner,) = airframe_of(raw).surfaces
    one, other = (
        placed(read(Part, **part), owner)[1]
        for part in (plain, plain | {"size_out": plain["size"]})
    )
    assert other.mass == pytest.approx(one.mass)
    assert other.first == pytest.approx(one.first)
    assert other.second == pytest.approx(one.second)


@settings(max_examples=20, deadline=None)
@given(st.floats(1, 20), st.floats(1, 20), st.floats(1, 20), st.floats(1, 20), st.floats(0.1, 0.9))
def test_a_tapered_stick_sawn_in_two(
    width: float, height: float, width_out: float, height_out: float, share: float
) -> None:
    """Both pieces together are the whole, down to the second moments."""

    def of(fore: float, aft: float) -> Moments:
        near, far = (
            {
                "width": width + (width_out - width) * s,
                "height": height + (height_out - height) * s,
            }
            for s in (fore, aft)
        )
        part = stick(run={"from": 400 * fore, "to": 400 * aft}, size=near, size_out=far)
        moments = placed(read(Part, **part), owner)[1]
        return moments.scaled(cross_section(read(StickSize, **near)))

    raw = bare({"wing": surface("wing", [(0, 0, 200), (250, 30, 180), (500, 80, 120)])})
    (owner,) = airframe_of(raw).surfaces
    whole, both = of(0, 1), of(0, share) + of(share, 1)
    assert both.mass == pytest.approx(whole.mass)
    assert both.first == pytest.approx(whole.first)
    assert both.second == pytest.approx(whole.second)


@pytest.mark.parametrize("cover", ["plate", "top skin", "bottom skin", "both skins"])
def test_a_skin_over_part_of_the_chord(cover: str) -> None:
    """Pieces over 0 to 0.3 and 0.3 to 1 weigh what the whole does, each in its own place."""

    def of(**over: float) -> MassLine:
        part = skin(cover, over=over) if over else skin(cover)
        raw = bare({"wing": wing(parts=[part], section="NACA 4412")}, allowance={"glue": 0})
        return balance_of(raw).lines[0]

    whole, fore, aft = of(), of(**{"from": 0, "to": 0.3}), of(**{"from": 0.3, "to": 1})
    assert fore.mass + aft.mass == pytest.approx(whole.mass)
    assert (fore.x, aft.x) == pytest.approx((0.15 + 0.2 * 0.15, 0.15 + 0.2 * 0.65))
    if cover == "plate":
        assert fore.mass == pytest.approx(0.3 * whole.mass)
    else:
        assert 0.3 * whole.mass < fore.mass < 0.36 * whole.mass


def test_a_strip_cut_from_weighed_sheet() -> None:
    """Board of 460 g/m² and 5 mm, 12 high on edge: 460 · 0.012 g a metre."""
    strip = stick(material="board", size={"width": 5, "height": 12}, run={"from": 0, "to": 400})
    line = lines(bare({"wing": wing(parts=[strip])}))["stick"]
    assert line.mass == pytest.approx(2 * 0.4 * 0.46 * 0.012)


# --- parts as they are drawn -----------------------------------------------------------------


def of_drawing(raw: Raw) -> MassLine:
    """The line of the first part of the wing, drawn as 0.3 m² of 100 g at x = 0.4 m."""
    file = file_of(raw)
    moments = simplex([(0.4, 0.0, 0.1)], 0.1)
    drawn = {PartRef("wing", 0): Drawn(PartRef("wing", 0), 0.3, True, moments)}
    (line, _), *_ = build_up(file, build_airframe(file, {}), stock(file), drawn)
    return line


def test_a_drawing_wins_over_the_planform() -> None:
    line = of_drawing(bare({"wing": wing(parts=[skin()])}))
    assert (line.mass, line.x, line.z) == pytest.approx((0.1, 0.4, 0.1))
    assert line.amount == "2 × 15.00 dm² as drawn, board"
    assert (line.origin, line.method) == ("worked out", "part-mass-drawn")


def test_a_scale_wins_over_the_drawing() -> None:
    """What was weighed lies where the drawing says."""
    line = of_drawing(bare({"wing": wing(parts=[skin(measured=120)])}))
    assert (line.mass, line.worked_out, line.x) == pytest.approx((0.12, 0.1, 0.4))
    assert (line.origin, line.method) == ("measured", "measured-mass")


def test_a_surface_weighed_whole_takes_its_shape_from_the_drawing() -> None:
    line = of_drawing(bare({"wing": wing(parts=[skin()], measured=150)}))
    assert (line.mass, line.worked_out, line.x) == pytest.approx((0.15, 0.1, 0.4))
