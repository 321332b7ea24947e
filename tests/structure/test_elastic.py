"""Materials as the structure sees them: one direction, dry or damp, layers, bend tests."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plansgen.library.bending import stiffness_of
from plansgen.library.stock import stock_with
from plansgen.library.tables import Material, materials
from plansgen.library.units import FileUnits
from plansgen.structure.elastic import Sheet, Solid, sheet_of, solid_of

SANDWICH: dict[str, Any] = {
    # The textbook sandwich: faces 0.2 mm of 3000 MPa on 5 mm of 10 MPa.
    "faces": {
        **{"thickness": 0.2, "modulus": 3000, "modulus_across": 1500, "shear_modulus": 1000},
        **{"tension": 40, "tension_across": 20, "compression": 20, "compression_across": 12},
        **{"shear": 10, "spread": 0.2, "damp": {"stiffness": 0.5, "strength": 0.4}},
    },
    "core": {
        **{"modulus": 10, "shear_modulus": 4, "tension": 0.4, "compression": 0.3},
        **{"shear": 0.2, "spread": 0.2},
    },
}
PLAIN = {
    "solid": {
        **{"modulus": "10 GPa", "shear_modulus": "0.6 GPa", "tension": 60, "compression": 30},
        **{"shear": 7, "spread": 0.2},
    }
}


def own(**more: Any) -> Material:
    raw = {"name": "board", "kind": "sheet", "areal_density": 480, "thickness": 5.4, **more}
    return Material.model_validate(raw, context={"units": FileUnits()})


def sheet(material: Material, **how: bool) -> Sheet:
    found = sheet_of(material, **how)
    assert found is not None
    return found


def solid(material: Material, **how: bool) -> Solid:
    found = solid_of(material, **how)
    assert found is not None
    return found


def bent(stiffness: float, direction: str = "along") -> dict[str, Any]:
    """Readings on a strip 60 mm wide over 300 mm that sags by 6 mm: m = 48 w s D / (g L³)."""
    grams = 1000 * 48 * 0.06 * 0.006 * stiffness / (9.80665 * 0.3**3)
    return {"direction": direction, "span": 300, "width": 60, "load": grams, "sag": 6}


# --- layers ----------------------------------------------------------------------------------


def test_sandwich_bending_stiffness() -> None:
    """E_f t_f d²/2 + E_f t_f³/6 + E_c c³/12, d = c + t_f: 8112 + 4 + 104.17 N mm (Allen 1969)."""
    board = sheet(own(mechanics=SANDWICH))
    assert board.bending * 1000 == pytest.approx(8112 + 4 + 104.1667, rel=1e-6)
    assert board.thickness == pytest.approx(5.4e-3)
    assert board.axial == pytest.approx(2 * 3e9 * 0.2e-3 + 10e6 * 5e-3)


def test_core_shear_stiffness() -> None:
    """G_c d²/c (Allen 1969, from memory): 4 MPa × 5.2² / 5 mm."""
    assert sheet(own(mechanics=SANDWICH)).core_shear == pytest.approx(4e6 * 5.2e-3**2 / 5e-3)


def test_faces_and_core_have_their_places() -> None:
    board = sheet(own(mechanics=SANDWICH))
    assert board.core is board.plies[1]
    assert board.faces == (board.plies[0], board.plies[2])
    plain = sheet(own(mechanics=PLAIN))
    assert plain.core is None
    assert plain.faces == plain.plies
    assert plain.core_shear is None


def test_plain_sheet_is_a_rectangle() -> None:
    """E t³/12."""
    assert sheet(own(mechanics=PLAIN)).bending == pytest.approx(10e9 * 5.4e-3**3 / 12)


def test_one_face_against_transformed_section() -> None:
    """Two layers by hand: centre of E t, then parallel axes (Gere & Timoshenko)."""
    peeled = sheet(own(mechanics={**SANDWICH, "faces": {**SANDWICH["faces"], "sides": 1}}))
    face, core = 3e9 * 0.2e-3, 10e6 * 5.2e-3
    centre = (face * 0.1e-3 + core * 2.8e-3) / (face + core)
    by_hand = (
        face * (0.2e-3**2 / 12 + (centre - 0.1e-3) ** 2)
        + core * (5.2e-3**2 / 12 + (2.8e-3 - centre) ** 2)
    )  # fmt: skip
    assert len(peeled.plies) == 2
    assert peeled.core is peeled.plies[1]
    assert peeled.bending == pytest.approx(by_hand, rel=1e-12)
    assert peeled.bending < 0.1 * sheet(own(mechanics=SANDWICH)).bending


def test_a_faced_sheet_as_one_solid_in_its_plane() -> None:
    """Layers stretch alike: moduli by thickness, strength when the paper gives."""
    smeared = solid(own(mechanics=SANDWICH))
    modulus = (2 * 0.2 * 3e9 + 5 * 10e6) / 5.4
    assert smeared.modulus == pytest.approx(modulus)
    assert smeared.tension == pytest.approx(40e6 * modulus / 3e9)
    assert smeared.compression == pytest.approx(20e6 * modulus / 3e9)


# --- direction and damp ----------------------------------------------------------------------


def test_across_takes_the_values_across_and_else_those_along() -> None:
    face = sheet(own(mechanics=SANDWICH), across=True).faces[0].solid
    assert (face.modulus, face.tension, face.compression) == (1.5e9, 20e6, 12e6)
    core = sheet(own(mechanics=SANDWICH), across=True).core
    assert core is not None
    assert core.solid.modulus == 10e6


def test_damp_weakens_paper_and_not_foam() -> None:
    board = sheet(own(mechanics=SANDWICH), damp=True)
    assert board.core is not None
    assert board.faces[0].solid.modulus == pytest.approx(1.5e9)
    assert board.faces[0].solid.compression == pytest.approx(8e6)
    assert board.core.solid.modulus == 10e6


def test_nothing_known_is_none() -> None:
    assert solid_of(own()) is None
    assert sheet_of(own()) is None
    assert solid_of(materials()["acrylic-paint"]) is None
    assert sheet_of(materials()["basswood"]) is None, "a stick has no thickness of its own"


# --- bend tests ------------------------------------------------------------------------------


@given(st.floats(1e8, 5e10), st.sampled_from([1, 2]))
def test_a_bend_test_gives_back_the_modulus_of_the_faces(modulus: float, sides: int) -> None:
    """Forward by the layers' own sum, back by the reading: the sag of that very strip."""
    core = (10e6, 5.4e-3 - sides * 0.2e-3)
    stiffness = stiffness_of([(modulus, 0.2e-3), core, (modulus, 0.2e-3)][: sides + 1])
    mechanics = {**SANDWICH, "faces": {**SANDWICH["faces"], "sides": sides}}
    found = sheet(own(mechanics=mechanics, bend_tests=[bent(stiffness)]))
    assert found.bending == pytest.approx(stiffness, rel=1e-9)
    assert found.faces[0].solid.modulus == pytest.approx(modulus, rel=1e-6)


