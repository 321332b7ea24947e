"""All patterns of a design in one: parts, proof, sheets, shopping, mass, and their summary."""

from __future__ import annotations

import time
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from plansgen.airframe.build import build_airframe
from plansgen.dossier import to_json, work_out_all
from plansgen.library.design import Design
from plansgen.library.folder import read_design
from plansgen.patterns.cutting import cut_parts
from plansgen.patterns.result import PatternSet, work_out_patterns
from plansgen.patterns.step_of import step_of
from plansgen.patterns.summary import summary_of
from plansgen.review.pattern_rules import fit, not_drawn, oversize, unstocked
from tests.designs import Raw, bare, design_of, glider, item, skin, wing

ROOT = Path(__file__).parents[2]
SHEET = {"name": "board, 600 x 400", "material": "board", "width": 600, "height": 400}


def cut(design: Design) -> PatternSet | None:
    airframe = build_airframe(design.file, design.section_points)
    return work_out_patterns(design, airframe, cut_parts(design, airframe))


def patterns_of(raw: Raw, steps: tuple[Raw, ...] = ()) -> PatternSet:
    found = cut(design_of(raw, steps=steps))
    assert found is not None
    return found


@cache
def dunlin() -> PatternSet:
    found = cut(read_design(ROOT, "dunlin"))
    assert found is not None
    return found


def pine(name: str, length: float, count: int = 1) -> Raw:
    size = {"width": 5, "height": 5}
    at = {"x": 100}
    return {
        "name": name,
        "material": "pine",
        "length": length,
        "count": count,
        "size": size,
        "at": at,
    }


# --- the demo trainer ------------------------------------------------------------------------


def test_dunlin_is_proved() -> None:
    found = dunlin()
    assert found.fit.holds
    assert found.layout_faults == ()
    assert found.oversize == []
    assert found.unstocked == ()
    assert found.not_drawn == ()
    keys = [*(p.key for p in found.parts), *(c.key for c in found.cut_list)]
    assert len(keys) == len(set(keys))
    laid = sum(len(sheet.placements) for sheet in found.nesting.sheets)
    assert laid == found.pieces == 30
    assert len(found.nesting.sheets) == found.nesting.bound  # nobody could need fewer


def test_every_part_of_dunlin_has_its_step() -> None:
    found = dunlin()
    assert [part.name for part in found.parts if not part.step] == []
    steps = {part.key: part.step for part in found.parts} | dict(found.steps)
    assert steps["fuselage-former-2"] == "080-body-box"
    assert steps["wing-centre-braces-160-x-12-one-half"] == "050-join-the-wing"
    assert steps["front-wing-dowel-6-mm"] == "090-undercarriage-and-dowels"
    assert set(steps) == {*(p.key for p in found.parts), *(c.key for c in found.cut_list)}


def test_prices_of_dunlin_add_up() -> None:
    """By hand: 3 boards, 1 plywood, 3 + 1 + 1 sticks, a wire and a dowel at the file's prices."""
    (total,) = dunlin().shopping.totals
    assert total.price == pytest.approx(3 * 6.5 + 4.2 + 3 * 0.9 + 0.7 + 0.8 + 1.6 + 1.1)
    assert dunlin().shopping.unpriced == ()


def test_dunlin_on_time() -> None:
    """Parts in under 1 s and sheets in under 5 s of one core; both together here."""
    design = read_design(ROOT, "dunlin")
    start = time.process_time()
    cut(design)
    assert time.process_time() - start < 5.0


def test_same_design_same_patterns() -> None:
    again = cut(read_design(ROOT, "dunlin"))
    assert again is not None
    assert again.nesting == dunlin().nesting
    assert again.parts == dunlin().parts


# --- mass ------------------------------------------------------------------------------------


def test_plates_weigh_what_the_balance_says() -> None:
    """By hand: 2 × 500 × 200 mm of 460 g/m² are 92 g; a plate's planform is the plate itself."""
    raw = bare({"wing": wing(parts=[skin()])}, items=[item("ballast", 100)])
    masses = patterns_of(raw).masses
    assert masses.parts == pytest.approx(0.092)
    assert masses.estimate == pytest.approx(0.092)
    assert [owner.title for owner in masses.owners] == ["wing"]


def test_box_is_lighter_than_its_faces() -> None:
    """By hand, box of 200 × 60 × 80: sides lose 5 mm of height to the bottom, the top 2 × 5 mm."""
    raw = glider()
    frames = [{"x": x, "width": 60, "height": 80} for x in (0, 200)]
    names = ("sides", "top", "bottom")
    raw["bodies"] = {
        "box": {"role": "fuselage", "stations": frames, "parts": [skin(n) for n in names]}
    }
    (box,) = (owner for owner in patterns_of(raw).masses.owners if owner.title == "box")
    assert box.estimate == pytest.approx(0.46 * 0.2 * 2 * (0.06 + 0.08))
    assert box.difference == pytest.approx(-0.46 * 0.2 * (2 * 0.005 + 0.010))


