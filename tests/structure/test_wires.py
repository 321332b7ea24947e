"""Braced wings: names by geometry, the force method by hand, and what is left to the wing."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from plansgen.airframe.build import LiftingSurface
from plansgen.library.models.parts import StickSize
from plansgen.structure.along import Forces, reference_line, resultants
from plansgen.structure.braced_half import BracedHalf, WingBeam
from plansgen.structure.braces import Brace, areas_of, find_braces, held_at, job_of
from plansgen.structure.frame import UnstableFrame
from plansgen.structure.members import Members
from plansgen.structure.reserve import CAP, reserve_factor
from plansgen.structure.span_loads import Lump, SpanLoad
from plansgen.structure.wires import (
    USUAL_DIAMETERS,
    Bracing,
    loads_left,
    solve_bracing,
    work_out_bracing,
)
from tests import designs

AXIS = 0.3
BENDING = 2.0  # N m²
Raw = dict[str, Any]


def plank(key: str = "wing", **more: Any) -> LiftingSurface:
    """A level half wing of 500 mm with a chord of 200; its spar line lies at x = 210."""
    raw = designs.glider()
    raw["surfaces"]["wing"] |= more
    raw["surfaces"] = {key if k == "wing" else k: v for k, v in raw["surfaces"].items()}
    return designs.airframe_of(raw).surface(key)


def even_beam(surface: LiftingSurface, *, hinged: bool = False) -> WingBeam:
    ends = (0.0, surface.stations[-1].span)
    stiff = {"axial": (4e5, 4e5), "bending": (BENDING,) * 2, "torsion": (1.3, 1.3)}
    return WingBeam(surface, AXIS, ends, chord_bending=(7.0, 7.0), hinged=hinged, **stiff)


def load_of(surface: LiftingSurface, forces: list[tuple[float, tuple[float, float, float]]]) -> Any:
    """Point forces on the spar line at some spans, as a span load."""
    at = np.array([span for span, _ in forces])
    places = reference_line(surface, at, axis=AXIS).points
    values = np.array([force for _, force in forces], dtype=float).reshape(-1, 3)
    spans = np.linspace(0.0, surface.stations[-1].span, 51)
    found = resultants(reference_line(surface, spans, axis=AXIS), Forces.points(places, values, at))
    names = ("shear", "bending", "torque", "chord_shear", "chord_bending", "axial")
    lumps = tuple(
        Lump(tuple(place), tuple(force), float(span))
        for place, force, span in zip(places.tolist(), values.tolist(), at.tolist(), strict=True)
    )
    rows = {name: tuple(getattr(found, name).tolist()) for name in names}
    return SpanLoad(case="pull-up", spans=tuple(spans.tolist()), lumps=lumps, **rows)


def brace(
    surfaces: list[LiftingSurface],
    start: tuple[float, float, float],
    end: tuple[float, float, float],
    **more: Any,
) -> Brace:
    """A wire of 0.8 mm steel between two places. [m]"""
    ends = [
        next((h for s in surfaces if (h := held_at(s, place, axis=AXIS)) is not None), None)
        for place in (start, end)
    ]
    kind = more.pop("kind", "wire")
    area, second = math.pi / 4 * 0.0008**2, math.pi / 64 * 0.0008**4
    between = None not in ends and ends[0].surface != ends[1].surface  # type: ignore[union-attr]
    given = {
        "part": "wire",
        "name": job_of(start, end, kind=kind, between=between),
        "kind": kind,
        "material": "steel-wire",
        "ends": tuple(ends),
        "area": area,
        "second_moment": second,
        "count": 1,
        "modulus": 2e11,
        "tension": 2e9,
        "compression": 2e9,
        "preload": None,
        "diameter": 0.0008,
    }
    return Brace(start=start, end=end, **(given | more))


def solved(
    surface: LiftingSurface, braces: list[Brace], tip: tuple[float, float, float], **more: Any
) -> Bracing:
    load = load_of(surface, [(0.5, tip)])
    beam = even_beam(surface, hinged=more.pop("hinged", False))
    return solve_bracing([beam], braces, {"pull-up": {surface.key: load}}, wanted=2.0, **more)


SPAR = 0.21
FOOT = (SPAR, 0.0, -0.12)


def at_span(span: float) -> tuple[float, float, float]:
    return (SPAR, span, 0.0)


# --- one lift wire, by hand ----------------------------------------------------------------------


@pytest.mark.parametrize("out", [0.3, 0.45])
def test_lift_wire_by_the_force_method(out: float) -> None:
    """A clamped beam with a tip load and one wire at ``out``: deflections at the wire must agree.

    Tip load P alone lifts that place by P out² (3L − out)/6EI; the wire's own force X gives
    X (L_w/EA_w + sin² out³/3EI + cos² out/EA). Beam formulae of any text; Roark, case 1a.
    """
    wing = plank()
    wire = brace([wing], FOOT, at_span(out))
    found = solved(wing, [wire], (0, 0, 10.0))
    sin, cos = 0.12 / wire.length, out / wire.length
    lifted = 10.0 * out**2 * (3 * 0.5 - out) / 6 / BENDING
    give = wire.length / (2e11 * wire.area) + sin**2 * out**3 / 3 / BENDING + cos**2 * out / 4e5
    pull = lifted * sin / give
    (force,) = found.case("pull-up").forces
    assert force.name == "lift wire"
    assert force.force == pytest.approx(pull, rel=1e-6)
    left = found.case("pull-up").loads["wing"]
    assert left.bending[0] == pytest.approx(10.0 * 0.5 - pull * sin * out, rel=1e-6)
    assert left.shear[0] == pytest.approx(10.0 - pull * sin, rel=1e-6)
    assert left.axial[0] == pytest.approx(-pull * cos, rel=1e-6)
    assert found.braces[0].reserve == pytest.approx(2e9 * wire.area / pull)


def test_load_is_told_on_both_sides_of_the_wire() -> None:
    wing = plank()
    found = solved(wing, [brace([wing], FOOT, at_span(0.3))], (0, 0, 10.0))
    left = found.case("pull-up").loads["wing"]
    step = np.interp([0.2999, 0.3001], left.spans, left.shear)
    (force,) = found.case("pull-up").forces
    assert step[1] - step[0] == pytest.approx(force.force * 0.12 / math.hypot(0.12, 0.3), rel=1e-6)
    assert np.interp(0.4, left.spans, left.bending) == pytest.approx(1.0)  # outboard as it was


def test_hinged_at_the_centre_the_wire_carries_all() -> None:
    """Moments about the hinge: X sin · out = P L; no bending is left there."""
    wing = plank()
    wire = brace([wing], FOOT, at_span(0.3))
    found = solved(wing, [wire], (0, 0, 10.0), hinged=True)
    (force,) = found.case("pull-up").forces
    assert force.force == pytest.approx(10.0 * 0.5 / 0.3 / (0.12 / wire.length), rel=1e-6)
    left = found.case("pull-up").loads["wing"]
    assert left.bending[0] == pytest.approx(0.0, abs=1e-6)
    assert found.roots == {"wing": "hinged"}
    with pytest.raises(UnstableFrame, match=r"wing .* without resistance"):
        solved(wing, [wire], (0, 0, -10.0), hinged=True)


def test_a_strut_pushes_where_a_wire_goes_slack() -> None:
    wing = plank()
    strut = brace([wing], FOOT, at_span(0.3), kind="strut", second_moment=2.67e-11)
    wire = brace([wing], FOOT, at_span(0.3))
    pushed = solved(wing, [strut], (0, 0, -10.0)).braces[0]
    euler = math.pi**2 * 2e11 * 2.67e-11 / strut.length**2
    assert pushed.push_strength == pytest.approx(euler)
    assert pushed.worst_force < 0
    assert pushed.reserve == pytest.approx(euler / -pushed.worst_force)
    alone = solved(wing, [wire], (0, 0, -10.0)).case("pull-up")
    assert alone.forces[0].slack
    assert alone.forces[0].reserve == CAP
    assert alone.loads["wing"].bending[0] == pytest.approx(-5.0)
    assert alone.tips["wing"] == pytest.approx(-10.0 * 0.125 / 3 / BENDING, rel=1e-3)


# --- preload and size ----------------------------------------------------------------------------


def wires_both_ways(wing: LiftingSurface, **more: Any) -> list[Brace]:
    """A lift wire and a landing wire to the same place."""
    mast = (SPAR, 0.0, 0.12)
    return [
        brace([wing], FOOT, at_span(0.3), part="below", **more),
        brace([wing], mast, at_span(0.3), part="above", **more),
    ]


def test_the_preload_found_just_keeps_every_wire_tight() -> None:
    wing = plank()
    needed = solved(wing, wires_both_ways(wing), (0, 0, 10.0)).case("pull-up")
    assert needed.forces[1].slack
    assert needed.preload is not None
    above = solved(wing, wires_both_ways(wing, preload=needed.preload * 1.001), (0, 0, 10.0))
    below = solved(wing, wires_both_ways(wing, preload=needed.preload * 0.999), (0, 0, 10.0))
    assert not above.case("pull-up").forces[1].slack
    assert below.case("pull-up").forces[1].slack


def test_by_hand_like_wires_above_and_below_share_the_load_while_both_are_tight() -> None:
    """By symmetry one gains what the other loses, so the preload is half the difference."""
    wing = plank()
    found = solved(wing, wires_both_ways(wing, preload=500.0), (0, 0, 10.0)).case("pull-up")
    below, above = (force.force for force in found.forces)
    assert below - 500.0 == pytest.approx(500.0 - above, rel=1e-4)
    assert found.preload == pytest.approx((below - above) / 2, rel=1e-4)


def test_the_least_wire_is_the_first_of_the_usual_ones_that_holds() -> None:
    wing = plank()
    found = solved(wing, [brace([wing], FOOT, at_span(0.45))], (0, 0, 60.0)).braces[0]
    least = found.least_diameter
    assert least in USUAL_DIAMETERS
    number = USUAL_DIAMETERS.index(least)

    def reserve(diameter: float) -> float:
        area = math.pi / 4 * diameter**2
        wire = brace([wing], FOOT, at_span(0.45), area=area, diameter=diameter)
        return solved(wing, [wire], (0, 0, 60.0)).braces[0].reserve

    assert reserve(least) >= 2.0
    assert number > 0
    assert reserve(USUAL_DIAMETERS[number - 1]) < 2.0


def test_no_wire_is_advised_for_a_tube_or_when_none_holds() -> None:
    wing = plank()
    tube = brace([wing], FOOT, at_span(0.45), kind="strut", diameter=None, second_moment=1e-11)
    assert solved(wing, [tube], (0, 0, 60.0)).braces[0].least_diameter is None
    weak = brace([wing], FOOT, at_span(0.45), tension=1e3)
    assert solved(wing, [weak], (0, 0, 60.0)).braces[0].least_diameter is None


def test_two_wires_side_by_side_each_carry_half() -> None:
    wing = plank()
    single = brace([wing], FOOT, at_span(0.3))
    thick = solved(wing, [replace(single, area=2 * single.area)], (0, 0, 10.0)).braces[0]
    pair = solved(wing, [replace(single, count=2)], (0, 0, 10.0)).braces[0]
    assert 2 * pair.worst_force == pytest.approx(thick.worst_force)


# --- two wings -----------------------------------------------------------------------------------


def test_struts_between_two_wings_carry_load_from_one_to_the_other() -> None:
    """Like wings, one loaded, a stiff strut at the tip: each carries half (by symmetry)."""
    lower, upper = plank("lower"), plank("upper", at={"x": 150, "z": 180})
    strut = brace(
        [lower, upper], at_span(0.5), (SPAR, 0.5, 0.18), kind="strut", area=1e-3, second_moment=1e-9
    )
    assert strut.name == "interplane strut"
    loads = {"lower": load_of(lower, [(0.5, (0, 0, 10.0))]), "upper": load_of(upper, [])}
    found = solve_bracing(
        [even_beam(lower), even_beam(upper)], [strut], {"pull-up": loads}, wanted=2.0
    ).case("pull-up")
    assert found.forces[0].force == pytest.approx(-5.0, rel=1e-4)
    assert found.loads["upper"].bending[0] == pytest.approx(2.5, rel=1e-4)
    assert found.loads["lower"].bending[0] == pytest.approx(2.5, rel=1e-4)


def test_a_pull_off_the_spar_line_twists_the_wing() -> None:
    """Down at 60 mm behind the spar line: nose up by pull times arm."""
    wing = plank()
    wire = brace([wing], (SPAR + 0.06, 0.3, -0.4), (SPAR + 0.06, 0.3001, 0.0))
    half = BracedHalf([even_beam(wing)], [wire])
    assert wire.ends[0] is None
    assert wire.ends[1] is not None
    assert wire.ends[1].arm[0] == pytest.approx(0.06)
    found = solved(wing, [wire], (0, 0, 10.0)).case("pull-up")
    down = found.forces[0].force
    assert found.loads["wing"].torque[0] == pytest.approx(0.06 * down, rel=1e-3)
    assert half.bar(0) == "brace 0"


# --- what they are called ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "end", "kind", "between", "name"),
    [
        ((0, 0, -0.1), (0, 0.4, 0), "wire", False, "lift wire"),
        ((0, 0, 0.1), (0, 0.4, 0), "wire", False, "landing wire"),
        ((0, 0, -0.1), (0.02, 0.4, 0), "strut", False, "lift strut"),
        ((-0.2, 0, 0), (0, 0.4, 0.01), "wire", False, "drag wire"),
        ((0.3, 0, 0), (0.1, 0.4, 0), "wire", False, "anti-drag wire"),
        ((0, 0.2, 0), (0, 0.21, 0.2), "strut", True, "interplane strut"),
        ((0, 0.2, 0), (0.1, 0.2, 0.2), "wire", True, "incidence wire"),
        ((0, 0.1, 0), (0, 0.4, 0.2), "wire", True, "lift wire"),
    ],
)
def test_names_by_what_they_do(start: Any, end: Any, kind: Any, between: bool, name: str) -> None:
    """From memory of any text on rigging: drag wires run aft going out, anti-drag wires forward."""
    assert job_of(start, end, kind=kind, between=between) == name


# --- from a design file --------------------------------------------------------------------------


def braced_design(*parts: Raw) -> Raw:
    raw = designs.glider()
    raw["parts"] = list(parts)
    return raw


def wire_part(*points: tuple[float, float, float], **more: Any) -> Raw:
    line = [dict(zip("xyz", point, strict=True)) for point in points]
    given = {"name": "wire", "material": "steel-wire", "size": {"diameter": 0.8}, "braces": "wire"}
    return given | {"line": line} | more


def found_in(raw: Raw) -> Any:
    file = designs.file_of(raw)
    airframe = designs.airframe_of(raw)
    return find_braces(file, airframe.surfaces, designs.stock(file), {"wing": AXIS})


def test_the_port_twin_is_left_to_symmetry() -> None:
    raw = braced_design(
        wire_part((210, 20, -120), (210, 300, 0)), wire_part((210, -20, -120), (210, -300, 0))
    )
    (only,), left_out = found_in(raw)
    assert only.start[1] > 0
    assert only.ends[0] is None
    assert only.ends[1].span == pytest.approx(0.3, abs=2e-3)
    assert left_out == ()


def test_a_wire_from_tip_to_tip_over_a_post_is_cut_at_the_post() -> None:
    braces, _ = found_in(braced_design(wire_part((210, -400, 0), (210, 0, 90), (210, 400, 0))))
    (only,) = braces
    assert only.start == pytest.approx((0.21, 0.0, 0.09))
    assert only.name == "landing wire"
    straight, _ = found_in(braced_design(wire_part((210, -400, 20), (210, 400, 20))))
    assert straight[0].start == pytest.approx((0.21, 0.0, 0.02))


def test_ends_off_the_chord_or_far_below_it_are_on_the_body() -> None:
    wing = plank()
    assert held_at(wing, (0.21, 0.3, -0.02), axis=AXIS) is not None
    assert held_at(wing, (0.21, 0.3, -0.03), axis=AXIS) is None
    assert held_at(wing, (0.15, 0.3, 0.0), axis=AXIS) is not None
    assert held_at(wing, (0.13, 0.3, 0.0), axis=AXIS) is None
    assert held_at(wing, (0.21, 0.6, 0.0), axis=AXIS) is None


def test_what_cannot_be_counted_is_told() -> None:
    braces, left_out = found_in(
        braced_design(
            wire_part((210, 20, -120), (210, 30, -300)),
            wire_part((210, 20, -120), (210, 300, 0), name="twig", material="pine"),
        )
    )
    assert braces == ()
    assert left_out == ("wire: neither end is on a wing", "twig: its strength is not known")


def test_what_hangs_on_the_wing_does_not_hold_it_up() -> None:
    raw = braced_design()
    frames = [{"x": 0, "width": 30, "height": 30}, {"x": 200, "width": 30, "height": 30}]
    part = wire_part((210, 300, -100), (210, 300, 0))
    raw["bodies"] = {
        "float": {
            "role": "float",
            "mirror": True,
            "at": {"x": 120, "y": 300, "z": -100},
            "stations": frames,
            "parts": [part],
        }
    }
    assert found_in(raw) == ((), ())


def test_areas_and_second_moments() -> None:
    """Tubes 5/3: 26.7035 mm⁴; strip 10 × 2 flat: 6.6667 mm⁴ (π (D⁴ − d⁴)/64, b h³/12)."""

    def size(**mm: float) -> StickSize:
        return StickSize.model_construct(
            **{name: mm[name] / 1000 if name in mm else None for name in StickSize.model_fields}
        )

    assert areas_of(size(diameter=5, bore=3))[1] == pytest.approx(26.7035e-12, rel=1e-5)
    assert areas_of(size(width=2, height=10))[1] == pytest.approx(6.66667e-12, rel=1e-5)
    assert areas_of(size(width=10, height=2))[0] == pytest.approx(20e-6)


def test_reserve_factor() -> None:
    assert reserve_factor(strength=6.0, load=-3.0) == 2.0
    assert reserve_factor(strength=6.0, load=0.0) == CAP
    assert reserve_factor(strength=0.0, load=3.0) == 0.0


def test_wings_that_no_brace_joins_are_solved_apart_and_told_together() -> None:
    """Both at once give what each gives alone; in the order of the braces."""
    lower, upper = plank("lower"), plank("upper", at={"x": 150, "z": 180})
    foot, top = brace([lower, upper], FOOT, at_span(0.3)), (SPAR, 0.0, 0.3)
    above = brace([lower, upper], top, (SPAR, 0.4, 0.18), part="above", kind="strut")
    loads = {
        "lower": load_of(lower, [(0.5, (0, 0, 10.0))]),
        "upper": load_of(upper, [(0.5, (0, 0, 6.0))]),
    }
    beams = [even_beam(lower), even_beam(upper)]
    both = solve_bracing(beams, [foot, above], {"pull-up": loads}, wanted=2.0)
    alone = [solve_bracing(beams, [one], {"pull-up": loads}, wanted=2.0) for one in (foot, above)]
    assert both.braces == tuple(one.braces[0] for one in alone)
    case = both.case("pull-up")
    assert case.forces == tuple(one.case("pull-up").forces[0] for one in alone)
    assert case.loads["lower"] == alone[0].case("pull-up").loads["lower"]
    assert case.loads["upper"] == alone[1].case("pull-up").loads["upper"]
    assert set(case.tips) == set(both.roots) == {"lower", "upper"}


def test_without_bracing_the_loads_stay_as_they_are() -> None:
    wing = plank()
    loads = {"pull-up": {"wing": load_of(wing, [(0.5, (0, 0, 10.0))])}}
    assert loads_left(None, loads) == loads
    braced = solved(wing, [brace([wing], FOOT, at_span(0.3))], (0, 0, 10.0))
    left = loads_left(braced, loads | {"bench": loads["pull-up"]})
    assert left["bench"] == loads["pull-up"]
    assert left["pull-up"] != loads["pull-up"]


# --- the whole way -------------------------------------------------------------------------------


def worked_out(*parts: Raw, tip: tuple[float, float, float], joiner: bool) -> Bracing | None:
    """A wing of foam board with a pine spar and braces of the design's own."""
    raw = braced_design(*parts)
    spar = {"material": "pine", "size": {"width": 10, "height": 3}, "lies": "top and bottom"}
    wing_parts: list[Raw] = [
        {"name": "skins", "material": "foam-board-5mm", "cover": "both skins"},
        spar | {"name": "caps", "run": {"from": 0, "to": 480, "at": 0.3}, "count": 2},
    ]
    if joiner:
        centre = {"run": {"from": 0, "to": 80, "at": 0.3}, "joins": 0}
        wing_parts.append(spar | centre | {"name": "joiner", "lies": "middle"})
    folded = {"kind": "folded sheet", "thickness": 5, "spar_height": 12}
    raw["surfaces"]["wing"] |= {"parts": wing_parts, "section": folded}
    raw["materials"] = {"board": raw["materials"]["board"]}
    file = designs.file_of(raw)
    airframe, stock = designs.airframe_of(raw), designs.stock(file)
    surface = airframe.surface("wing")
    members = {"wing": Members(surface, file.surfaces["wing"].parts, stock)}
    loads = {"pull-up": {"wing": load_of(surface, [(0.5, tip)])}}
    return work_out_bracing(file, airframe.surfaces, stock, members, loads)


