"""The check itself must find what is wrong; the marks must be where they are put."""

import math

import pytest
from matplotlib.figure import Figure

from plansgen.figures import symbols
from plansgen.figures.canvas import Canvas
from plansgen.figures.collisions import collisions, crossed_texts, overlap_mm, text_boxes
from plansgen.figures.scales import Rect, Scale
from plansgen.figures.sheet import Sheet
from plansgen.figures.view import View


def canvas_with(*texts):
    canvas = Canvas(width_mm=200, height_mm=100)
    for x, y, text, look in texts:
        canvas.text(x, y, text, **look)
    return canvas


def faults(*texts):
    return collisions(canvas_with(*texts).figure())


def test_finds_an_overlap():
    assert len(faults((50, 50, "1250", {}), (55, 51, "300", {}))) == 1
    assert faults((50, 50, "1250", {}), (50, 56, "300", {})) == []


def test_turned_text_is_judged_by_its_own_box():
    """The upright boxes of two parallel slanted texts overlap; the texts do not."""
    slanted = {"rotation": 45}
    assert faults((50, 30, "battery, 120 g", slanted), (58, 30, "battery, 120 g", slanted)) == []
    assert faults((50, 30, "battery, 120 g", slanted), (52, 30, "battery, 120 g", slanted))


def test_finds_text_off_the_sheet_and_over_the_frame():
    (fault,) = faults((190, 50, "battery", {}))
    assert "over the edge" in fault
    sheet = Sheet()
    sheet.text(15, 100, "filed")
    assert len(collisions(sheet.figure())) == 1


def test_finds_small_text():
    canvas = Canvas(width_mm=200, height_mm=100)
    canvas.text(50, 50, "tiny", height_mm=1.8)
    assert ["1.8 mm high" in fault for fault in collisions(canvas.figure())] == [True]


def test_knows_common_figures_too():
    figure = Figure(figsize=(4, 3))
    figure.text(0.5, 0.5, "one thing", size=20)
    figure.text(0.52, 0.5, "another", size=20, rotation=30)
    assert any("overlaps" in fault for fault in collisions(figure))


@pytest.mark.parametrize(
    ("line", "crossed"),
    [
        ([(40, 51), (120, 51)], True),
        ([(40, 40), (70, 60)], True),
        ([(40, 49), (120, 49)], False),
        ([(52, 20), (52, 90)], True),
        ([(49, 20), (49, 90)], False),
    ],
)
def test_finds_lines_through_text(line, crossed):
    canvas = canvas_with((50, 50, "1250", {}))
    canvas.line(line)
    assert bool(crossed_texts(canvas.figure())) is crossed


def test_overlap_of_unit_squares():
    """Geometry: squares of side 10 at a distance of 8 overlap by 2, of 13 are 3 apart."""
    boxes = text_boxes(canvas_with((50, 50, "HHH", {}), (50, 50, "HHH", {"rotation": 90})).figure())
    width = boxes[0].corners[1][0] - boxes[0].corners[0][0]
    assert overlap_mm(boxes[0], boxes[0]) == pytest.approx(3.5, rel=0.01)
    assert boxes[1].corners[1][1] - boxes[1].corners[0][1] == pytest.approx(width)


def test_levels():
    canvas = canvas_with(
        (50, 50, "H", {"level": "top"}),
        (50, 50, "H", {"level": "middle", "rotation": 90}),
        (50, 50, "H", {"align": "right"}),
    )
    top, turned, right = text_boxes(canvas.figure())
    assert max(y for _, y in top.corners) == pytest.approx(50, abs=0.01)
    xs = [x for x, _ in turned.corners]
    assert (min(xs) + max(xs)) / 2 == pytest.approx(50, abs=0.01)
    assert max(x for x, _ in right.corners) == pytest.approx(50)


def test_hatching_stays_inside_and_rises_at_45_degrees():
    box = Rect(10, 20, 47, 31)
    lines = symbols.hatching(box, spacing_mm=2)
    assert len(lines) == int((box.width + box.height) / (2 * math.sqrt(2)))
    for (x1, y1), (x2, y2) in lines:
        assert y2 - y1 == pytest.approx(x2 - x1)
        for x, y in ((x1, y1), (x2, y2)):
            assert box.left - 1e-9 <= x <= box.right + 1e-9
            assert box.bottom - 1e-9 <= y <= box.top + 1e-9


def test_marks_together_are_clean():
    canvas = Canvas(width_mm=200, height_mm=100)
    view = View(canvas, Scale(1, 10), origin_mm=(100, 50))
    symbols.target_band(view, low_m=(-0.1, -0.2), high_m=(0.1, 0.2))
    symbols.balance_point(view, 0, 0)
    symbols.mass_mark(view, 0.3, 0)
    symbols.station_tick(view, 0.5, 0, "500")
    symbols.station_tick(view, 0.7, 0, "700", up=False)
    for k, word in enumerate(("aft", "up", "outboard", "forward")):
        symbols.direction(canvas, 30 + 40 * k, 15, word, to_deg=90 * k, length_mm=8)
    figure = canvas.figure()
    assert collisions(figure) == []
    assert crossed_texts(figure) == []
