"""What parts as drawn weigh and where, against sums by hand, shapely and the planform."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from plansgen.airframe.build import BodyPart, LiftingSurface, build_airframe
from plansgen.airframe.inside import NO_WALLS, walls_of
from plansgen.balance.buildup import estimated
from plansgen.balance.drawn import Drawn, PartRef
from plansgen.balance.placing import areal_density
from plansgen.library.design import Design
from plansgen.library.folder import design_slugs, read_design
from plansgen.patterns.cutting import CutParts, cut_parts
from plansgen.patterns.unrolled import Pose
from plansgen.patterns.weights import about, between_rails, on_pose
from tests.designs import Raw, bare, design_of, glider, skin, surface, wing

ROOT = Path(__file__).parents[2]
FLAT = Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0))
BENT = Pose(
    (0.0, 0.0, 0.0),
    (1.0, 0.0, 0.0),
    (0.0, 1.0, 0.0),
    (0.0, 0.0, 1.0),
    bends=((0.1, 0.0, np.pi / 2),),
)


def made(design: Design) -> CutParts:
    return cut_parts(design, build_airframe(design.file, design.section_points))


def drawn(raw: Raw, owner: str, index: int = 0) -> Drawn:
    return made(design_of(raw)).drawn[PartRef(owner, index)]


@cache
def demo(slug: str) -> tuple[Design, CutParts]:
    design = read_design(ROOT, slug)
    return design, made(design)


def boxed(*parts: Raw, **more: object) -> Raw:
    raw = glider()
    frames = [{"x": x, "width": 60, "height": 80} for x in (0, 200)]
    raw["bodies"] = {
        "box": {"role": "fuselage", "stations": frames, "parts": list(parts), **more},
    }
    return raw


# --- shapes in space -------------------------------------------------------------------------

lengths = st.floats(0.01, 1.0).map(lambda value: round(value, 3))


@settings(max_examples=30, deadline=None)
@given(lengths, lengths, st.floats(0.1, 0.9))
def test_rectangle_with_a_hole(long: float, wide: float, share: float) -> None:
    """Centroid and b h³/12 of a frame: rectangle less rectangle, elementary statics."""
    hole = [(x * share, y * share) for x, y in ((0, 0), (long, 0), (long, wide), (0, wide))]
    middle = np.array([long, wide]) * (1 - share) / 2
    moved = [(x + middle[0], y + middle[1]) for x, y in hole]
    frame = Polygon([(0, 0), (long, 0), (long, wide), (0, wide)], [moved])
    found = on_pose(frame, FLAT)
    assert found.mass == pytest.approx(frame.area, rel=1e-9)
    assert found.centre == pytest.approx([long / 2, wide / 2, 0.0], abs=1e-12)
    about_middle = found.second[0, 0] - found.mass * found.centre[0] ** 2
    assert about_middle == pytest.approx(wide * long**3 / 12 * (1 - share**4), rel=1e-6)


def test_strip_bent_square() -> None:
    """By hand: 100 mm level, then 100 mm upright, 20 wide: the middle of an angle iron."""
    found = on_pose(Polygon([(0, 0), (0.2, 0), (0.2, 0.02), (0, 0.02)]), BENT)
    assert found.mass == pytest.approx(0.004)
    assert found.centre == pytest.approx([0.075, 0.01, 0.025])
    deep = on_pose(Polygon([(0, 0), (0.1, 0), (0.1, 0.02), (0, 0.02)]), BENT, deep=0.003)
    assert deep.centre == pytest.approx([0.05, 0.01, 0.003])


def test_a_step_at_a_bend_loses_nothing() -> None:
    """A cut along an upright edge leaves lines beside the surfaces."""
    step = Polygon([(0, 0), (0.1, 0), (0.1, 0.01), (0.2, 0.01), (0.2, 0.03), (0, 0.03)])
    assert on_pose(step, BENT).mass == pytest.approx(step.area)


def test_mirror_image_about_a_plane() -> None:
    found = about(on_pose(Polygon([(0, 0), (0.1, 0), (0, 0.1)]), FLAT), 0.2)
    assert found.centre == pytest.approx([0.1 / 3, 0.4 - 0.1 / 3, 0.0])


def test_half_cylinder_between_rails() -> None:
    """Centroid of a half ring 2 r/π from its middle (any table of centroids)."""
    angles = np.linspace(0, np.pi, 721)
    near = np.column_stack([np.cos(angles), np.zeros(721), np.sin(angles)])
    found = between_rails(near, near + np.array([0.0, 2.0, 0.0]))
    assert found.mass == pytest.approx(2 * np.pi, rel=1e-5)
    assert found.centre == pytest.approx([0.0, 1.0, 2 / np.pi], abs=1e-5)


# --- parts in place --------------------------------------------------------------------------


@settings(max_examples=15, deadline=None)
@given(st.integers(100, 900), st.integers(60, 300), st.integers(0, 30))
def test_plate_is_its_planform(span: int, chord: int, sweep: int) -> None:
    """A plate without controls is exactly the planform: mass, place and inertia agree."""
    rows = [(0, 0, chord), (span, sweep, chord / 2)]
    raw = bare({"wing": surface("wing", rows, at={"x": 150}, parts=[skin()])})
    design = design_of(raw)
    owner = build_airframe(design.file, {}).surface("wing")
    guess = estimated(design.file.surfaces["wing"].parts[0], owner, design.materials).moments
    found = drawn(raw, "wing").moments
    assert found.mass == pytest.approx(guess.mass, rel=1e-6)
    assert found.centre == pytest.approx(guess.centre, abs=1e-6)
    assert found.second == pytest.approx(guess.second, rel=1e-5, abs=1e-9)


def test_skins_of_a_section_balance_like_the_planform() -> None:
    """Top and bottom of a thick symmetric section: within 3 % of the chord, and level."""
    whole = wing(parts=[skin("top skin"), skin("bottom skin") | {"name": "under"}])
    whole["section"] = "NACA 0012"
    raw = bare({"wing": whole})
    design = design_of(raw)
    owner = build_airframe(design.file, {}).surface("wing")
    top, bottom = (drawn(raw, "wing", n).moments for n in (0, 1))
    guess = estimated(design.file.surfaces["wing"].parts[0], owner, design.materials).moments
    assert top.mass == pytest.approx(bottom.mass, rel=1e-6)
    assert top.mass == pytest.approx(guess.mass, rel=0.03)
    assert top.centre[2] == pytest.approx(-bottom.centre[2], rel=1e-6)
    assert 0.0 < top.centre[2] < 0.06 * 0.2
    both = top + bottom
    assert both.centre == pytest.approx(guess.centre, abs=0.03 * 0.2)


def test_layers_of_a_skin_are_all_cut() -> None:
    raw = bare({"wing": wing(parts=[skin("top skin", count=3)])})
    once = bare({"wing": wing(parts=[skin("top skin")])})
    assert sum(part.pieces for part in made(design_of(raw)).parts) == 3  # across the middle
    three, one = drawn(raw, "wing").moments, drawn(once, "wing").moments
    assert three.mass == pytest.approx(3 * one.mass)
    assert three.centre == pytest.approx(one.centre)


def test_sides_of_a_box() -> None:
    """By hand, 200 × 60 × 80 of 5 mm: sides 75 high on the bottom, symmetric about the middle."""
    raw = boxed(skin("sides"), skin("bottom"))
    found = drawn(raw, "box")
    assert found.amount == pytest.approx(2 * 0.2 * 0.075)
    assert found.moments.mass == pytest.approx(2 * 0.2 * 0.075 * 0.46)
    assert found.moments.centre == pytest.approx([0.1, 0.0, 0.0025], abs=1e-9)
    across = found.moments.second[1, 1] / found.moments.mass
    assert across == pytest.approx(0.0275**2)  # 30 mm less half of the sheet


def test_pair_of_boxes_and_share() -> None:
    one = drawn(boxed(skin("sides", share=0.5)), "box")
    two = drawn(boxed(skin("sides", share=0.5), at={"y": 100}, mirror=True), "box")
    assert one.amount == pytest.approx(2 * 0.2 * 0.08 * 0.5)
    assert two.moments.mass == pytest.approx(2 * one.moments.mass)
    assert two.moments.centre == pytest.approx(one.moments.centre, abs=1e-12)
    assert two.moments.second[1, 1] > 2 * one.moments.mass * 0.09**2


def test_openings_of_formers_are_drawn_and_not_taken_off_twice() -> None:
    part = {"name": "former", "material": "board", "formers": {"at": [100]}, "share": 0.5}
    cut = made(design_of(boxed(skin("sides"), part)))
    (flat,) = (p for p in cut.parts if p.name == "former")
    found = cut.drawn[PartRef("box", 1)]
    assert found.amount == pytest.approx(flat.area)
    assert found.moments.centre[0] == pytest.approx(0.1 + 0.005 / 2)


def test_alike_parts_are_told_apart() -> None:
    """The same part three times is three parts, however their names are numbered."""
    tray = {"name": "tray", "material": "board", "plate": {"length": 100, "width": 50}}
    raw = glider()
    raw["parts"] = [tray | {"at": {"x": x}} for x in (50, 60, 60)]
    cut = made(design_of(raw))
    assert [cut.drawn[PartRef("", n)].moments.centre[0] for n in range(3)] == pytest.approx(
        [0.05, 0.06, 0.06]
    )
    assert cut.drawn[PartRef("", 1)].amount == pytest.approx(0.005)


def test_window_in_one_skin() -> None:
    """By hand: 100 × 40 mm cut from the top alone, at mid-chord, on both sides."""
    window = {"name": "window", "from": 200, "to": 300, "at": 0.5, "width": 40, "on": "top"}
    opened = wing(parts=[skin("both skins", openings=[window])])
    design = made(design_of(bare({"wing": opened})))
    shut = made(design_of(bare({"wing": wing(parts=[skin("both skins")])})))
    assert sum(len(part.holes) for part in design.parts) > 0
    found, before = (cut.drawn[PartRef("wing", 0)] for cut in (design, shut))
    gone = before.amount - found.amount
    assert gone == pytest.approx(2 * 0.1 * 0.04, rel=1e-3)
    lost = before.moments.first - found.moments.first
    place = lost / (before.moments.mass - found.moments.mass)
    assert place[:2] == pytest.approx([0.15 + 0.1, 0.0], abs=1e-4)
    assert 0.0 < place[2] < 0.0025  # of the top, inside its outer face
    across = before.moments.second[1, 1] - found.moments.second[1, 1]
    assert across / (gone * 0.46) == pytest.approx(0.25**2 + 0.1**2 / 12, rel=1e-2)


def test_hole_in_one_side_of_a_box() -> None:
    """A hole in the starboard side alone moves the balance of the sides to port."""
    hole = {"name": "servo", "from": 80, "to": 120, "z": 0, "height": 20, "on": "starboard"}
    shut, found = (
        drawn(boxed(skin("sides")), "box"),
        drawn(boxed(skin("sides", openings=[hole])), "box"),
    )
    assert shut.amount - found.amount == pytest.approx(0.04 * 0.02)
    lost = shut.moments.first - found.moments.first
    assert lost / (0.04 * 0.02 * 0.46) == pytest.approx([0.1, 0.0275, 0.0], abs=1e-4)


# --- the demo designs ------------------------------------------------------------------------


@pytest.mark.parametrize("slug", design_slugs(ROOT))
def test_mass_is_area_times_density(slug: str) -> None:
    """Every flat part and every piece is some part of the design, and none is counted twice."""
    design, cut = demo(slug)
    components = {**design.file.surfaces, **design.file.bodies}
    for flat in cut.parts:
        density = areal_density(design.materials[flat.material])
        shares = [
            1.0 if part.ribs or part.formers else part.share
            for ref in (one.part for one in flat.drawn)
            for part in [(components[ref.owner] if ref.owner else design.file).parts[ref.index]]
        ]
        whole = sum(one.moments.mass / share for one, share in zip(flat.drawn, shares, strict=True))
        sanded = 11 / 12 if "sanded from 12 to 11" in flat.note else 1.0
        assert whole == pytest.approx(flat.area * flat.pieces * density * sanded, rel=1e-6)
    assert all(len(piece.drawn) == 1 for piece in cut.cut_list)


@pytest.mark.parametrize("slug", design_slugs(ROOT))
def test_drawn_parts_are_near_their_estimate(slug: str) -> None:
    """Overlaps, slots and tabs take some: a third of the mass and 30 mm at most.

    The estimate spreads openings evenly and knows nothing of skins over ribs: those are left out.
    """
    design, cut = demo(slug)
    airframe = build_airframe(design.file, design.section_points)
    owners: tuple[LiftingSurface | BodyPart, ...] = (*airframe.surfaces, *airframe.bodies)
    for owner in owners:
        parts = {**design.file.surfaces, **design.file.bodies}[owner.key].parts
        body = isinstance(owner, BodyPart)
        walls = walls_of(parts, design.materials) if body else NO_WALLS
        for index, part in enumerate(parts):
            found = cut.drawn.get(PartRef(owner.key, index))
            if found is None or part.openings or part.ribs:
                continue
            guess = estimated(part, owner, design.materials, walls).moments
            assert found.moments.mass == pytest.approx(guess.mass, rel=0.34), part.name
            assert np.linalg.norm(found.moments.centre - guess.centre) < 0.03, part.name
