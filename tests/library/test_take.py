"""Taking designs in and away: whole, with credits and origin, and never over others."""

from __future__ import annotations

import io
import shutil
import zipfile
from pathlib import Path
from typing import Any

import pytest
import yaml

from plansgen.library.folder import read_design
from plansgen.library.frozen import freeze, read_revision, revisions_of
from plansgen.library.take import MOST_ORIGINS, take
from plansgen.library.take_away import credits_text, take_away_zip
from plansgen.problems import BadInput
from tests.designs import glider
from tests.library.test_archive import pack

REPOSITORY = Path(__file__).resolve().parents[2]
POD = """\
plansgen: 1
title: Pod
body:
  role: pod
  stations: [{x: 0, width: 40, height: 42}, {x: 200, width: 30, height: 20}]
"""


def make_library(folder: Path) -> Path:
    (folder / "designs/_shared").mkdir(parents=True)
    (folder / "mkdocs.yml").write_text("site_name: Test\n")
    (folder / "designs/_shared/pod.yaml").write_text(POD)
    return folder


def write(library: Path, slug: str = "knot", **more: Any) -> None:
    raw = glider() | {"bodies": {"pod": {"shared": "pod"}}} | more
    (library / "designs" / slug).mkdir(exist_ok=True)
    (library / "designs" / slug / "design.yaml").write_text(yaml.safe_dump(raw, sort_keys=False))


@pytest.fixture
def theirs(tmp_path: Path) -> Path:
    library = make_library(tmp_path / "theirs")
    write(library)
    return library


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    library = make_library(tmp_path / "mine")
    # A piece of the same name that is another one.
    (library / "designs/_shared/pod.yaml").write_text(POD.replace("width: 40", "width: 90"))
    return library


def away(library: Path, target: Path, slug: str = "knot", **files: bytes) -> Path:
    target.write_bytes(take_away_zip(read_design(library, slug), files))
    return target


def refused(library: Path, path: Path, **more: Any) -> str:
    before = sorted(library.rglob("*"))
    with pytest.raises(BadInput) as caught:
        take(library, path, **more)
    assert sorted(library.rglob("*")) == before
    return str(caught.value)


# --- away --------------------------------------------------------------------------------------


def test_the_same_bytes_whatever_the_order(theirs: Path) -> None:
    design = read_design(theirs, "knot")
    files = {"plans.pdf": b"%PDF", "patterns/a4.pdf": b"%PDF a4", "dossier.json": b"{}"}
    first = take_away_zip(design, files)
    assert first == take_away_zip(design, dict(reversed(files.items())))
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        entries = archive.infolist()
        assert archive.testzip() is None
        listed = archive.read("knot-A/contents.txt").decode().splitlines()
    assert [entry.filename for entry in entries] == [
        "knot-A/CREDITS.txt",
        "knot-A/contents.txt",
        "knot-A/dossier.json",
        "knot-A/patterns/a4.pdf",
        "knot-A/plans.pdf",
        "knot-A/source/design.yaml",
        "knot-A/source/shared/pod.yaml",
    ]
    assert {entry.date_time for entry in entries} == {(1980, 1, 1, 0, 0, 0)}
    assert {entry.external_attr >> 16 for entry in entries} == {0o100644}
    # FIPS 180-4's hash as any tool for it writes it: 64 digits, two blanks, the name.
    assert all(line[64:66] == "  " for line in listed)
    assert [line[66:] for line in listed] == [
        entry.filename.removeprefix("knot-A/")
        for entry in entries
        if not entry.filename.endswith("contents.txt")
    ]


def test_credits_name_who_made_a_shared_piece(theirs: Path) -> None:
    assert "Pod:" not in credits_text(read_design(theirs, "knot"))
    (theirs / "designs/_shared/pod.yaml").write_text(POD + "credit: L. Marram\n")
    assert "\nPod: L. Marram\n" in credits_text(read_design(theirs, "knot"))


@pytest.mark.parametrize("name", ["../x", "source/design.yaml", "CREDITS.txt", "a\\b", ""])
def test_names_that_cannot_go_into_it(theirs: Path, name: str) -> None:
    with pytest.raises(ValueError, match=r"name|Windows"):
        take_away_zip(read_design(theirs, "knot"), {name: b""})


# --- in ----------------------------------------------------------------------------------------


def test_there_and_back(theirs: Path, mine: Path, tmp_path: Path) -> None:
    path = away(theirs, tmp_path / "knot.zip", **{"plans.pdf": b"%PDF"})
    taken = take(mine, path)
    old, new = read_design(theirs, "knot"), read_design(mine, "knot")
    assert taken.slug == "knot"
    assert taken.left == ()
    assert new.file == old.file  # with its own pod, not with that of this library
    assert new.file.bodies["pod"].stations[0].width == 0.040
    assert {k: v for k, v in new.files.items() if k != "origin.yaml"} == old.files
    (origin,) = new.origins
    assert (origin.design, origin.revision, origin.designer) == ("knot", "A", "M. Sandling")
    assert origin.fingerprint == old.fingerprint
    assert "Taken from: Sanderling, revision A of 2026-05-30, by M. Sandling" in credits_text(new)
    assert list((mine / "designs").glob(".*")) == []


