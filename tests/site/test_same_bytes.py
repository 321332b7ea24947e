"""The same library, the same bytes: elsewhere, another day, another seed, more workers, a cache."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from tests import designs

REPOSITORY = Path(__file__).resolve().parents[2]

# Python's own clock is moved before the program is loaded; the seed rules the order of sets.
BUILD = """
import datetime, sys, time
ahead = float(sys.argv[1])
now, local, stamp = time.time, time.localtime, datetime.datetime
time.time = lambda: now() + ahead
time.localtime = lambda seconds=None: local(time.time() if seconds is None else seconds)
class Date(datetime.date):
    @classmethod
    def today(cls): return cls.fromtimestamp(time.time())
class Moment(datetime.datetime):
    @classmethod
    def now(cls, tz=None): return stamp.fromtimestamp(time.time(), tz)
    @classmethod
    def utcnow(cls): return stamp.fromtimestamp(time.time(), datetime.timezone.utc)
datetime.date, datetime.datetime = Date, Moment
from plansgen.cli import main
main(sys.argv[2:], prog_name="plansgen")
"""


def _library(folder: Path) -> Path:
    """One demo design with all it has, and one small one."""
    shutil.copytree(REPOSITORY / "designs" / "dunlin", folder / "designs" / "dunlin")
    shutil.copyfile(REPOSITORY / "mkdocs.yml", folder / "mkdocs.yml")
    small = folder / "designs" / "sanderling"
    small.mkdir()
    text = yaml.safe_dump(designs.twin_fins(), sort_keys=False)
    (small / "design.yaml").write_text(text, encoding="utf-8")
    return folder


def _start(library: Path, *cache: str, seed: int, workers: int, days: int) -> subprocess.Popen[str]:
    environment = {
        **os.environ,
        "PYTHONHASHSEED": str(seed),
        "PYTHONPATH": str(REPOSITORY),
        "TZ": "UTC" if days == 0 else "Pacific/Apia",
    }
    command = [sys.executable, "-c", BUILD, str(days * 86400), "build", "--library", str(library)]
    command += ["--workers", str(workers), *cache]
    return subprocess.Popen(
        command,
        cwd=library.parent,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def _files(folder: Path) -> dict[str, bytes]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(found)}


@pytest.fixture(scope="module")
def libraries(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, Path]:
    """Made without a cache; into an empty one; and from that one."""
    here = _library(tmp_path_factory.mktemp("here"))
    there = tmp_path_factory.mktemp("there") / "a longer path with spaces"
    there.mkdir()
    _library(there)
    again = _library(tmp_path_factory.mktemp("again"))
    kept = ("--cache", str(there.parent / "cache"))
    _finish(
        _start(here, "--no-cache", seed=1, workers=1, days=0),
        _start(there, *kept, seed=2, workers=2, days=400),
    )
    entries = _files(there.parent / "cache")
    assert len(entries) == 2
    _finish(_start(again, *kept, seed=3, workers=2, days=800))
    assert _files(there.parent / "cache") == entries
    return here, there, again


def _finish(*builds: subprocess.Popen[str]) -> None:
    for build in builds:
        told, _ = build.communicate(timeout=300)
        assert build.returncode == 0, told


@pytest.mark.parametrize("part", ["site", "build/docs"])
def test_every_file_is_the_same(libraries: tuple[Path, Path, Path], part: str) -> None:
    here, *others = (_files(library / part) for library in libraries)
    assert len(here) > 20
    for other in others:
        assert sorted(here) == sorted(other)
        assert [name for name, data in here.items() if other[name] != data] == []


def test_no_file_names_the_folder_it_was_made_in(libraries: tuple[Path, Path, Path]) -> None:
    for library in libraries:
        trace = str(library).encode()
        assert [name for name, data in _files(library / "site").items() if trace in data] == []
