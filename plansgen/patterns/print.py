"""A print set: for every drawing a page map and its tiles, in one PDF at full size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.patterns.ink import Page
from plansgen.patterns.pagemap import map_pages
from plansgen.patterns.pages import MakePage, Numbering, Title, homes_of, tile_page
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


@dataclass(frozen=True)
class Layout:
    """Drawings on pages that wait for their numbers: one layout serves several files.

    Attributes:
        makers: In order: each drawing's page map, then its tiles.
        tilings: How each drawing was cut.
        unplaced: Words that found no room on any page, with their drawing.
    """

    makers: tuple[MakePage, ...]
    tilings: tuple[Tiling, ...]
    unplaced: tuple[str, ...]

    def pages(
        self, title: Title, *, first_page: int = 1, pages_in_all: int | None = None
    ) -> tuple[Page, ...]:
        """The pages as they stand in a file; arguments as of :func:`print_set`."""
        in_all = len(self.makers) if pages_in_all is None else pages_in_all
        return tuple(
            make(title, Numbering(page, in_all))
            for page, make in enumerate(self.makers, first_page)
        )


def lay_out(
    sheets: Sequence[Sheet],
    *,
    paper: Paper,
    overlap: float = OVERLAP,
    correction: Correction | None = None,
) -> Layout:
    """Lay drawings out on pages; arguments and errors as in :func:`print_set`."""
    makers: list[MakePage] = []
    tilings: list[Tiling] = []
    unplaced: list[str] = []
    for sheet, number in zip(sheets, _numbers(sheets), strict=True):
        tiling = tile(sheet, paper, overlap=overlap, correction=correction)
        homes = homes_of(sheet, tiling)
        made = [
            tile_page(sheet, tiling, one, homes[one.name], number=number) for one in tiling.tiles
        ]
        makers += [*map_pages(sheet, tiling, number=number), *(make for make, _ in made)]
        tilings.append(tiling)
        unplaced += [f"{sheet.name}: {words}" for words in never_placed([m for _, m in made])]
    return Layout(tuple(makers), tuple(tilings), tuple(unplaced))


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
    """Lay drawings out on numbered pages.

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
    laid = lay_out(sheets, paper=paper, overlap=overlap, correction=correction)
    pages = laid.pages(title, first_page=first_page, pages_in_all=pages_in_all)
    return PrintSet(pages, laid.tilings, laid.unplaced)


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
