"""Reading a whole folder: what is refused, where, and that all of it is told at once."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from plansgen.library.folder import design_slugs, find_library, read_design
from plansgen.problems import BadInput, Problem

REPOSITORY = Path(__file__).resolve().parents[2]


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A library with one copy of a demo design."""
    shutil.copytree(REPOSITORY / "designs" / "dunlin", tmp_path / "designs" / "dunlin")
    (tmp_path / "mkdocs.yml").write_text("site_name: Test\n")
    return tmp_path


def problems_of(library: Path, slug: str = "dunlin") -> list[Problem]:
    with pytest.raises(BadInput) as caught:
        read_design(library, slug)
    return list(caught.value.problems)


def test_a_good_folder_is_read_whole(library: Path) -> None:
    design = read_design(library, "dunlin")
    assert design.file.name == "Dunlin"
    assert len(design.steps) >= 12
    assert design.log
    assert design.pictures
    assert design.notes is not None


def test_reading_twice_gives_the_same_fingerprint_and_a_changed_step_another(
    library: Path,
) -> None:
    first = read_design(library, "dunlin").fingerprint
    assert read_design(library, "dunlin").fingerprint == first
    step = sorted((library / "designs/dunlin/steps").glob("*.md"))[0]
    step.write_text(step.read_text() + "\nOne line more.\n")
    assert read_design(library, "dunlin").fingerprint != first


def test_the_library_is_found_from_a_folder_inside_it(library: Path) -> None:
    assert find_library(library / "designs" / "dunlin" / "steps") == library
    assert find_library(Path("/")) is None


def edit(library: Path, file: str, change: Callable[[str], str]) -> None:
    path = library / "designs" / "dunlin" / file
    path.write_text(change(path.read_text()))


def test_problems_of_several_files_are_told_in_one_go(library: Path) -> None:
    step = sorted((library / "designs/dunlin/steps").glob("*.md"))[0].name
    edit(library, "design.yaml", lambda text: text.replace("skill:", "skil:"))
    edit(library, f"steps/{step}", lambda text: text.replace("minutes:", "minuts:"))
    edit(library, "notes.md", lambda text: text.replace("fitting:", "fiting:"))
    edit(library, "log.yaml", lambda text: text.replace("happened:", "hapened:", 1))
    found = problems_of(library)
    told = {Path(problem.file).name: problem for problem in found}
    assert set(told) == {"design.yaml", step, "notes.md", "log.yaml"}
    assert told["design.yaml"].nearest == "skill"
    assert told[step].nearest == "minutes"
    assert told["notes.md"].nearest == "fitting"
    assert told["log.yaml"].nearest == "happened"
    assert all(problem.line > 0 for problem in found)


def test_an_unknown_material_names_the_nearest(library: Path) -> None:
    edit(library, "design.yaml", lambda text: text.replace("material: pine", "material: pin", 1))
    (problem,) = problems_of(library)
    assert problem.nearest == "pine"
    assert problem.field.endswith(".material")
    assert problem.line > 0


def test_a_stick_of_sheet_and_a_sheet_of_wire_are_refused(library: Path) -> None:
    edit(
        library,
        "design.yaml",
        lambda text: text.replace(
            "material: foam-board-weighed, cover: both skins",
            "material: braided-line, cover: both skins",
        ),
    )
    (problem,) = problems_of(library)
    assert "mass per area" in problem.wrong


@pytest.mark.parametrize(
    ("name", "nearest"), [("desgin.yaml", "design.yaml"), ("step", "steps"), ("virus.exe", "")]
)
def test_a_stray_file_is_not_passed_over(library: Path, name: str, nearest: str) -> None:
    (library / "designs/dunlin" / name).write_text("x")
    (problem,) = problems_of(library)
    assert problem.file.endswith(name)
    assert problem.nearest == nearest


def test_a_missing_picture_names_the_nearest(library: Path) -> None:
    pictures = sorted((library / "designs/dunlin/photos").glob("*.png"))
    pictures[0].rename(pictures[0].with_name("x" + pictures[0].name))
    (problem,) = problems_of(library)
    assert "did you mean" in problem.wrong
    assert problem.file.endswith(".md")


def test_a_link_out_of_the_folder_is_refused(library: Path, tmp_path: Path) -> None:
    secret = tmp_path / "secret.md"
    secret.write_text("---\ntitle: x\nminutes: 1\n---\nsecret\n")
    (library / "designs/dunlin/steps/990-link.md").symlink_to(secret)
    assert any("link" in problem.wrong for problem in problems_of(library))


def test_a_design_folder_that_is_a_link_is_refused(library: Path) -> None:
    (library / "designs/knot").symlink_to(library / "designs/dunlin")
    (problem,) = problems_of(library, "knot")
    assert "link" in problem.wrong


def test_an_unknown_design_names_the_nearest(library: Path) -> None:
    (problem,) = problems_of(library, "dunlim")
    assert problem.nearest == "dunlin"


@pytest.mark.parametrize("name", ["Upper", "with space", "ä", "1st", "a" * 41])
def test_folder_names_that_cannot_be_addresses_are_refused(library: Path, name: str) -> None:
    (library / "designs" / name).mkdir()
    with pytest.raises(BadInput, match="is no name for a design folder"):
        design_slugs(library)


def test_an_empty_library_says_so(tmp_path: Path) -> None:
    (tmp_path / "designs").mkdir()
    with pytest.raises(BadInput, match="holds no design folder"):
        design_slugs(tmp_path)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("no front matter", "does not begin with ---"),
        ("---\ntitle: x\n", "no closing ---"),
        ("---\ntitle: x\nminutes: 5\ntitle: y\n---\n", "title"),
    ],
)
def test_front_matter_must_be_whole(library: Path, text: str, words: str) -> None:
    (library / "designs/dunlin/steps/990-bad.md").write_text(text)
    (problem,) = problems_of(library)
    assert words in str(problem)


def test_a_step_file_needs_its_number(library: Path) -> None:
    (library / "designs/dunlin/steps/cut.md").write_text("---\ntitle: x\nminutes: 5\n---\n")
    (problem,) = problems_of(library)
    assert "is no name for a step" in problem.wrong
