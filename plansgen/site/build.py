"""The whole way: read, work out, draw, write, run the engine, publish."""

from __future__ import annotations

import multiprocessing
import signal
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from plansgen.dossier import work_out_all
from plansgen.figures.all import draw_all
from plansgen.library.contact import Contact, contact_of
from plansgen.library.design import Design
from plansgen.library.folder import design_slugs, read_design
from plansgen.problems import BadInput, Problem
from plansgen.review.finding import Finding
from plansgen.site.cache import OutputCache, key_of
from plansgen.site.design_pages import design_files
from plansgen.site.engine import read_site_name, run_engine
from plansgen.site.environment import make_environment
from plansgen.site.folder_search import write_folder_index
from plansgen.site.library_pages import LIBRARY_PAGES, Card, card_of, library_files
from plansgen.site.offline import Revision, write_offline_lists
from plansgen.site.output import DesignOutput
from plansgen.site.overlay import template_roots, write_theme
from plansgen.site.publish import PublishError, locked, publish, staging
from plansgen.site.tree import write_tree

Progress = Callable[[str, int, int], None]  # what is being done, how many are done, of how many


def _silent(_what: str, _done: int, _total: int) -> None:
    return None


@dataclass(frozen=True)
class Summary:
    """What a build did."""

    designs: int
    findings: tuple[tuple[str, Finding], ...]
    pages: int
    seconds: float
    site: Path


@dataclass(frozen=True)
class Job:
    """One design to be made; small enough to send to a worker.

    cache: where it may be found. contact: where its builders write to.
    """

    library: Path
    slug: str
    cache: OutputCache | None = None
    contact: Contact | None = None


@dataclass
class _Gathered:
    outputs: list[DesignOutput] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def make_design(job: Job) -> DesignOutput | tuple[Problem, ...]:
    """Read, work out and draw one design, and render its pages. Problems are returned.

    A design whose output is in the cache is only read.
    """
    try:
        design = read_design(job.library, job.slug)
    except BadInput as bad:
        return bad.problems
    if job.cache is None:
        return _worked_out(design, job.library, job.contact)
    key = key_of(design, job.library, job.contact)
    output = job.cache.get(key, design.slug)
    if output is None:
        output = _worked_out(design, job.library, job.contact)
        job.cache.put(key, output)
    return output


def _worked_out(design: Design, library: Path, contact: Contact | None) -> DesignOutput:
    dossier, patterns = work_out_all(design)
    figures = draw_all(design, dossier)
    environment = make_environment(template_roots(library))
    picture = figures["card"]
    return DesignOutput(
        slug=design.slug,
        files=design_files(environment, design, dossier, figures, patterns, contact),
        card=card_of(design, dossier, picture),
        findings=dossier.findings,
    )


Made = DesignOutput | tuple[Problem, ...]


def _made(jobs: Sequence[Job], workers: int) -> Iterator[Made]:
    """Results in the order of the jobs, whatever the number of workers."""
    if workers <= 1 or len(jobs) <= 1:
        yield from map(make_design, jobs)
        return
    spawn = multiprocessing.get_context("spawn")
    others = multiprocessing.active_children()
    with ProcessPoolExecutor(min(workers, len(jobs)), mp_context=spawn) as pool:
        with _deaf_to_interrupts():
            results = pool.map(make_design, jobs)
        try:
            yield from results
        except KeyboardInterrupt:
            for worker in multiprocessing.active_children():
                if worker not in others:
                    worker.terminate()  # not after the designs it has begun
            raise


@contextmanager
def _deaf_to_interrupts() -> Iterator[None]:
    """Let workers that start meanwhile ignore Ctrl-C: the program itself hears it and ends them.

    Where signals can be held back, workers inherit that, and the program hears a Ctrl-C of
    meanwhile as soon as they have started. Elsewhere it is lost.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    if hasattr(signal, "pthread_sigmask"):
        held = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        try:
            yield
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, held)
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _gather(jobs: Sequence[Job], workers: int, progress: Progress) -> list[DesignOutput]:
    got = _Gathered()
    progress("designs", 0, len(jobs))
    for number, result in enumerate(_made(jobs, workers), 1):
        if isinstance(result, DesignOutput):
            got.outputs.append(result)
        else:
            got.problems.extend(result)
        progress("designs", number, len(jobs))
    if got.problems:
        raise BadInput(got.problems)
    return got.outputs


def _all_findings(outputs: Iterable[DesignOutput]) -> tuple[tuple[str, Finding], ...]:
    return tuple((output.slug, finding) for output in outputs for finding in output.findings)


def build_site(
    library: Path,
    *,
    site: Path,
    workers: int = 1,
    progress: Progress = _silent,
    cache: OutputCache | None = None,
) -> Summary:
    """Build a library's site and swap it in.

    library: folder with ``designs/`` and ``mkdocs.yml``. site: where the site shall be; it is left
    as it was unless everything succeeds. cache: keeps finished designs for later builds; what is
    built is the same with and without it.

    Raises:
        BadInput: with the problems of all designs, or of the library's settings.
        PublishError: the site would stand among the files it is made from, or cannot be put there.
    """
    start = time.perf_counter()
    build = library / "build"
    _refuse_source(library, site)
    contact = contact_of(library)
    with locked(build / "docs"), staging(site) as new:
        jobs = [Job(library, slug, cache, contact) for slug in design_slugs(library)]
        outputs = _gather(jobs, workers, progress)
        _write(library, build, outputs, contact)
        pages = _engine(library, build, new, progress)
        write_folder_index(new)
        write_offline_lists(new, [_revision(output.card) for output in outputs])
        publish(new, site)
    if cache is not None:
        cache.prune()
    return Summary(len(jobs), _all_findings(outputs), pages, time.perf_counter() - start, site)


def _revision(card: Card) -> Revision:
    return Revision(card.slug, card.name, card.revision, card.date)


def _refuse_source(library: Path, site: Path) -> None:
    """A site inside ``designs/`` or ``build/`` would be taken for a source by the next build."""
    real = site.resolve()
    for name in ("designs", "build", "site_templates"):
        if real.is_relative_to((library / name).resolve()):
            raise PublishError(f"{site} lies in {name}/ of the library; name another folder")


def _write(
    library: Path, build: Path, outputs: Sequence[DesignOutput], contact: Contact | None
) -> None:
    """Write the theme and the docs tree that the engine reads."""
    write_theme(library, build / "theme")
    files = library_files(
        make_environment(template_roots(library)),
        [output.card for output in outputs],
        site_name=read_site_name(library / "mkdocs.yml", docs_dir=build / "theme"),
        contact=contact,
    )
    for output in outputs:
        files.update(output.files)
    write_tree(build / "docs", files)


def _engine(library: Path, build: Path, new: Path, progress: Progress) -> int:
    """Run the engine on the docs tree; the number of pages written."""
    total = sum(1 for _ in (build / "docs").rglob("*.md"))
    progress("pages", 0, total)
    seen = iter(range(1, total + 1))
    return run_engine(
        library / "mkdocs.yml",
        docs_dir=build / "docs",
        site_dir=new,
        on_page=lambda _: progress("pages", next(seen, total), total),
        own_pages=LIBRARY_PAGES,
    )
