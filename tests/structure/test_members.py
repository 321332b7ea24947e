"""From parts to cuts: where skins and sticks end up, worked out by hand on a plain hollow plate."""

from __future__ import annotations

import math
from typing import Any

import pytest

from plansgen.library.models import DesignFile
from plansgen.library.stock import stock_with
from plansgen.library.units import FileUnits
from plansgen.structure.builder import ring_size
from plansgen.structure.cells import analyse
from plansgen.structure.members import Members, body_cut
from plansgen.structure.section import properties
from tests.designs import Raw, airframe_of, bare, surface

STUFF = {
    "modulus": "1 GPa",
    "shear_modulus": "0.4 GPa",
    "tension": "20 MPa",
    "compression": "10 MPa",
    "shear": "5 MPa",
    "spread": 0.1,
    "damp": {"stiffness": 0.5, "strength": 0.4},
}
SHEET = {
    "name": "sheet",
    "kind": "sheet",
    "density": 500,
    "thickness": 1,
    "mechanics": {"solid": STUFF},
}
STICK = {
    "name": "stick",
    "kind": "stick",
    "density": 500,
    "mechanics": {"solid": STUFF | {"modulus": "10 GPa"}},
}
TAPE = {"name": "tape", "kind": "tape", "linear_density": "2 g/m"}


def both(**more: Any) -> Raw:
    return {"name": "skins", "material": "sheet", "cover": "both skins"} | more


def run(name: str = "cap", to: float = 400, **more: Any) -> Raw:
    return {
        "name": name,
        "material": "stick",
        "run": {"from": 0, "to": to, "at": more.pop("at", 0.3)},
        "size": more.pop("size", {"width": 10, "height": 3}),
    } | more


def design(*parts: Raw, **more: Any) -> Raw:
    """A wing of 200 chord and 500 half span, 20 thick all over."""
    wing = surface("wing", [(0, 0, 200), (500, 0, 200)], parts=list(parts))
    wing |= {"section": {"kind": "plate", "thickness": 20}} | more
    return bare({"wing": wing}) | {"materials": {"sheet": SHEET, "stick": STICK, "tape": TAPE}}


def members(*parts: Raw, **more: Any) -> Members:
    raw = design(*parts, **more)
    file = DesignFile.model_validate(raw, context={"units": FileUnits()})
    (wing,) = airframe_of(raw).surfaces
    return Members(wing, file.surfaces["wing"].parts, stock_with(file.materials))


SKINS = 1e9 * (2 * 0.2 * 0.001 * 0.0095**2 + 2 * 0.2 * 0.001**3 / 12)


def bending(*parts: Raw, at: float = 0.1, **how: Any) -> float:
    return properties(members(*parts).cut(at, **how)).bending


def test_skins_lie_half_their_thickness_under_the_outline() -> None:
    """Two sheets 200 × 1, their middles 19 apart."""
    assert bending(both()) == pytest.approx(SKINS, rel=1e-6)


def test_share_thins_and_over_shortens() -> None:
    assert bending(both(share=0.5)) == pytest.approx(SKINS / 2, rel=1e-3)
    front = members(both(over={"from": 0, "to": 0.3})).cut(0.1)
    assert properties(front).axial == pytest.approx(1e9 * 2 * 0.06 * 0.001)
    assert max(piece.end[0] for piece in front.pieces) == pytest.approx(0.06)


def test_caps_lie_against_the_skins() -> None:
    """10 × 3 at 18/2 - 1.5 from the middle; ten times the modulus."""
    caps = 1e10 * 2 * (0.03e-3 * 0.0075**2 + 0.01 * 0.003**3 / 12)
    found = members(both(), run(lies="top and bottom", count=2)).cut(0.1)
    assert properties(found).bending == pytest.approx(SKINS + caps, rel=1e-6)
    assert len(set(analyse(found).group.tolist())) == 1
    one = properties(members(both(), run(lies="top")).cut(0.1))
    assert one.centre[1] > 0


def test_a_web_stands_between_caps() -> None:
    """12 high between caps of 3 under skins of 1 in 20; a sheet on edge 1 wide."""
    web = run("web", material="sheet", size={"width": 1, "height": 12}, lies="between")
    found = members(both(), run(lies="top and bottom", count=2), web).cut(0.1)
    (piece,) = [piece for piece in found.pieces if piece.part == "web"]
    assert (piece.start[1], piece.end[1]) == pytest.approx((-0.006, 0.006))
    plain = properties(members(both(), run(lies="top and bottom", count=2)).cut(0.1)).bending
    assert properties(found).bending - plain == pytest.approx(1e9 * 0.001 * 0.012**3 / 12, rel=1e-6)


def test_pairs_flank_what_stands_in_the_middle() -> None:
    """A core 18 wide with webs of 1 on both faces: a box spar."""
    core = run("core", size={"width": 18, "height": 18}, lies="between")
    webs = run("webs", size={"width": 1, "height": 18}, lies="between", count=2)
    found = members(both(), webs, core).cut(0.1)
    places = sorted(p.start[0] for p in found.pieces if p.part in ("core", "webs"))
    assert places == pytest.approx([0.06 - 0.0095, 0.06, 0.06 + 0.0095])


