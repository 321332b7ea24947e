"""A print set: for every drawing a page map and its tiles, in one PDF at full size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.patterns.ink import Page
from plansgen.patterns.pagemap import map_pages
from plansgen.patterns.pages import Numbering, Title, tile_page
from plansgen.patterns.pdf import pdf_bytes
from plansgen.patterns.room import never_placed
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.tiles import OVERLAP, Correction, Paper, Tiling, tile


@dataclass(frozen=True)
class PrintSet:
    """Pages of patterns at full size.

    Attributes:
        pages: In order: each drawing's page map, then its tiles.
        tilings: How each drawing was cut.
        unplaced: Words that found no room on any page, with their drawing.
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
    maps = [
        map_pages(s, t, number=number)
        for s, t, number in zip(sheets, tilings, _numbers(sheets), strict=True)
    ]
    count = sum(len(m) for m in maps) + sum(len(t.tiles) for t in tilings)
    in_all = count if pages_in_all is None else pages_in_all
    pages: list[Page] = []
    unplaced: list[str] = []
    for sheet, tiling, makers, number in zip(sheets, tilings, maps, _numbers(sheets), strict=True):
        for make in makers:
            pages.append(make(title, Numbering(first_page + len(pages), in_all)))
        marks = []
        for one in tiling.tiles:
            numbering = Numbering(first_page + len(pages), in_all)
            page, on_it = tile_page(
                sheet, tiling, one, number=number, title=title, numbering=numbering
            )
            pages.append(page)
            marks.append(on_it)
        unplaced += [f"{sheet.name}: {words}" for words in never_placed(marks)]
    return PrintSet(tuple(pages), tilings, tuple(unplaced))


def count_pages(
    sheets: Sequence[Sheet],
    *,
    paper: Paper,
    overlap: float = OVERLAP,
    correction: Correction | None = None,
) -> int:
    """How many pages a print set has; arguments and errors as in :func:`print_set`."""
    tilings = [tile(s, paper, overlap=overlap, correction=correction) for s in sheets]
    maps = [
        map_pages(s, t, number=number)
        for s, t, number in zip(sheets, tilings, _numbers(sheets), strict=True)
    ]
    return sum(len(m) for m in maps) + sum(len(t.tiles) for t in tilings)


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


def _numbers(sheets: Sequence[Sheet]) -> Sequence[int]:
    """Numbers of sheets in the names of their pages; 0 for a sheet that is alone."""
    return (0,) if len(sheets) == 1 else range(1, len(sheets) + 1)
