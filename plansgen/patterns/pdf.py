"""Pages to PDF in their true size: the same pages always give the same bytes.

The writer is ReportLab: a quarter of the time of matplotlib's for pages full of words, coordinates
to a ten-thousandth of a point, an embedded typeface and searchable words.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable

from reportlab.pdfgen.canvas import Canvas

from plansgen.patterns import typeface
from plansgen.patterns.ink import Fill, Item, Page, Stroke
from plansgen.patterns.typeface import PT_PER_MM

# ReportLab's repeatable mode writes a made-up date; blanks of the same length leave no date.
_DATE = re.compile(rb"/(CreationDate|ModDate) \(D:[^)]*\)")


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
    canvas.setLineJoin(1)
    if page.title:
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(typeface.clean(page.title), key)
    for item in page.items:
        _write_item(canvas, item)
    canvas.showPage()


def _write_item(canvas: Canvas, item: Item) -> None:
    if isinstance(item, Stroke):
        canvas.setStrokeGray(item.grey)
        canvas.setLineWidth(item.width * PT_PER_MM)
        canvas.setLineCap(0 if item.dash else 1)
        canvas.setDash([length * PT_PER_MM for length in item.dash])
        _path(canvas, item.points, closed=item.closed, stroke=1, fill=0)
    elif isinstance(item, Fill):
        canvas.setFillGray(item.grey)
        _path(canvas, item.points, closed=True, stroke=0, fill=1)
        canvas.setFillGray(0)
    elif item.text:
        canvas.saveState()
        canvas.setFont(typeface.font(item.bold), typeface.size_pt(item.height))
        canvas.translate(item.x * PT_PER_MM, item.y * PT_PER_MM)
        if item.angle:
            canvas.rotate(item.angle)
        put = {
            "left": canvas.drawString,
            "center": canvas.drawCentredString,
            "right": canvas.drawRightString,
        }[item.align]
        put(0, 0, item.text)
        canvas.restoreState()


def _path(
    canvas: Canvas, points: Iterable[tuple[float, float]], *, closed: bool, stroke: int, fill: int
) -> None:
    path = canvas.beginPath()
    for k, (x, y) in enumerate(points):
        (path.lineTo if k else path.moveTo)(x * PT_PER_MM, y * PT_PER_MM)
    if closed:
        path.close()
    canvas.drawPath(path, stroke=stroke, fill=fill)
