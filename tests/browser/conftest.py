"""A real browser on a served site.

Every test that asks for ``site`` runs on two sites: a small tree with every component of the
house style, and the demo library as ``plansgen build`` leaves it.
"""

from __future__ import annotations

import functools
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext

from plansgen.site.engine import run_engine
from plansgen.site.folder_search import write_folder_index
from plansgen.site.offline import Revision, write_offline_lists
from plansgen.site.overlay import write_theme

HERE = Path(__file__).parent
REPOSITORY = HERE.parents[1]
VIEWPORTS = {"desktop": (1280, 800), "tablet": (820, 1180)}


@dataclass(frozen=True)
class Site:
    """A site folder and the address it is served at (no slash at the end)."""

    folder: Path
    address: str

    @property
    def pages(self) -> list[str]:
        """Every page, the page for wrong addresses too, relative to the site."""
        found = sorted(path.relative_to(self.folder).as_posix() for path in self._html())
        assert "index.html" in found
        assert "404.html" in found
        return found

    def url(self, page: str) -> str:
        return f"{self.address}/{page}"

    def _html(self) -> Iterator[Path]:
        return self.folder.rglob("*.html")


class _QuietHandler(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@contextmanager
def serve(folder: Path) -> Iterator[Site]:
    """Serve a folder on this machine only, at a free port."""
    handler = functools.partial(_QuietHandler, directory=str(folder))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield Site(folder, f"http://127.0.0.1:{server.server_port}")
        server.shutdown()
        thread.join()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def components_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The built tree that shows every component of the house style once."""
    library = tmp_path_factory.mktemp("components")
    shutil.copy(REPOSITORY / "mkdocs.yml", library)
    write_theme(library, library / "build" / "theme")
    run_engine(library / "mkdocs.yml", docs_dir=HERE / "components", site_dir=library / "site")
    write_folder_index(library / "site")
    write_offline_lists(library / "site", [Revision("dunlin", "Dunlin", "A", "2026-04-01")])
    return library / "site"


@pytest.fixture(scope="session")
def components(components_site: Path) -> Iterator[Site]:
    with serve(components_site) as site:
        yield site


@pytest.fixture(scope="session", params=["components_site", "demo_site"])
def site(request: pytest.FixtureRequest) -> Iterator[Site]:
    with serve(request.getfixturevalue(request.param)) as served:
        yield served


def _visit(name: str, scheme: str) -> Any:
    """Two visits see both screens and both schemes; the others take minutes more."""
    usual = (name, scheme) in (("desktop", "light"), ("tablet", "dark"))
    return pytest.param((name, scheme), marks=() if usual else pytest.mark.long)


@pytest.fixture(params=[_visit(n, scheme) for n in VIEWPORTS for scheme in ("light", "dark")])
def context(request: pytest.FixtureRequest, browser: Browser) -> Iterator[BrowserContext]:
    """A fresh visit with each screen and each colour scheme of the system."""
    name, scheme = request.param
    width, height = VIEWPORTS[name]
    context = browser.new_context(
        viewport={"width": width, "height": height}, color_scheme=scheme, reduced_motion="reduce"
    )
    _NAMES[context] = f"{name} {scheme}"
    yield context
    del _NAMES[context]
    context.close()


_NAMES: dict[BrowserContext, str] = {}


def context_name(context: BrowserContext) -> str:
    """Which visit this is, such as ``tablet dark``."""
    return _NAMES[context]
