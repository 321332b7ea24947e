"""The commands. They translate words and exit codes; the work is done elsewhere."""
# ruff: noqa: D301 - the help texts hold click's mark for lines that keep their breaks

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plansgen import __version__
from plansgen.cli_library import (
    freeze,
    take,
    tell_changed_pieces,
    tell_changed_since,
    tell_effects,
)
from plansgen.cli_print import print_patterns
from plansgen.cli_shared import (
    BAD_INPUT,
    FINDINGS,
    Program,
    cache_of,
    cache_options,
    count,
    library_of,
    library_option,
    tell,
    tell_problems,
)
from plansgen.cli_start import start
from plansgen.library.contact import contact_of
from plansgen.library.folder import design_slugs, read_design
from plansgen.library.frozen import check_revisions
from plansgen.library.shelf import check_shelf
from plansgen.problems import BadInput, Problem, nearest_name
from plansgen.review.finding import SEVERITIES, Finding, Severity, at_or_above

if TYPE_CHECKING:
    from plansgen.dossier import Dossier
    from plansgen.site.build import Summary

_COLOURS: dict[Severity, str] = {"severe": "red", "caution": "yellow", "note": "cyan"}


def _counts(findings: Iterable[Finding]) -> str:
    levels = [finding.severity for finding in findings]
    return ", ".join(f"{levels.count(level)} {level}" for level in SEVERITIES)


def _exit_for(findings: Iterable[Finding], floor: str) -> None:
    level = next((level for level in SEVERITIES if level == floor), None)
    if level is not None and any(at_or_above(finding.severity, level) for finding in findings):
        sys.exit(FINDINGS)