def test_share_and_sticks_count_alike() -> None:
    """By hand: 100 × 50 mm of which 0.8 is there; 2 pieces of 150 mm of 5 × 5 pine, 500 kg/m³."""
    raw = glider()
    tray = {"length": 100, "width": 50}
    raw["parts"] = [
        {"name": "tray", "material": "board", "plate": tray, "share": 0.8, "at": {"x": 50}},
        pine("wing dowels", 150, 2),  # named after the wing, but of no surface
    ]
    owners = {owner.title: owner for owner in patterns_of(raw).masses.owners}
    wanted = 0.46 * 0.1 * 0.05 * 0.8 + 2 * 0.15 * 0.005**2 * 500
    assert owners["other parts"].parts == pytest.approx(wanted)
    assert owners["other parts"].estimate == pytest.approx(wanted)


# --- what does not work ----------------------------------------------------------------------


def test_oversize_and_unknown_are_told() -> None:
    raw = glider() | {
        "stock": [SHEET, {"name": "pine, 90 mm", "material": "pine", "length": 90}],
    }
    raw["parts"] = [
        pine("long stick", 150),
        {"name": "lump", "material": "board", "area": 900, "at": {"x": 50}},
    ]
    found = patterns_of(raw)
    assert [words.split(":")[0] for words in found.oversize] == ["plate of board", "long stick"]
    assert found.not_drawn == ("lump: its shape is not given, only its area",)
    summary = summary_of(found)
    (rule,) = oversize(summary)
    assert rule.severity == "caution"
    assert "1000 × 200 mm" in rule.number
    (missing,) = not_drawn(summary)
    assert (missing.severity, "lump" in missing.number) == ("note", True)


def test_sheet_of_no_known_size_is_a_note() -> None:
    found = patterns_of(glider())
    assert found.unstocked == ("board",)
    assert found.oversize == []
    (rule,) = unstocked(summary_of(found))
    assert rule.severity == "note"


def test_what_gapes_is_a_caution() -> None:
    summary = summary_of(dunlin())
    assert list(fit(summary)) == []
    gaping = replace(summary, faults=("top and side: top is 1.70 mm longer than side",))
    (little,), (much,) = fit(replace(gaping, slight=True)), fit(replace(gaping, slight=False))
    assert (much.severity, "1.70 mm" in much.number) == ("caution", True)
    assert little.severity == "note"


def test_thousands_of_pieces_are_refused() -> None:
    raw = glider()
    tile = {"name": "tile", "material": "board", "plate": {"length": 9, "width": 9}, "count": 500}
    raw["parts"] = [tile | {"name": f"tile {n}", "at": {"x": 5}} for n in range(5)]
    with pytest.raises(ValueError, match="2503 pieces; at most 2000"):
        cut(design_of(raw))


def test_nothing_to_cut() -> None:
    raw = bare({"wing": wing()}, items=[item("ballast", 100)])
    assert cut(design_of(raw)) is None
    dossier, patterns = work_out_all(design_of(raw))
    assert (dossier.patterns, patterns) == (None, None)
    assert dossier.patterns_refusal == "the design has no parts"


def test_dossier_holds_the_sum_and_no_outlines() -> None:
    dossier, patterns = work_out_all(design_of(glider() | {"stock": [SHEET]}))
    assert patterns is not None
    assert dossier.patterns == summary_of(patterns)
    assert b"outline" not in to_json(dossier).split(b'"patterns"')[1].split(b'"trim_out"')[0]


# --- steps -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "name", "step"),
    [
        ("wing-r5-nose", "R5 nose", "000"),  # within R1 to R14
        ("body-sides", "sides", "001"),  # of the body, as the title says, not of the box
        ("wing-tongue-box-sides", "tongue box sides", "002"),
        ("wing-spar-caps", "spar caps 10 x 3, inner panels", "000"),  # sizes do not count
        ("wing-spar-web", "spar web", ""),
    ],
)
def test_step_by_name(key: str, name: str, step: str) -> None:
    steps = [
        {"title": "Ribs", "minutes": 5, "parts": ["ribs R1 to R14", "spar caps, pine 10 x 3"]},
        {"title": "Glue the body", "minutes": 5, "parts": ["2 sides, 755 long"]},
        {"title": "Joint", "minutes": 5, "parts": ["4 tongue box sides, 90 x 24"]},
    ]
    assert step_of(design_of(glider(), steps=steps), key, name) == step
