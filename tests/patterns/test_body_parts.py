"""Bodies taken apart: sizes by hand, areas by the airframe's own integrals, and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from shapely import LineString, Point

from plansgen.airframe.build import build_airframe
from plansgen.airframe.inside import Walls, parallel, pieces
from plansgen.library.folder import read_design
from plansgen.patterns.bent_wire import bent_wire
from plansgen.patterns.body_parts import body_parts
from plansgen.patterns.body_seams import panel_refold, panel_seams
from plansgen.patterns.fit import prove
from plansgen.patterns.flat import faults
from plansgen.patterns.iso import isometric, solid_faces
from plansgen.patterns.stock import sheets_of
from plansgen.patterns.unrolled import Unrolled
from tests.designs import file_of, glider
from tests.patterns.boxes import THICK, Row, boxed, cover, cut, fit_of, former, panel, size

PLAIN: tuple[Row, ...] = ((0, 60, 50, 0), (300, 60, 50, 0))
TAPERED: tuple[Row, ...] = ((0, 40, 40, 0), (100, 80, 90, -5), (300, 80, 90, -5), (700, 30, 30, 20))
STEPPED: tuple[Row, ...] = (
    (0, 60, 60, 30),
    (200, 80, 60, 30),
    (201, 80, 50, 35),
    (500, 40, 30, 50),
)
HOME = Path(__file__).resolve().parents[2]


def test_plain_box_by_hand() -> None:
    """300 × 60 × 50 outside of 5 mm board: the rule for boxes, subtracted by hand."""
    parts = boxed(PLAIN)
    assert size(panel(parts, "starboard")) == pytest.approx((290, 45))  # less both ends, bottom
    assert size(panel(parts, "bottom")) == pytest.approx((290, 60))
    assert size(panel(parts, "top")) == pytest.approx((290, 50))  # between the sides
    assert size(panel(parts, "front")) == pytest.approx((60, 50))
    assert size(panel(parts, "rear")) == pytest.approx((60, 50))
    assert [(p.count, p.mirrored) for p in parts.parts] == [(1, 1), *[(1, 0)] * 4]
    assert fit_of(parts).holds


def test_faces_that_are_not_there_take_no_room() -> None:
    parts = boxed(PLAIN, faces=["sides"])
    assert size(panel(parts, "starboard")) == pytest.approx((300, 50))


def test_areas_are_those_of_the_outside() -> None:
    """A panel as wide as the outside has the area that the airframe integrates exactly."""
    parts = boxed(TAPERED, faces=["bottom"])
    assert panel(parts, "bottom").part.area == pytest.approx(
        panel(parts, "bottom").body.faces.bottom, rel=1e-12
    )
    parts = boxed(TAPERED, faces=["sides"])
    both = 2 * panel(parts, "starboard").part.area
    assert both == pytest.approx(panel(parts, "starboard").body.faces.sides, rel=1e-12)


def test_slant_length_by_pythagoras() -> None:
    parts = boxed(((0, 60, 60, 0), (120, 160, 60, 0)), faces=["sides"])
    assert size(panel(parts, "starboard"))[0] == pytest.approx(math.hypot(120, 50))


def test_bend_that_opens_outwards_gains_length() -> None:
    """The inner face stays whole and is 2 t tan(angle/2) longer (geometry of a mitre)."""
    chain = ((0.0, 0.0), (0.1, 0.0), (0.1 + 0.1 * math.cos(0.3), 0.1 * math.sin(0.3)))
    outwards = Unrolled(chain, thickness=THICK, outward=1.0)
    inwards = Unrolled(chain, thickness=THICK, outward=-1.0)
    assert inwards.length == pytest.approx(0.2, abs=1e-12)
    assert outwards.length - inwards.length == pytest.approx(2 * THICK * math.tan(0.15))
    assert [b.angle for b in outwards.bends] == [pytest.approx(-0.3)]


def test_parallel_line_is_as_far_everywhere() -> None:
    """Every point of it is the distance away from the line it follows (shapely)."""
    chain = ((0.0, 0.0), (0.05, 0.02), (0.1, 0.0), (0.101, 0.0), (0.2, -0.06), (0.3, 0.0))
    longer = LineString([(-0.1, -0.04), *chain, (0.4, 0.06)])
    for by in (0.004, -0.004):
        found = parallel(chain, by)
        away = [longer.distance(Point(*p)) for p in found]
        assert max(abs(a - 0.004) for a in away[1:-1]) < 3e-3  # mitres stand further out
        middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairwise(found)]
        off = [abs(longer.distance(Point(*m)) - 0.004) for m in middles]
        assert max(off) < 1e-4


def test_layers_inside_each_other() -> None:
    doubler = cover("sides", name="doubler", share=0.6)
    parts = boxed(PLAIN, doubler)
    inside = panel(parts, "starboard", 1)
    assert size(inside) == pytest.approx((290, 40))  # under the top, on the bottom
    assert size(panel(parts, "top")) == pytest.approx((290, 40))  # both layers are beside it
    assert "60 %" in inside.part.note
    assert fit_of(parts).holds


def test_step_parts_the_bottom_and_notches_the_sides() -> None:
    parts = boxed(STEPPED, faces=["sides", "bottom", "top"])
    fore, aft = panel(parts, "bottom"), panel(parts, "bottom", 1)
    assert [fore.part.name, aft.part.name] == [
        "bottom, piece 1 of 2",
        "bottom, piece 2 of 2",
    ]
    assert fore.end == aft.start == pytest.approx(0.201)
    strip = panel(parts, "step")
    wide, high = size(strip)
    assert wide == pytest.approx(70, abs=0.1)  # between the sides
    assert high == pytest.approx(10, abs=0.2)  # as high as the step, its upper sheet slants
    assert len([p for p in parts.panels if p.face == "starboard"]) == 1
    jump = [
        abs(a[1] - b[1])
        for a, b in zip(
            panel(parts, "starboard").part.outline,
            panel(parts, "starboard").part.outline[1:],
            strict=False,
        )
        if abs(a[0] - b[0]) < 1e-6
    ]
    assert max(jump[:-1] or jump) == pytest.approx(0.010, abs=2e-4)
    assert fit_of(parts).holds


def test_frames_close_together_make_no_step_where_nothing_jumps() -> None:
    chain = ((0.0, 0.03), (0.1, 0.04), (0.101, 0.04), (0.2, 0.02))
    assert pieces(chain) == (chain,)
    assert len(pieces(((0.0, 0.03), (0.1, 0.04), (0.101, 0.03), (0.2, 0.02)))) == 2


def test_panels_longer_than_their_sheet_are_joined() -> None:
    """A body of 1.2 m from sheets of 800 × 500: two pieces a face, room for straps."""
    raw = glider()
    rows = ((0, 60, 60, 0), (590, 80, 80, 0), (1200, 30, 30, 0))
    frames = [{"x": x, "width": w, "height": h, "z": z} for x, w, h, z in rows]
    parts = [*(cover(face) for face in ("sides", "bottom", "top")), former(600)]
    raw["bodies"] = {"box": {"role": "fuselage", "stations": frames, "parts": parts}}
    raw["stock"] = [{"name": "sheet", "material": "board", "width": 800, "height": 500}]
    file = file_of(raw)
    materials = dict(file.materials)
    found = body_parts(file, build_airframe(file, {}), materials)
    for face in ("starboard", "bottom", "top"):
        fore, aft = (p for p in found.panels if p.face == face)
        assert fore.end == aft.start
        assert abs(fore.end - 0.590) > 0.0499  # clear of the bend
        assert abs(fore.end - 0.600) > 0.0499  # and of the former
        assert f"at {fore.end * 1000:.0f}: glue a strap" in fore.part.note
    cuts = sorted({p.end for p in found.panels} - {1.2})
    assert min(b - a for a, b in pairwise(cuts)) > 0.0499  # joints are not all at one place
    stocks = sheets_of(file, materials)
    fit = prove(
        found.parts,
        seams=found.seams,
        refolds=found.refolds,
        slots=found.slots,
        stocks=stocks,
        margin=0.005,
    )
    assert fit.holds
    assert len([s for s in fit.seams if s.seam.kind == "butt"]) == 3


def test_bends_and_bevels_are_labelled() -> None:
    words = [line.label for line in panel(boxed(TAPERED), "bottom").part.lines]
    # atan(30/100) and atan(50/400) down the slopes of the bottom, by hand.
    assert "fold up 16.7° at 100 mm" in words
    assert "fold up 8.5° at 300 mm" not in words
    assert any(w.startswith("bevel 17° off square, to lie against the front") for w in words)
    kinds = {line.kind for line in panel(boxed(TAPERED), "bottom").part.lines}
    assert kinds == {"score", "bevel"}


@pytest.mark.parametrize("seed", range(12))
def test_any_box_folds_back_and_meets_itself(seed: int) -> None:
    """Random boxes, convex and hollow: 0.2 mm a seam and 0.5 mm a part are the limits to hold."""
    rng = np.random.default_rng(seed)
    xs = np.cumsum(np.r_[0, rng.uniform(60, 250, 4)])
    rows = [(float(x), *(float(v) for v in rng.uniform((40, 50, -8), (90, 100, 8)))) for x in xs]
    parts = boxed(rows, {"name": "f", "material": "board", "formers": {"at": [30, float(xs[2])]}})
    fit = fit_of(parts)
    assert not fit.uncuttable
    assert not [s for s in fit.open_seams if not s.seam.name.startswith("f ")]
    assert max(r.off for r in fit.refolds if not r.part.startswith("box-f")) < 1e-6


def test_the_proofs_can_fail() -> None:
    """A panel cut 1 mm too long, and one folded by the wrong angle, are found out."""
    parts = boxed(TAPERED)
    bottom = panel(parts, "bottom")
    walls = Walls(THICK, THICK, THICK, THICK, THICK)
    longer = tuple((x * 1.002, y) for x, y in bottom.edges["upper"])
    wrong = replace(bottom, edges={**bottom.edges, "upper": longer})
    others = [p for p in parts.panels if p is not bottom]
    assert max(abs(s.gap) for s in panel_seams([*others, wrong], walls)) > 1e-3
    bends = tuple((s, room, angle * 1.1) for s, room, angle in bottom.pose.bends)
    bent = replace(bottom, pose=replace(bottom.pose, bends=bends))
    assert panel_refold(bottom, walls).off < 1e-6
    assert panel_refold(bent, walls).off > 1e-3


def test_film_and_bare_areas_are_listed_not_drawn() -> None:
    raw = glider()
    raw["materials"]["film"] = {"name": "film", "kind": "film", "areal_density": 50}
    loose = {"name": "hatch lip", "material": "board", "area": 500, "at": {"x": 20}}
    body = {
        "role": "fuselage",
        "stations": [{"x": 0, "width": 50, "height": 50}, {"x": 200, "width": 50, "height": 50}],
        "parts": [cover("all", name="wrap", material="film"), loose],
    }
    raw["bodies"] = {"box": body}
    file = file_of(raw)
    materials = {**file.materials}
    found = body_parts(file, build_airframe(file, {}), materials)
    assert [one.name for one in found.not_drawn] == ["wrap", "hatch lip"]
    assert found.parts == ()


def test_a_pair_of_bodies_is_cut_twice() -> None:
    parts = boxed(PLAIN, at={"x": 0, "y": 200}, mirror=True)
    assert [(p.count, p.mirrored) for p in parts.parts] == [(2, 2), *[(1, 1)] * 4]
    assert fit_of(parts).holds


def test_sticks_along_a_body_are_listed() -> None:
    run = {"name": "rail", "material": "pine", "run": {"from": 20, "to": 280, "y": 10}}
    (piece,) = boxed(PLAIN, {**run, "size": {"width": 6, "height": 4}}, faces=["top"]).cut_list
    assert (piece.length, piece.count, piece.size) == (pytest.approx(0.26), 1, "6 × 4")


# --- round bodies ------------------------------------------------------------------------------


def test_frustum_unrolls_to_the_sector_of_a_ring() -> None:
    """Radii R and r, slant l: the sector's angle is 2π (R - r)/l, its area π (R + r) l.

    Source: any text of solid geometry. The sheet keeps its length on its middle, so both radii are
    half a thickness less.
    """
    parts = cut(((0, 60, 60, 0), (200, 100, 100, 0)), [cover("all")], shape="round")
    ring = next(p for p in parts.parts if "bay 1" in p.name)
    wide, narrow = 0.050 - THICK / 2, 0.030 - THICK / 2
    slant = math.hypot(0.200, wide - narrow)
    assert ring.area == pytest.approx(math.pi * (wide + narrow) * slant, rel=2e-4)
    assert "without stretch" in ring.note
    assert fit_of(parts).holds
    assert [p.name for p in parts.parts][1:] == ["all, front", "all, rear"]


def test_a_ring_that_is_no_cone_is_cut_into_petals_and_tells_its_stretch() -> None:
    parts = cut(((0, 30, 90, 0), (60, 100, 40, 15)), [cover("sides")], shape="round")
    assert len(parts.parts) in (4, 8, 12)
    assert all("petals round the body. It must give by" in p.note for p in parts.parts)
    stretch = max(r.stretch for r in parts.refolds)
    assert stretch > 1e-4
    assert not [words for p in parts.parts for words in faults(p)]


# --- bent wire ---------------------------------------------------------------------------------


def test_wire_bent_square_by_hand() -> None:
    """Two corners of 90° round R = 5 mm on the middle: each saves 2 R - π R/2."""
    wire = bent_wire(((0, 0, 0), (0.1, 0, 0), (0.1, 0.08, 0), (0.2, 0.08, 0)), diameter=0.002)
    middle = 2 * 0.002 + 0.001
    saved = 2 * middle - math.pi / 2 * middle
    assert wire.length == pytest.approx(0.28 - 2 * saved)
    assert [b.angle for b in wire.bends] == [pytest.approx(math.pi / 2)] * 2
    assert wire.bends[0].at == pytest.approx(0.1 - saved / 2)
    assert wire.bends[1].at == pytest.approx(wire.length - wire.bends[0].at)
    assert wire.words == "bend 90.0° at 99 mm, 90.0° at 177 mm; inside radius 4.0"


def test_straight_wire_has_no_bend() -> None:
    wire = bent_wire(((0, 0, 0), (0, 0.05, 0), (0, 0.09, 0)), diameter=0.002)
    assert (wire.length, wire.words) == (pytest.approx(0.09), "")


def test_bends_too_near_each_other() -> None:
    with pytest.raises(ValueError, match="too near to each other"):
        bent_wire(((0, 0, 0), (0.05, 0, 0), (0.05, 0.004, 0), (0.1, 0.004, 0)), diameter=0.002)


# --- drawing of the whole ------------------------------------------------------------------------


def test_isometric_keeps_lengths_along_the_axes() -> None:
    """All three axes are drawn to one scale (ISO 5456-3, from memory), here full."""
    faces = isometric(solid_faces(boxed(PLAIN)))
    front = next(face for face in faces if face.name == "front")
    sides = sorted(
        math.dist(a, b)
        for a, b in zip(front.outline, front.outline[1:] + front.outline[:1], strict=True)
    )
    assert sides == [pytest.approx(v) for v in (0.05, 0.05, 0.06, 0.06)]
    assert len([face for face in faces if face.name == "sides"]) == 2


def test_isometric_draws_what_is_near_last() -> None:
    names = [face.name for face in isometric(solid_faces(boxed(PLAIN)))]
    assert set(names[:3]) == {"rear", "bottom", "sides"}
    assert set(names[-3:]) == {"front", "top", "sides"}


def test_pulled_apart_along_the_normals() -> None:
    parts = boxed(PLAIN, faces=["top"])
    (near,), (apart,) = isometric(solid_faces(parts)), isometric(solid_faces(parts), explode=0.1)
    moves = {
        (round(x1 - x0, 9), round(y1 - y0, 9))
        for (x0, y0), (x1, y1) in zip(near.outline, apart.outline, strict=True)
    }
    assert moves == {(0.0, 0.1)}  # up is drawn upwards, full


# --- the demo designs ------------------------------------------------------------------------


@pytest.mark.parametrize("slug", ["dunlin", "shelduck", "turnstone", "whimbrel"])
def test_demo_bodies_fit(slug: str) -> None:
    design = read_design(HOME, slug)
    airframe = build_airframe(design.file, design.section_points)
    found = body_parts(design.file, airframe, design.materials)
    again = body_parts(design.file, airframe, design.materials)
    assert found.parts == again.parts
    fit = prove(found.parts, seams=found.seams, refolds=found.refolds, slots=found.slots)
    assert fit.holds
    assert len(fit.seams) >= 4
    keys = [p.key for p in found.parts]
    assert len(keys) == len(set(keys))