def fail_on(default: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """The option that chooses which findings make the exit code 1."""
    return click.option(
        "--fail-on",
        type=click.Choice([*SEVERITIES, "never"]),
        default=default,
        show_default=True,
        help="Exit with 1 when there is a finding this grave, or graver.",
    )


@click.group(cls=Program, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="plansgen")
def main() -> None:
    """Turn folders of plain text about homebuilt model aeroplanes into a plan-set site.

    You describe each design once: surfaces, parts, materials, masses. plansgen works out areas,
    tail volumes, mass and balance, says what is doubtful, draws the plans, and makes pages from
    which a stranger can build. Model aircraft only: never for carrying people.

    \b
    A library is a folder:
      mkdocs.yml                    name and looks of the site
      designs/dunlin/design.yaml    one aeroplane; steps/, notes.md, photos/, log.yaml beside it
      designs/_shared/              pieces that several designs use, one file each
      site_templates/               your own page templates, if you want any
      build/                        made by plansgen: the pages before they become a site
      site/                         made by plansgen: the site, ready to be copied to a server

    \b
    A first session:
      plansgen start plans                         make a library in the new folder plans
      cd plans
      plansgen serve                               see it; every saved edit shows at once
      plansgen start --design stint --span "1.2 m"   begin a design of your own
      plansgen check stint                         calculate, and read what the rules find
      plansgen build                               make the site
      plansgen print stint --across 99.6           patterns for a printer that is not true
      plansgen freeze stint --revision A --because "First flown"   keep it as it is

    \b
    Exit codes:
      0    fine
      1    there are findings as grave as --fail-on says
      2    a file, folder or option cannot be used; nothing was published
      130  stopped with Ctrl-C

    Colours appear on a terminal only; NO_COLOR=1 switches them off.
    """
    _one_thread_each()


def _one_thread_each() -> None:
    """Let each process calculate on one thread: matrices here are small, and workers share cores.

    Libraries of linear algebra read these when they are loaded, which is later. Fewer threads also
    mean that sums are taken in one order on any machine.
    """
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")


# --- build -------------------------------------------------------------------------------------


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
@cache_options
@fail_on("never")
def build(
    library: Path | None,
    site: Path | None,
    workers: int,
    cache: Path | None,
    no_cache: bool,
    fail_on: str,
) -> None:
    """Build the site of a library.

    Reads every folder in designs/, works out, draws, writes the pages and swaps the finished site
    in. If anything is wrong, all of it is told and the old site stays as it was. A design that was
    built before from the same files, by the same program, is taken from the cache.

    \b
    Examples:
      plansgen build
      plansgen build --library ~/plans --site /srv/plans
      plansgen build --fail-on caution
    """
    home = library_of(library)
    target = (site or home / "site").resolve()
    with _told_failures():
        from plansgen.site.build import build_site
        from plansgen.site.progress import shown_progress

        with shown_progress() as progress:
            summary = build_site(
                home,
                site=target,
                workers=workers,
                progress=progress,
                cache=cache_of(cache, no_cache=no_cache),
            )
    click.echo(_summary_line(summary))
    click.echo(f"Open {summary.site / 'index.html'}")
    _exit_for([finding for _, finding in summary.findings], fail_on)


@contextmanager
def _told_failures() -> Iterator[None]:
    """Say what is wrong, and that the old site stays. Bugs keep their traceback."""
    try:
        yield
    except Exception as error:
        from plansgen.site.mishaps import mishap_lines

        lines = mishap_lines(error)
        if not lines or isinstance(error, BrokenPipeError):
            raise
        for line in lines:
            tell(line)
        tell(f"{count(len(lines), 'problem')}; nothing was published.")
        sys.exit(BAD_INPUT)


def _summary_line(summary: Summary) -> str:
    findings = _counts(finding for _, finding in summary.findings)
    return (
        f"{count(summary.designs, 'design')}, {count(summary.pages, 'page')} in "
        f"{summary.seconds:.1f} s; findings: {findings}"
    )


# --- check -------------------------------------------------------------------------------------


@main.command()
@library_option
@click.argument("designs", nargs=-1)
@click.option(
    "--shared",
    metavar="NAME",
    help="Show what this piece of designs/_shared does to the designs that use it, beside their "
    "last frozen revisions.",
)
@fail_on("severe")
def check(library: Path | None, designs: tuple[str, ...], shared: str | None, fail_on: str) -> None:
    """Read and calculate only, and print what the rules find.

    DESIGNS are names of folders in designs/; without any, all are checked. Each finding is one
    line: how grave, what, the number found and the one wanted, and what to do. Exit code 0: fine.
    1: findings at or above --fail-on. 2: a design file cannot be used.

    Frozen revisions are compared with their hashes, and shared pieces that were changed since are
    told with the designs that use them.

    \b
    Examples:
      plansgen check
      plansgen check dunlin whimbrel --fail-on caution
      plansgen check --shared wader-nacelle
    """
    from plansgen.dossier import work_out

    home = library_of(library)
    if shared is not None:
        if designs:
            raise click.UsageError("Give designs or --shared, not both.")
        tell_effects(home, shared)
        return
    findings: list[Finding] = []
    problems: list[Problem] = []
    for work in (contact_of,) if designs else (contact_of, check_shelf):
        problems.extend(_problems_of(partial(work, home)))
    slugs = _chosen(home, designs)
    for slug in slugs:
        problems.extend(_problems_of(partial(check_revisions, home, slug)))
        try:
            design = read_design(home, slug)
            tell_changed_since(home, design)
            dossier = work_out(design)
        except BadInput as bad:
            problems.extend(bad.problems)
            continue
        click.echo(_balance_line(dossier))
        for finding in dossier.findings:
            click.echo(_finding_line(slug, finding))
        findings.extend(dossier.findings)
    tell_changed_pieces(home, slugs)
    if problems:
        tell_problems(BadInput(problems).problems)
        tell(f"{count(len(problems), 'problem')}.")
        sys.exit(BAD_INPUT)
    click.echo(f"{count(len(slugs), 'design')}; findings: {_counts(findings)}")
    _exit_for(findings, fail_on)


def _problems_of(work: Callable[[], object]) -> tuple[Problem, ...]:
    try:
        work()
    except BadInput as bad:
        return bad.problems
    return ()


def _chosen(home: Path, names: Sequence[str]) -> tuple[str, ...]:
    """The designs asked for, each once, or all of them."""
    known = design_slugs(home)
    wanted = tuple(dict.fromkeys(name.rstrip("/").removeprefix("designs/") for name in names))
    problems = [
        Problem(
            "designs", 0, "", f'there is no design "{name[:60]}"', "", nearest_name(name, known)
        )
        for name in wanted
        if name not in known
    ]
    if problems:
        raise BadInput(problems)
    return wanted or known


def _balance_line(dossier: Dossier) -> str:
    ready = dossier.balance.ready
    if ready is None:
        return f"{dossier.slug}: no masses are given"
    share = ready.state.mac_share * 100
    return (
        f"{dossier.slug}: {ready.state.mass * 1000:.0f} g, "
        f"balances at {share:.1f} % of the mean aerodynamic chord"
    )


def _finding_line(slug: str, finding: Finding) -> str:
    level = click.style(finding.severity, fg=_COLOURS[finding.severity])
    return (
        f"{slug}: {level}: {finding.title}: found {finding.number}, wanted {finding.limit}. "
        f"{finding.do}"
    )


# --- serve -------------------------------------------------------------------------------------


@main.command()
@library_option
@click.option(
    "--port",
    type=click.IntRange(1, 65535),
    default=8000,
    show_default=True,
    help="Port of the preview on this machine.",
)
@click.option("--no-open", is_flag=True, help="Do not open a browser.")
@cache_options
def serve(
    library: Path | None, port: int, no_open: bool, cache: Path | None, no_cache: bool
) -> None:
    """Show the site on this machine while you write.

    Builds once, then again whenever designs/, site_templates/ or mkdocs.yml is saved; the browser
    loads the page again by itself. After a bad edit the problems stand here and above the last good
    page, until the next good one. Ctrl-C ends it, with exit code 0.

    Only this machine can see it (127.0.0.1). The pages go into a private temporary folder that is
    removed at the end; site/ of the library stays as it is.

    \b
    Examples:
      plansgen serve
      plansgen serve --library ~/plans --port 8080 --no-open
    """
    from plansgen.site.build import build_site
    from plansgen.site.serve import PortInUseError
    from plansgen.site.serve import serve as serve_library

    home, kept = library_of(library), cache_of(cache, no_cache=no_cache)

    def made(site: Path) -> str:
        # One worker, in this process: what is loaded once stays.
        return _summary_line(build_site(home, site=site, workers=1, cache=kept))

    def say(line: str, bad: bool) -> None:
        tell(line) if bad else click.echo(line)

    signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        serve_library(home, build=made, port=port, open_browser=not no_open, tell=say)
    except PortInUseError as error:
        raise click.UsageError(str(error)) from error
    except KeyboardInterrupt:
        click.echo("\nStopped.")


main.add_command(freeze)
main.add_command(print_patterns)
main.add_command(start)
main.add_command(take)
