"""The commands. They translate words and exit codes; the work is done elsewhere."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from plansgen import __version__
from plansgen.problems import BadInput
from plansgen.review.finding import SEVERITIES, Finding, Severity, at_or_above

FINDINGS, BAD_INPUT = 1, 2

library_option = click.option(
    "--library",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="The library: a folder with designs/ and mkdocs.yml. Default: the nearest one upward.",
)


def _library(given: Path | None) -> Path:
    from plansgen.library.folder import find_library

    found = given.resolve() if given else find_library(Path.cwd().resolve())
    if found is None or not (found / "designs").is_dir() or not (found / "mkdocs.yml").is_file():
        where = given or "this folder or above it"
        raise click.UsageError(
            f"No library in {where}: a library has designs/ and mkdocs.yml. "
            "Make one with: plansgen start DIR"
        )
    return found


def _tell_problems(bad: BadInput) -> None:
    for problem in bad.problems:
        click.echo(str(problem), err=True)
    count = len(bad.problems)
    click.echo(f"{count} problem{'s' if count != 1 else ''}; nothing was published.", err=True)


def _tell_finding(slug: str, finding: Finding) -> None:
    click.echo(f"{slug}: {finding.severity}: {finding.title}")
    click.echo(f"    found {finding.number}; wanted {finding.limit}")
    click.echo(f"    {finding.do}")


def _counts(findings: list[Finding]) -> str:
    counts = {level: sum(f.severity == level for f in findings) for level in SEVERITIES}
    return ", ".join(f"{count} {level}" for level, count in counts.items())


def _exit(findings: list[Finding], floor: str) -> None:
    if floor != "never" and any(at_or_above(f.severity, _severity(floor)) for f in findings):
        sys.exit(FINDINGS)


def _severity(word: str) -> Severity:
    return next(level for level in SEVERITIES if level == word)


def fail_on(default: str):  # type: ignore[no-untyped-def]
    """The option that chooses which findings make the exit code 1."""
    return click.option(
        "--fail-on",
        type=click.Choice([*SEVERITIES, "never"]),
        default=default,
        show_default=True,
        help="Exit with 1 when there is a finding this grave, or graver.",
    )


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="plansgen")
def main() -> None:
    """Turn folders of plain text about model aeroplanes into a plan-set site."""


@main.command()
@library_option
@click.option(
    "--site",
    type=click.Path(file_okay=False, path_type=Path),
    help="Where the site goes. Default: site/ in the library.",
)
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=lambda: os.cpu_count() or 1,
    show_default="all cores",
    help="How many designs are made at once.",
)
@fail_on("never")
def build(library: Path | None, site: Path | None, workers: int, fail_on: str) -> None:
    """Build the site of a library.

    Reads every folder in designs/, works out, draws, writes the pages and swaps the finished site
    in. If anything is wrong the old site stays as it was.

    \b
    Example:
      plansgen build
      plansgen build --library ~/plans --site /srv/plans
    """
    from plansgen.site.build import build_site
    from plansgen.site.progress import shown_progress

    home = _library(library)
    target = (site or home / "site").resolve()
    try:
        with shown_progress() as progress:
            summary = build_site(home, site=target, workers=workers, progress=progress)
    except BadInput as bad:
        _tell_problems(bad)
        sys.exit(BAD_INPUT)
    found = [finding for _, finding in summary.findings]
    click.echo(
        f"{summary.designs} designs, {summary.pages} pages in {summary.seconds:.1f} s; "
        f"findings: {_counts(found)}"
    )
    click.echo(f"Open {summary.site / 'index.html'}")
    _exit(found, fail_on)


@main.command()
@library_option
@click.argument("designs", nargs=-1)
@fail_on("severe")
def check(library: Path | None, designs: tuple[str, ...], fail_on: str) -> None:
    """Read and calculate only, and print what the rules find.

    DESIGNS are names of folders in designs/; without any, all are checked. Exit code 0: fine.
    1: findings at or above --fail-on. 2: a design file cannot be used.

    \b
    Example:
      plansgen check dunlin --fail-on caution
    """
    from plansgen.library.folder import design_slugs
    from plansgen.site.build import Job, check_design

    home = _library(library)
    findings: list[Finding] = []
    problems = []
    try:
        slugs = designs or design_slugs(home)
    except BadInput as bad:
        _tell_problems(bad)
        sys.exit(BAD_INPUT)
    for slug in slugs:
        result = check_design(Job(home, slug))
        if isinstance(result, tuple):
            problems.extend(result)
            continue
        ready = result.balance.ready
        mass = f"{ready.state.mass * 1000:.0f} g" if ready else "no masses"
        place = f"balances at {ready.state.mac_share * 100:.1f} % of the chord" if ready else ""
        click.echo(f"{slug}: {mass}, {place}")
        for finding in result.findings:
            _tell_finding(slug, finding)
        findings.extend(result.findings)
    if problems:
        _tell_problems(BadInput(problems))
        sys.exit(BAD_INPUT)
    click.echo(f"{len(slugs)} designs; findings: {_counts(findings)}")
    _exit(findings, fail_on)
