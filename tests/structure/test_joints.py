"""Joints, hold-downs and mounts: formulas by hand, and that what is solved is just enough."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from plansgen.library.fasteners import fasteners
from plansgen.library.models.parts import StickSize
from plansgen.library.models.structure import HoldDown
from plansgen.library.tables import materials, methods
from plansgen.quantity import quantities
from plansgen.structure import booms, hold_down, joints, mounts, wires
from plansgen.structure.along import Forces, reference_line, resultants
from plansgen.structure.glue import (
    bearing_stress,
    glue_stress,
    least,
    modulus_of_section,
    peel_stress,
    shear_strength,
    stands,
)
from plansgen.structure.hold_down import RootLoad
from plansgen.structure.hold_down import hold_down as held_by
from plansgen.structure.joints import JointResult, stood_up, work_out_joints
from plansgen.structure.mounts import MountLoad, least_area, mount_load, mount_stress, weaker
from plansgen.structure.reserve import CAP
from plansgen.structure.span_loads import SpanLoad
from tests import designs

Raw = dict[str, Any]


def size(**mm: float) -> StickSize:
    given = {name: f"{value} mm" for name, value in mm.items()}
    return StickSize.model_validate(given)


# --- formulas ------------------------------------------------------------------------------------


def test_glue_patch_like_the_textbook_formula() -> None:
    """τ = T r/J + V/A on 80 × 12 mm: J = 80·12·(80² + 12²)/12 = 523 520 mm⁴, r = 40.447 mm."""
    found = glue_stress(moment=2.0, shear=10.0, length=0.08, height=0.012)
    assert found == pytest.approx(2000 * 40.4475 / 523520 * 1e6 + 10 / 960 * 1e6, rel=1e-5)


def test_square_patch_by_integrating_over_the_face() -> None:
    """The corner's stress from the torque integral ∫ r·τ dA with τ = k r, over a fine grid."""
    length, height, cells = 0.05, 0.02, 200
    polar = 0.0
    for i in range(cells):
        for j in range(cells):
            x = (i + 0.5) / cells * length - length / 2
            y = (j + 0.5) / cells * height - height / 2
            polar += (x * x + y * y) * length * height / cells**2
    expected = 1.0 * math.hypot(length, height) / 2 / polar
    found = glue_stress(moment=1.0, shear=0.0, length=length, height=height)
    assert found == pytest.approx(expected, rel=1e-4)


def test_socket_pressure_balances_moment_and_shear() -> None:
    """Straight-line pressure along the hole: its sum is V, its moment about the mouth M."""
    length, diameter, moment, shear = 0.1, 0.005, 1.2, 8.0
    top = bearing_stress(moment=moment, shear=shear, length=length, diameter=diameter) * diameter
    # w(x) = a + b x from mouth to end; ∫w = V and ∫w x = −M give a = 4V/L + 6M/L².
    slope = -(6 * shear / length**2 + 12 * moment / length**3)
    assert top * length + slope * length**2 / 2 == pytest.approx(shear)
    assert top * length**2 / 2 + slope * length**3 / 3 == pytest.approx(-moment)


def test_peel_and_section_moduli() -> None:
    """6M/(w L²) + V/(w L); b h²/6 = 3·12²/6 = 72 mm³; π d³/32 for a rod of 4: 6.2832 mm³."""
    assert peel_stress(moment=1.0, shear=2.0, length=0.1, width=0.02) == pytest.approx(31000)
    assert modulus_of_section(size(width=3, height=12)) == pytest.approx(72e-9)
    assert modulus_of_section(size(diameter=4)) == pytest.approx(6.28319e-9, rel=1e-5)
    tube = modulus_of_section(size(diameter=6, bore=4))
    assert tube == pytest.approx(51.0509e-12 / 0.003, rel=1e-5)  # tube 6/4: I = 51.0509 mm⁴


def test_a_face_of_plywood_hangs_on_its_cross_veneer() -> None:
    """Rolling shear of birch plywood is given as 2 to 3 MPa; from memory."""
    found = shear_strength(materials()["birch-ply-3mm"])
    assert found is not None
    assert found[0].endswith("cross veneer")
    assert 1.8e6 < found[1] < 3e6


