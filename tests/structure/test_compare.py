"""Sticks on edge against flat, and boxes against loose sheets, set in a wing."""

from __future__ import annotations

import dataclasses

import pytest

from plansgen.library.models import Part
from plansgen.library.tables import materials
from plansgen.structure.compare import compare_box, compare_sticks, fits_in, room, turned
from plansgen.structure.cut import Cut, Piece
from plansgen.structure.elastic import Solid, solid_of
from plansgen.structure.margins import Build
from plansgen.structure.strips import walls_of
from plansgen.structure.views import cut_view
from tests.designs import Raw, airframe_of, file_of, glider
from tests.structure.halves import FOAM, Hand, box, half_of, load_of

FOLDED = {"kind": "folded sheet", "thickness": 5, "spar_height": 12}


def winged(*sticks: Raw, section: Raw = FOLDED) -> Build:
    """A straight wing of 500 mm half span, its skins of foam board, with sticks."""
    raw = glider()
    raw["surfaces"]["wing"] |= {
        "section": section,
        "parts": [
            {"name": "skins", "material": "foam-board-5mm", "cover": "both skins"},
            *sticks,
        ],
    }
    wing = airframe_of(raw).surface("wing")
    return Build(wing, file_of(raw).surfaces["wing"].parts, materials())


def stick(width: float, height: float, *, name: str = "spar", **more: object) -> Raw:
    return {
        "name": name,
        "material": "basswood",
        "run": {"from": 0, "to": 450},
        "size": {"width": width, "height": height},
        **more,
    }


def test_strip_on_edge_is_25_times_stiffer() -> None:
    """10 x 2 on edge against flat: (10/2)² = 25. Source: second moments of a rectangle."""
    build = winged(stick(10, 2, lies="top"))
    half = build.half()
    (found,) = compare_sticks(build, half, now=2.0, least=lambda *_: 3.0)
    assert found.ratio == pytest.approx(25.0)
    assert found.place == "flat"
    solid = solid_of(materials()["basswood"])
    assert solid is not None
    assert found.edge == pytest.approx(solid.modulus * 0.002 * 0.010**3 / 12)
    assert (found.reserve_now, found.reserve_turned) == (2.0, 3.0)


def test_turned_stick_swaps_width_and_height() -> None:
    build = winged(stick(10, 2, lies="top", size_out={"width": 6, "height": 1}))
    other = turned(build.parts[1])
    assert other.size is not None
    assert other.size_out is not None
    assert (other.size.width, other.size.height) == (0.002, 0.010)
    assert (other.size_out.width, other.size_out.height) == (0.001, 0.006)
    assert turned(other) == build.parts[1]


def test_square_stick_is_not_turned() -> None:
    build = winged(stick(5, 5))
    (found,) = compare_sticks(build, build.half(), now=2.0, least=lambda *_: 3.0)
    assert (found.place, found.ratio, found.reserve_turned) == ("square", 1.0, None)


def test_stick_too_tall_for_the_wing_is_not_turned() -> None:
    """12 mm between the skins at the spar: 15 on edge does not go in."""
    build = winged(stick(15, 3, lies="top"))
    (found,) = compare_sticks(build, build.half(), now=2.0, least=lambda *_: 3.0)
    assert found.reserve_turned is None


def test_room_is_the_spar_height() -> None:
    """A folded sheet has, at its spar, the spar's height between its two sheets."""
    build = winged(stick(5, 5))
    assert room(build, 0.2, 0.3) == pytest.approx(0.012, abs=1e-4)


def test_two_sticks_share_the_height() -> None:
    """12 mm between the skins: two of 6, or one of 7, but not two of 7."""
    pair, tall = winged(stick(3, 6, lies="top and bottom")), winged(stick(3, 7, lies="top"))
    assert fits_in(pair, pair.parts[1])
    assert fits_in(tall, tall.parts[1])
    both = winged(stick(3, 7, lies="top and bottom"))
    assert not fits_in(both, both.parts[1])


