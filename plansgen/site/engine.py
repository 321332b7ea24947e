"""Turn a docs tree into a site with MkDocs: the only module that knows the engine."""

from __future__ import annotations

import logging
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException
from mkdocs.plugins import BasePlugin
from mkdocs.structure.pages import Page

from plansgen.site.system import os_words


class EngineError(Exception):
    """The engine refused the docs tree; the text holds every message it gave."""


class _Collector(logging.Handler):
    """Keeps warnings and errors instead of printing them."""

    def __init__(self) -> None:
        super().__init__(level=logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())


class _PageCounter(BasePlugin):  # type: ignore[type-arg,no-untyped-call]
    """Counts pages as they are written; lives in memory only and changes nothing."""

    def __init__(self, on_page: Callable[[str], None] | None) -> None:
        self.tell = on_page  # a name starting with on_ would be taken for an event
        self.pages = 0

    def on_post_page(self, output: str, *, page: Page, **_: Any) -> str:
        self.pages += 1
        if self.tell is not None:
            self.tell(page.file.src_uri)
        return output


def run_engine(
    config_file: Path,
    *,
    docs_dir: Path,
    site_dir: Path,
    on_page: Callable[[str], None] | None = None,
    own_pages: Mapping[str, str] | None = None,
) -> int:
    """Build ``docs_dir`` into ``site_dir`` and return the number of pages written.

    Nothing is printed, and the day of the build leaves no trace in the output. The folder
    that ``theme.custom_dir`` names must exist (see ``overlay.write_theme``).

    Args:
        config_file: the library's mkdocs.yml.
        docs_dir: the docs tree; wins over the one in ``config_file``.
        site_dir: where the site goes, emptied first; wins over the one in ``config_file``.
        on_page: called with the source name of each page as it is written.
        own_pages: titles of pages that every library has, by source name. A navigation written
            before there was such a page gets it at its end.

    Raises:
        EngineError: the configuration is wrong, or the tree gave any warning, such as a
            link to a page or heading that is not there.
    """
    counter = _PageCounter(on_page)
    with _captured_log() as log, _no_clock():
        try:
            config = load_config(str(config_file), docs_dir=str(docs_dir), site_dir=str(site_dir))
            _complete_navigation(config, own_pages or {})
            config.plugins["plansgen/pages"] = counter
            config.plugins.on_startup(command="build", dirty=False)
            try:
                build(config)
            finally:
                config.plugins.on_shutdown()
        except (MkDocsException, SystemExit, OSError) as error:
            # An abort only counts the messages; anything else says something new.
            told = log.messages or [os_words(error) if isinstance(error, OSError) else str(error)]
            raise EngineError("\n".join(dict.fromkeys(told))) from error
    if log.messages:
        raise EngineError("\n".join(dict.fromkeys(log.messages)))
    return counter.pages


def _complete_navigation(config: MkDocsConfig, own_pages: Mapping[str, str]) -> None:
    """Add pages that the navigation lacks, but none that it hides on purpose."""
    if config.nav is None:  # the engine lists every page by itself
        return
    named = set(_pages_of(config.nav))
    hidden = config.not_in_nav
    config.nav += [
        {title: page}
        for page, title in own_pages.items()
        if page not in named and not (hidden and hidden.match_file(page))
    ]


def _pages_of(nav: Any) -> Iterator[str]:
    """Every page that a navigation names, at any depth."""
    if isinstance(nav, str):
        yield nav
    elif isinstance(nav, Mapping):
        yield from _pages_of(list(nav.values()))
    elif isinstance(nav, list):
        for entry in nav:
            yield from _pages_of(entry)


def read_site_name(config_file: Path, *, docs_dir: Path) -> str:
    """Return the ``site_name`` of a library's mkdocs.yml.

    Args:
        config_file: the library's mkdocs.yml.
        docs_dir: any folder that is there; the engine wants one before it reads a name.

    Raises:
        EngineError: the configuration cannot be read.
    """
    with _captured_log() as log:
        try:
            return str(load_config(str(config_file), docs_dir=str(docs_dir))["site_name"])
        except (MkDocsException, SystemExit, OSError) as error:
            raise EngineError("\n".join(log.messages) or str(error)) from error


@contextmanager
def _captured_log() -> Iterator[_Collector]:
    logger = logging.getLogger("mkdocs")
    collector = _Collector()
    propagate, logger.propagate = logger.propagate, False
    logger.addHandler(collector)
    try:
        yield collector
    finally:
        logger.removeHandler(collector)
        logger.propagate = propagate


@contextmanager
def _no_clock() -> Iterator[None]:
    """Fix the engine's idea of today: https://reproducible-builds.org/specs/source-date-epoch/."""
    name = "SOURCE_DATE_EPOCH"
    before = os.environ.get(name)
    os.environ[name] = "0"
    try:
        yield
    finally:
        if before is None:
            del os.environ[name]
        else:
            os.environ[name] = before