def test_damp_joints_hold_less() -> None:
    """Wood keeps 65 % and white glue half; foam is the same, so there the brace tells."""
    parts = (brace(glue="white-glue"), web(material="pine"))
    (dry,), (wet,) = joined(*parts), joined(*parts, damp=True)
    assert wet.brace_reserve == pytest.approx(0.65 * dry.brace_reserve)
    assert dry.damp is None
    (told,) = joints.with_damp([dry], [wet])
    assert told.damp == wet.reserve < dry.reserve
    assert joints.with_damp([dry], [dry]) == (dry,)


def test_how_a_brace_stands() -> None:
    assert stands(size(width=3, height=12)) == "on edge"
    assert stands(size(width=12, height=3)) == "flat"
    assert stands(size(width=5, height=5)) == "square"
    assert stands(size(diameter=4)) == "round"


def test_least_is_just_enough() -> None:
    assert least(lambda x: x >= 0.3, low=0.01, high=1.0) == pytest.approx(0.3, rel=2e-3)
    assert least(lambda x: x >= 3.0, low=0.01, high=1.0) is None
    assert least(lambda x: x > 0, low=0.01, high=1.0) == 0.01


def test_foam_gives_before_paper_and_glue() -> None:
    """Of foam board the core; polystyrene foam shears at some 0.1 to 0.3 MPa (from memory)."""
    stock = materials()
    found = shear_strength(stock["foam-board-5mm"])
    assert found is not None
    assert 0.05e6 < found[1] < 0.5e6
    both = weaker(stock["epoxy-joint"], stock["foam-board-5mm"])
    assert both == found
    hard = weaker(stock["hot-melt-bead"], stock["birch-ply-3mm"])
    assert hard is not None
    assert hard[0] == stock["hot-melt-bead"].name


# --- joints --------------------------------------------------------------------------------------


def load(bending: float, shear: float = 0.0, *, case: str = "pull-up") -> SpanLoad:
    """The same all along a half wing of 500 mm."""
    rows = dict.fromkeys(("torque", "chord_shear", "chord_bending", "axial"), (0.0, 0.0))
    return SpanLoad(
        case=case, spans=(0.0, 0.5), shear=(shear,) * 2, bending=(bending,) * 2, lumps=(), **rows
    )


def brace(**more: Any) -> Raw:
    given: Raw = {
        "name": "brace",
        "material": "birch-ply-3mm",
        "run": {"from": 0, "to": 80, "at": 0.3},
        "size": {"width": 3, "height": 12},
        "count": 2,
        "joins": 0,
        "glue": "white-glue",
    }
    return given | more


def web(material: str = "birch-ply-1.5mm") -> Raw:
    return {
        "name": "web",
        "material": material,
        "run": {"from": 0, "to": 400, "at": 0.3},
        "size": {"width": 1.5, "height": 12},
        "lies": "between",
    }


def joined(
    *parts: Raw, bending: float = 2.0, shear: float = 5.0, damp: bool = False
) -> tuple[JointResult, ...]:
    raw = designs.glider()
    raw["surfaces"]["wing"]["parts"] = list(parts)
    file = designs.file_of(raw)
    wing = designs.airframe_of(raw).surface("wing")
    cases = {
        "pull-up": {"wing": load(bending, shear)},
        "push": {"wing": load(-bending / 2, -shear / 2, case="push")},
    }
    return work_out_joints(file, [wing], designs.stock(file), cases, damp=damp)


def test_centre_brace_by_hand() -> None:
    """Two braces 3 × 12: each carries half of 2 N m on 72 mm³; the glue by the patch formula."""
    (found,) = joined(brace(), web())
    assert (found.stands, found.count, found.case) == ("on edge", 2, "pull-up")
    ply = joints.solid_of(materials()["birch-ply-3mm"])
    assert ply is not None
    assert found.brace_reserve == pytest.approx(min(ply.tension, ply.compression) / (1.0 / 72e-9))
    inner, outer = found.overlaps
    assert inner.length == outer.length == pytest.approx(0.08)
    by_hand = glue_stress(moment=1.0 + 2.5 * 0.04, shear=2.5, length=0.08, height=0.012)
    assert inner.stress == pytest.approx(by_hand)
    assert outer.stress < inner.stress
    assert found.strength is not None
    assert found.glue_reserve == pytest.approx(found.strength / inner.stress)
    assert found.reserve == min(found.brace_reserve, found.glue_reserve or CAP)


