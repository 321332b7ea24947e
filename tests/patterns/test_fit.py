"""The fit report: it holds where parts fit, and says what does not and by how much."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plansgen.airframe.build import build_airframe
from plansgen.library.folder import read_design
from plansgen.patterns.develop import Array, develop
from plansgen.patterns.fit import Fit, prove, slot_holds, words_of
from plansgen.patterns.flat import FlatPart
from plansgen.patterns.refold import folded_back, laid_on
from plansgen.patterns.seams import EdgeRef, Refold, Seam, SlotFit
from plansgen.patterns.stock import StockSheet
from plansgen.patterns.surface_parts import SurfaceParts, surface_parts

LIBRARY = Path(__file__).resolve().parents[2]


def parts_of(slug: str) -> SurfaceParts:
    design = read_design(LIBRARY, slug)
    airframe = build_airframe(design.file, design.section_points)
    return surface_parts(design.file, airframe, design.materials)


def fit_of(found: SurfaceParts) -> Fit:
    return prove(found.parts, seams=found.seams, refolds=found.refolds, slots=found.slots)


@pytest.mark.parametrize("slug", ["dunlin", "shelduck", "turnstone", "whimbrel"])
def test_demo_surfaces_fit(slug: str) -> None:
    found = parts_of(slug)
    fit = fit_of(found)
    assert words_of(fit)[-1].startswith(f"{len(fit.seams)} of {len(fit.seams)} seams agree")
    assert fit.holds, words_of(fit)
    assert all(one.off < 0.0005 for one in fit.refolds)


# --- what does not fit is told -------------------------------------------------------------------


def square(side: float = 0.1, key: str = "square") -> FlatPart:
    corners = ((0.0, 0.0), (side, 0.0), (side, side), (0.0, side))
    return FlatPart(key, key, "board", 0.005, corners)


def edge(length: float, part: str = "square", allowance: float = 0.0) -> EdgeRef:
    return EdgeRef(part, f"edge of {part}", ((0.0, 0.0), (length, 0.0)), allowance)


def report(**more: object) -> Fit:
    given: dict[str, object] = {"seams": (), "refolds": (), "slots": (), **more}
    return prove([square()], **given)  # type: ignore[arg-type]


def test_seam_that_gapes() -> None:
    fit = report(seams=[Seam("joint", edge(0.1), edge(0.1003), "butt")])
    assert not fit.holds
    assert "0.30 mm shorter" in words_of(fit)[0]
    assert report(seams=[Seam("joint", edge(0.1), edge(0.10019), "butt")]).holds


def test_thickness_is_part_of_a_seam() -> None:
    assert report(seams=[Seam("joint", edge(0.1), edge(0.103, allowance=-0.003), "butt")]).holds


def test_hand_work_is_listed_and_no_fault() -> None:
    seam = Seam("lip", edge(0.1), edge(0.12), "butt", by_hand="sanded to fit")
    fit = report(seams=[seam])
    assert fit.holds
    assert fit.by_hand == (seam,)
    assert "sanded to fit" in words_of(fit)[0]


@pytest.mark.parametrize(
    ("width", "height", "holds"),
    [
        (0.0032, 0.012, True),
        (0.0030, 0.012, True),
        (0.0029, 0.012, False),
        (0.0040, 0.012, False),
        (0.0032, 0.0115, False),
    ],
)
def test_slots(width: float, height: float, holds: bool) -> None:
    slot = SlotFit("rib", "web", width, 0.003, height, 0.012)
    assert slot_holds(slot) == holds
    assert report(slots=[slot]).holds == holds


def test_part_larger_than_its_stock() -> None:
    sheet = StockSheet("sheet", "board", 0.3, 0.09, grain="width")
    fit = report(stocks=[sheet])
    assert not fit.holds
    assert "100.0 × 100.0 mm; the largest sheet is 300 × 90 mm" in fit.no_stock[0]
    assert report(stocks=[replace(sheet, height=0.1)]).holds
    assert not report(stocks=[replace(sheet, height=0.1)], margin=0.001).holds
    assert report(stocks=[replace(sheet, material="other")]).holds  # not judged without stock


def test_grain_can_keep_a_part_off_its_stock() -> None:
    long = replace(square(), outline=((0, 0), (0.2, 0), (0.2, 0.05), (0, 0.05)), grain=0.0)
    sheet = StockSheet("sheet", "board", 0.1, 0.3, grain="width")

    def fits(grain: float | None) -> bool:
        part = replace(long, grain=grain)
        return prove([part], seams=(), refolds=(), slots=(), stocks=[sheet]).holds

    assert not fits(0.0)
    assert fits(math.pi / 2)
    assert fits(None)


def test_part_that_does_not_come_back() -> None:
    assert not report(refolds=[Refold("skin", 0.0006)]).holds
    assert not report(refolds=[Refold("skin", 0.0, stretch=0.01)]).holds
    fit = report(refolds=[Refold("skin", 0.0, twist=0.002)])
    assert fit.holds
    assert "twisted by hand by 2.0 mm" in words_of(fit)[0]


def test_outline_that_cannot_be_cut() -> None:
    bow = replace(square(), outline=((0, 0), (0.1, 0.1), (0.1, 0), (0, 0.1)))
    fit = prove([bow], seams=(), refolds=(), slots=())
    assert not fit.holds
    assert "crosses" in words_of(fit)[0]


# --- folding back --------------------------------------------------------------------------------


def gutter(rise: float = 0.0) -> tuple[Array, Array]:
    """Three faces of a box, folded at right angles; the far corner raised."""
    near = np.array([[0, 0, 0], [30, 0, 0], [30, 0, 20], [10, 0, 20]], dtype=float)
    far = near + np.array([0.0, 100.0, 0.0])
    far[-1] += [0.0, 0.0, rise]
    return near, far


def test_flat_faces_fold_back_exactly() -> None:
    assert folded_back(develop(*gutter())) < 1e-9


def test_twist_is_what_is_left() -> None:
    assert folded_back(develop(*gutter(rise=4.0))) > 0.5


def test_wrong_flat_part_does_not_fold_back() -> None:
    good = develop(*gutter())
    flat = good.flat_far.copy()
    flat[-1] += [1.0, 0.0]
    assert folded_back(replace(good, flat_far=flat)) > 0.4


def test_a_cone_rolls_up() -> None:
    turn = np.linspace(0.0, 2 * math.pi, 91)
    ring = np.column_stack([np.cos(turn), np.sin(turn), 0 * turn])
    near, far = 30.0 * ring + [0.0, 0.0, 100.0], 50.0 * ring
    assert folded_back(develop(near, far)) < 1e-6


def test_moved_and_turned_points_lie_on_each_other() -> None:
    points = np.array([[0, 0, 0], [1, 0, 0], [0, 2, 0], [0, 0, 3]], dtype=float)
    turned = points[:, [1, 2, 0]] + [5.0, 6.0, 7.0]  # a cyclic swap of axes is a rotation
    assert laid_on(points, turned) < 1e-12
    assert laid_on(points, points * [1.0, 1.0, -1.0]) > 0.1  # and a mirror image is none


@pytest.mark.parametrize(("longer", "slight"), [(0.0003, True), (0.0007, True), (0.0009, False)])
def test_a_little_out_gives_way_under_the_hand(longer: float, slight: bool) -> None:
    """Four times the limit of 0.2 mm (estimate)."""
    fit = report(seams=[Seam("joint", edge(0.1), edge(0.1 + longer), "butt")])
    assert not fit.holds
    assert fit.slight is slight
