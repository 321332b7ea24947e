"""How much room lettering takes, in sheet millimetres, measured on the font's own outlines.

Widths are sums of advance widths without kerning, so they are never less than what is drawn.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache

from matplotlib.font_manager import FontProperties, findfont, get_font
from matplotlib.ft2font import LoadFlags

from plansgen.figures.style import PT_PER_MM, TEXT_MM

_CAPITAL_EM = 1493 / 2048
"""Height of a capital of the measured font (DejaVu Sans) in ems: its own OS/2 table."""

_KEEP = ("L", "M", "N", "P", "S", "Z")


@dataclass(frozen=True)
class Ink:
    """Room of one line of lettering about the start of its baseline, in millimetres."""

    width: float
    below: float
    above: float


def clean(text: str) -> str:
    """The text on one line, without control characters, lone surrogates and direction marks."""
    spaced = " ".join(text.split())
    known = "".join(c for c in spaced if unicodedata.category(c)[0] in _KEEP)
    return " ".join(known.split())


def font_size_pt(height_mm: float) -> float:
    """Font size in points whose capitals are ``height_mm`` high."""
    return height_mm / _CAPITAL_EM * PT_PER_MM


def capital_height_mm(size_pt: float) -> float:
    """Height of capitals in millimetres at a font size in points."""
    return size_pt * _CAPITAL_EM / PT_PER_MM


def measure(text: str, height_mm: float = TEXT_MM, *, bold: bool = False) -> Ink:
    """Room of one line of lettering with capitals ``height_mm`` high, in millimetres."""
    em = height_mm / _CAPITAL_EM
    glyphs = [_glyph(c, bold) for c in text]
    return Ink(
        width=em * sum(advance for advance, _, _ in glyphs),
        below=em * max((-low for _, low, _ in glyphs), default=0.0),
        above=em * max((high for _, _, high in glyphs), default=0.0),
    )


def width_mm(text: str, height_mm: float = TEXT_MM, *, bold: bool = False) -> float:
    """Width of one line of lettering in millimetres."""
    return measure(text, height_mm, bold=bold).width


def fit(text: str, room_mm: float, height_mm: float = TEXT_MM, *, bold: bool = False) -> str:
    """The text, cut with an ellipsis when it is wider than ``room_mm``."""
    if width_mm(text, height_mm, bold=bold) <= room_mm:
        return text
    while text and width_mm(text + "…", height_mm, bold=bold) > room_mm:
        text = text[:-1].rstrip()
    return text + "…"


@cache
def _glyph(character: str, bold: bool) -> tuple[float, float, float]:
    """Advance, lowest and highest point of a character in ems."""
    font = get_font(
        findfont(FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal"))
    )
    index = font.get_char_index(ord(character))
    if index == 0:
        # A reader's own font draws it; the widest letters of other scripts are one em wide.
        return (0.0 if unicodedata.combining(character) else 1.0), -0.25, 0.95
    glyph = font.load_glyph(index, flags=LoadFlags.NO_SCALE)
    units = font.units_per_EM
    _, low, _, high = glyph.bbox
    return glyph.horiAdvance / units, min(0.0, low / units), max(0.0, high / units)