def test_what_is_solved_is_just_enough() -> None:
    (found,) = joined(brace(), web("foam-board-5mm"))
    assert found.first != materials()["white-glue"].name
    assert found.least_overlap is not None
    assert found.least_height is not None
    run = {"from": 0, "to": found.least_overlap * 1000, "at": 0.3}
    (longer,) = joined(brace(run=run), web("foam-board-5mm"))
    assert longer.glue_reserve == pytest.approx(2.0, rel=3e-3)
    high = {"width": 3, "height": found.least_height * 1000}
    (higher,) = joined(brace(size=high), web("foam-board-5mm"))
    assert higher.brace_reserve == pytest.approx(2.0)


def test_on_edge_against_flat() -> None:
    """3 × 12 on edge against flat: section modulus four times; b h² (any text)."""
    (edge,) = joined(brace(), web())
    (flat,) = joined(brace(size={"width": 12, "height": 3}), web())
    assert flat.stands == "flat"
    assert edge.brace_reserve / flat.brace_reserve == pytest.approx(4.0)
    turned = stood_up(
        designs.file_of(raw_with(brace(size={"width": 12, "height": 3}))).surfaces["wing"].parts[0]
    )
    assert turned is not None
    assert turned.size == size(width=3, height=12)
    assert stood_up(turned) is None


def raw_with(*parts: Raw) -> Raw:
    raw = designs.glider()
    raw["surfaces"]["wing"]["parts"] = list(parts)
    return raw


def test_two_kinds_of_brace_share_by_stiffness() -> None:
    """Like material and shape: 8 times the stiffness for twice the height."""
    high = brace(name="high", count=1, size={"width": 3, "height": 24})
    low = brace(name="low", count=1)
    found = {one.part: one.share for one in joined(high, low, web())}
    assert found["high"] / found["low"] == pytest.approx(8.0)
    assert sum(found.values()) == pytest.approx(1.0)


def test_joint_away_from_the_centre_has_two_overlaps() -> None:
    run = {"from": 240, "to": 380, "at": 0.3}
    (found,) = joined(brace(run=run, joins=300), web())
    assert [overlap.length for overlap in found.overlaps] == pytest.approx([0.06, 0.08])


def test_round_joiner_presses_on_its_hole() -> None:
    (found,) = joined(
        brace(material="steel-wire", size={"diameter": 3}, count=1, glue=None), web("pine")
    )
    assert found.stands == "round"
    expected = bearing_stress(moment=2.0, shear=5.0, length=0.08, diameter=0.003)
    assert found.overlaps[0].stress == pytest.approx(expected)


def test_unknown_strength_is_left_out_and_no_glue_is_no_number() -> None:
    assert joined(brace(material="board")) == ()
    (found,) = joined(brace(glue=None))
    assert found.glue_reserve is None
    assert found.least_overlap is None


# --- hold-down -----------------------------------------------------------------------------------


def wing() -> Any:
    return designs.airframe_of(designs.glider()).surface("wing")  # root chord 150 to 350 mm


def held(
    fastener: str, count: int, front: float | None = 100, rear: float | None = 400
) -> HoldDown:
    places = {k: f"{v} mm" for k, v in (("front", front), ("rear", rear)) if v is not None}
    return HoldDown.model_validate({"fastener": fastener, "count": count, **places})


def test_lever_rule_and_bolts_by_hand() -> None:
    """100 N at x = 200 between 100 and 400: a third in the rear; one M5 in front holds 710 N."""
    loads = {"pull-up": RootLoad(up=100.0, forward=0.0, x=0.2)}
    found = held_by(held("nylon-bolt-m5", 2), wing(), loads, seat="on top", wanted=2.0)
    (case,) = found.cases
    assert (case.front, case.rear) == pytest.approx((200 / 3, 100 / 3))
    assert case.reserve == pytest.approx(710 / (200 / 3))
    assert case.least == 2


