"""Finished designs, kept between builds under a hash of everything they are made from.

An entry is plain data: a line with the hash of what follows, then, compressed, one line of JSON and
the files of the design one after another. What is not whole, or was made from anything else, is
taken for missing and made again. A cache stands outside the library on purpose: a library may come
from anybody, and an entry in it could put pages of its own into the site.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import platform
import sys
import tempfile
import zlib
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import platformdirs
from pydantic import TypeAdapter, ValidationError

from plansgen import __version__
from plansgen.library.contact import Contact
from plansgen.library.design import Design
from plansgen.review.finding import Finding
from plansgen.site.library_pages import Card
from plansgen.site.output import DesignOutput
from plansgen.site.overlay import overlay_files, template_roots

LIMIT = 2 * 2**30
"""Most that a cache holds after a build; what was not used for longest goes first. [bytes]"""

DEPENDENCIES = (
    "click",
    "jinja2",
    "markdown-it-py",
    "matplotlib",
    "mkdocs",
    "mkdocs-material",
    "numpy",
    "pillow",
    "pint",
    "platformdirs",
    "pydantic",
    "pypdf",
    "pyyaml",
    "reportlab",
    "rich",
    "shapely",
    "watchdog",
)
"""Everything that is installed with the program: another version may draw otherwise."""

_ENTRY, _UNFINISHED = ".entry", ".new"


@dataclass(frozen=True)
class _Head:
    """What an entry says before its files: their names and sizes. [bytes]"""

    card: Card
    findings: tuple[Finding, ...]
    files: tuple[tuple[str, int], ...]


_HEAD = TypeAdapter(_Head)


@dataclass(frozen=True)
class OutputCache:
    """A folder of finished designs; small enough to be sent to a worker."""

    folder: Path
    limit: int = LIMIT

    def get(self, key: str, slug: str) -> DesignOutput | None:
        """The design that was kept under a key, or None when there is none or it is not whole."""
        path = self._path(key)
        try:
            found = path.read_bytes()
        except OSError:
            return None
        digest, _, packed = found.partition(b"\n")
        if digest != _digest(key, packed):
            return None
        output = _unpacked(packed, slug)
        if output is not None:
            with contextlib.suppress(OSError):
                os.utime(path)  # used now
        return output

    def put(self, key: str, output: DesignOutput) -> None:
        """Keep a design. Where nothing can be written nothing is kept."""
        packed = _packed(output)
        with contextlib.suppress(OSError):
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(suffix=_UNFINISHED, dir=self.folder)
            try:
                with os.fdopen(handle, "wb") as file:
                    file.write(_digest(key, packed) + b"\n" + packed)
                Path(name).replace(self._path(key))
            except OSError:
                Path(name).unlink(missing_ok=True)
                raise

    def prune(self) -> None:
        """Drop what was not used for longest until the rest is no more than the limit."""
        kept: list[tuple[int, str, int]] = []
        with contextlib.suppress(OSError):
            for path in self.folder.iterdir():
                if path.suffix in (_ENTRY, _UNFINISHED):
                    state = path.lstat()
                    kept.append((state.st_mtime_ns, path.name, state.st_size))
        room = self.limit
        for _, name, size in sorted(kept, reverse=True):
            room -= size
            if room < 0:
                with contextlib.suppress(OSError):
                    (self.folder / name).unlink()

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}{_ENTRY}"


def usual_folder() -> Path:
    """Where the system keeps what programs can make again."""
    return platformdirs.user_cache_path("plansgen", appauthor=False)


def key_of(design: Design, library: Path, contact: Contact | None = None) -> str:
    """Hash of everything a design's output is made from.

    The design's files, the page templates that a library uses, where its builders write to, and
    the program with what it calculates and draws with.
    """
    letters = contact.address if contact else ""
    made_from = (design.slug, design.fingerprint, _templates(library), letters, program_state())
    return hashlib.sha256("\0".join(made_from).encode()).hexdigest()


def _templates(library: Path) -> str:
    return _hash_of(overlay_files(template_roots(library), "pages"))


@cache
def program_state() -> str:
    """Hash of the program's own files, of the versions of what it uses, of the kind of machine."""
    package = Path(__file__).resolve().parents[1]
    found = (path for path in package.rglob("*") if path.is_file())
    sources = {
        path.relative_to(package).as_posix(): path
        for path in sorted(found)
        if "__pycache__" not in path.parts
    }
    parts = [__version__, sys.version, sys.platform, platform.machine(), _hash_of(sources)]
    parts += [f"{name} {_version(name)}" for name in DEPENDENCIES]
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""


def _hash_of(files: dict[str, Path]) -> str:
    state = hashlib.sha256()
    for name, path in files.items():
        data = path.read_bytes()
        state.update(f"{name}\0{len(data)}\0".encode() + data)
    return state.hexdigest()


# --- entries -------------------------------------------------------------------------------------


def _digest(key: str, packed: bytes) -> bytes:
    return hashlib.sha256(key.encode() + packed).hexdigest().encode()


def _packed(output: DesignOutput) -> bytes:
    names = sorted(output.files)
    sizes = tuple((name, len(output.files[name])) for name in names)
    head = _HEAD.dump_json(_Head(output.card, output.findings, sizes))
    return zlib.compress(b"".join([head, b"\n", *(output.files[name] for name in names)]), 1)


def _unpacked(packed: bytes, slug: str) -> DesignOutput | None:
    """The design of an entry whose hash is right; None when another program wrote it."""
    try:
        head, _, rest = zlib.decompress(packed).partition(b"\n")
        said = _HEAD.validate_json(head)
    except (zlib.error, ValidationError):
        return None
    files: dict[str, bytes] = {}
    start = 0
    for name, size in said.files:
        files[name] = rest[start : start + size]
        start += size
    if start != len(rest):
        return None
    return DesignOutput(slug, files, said.card, said.findings)
