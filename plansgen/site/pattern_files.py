"""Files to print and to cut from: print sets, a drawing a sheet for cutters, the plan set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plansgen.dossier import Dossier
from plansgen.figures.save import Drawing
from plansgen.library.design import Design
from plansgen.patterns.dxf import sheet_dxf
from plansgen.patterns.pdf import pdf_bytes
from plansgen.patterns.print import Layout, lay_out
from plansgen.patterns.result import PatternSet
from plansgen.patterns.sheets import Sheet, sheets_of_nesting
from plansgen.patterns.svg import sheet_svg, sheet_words
from plansgen.patterns.tiles import papers
from plansgen.site.plan_set import plans_pdf, title_of

PAPERS = ("a4", "letter", "a3", "roll-610")
"""Papers that a print set is made for; of the rolls the one that most large printers take."""


@dataclass(frozen=True)
class PrintFile:
    """A print set: its paper, its file and how many pages it has."""

    paper: str
    file: str
    pages: int
    size: int


@dataclass(frozen=True)
class PatternFiles:
    """Everything to print and to cut from.

    sheets: as drawn, in the order of the layout. prints: print sets; none when no part lies on a
    sheet. plans: size of the plan set. [bytes] files: bytes by name, under ``patterns/``.
    """

    sheets: tuple[Sheet, ...]
    prints: tuple[PrintFile, ...]
    plans: int
    files: Mapping[str, bytes]


def pattern_files(
    design: Design, dossier: Dossier, figures: Mapping[str, Drawing], patterns: PatternSet
) -> PatternFiles:
    """Make the files of one design."""
    sheets = tuple(sheets_of_nesting(patterns.nesting, patterns.parts))
    files = _cutter_files(dossier, sheets)
    prints: list[PrintFile] = []
    layouts: dict[str, Layout] = {}
    if sheets:
        for key in PAPERS:
            paper = papers()[key]
            layouts[key] = lay_out(sheets, paper=paper)
            data = _print_set(dossier, layouts[key], paper.name)
            files[f"{key}.pdf"] = data
            pages = len(layouts[key].makers)
            prints.append(PrintFile(paper.name, f"{key}.pdf", pages, len(data)))
    files["plans.pdf"] = plans_pdf(
        design,
        dossier,
        figures,
        sheets,
        layouts.get("a4", Layout((), (), ())),
        patterns.parts,
    )
    return PatternFiles(sheets, tuple(prints), len(files["plans.pdf"]), files)


def _print_set(dossier: Dossier, layout: Layout, paper: str) -> bytes:
    title = title_of(dossier)
    return pdf_bytes(
        layout.pages(title),
        title=f"{title.design}: patterns, {paper}",
        subject=f"{title.revision} {title.fingerprint}",
    )


def _cutter_files(dossier: Dossier, sheets: Sequence[Sheet]) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for number, sheet in enumerate(sheets, 1):
        words = sheet_words(sheet)
        title = f"{dossier.name}, revision {dossier.revision}: {sheet.name}"
        files[f"sheet-{number}.svg"] = sheet_svg(sheet, title=title, lettering=words)
        files[f"sheet-{number}.dxf"] = sheet_dxf(sheet, lettering=words)
    return files