def test_pressed_on_its_seat_nothing_pulls() -> None:
    loads = {"push": RootLoad(up=-50.0, forward=0.0, x=0.2)}
    assert (
        held_by(held("nylon-bolt-m4", 2), wing(), loads, seat="on top", wanted=2.0).reserve == CAP
    )
    under = held_by(held("nylon-bolt-m4", 2), wing(), loads, seat="underneath", wanted=2.0)
    assert under.cases[0].pull == 50.0


def test_pull_and_push_add_as_squares() -> None:
    """Two bolts: 200 N off the seat evenly, 300 N along: 1/√((100/439)² + (150/263.4)²)."""
    loads = {"nose": RootLoad(up=200.0, forward=300.0, x=0.25)}
    found = held_by(held("nylon-bolt-m4", 2), wing(), loads, seat="on top", wanted=1.0)
    (case,) = found.cases
    assert case.reserve == pytest.approx(1 / math.hypot(100 / 439, 150 / 263.4), rel=1e-6)
    assert found.reserve == CAP  # a crash is not what it must stand
    assert found.gives_on_nose is False


def test_bands_hold_at_both_ends_and_let_go_on_the_nose() -> None:
    loads = {
        "pull-up": RootLoad(up=40.0, forward=0.0, x=0.25),
        "nose": RootLoad(up=0.0, forward=500.0, x=None),
    }
    found = held_by(held("rubber-band-6mm", 6), wing(), loads, seat="on top", wanted=2.0)
    down = fasteners()["rubber-band-6mm"].pull * math.sin(math.radians(45))
    assert found.reserve == pytest.approx(6 * down / 20.0)
    assert found.least == math.ceil(2.0 * 20.0 / down)
    assert found.worst == "pull-up"
    assert found.lets_go
    assert found.gives_on_nose


def test_a_dowel_in_front_leaves_the_rest_to_the_rear() -> None:
    """Rear only: the leading edge at 150 stands in; 60 N at x = 275 with bolts at 400: half."""
    loads = {"pull-up": RootLoad(up=60.0, forward=0.0, x=0.275)}
    found = held_by(held("nylon-bolt-m4", 1, front=None), wing(), loads, seat="on top", wanted=2.0)
    assert found.cases[0].rear == pytest.approx(30.0)
    assert found.reserve == pytest.approx(439 / 30)


def test_root_load_gives_back_force_and_place() -> None:
    """A single force on the half wing: twice at the root, at its own x."""
    surface = designs.airframe_of(designs.gull()).surface("wing")
    line = reference_line(surface, np.array([0.0, 0.1]), axis=0.3)
    place = np.array([[0.25, 0.3, 0.04]])
    found = resultants(line, Forces.points(place, np.array([[0.0, 0.0, 12.0]]), np.array([0.3])))
    names = ("shear", "bending", "torque", "chord_shear", "chord_bending", "axial")
    rows = {name: tuple(getattr(found, name).tolist()) for name in names}
    span_load = SpanLoad(case="pull-up", spans=(0.0, 0.1), lumps=(), **rows)
    root = hold_down.root_load(surface, span_load, axis=0.3)
    assert root.up == pytest.approx(24.0)
    assert root.x == pytest.approx(0.25)


# --- mounts --------------------------------------------------------------------------------------


def test_mount_by_hand() -> None:
    """30 × 30 mm: T/A + 6M/a³ and V/A + Q r/J with J = a⁴/6, r = a/√2 (handbook, square)."""
    given = MountLoad(thrust=9.0, weight=18.0, torque=0.1, prying=0.3)
    pull = 9.0 / 9e-4 + 6 * 0.3 / 2.7e-5
    shear = 18.0 / 9e-4 + 0.1 * (0.03 / math.sqrt(2)) / (0.03**4 / 6)
    assert mount_stress(given, area=9e-4) == pytest.approx(math.hypot(pull, shear))


