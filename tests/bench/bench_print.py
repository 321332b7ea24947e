"""Seconds to print 30 parts on 6 sheets, by paper, and to write them for cutters.

Run: python -m tests.bench.bench_print. CPU time of one core, best of three.
"""

from __future__ import annotations

from dataclasses import replace

from plansgen.patterns.dxf import sheet_dxf
from plansgen.patterns.print import count_pages, print_pdf
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.svg import sheet_svg
from plansgen.patterns.tiles import papers
from tests.bench.timing import best
from tests.patterns.sample_sheets import TITLE, sheets


def six_sheets() -> list[Sheet]:
    """The sample's four sheets of 38 copies, and its two largest once more."""
    four = sheets()
    return [*four, *(replace(sheet, name=f"{sheet.name}, again") for sheet in four[:2])]


def main() -> None:
    """Print one line a paper and one for the files of cutters."""
    made = six_sheets()
    print(f"{sum(len(sheet.pieces) for sheet in made)} pieces on {len(made)} sheets")
    for key, paper in papers().items():
        size = len(print_pdf(made, title=TITLE, paper=paper))
        seconds = best(lambda paper=paper: print_pdf(made, title=TITLE, paper=paper))
        pages = count_pages(made, paper=paper)
        print(f"{key:10} {pages:4d} pages {size / 1000:7.0f} kB {seconds:7.2f} s")
    for name, write in (("svg", lambda s: sheet_svg(s, title=s.name)), ("dxf", sheet_dxf)):
        seconds = best(lambda write=write: [write(sheet) for sheet in made])
        print(f"{name:10} {len(made):4d} files {seconds:18.2f} s")


if __name__ == "__main__":
    main()