def test_a_strip_in_the_middle_of_a_hollow_wing_helps_least() -> None:
    """It touches no skin and bends about its own middle; its inertia is all it adds."""
    loose = members(both(), run(lies="middle")).cut(0.1)
    assert properties(loose).bending == pytest.approx(SKINS + 1e10 * 0.01 * 0.003**3 / 12, rel=1e-6)
    assert len(set(analyse(loose).group.tolist())) == 2
    (piece,) = [piece for piece in loose.pieces if piece.part == "cap"]
    assert piece.free_length == pytest.approx(0.4)


def bays(*parts: Raw) -> dict[str, list[float]]:
    """Widths of the bays that may buckle, foremost first, on each side. [mm]"""
    found: dict[str, dict[str, float]] = {"top": {}, "bottom": {}}
    for wall in members(*parts).cut(0.1).walls:
        if wall.plate is not None and not wall.plate.key.startswith("web"):
            found[wall.plate.key.split()[0]][wall.plate.key] = 1000 * wall.plate.bay
    return {side: [each[key] for key in sorted(each)] for side, each in found.items()}


def test_a_stick_holds_only_the_skin_that_it_is_glued_to() -> None:
    """A stringer at 80 of 200 under the top skin; a rod loose in the middle holds neither."""
    rod = run("rod", at=0.7, size={"diameter": 4}, lies="middle")
    held = bays(both(), run("stringer", at=0.4, lies="top"), rod)
    assert held["top"] == pytest.approx([80, 120])
    assert held["bottom"] == pytest.approx([200])


def test_a_web_holds_both_skins() -> None:
    web = run("web", at=0.25, size={"width": 2, "height": 18}, lies="between")
    assert bays(both(), web) == {side: pytest.approx([50, 150]) for side in ("top", "bottom")}


def test_a_skin_does_not_buckle_where_sticks_side_by_side_back_it() -> None:
    """Two caps 10 wide touch: their middles lie at 55 and 65, and nothing is left free between."""
    held = bays(both(), run("caps", lies="top", count=2))
    assert held["top"] == pytest.approx([55, 135])
    assert held["bottom"] == pytest.approx([200])
    apart = bays(both(), run("one", lies="top"), run("other", at=0.36, lies="top"))
    assert apart["top"] == pytest.approx([60, 12, 128])


@pytest.mark.parametrize(
    ("outside", "bore", "inertia"),
    [(6, 4, 51.0509), (5, 3, 26.7035), (4, 2, 11.7810), (3, 0, 3.9761)],
)
def test_rods_and_tubes(outside: float, bore: float, inertia: float) -> None:
    """π (D⁴ - d⁴)/64 in mm⁴; the torsion constant is twice that."""
    size: Raw = {"diameter": outside} | ({"bore": bore} if bore else {})
    found = properties(members(run(size=size)).cut(0.1))
    assert found.bending / 1e10 * 1e12 == pytest.approx(inertia, rel=1e-3)
    assert found.chord_bending / 1e10 * 1e12 == pytest.approx(inertia, rel=1e-3)
    assert found.axial / 1e10 * 1e6 == pytest.approx(math.pi / 4 * (outside**2 - bore**2))
    assert found.torsion / 4e8 * 1e12 == pytest.approx(2 * inertia, rel=0.03)


def test_outermost_fibre_of_a_ring() -> None:
    """Never inside the real one, at most a twentieth outside."""
    for bore in (0.0, 0.5, 0.8):
        radius, thickness = ring_size(diameter=1.0, bore=bore)
        assert 0.5 * 0.98 < radius * math.cos(math.pi / 16) + thickness / 2 < 0.5 * 1.05


def test_taper() -> None:
    """Half way from 3 to 1 high it is 2 high."""
    found = members(run(size_out={"width": 10, "height": 1})).cut(0.2)
    (piece,) = found.pieces
    assert piece.width == pytest.approx(0.002)


def test_where_the_spar_is_and_where_members_end() -> None:
    web = run("web", 380, size={"width": 5, "height": 12}, lies="between", at=0.32)
    rear = run("rear strip", 450, size={"width": 3, "height": 3}, at=0.9, lies="middle")
    found = members(both(), run(lies="top and bottom", count=2), web, rear)
    assert {part.name for part in found.spar_parts} == {"cap", "web"}
    assert found.spar_share == pytest.approx(0.3)
    assert found.reach == pytest.approx(0.4)
    assert found.ends == pytest.approx((0.38, 0.4, 0.45))
    assert members(both()).spar_parts == ()
    assert members(both()).reach == 0


def test_reach_moves_the_spars_end() -> None:
    caps = run(lies="top and bottom", count=2)
    with_caps, without = bending(both(), caps), bending(both(), caps, only_skin=True)
    assert without == pytest.approx(SKINS, rel=1e-3)
    assert bending(both(), caps, at=0.41) == pytest.approx(without, rel=1e-3)
    assert bending(both(), caps, at=0.41, reach=0.45) == pytest.approx(with_caps)
    assert bending(both(), caps, at=0.3, reach=0.25) == pytest.approx(without, rel=1e-3)
    assert bending(both(), caps, at=0.2, reach=0.25) == pytest.approx(with_caps)


