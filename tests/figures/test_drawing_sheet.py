"""Sheet, scales, title block and views."""

import textwrap
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.figures import dimensions, symbols, title_block
from plansgen.figures import sheet as sheet_module
from plansgen.figures.collisions import collisions, crossed_texts
from plansgen.figures.save import finish
from plansgen.figures.sheet import (
    SCALES,
    Canvas,
    Rect,
    Scale,
    Sheet,
    TitleBlock,
    View,
    choose_scale,
)

BLOCK = TitleBlock(
    legal_owner="Saltmarsh library",
    number="DUN-1",
    title="Dunlin",
    document_type="Plan view",
    date_of_issue="2026-11-25",
    revision="A",
    creator="R. Sedge",
    sheet=1,
    sheets=3,
    scale=Scale(1, 10),
    projection="third angle",
)

words = st.text(max_size=60)
european = st.text(st.characters(max_codepoint=0x17F), max_size=60)
sizes = st.floats(0.001, 20)


def test_scales_are_the_standard_ones():
    """ISO 5455: 50:1 20:1 10:1 5:1 2:1, 1:1, 1:2 1:5 1:10 … 1:10000 (from memory)."""
    printed = (
        "50:1 20:1 10:1 5:1 2:1 1:1 1:2 1:5 1:10 1:20 1:50 1:100 1:200 1:500 1:1000 "
        "1:2000 1:5000 1:10000"
    )
    assert " ".join(map(str, SCALES)) == printed


@pytest.mark.parametrize(("paper", "size"), [("a4", (297, 210)), ("a3", (420, 297))])
def test_paper(paper, size):
    """ISO 216: A4 210 × 297 mm, A3 297 × 420 mm; here landscape."""
    sheet = Sheet(paper=paper)
    assert (sheet.width_mm, sheet.height_mm) == size


def test_frame():
    """ISO 5457: 20 mm on the left for filing, 10 mm elsewhere (from memory)."""
    assert Sheet().frame == Rect(20, 10, 287, 200)


def test_title_block_width():
    """ISO 7200: 180 mm wide (from memory), which fits an A4 sheet's frame."""
    box = title_block.draw(Canvas(width_mm=297, height_mm=210), BLOCK, right_mm=287, bottom_mm=10)
    assert box.width == 180
    assert 24 <= box.height <= 30
    assert box.left >= 20


@given(width=sizes, height=sizes)
def test_largest_scale_that_fits(width, height):
    area = Sheet().drawing_area
    scale = choose_scale(width_m=width, height_m=height, area=area)
    assert scale.mm(width) <= area.width + 1e-6
    assert scale.mm(height) <= area.height + 1e-6
    for larger in SCALES[: SCALES.index(scale)]:
        assert larger.mm(width) > area.width or larger.mm(height) > area.height


def test_what_does_not_fit():
    with pytest.raises(ValueError, match="does not fit"):
        choose_scale(width_m=1e6, height_m=1, area=Sheet().drawing_area)


@settings(deadline=None, max_examples=30)
@given(owner=european, title=european, creator=european, approved=european)
def test_title_block_holds_any_words(owner, title, creator, approved):
    block = TitleBlock(owner, title, title, owner, "2026-11-25", "A", creator, approved)
    assert collisions(Sheet(block).figure()) == []


@settings(deadline=None, max_examples=30)
@given(title=words)
def test_title_block_survives_any_script(title):
    """Letters of other scripts may be higher than capitals, but stay within the frame."""
    sheet = Sheet(TitleBlock(title, title, title, title, "2026-11-25", "A", title))
    assert not [fault for fault in collisions(sheet.figure()) if "over the edge" in fault]


def test_title_block_is_clean():
    figure = Sheet(BLOCK).figure()
    assert collisions(figure) == []
    assert crossed_texts(figure) == []


def test_areas_do_not_meet():
    sheet = Sheet(BLOCK)
    assert sheet.drawing_area.bottom > sheet.frame.bottom + title_block.HEIGHT_MM
    assert sheet.corner_area.right < sheet.frame.right - title_block.WIDTH_MM
    assert sheet.corner_area.top < sheet.drawing_area.bottom


def test_view_is_true_to_scale():
    view = View(
        Canvas(width_mm=200, height_mm=100), Scale(1, 5), origin_mm=(50, 40), datum_m=(0.1, 0)
    )
    assert view.at(0.1, 0) == (50, 40)
    assert view.at(0.2, 0.05) == pytest.approx((70, 50))
    view.edge([(0, 0), (0.3, 0.1)])
    assert view.box.width == pytest.approx(0.3 * 1000 / 5)
    assert view.box.height == pytest.approx(0.1 * 1000 / 5)


def test_empty_view_has_no_box():
    view = View(Canvas(width_mm=200, height_mm=100), Scale(1, 5), origin_mm=(0, 0))
    with pytest.raises(ValueError, match="empty"):
        _ = view.box


def test_view_centred():
    area = Rect(20, 30, 120, 80)
    canvas = Canvas(width_mm=200, height_mm=100)
    view = View.centred(canvas, Scale(1, 10), low_m=(-0.2, 0), high_m=(0.4, 0.3), area=area)
    assert view.at(0.1, 0.15) == pytest.approx(area.centre)


def test_the_sample_in_the_docstring_runs():
    """The sample says itself that its drawing is clean; here its values must be drawn, too."""
    code = textwrap.dedent(sheet_module.__doc__.split("::\n", 1)[1].split("``legend``")[0])
    names = {**vars(sheet_module), **vars(dimensions), "replace": replace, "symbols": symbols}
    names |= {"collisions": collisions, "finish": finish}
    exec(code, names)
    svg = names["drawing"].svg.decode()
    assert names["legend"] == {}
    assert crossed_texts(names["figure"]) == []
    for words in ("1200", "800", "200", "80", "battery, 120 g", "1:10"):
        assert f">{words}</text>" in svg
