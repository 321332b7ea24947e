"""Flat parts of surfaces against plain geometry, shapely and numerical integration."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from scipy.integrate import quad  # type: ignore[import-untyped]
from shapely import LineString, Polygon

from plansgen.patterns.fit import prove
from plansgen.patterns.flat import FlatPart, PatternLine, faults, length
from plansgen.patterns.lightening import WEB
from plansgen.patterns.ribs import rib_blank
from plansgen.patterns.solid import SurfaceSolid
from plansgen.patterns.strips import CutPiece
from plansgen.patterns.surface_parts import SurfaceParts, surface_parts
from plansgen.patterns.wraps import wraps_of
from tests.designs import (
    EVERY_LAYOUT,
    Raw,
    airframe_of,
    file_of,
    glider,
    skin,
    stock,
)
from tests.random_designs import designs

FOLDED = {"kind": "folded sheet", "thickness": 5, "spar_height": 12, "spar_at": 0.3}
TRIANGLE = {
    "outline": [[0, 0], [0, 20], [20, 0]],
    "holes": [[[4, 4], [4, 6], [6, 6], [6, 4]]],
}
FINE = 1e-3
"""Outlines of sections are kept to a millionth of the chord. [mm]"""
PAPER = {"name": "paper", "kind": "film", "areal_density": 80, "thickness": 0.05}


def model(stations: list[Raw], parts: list[Raw], section: Any, **more: Any) -> Raw:
    raw = glider()
    raw["materials"]["paper"] = dict(PAPER)
    raw["surfaces"]["wing"] = {
        "role": "wing",
        "at": {"x": 150},
        "section": section,
        "stations": stations,
        "parts": parts,
        **more,
    }
    return raw


def made(raw: Raw) -> SurfaceParts:
    file = file_of(raw)
    return surface_parts(file, airframe_of(raw), stock(file))


def by_name(found: SurfaceParts, words: str) -> FlatPart:
    (part,) = [p for p in found.parts if words in p.name]
    return part


def stick(found: SurfaceParts, words: str) -> CutPiece:
    (piece,) = [c for c in found.cut_list if words in c.name]
    return piece


def labelled(part: FlatPart, words: str) -> list[PatternLine]:
    return [line for line in part.lines if words in line.label]


def level(chord: float = 210.0, span: float = 500.0) -> list[Raw]:
    return [{"span": 0, "chord": chord}, {"span": span, "chord": chord}]


# --- folded skins --------------------------------------------------------------------------------


def test_folded_skin_is_as_wide_as_its_outer_paper() -> None:
    """Plain geometry of the fold: two flats on top, a nose at 45°, one flat underneath."""
    found = made(model(level(), [skin("both skins")], FOLDED))
    part = by_name(found, "both skins")
    rear, front, nose, under = math.hypot(147, 17), math.hypot(63, 17), 5 * math.sqrt(2), 205.0
    west, south, east, north = part.bounds
    assert (north - south) * 1000 == pytest.approx(rear + front + nose + under, abs=FINE)
    # level and square at the centre: both halves are one piece
    assert (east - west) * 1000 == pytest.approx(1000.0)
    assert (part.count, part.mirrored, part.grain) == (1, 0, 0.0)
    folds = {
        line.label.split(":")[0]: line.points[0][1] for line in part.lines if ":" in line.label
    }
    assert (north - folds["spar line"]) * 1000 == pytest.approx(rear, abs=FINE)
    assert (north - folds["leading edge"]) * 1000 == pytest.approx(rear + front, abs=FINE)
    assert (folds["under the nose"] - south) * 1000 == pytest.approx(under, abs=FINE)
    kinds = {line.label.split(":")[0]: line.kind for line in part.lines}
    assert (kinds["spar line"], kinds["leading edge"]) == ("score", "fold up")
    (bevel,) = [line for line in part.lines if line.kind == "bevel"]
    assert bevel.points[0][1] * 1000 == pytest.approx(5 * 147 / 17, abs=FINE)


def test_joint_is_mitred() -> None:
    """At a bend of 10° a skin 22 mm up is 22·tan 5° shorter than one at the bottom."""
    rows = [
        {"span": 0, "chord": 210},
        {"span": 300, "chord": 210, "dihedral": 0},
        {"span": 500, "chord": 210, "dihedral": 10},
    ]
    found = made(model(rows, [skin("both skins")], FOLDED))
    inner, outer = (by_name(found, words) for words in ("centre piece", "300 to 500"))
    (spar,) = labelled(inner, "spar line")
    assert length(spar.points) * 500 == pytest.approx(300 - 22 * math.tan(math.radians(5)))
    assert "Bevel the outer end 5.0°" in inner.note
    assert (outer.count, outer.mirrored) == (1, 1)


def test_balance_is_marked_where_it_is() -> None:
    raw = model(level(), [skin("both skins")], FOLDED)
    raw["balance"] = {"target": {"root": 60}}
    part = by_name(made(raw), "both skins")
    marks = labelled(part, "balance 60 mm")
    under = min(line.points[0][1] for line in marks)
    (nose,) = labelled(part, "under the nose")
    assert (nose.points[0][1] - under) * 1000 == pytest.approx(
        55.0, abs=FINE
    )  # 60 less the 5 of the nose


# --- round skins ---------------------------------------------------------------------------------


def arc(digits: str, side: int) -> float:
    """Arc length of a four-digit section of chord 1 by quadrature, x = (1 - cos θ)/2.

    Formula: NACA Report 460.
    """
    m, p, t = int(digits[0]) / 100, int(digits[1]) / 10, int(digits[2:]) / 100
    sign = -1 if side else 1

    def place(theta: float) -> np.ndarray:
        x = (1 - math.cos(theta)) / 2
        half = (
            5
            * t
            * (0.2969 * math.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)
        )
        k = m / p**2 if x < p else m / (1 - p) ** 2
        z = k * (2 * p * x - x**2) if x < p else k * (1 - 2 * p + 2 * p * x - x**2)
        slope = math.atan(2 * k * (p - x))
        return np.array([x - sign * half * math.sin(slope), z + sign * half * math.cos(slope)])

    step = 1e-6

    def speed(theta: float) -> float:
        return float(np.linalg.norm(place(theta + step) - place(theta - step)) / (2 * step))

    middle = math.acos(1 - 2 * p)
    return sum(
        float(quad(speed, a, b, epsabs=1e-9)[0])
        for a, b in ((step, middle), (middle, math.pi - step))
    )


def test_skin_over_a_naca_section_has_its_arc_length() -> None:
    found = made(model(level(200.0), [skin("both skins", material="paper")], "NACA 2412"))
    part = by_name(found, "both skins")
    _, south, _, north = part.bounds
    exact = 200 * (arc("2412", 0) + arc("2412", 1))
    # set in by half of 0.05 mm all round half a turn and a bit: 0.1 mm shorter at most
    assert (north - south) * 1000 == pytest.approx(exact, abs=0.12)
    assert labelled(part, "leading edge")


def test_top_and_short_bottom_of_one_sheet_are_one_piece() -> None:
    parts = [
        skin("top skin"),
        skin("bottom skin", over={"from": 0, "to": 0.3}),
        skin("bottom skin", name="film", material="paper", over={"from": 0.3, "to": 1}),
    ]
    found = made(model(level(200.0), parts, "NACA 4412"))
    assert {p.name for p in found.parts if p.key.startswith("wing")} == {
        "top skin of board and bottom skin of board",
        "film",
    }
    assert any("joint at 30 % of the chord" in seam.name for seam in found.seams)


def test_straight_stations_are_no_joint() -> None:
    rows = [{"span": s, "x": s / 100, "chord": 200 - s / 10} for s in (0, 200, 400)]
    found = made(model(rows, [skin("top skin")], "NACA 2412"))
    assert sum(p.key.startswith("wing") for p in found.parts) == 1


# --- ribs ----------------------------------------------------------------------------------------


def ribbed(share: float = 0.6, **more: Any) -> Raw:
    parts = [
        skin("both skins", material="thin"),
        {
            "name": "spar",
            "material": "pine",
            "run": {"from": 0, "to": 500, "at": 0.3},
            "size": {"width": 6, "height": 12},
            "lies": "top",
        },
        {
            "name": "ribs",
            "material": "board",
            "ribs": {"at": [0, 250, 500], "names": ["R1", "R2", "R3"]},
            "grain": "across",
            "share": share,
            **more,
        },
    ]
    raw = model(level(300.0), parts, "NACA 2415")
    raw["materials"]["thin"] = {
        "name": "thin",
        "kind": "sheet",
        "areal_density": 300,
        "thickness": 1,
        "like": "birch-ply-0.8mm",
    }
    raw["materials"]["pine"]["like"] = "pine"
    return raw


def test_rib_is_the_section_inside_its_skins() -> None:
    """Shapely's own inward offset of the section is the check."""
    raw = ribbed()
    file = file_of(raw)
    solid = SurfaceSolid(airframe_of(raw).surface("wing"), file.surfaces["wing"])
    wraps = wraps_of(file.surfaces["wing"].parts, stock(file), solid)
    blank = rib_blank(solid, 0.25, wraps)
    upper, lower = (solid.flat_section(0.25, side) for side in ("upper", "lower"))
    section = Polygon(np.vstack([upper[::-1], lower[1:]]))
    inside = section.buffer(-0.001)
    assert blank.area == pytest.approx(inside.area, rel=2e-3)
    assert blank.symmetric_difference(inside).area < 4e-6


