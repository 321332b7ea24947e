"""Finished designs kept between builds: the same bytes, and nothing but whole entries."""

from __future__ import annotations

import errno
import os
import re
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from plansgen.library.contact import Contact
from plansgen.library.folder import read_design
from plansgen.site import build, cache
from plansgen.site.build import Job, build_site, make_design
from plansgen.site.cache import DEPENDENCIES, OutputCache, key_of
from plansgen.site.output import DesignOutput
from tests import designs
from tests.conftest import REPOSITORY

KEY = "0" * 64


@pytest.fixture
def library(tmp_path: Path) -> Path:
    folder = tmp_path / "plans" / "designs" / "knot"
    folder.mkdir(parents=True)
    text = yaml.safe_dump(designs.glider(), sort_keys=False)
    (folder / "design.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "plans" / "mkdocs.yml").write_bytes((REPOSITORY / "mkdocs.yml").read_bytes())
    return tmp_path / "plans"


@pytest.fixture(scope="module")
def output(tmp_path_factory: pytest.TempPathFactory) -> DesignOutput:
    """A small design, made."""
    folder = tmp_path_factory.mktemp("made")
    (folder / "designs" / "knot").mkdir(parents=True)
    text = yaml.safe_dump(designs.glider(), sort_keys=False)
    (folder / "designs" / "knot" / "design.yaml").write_text(text, encoding="utf-8")
    made = make_design(Job(folder, "knot"))
    assert isinstance(made, DesignOutput)
    assert made.findings
    return made


@pytest.fixture
def kept(tmp_path: Path, output: DesignOutput) -> OutputCache:
    """A cache with that design in it."""
    kept = OutputCache(tmp_path / "cache")
    kept.put(KEY, output)
    return kept


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch, output: DesignOutput) -> list[str]:
    """Designs that were worked out, rather than found; none is really."""
    seen: list[str] = []

    def worked_out(design: object, library: Path, contact: object) -> DesignOutput:
        seen.append(output.slug)
        return output

    monkeypatch.setattr(build, "_worked_out", worked_out)
    return seen


def entry(kept: OutputCache) -> Path:
    (found,) = kept.folder.iterdir()
    return found


def test_what_comes_out_is_what_was_put_in(kept: OutputCache, output: DesignOutput) -> None:
    assert kept.get(KEY, "knot") == output
    assert kept.get("1" * 64, "knot") is None


def flipped(data: bytes) -> bytes:
    middle = len(data) // 2
    return data[:middle] + bytes([data[middle] ^ 1]) + data[middle + 1 :]


@pytest.mark.parametrize(
    "harm",
    [
        flipped,
        lambda data: data[:-1],
        lambda data: data[:70],
        lambda data: data + b"x",
        lambda data: data.partition(b"\n")[2],
        lambda _: b"",
    ],
    ids=["a bit", "the end", "the middle", "more", "no hash", "empty"],
)
def test_a_harmed_entry_counts_as_missing(
    kept: OutputCache, output: DesignOutput, harm: Callable[[bytes], bytes]
) -> None:
    path = entry(kept)
    path.write_bytes(harm(path.read_bytes()))
    assert kept.get(KEY, "knot") is None
    kept.put(KEY, output)
    assert kept.get(KEY, "knot") == output


def test_an_entry_under_another_name_counts_as_missing(kept: OutputCache) -> None:
    other = "1" * 64
    entry(kept).rename(kept.folder / f"{other}.entry")
    assert kept.get(other, "knot") is None


