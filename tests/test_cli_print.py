"""Patterns for one printer: what the file measures, what is said, and the exit code."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from plansgen.cli import main
from plansgen.cli_print import PAPERS
from plansgen.patterns.tiles import papers
from tests.patterns.test_pdf import bars, near
from tests.test_cli import BALANCED, add, library

__all__ = ["library"]  # the fixture


def run(home: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["print", "--library", str(home), *words])


def test_papers_are_those_of_the_print_sets() -> None:
    assert set(PAPERS) == set(papers())


def test_a_set_is_as_much_larger_as_the_printer_is_too_small(library: Path) -> None:
    """Drawn 100/99.6 and 100/100.2 of its size, it measures 100 mm again on that printer.

    Of a page that lies on its side the shorter side of the paper is the upright one.
    """
    target = library / "out.pdf"
    done = run(library, "knot", "--across", "99.6", "--along", "100.2", "-o", str(target))
    assert (done.exit_code, f"wrote {target}" in done.output) == (0, True)
    assert "corrected" in done.output
    for page in PdfReader(io.BytesIO(target.read_bytes())).pages:
        level, upright = bars(page)
        lies = page.mediabox.width > page.mediabox.height
        across, along = (upright, level) if lies else (level, upright)
        assert near(across, 100 * 100 / 99.6) >= 1
        assert near(along, 100 * 100 / 100.2) >= 1
        assert "for one printer only" in page.extract_text()


def test_the_librarys_printer_is_used_and_options_win(library: Path) -> None:
    (library / "mkdocs.yml").write_text(
        "site_name: P\nextra: {printing: {across: 98, along: 99}}\n"
    )
    target = library / "out.pdf"
    assert run(library, "knot", "--along", "100", "-o", str(target)).exit_code == 0
    page = PdfReader(io.BytesIO(target.read_bytes())).pages[0]
    lies = page.mediabox.width > page.mediabox.height
    level, upright = bars(page)
    assert near(upright if lies else level, 100 * 100 / 98) >= 1
    assert near(level if lies else upright, 100.0) >= 1


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["knot", "--across", "80"], "at 100 %"),
        (["knot", "--along", "nan"], "is not a number"),
        (["knot", "--paper", "a9"], "'a9' is not one of"),
        (["knit"], 'did you mean "knot"?'),
        (["bare"], "no part of it lies on a sheet"),
        (["knot", "-o", "no/such/folder/x.pdf"], "x.pdf"),
    ],
)
def test_what_cannot_be_printed_is_told_with_exit_code_2(
    library: Path,
    words: list[str],
    told: str,
) -> None:
    if words == ["bare"]:
        lines = [line for line in BALANCED.splitlines() if "parts:" not in line]
        add(library, "bare", "\n".join(lines) + "\n")
    done = run(library, *words)
    assert done.exit_code == 2
    assert told in done.output
