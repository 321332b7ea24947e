"""Printed pages are true to size, searchable and the same every time."""

from __future__ import annotations

import hashlib
import io
import math
import os
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader
from pypdf.generic import ContentStream

from plansgen.patterns.dxf import sheet_dxf
from plansgen.patterns.flow import Bullets, Caution, Heading, Paragraph, Rows, flow_pages
from plansgen.patterns.ink import Page, Stroke, Words
from plansgen.patterns.pdf import pdf_bytes
from plansgen.patterns.planset import Cover, DrawingPages, PatternPages, TextPages, plan_set
from plansgen.patterns.print import print_pdf, print_set
from plansgen.patterns.sheets import sheet_of_part
from plansgen.patterns.svg import sheet_svg
from plansgen.patterns.tiles import Correction, papers
from tests.patterns.sample_sheets import TITLE, box, part, sheets

PAPERS = papers()
PT = 72 / 25.4  # PDF 32000-1:2008, 8.3.2.3: the unit of user space is 1/72 in

REPOSITORY = Path(__file__).resolve().parents[2]


@cache
def printed(key: str, across: float = 1.0, along: float = 1.0) -> bytes:
    correction = Correction(across, along)
    return print_pdf(sheets()[3:], title=TITLE, paper=PAPERS[key], correction=correction)


def segments(page: object) -> list[tuple[float, float, float, float]]:
    """Straight pieces of all lines of a page, from its content stream; no state but the path."""
    found = []
    at = start = (0.0, 0.0)
    for operands, operator in ContentStream(page.get_contents(), None).operations:  # type: ignore[attr-defined]
        if operator == b"m":
            at = start = tuple(map(float, operands))
        elif operator == b"l":
            to = tuple(map(float, operands))
            found.append((*at, *to))
            at = to
        elif operator == b"h":
            found.append((*at, *start))
    return found


def bars(page: object) -> tuple[list[float], list[float]]:
    """Lengths of level and upright lines in millimetres."""
    level, upright = [], []
    for x0, y0, x1, y1 in segments(page):
        if y0 == y1:
            level.append(abs(x1 - x0) / PT)
        if x0 == x1:
            upright.append(abs(y1 - y0) / PT)
    return level, upright


def near(lengths: list[float], wanted: float) -> int:
    """How many lines are as long as wanted; the writer rounds to 0.0001 pt."""
    return sum(math.isclose(length, wanted, abs_tol=1e-4) for length in lengths)


@pytest.mark.parametrize("key", ["a4", "letter", "a3", "roll-610"])
def test_every_page_has_bars_of_100_mm_and_4_in(key: str) -> None:
    """100 mm are 283.465 pt, 4 in are 288 pt: 1 in = 25.4 mm = 72 pt exactly."""
    for page in PdfReader(io.BytesIO(printed(key))).pages:
        level, upright = bars(page)
        assert near(level, 100.0) >= 1
        assert near(level, 288 / PT) >= 1
        assert near(upright, 100.0) >= 1
        assert "/UserUnit" not in page
        assert page.get("/Rotate", 0) == 0


def test_bars_are_corrected_like_everything_else() -> None:
    """The printer draws paper in short side first: on a page that lies it errs the other way."""
    for page in PdfReader(io.BytesIO(printed("a4", 1.01, 0.99))).pages:
        lies = page.mediabox.width > page.mediabox.height
        x, y = (0.99, 1.01) if lies else (1.01, 0.99)
        level, upright = bars(page)
        assert near(level, 100 * x) == 1
        assert near(level, 4 * 25.4 * x) == 1
        assert near(upright, 100 * y) == 1


def test_lines_of_a_part_are_true_to_size_and_corrected() -> None:
    sheet = sheet_of_part(part("plate", box(0.12, 0.05)))
    for factor in (1.0, 1.01):
        corrected = Correction(factor, 1.0)
        data = print_pdf([sheet], title=TITLE, paper=PAPERS["a4"], correction=corrected)
        level, upright = bars(PdfReader(io.BytesIO(data)).pages[1])
        assert near(level, 120.0 * factor) == 2
        assert near(upright, 50.0) == 2


