"""Pages to PDF in their true size: the same pages always give the same bytes.

The writer is ReportLab: a quarter of the time of matplotlib's for pages full of words, coordinates
to a ten-thousandth of a point, an embedded typeface and searchable words. Lines, most of a page,
are given to it as the operators of PDF themselves (ISO 32000-1, 8.4 and 8.5): its own way to draw
them takes four times as long.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterable, Sequence

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from plansgen.patterns import typeface
from plansgen.patterns.ink import Fill, Page, Stroke, Words
from plansgen.patterns.typeface import PT_PER_MM

# ReportLab's repeatable mode writes a made-up date; blanks of the same length leave no date.
_DATE = re.compile(rb"/(CreationDate|ModDate) \(D:[^)]*\)")

rl_config.useA85 = False  # streams as they are, not as text that is a quarter longer


def pdf_bytes(pages: Iterable[Page], *, title: str, subject: str = "") -> bytes:
    """A PDF of pages, each of its own size.

    Args:
        pages: What to write.
        title: Of the document, for readers' windows and for those who hear it.
        subject: What it holds.
    """
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, initialFontName=typeface.font())
    canvas.setTitle(typeface.clean(title))
    canvas.setSubject(typeface.clean(subject))
    canvas.setAuthor("")
    canvas.setCreator("plansgen")
    for number, page in enumerate(pages):
        _write_page(canvas, page, f"page-{number}")
    canvas.save()
    return _DATE.sub(lambda found: b" " * len(found[0]), out.getvalue())


def _write_page(canvas: Canvas, page: Page, key: str) -> None:
    canvas.setPageSize((page.width * PT_PER_MM, page.height * PT_PER_MM))
    if page.title:
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(typeface.clean(page.title), key)
    canvas.addLiteral("1 j")  # corners are rounded
    look = ""
    for item in page.items:
        if isinstance(item, Words):
            _write_words(canvas, item)
        elif isinstance(item, Fill):
            canvas.addLiteral(f"q {_n(item.grey)} g {_path(item.points)} h f Q")
        else:
            new = _look(item)
            close = "h S" if item.closed else "S"
            canvas.addLiteral(f"{new if new != look else ''}{_path(item.points)} {close}")
            look = new
    canvas.showPage()


def _look(stroke: Stroke) -> str:
    """Grey, width, ends and dashes."""
    dash = " ".join(_n(length * PT_PER_MM) for length in stroke.dash)
    cap = 0 if stroke.dash else 1
    return f"{_n(stroke.grey)} G {_n(stroke.width * PT_PER_MM)} w {cap} J [{dash}] 0 d "


def _path(points: Sequence[tuple[float, float]]) -> str:
    numbers = [(_n(x * PT_PER_MM), _n(y * PT_PER_MM)) for x, y in points]
    return " l ".join(f"{x} {y}" for x, y in numbers).replace(" l ", " m ", 1) + (
        " l" if len(numbers) > 1 else " m"
    )


def _n(value: float) -> str:
    """A number without an exponent, which PDF does not know, to a ten-thousandth."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _write_words(canvas: Canvas, words: Words) -> None:
    if not words.text:
        return
    wide = typeface.width(words.text, words.height, bold=words.bold)
    start = {"left": 0.0, "center": -wide / 2, "right": -wide}[words.align]
    turn = math.radians(words.angle)
    cos, sin = math.cos(turn), math.sin(turn)
    x, y = (words.x + start * cos) * PT_PER_MM, (words.y + start * sin) * PT_PER_MM
    text = canvas.beginText()
    text.setFont(typeface.font(words.bold), typeface.size_pt(words.height))
    text.setTextTransform(cos, sin, -sin, cos, x, y)
    text.textLine(words.text)
    canvas.drawText(text)