def test_an_entry_of_another_layout_counts_as_missing(
    kept: OutputCache, output: DesignOutput, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Even one whose hash is right."""
    for packed in (b"no zlib", cache.zlib.compress(b'{"card": 1}\n'), cache.zlib.compress(b"")):
        entry(kept).write_bytes(cache._digest(KEY, packed) + b"\n" + packed)
        assert kept.get(KEY, "knot") is None
    packed = cache.zlib.compress(cache.zlib.decompress(cache._packed(output)) + b"more")
    entry(kept).write_bytes(cache._digest(KEY, packed) + b"\n" + packed)
    assert kept.get(KEY, "knot") is None


def test_a_design_is_made_once(library: Path, tmp_path: Path, made: list[str]) -> None:
    job = Job(library, "knot", OutputCache(tmp_path / "cache"))
    first = make_design(job)
    assert make_design(job) == first
    assert made == ["knot"]
    entry(OutputCache(tmp_path / "cache")).write_bytes(b"spoiled")
    assert make_design(job) == first
    assert made == ["knot"] * 2
    assert make_design(replace(job, cache=None)) == first
    assert made == ["knot"] * 3


def changes(library: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """One change after the other of what a design is made from."""
    file = library / "designs" / "knot" / "design.yaml"
    file.write_text(file.read_text("utf-8") + "\n# a remark\n", encoding="utf-8")
    yield "the design"
    (library / "designs" / "knot" / "notes.md").write_text(
        "---\n{}\n---\nA note.\n", encoding="utf-8"
    )
    yield "its notes"
    own = library / "site_templates" / "pages"
    own.mkdir(parents=True)
    (own / "design-safety.md.j2").write_text("# One\n", encoding="utf-8")
    yield "a template of one's own"
    (own / "design-safety.md.j2").write_text("# Two\n", encoding="utf-8")
    yield "the same template"
    (library / "designs" / "knot").rename(library / "designs" / "ruff")
    yield "the address"
    monkeypatch.setattr(cache, "program_state", lambda: "another program")
    yield "the program"


def test_every_change_gives_another_key(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keys = [key_of(read_design(library, "knot"), library)]
    assert key_of(read_design(library, "knot"), library) == keys[0]
    for what in changes(library, monkeypatch):
        (slug,) = (path.name for path in (library / "designs").iterdir())
        key = key_of(read_design(library, slug), library)
        assert key not in keys, what
        keys.append(key)
    (slug,) = (path.name for path in (library / "designs").iterdir())
    letters = Contact("mailto:bench@example.org")
    assert key_of(read_design(library, slug), library, letters) not in keys


def test_the_state_of_the_program_counts_what_it_is_made_of(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    first = cache.program_state()
    cache.program_state.cache_clear()
    assert cache.program_state() == first
    for name, value in (
        ("__version__", "0"),
        ("_version", lambda _: "0"),
        ("_hash_of", lambda _: "0"),
    ):
        with monkeypatch.context() as changed:
            changed.setattr(cache, name, value)
            cache.program_state.cache_clear()
            assert cache.program_state() != first, name
    cache.program_state.cache_clear()


def test_every_package_the_program_needs_counts() -> None:
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text("utf-8"))["project"]
    needed = {re.split(r"[<>=~!;\[ ]", line)[0] for line in project["dependencies"]}
    assert set(DEPENDENCIES) == needed


def test_the_oldest_use_goes_first(tmp_path: Path, output: DesignOutput) -> None:
    kept = OutputCache(tmp_path / "cache")
    keys = [f"{number:064}" for number in range(4)]
    for number, key in enumerate(keys):
        kept.put(key, output)
        os.utime(kept.folder / f"{key}.entry", (number, number))
    (kept.folder / "left.new").write_bytes(b"by a build that was killed")
    os.utime(kept.folder / "left.new", (0, 0))
    (kept.folder / "no entry.txt").write_text("of somebody else")
    assert kept.get(keys[0], "knot") == output  # now the latest
    size = (kept.folder / f"{keys[0]}.entry").stat().st_size
    replace(kept, limit=2 * size + 10).prune()
    left = sorted(path.name for path in kept.folder.iterdir())
    assert left == [f"{keys[0]}.entry", f"{keys[3]}.entry", "no entry.txt"]


def test_where_nothing_can_be_written_nothing_is_kept(
    tmp_path: Path, output: DesignOutput, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("no folder")
    kept = OutputCache(tmp_path / "file" / "cache")
    kept.put(KEY, output)
    kept.prune()
    assert kept.get(KEY, "knot") is None

    kept = OutputCache(tmp_path / "full")

    def full(path: Path, target: Path) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    kept.put(KEY, output)
    assert kept.get(KEY, "knot") is None
    assert list(kept.folder.iterdir()) == []


def test_a_build_keeps_its_designs_and_uses_them(
    library: Path, tmp_path: Path, made: list[str]
) -> None:
    """Same bytes from the cache as without it; the whole library is tried beside this."""
    trees = []
    for number, kept in enumerate((None, OutputCache(tmp_path / "c"), OutputCache(tmp_path / "c"))):
        build_site(library, site=tmp_path / f"site-{number}", cache=kept)
        found = (path for path in (tmp_path / f"site-{number}").rglob("*") if path.is_file())
        trees.append({p.relative_to(tmp_path / f"site-{number}"): p.read_bytes() for p in found})
    assert trees[0] == trees[1] == trees[2]
    assert made == ["knot"] * 2