def test_pages_have_the_size_of_the_paper() -> None:
    """A4 is 595.276 × 841.890 pt (ISO 216 and 72 pt to the inch)."""
    for page in PdfReader(io.BytesIO(printed("a4"))).pages:
        sides = sorted(map(float, (page.mediabox.width, page.mediabox.height)))
        assert sides == pytest.approx([595.276, 841.890], abs=0.001)


@pytest.fixture(scope="session")
def pdftoppm() -> str:
    path = shutil.which("pdftoppm")
    if path is None:
        pytest.skip("no pdftoppm found; install Debian's poppler-utils to measure printed pixels")
    return path


DPI = 600


def pixels(pdftoppm: str, pdf: Path, page: int, room: tuple[float, ...]) -> np.ndarray:
    """Blackness from 0 to 1 of a rectangle, left, top, width, height in millimetres."""
    x, y, w, h = (str(round(value / 25.4 * DPI)) for value in room)
    crop = ("-x", x, "-y", y, "-W", w, "-H", h)
    run = (pdftoppm, "-r", str(DPI), "-gray", "-f", str(page), "-l", str(page), *crop, str(pdf))
    done = subprocess.run(run, capture_output=True, check=True)
    return 1 - np.asarray(Image.open(io.BytesIO(done.stdout)), dtype=float) / 255


def distance(profile: np.ndarray) -> float:
    """Between the middles of the first and the last black line of a profile. [mm]"""
    dark = np.flatnonzero(profile > 0.3)
    runs = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
    middles = [np.average(run, weights=profile[run]) for run in (runs[0], runs[-1])]
    return float(middles[1] - middles[0]) * 25.4 / DPI


@pytest.mark.parametrize("key", ["a4", "roll-610"])
def test_printed_pixels_are_100_mm_apart(pdftoppm: str, tmp_path: Path, key: str) -> None:
    """Asked for: 100.00 ± 0.05 mm at 600 dots to the inch, one dot being 0.042 mm."""
    pdf = tmp_path / "patterns.pdf"
    pdf.write_bytes(printed(key))
    page = PdfReader(pdf).pages[1]
    high = float(page.mediabox.height) / PT
    # The long strokes at the ends of a bar reach 1.4 mm, those between 0.8 mm: measure at 1.1 mm.
    level = pixels(pdftoppm, pdf, 2, (13.0, high - 5 - 9.2 - 1.2, 106.0, 0.2))
    assert distance(level.mean(axis=0)) == pytest.approx(100.0, abs=0.05)
    inches = pixels(pdftoppm, pdf, 2, (13.0, high - 5 - 1.6 - 1.2, 106.0, 0.2))
    assert distance(inches.mean(axis=0)) == pytest.approx(101.6, abs=0.05)
    upright = pixels(pdftoppm, pdf, 2, (5 + 5.5 + 1.0, high - 5 - 28 - 103.0, 0.2, 106.0))
    assert distance(upright.mean(axis=1)) == pytest.approx(100.0, abs=0.05)


def test_words_can_be_found_and_their_typeface_is_in_the_file() -> None:
    data = print_pdf(sheets()[2:], title=TITLE, paper=PAPERS["a3"])
    reader = PdfReader(io.BytesIO(data))
    text = " ".join(page.extract_text() for page in reader.pages)
    for words in ("Fuselage side", "fold up 12°", '"Flügel" Ωμ □ □', "2 of 2, turned over"):
        assert words in text
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            font = font.get_object()
            used = font["/BaseFont"] != "/Helvetica"
            assert not used or "/FontFile2" in font["/FontDescriptor"].get_object()
            assert used


def test_no_date_and_no_path_is_in_the_file() -> None:
    data = printed("a4")
    assert b"CreationDate" not in data
    assert b"ModDate" not in data
    assert str(Path.home()).encode() + b"/" not in data
    assert PdfReader(io.BytesIO(data)).metadata.title == "Dunlin: patterns, A4"


