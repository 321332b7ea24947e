"""Layouts: proved by plane geometry, dense enough, the same everywhere, and nothing lost."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.patterns.flat import FlatPart, faults, placed
from plansgen.patterns.layout import Nesting, OwnPlacement
from plansgen.patterns.nest import nest
from plansgen.patterns.own import places_of
from plansgen.patterns.stock import StockSheet
from plansgen.patterns.verify import layout_faults
from plansgen.published.nesting import BLAZ, FU, UNIT, instance
from tests.designs import file_of, glider
from tests.patterns.instances import BOARD, part, plane_parts, rectangle


def one_sheet(parts: list[FlatPart], width: int, density: float) -> Nesting:
    """A layout on strips just long enough for a density."""
    area = sum(p.area * p.pieces for p in parts) / UNIT**2
    strip = StockSheet("strip", "sheet", area / width / density * UNIT, width * UNIT, "width")
    nesting = nest(parts, [strip], gap=0.0, margin=0.0)
    assert layout_faults(nesting, parts) == []
    assert nesting.left_out == ()
    return nesting


def test_the_instance_of_fujita_and_others_at_80_percent() -> None:
    """FU: Fujita, Akagi & Hirokawa 1993; area 1083, so 38 x 35.6 is 80 %."""
    parts = instance(FU, half_turns=False)
    assert sum(p.area for p in parts) / UNIT**2 == pytest.approx(1083)
    nesting = one_sheet(parts, 38, 0.80)
    assert len(nesting.sheets) == 1
    assert 0.80 <= nesting.density <= 1.0


def test_the_instance_of_blazewicz_and_others_at_70_percent() -> None:
    """BLAZ1: Blazewicz, Hawryluk & Walkowiak 1993; area 324, half turns only."""
    parts = instance(BLAZ, count=4, half_turns=True)
    assert sum(p.area * p.pieces for p in parts) / UNIT**2 == pytest.approx(324)
    nesting = one_sheet(parts, 15, 0.70)
    assert len(nesting.sheets) == 1
    turns = {math.sin(p.angle) for sheet in nesting.sheets for p in sheet.placements}
    assert max(map(abs, turns)) < 1e-9


@pytest.mark.parametrize("seed", [1, 2])
def test_parts_of_an_aeroplane(seed: int) -> None:
    parts = plane_parts(25, seed)
    assert [fault for p in parts for fault in faults(p)] == []
    nesting = nest(parts, [BOARD])
    assert layout_faults(nesting, parts) == []
    assert nesting.bound <= len(nesting.sheets) <= nesting.bound + 1
    assert nesting.used == pytest.approx(sum(p.area for p in parts))
    assert nesting.waste == pytest.approx(len(nesting.sheets) * 0.762 * 0.508 - nesting.used)


@st.composite
def jagged(draw: st.DrawFn) -> FlatPart:
    """A star-shaped part, up to 160 mm across, some mirrored, some with grain, some with a hole."""
    corners = draw(st.integers(3, 9))
    radii = [draw(st.integers(15, 80)) for _ in range(corners)]
    turns = [2 * math.pi * n / corners for n in range(corners)]
    outline = tuple(
        (r / 1000 * math.cos(a), r / 1000 * math.sin(a)) for r, a in zip(radii, turns, strict=True)
    )
    hole = min(radii) / 4000
    square = ((hole, 0.0), (0.0, hole), (-hole, 0.0), (0.0, -hole))
    return part(
        f"p{draw(st.integers(0, 10**6))}",
        outline,
        count=draw(st.integers(0, 2)),
        mirrored=1,
        grain=draw(st.none() | st.floats(-4, 4)),
        holes=(square,) if corners > 4 and draw(st.booleans()) else (),
    )


@settings(max_examples=20, deadline=None, derandomize=True)
@given(
    st.lists(jagged(), min_size=1, max_size=4, unique_by=lambda p: p.key),
    st.sampled_from(["none", "width", "height"]),
    st.sampled_from([0.0, 0.0015, 0.006]),
    st.sampled_from([0.0, 0.004]),
    st.booleans(),
)
def test_any_parts_are_laid_as_proved(
    parts: list[FlatPart], grain: str, gap: float, margin: float, tall: bool
) -> None:
    sides = (0.2, 0.3) if tall else (0.3, 0.2)
    stock = StockSheet("sheet", "board", *sides, grain)  # type: ignore[arg-type]
    nesting = nest(parts, [stock], gap=gap, margin=margin)
    assert layout_faults(nesting, parts) == []
    assert len(nesting.sheets) >= nesting.bound
    assert nesting.left_out == ()


@pytest.mark.parametrize("grain", ["width", "height"])
@pytest.mark.parametrize("tall", [True, False])
def test_grain_lies_along_the_grain_of_the_sheet(grain: str, tall: bool) -> None:
    """The direction of the grain is followed through mirroring and turning by its two ends."""
    sides = (0.3, 0.5) if tall else (0.5, 0.3)
    stock = StockSheet("sheet", "board", *sides, grain)  # type: ignore[arg-type]
    oblique = part("rib", rectangle(0.12, 0.05), count=2, mirrored=2, grain=math.radians(30))
    (sheet,) = nest([oblique], [stock]).sheets
    assert len(sheet.placements) == 4
    for place in sheet.placements:
        (ax, ay), (bx, by) = placed(
            ((0.0, 0.0), (math.cos(math.radians(30)), math.sin(math.radians(30)))),
            angle=place.angle,
            flip=place.mirrored,
        )
        across = by - ay if grain == "width" else bx - ax
        assert abs(across) < 1e-9


def test_a_part_that_fits_no_sheet_is_named() -> None:
    long = part("spar-web", rectangle(0.9, 0.05), name="Spar web", count=2, mirrored=1)
    short = part("rib", rectangle(0.2, 0.05))
    nesting = nest([long, short], [BOARD])
    assert layout_faults(nesting, [long, short]) == []
    told = {(entry.name, entry.copies) for entry in nesting.left_out}
    assert told == {("Spar web", 2), ("Spar web", 1)}
    assert "900 × 50 mm" in nesting.left_out[0].why
    assert "752 × 498 mm" in nesting.left_out[0].why


def test_grain_can_make_a_part_too_long() -> None:
    stock = replace(BOARD, grain="height")
    web = part("web", rectangle(0.7, 0.05), grain=0.0)
    nesting = nest([web], [stock])
    assert nesting.sheets == ()
    assert "along the grain" in nesting.left_out[0].why


def test_a_material_without_stock_is_told() -> None:
    nesting = nest([part("rib", rectangle(0.2, 0.05), material="balsa")], [BOARD])
    assert nesting.left_out[0].why == "the design has no stock sheet of balsa"
    assert nesting.density == 0.0


def test_a_part_of_the_whole_room_fits() -> None:
    nesting = nest([part("plate", rectangle(0.7515, 0.4975))], [BOARD])
    assert len(nesting.sheets) == 1


def test_parts_that_fit_exactly_cost_no_second_sheet() -> None:
    """Seven strips of 70.5 mm and six gaps of 2 mm fill 505.5 mm: 1 mm cells would need 509."""
    strips = [part("strip", rectangle(0.752, 0.0705), count=7)]
    stock = StockSheet("board", "board", 0.762, 0.5155)
    nesting = nest(strips, [stock])
    assert layout_faults(nesting, strips) == []
    assert len(nesting.sheets) == nesting.bound == 1
    assert nesting.materials[0].cell < 0.001


def test_four_quarters_fill_a_sheet() -> None:
    """Without gap and margin, nothing is wasted: density 1."""
    quarters = [part("quarter", rectangle(0.381, 0.254), count=4)]
    nesting = nest(quarters, [BOARD], gap=0.0, margin=0.0)
    assert layout_faults(nesting, quarters) == []
    assert nesting.density == pytest.approx(1.0)
    assert nesting.cut == pytest.approx(4 * 1.27)


def test_small_parts_may_lie_in_holes() -> None:
    frame = part("frame", rectangle(0.75, 0.49), holes=(_square(0.05, 0.05, 0.40),))
    plug = part("plug", rectangle(0.3, 0.3))
    nesting = nest([frame, plug], [BOARD])
    assert layout_faults(nesting, [frame, plug]) == []
    assert len(nesting.sheets) == 1


def _square(x: float, y: float, side: float) -> tuple[tuple[float, float], ...]:
    return tuple((x + a, y + b) for a, b in rectangle(side, side))


def test_the_cheaper_sheet_is_bought() -> None:
    large = replace(BOARD, name="large", price=6.0, currency="EUR")
    small = StockSheet("small", "board", 0.4, 0.3, price=1.5, currency="EUR")
    parts = [part("side", rectangle(0.6, 0.4)), part("rib", rectangle(0.35, 0.25), count=2)]
    nesting = nest(parts, [large, small])
    assert layout_faults(nesting, parts) == []
    assert [sheet.stock.name for sheet in nesting.sheets] == ["large", "small", "small"]


def test_the_designers_places_are_kept() -> None:
    parts = [
        part("side", rectangle(0.3, 0.2), count=2, mirrored=1),
        part("rib", rectangle(0.1, 0.1)),
    ]
    own = [
        OwnPlacement(BOARD.name, 1, "side", 0.35, 0.05),
        OwnPlacement(BOARD.name, 1, "side", 0.35, 0.27, mirrored=True),
    ]
    nesting = nest(parts, [BOARD], own=own)
    assert layout_faults(nesting, parts) == []
    assert nesting.own == (("side", 1), ("side", 3))
    first, second = nesting.sheets[0].placements[:2]
    assert (first.x, first.y, first.copy, first.mirrored) == (0.35, 0.05, 1, False)
    assert (second.x, second.y, second.copy, second.mirrored) == (0.35, 0.27, 3, True)
    assert len(nesting.sheets) == 1


def test_places_that_cannot_be_taken_are_told() -> None:
    parts = [part("side", rectangle(0.3, 0.2))]
    own = [
        OwnPlacement("door", 1, "side", 0, 0),
        *[OwnPlacement(BOARD.name, 1, "side", 0.1, 0.1)] * 2,
    ]
    nesting = nest(parts, [BOARD], own=own)
    assert layout_faults(nesting, parts) == []
    assert ['"door"' in entry.why for entry in nesting.left_out] == [True, False]
    assert "more places of its own" in nesting.left_out[1].why


_PRINTED = """
from tests.designs import file_of, glider
from tests.patterns.instances import BOARD, plane_parts
from plansgen.patterns.nest import nest
print(nest(plane_parts(12, 5), [BOARD]))
"""


def test_the_same_in_every_run() -> None:
    """Two runs with other hash seeds, byte for byte."""

    def run(seed: str) -> str:
        given = os.environ | {"PYTHONHASHSEED": seed}
        done = subprocess.run(
            [sys.executable, "-c", _PRINTED], env=given, capture_output=True, text=True, check=True
        )
        return done.stdout

    first = run("1")
    assert first.count("Placement(") == 12
    assert run("2") == first


# --- the proof itself ------------------------------------------------------------------------


def laid() -> tuple[Nesting, list[FlatPart]]:
    stock = replace(BOARD, grain="width")
    parts = [part("a", rectangle(0.2, 0.1), count=1, mirrored=1, grain=0.0)]
    return nest(parts, [stock]), parts


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"x": 0.0049}, "nearer to the edge than 5 mm"),
        ({"y": 0.105}, "mm apart, not 2 mm"),
        ({"angle": math.pi / 2, "x": 0.6, "y": 0.2}, "across its grain"),
        ({"key": "b"}, "is no part"),
        ({"copy": 2}, "laid twice"),
        ({"mirrored": True, "x": 0.6, "y": 0.3}, "mirrored on sheets, 1 wanted"),
    ],
)
def test_the_proof_finds_what_is_wrong(change: dict[str, object], fault: str) -> None:
    nesting, parts = laid()
    (sheet,) = nesting.sheets
    first, second = sorted(sheet.placements, key=lambda place: place.copy)
    wrong = replace(sheet, placements=(replace(first, **change), second))  # type: ignore[arg-type]
    assert any(fault in text for text in layout_faults(replace(nesting, sheets=(wrong,)), parts))


def test_the_proof_misses_nothing_that_is_missing() -> None:
    nesting, parts = laid()
    (sheet,) = nesting.sheets
    fewer = replace(sheet, placements=sheet.placements[:1])
    told = layout_faults(replace(nesting, sheets=(fewer,)), parts)
    assert told == ["a: 2 wanted, 1 on sheets, 0 named as left out"]
    other = replace(sheet, stock=replace(sheet.stock, material="balsa"))
    assert len(layout_faults(replace(nesting, sheets=(other,)), parts)) == 2


def test_the_places_of_a_file_are_read() -> None:
    raw = glider()
    place = {"part": "rib", "stock": "board", "x": 10, "y": "2 cm", "angle": 90, "mirrored": True}
    raw["nesting"] = {"places": [place]}
    (found,) = places_of(file_of(raw))
    assert (found.stock, found.sheet, found.key, found.mirrored) == ("board", 1, "rib", True)
    assert (found.x, found.y) == (0.01, 0.02)
    assert found.angle == pytest.approx(math.pi / 2)
