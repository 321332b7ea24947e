"""Buckling: closed forms with numbers worked by hand."""

from __future__ import annotations

import math

import pytest

from plansgen.structure.buckling import (
    column_load,
    face_limit,
    flute_pitch,
    liner_stress,
    plate_load,
    wrinkling_stress,
)
from plansgen.structure.elastic import Ply, Sheet
from plansgen.structure.section import Cut, Plate, Wall, stresses
from tests.structure.strips import cut, solid, strip


def test_euler() -> None:
    """E 10 GPa, 10 × 2, 300 long: flat 7.311 N, on edge 182.77 N; one end free 1.828 N."""
    assert column_load(bending=10e9 * 6.66667e-12, length=0.3) == pytest.approx(7.311, abs=1e-3)
    assert column_load(bending=10e9 * 166.667e-12, length=0.3) == pytest.approx(182.77, abs=0.01)
    assert column_load(bending=10e9 * 6.66667e-12, length=0.3, ends=2) == pytest.approx(
        1.828, abs=1e-3
    )


def test_wrinkling() -> None:
    """0.5 (3000 · 10 · 4)^⅓ MPa = 24.66 MPa: Hoff & Mautner's formula, from memory."""
    assert wrinkling_stress(solid(3e9), solid(10e6, 4e6)) == pytest.approx(24.66e6, rel=1e-3)


def test_plate() -> None:
    """4 π² D/b² over t is 3.62 E (t/b)² for ν = 0.3: Timoshenko & Gere, from memory."""
    stiffness = 1e9 * 0.001**3 / 12 / 0.91
    load = plate_load(stiffness=stiffness, bay=0.05)
    assert load / 0.001 == pytest.approx(3.615 * 1e9 * (0.001 / 0.05) ** 2, rel=1e-3)
    assert plate_load(stiffness=stiffness, bay=0.05, core_shear=load) == pytest.approx(load / 2)


def test_liner_between_flutes() -> None:
    """The same plate between lines of glue; across the flutes a row of struts, a quarter."""
    assert liner_stress(solid(2e9), thickness=0.0002, pitch=1 / 150) == pytest.approx(
        3.615 * 2e9 * 0.03**2, rel=1e-3
    )
    board = Sheet("board", (Ply(solid(2e9), 2e-4), Ply(solid(1e7), 2e-3), Ply(solid(2e9), 2e-4)))
    along = face_limit(board, pitch=1 / 150, along_flutes=True)
    across = face_limit(board, pitch=1 / 150, along_flutes=False)
    assert along is not None
    assert across == pytest.approx(along / 4)
    assert face_limit(Sheet("plain", (Ply(solid(), 1e-3),)), pitch=None, along_flutes=True) is None


@pytest.mark.parametrize(("thickness", "flutes"), [(1.5, 290), (2.8, 150), (3.8, 130), (4.7, 110)])
def test_flutes_per_metre(thickness: float, flutes: int) -> None:
    """E, B, C and A flute: trade figures, from memory."""
    assert 1 / flute_pitch(thickness / 1000) == pytest.approx(flutes)


def test_a_loose_strip_bows_out() -> None:
    """Pushed with its Euler load it has no reserve left."""
    piece = strip((0, 0), (0, 10), 2)
    loose = type(piece)("strip", piece.solid, piece.start, piece.end, 2, free_length=300)
    load = column_load(bending=10 * 2**3 / 12, length=300)
    found = stresses(cut([loose]), shear=0, bending=0, torque=0, axial=-load)
    (bowed,) = [stress for stress in found if stress.kind == "buckling"]
    assert bowed.reserve == pytest.approx(1.0)


def skinned(*, membrane: bool) -> Cut:
    """A stiff spar of two caps on a web with a thin sheet glued over it."""
    pieces = (
        strip((0, 0), (0, 20), 2, part="web"),
        strip((0, 20), (100, 20), 0.1, part="paper"),
    )
    plate = Plate("bay", 100.0, 1e-3, math.inf, membrane)
    walls = (
        Wall((0, 0), (0, 20), (0,), stick=True),
        Wall((0, 20), (100, 20), (1,), plate=plate),
    )
    return Cut(0.0, pieces, walls)


def test_paper_pulls_but_does_not_push() -> None:
    """Bent up the sheet on top is slack and the web alone carries; bent down it helps."""
    paper = skinned(membrane=True)
    up = {s.part for s in stresses(paper, shear=0, bending=100, torque=0) if s.kind != "shear"}
    assert up == {"web"}
    pushed = next(
        s for s in stresses(paper, shear=0, bending=100, torque=0) if s.kind == "compression"
    )
    assert pushed.stress == pytest.approx(100 * 10 / (2 * 20**3 / 12), rel=1e-4)
    down = stresses(paper, shear=0, bending=-100, torque=0)
    assert any(s.part == "paper" and s.kind == "tension" for s in down)


def test_stiffer_sheet_buckles_as_a_bay() -> None:
    sheet = skinned(membrane=False)
    found = stresses(sheet, shear=0, bending=100, torque=0)
    (bay,) = [s for s in found if s.kind == "buckling"]
    assert bay.part == "paper"
    assert bay.strength == pytest.approx(4 * math.pi**2 * 1e-3 / 100**2 / 0.1)
