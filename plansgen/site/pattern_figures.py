"""Pictures of parts, sheets and the whole for pages: plain SVG in the colours of the page."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

import shapely
from markupsafe import Markup
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from plansgen.figures.style import PALETTE
from plansgen.patterns.flat import FlatPart, LineKind, Outline, PatternLine
from plansgen.patterns.linework import extras
from plansgen.patterns.looks import LOOKS
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.svg import part_svg
from plansgen.patterns.typeface import clean

INLINE = 3000
"""Larger pictures are files of their own, fetched when they come into view. [bytes]"""

_LEAST, _MOST, _HIGH = 150.0, 620.0, 420.0  # sides of a part's picture [px]
_PX_PER_MM = 0.75
_SHEET_WIDE, _SHEET_HIGH = 760.0, 620.0  # [px]
_COARSE = 0.4  # outlines on a small sheet may be so far off [mm]
_EXPLODED = 0.06  # how far parts are pulled apart, as a share of the longest side


@dataclass(frozen=True)
class PartFigure:
    """A part's picture: in the page, or as two files, for light and for dark pages."""

    key: str
    svg: Markup
    light: bytes
    dark: bytes
    alt: str
    width: int
    height: int


def part_figure(part: FlatPart, *, alt: str) -> PartFigure:
    """Draw a part small; small pictures stand in the page itself."""
    west, south, east, north = (1000 * side for side in part.bounds)
    wide, high = east - west, north - south
    edge = 0.04 * max(wide, high)
    longest = min(max(_PX_PER_MM * max(wide, high), _LEAST), _MOST)
    scale = min(longest / max(wide, high), _HIGH / high)
    width, height = (max(24, round(scale * (side + edge))) for side in (wide, high))
    text = part_svg(part, alt=alt)
    sized = text.replace("<svg ", f'<svg width="{width}" height="{height}" ', 1)
    if len(sized) <= INLINE:
        return PartFigure(part.key, Markup(sized), b"", b"", clean(alt), width, height)
    light, dark = PALETTE["ink"].light, PALETTE["ink"].dark
    return PartFigure(
        part.key,
        Markup(""),
        sized.replace('"currentColor"', f'"{light}"', 1).encode(),
        sized.replace('"currentColor"', f'"{dark}"', 1).encode(),
        clean(alt),
        width,
        height,
    )


@dataclass(frozen=True)
class LineKey:
    """One row of the key of lines: a sample, what it is called and what is done along it."""

    sample: Markup
    kind: str
    meaning: str


def line_key(parts: Sequence[FlatPart]) -> tuple[LineKey, ...]:
    """The kinds of line that parts have, each with a sample drawn as in the pictures."""
    there: set[LineKind] = {"cut", *(line.kind for part in parts for line in part.lines)}
    return tuple(
        LineKey(_sample(kind), kind, look.meaning) for kind, look in LOOKS.items() if kind in there
    )


def _sample(kind: LineKind) -> Markup:
    line = PatternLine(kind, ((0.0, 0.0), (0.048, 0.0)))
    dash = " ".join(px(max(1.0, 2.0 * length)) for length in LOOKS[kind].dash)
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    more = "".join(
        "M" + "L".join(f"{px(x)} {px(-y)}" for x, y in points) for points in extras(line)
    )
    return Markup(
        '<svg width="56" height="12" viewBox="-4 -6 56 12" aria-hidden="true" fill="none" '
        f'stroke="currentColor"><path d="M0 0H48" stroke-width="{px(5 * LOOKS[kind].width)}"'
        f'{dashes}/><path d="{more}" stroke-width="0.7"/></svg>'
    )


# --- sheets --------------------------------------------------------------------------------------


def sheet_figure(sheet: Sheet, *, alt: str, page: str) -> Markup:
    """A nested sheet whose parts are links to where they are described.

    Args:
        sheet: What lies on it.
        alt: What the picture shows.
        page: Address of the page of parts.
    """
    wide, high = 1000 * sheet.width, 1000 * sheet.height
    scale = min(_SHEET_WIDE / wide, _SHEET_HIGH / high)
    lines = [
        f'<svg class="pg-sheet" viewBox="-2 -2 {px(wide + 4)} {px(high + 4)}" '
        f'width="{round(scale * wide)}" height="{round(scale * high)}" role="group" '
        f"aria-label={quoteattr(clean(alt))}>"
        f'<rect class="pg-sheet-edge" x="0" y="0" width="{px(wide)}" height="{px(high)}"/>'
    ]
    for number, piece in enumerate(sheet.pieces, 1):
        part = piece.part
        shape = Polygon(
            _down(part.outline, high), [_down(hole, high) for hole in part.holes]
        ).simplify(_COARSE)
        spot = shape.representative_point()
        letter = _letter(shape, scale)
        lines.append(
            f'<a href="{page}#part-{part.key}" aria-label={quoteattr(clean(part.name))}>'
            f'<path d="{_shape(shape)}"/>'
            f'<text x="{px(spot.x)}" y="{px(spot.y + 0.35 * letter)}" font-size="{px(letter)}">'
            f"{number}</text></a>"
        )
    return Markup("".join([*lines, "</svg>"]))


def _letter(shape: BaseGeometry, scale: float) -> float:
    """Height of a number on a part: 14 pixels, less on a slender part. [mm]"""
    room = 2 * shape.area / max(shape.length, 1e-9)  # about the width of a slender part
    return min(14 / scale, max(9 / scale, 0.9 * room))


def _down(outline: Outline, high: float) -> list[tuple[float, float]]:
    return [(1000 * x, high - 1000 * y) for x, y in outline]


def _shape(shape: BaseGeometry) -> str:
    pieces = [piece for piece in shapely.get_parts(shape) if isinstance(piece, Polygon)]
    rings = [ring for piece in pieces for ring in (piece.exterior, *piece.interiors)]
    return "".join(
        "M" + "L".join(f"{px(x)} {px(y)}" for x, y in list(ring.coords)[:-1]) + "Z"
        for ring in rings
    )


def px(value: float) -> str:
    """A length on a picture, to a tenth of a pixel."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" or not math.isfinite(value) else text