def test_a_bend_test_of_plain_sheet() -> None:
    """E = 12 D / t³."""
    board = own(mechanics=PLAIN, bend_tests=[bent(100.0)])
    assert sheet(board).plies[0].solid.modulus == pytest.approx(12 * 100 / 5.4e-3**3)
    assert solid(board).modulus == pytest.approx(12 * 100 / 5.4e-3**3)


def test_only_the_measured_direction_is_replaced_and_marked() -> None:
    board = own(mechanics=SANDWICH, bend_tests=[bent(9.0)])
    assert sheet(board).faces[0].solid.mark == "measured"
    assert sheet(board, across=True).faces[0].solid.mark != "measured"
    assert sheet(board, across=True).faces[0].solid.modulus == 1.5e9
    assert sheet(board).faces[0].solid.compression == 20e6, "a bend tells no strength"


def test_several_tests_are_averaged_and_damp_still_counts() -> None:
    board = own(mechanics=SANDWICH, bend_tests=[bent(8.0), bent(10.0)])
    assert sheet(board).bending == pytest.approx(9.0)
    dry = sheet(board).faces[0].solid.modulus
    assert sheet(board, damp=True).faces[0].solid.modulus == pytest.approx(dry / 2)


def test_like_takes_over_the_packaged_values() -> None:
    board = stock_with({"mine": own(like="foam-board-5mm", thickness=5)})["mine"]
    assert sheet(board).bending == pytest.approx(sheet(materials()["foam-board-5mm"]).bending)


# --- the packaged table ----------------------------------------------------------------------


@pytest.mark.parametrize("across", [False, True])
@pytest.mark.parametrize("damp", [False, True])
@pytest.mark.parametrize("name", sorted(n for n, m in materials().items() if m.mechanics))
def test_packaged_materials_are_sound(name: str, *, across: bool, damp: bool) -> None:
    """Nothing is stronger than it is stiff; nothing gains by damp; plies fill the sheet."""
    material = materials()[name]
    found = solid(material, across=across, damp=damp)
    assert 0 < found.modulus <= solid(material, across=across).modulus
    assert max(found.tension, found.compression) < found.modulus
    assert 0 < found.spread < 0.5
    layers = sheet_of(material, across=across, damp=damp)
    if layers is not None:
        assert material.thickness == pytest.approx(layers.thickness)
        assert all(ply.thickness > 0 for ply in layers.plies)


@pytest.mark.parametrize("flute", ["e", "b", "c"])
def test_flutes_and_liner_give_together_along_the_flutes(flute: str) -> None:
    """Both are paper glued to each other, so they break at one strain; no source but that."""
    sheet = sheet_of(materials()[f"cardboard-{flute}-flute"])
    assert sheet is not None
    assert sheet.core is not None
    liner, fluting = sheet.faces[0].solid, sheet.core.solid
    assert fluting.tension / fluting.modulus == pytest.approx(
        liner.tension / liner.modulus, rel=0.02
    )
    pushed = liner.compression / liner.modulus
    assert fluting.compression / fluting.modulus == pytest.approx(pushed, rel=0.02)
