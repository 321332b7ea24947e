"""A plan set in one file: cover, drawings, patterns, steps, each page of its true size.

Plain data in, bytes out, so that whoever writes pages feeds it without knowing PDF.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from pypdf import PdfReader, PdfWriter
from pypdf.errors import PyPdfError

from plansgen.patterns import typeface
from plansgen.patterns.flow import Flow, Heading, Paragraph, Rows, flow_pages
from plansgen.patterns.ink import Item, Page, Stroke, Words, moved
from plansgen.patterns.pages import Numbering, Title
from plansgen.patterns.pdf import pdf_bytes
from plansgen.patterns.print import Layout, count_pages, lay_out
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.tiles import OVERLAP, Correction, Paper

_MARGIN = (20.0, 18.0)  # of text pages: left and right, top and bottom [mm]


@dataclass(frozen=True)
class Cover:
    """The first page.

    Attributes:
        title: Name, revision and fingerprint of the design.
        status: How far it is proved, such as ``flown``.
        rows: Key numbers, as names and values in words.
        note: A paragraph below them.
        blocks: More text below that, such as cautions.
    """

    title: Title
    status: str = ""
    rows: tuple[tuple[str, str], ...] = ()
    note: str = ""
    blocks: tuple[Flow, ...] = ()


@dataclass(frozen=True)
class DrawingPages:
    """Finished drawings.

    Attributes:
        name: What the contents call them.
        pdf: One or more pages as a PDF, or a function that makes it; taken over unchanged.
    """

    name: str
    pdf: bytes | Callable[[], bytes]


@dataclass(frozen=True)
class PatternPages:
    """Patterns at full size on tiles; attributes as of ``plansgen.patterns.print.print_set``.

    layout: The same drawings laid out on the same paper already.
    """

    name: str
    sheets: tuple[Sheet, ...]
    paper: Paper
    overlap: float = OVERLAP
    correction: Correction | None = None
    layout: Layout | None = None


@dataclass(frozen=True)
class TextPages:
    """Running text, such as the build steps."""

    name: str
    blocks: tuple[Flow, ...]


Block = DrawingPages | PatternPages | TextPages

_Ready = list[Page] | PdfReader


def plan_set(cover: Cover, blocks: Sequence[Block], *, paper: Paper) -> bytes:
    """One PDF of everything: the cover with contents, then the blocks in their order.

    Args:
        cover: The first page.
        blocks: What follows.
        paper: Of the cover and the text pages. [mm]

    Raises:
        ValueError: a drawing is not a PDF, or an overlap does not fit its paper.
    """
    ready = [_drawing(block) if isinstance(block, DrawingPages) else None for block in blocks]
    counts = [_count(b, cover, paper, r) for b, r in zip(blocks, ready, strict=True)]
    covers = len(_cover_pages(cover, _contents(blocks, counts, 0), paper))
    total = covers + sum(counts)
    contents = _contents(blocks, counts, covers)
    own = _numbered(_cover_pages(cover, contents, paper), cover.title, paper, 1, total)
    parts: list[tuple[str, _Ready]] = [("Cover", own)]
    page = covers + 1
    for block, reader, count in zip(blocks, ready, counts, strict=True):
        made = reader if reader else _pages(block, cover, paper, page, total)
        parts.append((block.name, made))
        page += count
    return _joined(parts, cover.title)


def _drawing(block: DrawingPages) -> PdfReader:
    data = block.pdf() if callable(block.pdf) else block.pdf
    try:
        reader = PdfReader(io.BytesIO(data))
        if len(reader.pages) > 0:
            return reader
    except PyPdfError as error:
        raise ValueError(f"the drawing {block.name!r} is not a PDF: {error}") from error
    raise ValueError(f"the drawing {block.name!r} is a PDF without pages")


def _count(block: Block, cover: Cover, paper: Paper, reader: PdfReader | None) -> int:
    if reader:
        return len(reader.pages)
    if isinstance(block, PatternPages):
        if block.layout:
            return len(block.layout.makers)
        return count_pages(
            block.sheets, paper=block.paper, overlap=block.overlap, correction=block.correction
        )
    return len(_pages(block, cover, paper, 1, 1))


def _pages(block: Block, cover: Cover, paper: Paper, first: int, total: int) -> list[Page]:
    if isinstance(block, PatternPages):
        laid = block.layout or lay_out(
            block.sheets, paper=block.paper, overlap=block.overlap, correction=block.correction
        )
        return list(laid.pages(cover.title, first_page=first, pages_in_all=total))
    assert isinstance(block, TextPages)  # drawings are ready
    wide, high = _room(paper)
    flow = [Heading(block.name, 1), *block.blocks]
    items = flow_pages(flow, width=wide, height=high)
    return _numbered(items, cover.title, paper, first, total)


def _contents(blocks: Sequence[Block], counts: Sequence[int], before: int) -> list[tuple[str, str]]:
    rows, page = [], before + 1
    for block, count in zip(blocks, counts, strict=True):
        last = page + count - 1
        rows.append((block.name, f"page {page}" if count == 1 else f"pages {page} to {last}"))
        page += count
    return rows


def _cover_pages(
    cover: Cover, contents: list[tuple[str, str]], paper: Paper
) -> list[tuple[Item, ...]]:
    wide, high = _room(paper)
    name = typeface.fit(cover.title.design, wide, 10.0, bold=True)
    facts = (
        ("Revision", cover.title.revision.removeprefix("revision ")),
        ("Status", cover.status),
        ("Fingerprint", cover.title.fingerprint),
    )
    blocks: list[Flow] = [Rows(tuple((k, v) for k, v in facts if v))]
    if cover.note:
        blocks.append(Paragraph(cover.note))
    blocks += cover.blocks
    if cover.rows:
        blocks += [Heading("Key numbers"), Rows(cover.rows)]
    blocks += [Heading("Contents"), Rows(tuple(contents))]
    head = 20.0
    first, *rest = flow_pages(blocks, width=wide, height=high - head)
    return [(Words(0.0, high - 10.0, name, 10.0, bold=True), *first), *rest]


def _room(paper: Paper) -> tuple[float, float]:
    return paper.width - 2 * _MARGIN[0], paper.height - 2 * _MARGIN[1] - 6.0


def _numbered(
    pages: Sequence[tuple[Item, ...]], title: Title, paper: Paper, first: int, total: int
) -> list[Page]:
    """Pages of items with a line at the foot that says what and which they are."""
    wide, _ = _room(paper)
    left, low = _MARGIN
    made = []
    for k, items in enumerate(pages):
        number = str(Numbering(first + k, total))
        room = wide - typeface.width(number, 2.5) - 4.0
        what = ", ".join(filter(None, (title.design, title.revision, title.fingerprint)))
        foot: tuple[Item, ...] = (
            Stroke(((left, low + 3.0), (left + wide, low + 3.0)), 0.18),
            Words(left, low - 1.5, typeface.fit(what, room, 2.5)),
            Words(left + wide, low - 1.5, number, align="right"),
        )
        placed = tuple(moved(item, left, low + 6.0) for item in items)
        made.append(Page(paper.width, paper.height, (*placed, *foot)))
    return made


def _joined(parts: Sequence[tuple[str, _Ready]], title: Title) -> bytes:
    """All pages in one file, with a bookmark a block."""
    name = f"{title.design}: plan set"
    own = [page for _, made in parts if isinstance(made, list) for page in made]
    source = iter(PdfReader(io.BytesIO(pdf_bytes(_bare(own), title=name))).pages)
    writer = PdfWriter()
    for heading, made in parts:
        at = len(writer.pages)
        pages = [next(source) for _ in made] if isinstance(made, list) else made.pages
        for page in pages:
            writer.add_page(page)
        writer.add_outline_item(title=typeface.clean(heading), page_number=at)
    writer.metadata = {"/Title": typeface.clean(name), "/Producer": "plansgen"}
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _bare(pages: Sequence[Page]) -> Iterator[Page]:
    """Without bookmarks of their own: those of a part would point into the wrong file."""
    return (replace(page, title="") for page in pages)
