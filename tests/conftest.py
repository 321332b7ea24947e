"""What the whole test suite shares."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from plansgen.site.build import build_site

REPOSITORY = Path(__file__).resolve().parents[1]


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
