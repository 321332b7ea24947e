"""The commands that keep a library, from the outside."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import Result

from plansgen.library.folder import read_design
from plansgen.library.take_away import take_away_zip
from tests.test_cli import BALANCED, add, run

PIECE = """\
plansgen: 1
title: Nose weight
items: [{name: nose weight, kind: ballast, mass: 83, at: {x: -200}}]
"""
USES = BALANCED[: BALANCED.index("items:")] + "items: [{shared: nose}]\n"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    folder = tmp_path / "plans"
    (folder / "designs/_shared").mkdir(parents=True)
    (folder / "mkdocs.yml").write_text("site_name: Plans\n")
    (folder / "designs/_shared/nose.yaml").write_text(PIECE)
    add(folder, "knot", USES)
    return folder


def freeze(library: Path, slug: str = "knot", revision: str = "A") -> Result:
    words = ["freeze", slug, "--revision", revision, "--because", "First flown"]
    return run(*words, "--library", library)


def heavier(library: Path) -> None:
    (library / "designs/_shared/nose.yaml").write_text(PIECE.replace("83", "93"))


def test_freeze(library: Path) -> None:
    found = freeze(library)
    assert found.exit_code == 0
    assert found.stdout.startswith("knot: revision A of 2026-05-30 is frozen: 2 files, ")
    again = freeze(library)
    assert again.exit_code == 2
    assert "A is frozen already and stays as it is" in again.stderr


def test_freeze_of_no_design(library: Path) -> None:
    found = freeze(library, "knott")
    assert found.exit_code == 2
    assert 'did you mean "knot"?' in found.stderr


def test_check_tells_a_changed_frozen_file(library: Path) -> None:
    freeze(library)
    path = library / "designs/knot/revisions/A/design.yaml"
    path.write_text(path.read_text() + "# later\n")
    found = run("check", "--library", library)
    assert found.exit_code == 2
    assert "revisions/A/design.yaml: was changed after the revision was frozen" in found.stderr


def test_check_tells_what_a_changed_piece_touches(library: Path) -> None:
    freeze(library)
    add(library, "stint", USES)
    assert "shared piece" not in run("check", "--library", library).stdout
    heavier(library)
    told = run("check", "--library", library).stdout
    assert "shared piece nose was changed since a revision with it was frozen" in told
    assert "used by knot, stint. See: plansgen check --shared nose" in told
    assert "knot: revision A is frozen, and was changed since in shared/nose.yaml" in told
    assert "stint: revision" not in told


def test_check_shared_shows_the_effect(library: Path) -> None:
    """By hand: 10 g more of nose weight is 10 g more of model."""
    freeze(library)
    add(library, "stint", USES)
    heavier(library)
    found = run("check", "--library", library, "--shared", "nose")
    assert found.exit_code == 0
    lines = found.stdout.splitlines()
    assert lines[0] == (
        "knot, against revision A: Mass ready to fly: 215 g, now 225 g: heavier by 10 g"
    )
    assert any("balance point moved forward by" in line for line in lines)
    assert any("Static margin" in line and "more stable" in line for line in lines)
    assert lines[-2:] == ["stint: no revision is frozen to compare with", "2 designs with nose."]


def test_check_shared_when_nothing_or_more_changed(library: Path) -> None:
    freeze(library)
    told = run("check", "--library", library, "--shared", "nose").stdout
    assert told.startswith("knot, against revision A: nose is as it was")
    heavier(library)
    path = library / "designs/knot/design.yaml"
    path.write_text(path.read_text().replace("dihedral: 5", "dihedral: 4"))
    told = run("check", "--library", library, "--shared", "nose").stdout
    assert "also changed, with a share in this: design.yaml" in told


def test_check_shared_of_no_piece(library: Path) -> None:
    found = run("check", "--library", library, "--shared", "noze")
    assert found.exit_code == 2
    assert 'no shared piece "noze"; allowed: nose; did you mean "nose"?' in found.stderr
    assert run("check", "knot", "--library", library, "--shared", "nose").exit_code == 2


def test_check_reads_pieces_that_nobody_uses(library: Path) -> None:
    (library / "designs/_shared/tail.yaml").write_text("plansgen: 1\ntitle: x\nbodi: {}\n")
    found = run("check", "--library", library)
    assert found.exit_code == 2
    assert "designs/_shared/tail.yaml:3: bodi: is an unknown key" in found.stderr
    assert run("check", "knot", "--library", library).exit_code == 0


def test_take(library: Path, tmp_path: Path) -> None:
    path = tmp_path / "knot.zip"
    path.write_bytes(take_away_zip(read_design(library, "knot"), {}))
    found = run("take", path, "--library", library)
    assert found.exit_code == 2
    assert "designs/knot exists already" in found.stderr
    found = run("take", path, "--library", library, "--as", "stint")
    assert found.exit_code == 0
    assert found.stdout.startswith("took designs/stint: ")
    assert "licence: CC BY 4.0" in found.stdout
    assert run("check", "stint", "--library", library).exit_code == 0


def test_take_of_no_zip(library: Path, tmp_path: Path) -> None:
    (tmp_path / "a.zip").write_text("no zip")
    found = run("take", tmp_path / "a.zip", "--library", library)
    assert found.exit_code == 2
    assert "a.zip: is no ZIP" in found.stderr
    assert "Traceback" not in found.stderr