def test_rib_has_slots_holes_and_flutes() -> None:
    found = made(ribbed())
    rib = by_name(found, "R2")
    assert (rib.count, rib.grain) == (2, math.pi / 2)
    slot = next(slot for slot in found.slots if slot.part == rib.key)
    assert slot.slot == pytest.approx(0.0062, abs=1e-6)
    assert slot.height == pytest.approx(0.0121, abs=2e-4)
    assert rib.holes
    outer = Polygon(rib.outline)
    for hole in rib.holes:
        assert outer.exterior.distance(Polygon(hole)) >= WEB - 5e-5
    for n, hole in enumerate(rib.holes):
        for other in rib.holes[n + 1 :]:
            assert Polygon(hole).distance(Polygon(other)) >= WEB - 5e-5
    # NACA 2415: enclosed area of the section by the shoelace formula on the airframe's outline
    enclosed = airframe_of(ribbed()).surface("wing").stations[0].enclosed * 0.3**2
    assert rib.area == pytest.approx(0.6 * enclosed, rel=0.01)


def test_more_is_never_cut_out_than_webs_allow() -> None:
    rib = by_name(made(ribbed(share=0.1)), "R2")
    outer = Polygon(rib.outline)
    assert min(outer.exterior.distance(Polygon(hole)) for hole in rib.holes) >= WEB - 5e-5


