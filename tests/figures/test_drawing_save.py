"""Files: true to size, the same every time, readable without the picture, dark twin exact."""

import math
import os
import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure

from plansgen.figures.canvas import Canvas
from plansgen.figures.save import dark_twin, finish, svg_bytes
from plansgen.figures.scales import Scale
from plansgen.figures.sheet import Sheet, TitleBlock, View
from plansgen.figures.style import PALETTE

SVG = "{http://www.w3.org/2000/svg}"


def three_view():
    """A sheet of 2,000 points and 40 labels."""
    block = TitleBlock("Saltmarsh", "W-1", "Whimbrel", "Plan", "2026-11-25", "A", "R. Sedge")
    sheet = Sheet(block)
    view = View(sheet, Scale(1, 10), origin_mm=(150, 120))
    turns = [2 * math.pi * i / 200 for i in range(200)]
    for k in range(10):
        view.edge([(0.05 * k * math.cos(t), 0.3 * math.sin(t)) for t in turns], closed=True)
    view.hidden([(0, 0), (0.3, 0.1)])
    for k in range(40):
        view.text(-0.9 + 0.2 * (k % 8), 0.35 - 0.1 * (k // 8), f"{37 * k}")
    return sheet.figure()


def save(figure):
    return svg_bytes(figure, title="Whimbrel", description="From above")


def test_a4_is_297_mm_wide():
    """ISO 216 A4; 297 mm = 841.89 pt and 210 mm = 595.28 pt at 72 points to the inch."""
    root = ElementTree.fromstring(save(three_view()))
    assert (root.get("width"), root.get("height")) == ("297mm", "210mm")
    box = [float(number) for number in root.get("viewBox").split()]
    assert box == pytest.approx([0, 0, 297 / 25.4 * 72, 210 / 25.4 * 72], abs=0.001)


def test_hundred_millimetres_are_drawn_as_such():
    """100 mm = 283.465 pt; the file keeps thousandths of a point."""
    canvas = Canvas(width_mm=150, height_mm=50)
    canvas.line([(10, 20), (110, 20)])
    found = re.search(
        rb'd="M ([\d.]+) ([\d.]+) \nL ([\d.]+) ([\d.]+)', strip_ground(save(canvas.figure()))
    )
    x1, y1, x2, y2 = map(float, found.groups())
    assert x2 - x1 == pytest.approx(283.465, abs=0.0015)
    assert y1 == y2 == pytest.approx((50 - 20) / 25.4 * 72, abs=0.001)


def strip_ground(svg):
    """Without the first path, which is the paper."""
    return svg.split(b"</g>", 1)[1]


def test_says_what_it_shows():
    drawing = finish(three_view(), name="plan", alt="Wing <swept> & more\x00", caption="Plan")
    root = ElementTree.fromstring(drawing.svg)
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text == "Plan"
    assert root.find(f"{SVG}desc").text == "Wing <swept> & more"
    assert (drawing.width_mm, drawing.height_mm) == (297, 210)


def test_carries_no_trace_of_its_making():
    svg = save(three_view())
    for trace in (b"matplotlib", b"Matplotlib", b"<metadata", b"<!DOCTYPE", b"http://purl"):
        assert trace not in svg
    assert re.search(rb"20\d\d-\d\d-\d\d", svg.replace(b"2026-11-25", b"")) is None


def test_text_stays_text_in_a_stack_of_fonts():
    root = ElementTree.fromstring(save(three_view()))
    texts = list(root.iter(f"{SVG}text"))
    assert "Whimbrel" in [text.text for text in texts]
    assert "'DejaVu Sans', 'Verdana', 'Geneva', sans-serif" in texts[0].get("style")


def test_words_are_never_markup_nor_formulae():
    canvas = Canvas(width_mm=150, height_mm=50)
    words = "$\\frac{1}{2}$ <script>&amp; #ffffff 1.23456 漢字 🛩"
    canvas.text(10, 20, words)
    drawing = finish(canvas.figure(), name="x", alt="x", caption="x")
    for svg in (drawing.svg, drawing.dark):
        assert [t.text for t in ElementTree.fromstring(svg).iter(f"{SVG}text")] == [words]


def test_dark_twin():
    svg = save(three_view())
    dark = dark_twin(svg)
    colours = set(re.findall(rb"#[0-9a-f]{6}", dark))
    assert colours <= {shade.dark.encode() for shade in PALETTE.values()}
    assert re.sub(rb"#[0-9a-f]{6}", b"", dark) == re.sub(rb"#[0-9a-f]{6}", b"", svg)


def test_dark_twin_refuses_strange_colours():
    figure = Figure(figsize=(2, 1), facecolor="#123456")
    with pytest.raises(ValueError, match="#123456"):
        dark_twin(save(figure))


def test_size():
    assert len(save(three_view())) < 80_000


def test_same_bytes_with_any_hash_seed():
    code = (
        f"import hashlib, sys; sys.path.insert(0, {str(Path(__file__).parent)!r});"
        "from test_drawing_save import *;"
        "d = finish(three_view(), name='x', alt='y', caption='z');"
        "print(hashlib.sha256(d.svg + d.dark).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "SOURCE_DATE_EPOCH": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "4242")
    }
    assert len(digests) == 1
    assert digests.pop().strip()