def test_turning_matters_to_the_wing() -> None:
    """The same stick on edge in a deep web place makes the surface no weaker."""
    build = winged(stick(10, 3, lies="middle"))
    half = build.half()
    load = load_of(lambda y: 20.0 * (0.5 - y), tip=0.5)
    spans = half.stations()

    def least(number: int, part: Part) -> float:
        other = build.changed({number: part}).half()
        return min(other.reserve(span, load) for span in spans)

    now = min(half.reserve(span, load) for span in spans)
    (found,) = compare_sticks(build, half, now=now, least=least)
    assert found.reserve_turned is not None
    assert found.reserve_turned > now


def test_box_against_its_sheets() -> None:
    """Bredt: GJ = G 4 A² t / s for the box; loose, each sheet G w t³/3 alone.

    Source: Bredt (1896); St Venant, as in Megson, Aircraft Structures. Loose sheets bend about
    their own middles, E w t³/12.
    """
    w, h, t = 0.10, 0.02, 0.002
    half = half_of(Hand(lambda span, *_: walled(span, w, h, t)), 0.5)
    found = compare_box(half)
    assert found is not None
    area, girth = w * h, 2 * (w + h)
    assert found.torsion_closed == pytest.approx(
        FOAM.shear_modulus * 4 * area**2 * t / girth, rel=0.03
    )
    assert found.torsion_loose == pytest.approx(FOAM.shear_modulus * girth * t**3 / 3, rel=0.35)
    assert found.bending_loose == pytest.approx(FOAM.modulus * girth * t**3 / 12, rel=1e-6)


def walled(span: float, w: float, h: float, t: float):  # type: ignore[no-untyped-def]

    plain = box(span, width=w, height=h, thickness=t, solid=FOAM)
    return dataclasses.replace(plain, walls=walls_of(plain.pieces))


def test_one_sheet_is_no_box() -> None:
    build = winged(section={"kind": "plate", "thickness": 5})
    plate = dataclasses.replace(
        build, parts=(build.parts[0].model_copy(update={"cover": "plate"}),)
    )
    assert compare_box(plate.half()) is None


# --- the section drawing ---------------------------------------------------------------------


def test_neutral_axis_of_one_cap_on_a_foam_box() -> None:
    """Modular ratio 500, one cap 10 x 2 on a box 60 x 40 x 5: neutral axis 19.27 mm up.

    Source: transformed section, Σ n A z = 0; J. M. Gere & S. P. Timoshenko, Mechanics of Materials.
    The box is given by its middle lines here, so that its area is 180 x 5 = 900 mm² as well.
    """

    soft = Solid("soft", 20e6, 8e6, 1e6, 1e6, 1e6, 0.1)
    hard = dataclasses.replace(soft, name="hard", modulus=500 * soft.modulus)
    plain = box(0.0, width=0.055, height=0.035, thickness=0.005, solid=soft)
    cap = Piece("cap", hard, (-0.005, 0.021), (0.005, 0.021), 0.002)
    half = half_of(Hand(lambda span, *_: Cut(span, (*plain.pieces, cap))), 0.5)
    wing = airframe_of(glider()).surface("wing")
    load = load_of(lambda y: 2.0 * (0.5 - y), tip=0.5)
    view = cut_view(wing, half, load, title="root", span=0.0)
    assert view is not None
    by_hand = 500 * 20e-6 * 0.021 / (500 * 20e-6 + 900e-6)
    assert view.neutral == pytest.approx(by_hand)
    assert view.neutral == pytest.approx(0.019266, rel=1e-4)
    assert view.slope == pytest.approx(0.0, abs=1e-9)
    assert sum(share.share for share in view.shares) == pytest.approx(1.0)
    pushed = next(piece for piece in view.pieces if piece.part == "cap")
    assert pushed.stress < 0  # tip bent up: the top is pushed
