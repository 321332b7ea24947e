from __future__ import annotations

import gzip
import logging
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from plansgen.site.engine import EngineError, run_engine
from plansgen.site.overlay import overlay_files, packaged_templates, template_roots, write_theme

REPOSITORY = Path(__file__).resolve().parents[2]
PAGES = (
    *(
        "index.md",
        "methods.md",
        "materials.md",
        "words.md",
        "measure-your-sheet.md",
        "design-file.md",
    ),
    "designs/dunlin/index.md",
)

Library = Callable[..., Path]


@pytest.fixture
def library(tmp_path: Path) -> Library:
    """Write a library with a small docs tree; further files by name."""

    def write(name: str = "library", **files: str) -> Path:
        root = tmp_path / name
        docs = root / "build" / "docs"
        for page in PAGES:
            path = docs / page
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(f"# Page {path.stem}\n\n## Part\n\nText.\n", encoding="utf-8")
        for page, text in files.items():
            (docs / f"{page}.md").write_text(text, encoding="utf-8")
        shutil.copy(REPOSITORY / "mkdocs.yml", root)
        write_theme(root, root / "build" / "theme")
        return root

    return write


def build(root: Path, **options: object) -> int:
    return run_engine(
        root / "mkdocs.yml", docs_dir=root / "build/docs", site_dir=root / "site", **options
    )


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_every_page_is_written_and_told(library: Library) -> None:
    told: list[str] = []
    root = library()
    assert build(root, on_page=told.append) == len(PAGES)
    assert sorted(told) == sorted(PAGES)
    assert (root / "site/designs/dunlin/index.html").is_file()


def test_nothing_is_printed_and_logging_is_left_as_it_was(
    library: Library, capfd: pytest.CaptureFixture[str]
) -> None:
    logger = logging.getLogger("mkdocs")
    before = (list(logger.handlers), logger.propagate)
    build(library())
    with pytest.raises(EngineError):
        build(library("broken", index="[gone](gone.md)"))
    assert capfd.readouterr() == ("", "")
    assert (logger.handlers, logger.propagate) == before


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[a](gone.md)", "gone.md"),
        ("[a](methods.md#no-such-part)", "no-such-part"),
        ("[a](#no-such-part)", "no-such-part"),
        ("![a](gone.svg)", "gone.svg"),
        ("[a](/methods.html)", "/methods.html"),
        ("[a](methods)", "methods"),
    ],
)
def test_a_broken_link_is_an_error(library: Library, text: str, told: str) -> None:
    with pytest.raises(EngineError, match=r"index\.md") as caught:
        build(library(index=f"# Home\n\n{text}\n"))
    assert told in str(caught.value)


def test_all_broken_links_are_told_at_once(library: Library) -> None:
    with pytest.raises(EngineError) as caught:
        build(library(index="[a](one.md) [b](two.md)", methods="# M\n\n[c](three.md)"))
    assert all(name in str(caught.value) for name in ("one.md", "two.md", "three.md"))


def test_a_page_left_out_of_the_navigation_is_an_error(library: Library) -> None:
    with pytest.raises(EngineError, match=r"stray\.md"):
        build(library(stray="# Stray"))


OWN = {"methods.md": "Methods", "measure-your-sheet.md": "Measure your sheet"}


def test_an_older_navigation_gets_the_pages_it_lacks(library: Library) -> None:
    root = library()
    config = root / "mkdocs.yml"
    line = "  - Measure your sheet: measure-your-sheet.md\n"
    text = config.read_text("utf-8")
    assert line in text
    config.write_text(text.replace(line, ""), encoding="utf-8")
    with pytest.raises(EngineError, match=r"measure-your-sheet\.md"):
        build(root)
    assert build(root, own_pages=OWN) == len(PAGES)
    page = (root / "site/index.html").read_text("utf-8")
    assert "Measure your sheet" in page
    assert 'href="measure-your-sheet.html"' in page