def test_rib_under_the_skin_is_as_long_as_the_line_on_it() -> None:
    seams = [seam for seam in made(ribbed()).seams if "R2 inside" in seam.name]
    assert len(seams) == 2
    assert all(abs(seam.gap) < 2e-4 for seam in seams)


def test_spar_too_high_for_the_rib_parts_it() -> None:
    raw = ribbed()
    raw["surfaces"]["wing"]["parts"][1] |= {"size": {"width": 6, "height": 43}, "lies": "between"}
    names = {p.name for p in made(raw).parts if p.name.startswith("R")}
    assert names == {"R1 nose", "R1 tail", "R2 nose", "R2 tail", "R3 nose", "R3 tail"}


# --- plates --------------------------------------------------------------------------------------


def test_plate_gives_up_its_control() -> None:
    raw = glider()
    raw["surfaces"]["tailplane"]["stations"] = [
        {"y": 0, "chord": 120},
        {"y": 180, "x": 14, "chord": 100},
    ]
    raw["surfaces"]["tailplane"]["controls"] = {
        "elevator": {"kind": "elevator", "from": 0, "to": 180, "chord": 0.3}
    }
    found = made(raw)
    (fixed,) = [p for p in found.parts if p.key == "tailplane-plate-of-board"]
    moving = by_name(found, "elevator")
    assert (fixed.mirrored, moving.mirrored) == (0, 0)
    # planform 2 × 180 × 110 mm²; the elevator is 30 % of it, less the gaps of 0.5 and 1 mm
    assert fixed.area * 1e6 == pytest.approx(0.7 * 39600, rel=1e-6)
    assert moving.area * 1e6 == pytest.approx(0.3 * 39600 - 0.5 * 360 - 2 * 30, rel=2e-3)
    assert [line.kind for line in moving.lines] == ["hinge", "bevel"]
    (hinge,) = [seam for seam in found.seams if seam.kind == "hinge"]
    assert abs(hinge.gap) < 1e-9


def test_swept_hinge_cannot_cross_the_centre() -> None:
    raw = glider()
    raw["surfaces"]["tailplane"]["controls"] = {
        "elevator": {"kind": "elevator", "from": 0, "to": 170, "chord": 0.3}
    }
    moving = by_name(made(raw), "elevator")
    assert (moving.count, moving.mirrored) == (1, 1)


# --- strips and the cut list ---------------------------------------------------------------------