def test_a_demo_design_with_pictures_comes_whole(mine: Path, tmp_path: Path) -> None:
    shutil.copytree(REPOSITORY / "designs", tmp_path / "demo/designs")
    path = away(tmp_path / "demo", tmp_path / "x.zip", "dunlin")
    taken = take(mine, path, slug="my-dunlin")
    old = read_design(tmp_path / "demo", "dunlin")
    assert taken.design.pictures == old.pictures
    assert read_design(mine, "my-dunlin").steps == old.steps


def test_origins_are_kept_from_hand_to_hand(theirs: Path, mine: Path, tmp_path: Path) -> None:
    take(mine, away(theirs, tmp_path / "a.zip"), slug="stint")
    listed = mine / "designs/stint/origin.yaml"
    said = yaml.safe_load(listed.read_text())
    said["origins"] += [said["origins"][0] | {"design": f"hand-{n}"} for n in range(2, 21)]
    listed.write_text(yaml.safe_dump(said))
    origins = take(mine, away(mine, tmp_path / "b.zip", "stint"), slug="ruff").design.origins
    names = [one.design for one in origins]
    assert len(names) == MOST_ORIGINS
    assert names == ["knot", *(f"hand-{n}" for n in range(3, 21)), "stint"]


def test_frozen_revisions_come_along(theirs: Path, mine: Path) -> None:
    freeze(theirs, "knot", revision="A", because="First drawn.")
    write(theirs, revision="B")
    taken = take(mine, theirs / "designs/knot", slug="stint")
    assert taken.revisions == ("A",)
    assert [one.because for one in revisions_of(mine, "stint")] == ["First drawn."]
    old, new = (read_revision(*one, "A") for one in ((theirs, "knot"), (mine, "stint")))
    assert old.fingerprint == new.fingerprint


def test_a_folder_of_a_library_brings_the_pieces_it_shares(theirs: Path, mine: Path) -> None:
    taken = take(mine, theirs / "designs/knot")
    assert taken.design.shared == ("pod",)
    assert (mine / "designs/knot/shared/pod.yaml").read_text() == POD


def test_what_a_design_does_not_use_stays_behind(theirs: Path, mine: Path) -> None:
    folder = theirs / "designs/knot"
    (folder / "photos").mkdir()
    (folder / "photos/unused.png").write_bytes(b"anything")
    (folder / ".secret").write_text("x")
    taken = take(mine, folder)
    assert taken.left == ("photos/unused.png",)
    assert not (mine / "designs/knot/photos").exists()


def test_an_ordinary_zip_of_a_folder(theirs: Path, mine: Path, tmp_path: Path) -> None:
    write(theirs, bodies={})
    text = (theirs / "designs/knot/design.yaml").read_bytes()
    take(mine, pack(tmp_path / "a.zip", ("stint/design.yaml", text)))
    take(mine, pack(tmp_path / "whimbrel-C.zip", ("design.yaml", text)))
    assert read_design(mine, "stint").file == read_design(mine, "whimbrel").file


# --- refused -----------------------------------------------------------------------------------


def test_nothing_is_overwritten(theirs: Path, mine: Path, tmp_path: Path) -> None:
    path = away(theirs, tmp_path / "knot.zip")
    write(mine)
    assert "designs/knot exists already and stays as it is" in refused(mine, path)
    (mine / "designs/KNOT-two").mkdir()
    assert "exists already" in refused(mine, path, slug="knot-two")


@pytest.mark.parametrize("slug", ["../knot", "_shared", "Knot", "", "a/b", ".hidden"])
def test_names_that_are_none(theirs: Path, mine: Path, tmp_path: Path, slug: str) -> None:
    path = away(theirs, tmp_path / "knot.zip")
    assert "is no name for a design folder" in refused(mine, path, slug=slug)


def test_no_design_and_two(theirs: Path, mine: Path, tmp_path: Path) -> None:
    assert "holds no design.yaml" in refused(mine, pack(tmp_path / "a.zip", ("a.md", b"x")))
    two = pack(tmp_path / "b.zip", ("a/design.yaml", b"x"), ("b/design.yaml", b"x"))
    assert "holds 2 designs" in refused(mine, two)


def test_a_design_that_cannot_be_read_is_told_file_and_line(mine: Path, tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("stint/design.yaml", b"plansgen: 1\nname: [\n"))
    assert "a.zip/design.yaml:" in refused(mine, path)


def test_strange_files_beside_a_design(theirs: Path, mine: Path, tmp_path: Path) -> None:
    write(theirs, bodies={})
    text = (theirs / "designs/knot/design.yaml").read_bytes()
    path = pack(tmp_path / "a.zip", ("stint/design.yaml", text), ("stint/run.exe", b"MZ"))
    assert "run.exe: is not a file of a design folder" in refused(mine, path)


def test_a_revision_that_was_changed(theirs: Path, mine: Path) -> None:
    freeze(theirs, "knot", revision="A", because="First drawn.")
    write(theirs, revision="B")
    frozen = theirs / "designs/knot/revisions/A/design.yaml"
    frozen.write_text(frozen.read_text() + "# later\n")
    told = refused(mine, theirs / "designs/knot")
    assert "revisions/A/design.yaml: was changed after the revision was frozen" in told


def test_a_hostile_zip_writes_nothing(mine: Path, tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("stint/design.yaml", b"x"), ("../../evil.md", b"evil"))
    assert 'must not hold ".."' in refused(mine, path)
    assert list(tmp_path.rglob("evil.md")) == []