def drawing() -> bytes:
    """A page of a size of its own, as a drawing would come."""
    page = Page(420.0, 297.0, (Stroke(((20.0, 20.0), (320.0, 20.0)), 0.35),))
    return pdf_bytes([page], title="drawing")


STEP = "Score the inside of the skin along the spar line, half through, and fold it. "


def whole_set() -> bytes:
    step = (
        Heading("Fold the wing"),
        Paragraph(STEP * 5),
        Bullets(("Knife", "Steel rule", STEP * 2), numbered=True),
        Caution("CAUTION", "A sharp knife needs little force: keep fingers behind the edge."),
    )
    cover = Cover(TITLE, "flown", (("Span", "1 080 mm"), ("Mass", "412 g")), "For calm evenings.")
    blocks = [
        DrawingPages("Three views", drawing),
        DrawingPages("Side view", drawing()),
        PatternPages("Patterns", tuple(sheets()[3:]), PAPERS["a4"]),
        TextPages("Steps", step * 8),
    ]
    return plan_set(cover, blocks, paper=PAPERS["a4"])


def test_a_plan_set_has_everything_in_order_and_says_on_which_page() -> None:
    reader = PdfReader(io.BytesIO(whole_set()))
    texts = [page.extract_text() for page in reader.pages]
    patterns = len(print_set(sheets()[3:], title=TITLE, paper=PAPERS["a4"]).pages)
    steps = len(reader.pages) - 3 - patterns
    assert steps >= 2
    for words in ("Dunlin", "revision C", "flown", "1 080 mm", "Contents", "page 2"):
        assert words in texts[0]
    assert f"pages 4 to {3 + patterns}" in texts[0]
    for number, text in enumerate(texts, start=1):
        drawn = number in (2, 3)
        assert drawn or f"page {number} of {len(texts)}" in text
    assert texts[3 + patterns].startswith("Steps")
    titles = [entry.title for entry in reader.outline]
    assert titles == ["Cover", "Three views", "Side view", "Patterns", "Steps"]


def test_a_drawing_in_a_plan_set_keeps_its_size() -> None:
    page = PdfReader(io.BytesIO(whole_set())).pages[1]
    assert float(page.mediabox.width) / PT == pytest.approx(420.0, abs=1e-3)
    assert near(bars(page)[0], 300.0) == 1


@pytest.mark.parametrize("data", [b"", b"not a file of pages"])
def test_a_drawing_that_is_no_pdf_is_named(data: bytes) -> None:
    with pytest.raises(ValueError, match="the drawing 'Three views' is"):
        plan_set(Cover(TITLE), [DrawingPages("Three views", data)], paper=PAPERS["a4"])


def test_text_stays_in_its_room_and_headings_with_their_text() -> None:
    blocks = (Heading("Long " * 30, 1), Heading("Fold"), Paragraph("x" * 400 + " " + STEP * 20))
    rows = Rows((("name " * 20, "value " * 40),))
    pages = flow_pages(
        [*blocks, rows, Caution("WARNING", STEP * 60), *blocks], width=120.0, height=100.0
    )
    assert len(pages) > 3
    for page in pages:
        for item in page:
            for x, y in item.box if isinstance(item, Words) else item.points:
                assert -0.1 <= x <= 120.1
                assert -1.0 <= y <= 100.6  # accents stand above capitals
        last = min((i for i in page if isinstance(i, Words)), key=lambda w: w.y)
        assert not last.text.startswith("Fold")


def hashes() -> list[str]:
    """Of everything that is written, for a run of its own."""
    sheet = sheets()[3]
    made = (printed("a4"), whole_set(), sheet_svg(sheet, title="s"), sheet_dxf(sheet))
    return [hashlib.sha256(data).hexdigest() for data in made]


def test_another_run_gives_the_same_bytes() -> None:
    code = "from tests.patterns.test_pdf import hashes; print(*hashes())"
    env = {**os.environ, "PYTHONHASHSEED": "4711"}
    run = (sys.executable, "-c", code)
    done = subprocess.run(run, capture_output=True, check=True, env=env, cwd=REPOSITORY, text=True)
    assert done.stdout.split() == hashes()
