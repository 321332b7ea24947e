"""Frozen revisions: whole by themselves, never changed unseen, letters and dates in order."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from plansgen.library.folder import read_design
from plansgen.library.frozen import changed_since, freeze, read_revision, revisions_of
from plansgen.library.used import Use, changed_pieces, where_used
from plansgen.problems import BadInput
from tests.designs import glider

REPOSITORY = Path(__file__).resolve().parents[2]
NACELLE = """\
plansgen: 1
title: Nacelle
body:
  role: nacelle
  stations: [{x: 0, width: 40, height: 42}, {x: 200, width: 30, height: 20}]
  parts: [{name: nacelle skin, material: board, cover: all}]
"""


@pytest.fixture
def library(tmp_path: Path) -> Path:
    (tmp_path / "designs/_shared").mkdir(parents=True)
    (tmp_path / "mkdocs.yml").write_text("site_name: Test\n")
    (tmp_path / "designs/_shared/nacelle.yaml").write_text(NACELLE)
    write(tmp_path)
    return tmp_path


def write(library: Path, revision: str = "A", date: str = "2026-05-30") -> None:
    raw = glider() | {"bodies": {"pod": {"shared": "nacelle"}}}
    raw |= {"revision": revision, "date": date}
    folder = library / "designs/knot"
    (folder / "steps").mkdir(parents=True, exist_ok=True)
    (folder / "design.yaml").write_text(yaml.safe_dump(raw, sort_keys=False))
    (folder / "steps/010-cut.md").write_text("---\ntitle: Cut\nminutes: 5\n---\nCut it.\n")


def refused(library: Path, revision: str, because: str = "a reason") -> str:
    with pytest.raises(BadInput) as caught:
        freeze(library, "knot", revision=revision, because=because)
    (problem,) = caught.value.problems
    return str(problem)


def bad_revision(library: Path, letter: str = "A") -> str:
    with pytest.raises(BadInput) as caught:
        read_revision(library, "knot", letter)
    return str(caught.value)


def test_a_frozen_revision_reads_as_the_design_did(library: Path) -> None:
    live = read_design(library, "knot")
    frozen = freeze(library, "knot", revision="A", because="First drawn.")
    again = read_revision(library, "knot", "A")
    assert again == live
    assert (frozen.revision, frozen.date.isoformat()) == ("A", "2026-05-30")
    assert frozen.because == "First drawn."
    assert set(frozen.files) == {"design.yaml", "shared/nacelle.yaml", "steps/010-cut.md"}
    data = (library / "designs/knot/design.yaml").read_bytes()
    assert frozen.files["design.yaml"] == hashlib.sha256(data).hexdigest()
    assert revisions_of(library, "knot") == (frozen,)


def test_it_needs_nothing_outside_its_folder(library: Path) -> None:
    live = read_design(library, "knot")
    freeze(library, "knot", revision="A", because="First drawn.")
    shutil.rmtree(library / "designs/_shared")
    (library / "designs/knot/design.yaml").write_text("broken: [")
    assert read_revision(library, "knot", "A") == live


def test_the_same_design_is_frozen_to_the_same_bytes(library: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    shutil.copytree(library / "designs", other / "designs")
    for home in (library, other):
        freeze(home, "knot", revision="A", because="First drawn.")
    texts = [(h / "designs/knot/revisions/A/revision.yaml").read_bytes() for h in (library, other)]
    assert texts[0] == texts[1]


def test_pictures_and_everything_else_of_a_demo_design(tmp_path: Path) -> None:
    shutil.copytree(REPOSITORY / "designs" / "dunlin", tmp_path / "designs/dunlin")
    shutil.rmtree(tmp_path / "designs/dunlin/revisions", ignore_errors=True)
    live = read_design(tmp_path, "dunlin")
    freeze(tmp_path, "dunlin", revision=live.file.revision, because="As flown.")
    again = read_revision(tmp_path, "dunlin", live.file.revision)
    assert again.fingerprint == live.fingerprint
    assert again.pictures == live.pictures
    assert any(name.startswith("photos/") for name in again.files)


# --- what differs ------------------------------------------------------------------------------


def _edit(folder: Path) -> None:
    (folder / "design.yaml").write_text((folder / "design.yaml").read_text() + "# later\n")


def _remove(folder: Path) -> None:
    (folder / "shared/nacelle.yaml").unlink()


def _add(folder: Path) -> None:
    (folder / "steps/020-more.md").write_text("---\ntitle: More\nminutes: 5\n---\n")


def _link(folder: Path) -> None:
    (folder / "steps/010-cut.md").unlink()
    (folder / "steps/010-cut.md").symlink_to(folder / "design.yaml")


def _reason(folder: Path) -> None:
    path = folder / "revision.yaml"
    path.write_text(path.read_text().replace("First drawn", "Last drawn"))


def _garble(folder: Path) -> None:
    (folder / "revision.yaml").write_text("plansgen: 1\n")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (_edit, "revisions/A/design.yaml: was changed after the revision was frozen"),
        (_remove, "revisions/A/shared/nacelle.yaml: is missing from the frozen revision"),
        (_add, "revisions/A/steps/020-more.md: was added to the frozen revision"),
        (_link, "revisions/A/steps/010-cut.md: is a link"),
        (_reason, "whole: does not fit the lines above"),
        (_garble, "revision: is missing"),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_a_change_is_told(library: Path, change: Callable[[Path], None], words: str) -> None:
    freeze(library, "knot", revision="A", because="First drawn.")
    change(library / "designs/knot/revisions/A")
    assert words in bad_revision(library)


def test_other_line_ends_are_no_change(library: Path) -> None:
    freeze(library, "knot", revision="A", because="First drawn.")
    path = library / "designs/knot/revisions/A/design.yaml"
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert read_revision(library, "knot", "A") == read_design(library, "knot")


def test_no_such_revision(library: Path) -> None:
    assert "none is frozen yet" in bad_revision(library, "B")
    freeze(library, "knot", revision="A", because="First drawn.")
    assert 'no frozen revision "B"; allowed: A' in bad_revision(library, "B")
    assert "no frozen revision" in bad_revision(library, "../../knot")


def test_something_else_among_the_revisions(library: Path) -> None:
    (library / "designs/knot/revisions/b").mkdir(parents=True)
    with pytest.raises(BadInput, match=r"revisions/b/revision.yaml: the file is missing"):
        revisions_of(library, "knot")


def test_a_link_to_revisions(library: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (library / "designs/knot/revisions").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(BadInput, match="is a link"):
        revisions_of(library, "knot")


# --- order -------------------------------------------------------------------------------------


def test_the_letter_is_the_design_files(library: Path) -> None:
    assert 'is A, but revision "B" was to be frozen' in refused(library, "B")


def test_letters_and_dates_go_on(library: Path) -> None:
    freeze(library, "knot", revision="A", because="First drawn.")
    assert "A is frozen already and stays as it is" in refused(library, "A")
    write(library, "C", "2026-06-01")
    freeze(library, "knot", revision="C", because="Spar moved.")
    write(library, "B", "2026-06-02")
    assert "B comes before C, which is frozen; allowed: a letter after C" in refused(library, "B")
    write(library, "D", "2026-05-31")
    assert "date: is 2026-05-31, before that of revision C" in refused(library, "D")
    write(library, "AA", "2026-06-03")
    freeze(library, "knot", revision="AA", because="After Z.")
    assert [one.revision for one in revisions_of(library, "knot")] == ["A", "C", "AA"]


@pytest.mark.parametrize("because", ["", "  ", "x" * 4001, "turn \u202e me"])
def test_a_reason_is_needed_that_can_be_read(library: Path, because: str) -> None:
    assert "revisions/A/revision.yaml" in refused(library, "A", because)
    assert not (library / "designs/knot/revisions/A").exists()


def test_a_design_that_cannot_be_read_is_not_frozen(library: Path) -> None:
    (library / "designs/_shared/nacelle.yaml").unlink()
    assert 'no shared piece "nacelle"' in refused(library, "A")
    assert not (library / "designs/knot/revisions").exists()


def test_what_a_killed_freeze_left_is_cleared(library: Path) -> None:
    left = library / "designs/knot/revisions/.A-new"
    left.mkdir(parents=True)
    (left / "design.yaml").write_text("half")
    freeze(library, "knot", revision="A", because="First drawn.")
    assert [path.name for path in left.parent.iterdir()] == ["A"]


# --- changed since -----------------------------------------------------------------------------


def test_a_design_that_goes_on_under_a_frozen_letter(library: Path) -> None:
    assert changed_since(library, read_design(library, "knot")) == ()
    freeze(library, "knot", revision="A", because="First drawn.")
    assert changed_since(library, read_design(library, "knot")) == ()
    folder = library / "designs/knot"
    (folder / "notes.md").write_text("---\nproblems: [it wags]\n---\n")
    (folder / "steps/010-cut.md").write_text("---\ntitle: Cut\nminutes: 6\n---\nCut it.\n")
    assert changed_since(library, read_design(library, "knot")) == ("steps/010-cut.md",)


def test_a_changed_piece_names_designs_and_revisions(library: Path) -> None:
    freeze(library, "knot", revision="A", because="First drawn.")
    assert where_used(library)["nacelle"] == (Use("knot", "", True), Use("knot", "A", True))
    assert changed_pieces(library) == {}
    (library / "designs/_shared/nacelle.yaml").write_text(NACELLE.replace("40", "41"))
    assert where_used(library)["nacelle"] == (Use("knot", "", True), Use("knot", "A", False))
    assert changed_pieces(library) == {"nacelle": (Use("knot", "", True),)}
