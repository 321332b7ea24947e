"""The command that prints patterns for one printer."""
# ruff: noqa: D301 - the help text holds click's mark for lines that keep their breaks

from __future__ import annotations

from pathlib import Path

import click

from plansgen.cli_shared import count, library_of, library_option
from plansgen.library.folder import read_design, slug_of
from plansgen.library.printing import Printer, printer_of, problem_of
from plansgen.problems import BadInput, Problem

PAPERS = ("a4", "letter", "a3", "roll-594", "roll-610", "roll-914")
"""Ids of the papers; those of :func:`plansgen.patterns.tiles.papers`, which is slow to load."""


def _bar(_context: click.Context, _option: click.Parameter, value: float | None) -> float | None:
    words = problem_of(value) if value is not None else ""
    if words:
        raise click.BadParameter(words)
    return value


@click.command("print")
@library_option
@click.argument("design")
@click.option(
    "--paper", type=click.Choice(PAPERS), default="a4", show_default=True, help="What it prints on."
)
@click.option(
    "--across",
    type=float,
    callback=_bar,
    metavar="MM",
    help="What the 100 mm bar along the paper's shorter side measures, or across the roll.",
)
@click.option(
    "--along",
    type=float,
    callback=_bar,
    metavar="MM",
    help="What the 100 mm bar along the paper's longer side measures, or along the roll.",
)
@click.option(
    "-o",
    "--output",
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file to write. Default: DESIGN-PAPER.pdf here.",
)
def print_patterns(
    library: Path | None,
    design: str,
    paper: str,
    across: float | None,
    along: float | None,
    output: Path | None,
) -> None:
    """Write the patterns of a design for your printer.

    DESIGN is the name of a folder in designs/. The pages are the same as on the site, drawn so much
    larger or smaller that they come out true on a printer that is not. First print one page of the
    site's own set at 100 %, never fitted to the page; measure its two 100 mm bars with a steel
    rule; give here what they measure. Then print the new file at 100 % and measure again.

    A library can keep its printer in mkdocs.yml; the options win over it, and the site itself stays
    true to size for everybody else:

    \b
      extra:
        printing: {across: 99.6, along: 100.2}

    \b
    Examples:
      plansgen print dunlin --across 99.6 --along 100.2
      plansgen print dunlin --paper roll-610 -o dunlin.pdf
    """
    from plansgen.dossier import work_out_all
    from plansgen.patterns.print import print_pdf
    from plansgen.patterns.sheets import sheets_of_nesting
    from plansgen.patterns.tiles import correction_for, papers
    from plansgen.site.plan_set import title_of

    home = library_of(library)
    slug = slug_of(home, design)
    kept = printer_of(home)
    printer = Printer(across or kept.across, along or kept.along)
    dossier, patterns = work_out_all(read_design(home, slug))
    sheets = sheets_of_nesting(patterns.nesting, patterns.parts) if patterns else []
    if not sheets:
        raise BadInput([Problem(f"designs/{slug}", 0, "", "no part of it lies on a sheet")])
    data = print_pdf(
        sheets,
        title=title_of(dossier),
        paper=papers()[paper],
        correction=correction_for(printer),
    )
    target = output or Path(f"{slug}-{paper}.pdf")
    target.write_bytes(data)
    true = "true to size" if printer == Printer() else "corrected"
    click.echo(f"wrote {target}: {count(len(sheets), 'sheet')}, {true}.")
    click.echo("Print it at 100 % and measure the 100 mm bars before you cut.")
