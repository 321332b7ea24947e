"""Sheets as SVG: for cutters at full size with a layer an operation, and small for web pages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from xml.sax.saxutils import escape, quoteattr

from plansgen.patterns.flat import FlatPart, LineKind
from plansgen.patterns.ink import Item, Stroke, Words
from plansgen.patterns.linework import extras
from plansgen.patterns.looks import LOOKS
from plansgen.patterns.marking import mark_pieces
from plansgen.patterns.room import Region
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.typeface import clean

_FONT = "DejaVu Sans, Verdana, sans-serif"
_EM = 2048 / 1493  # font size over height of capitals, of DejaVu Sans
_SHOWN = 80.0  # a picture in a page shows its ticks as paper of this size would [mm]
_NS = "http://www.w3.org/2000/svg"


def sheet_svg(
    sheet: Sheet, *, title: str, words: bool = True, lettering: Sequence[Item] | None = None
) -> bytes:
    """A sheet at full size for a cutter: width, height and coordinates in millimetres.

    Layers are groups with ids: ``sheet`` (the edge of the stock), then one for every operation
    that is there (``cut``, ``score``, ``fold-up``, …), then ``words``. Every outline is one closed
    path. There is no script and no style sheet.

    Args:
        sheet: What is drawn.
        title: Of the drawing.
        words: Whether names and labels are in the file.
        lettering: Its words from :func:`sheet_words`, where they are placed already.
    """
    wide, high = 1000 * sheet.width, 1000 * sheet.height
    size = f'width="{_n(wide)}mm" height="{_n(high)}mm" viewBox="0 0 {_n(wide)} {_n(high)}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="{_NS}" {size}>',
        f"<title>{escape(clean(title))}</title>",
        f"<desc>{escape(clean(describe(sheet)))}</desc>",
        '<g id="sheet" fill="none" stroke="#98a4b0" stroke-width="0.18">',
        f'<rect x="0" y="0" width="{_n(wide)}" height="{_n(high)}"/>',
        "</g>",
    ]
    for kind, paths in by_kind(piece.part for piece in sheet.pieces):
        look = LOOKS[kind]
        dash = f' stroke-dasharray="{" ".join(map(_n, look.dash))}"' if look.dash else ""
        lines.append(
            f'<g id="{look.layer}" fill="none" stroke="{look.colour}" '
            f'stroke-width="{look.width}"{dash}>'
        )
        lines += [f'<path d="{_d(points, closed, high)}"/>' for points, closed in paths]
        lines.append("</g>")
    if words:
        lines += [
            f'<g id="words" fill="#161b21" font-family="{_FONT}">',
            *_lettering(sheet_words(sheet) if lettering is None else lettering, high),
            "</g>",
        ]
    return ("\n".join([*lines, "</svg>"]) + "\n").encode()


def part_svg(part: FlatPart, *, alt: str) -> str:
    """A part small, to stand in a web page: lines only, in the colour of the page's text.

    Lines keep their width and dashes on the screen however large the picture is shown. Where the
    parts differ in size, show them at one scale by giving each a width in proportion.

    Args:
        part: What is drawn.
        alt: What the picture shows, for those who cannot see it.
    """
    west, south, east, north = (1000 * side for side in part.bounds)
    edge = 0.02 * max(east - west, north - south)
    box = (west - edge, -north - edge, east - west + 2 * edge, north - south + 2 * edge)
    lines = [
        f'<svg xmlns="{_NS}" viewBox="{" ".join(_n(v, 2) for v in box)}" role="img" '
        f'aria-label={quoteattr(clean(alt))} fill="none" stroke="currentColor">'
    ]
    small = max(1.0, max(east - west, north - south) / _SHOWN)
    plain = dict(by_kind([part], crosses=False))
    for kind in LOOKS:
        paths = plain.get(kind, [])
        look = LOOKS[kind]
        dash = [max(1.0, 2.0 * length) for length in look.dash]
        dashes = f' stroke-dasharray="{" ".join(map(_n, dash))}"' if dash else ""
        more = [
            (points, False)
            for line in part.lines
            if line.kind == kind
            for points in extras(line, scale=small)
        ]
        lines += [
            f'<path class="{look.layer}" stroke-width="{_n(width)}"{marks} '
            f'vector-effect="non-scaling-stroke" d="{_all(some)}"/>'
            for some, width, marks in ((paths, 5 * look.width, dashes), (more, 0.7, ""))
            if some
        ]
    return "".join([*lines, "</svg>"])


def describe(sheet: Sheet) -> str:
    """The sheet in words: its size and what lies on it."""
    names = "; ".join(f"{i + 1} {piece.part.name}" for i, piece in enumerate(sheet.pieces))
    wide, high = 1000 * sheet.width, 1000 * sheet.height
    return f"{sheet.name}, {wide:.0f} × {high:.0f} mm, full size. Parts: {names}."


Path = tuple[list[tuple[float, float]], bool]


def by_kind(
    parts: Iterable[FlatPart], *, crosses: bool = True
) -> Iterator[tuple[LineKind, list[Path]]]:
    """Every line of parts by operation, with whether it is closed; outlines are cut. [mm]

    A mark of one point becomes a cross, unless others draw it, so that every line has a length.
    """
    found: dict[LineKind, list[Path]] = {kind: [] for kind in LOOKS}
    for part in parts:
        # Holes first: a cutter that frees the part first would cut its holes in a loose piece.
        found["cut"] += [(_mm(edge), True) for edge in part.holes]
        for line in part.lines:
            points = _mm(line.points)
            if len(points) > 1:
                found[line.kind].append((points, line.closed))
            elif crosses:
                found[line.kind] += [(cross, False) for cross in _cross(points[0])]
        found["cut"].append((_mm(part.outline), True))
    return ((kind, paths) for kind, paths in found.items() if paths)


def sheet_words(sheet: Sheet) -> list[Item]:
    """The words of a whole sheet, placed clear of its lines. [mm]"""
    numbered = [(i + 1, piece) for i, piece in enumerate(sheet.pieces)]
    box = (0.0, 0.0, 1000 * sheet.width, 1000 * sheet.height)
    return mark_pieces(numbered, Region(box, frozenset(n for n, _ in numbered))).items


def _lettering(items: Iterable[Item], high: float) -> Iterator[str]:
    for item in items:
        if isinstance(item, Stroke):
            width = f'fill="none" stroke="#161b21" stroke-width="{item.width}"'
            yield f'<path {width} d="{_d(item.points, item.closed, high)}"/>'
        elif isinstance(item, Words):
            yield _text(item, high)


def _text(words: Words, high: float) -> str:
    anchor = {"left": "start", "center": "middle", "right": "end"}[words.align]
    x, y = _n(words.x), _n(high - words.y)
    turn = f' transform="rotate({_n(-words.angle)} {x} {y})"' if words.angle else ""
    weight = ' font-weight="bold"' if words.bold else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{_n(words.height * _EM)}" '
        f'text-anchor="{anchor}"{weight}{turn}>{escape(words.text)}</text>'
    )


def _mm(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(1000 * x, 1000 * y) for x, y in points]


def _cross(at: tuple[float, float]) -> list[list[tuple[float, float]]]:
    x, y = at
    return [[(x - 1.5, y), (x + 1.5, y)], [(x, y - 1.5), (x, y + 1.5)]]


def _d(points: Sequence[tuple[float, float]], closed: bool, high: float, *, digits: int = 4) -> str:
    pairs = " ".join(f"{_n(x, digits)},{_n(high - y, digits)}" for x, y in points)
    return f"M{pairs}{'Z' if closed else ''}"


def _all(paths: Iterable[Path]) -> str:
    return " ".join(_d(points, closed, 0.0, digits=2) for points, closed in paths)


def _n(value: float, digits: int = 4) -> str:
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