BELOW = wire_part((210, 20, -120), (210, 300, 0))


def test_a_design_from_its_file_to_its_wires() -> None:
    found = worked_out(BELOW, tip=(0, 0, 5.0), joiner=True)
    assert found is not None
    assert found.roots == {"wing": "clamped"}
    assert found.notes == ()
    (wire,) = found.braces
    assert (wire.name, wire.worst_case) == ("lift wire", "pull-up")
    assert wire.worst_force > 0
    left = found.case("pull-up").loads["wing"]
    assert abs(left.bending[0]) < 2.5  # 5 N on 0.5 m without the wire


def test_halves_that_nothing_joins_hang_on_their_wires() -> None:
    found = worked_out(BELOW, tip=(0, 0, 5.0), joiner=False)
    assert found is not None
    assert found.roots == {"wing": "hinged"}
    assert "hinged" in found.notes[0]
    assert found.case("pull-up").loads["wing"].bending[0] == pytest.approx(0.0, abs=1e-5)


def test_where_they_would_fold_it_is_told() -> None:
    found = worked_out(BELOW, tip=(0, 0, -5.0), joiner=False)
    assert found is not None
    assert found.roots == {"wing": "clamped"}
    assert any("it would fold" in note for note in found.notes)


def test_a_preload_with_nothing_to_pull_against_is_told() -> None:
    """Hinged and held by one wire alone: the frame is determinate, so a screw only lifts it."""
    wing = plank()
    single = brace([wing], FOOT, at_span(0.3), preload=5.0)
    found = solved(wing, [single], (0, 0, 10.0), hinged=True)
    assert "nothing to pull against" in found.notes[0]
    assert found.case("pull-up").preload is None


def test_no_braces_no_bracing() -> None:
    assert worked_out(tip=(0, 0, 5.0), joiner=True) is None