def test_brace_has_its_joint_in_it() -> None:
    rows = [
        {"span": 0, "chord": 200},
        {"span": 250, "chord": 200, "dihedral": 2},
        {"span": 500, "chord": 200, "dihedral": 11},
    ]
    brace = {
        "name": "brace",
        "material": "board",
        "run": {"from": 200, "to": 300},
        "size": {"width": 5, "height": 12},
        "lies": "between",
        "joins": 250,
    }
    centre = {**brace, "name": "middle", "run": {"from": 0, "to": 60}, "joins": 0}
    web = {**brace, "name": "web", "run": {"from": 100, "to": 400}}
    del web["joins"]
    tapered = {"size_out": {"width": 5, "height": 6}}
    found = made(model(rows, [brace, centre, web | tapered], "NACA 2412"))
    bent = by_name(found, "brace")
    assert "9.0°" in bent.note
    assert bent.polygon.area == pytest.approx(0.1 * 0.012, rel=1e-9)
    assert (bent.count, bent.mirrored) == (1, 1)
    middle = by_name(found, "middle")
    assert "4.0°" in middle.note
    assert middle.area == pytest.approx(0.12 * 0.012)
    assert (middle.count, middle.mirrored) == (1, 0)
    inner, outer = (by_name(found, f"web, {s}") for s in ("100 to 250", "250 to 400"))
    assert inner.area == pytest.approx(0.15 * (0.012 + 0.009) / 2)
    assert outer.area == pytest.approx(0.15 * (0.009 + 0.006) / 2)


def test_cut_list_gives_true_lengths() -> None:
    rows = [{"y": 0, "z": 0, "chord": 200}, {"y": 400, "z": 60, "x": 80, "chord": 200}]
    run = {"from": 0, "to": 404.4749}
    parts: list[Raw] = [
        {"name": "spar", "material": "pine", "run": run, "size": {"width": 5, "height": 5}},
        {"name": "post", "material": "pine", "length": 40, "at": {"x": 0}, "size": {"diameter": 4}},
        {"name": "gusset", "material": "board", "area": 300, "at": {"x": 0}},
        {"name": "tray", "material": "board", "plate": {"length": 60, "width": 40}, "at": {"x": 0}},
        {"name": "horn", "material": "board", "at": {"x": 0}} | TRIANGLE,
    ]
    found = made(model(rows, parts, "NACA 2412"))
    spar = stick(found, "spar")
    # Pythagoras: 400 out, 60 up, 80 back
    assert spar.length * 1000 == pytest.approx(math.sqrt(400**2 + 60**2 + 80**2), abs=0.01)
    assert (spar.count, spar.size) == (2, "5 × 5")
    assert stick(found, "post").length == pytest.approx(0.04)
    assert [item.name for item in found.not_drawn] == ["gusset"]
    assert by_name(found, "tray").area == pytest.approx(0.0024)
    horn = by_name(found, "horn")
    assert (horn.count, horn.mirrored) == (1, 1)
    assert Polygon(horn.outline).exterior.is_ccw
    assert horn.area * 1e6 == pytest.approx(200 - 4)


# --- everything ----------------------------------------------------------------------------------


@pytest.mark.parametrize("make", EVERY_LAYOUT, ids=str)
def test_every_layout_gives_parts_that_can_be_cut(make: Any) -> None:
    raw = EVERY_LAYOUT[make]() if isinstance(EVERY_LAYOUT, dict) else make()
    found = made(raw)
    assert found.parts
    assert [fault for part in found.parts for fault in faults(part)] == []
    keys = [p.key for p in found.parts] + [c.key for c in found.cut_list]
    assert len(keys) == len(set(keys))
    for part in found.parts:
        room = part.polygon.buffer(0.02)
        assert all(shapely.covers(room, LineString(line.points)) for line in part.lines)
    assert {edge.part for seam in found.seams for edge in (seam.a, seam.b)} <= set(keys)
    assert made(raw) == found


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(designs())
def test_any_sensible_design_gives_parts_that_can_be_cut(raw: Raw) -> None:
    found = made(raw)
    assert [fault for part in found.parts for fault in faults(part)] == []
    fit = prove(found.parts, seams=found.seams, refolds=found.refolds, slots=found.slots)
    joints = [one for one in fit.seams if "joint at" in one.seam.name]
    assert all(one.holds for one in joints)  # both sides of a mitre end on one curve


def test_names_that_repeat_are_numbered() -> None:
    parts = [
        {
            "name": "stick",
            "material": "pine",
            "run": {"from": a, "to": a + 50},
            "size": {"width": 5, "height": 5},
        }
        for a in (0, 100)
    ]
    found = made(model(level(), parts, FOLDED))
    assert [c.name for c in found.cut_list][:2] == ["stick", "stick (2)"]


def test_a_pointed_tip_is_drawn() -> None:
    rows = [{"span": 0, "chord": 200}, {"span": 400, "x": 60, "chord": 0, "washout": 2}]
    for section in (FOLDED, "NACA 2412"):
        found = made(model(rows, [skin("both skins")], section))
        assert [fault for part in found.parts for fault in faults(part)] == []
