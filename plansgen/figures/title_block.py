"""The title block, with the data fields of ISO 7200 (from memory)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from plansgen.figures import style
from plansgen.figures.canvas import Canvas
from plansgen.figures.lettering import fit
from plansgen.figures.scales import Rect, Scale

WIDTH_MM = 180.0
ROW_MM = 9.9
HEIGHT_MM = 3 * ROW_MM

_PAD_MM = 1.5
_NAME_TOP_MM = 0.8
_VALUE_FOOT_MM = 1.2
_SYMBOL_MM = 17.0
_SYMBOL_LINE = style.LineType(0.35, "ink")


@dataclass(frozen=True)
class TitleBlock:
    """What the title block says.

    legal_owner: who owns the drawing.
    number: identification number.
    title: what is drawn.
    document_type: kind of drawing.
    date_of_issue: ISO 8601 date.
    revision: letter or number of the revision.
    creator: who drew it.
    approved_by: who approved it, ``—`` if nobody has.
    sheet: number of this sheet.
    sheets: number of sheets.
    scale: main scale, or none.
    projection: how the views are arranged, or none when there is only one.
    """

    legal_owner: str
    number: str
    title: str
    document_type: str
    date_of_issue: str
    revision: str
    creator: str
    approved_by: str = "—"
    sheet: int = 1
    sheets: int = 1
    scale: Scale | None = None
    projection: Literal["first angle", "third angle"] | None = None


def draw(canvas: Canvas, block: TitleBlock, *, right_mm: float, bottom_mm: float) -> Rect:
    """Draw the block with its lower right corner at a point of the sheet; its rectangle."""
    box = Rect(right_mm - WIDTH_MM, bottom_mm, right_mm, bottom_mm + HEIGHT_MM)
    rows: tuple[tuple[tuple[str, str, float], ...], ...] = (
        (
            ("Legal owner", block.legal_owner, 58),
            ("Document type", block.document_type, 50),
            ("Creator", block.creator, 40),
            ("Approved by", block.approved_by, 32),
        ),
        (("Title", block.title, 108), ("Identification number", block.number, 72)),
        (
            ("Scale", str(block.scale or "—"), 20),
            ("Sheet", f"{block.sheet}/{block.sheets}", 18),
            ("Revision", block.revision, 22),
            ("Date of issue", block.date_of_issue, 34),
            ("Projection and units", _note(block), 86),
        ),
    )
    for number, row in enumerate(rows):
        top = box.top - number * ROW_MM
        left = box.left
        for name, value, width in row:
            bold = name == "Title"
            _cell(canvas, Rect(left, top - ROW_MM, left + width, top), name, value, bold=bold)
            left += width
    if block.projection:
        _symbol(
            canvas, block.projection, centre=(box.right - _SYMBOL_MM / 2, bottom_mm + ROW_MM / 2)
        )
    canvas.line(
        [(box.left, bottom_mm), (box.left, box.top), (box.right, box.top), (box.right, bottom_mm)],
        style.EDGE,
        closed=True,
    )
    return box


def _note(block: TitleBlock) -> str:
    views = f"{block.projection}, " if block.projection else ""
    return f"{views}lengths in mm"


def _cell(canvas: Canvas, cell: Rect, name: str, value: str, *, bold: bool) -> None:
    canvas.line([(cell.left, cell.bottom), (cell.right, cell.bottom)], style.NARROW)
    canvas.line([(cell.right, cell.bottom), (cell.right, cell.top)], style.NARROW)
    left = cell.left + _PAD_MM
    canvas.text(
        left,
        cell.top - _NAME_TOP_MM,
        name,
        height_mm=style.SMALL_MM,
        role="thin",
        level="top",
    )
    # What is cut here stands in full beside the drawing on its page.
    words = fit(value, cell.width - 2 * _PAD_MM, bold=bold)
    canvas.text(left, cell.bottom + _VALUE_FOOT_MM, words, bold=bold)


def _symbol(canvas: Canvas, projection: str, *, centre: tuple[float, float]) -> None:
    """The truncated cone of ISO 5456-2, small end to the left, and its view from the left."""
    x, y = centre
    towards = 1 if projection == "first angle" else -1  # first angle: seen from left, drawn right
    cone, rings = x - 4.0 * towards, x + 4.0 * towards
    small, large, half = 1.25, 2.5, 2.5
    canvas.line(
        [
            (cone - half, y - small),
            (cone - half, y + small),
            (cone + half, y + large),
            (cone + half, y - large),
        ],
        _SYMBOL_LINE,
        closed=True,
    )
    for radius in (small, large):
        canvas.arc((rings, y), radius_mm=radius, kind=_SYMBOL_LINE)
    for middle in (cone, rings):
        canvas.line([(middle - 3.5, y), (middle + 3.5, y)], style.NARROW)
