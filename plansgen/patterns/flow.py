"""Flowing text on pages: headings, paragraphs, lists, tables of two columns, cautions in boxes.

Plain data in, pages out. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plansgen.patterns import typeface
from plansgen.patterns.ink import Item, Stroke, Words, moved
from plansgen.patterns.looks import WIDE

TEXT = 2.5
_PITCH = 4.6
_GAP = 2.4
_INDENT = 7.0
_BOX = 3.0  # between a caution's frame and its words [mm]
_HEIGHTS = {1: 5.0, 2: 3.5, 3: 2.5}


@dataclass(frozen=True)
class Heading:
    """A heading; level 1 to 3."""

    text: str
    level: int = 2


@dataclass(frozen=True)
class Paragraph:
    """Running text."""

    text: str


@dataclass(frozen=True)
class Bullets:
    """A list, with numbers or with dots."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True)
class Rows:
    """Names and values side by side."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Caution:
    """A caution in a box: its signal word and what it says."""

    word: str
    text: str


Flow = Heading | Paragraph | Bullets | Rows | Caution


@dataclass(frozen=True)
class _Slab:
    """What may not be split by the end of a page; items from its upper left corner, y down < 0."""

    height: float
    items: tuple[Item, ...]
    keep: bool = False  # with the next one


def flow_pages(blocks: Sequence[Flow], *, width: float, height: float) -> list[tuple[Item, ...]]:
    """Blocks broken into pages of given room; the origin is the lower left corner of the room.

    A heading stays with what follows it, a caution in one piece unless it is longer than a page.

    Args:
        blocks: What to set.
        width: Of the room. [mm]
        height: Of the room. [mm]
    """
    slabs = [slab for block in blocks for slab in _slabs(block, width, height)]
    pages: list[list[Item]] = [[]]
    left = height
    for group in _groups(slabs):
        need = sum(slab.height for slab in group)
        if need > left and pages[-1]:
            pages.append([])
            left = height
        for slab in group:
            if slab.height > left and pages[-1]:
                pages.append([])
                left = height
            pages[-1] += [moved(item, 0.0, left) for item in slab.items]
            left -= slab.height
    return [tuple(page) for page in pages]


def _groups(slabs: Sequence[_Slab]) -> Iterator[list[_Slab]]:
    group: list[_Slab] = []
    for slab in slabs:
        group.append(slab)
        if not slab.keep:
            yield group
            group = []
    if group:
        yield group


def _slabs(block: Flow, width: float, height: float) -> Iterator[_Slab]:
    if isinstance(block, Heading):
        yield _heading(block, width)
    elif isinstance(block, Paragraph):
        yield from _lines(typeface.wrap(block.text, width, TEXT))
    elif isinstance(block, Bullets):
        for k, text in enumerate(block.items):
            sign = f"{k + 1}." if block.numbered else "•"
            yield from _lines(
                typeface.wrap(text, width - _INDENT, TEXT), sign=sign, indent=_INDENT, gap=1.0
            )
    elif isinstance(block, Rows):
        for name, value in block.rows:
            yield _row(name, value, width)
        yield _Slab(_GAP, ())
    else:
        yield from _caution(block, width, height)


def _heading(block: Heading, width: float) -> _Slab:
    size = _HEIGHTS[min(max(block.level, 1), 3)]
    lines = typeface.wrap(block.text, width, size, bold=True)
    pitch = 1.6 * size
    items = tuple(
        Words(0.0, -size - 2.0 - k * pitch, line, size, bold=True) for k, line in enumerate(lines)
    )
    return _Slab(len(lines) * pitch + 3.5, items, keep=True)


def _lines(
    lines: Sequence[str], *, sign: str = "", indent: float = 0.0, gap: float = _GAP
) -> Iterator[_Slab]:
    for k, line in enumerate(lines):
        items: tuple[Item, ...] = (Words(indent, -TEXT, line, TEXT),)
        if sign and k == 0:
            items = (Words(1.0, -TEXT, sign, TEXT), *items)
        # The first and last two lines of a paragraph stay together.
        keep = len(lines) > 1 and k in (0, len(lines) - 2)
        yield _Slab(_PITCH + (gap if k == len(lines) - 1 else 0.0), items, keep=keep)


def _row(name: str, value: str, width: float) -> _Slab:
    middle = 0.42 * width
    names = typeface.wrap(name, middle - 3.0, TEXT)
    values = typeface.wrap(value, width - middle, TEXT)
    count = max(len(names), len(values), 1)
    items: list[Item] = [Words(0.0, -TEXT - k * _PITCH, t, TEXT) for k, t in enumerate(names)]
    items += [Words(middle, -TEXT - k * _PITCH, t, TEXT) for k, t in enumerate(values)]
    low = -count * _PITCH - 0.2
    items.append(Stroke(((0.0, low), (width, low)), 0.13, grey=0.5))
    return _Slab(count * _PITCH + 1.4, tuple(items))


def _caution(block: Caution, width: float, height: float) -> Iterator[_Slab]:
    """A box with a wide left edge; a caution longer than a page is set in several boxes."""
    lines = typeface.wrap(block.text, width - 2 * _BOX - 2.0, TEXT)
    most = max(1, int((height - 2 * _BOX - 8.0) // _PITCH))
    for start in range(0, max(1, len(lines)), most):
        yield _caution_box(block.word, lines[start : start + most], width)


def _caution_box(word: str, lines: Sequence[str], width: float) -> _Slab:
    left = _BOX + 2.0
    head = typeface.fit(word, width - 2 * left, 3.5, bold=True)
    items: list[Item] = [Words(left, -_BOX - 3.5, head, 3.5, bold=True)]
    first = -_BOX - 3.5 - 6.0
    items += [Words(left, first - k * _PITCH + 1.0, line, TEXT) for k, line in enumerate(lines)]
    low = first - (len(lines) - 1) * _PITCH - _BOX + 0.5
    frame = ((0.0, 0.0), (width, 0.0), (width, low), (0.0, low))
    items.append(Stroke(frame, WIDE, closed=True))
    items.append(Stroke(((1.2, -1.2), (1.2, low + 1.2)), 1.4))
    return _Slab(-low + 2 * _GAP, tuple(items))
