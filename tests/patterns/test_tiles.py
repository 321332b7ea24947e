"""Tiles cover every part once, fit the paper, and say what they are."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, STRtree

from plansgen.patterns.ink import Page, Words
from plansgen.patterns.nest import nest
from plansgen.patterns.pagemap import map_pages
from plansgen.patterns.pages import Numbering, homes_of
from plansgen.patterns.print import PrintSet, count_pages, print_set
from plansgen.patterns.sheets import Piece, Sheet, sheet_of_part, sheets_of_nesting, shifted
from plansgen.patterns.stock import StockSheet
from plansgen.patterns.tiles import Correction, Paper, Tiling, papers, tile
from tests.patterns.sample_sheets import HOSTILE, TITLE, box, part, parts, sheets, wing_skin

PAPERS = papers()
SHEETS = ("a4", "letter", "a3")


def in_mm(piece: Piece) -> Polygon:
    return Polygon([(1000 * x, 1000 * y) for x, y in piece.part.outline])


@st.composite
def drawings(draw: st.DrawFn) -> Sheet:
    """Up to five triangles of any size between a matchbox and a wing, anywhere on two metres."""
    mm = st.integers(0, 1500)
    pieces = []
    for k in range(draw(st.integers(1, 5))):
        x, y, w, h = (draw(mm) / 1000 for _ in range(4))
        outline = ((0.0, 0.0), (w + 0.01, 0.0), (w / 2, h + 0.01))
        pieces.append(Piece(shifted(part(f"p-{k}", outline), x=x, y=y)))
    return Sheet("drawn", 4.0, 4.0, tuple(pieces))


@settings(max_examples=25, deadline=None)
@given(
    sheet=drawings(),
    paper=st.sampled_from(sorted(PAPERS)),
    overlap=st.sampled_from((0.0, 5.0, 10.0, 20.0)),
    factors=st.tuples(st.sampled_from((1.0, 1.013)), st.sampled_from((1.0, 0.987))),
)
def test_tiles_cover_all_parts(
    sheet: Sheet, paper: str, overlap: float, factors: tuple[float, float]
) -> None:
    tiling = tile(sheet, PAPERS[paper], overlap=overlap, correction=Correction(*factors))
    cores = shapely.union_all([shapely.box(*t.core) for t in tiling.tiles])
    for index, piece in enumerate(sheet.pieces):
        assert shapely.area(shapely.difference(in_mm(piece), cores)) < 1e-6
        assert any(index in t.pieces for t in tiling.tiles)
    # Cores lie side by side; windows repeat exactly the overlap of what their neighbours show.
    at = {(t.column, t.row): t for t in tiling.tiles}
    for (column, row), one in at.items():
        assert shapely.box(*one.window).covers(shapely.box(*one.core))
        if right := at.get((column + 1, row)):
            assert one.window[2] - right.window[0] == pytest.approx(overlap, abs=1e-9)
            assert one.core[2] == pytest.approx(right.core[0], abs=1e-9)
        if below := at.get((column, row + 1)):
            assert below.window[3] - one.window[1] == pytest.approx(overlap, abs=1e-9)
            assert one.core[1] == pytest.approx(below.core[3], abs=1e-9)
    assert len(tiling.tiles) + len(tiling.empty) == tiling.columns * tiling.rows


@settings(max_examples=10, deadline=None)
@given(sheet=drawings(), paper=st.sampled_from(SHEETS))
def test_a_tile_is_left_out_only_when_no_part_is_on_it(sheet: Sheet, paper: str) -> None:
    tiling = tile(sheet, PAPERS[paper])
    everything = shapely.union_all([in_mm(piece) for piece in sheet.pieces])
    for one in tiling.tiles:
        assert shapely.box(*one.core).intersects(everything)
    assert len(set(tiling.empty) | {t.name for t in tiling.tiles}) == (tiling.columns * tiling.rows)


def test_the_better_way_of_laying_the_paper_is_taken() -> None:
    """Room on A4 is 191 × 260 or 278 × 173 mm, less 4 mm about the drawing and 10 mm overlap."""
    wide = tile(sheet_of_part(part("wide", box(0.27, 0.16))), PAPERS["a4"])
    tall = tile(sheet_of_part(part("tall", box(0.16, 0.25))), PAPERS["a4"])
    assert (wide.paper.width, wide.paper.height, len(wide.tiles)) == (297, 210, 1)
    assert (tall.paper.width, tall.paper.height, len(tall.tiles)) == (210, 297, 1)


def test_a_wing_skin_on_a_roll_is_one_page() -> None:
    for key in ("roll-594", "roll-610", "roll-914"):
        tiling = tile(sheet_of_part(wing_skin()), PAPERS[key])
        assert len(tiling.tiles) == 1
        assert PAPERS[key].width in (tiling.paper.width, tiling.paper.height)


def test_a_corner_without_parts_is_left_out_and_said_so() -> None:
    arms = ((0, 0), (0.6, 0), (0.6, 0.05), (0.05, 0.05), (0.05, 0.6), (0, 0.6))
    sheet = sheet_of_part(part("angle", arms))
    tiling = tile(sheet, PAPERS["a4"])
    assert tiling.empty
    made = print_set([sheet], title=TITLE, paper=PAPERS["a4"])
    text = " ".join(i.text for i in made.pages[0].items if isinstance(i, Words))
    assert "Left out because nothing is on them" in text
    assert all(name in text for name in tiling.empty)


def test_iso_216_and_north_american_sizes() -> None:
    """ISO 216: A0 is 1 m², sides as 1 to √2, each size half the one before, whole millimetres.

    North American: ANSI/ASME Y14.1 size A, 8.5 × 11 in. Rolls of 24 and 36 in: common practice, no
    source; the narrowest has the width of A1.
    """
    long, short = 1000 * 2**0.25, 1000 * 2**-0.25
    sizes = [(short, long)]
    for _ in range(4):
        short, long = long / 2, short
        sizes.append((short, long))
    for key, (wide, high) in (("a3", sizes[3]), ("a4", sizes[4])):
        assert (PAPERS[key].width, PAPERS[key].height) == pytest.approx(
            (round(wide - 0.3), round(high - 0.3)), abs=1e-9
        )
    assert PAPERS["letter"].width == pytest.approx(8.5 * 25.4)
    assert PAPERS["letter"].height == pytest.approx(11 * 25.4)
    assert PAPERS["roll-594"].width == math.floor(sizes[1][0])
    assert PAPERS["roll-610"].width == round(24 * 25.4)
    assert PAPERS["roll-914"].width == round(36 * 25.4)


@pytest.mark.parametrize("overlap", [-1.0, 95.0, math.nan])
def test_an_impossible_overlap_is_refused(overlap: float) -> None:
    with pytest.raises(ValueError, match="overlap is"):
        tile(sheet_of_part(wing_skin()), PAPERS["a4"], overlap=overlap)


@pytest.mark.parametrize("factors", [(0.5, 1.0), (1.0, 1.2), (math.nan, 1.0)])
def test_a_wrong_print_setting_is_not_corrected_away(factors: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="first print at 100 %"):
        Correction(*factors)


def points_of(page: Page) -> list[tuple[float, float]]:
    return [
        point
        for item in page.items
        for point in (item.box if isinstance(item, Words) else item.points)
    ]


@cache
def printed(key: str, factor: float = 1.0) -> PrintSet:
    correction = Correction(factor, factor)
    return print_set(sheets(), title=TITLE, paper=PAPERS[key], correction=correction)


@pytest.mark.parametrize(
    ("key", "factor"), [("a4", 1.0), ("letter", 1.02), ("a3", 1.0), ("roll-610", 1.0)]
)
def test_nothing_lies_outside_what_the_printer_reaches(key: str, factor: float) -> None:
    paper = PAPERS[key]
    for page in printed(key, factor).pages:
        for x, y in points_of(page):
            assert paper.margin - 0.2 <= x <= page.width - paper.margin + 0.2, page.title
            assert paper.margin - 0.2 <= y <= page.height - paper.margin + 0.2, page.title


@pytest.mark.parametrize(("key", "factor"), [("a4", 1.0), ("letter", 1.02), ("a3", 1.0)])
def test_no_words_overlap(key: str, factor: float) -> None:
    for page in printed(key, factor).pages:
        words = [item for item in page.items if isinstance(item, Words) and item.text]
        # A little smaller than they are: descenders and capitals seldom meet.
        boxes = [shapely.buffer(Polygon(w.box), -0.25) for w in words]
        for a, b in STRtree(boxes).query(boxes, predicate="intersects").T:
            assert a == b, (page.title, words[a].text, words[b].text)


def test_every_page_says_what_it_is() -> None:
    made = printed("a4")
    assert made.unplaced == ()
    assert len(made.pages) == count_pages(sheets(), paper=PAPERS["a4"])
    for number, page in enumerate(made.pages, start=1):
        text = " ".join(i.text for i in page.items if isinstance(i, Words))
        assert "Dunlin, revision C" in text
        assert f"page {number} of {len(made.pages)}, 3f9a1c2e" in text
        assert "100 mm" in text
        assert "4 in" in text


def test_every_part_is_named_on_each_of_its_pages_and_on_the_map() -> None:
    sheet = sheets()[2]
    tiling = tile(sheet, PAPERS["a4"])
    made = print_set([sheet], title=TITLE, paper=PAPERS["a4"])
    texts = [" ".join(i.text for i in p.items if isinstance(i, Words)) for p in made.pages]
    for index, piece in enumerate(sheet.pieces):
        name = f"{index + 1} {piece.part.name}"
        assert name in texts[0]
        for one, text in zip(tiling.tiles, texts[1:], strict=True):
            assert (name in text) == (index in one.pieces)


def test_every_part_has_one_page_with_all_its_words() -> None:
    sheet = sheets()[0]
    homes = homes_of(sheet, tile(sheet, PAPERS["a4"]))
    assert sorted(n for numbers in homes.values() for n in numbers) == [1]
    made = print_set([sheet], title=TITLE, paper=PAPERS["a4"])
    words = [i.text for p in made.pages[1:] for i in p.items if isinstance(i, Words)]
    for text in ("1 of 2", "foam-board, 5 mm", "step 2: Wing", "grain"):
        assert words.count(text) == 1
    for text in ("fold up", "fold down over the spar", "score", "bevel 30°", "hinge aileron"):
        assert text in words
    assert "glue spar" in words
    assert "balance" in words


def test_copies_are_counted_in_words() -> None:
    sheet = sheet_of_part(wing_skin())
    made = print_set([sheet], title=TITLE, paper=PAPERS["a3"])
    words = [i.text for p in made.pages for i in p.items if isinstance(i, Words)]
    assert "2 ×, one turned over" in words


def neighbours(tiling: Tiling) -> list[tuple[str, str]]:
    at = {(t.column, t.row): t.name for t in tiling.tiles}
    return [
        (name, at[other])
        for (column, row), name in at.items()
        for other in ((column + 1, row), (column, row + 1))
        if other in at
    ]


def test_join_marks_name_the_neighbour_and_meet_on_both_pages() -> None:
    sheet = sheets()[2]
    tiling = tile(sheet, PAPERS["a4"])
    made = print_set([sheet], title=TITLE, paper=PAPERS["a4"])
    pages = {t.name: p for t, p in zip(tiling.tiles, made.pages[1:], strict=True)}
    windows = {t.name: t.window for t in tiling.tiles}

    def diamonds(name: str) -> set[tuple[float, float]]:
        centres = set()
        for item in pages[name].items:
            if not isinstance(item, Words) and len(item.points) == 4:
                xs, ys = zip(*item.points, strict=True)
                if max(xs) - min(xs) == pytest.approx(6) and min(ys) < ys[0] < max(ys):
                    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
                    x, y = x - tiling.origin[0], y - tiling.origin[1]
                    west, south = windows[name][:2]
                    centres.add((round(x + west, 3), round(y + south, 3)))
        return centres

    for a, b in neighbours(tiling):
        assert len(diamonds(a) & diamonds(b)) == 2
        for one, other in ((a, b), (b, a)):
            words = [i.text for i in pages[one].items if isinstance(i, Words)]
            assert words.count(other) == 2


def test_the_map_has_a_key_of_all_lines_and_cuts_no_words() -> None:
    sheet = sheets()[3]
    made = print_set([sheet], title=TITLE, paper=PAPERS["a4"])
    words = [i.text for i in made.pages[0].items if isinstance(i, Words)]
    for kind in ("cut", "score", "fold up", "fold down", "bevel", "hinge", "glue", "mark"):
        assert any(text.startswith(f"{kind}: ") for text in words)
    assert not any("…" in text for text in words)


def test_a_long_list_of_parts_goes_on_further_map_pages() -> None:
    pieces = tuple(
        Piece(shifted(part(f"p-{k}", box(0.004, 0.004)), x=0.006 * (k % 30), y=0.006 * (k // 30)))
        for k in range(120)
    )
    sheet = Sheet("many", 0.2, 0.1, pieces)
    tiling = tile(sheet, PAPERS["a4"])
    makers = map_pages(sheet, tiling, number=0)
    pages = [make(TITLE, Numbering(k, 9)) for k, make in enumerate(makers)]
    assert len(pages) > 1
    words = [i.text for p in pages for i in p.items if isinstance(i, Words)]
    for k in range(120):
        assert any(text.startswith(f"{k + 1} P {k}") for text in words)


def test_hostile_names_are_shown_and_harmless() -> None:
    sheet = sheets()[3]
    made = print_set([sheet], title=TITLE, paper=PAPERS["a4"])
    text = " ".join(i.text for p in made.pages for i in p.items if isinstance(i, Words))
    assert '<script>alert(1)</script> & "Flügel" Ωμ □ □' in text
    assert "\u202e" not in text
    assert "\x07" not in text
    assert HOSTILE not in text


def test_a_margin_wider_than_usual_is_kept() -> None:
    paper = Paper("A4", 210.0, 297.0, margin=12.0)
    for page in print_set([sheets()[2]], title=TITLE, paper=paper).pages:
        assert all(x > 11.8 and y > 11.8 for x, y in points_of(page))


def test_pieces_of_a_sheet_do_not_lie_on_each_other() -> None:
    for sheet in sheets():
        for a, b in combinations(sheet.pieces, 2):
            assert not in_mm(a).intersects(in_mm(b))


def test_a_nesting_is_drawn_where_its_parts_were_put() -> None:
    """Every copy once, none on another, all on the stock; areas by shapely."""
    flat = [replace(p, material="foam-board") for p in parts()]
    stock = StockSheet("Foam board 5 mm", "foam-board", 0.762, 0.508, thickness=0.005)
    nested = nest(flat, [stock], gap=0.005, margin=0.005)
    made = sheets_of_nesting(nested, flat)
    assert sum(len(sheet.pieces) for sheet in made) == sum(p.pieces for p in flat)
    for sheet in made:
        shapes = [in_mm(piece) for piece in sheet.pieces]
        whole = shapely.union_all(shapes)
        assert whole.area == pytest.approx(sum(shape.area for shape in shapes), rel=1e-9)
        assert shapely.box(0, 0, 762, 508).contains(whole)
    result = print_set(made, title=TITLE, paper=PAPERS["a3"])
    assert result.unplaced == ()
    for sheet, page in zip(made, (p for p in result.pages if "Page map" in p.title), strict=False):
        words = {i.text for i in page.items if isinstance(i, Words)}
        assert {str(k + 1) for k in range(len(sheet.pieces))} <= words
