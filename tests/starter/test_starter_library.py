"""A new library: complete, buildable, and never over somebody's files."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from plansgen.dossier import work_out
from plansgen.library.folder import design_slugs, find_library, read_design
from plansgen.problems import BadInput
from plansgen.starter.answers import read_span, slug_of, title_of
from plansgen.starter.library import FIRST_DESIGN, config_text, start_library

REPOSITORY = Path(__file__).resolve().parents[2]


def test_the_demo_library_has_the_same_configuration() -> None:
    """One text for both, so that a new library cannot fall behind."""
    ours = (REPOSITORY / "mkdocs.yml").read_text("utf-8")
    new = config_text("Saltmarsh plan library")
    assert contact_of_text(ours) == "mailto:bench@example.org"
    assert contact_of_text(new) is None  # for each library to say
    theirs = "# extra:\n#   contact: mailto:name@example.org\n"
    assert ours == new.replace(theirs, "extra:\n  contact: mailto:bench@example.org\n")


def contact_of_text(config: str) -> str | None:
    """Where builders write to; nothing else of the text needs a tag of the site engine."""
    contact: str | None = yaml.safe_load(config).get("extra", {}).get("contact")
    return contact


def test_a_site_name_is_only_a_name() -> None:
    name = "Ours: #1 {draft} 'n' more"
    assert yaml.safe_load(config_text(name))["site_name"] == name


def test_a_new_library_is_one(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "plans"
    names = start_library(folder, site_name="Plans")
    assert find_library(folder / "designs" / FIRST_DESIGN) == folder
    assert design_slugs(folder) == (FIRST_DESIGN,)
    assert {"README.md", "mkdocs.yml", ".gitignore"} < set(names)
    written = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    assert written == set(names)


def test_the_first_design_is_sound(tmp_path: Path) -> None:
    start_library(tmp_path, site_name="Plans")
    design = read_design(tmp_path, FIRST_DESIGN)
    dossier = work_out(design)
    assert [f.rule for f in dossier.findings if f.severity != "note"] == []
    assert 3 <= len(design.steps) <= 5
    text = (tmp_path / "designs" / FIRST_DESIGN / "design.yaml").read_text("utf-8")
    assert len(text.splitlines()) < 60
    # Common practice, no source: between a quarter and a third of the mean chord.
    ready = dossier.balance.ready
    assert ready is not None
    assert 0.25 <= ready.state.mac_share <= 1 / 3


def test_the_readme_names_only_what_is_there(tmp_path: Path) -> None:
    start_library(tmp_path, site_name="Plans")
    readme = (tmp_path / "README.md").read_text("utf-8")
    assert f"designs/{FIRST_DESIGN}/design.yaml" in readme
    assert all(f"plansgen {word}" in readme for word in ("serve", "check", "build", "start"))


def test_a_folder_in_use_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(BadInput, match="is not empty"):
        start_library(tmp_path, site_name="Plans")
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
    with pytest.raises(BadInput, match="is a file"):
        start_library(tmp_path / "mine.txt", site_name="Plans")


@pytest.mark.parametrize(
    ("text", "metres"),
    [("1.2 m", 1.2), ("48 in", 1.2192), ('48"', 1.2192), ("900mm", 0.9), ("4 ft", 1.2192)],
)
def test_a_span_has_its_unit(text: str, metres: float) -> None:
    """The inch is 25.4 mm exactly: NIST Special Publication 811, appendix B."""
    assert read_span(text) == pytest.approx(metres)


@pytest.mark.parametrize("text", ["1.2", "", "1,2", "-1 m", "two metres", "3 kg", "nan m", "0 m"])
def test_what_is_no_span(text: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_span(text)
    assert "such as" in str(caught.value)


def test_names_become_folders() -> None:
    assert slug_of("Little Stint") == "little-stint"
    assert title_of("little-stint") == "Little Stint"
    assert title_of("Little stint II") == "Little stint II"
    for name in ("", "../x", "9th", "a/b", "x" * 41, "é"):
        with pytest.raises(BadInput):
            slug_of(name)
