"""The lettering of printed pages: one embedded typeface, its widths, and what it cannot show.

DejaVu Sans comes with matplotlib, so that every machine has the same file. Characters it lacks, and
those beyond the sixteen bits that every PDF reader can search, are shown as an empty box.
"""

from __future__ import annotations

import unicodedata
from functools import cache
from pathlib import Path

import matplotlib as mpl
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

PT_PER_MM = 72 / 25.4
MISSING = "□"
_CAPITAL_EM = 1493 / 2048  # height of a capital of DejaVu Sans in ems: its own OS/2 table
_KEEP = ("L", "M", "N", "P", "S", "Z")


@cache
def font(bold: bool = False) -> str:
    """Name under which the typeface is known to the PDF writer, which reads it once."""
    name, file = (
        ("lettering-bold", "DejaVuSans-Bold.ttf") if bold else ("lettering", "DejaVuSans.ttf")
    )
    path = Path(mpl.get_data_path()) / "fonts" / "ttf" / file
    pdfmetrics.registerFont(TTFont(name, str(path)))
    return name


def size_pt(height: float) -> float:
    """Font size in points whose capitals are so many millimetres high."""
    return height / _CAPITAL_EM * PT_PER_MM


@cache
def width(text: str, height: float, *, bold: bool = False) -> float:
    """Width of one line of lettering. [mm]

    text: already clean. height: of its capitals. [mm]
    """
    return sum(map(_widths(bold).__getitem__, text)) * (height / _CAPITAL_EM / 1000)


class _Widths(dict[str, float]):
    """Widths of characters in thousandths of an em, each looked up once."""

    def __init__(self, bold: bool) -> None:
        super().__init__()
        self._face = pdfmetrics.getFont(font(bold)).face

    def __missing__(self, character: str) -> float:
        width = float(self._face.charWidths.get(ord(character), self._face.defaultWidth))
        self[character] = width
        return width


@cache
def _widths(bold: bool) -> _Widths:
    return _Widths(bold)


@cache
def clean(text: str, *, bold: bool = False) -> str:
    """The text on one line, without control and direction characters; a box for unknown ones."""
    glyphs = pdfmetrics.getFont(font(bold)).face.charToGlyph
    shown = []
    for character in unicodedata.normalize("NFC", " ".join(text.split())):
        if unicodedata.category(character)[0] not in _KEEP:
            continue
        known = ord(character) in glyphs and ord(character) < 0x10000
        shown.append(character if known else MISSING)
    return " ".join("".join(shown).split())


def fit(text: str, room: float, height: float, *, bold: bool = False) -> str:
    """The text, cut with an ellipsis when it is wider than the room. [mm]"""
    text = clean(text, bold=bold)
    if width(text, height, bold=bold) <= room:
        return text
    while text and width(text + "…", height, bold=bold) > room:
        text = text[:-1].rstrip()
    return text + "…"


def wrap(text: str, room: float, height: float, *, bold: bool = False) -> list[str]:
    """Lines no wider than the room, broken at blanks, or inside words too long for a line. [mm]"""
    lines: list[str] = []
    line = ""
    for word in clean(text, bold=bold).split():
        longer = f"{line} {word}" if line else word
        if width(longer, height, bold=bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        while width(word, height, bold=bold) > room and len(word) > 1:
            cut = len(word) - 1
            while cut > 1 and width(word[:cut], height, bold=bold) > room:
                cut -= 1
            lines.append(word[:cut])
            word = word[cut:]
        line = word
    return [*lines, line] if line else lines
