"""The commands: what they say, where they say it, and the exit code."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from plansgen import cli_start
from plansgen.cli import main

TINY = """\
plansgen: 1
name: Knot
summary: A flat plate to test with.
status: sketch
skill: first build
date: 2026-05-30
credits: {designer: A. Wader}
surfaces:
  wing:
    role: wing
    section: {kind: plate, thickness: 5}
    stations: [{span: 0, chord: 200}, {span: 500, chord: 200, dihedral: 5}]
    parts: [{name: wing, material: foam-board-5mm, cover: plate}]
  tailplane:
    role: tailplane
    at: {x: 600}
    section: {kind: plate, thickness: 5}
    stations: [{span: 0, chord: 120}, {span: 200, chord: 120}]
    parts: [{name: tailplane, material: foam-board-5mm, cover: plate}]
  fin: # of no mass, but without one the tail would wag
    role: fin
    at: {x: 600}
    section: {kind: plate, thickness: 5}
    stations: [{span: 0, chord: 120}, {span: 150, chord: 100}]
items: [{name: nose weight, kind: ballast, mass: NOSE, at: {x: -200}}]
"""
# By hand: plates of 494 g/m² weigh 98.8 g at x = 100 and 23.7 g at 660, with 8 % of glue on both.
# A quarter of the chord, x = 50, needs a nose weight of
# 1.08 × (98.8 × 50 + 23.7 × 610) / 250 = 83.8 g.
BALANCED, TAIL_HEAVY = TINY.replace("NOSE", "83"), TINY.replace("NOSE", "5")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    folder = tmp_path / "plans"
    (folder / "designs").mkdir(parents=True)
    (folder / "mkdocs.yml").write_text("site_name: Plans\n")
    add(folder, "knot", BALANCED)
    return folder


def add(library: Path, slug: str, text: str) -> Path:
    folder = library / "designs" / slug
    folder.mkdir()
    path = folder / "design.yaml"
    path.write_text(text)
    return path


def run(*words: str | Path, **options: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], **options)  # type: ignore[arg-type]


def program(*words: str | Path, cwd: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "plansgen", *map(str, words)],
        cwd=cwd,
        env={**os.environ, **environment},
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
        stdin=subprocess.DEVNULL,
    )


# --- help --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [None, *sorted(main.commands)])
def test_every_help_explains_itself(name: str | None) -> None:
    found = run(*([name] if name else []), "-h")
    assert found.exit_code == 0
    assert "plansgen " in found.stdout
    if name is None:
        assert all(word in found.stdout for word in ("designs/", "session", "Exit codes", "130"))
    else:
        assert "Examples:" in found.stdout
        assert f"\n    plansgen {name}" in found.stdout
    options = main.commands[name].params if name else main.params
    assert [p.name for p in options if isinstance(p, click.Option) and not p.help] == []


def test_version() -> None:
    assert run("--version").stdout.startswith("plansgen, version ")


# --- check -------------------------------------------------------------------------------------


def test_fine(library: Path) -> None:
    found = run("check", "--library", library)
    assert found.exit_code == 0
    assert found.stderr == ""
    assert found.stdout.startswith("knot: 215 g, balances at 25.")
    assert found.stdout.splitlines()[-1].startswith("1 design; findings: 0 severe, 0 caution")


def test_findings_make_it_one(library: Path) -> None:
    add(library, "stint", TAIL_HEAVY)
    found = run("check", "--library", library)
    assert found.exit_code == 1
    line = next(line for line in found.stdout.splitlines() if "severe" in line)
    assert line.startswith("stint: severe: Tail-heavy as it stands: found ")
    assert "wanted 25.0 to 33.3 %" in line
    assert run("check", "knot", "--library", library).exit_code == 0
    assert run("check", "--library", library, "--fail-on", "never").exit_code == 0
    assert run("check", "knot", "--library", library, "--fail-on", "note").exit_code == 1


def test_bad_files_make_it_two_and_all_are_told(library: Path) -> None:
    add(library, "stint", BALANCED.replace("chord: 120}]", "chrod: 120}]"))
    add(library, "dunlin", BALANCED.replace("mass: 83", "mass: -1"))
    found = run("check", "--library", library)
    assert found.exit_code == 2
    assert "knot: 215 g" in found.stdout
    told = found.stderr.splitlines()
    assert any(line.startswith("designs/dunlin/design.yaml:") for line in told)
    assert any('did you mean "chord"?' in line for line in told)
    assert all(line.startswith("designs/") for line in told[:-1])
    assert "Traceback" not in found.output


@pytest.mark.parametrize("name", ["knott", "../knot", "KNOT", ""])
def test_an_unknown_design(library: Path, name: str) -> None:
    found = run("check", "--library", library, "--", name)
    assert found.exit_code == 2
    assert len(found.stderr.splitlines()) == 1
    assert "there is no design" in found.stderr
    if name == "knott":
        assert 'did you mean "knot"?' in found.stderr


def test_a_library_is_found_upward(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(library / "designs" / "knot")
    assert run("check").exit_code == 0
    assert run("check", "designs/knot/").exit_code == 0


def test_no_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    found = run("check")
    assert found.exit_code == 2
    assert "plansgen start DIR" in found.stderr


def test_an_empty_library(library: Path) -> None:
    (library / "designs" / "knot" / "design.yaml").unlink()
    (library / "designs" / "knot").rmdir()
    found = run("check", "--library", library)
    assert found.exit_code == 2
    assert "holds no design folder" in found.stderr


# --- colours, interruptions, the system --------------------------------------------------------


def test_colours_only_where_wanted(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    add(library, "stint", TAIL_HEAVY)
    words = ("check", "--library", library)
    assert "\x1b[" not in run(*words).stdout
    assert "\x1b[31m" in run(*words, color=True).stdout
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\x1b[" not in run(*words, color=True).stdout


@pytest.mark.parametrize(
    ("error", "line"),
    [
        (OSError(errno.ENOSPC, "No space left on device", "/x/y"), "/x/y: the disk is full"),
        (OSError(errno.EROFS, "Read-only file system", "/x"), "/x: the disk is read-only"),
        (PermissionError(errno.EACCES, "Permission denied", "/x"), "/x: no permission"),
        (FileNotFoundError(errno.ENOENT, "No such file", "/x"), "/x: No such file"),
    ],
)
def test_what_the_system_refuses_is_one_line(
    library: Path, monkeypatch: pytest.MonkeyPatch, error: OSError, line: str
) -> None:
    def refuse(*_: object) -> None:
        raise error

    monkeypatch.setattr("plansgen.cli.read_design", refuse)
    found = run("check", "--library", library)
    assert (found.exit_code, found.stderr) == (2, line + "\n")


def test_ctrl_c(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("plansgen.cli.read_design", interrupt)
    found = run("check", "--library", library)
    assert (found.exit_code, found.stderr) == (130, "Stopped.\n")


def test_a_fault_of_the_program_keeps_its_traceback(
    library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("plansgen.cli.read_design", fail)
    assert isinstance(run("check", "--library", library).exception, ZeroDivisionError)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_full_disk_under_the_output(library: Path) -> None:
    with Path("/dev/full").open("w") as full:
        found = subprocess.run(
            [sys.executable, "-m", "plansgen", "check", "knot"],
            cwd=library,
            stdout=full,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            timeout=60,
            check=False,
        )
    assert found.returncode == 2
    assert "Traceback" not in found.stderr


# --- start -------------------------------------------------------------------------------------

DESIGN = ("--span", "1.2 m", "--layout", "conventional", "--material", "foam-board-5mm", "--power")


def test_start_a_library_and_a_design(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    found = run("start", "salt-marsh")
    assert (found.exit_code, found.stderr) == (0, "")
    assert "site_name: Salt Marsh\n" in (tmp_path / "salt-marsh" / "mkdocs.yml").read_text()
    again = run("start", "salt-marsh")
    assert again.exit_code == 2
    assert again.stderr == "salt-marsh: is not empty; allowed: a new or empty folder\n"
    monkeypatch.chdir(tmp_path / "salt-marsh")
    found = run("start", "--design", "Little Stint", *DESIGN)
    assert (found.exit_code, found.stderr) == (0, "")
    assert "1.20 m span" in found.stdout
    assert (tmp_path / "salt-marsh/designs/little-stint/design.yaml").is_file()
    assert run("check").exit_code == 0
    again = run("start", "--design", "Little Stint", *DESIGN)
    assert again.exit_code == 2
    assert again.stderr == "designs/little-stint: exists already; allowed: another name\n"


@pytest.mark.parametrize("missing", ["--span", "--layout", "--material", "--power"])
def test_what_is_missing_is_named(library: Path, missing: str) -> None:
    words = list(DESIGN)
    at = words.index(missing)
    del words[at : at + (1 if missing == "--power" else 2)]
    found = run("start", "--design", "stint", "--library", library, *words)
    assert found.exit_code == 2
    assert f"Missing {missing}" in found.stderr
    assert not (library / "designs" / "stint").exists()


def test_what_is_missing_is_asked_for(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli_start, "is_terminal", lambda: True)
    answers = "1200\n1.5 m\ncanard\npolystyrene-sheet-6mm\nglider\n"
    found = run("start", "--design", "stint", "--library", library, input=answers)
    assert found.exit_code == 0
    assert "has no unit" in found.output  # and it asked again
    text = (library / "designs" / "stint" / "design.yaml").read_text("utf-8")
    assert "layout: canard" in text
    assert "polystyrene-sheet-6mm" in text
    assert "outrunner" not in text


def test_an_end_of_input_while_asking_stops(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli_start, "is_terminal", lambda: True)
    found = run("start", "--design", "stint", "--library", library, input="")
    assert found.exit_code == 130
    assert "Stopped." in found.stderr


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ((), "Give DIR"),
        (("plans", "--design", "x"), "Give DIR"),
        (("plans", "--span", "1 m"), "--span goes with --design"),
        (("plans", "--glider"), "--power goes with --design"),
        (("--design", "x", "--title", "y"), "--title goes with DIR"),
        (("--design", "../x", *DESIGN), "is no name"),
        (("--design", "x", *DESIGN, "--span", "1.2"), "has no unit"),
        (("--design", "x", *DESIGN, "--layout", "wing"), "'tailless'"),
        (("--design", "x", *DESIGN, "--material", "foam-bord-5mm"), 'mean "foam-board-5mm"'),
        (("--design", "knot", *DESIGN), "exists already"),
    ],
)
def test_wrong_words_to_start(
    library: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], line: str
) -> None:
    monkeypatch.chdir(library)
    found = run("start", *words)
    assert found.exit_code == 2
    assert line in found.stderr
    assert found.stdout == ""


# --- the program itself ------------------------------------------------------------------------


def test_from_nothing_to_a_site(tmp_path: Path) -> None:
    """A library outside the repository, with the program as it is installed."""
    assert program("start", "plans", cwd=tmp_path).returncode == 0
    built = program("build", "--workers", "1", cwd=tmp_path / "plans")
    assert built.returncode == 0, built.stderr
    assert built.stdout.splitlines()[0].startswith("1 design, ")
    assert built.stdout.splitlines()[1].startswith("Open ")
    assert "pages: 0 of" in built.stderr
    assert "\x1b[" not in built.stdout + built.stderr
    page = tmp_path / "plans" / "site" / "designs" / "sanderling" / "index.html"
    assert "_plansgen" not in page.read_text("utf-8")

    design = tmp_path / "plans" / "designs" / "sanderling" / "design.yaml"
    design.write_text(design.read_text("utf-8").replace("role: fin", "role: fun"))
    before = page.read_bytes()
    broken = program("build", cwd=tmp_path / "plans")
    assert broken.returncode == 2
    assert broken.stdout == ""
    assert "did you mean" in broken.stderr
    assert broken.stderr.endswith("1 problem; nothing was published.\n")
    assert page.read_bytes() == before


def test_a_broken_template_is_one_line(tmp_path: Path) -> None:
    assert run("start", tmp_path / "plans").exit_code == 0
    folder = tmp_path / "plans" / "site_templates" / "pages"
    folder.mkdir(parents=True)
    (folder / "index.md.j2").write_text("one\n{% if %}\n")
    found = program("build", "--workers", "1", cwd=tmp_path / "plans")
    assert found.returncode == 2
    assert "site_templates/pages/index.md.j2:2: " in found.stderr
    assert "Traceback" not in found.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="signals differ")
def test_serve_ends_cleanly(library: Path, tmp_path: Path) -> None:
    (library / "designs" / "knot" / "design.yaml").write_text("name: [\n")
    temporary = tmp_path / "tmp"
    temporary.mkdir()
    served = subprocess.Popen(
        [sys.executable, "-u", "-m", "plansgen", "serve", "--no-open", "--port", "58731"],
        cwd=library,
        env={**os.environ, "TMPDIR": str(temporary)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
    )
    assert served.stdout is not None
    assert served.stdout.readline() == "Building the site\n"
    assert served.stdout.readline() == "Serving http://127.0.0.1:58731/ (Ctrl-C ends it)\n"
    assert [path.name[:14] for path in temporary.iterdir()] == ["plansgen-serve"]
    in_use = program("serve", "--no-open", "--port", "58731", cwd=library)
    assert in_use.returncode == 2
    assert "Port 58731 is in use; choose another: plansgen serve --port 58732" in in_use.stderr
    time.sleep(0.2)
    served.send_signal(signal.SIGINT)
    out, err = served.communicate(timeout=20)
    assert served.returncode == 0
    assert out.endswith("Stopped.\n")
    assert "designs/knot/design.yaml:" in err
    assert "Traceback" not in err
    assert list(temporary.iterdir()) == []
    assert not (library / "site").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="signals differ")
def test_ctrl_c_ends_a_build_and_its_workers(library: Path) -> None:
    add(library, "stint", BALANCED)
    building = subprocess.Popen(
        [sys.executable, "-m", "plansgen", "build", "--workers", "2"],
        cwd=library,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
        start_new_session=True,
    )
    assert building.stderr is not None
    assert building.stderr.readline() == "designs: 0 of 2\n"
    time.sleep(0.3)  # the workers are being started
    os.killpg(building.pid, signal.SIGINT)  # as a terminal does: to all of them
    out, err = building.communicate(timeout=20)
    assert (building.returncode, out, err) == (130, "", "Stopped.\n")
    assert not (library / "site").exists()