def test_at_its_end_a_member_is_gone_but_at_the_tip_it_is_there() -> None:
    caps = run(lies="top and bottom", count=2)
    assert bending(both(), caps, at=0.4) == pytest.approx(SKINS, rel=1e-3)
    to_tip = run(to=500, lies="top and bottom", count=2)
    assert bending(both(), to_tip, at=0.5) == pytest.approx(bending(both(), to_tip))


def test_joiners_are_named_and_can_be_left_out() -> None:
    brace = run("brace", 80, size={"width": 3, "height": 18}, lies="between", joins=0)
    found = members(both(), run(lies="top and bottom", count=2), brace)
    assert found.cut(0.02).joiners == ("brace",)
    assert found.cut(0.1).joiners == ()
    bare_cut = found.cut(0.02, without_joiners=True)
    assert {piece.part for piece in bare_cut.pieces} == {"skins", "cap"}
    assert "brace" not in {part.name for part in found.spar_parts}


def test_tape_is_ignored_and_named() -> None:
    tape = run("tape", material="tape", at=0.0)
    assert members(both(), tape).cut(0.1).ignored == ("tape",)


def test_a_hinged_control_carries_nothing() -> None:
    controls = {"flap": {"kind": "flap", "from": 100, "to": 300, "chord": 0.25}}
    found = members(both(), run("strip", at=0.9, lies="top"), controls=controls)
    inside = found.cut(0.2)
    assert max(piece.end[0] for piece in inside.pieces) == pytest.approx(0.15)
    assert {piece.part for piece in inside.pieces} == {"skins"}
    assert properties(found.cut(0.05)).axial > properties(inside).axial


def test_damp_takes_half_the_stiffness() -> None:
    assert bending(both(), damp=True) == pytest.approx(SKINS / 2, rel=1e-3)


def test_closed_skins_twist_as_a_tube() -> None:
    """Bredt: 4 A² G t/s with the skins joined at both edges, webless."""
    found = properties(members(both()).cut(0.1)).torsion
    # Edges are closed by rigid strips, so only the skins give: s is twice the chord.
    bredt = 4 * (0.2 * 0.019) ** 2 * 4e8 * 0.001 / 0.4
    assert found == pytest.approx(bredt, rel=1e-2)


# --- bodies ----------------------------------------------------------------------------------


def body(shape: str, *parts: Raw) -> Any:
    frames = [{"x": 0, "width": 60, "height": 40}, {"x": 500, "width": 60, "height": 40}]
    raw = design(both())
    raw["bodies"] = {
        "boom": {"role": "boom", "shape": shape, "stations": frames, "parts": list(parts)}
    }
    file = DesignFile.model_validate(raw, context={"units": FileUnits()})
    (boom,) = airframe_of(raw).bodies
    return body_cut(boom, file.bodies["boom"].parts, stock_with(file.materials), 0.25)


def test_a_box_body() -> None:
    """60 × 40 of sheet 1 thick: the hollow box by subtraction, corners counted twice at most."""
    found = properties(body("box", {"name": "walls", "material": "sheet", "cover": "all"}))
    inertia = (60 * 40**3 - 58 * 38**3) / 12 * 1e-12
    assert found.bending == pytest.approx(1e9 * inertia, rel=0.06)
    bredt = 4 * (0.059 * 0.039) ** 2 * 4e8 * 0.001 / (2 * 0.098)
    assert found.torsion == pytest.approx(bredt, rel=1e-2)


def test_corner_strips() -> None:
    walls = {"name": "walls", "material": "sheet", "cover": "all"}
    strips = run("strips", 500, size={"width": 4, "height": 4}, lies="corners", count=4)
    plain, found = body("box", walls), body("box", walls, strips)
    each = 0.004**2 * (0.02 - 0.001 - 0.002) ** 2 + 0.004**4 / 12
    added = properties(found).bending - properties(plain).bending
    assert added == pytest.approx(4 * 1e10 * each, rel=1e-6)
    assert len(set(analyse(found).group.tolist())) == 1


def test_a_round_body() -> None:
    """A round of 40 with sheet of 1: π r³ t by thin-wall theory."""
    frames = [{"x": 0, "width": 40, "height": 40}, {"x": 500, "width": 40, "height": 40}]
    raw = design(both())
    parts = [{"name": "walls", "material": "sheet", "cover": "all"}]
    raw["bodies"] = {"boom": {"role": "boom", "shape": "round", "stations": frames, "parts": parts}}
    file = DesignFile.model_validate(raw, context={"units": FileUnits()})
    (boom,) = airframe_of(raw).bodies
    found = properties(body_cut(boom, file.bodies["boom"].parts, stock_with(file.materials), 0.25))
    assert found.bending == pytest.approx(1e9 * math.pi * 0.0195**3 * 0.001, rel=0.01)
    assert found.chord_bending == pytest.approx(found.bending, rel=1e-3)
