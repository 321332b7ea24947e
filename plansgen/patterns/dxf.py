"""Sheets as DXF R12: the oldest form, which every cutter reads.

Written here because the one kept library takes longer to load than a whole print set takes to make,
and does not give the same bytes twice. The tests read the files back with that library. The form:
pairs of lines, a group code and a value, as the published DXF reference describes them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plansgen.patterns.ink import Item, Points, Stroke, Words
from plansgen.patterns.looks import LOOKS, Look
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.svg import by_kind, sheet_words

_MILLIMETRES = 4  # of $INSUNITS
_WORDS = "words"
_LINE_TYPES = {look.layer: look.dash for look in LOOKS.values() if look.dash}

Pair = tuple[int, str | int | float]


def sheet_dxf(
    sheet: Sheet, *, words: bool = True, lettering: Sequence[Item] | None = None
) -> bytes:
    r"""A sheet at full size in millimetres, its lower left corner at the origin.

    One layer an operation, named as in the SVG; each with its line type and colour number. Every
    outline is one closed polyline. Words are on a layer of their own, other than ASCII letters as
    ``\U+`` codes.

    Args:
        sheet: What is drawn.
        words: Whether names and labels are in the file.
        lettering: Its words from ``sheet_words``, where they are placed already.
    """
    if lettering is None:
        lettering = sheet_words(sheet) if words else ()
    pairs = [*_header(sheet), *_tables(), *_entities(sheet, lettering), (0, "EOF")]
    return "".join(f"{code}\n{_value(value)}\n" for code, value in pairs).encode("ascii")


def _value(value: str | int | float) -> str:
    return f"{value + 0.0:.6f}" if isinstance(value, float) else str(value)


def _header(sheet: Sheet) -> Iterator[Pair]:
    yield from ((0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009"))
    yield from ((9, "$INSUNITS"), (70, _MILLIMETRES), (9, "$MEASUREMENT"), (70, 1))
    yield from ((9, "$EXTMIN"), (10, 0.0), (20, 0.0), (30, 0.0))
    yield from ((9, "$EXTMAX"), (10, 1000 * sheet.width), (20, 1000 * sheet.height), (30, 0.0))
    yield (0, "ENDSEC")


def _tables() -> Iterator[Pair]:
    yield from ((0, "SECTION"), (2, "TABLES"))
    yield from ((0, "TABLE"), (2, "LTYPE"), (70, len(_LINE_TYPES) + 1))
    yield from _line_type("CONTINUOUS", ())
    for name, dash in _LINE_TYPES.items():
        yield from _line_type(name, dash)
    yield from ((0, "ENDTAB"), (0, "TABLE"), (2, "LAYER"), (70, len(LOOKS) + 2))
    yield from _layer("0", 7, "CONTINUOUS")
    for look in LOOKS.values():
        yield from _layer(look.layer, look.index, _line_type_of(look))
    yield from _layer(_WORDS, 7, "CONTINUOUS")
    yield from ((0, "ENDTAB"), (0, "ENDSEC"))


def _line_type_of(look: Look) -> str:
    return look.layer if look.dash else "CONTINUOUS"


def _line_type(name: str, dash: tuple[float, ...]) -> Iterator[Pair]:
    yield from ((0, "LTYPE"), (2, name), (70, 0), (3, name), (72, 65))
    yield from ((73, len(dash)), (40, float(sum(dash))))
    for k, length in enumerate(dash):
        yield (49, -length if k % 2 else length)


def _layer(name: str, colour: int, line_type: str) -> Iterator[Pair]:
    yield from ((0, "LAYER"), (2, name), (70, 0), (62, colour), (6, line_type))


def _entities(sheet: Sheet, lettering: Sequence[Item]) -> Iterator[Pair]:
    yield from ((0, "SECTION"), (2, "ENTITIES"))
    for kind, paths in by_kind(piece.part for piece in sheet.pieces):
        for points, closed in paths:
            yield from _polyline(LOOKS[kind].layer, points, closed)
    for item in lettering:
        if isinstance(item, Stroke):
            yield from _polyline(_WORDS, item.points, item.closed)
        elif isinstance(item, Words):
            yield from _text(item)
    yield (0, "ENDSEC")


def _polyline(layer: str, points: Points, closed: bool) -> Iterator[Pair]:
    yield from ((0, "POLYLINE"), (8, layer), (66, 1), (10, 0.0), (20, 0.0), (30, 0.0))
    yield (70, int(closed))
    for x, y in points:
        yield from ((0, "VERTEX"), (8, layer), (10, float(x)), (20, float(y)), (30, 0.0))
    yield from ((0, "SEQEND"), (8, layer))


def _text(words: Words) -> Iterator[Pair]:
    place = {"left": 0, "center": 1, "right": 2}[words.align]
    yield from ((0, "TEXT"), (8, _WORDS), (10, float(words.x)), (20, float(words.y)), (30, 0.0))
    yield from ((40, float(words.height)), (1, _coded(words.text)), (50, float(words.angle)))
    if place:
        yield from ((72, place), (11, float(words.x)), (21, float(words.y)), (31, 0.0))


def _coded(text: str) -> str:
    """ASCII only, without the signs that start codes of the format itself."""
    plain = text.replace("\\", "/").replace("%%", "% %").replace("^", " ")
    return "".join(c if " " <= c <= "~" else f"\\U+{ord(c):04X}" for c in plain)