def test_a_page_hidden_on_purpose_stays_out_of_the_navigation(library: Library) -> None:
    root = library()
    config = root / "mkdocs.yml"
    text = config.read_text("utf-8").replace("  - Measure your sheet: measure-your-sheet.md\n", "")
    text = text.replace("  /designs/**\n", "  /designs/**\n  /measure-your-sheet.md\n")
    config.write_text(text, encoding="utf-8")
    assert build(root, own_pages=OWN) == len(PAGES)
    assert "measure-your-sheet" not in (root / "site/index.html").read_text("utf-8")


def test_a_bad_configuration_is_an_error(library: Library) -> None:
    root = library()
    (root / "mkdocs.yml").write_text("site_name: x\ntheme: no-such-theme\n", encoding="utf-8")
    with pytest.raises(EngineError, match="no-such-theme"):
        build(root)


@pytest.mark.parametrize("address", ["", "site_url: https://library.example/plans/\n"])
def test_other_day_other_folder_same_bytes(
    library: Library, monkeypatch: pytest.MonkeyPatch, address: str
) -> None:
    built = []
    for name, day in (("one", "1000000000"), ("two", "1700000000")):
        monkeypatch.setenv("SOURCE_DATE_EPOCH", day)  # what the engine takes for today
        root = library(name)
        config = root / "mkdocs.yml"
        config.write_text(config.read_text("utf-8") + address, encoding="utf-8")
        build(root)
        built.append(contents(root / "site"))
    assert built[0] == built[1]
    assert ("sitemap.xml" in built[0]) == bool(address)


def test_sitemap_names_pages_and_no_day(library: Library) -> None:
    root = library()
    with (root / "mkdocs.yml").open("a", encoding="utf-8") as config:
        config.write("site_url: https://library.example/plans/\n")
    build(root)
    text = (root / "site/sitemap.xml").read_text("utf-8")
    assert text.startswith("<?xml")
    assert "<loc>https://library.example/plans/designs/dunlin/index.html</loc>" in text
    assert "lastmod" not in text
    packed = (root / "site/sitemap.xml.gz").read_bytes()
    assert gzip.decompress(packed).decode("utf-8") == text
    # RFC 1952, 2.3.1: bytes 4 to 7 are the time, 0 means none
    assert packed[4:8] == bytes(4)


def test_the_command_of_the_engine_gives_the_same_bytes(library: Library) -> None:
    """By hand, on any day: no in-memory helper of ours leaves a trace."""
    root = library()
    build(root)
    by_hand = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--site-dir", "by-hand", "--quiet"],
        cwd=root,
        check=False,
        capture_output=True,
        text=True,
    )
    assert by_hand.returncode == 0, by_hand.stderr
    assert contents(root / "by-hand") == contents(root / "site")


def test_a_library_overrides_file_by_file(tmp_path: Path) -> None:
    own = tmp_path / "site_templates" / "theme" / "partials"
    own.mkdir(parents=True)
    (own / "footer.html").write_text("ours", encoding="utf-8")
    (tmp_path / "build" / "theme").mkdir(parents=True)
    (tmp_path / "build" / "theme" / "stale.html").write_text("stale", encoding="utf-8")
    write_theme(tmp_path, tmp_path / "build" / "theme")
    theme = tmp_path / "build" / "theme"
    assert (theme / "partials/footer.html").read_text("utf-8") == "ours"
    packaged = packaged_templates() / "theme"
    assert (theme / "main.html").read_bytes() == (packaged / "main.html").read_bytes()
    assert not (theme / "stale.html").exists()


def test_roots_of_a_library_and_of_the_repository(tmp_path: Path) -> None:
    assert template_roots(tmp_path) == (packaged_templates(),)
    assert template_roots(REPOSITORY) == (packaged_templates(),)
    (tmp_path / "site_templates").mkdir()
    assert template_roots(tmp_path) == (tmp_path / "site_templates", packaged_templates())


def test_templates_call_no_python_method() -> None:
    """A second engine without Jinja2 can use filters and tests, not methods."""
    for name, path in overlay_files(template_roots(REPOSITORY), "theme").items():
        if path.suffix == ".html":
            text = path.read_text("utf-8")
            assert not any(call in text for call in (".get(", ".items(", ".split(")), name
