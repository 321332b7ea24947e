"""A print set: for every drawing a page map and its tiles, in one PDF at full size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.patterns.ink import Page
from plansgen.patterns.pagemap import map_pages
from plansgen.patterns.pages import Numbering, Title, tile_page
from plansgen.patterns.pdf import pdf_bytes
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.tiles import OVERLAP, Correction, Paper, Tiling, tile


@dataclass(frozen=True)
class PrintSet:
    """Pages of patterns at full size.

    Attributes:
        pages: In order: each drawing's page map, then its tiles.
        tilings: How each drawing was cut.
        unplaced: Words that found no room on their part, with the page.
    """

    pages: tuple[Page, ...]
    tilings: tuple[Tiling, ...]
    unplaced: tuple[str, ...]


def print_set(
    sheets: Sequence[Sheet],
    *,
    title: Title,
    paper: Paper,
    overlap: float = OVERLAP,
    correction: Correction | None = None,
    first_page: int = 1,
    pages_in_all: int | None = None,
) -> PrintSet:
    """Lay drawings out on pages.

    Args:
        sheets: The drawings.
        title: What stands on every page.
        paper: Portrait, or a roll.
        overlap: Of neighbouring pages. [mm]
        correction: Of the printer.
        first_page: Number of the first page, when others come before it in the same file.
        pages_in_all: Of the whole file, when there are others.

    Raises:
        ValueError: the overlap does not fit the paper.
    """
    tilings = tuple(tile(s, paper, overlap=overlap, correction=correction) for s in sheets)
    alone = len(sheets) == 1
    maps = [
        map_pages(s, t, number=0 if alone else i + 1)
        for i, (s, t) in enumerate(zip(sheets, tilings, strict=True))
    ]
    count = sum(len(m) for m in maps) + sum(len(t.tiles) for t in tilings)
    in_all = count if pages_in_all is None else pages_in_all
    pages: list[Page] = []
    unplaced: list[str] = []
    for i, (sheet, tiling, makers) in enumerate(zip(sheets, tilings, maps, strict=True)):
        number = 0 if alone else i + 1
        for make in makers:
            pages.append(make(title, Numbering(first_page + len(pages), in_all)))
        for one in tiling.tiles:
            numbering = Numbering(first_page + len(pages), in_all)
            page, left_over = tile_page(
                sheet, tiling, one, number=number, title=title, numbering=numbering
            )
            pages.append(page)
            unplaced += [f"{page.title}: {words}" for words in left_over]
    return PrintSet(tuple(pages), tilings, tuple(unplaced))


def print_pdf(
    sheets: Sequence[Sheet],
    *,
    title: Title,
    paper: Paper,
    overlap: float = OVERLAP,
    correction: Correction | None = None,
) -> bytes:
    """A print set as one PDF; arguments and errors as in :func:`print_set`."""
    made = print_set(sheets, title=title, paper=paper, overlap=overlap, correction=correction)
    name = f"{title.design}: patterns, {paper.name}"
    return pdf_bytes(made.pages, title=name, subject=f"{title.revision} {title.fingerprint}")
