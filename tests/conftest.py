"""What the whole test suite shares."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
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
def demo_library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo library outside the repository."""
    return copy_library(tmp_path_factory.mktemp("demo") / "saltmarsh")


@pytest.fixture(scope="session")
def demo_site(demo_library: Path) -> Path:
    """The built site of the demo library."""
    site = demo_library / "site"
    build_site(demo_library, site=site, workers=2)
    return site


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
