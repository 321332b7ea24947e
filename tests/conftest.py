"""What the whole test suite shares."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from filelock import FileLock
from playwright.sync_api import Browser, sync_playwright

from plansgen.site.build import build_site

REPOSITORY = Path(__file__).resolve().parents[1]
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--disable-quic",
)


def copy_library(target: Path) -> Path:
    """A copy of the demo library, as somebody would have it outside the repository."""
    target.mkdir(parents=True)
    shutil.copytree(REPOSITORY / "designs", target / "designs")
    shutil.copyfile(REPOSITORY / "mkdocs.yml", target / "mkdocs.yml")
    return target


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all processes of one run of the tests see."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session", autouse=True)
def no_cache_of_ones_own(shared: Path) -> None:
    """Commands keep finished designs here, and find none of another program or another day."""
    os.environ["PLANSGEN_CACHE"] = str(shared / "cache")


@pytest.fixture(scope="session")
def demo_library(shared: Path) -> Path:
    """The demo library outside the repository, with its site; made once for all processes."""
    library = shared / "demo" / "saltmarsh"
    with FileLock(shared / "demo.lock"):
        if not (library / "site").exists():
            copy_library(library)
            build_site(library, site=library / "site", workers=2)
    return library


@pytest.fixture(scope="session")
def demo_site(demo_library: Path) -> Path:
    """The built site of the demo library."""
    return demo_library / "site"


@pytest.fixture(scope="session")
def chromium() -> str:
    """The path of an installed Chromium."""
    for name in ("/usr/bin/chromium", "chromium", "chromium-browser", "google-chrome"):
        if path := shutil.which(name):
            return path
    reason = "no Chromium found; install it to run the browser tests"
    if os.environ.get("PLANSGEN_REQUIRE_BROWSER") == "1":
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=list(FLAGS))
        yield browser
        browser.close()
