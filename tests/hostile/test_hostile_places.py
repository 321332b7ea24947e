"""Sites and files where they must not be, and names that would play with the terminal."""

from __future__ import annotations

from pathlib import Path

import pytest

from plansgen.library.folder import read_design
from plansgen.problems import BadInput, Problem
from plansgen.site.build import build_site
from plansgen.site.publish import PublishError, staging


def test_a_message_holds_no_control_characters() -> None:
    """ECMA-48 control sequences begin with ESC; U+202E turns the direction of a line."""
    text = str(Problem("designs/a\x1b[2J\nb\u202e\udcff.md", 1, "", "is wrong; 5\u00a0mm"))
    assert text == r"designs/a\x1b[2J\x0ab\u202e\udcff.md:1: is wrong; 5" + "\u00a0mm"


@pytest.mark.parametrize("name", ["steps", "photos", "sections"])
def test_a_file_where_a_folder_belongs_is_told(tmp_path: Path, name: str) -> None:
    design = tmp_path / "designs" / "dunlin"
    design.mkdir(parents=True)
    (design / "design.yaml").write_text("plansgen: 1\n")
    (design / name).write_text("x")
    with pytest.raises(BadInput, match=f"dunlin/{name}: is a file, not a folder"):
        read_design(tmp_path, "dunlin")


@pytest.mark.parametrize("site", ["designs", "designs/dunlin/site", "build/docs", "build"])
def test_a_site_among_its_own_sources_is_refused(tmp_path: Path, site: str) -> None:
    (tmp_path / "designs" / "dunlin").mkdir(parents=True)
    with pytest.raises(PublishError, match="name another folder"):
        build_site(tmp_path, site=tmp_path / site)
    assert not (tmp_path / "build").exists()


def test_the_root_of_the_disk_is_no_site() -> None:
    with pytest.raises(PublishError, match="name a folder"), staging(Path("/")):
        pass