def test_least_area_is_just_enough() -> None:
    given = MountLoad(thrust=9.0, weight=18.0, torque=0.1, prying=0.3)
    area = least_area(given, strength=0.2e6, wanted=2.0)
    assert area is not None
    assert mount_stress(given, area=area) == pytest.approx(0.1e6, rel=2e-3)
    assert least_area(given, strength=10.0, wanted=2.0) is None


def test_what_a_motor_puts_on_its_mount() -> None:
    file = designs.file_of(designs.trainer())
    motor = next(item for item in file.items if item.kind == "motor")
    propeller = next(item for item in file.items if item.kind == "propeller")
    found = mount_load(motor, propeller=propeller, thrust=8.0, load_factor=10.0, pusher=False)
    assert found.weight == pytest.approx(0.062 * 9.80665 * 10)
    assert found.prying == pytest.approx(found.weight * 0.015)
    assert found.torque == pytest.approx(0.07 * 8.0 * 0.2)


@pytest.mark.parametrize(
    "kind",
    [
        *(wires.BraceForce, wires.BracedCase, wires.BraceResult),
        *(joints.Overlap, joints.JointResult),
        *(hold_down.HoldCase, hold_down.HoldDownResult, mounts.MountLoad, mounts.MountResult),
        *(booms.BoomCase, booms.BoomResult),
    ],
)
def test_every_number_names_a_known_method(kind: type) -> None:
    marks = quantities(kind)
    assert marks
    assert {mark.method for mark in marks.values()} <= set(methods())


# --- from a design -------------------------------------------------------------------------------


def test_what_a_design_says_is_what_is_worked_out() -> None:
    raw = designs.trainer()
    raw["structure"] = {
        "reserve": 3,
        "hold_down": [{"fastener": "rubber-band-6mm", "count": 4, "front": 140, "rear": 360}],
        "mounts": [
            {"item": "motor", "glue": "epoxy-joint", "area": "20 cm2", "to": "foam-board-5mm"},
            {"item": "motor", "glue": "epoxy-joint", "area": "20 cm2", "to": "pine"},
        ],
    }
    del raw["materials"]["pine"]
    file, airframe = designs.file_of(raw), designs.airframe_of(raw)
    cases = {"pull-up": {"wing": load(2.0, 12.0)}, "bench": {"wing": load(1.0, 3.0)}}
    (held,) = hold_down.work_out_hold_down(file, airframe, cases, {"wing": 0.3})
    assert [case.case for case in held.cases] == ["pull-up"]
    assert held.sits == "on top"
    assert held.cases[0].pull == pytest.approx(24.0)
    assert held.gives_on_nose is None
    assert held.least is not None
    given = {"thrust": 8.0, "load_factor": 15.0}
    soft, hard = mounts.work_out_mounts(file, designs.stock(file), **given)
    assert soft.first != hard.first
    assert soft.reserve < hard.reserve
    assert soft.reserve == pytest.approx(soft.strength / soft.stress)
    assert soft.least_area is not None
    damp, _ = mounts.work_out_mounts(file, designs.stock(file), damp=True, **given)
    assert damp.reserve <= soft.reserve


def test_a_gust_harder_than_the_limit_is_what_bands_must_hold() -> None:
    raw = designs.trainer()
    band = {"fastener": "rubber-band-6mm", "count": 4, "front": 140, "rear": 360}
    raw["structure"] = {"hold_down": [band]}
    cases = {
        "pull-up": {"wing": load(2.0, 12.0)},
        "gust-up": {"wing": load(3.0, 18.0, case="gust-up")},
    }
    file, airframe = designs.file_of(raw), designs.airframe_of(raw)
    (held,) = hold_down.work_out_hold_down(file, airframe, cases, {"wing": 0.3})
    assert held.worst == "gust-up"
    limit, gust = held.cases
    assert held.reserve == gust.reserve == pytest.approx(limit.reserve * 12 / 18)


def test_a_wing_under_the_body_is_told() -> None:
    raw = designs.trainer()
    raw["surfaces"]["wing"]["at"] = {"x": 150, "z": -60}
    airframe = designs.airframe_of(raw)
    assert hold_down.sits(airframe.surface("wing"), airframe) == "underneath"
    without = designs.airframe_of(designs.glider())
    assert hold_down.sits(without.surface("wing"), without) == "on top"
