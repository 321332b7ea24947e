"""What a reader's device must fetch to have a design, or the library, without a network.

Each design gets ``designs/<slug>/offline.json`` and the library's own pages ``offline.json``:
every file with its size and SHA-256 sum, by path from the top of the site. A browser stores all
of a list or nothing of it, and knows by the list's stamp that there is something newer.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

LIST = "offline.json"
_NOT_READ = (".map",)  # for those who write programs, never asked for by a page
_NOT_READ_FOLDER = "assets/javascripts/lunr"  # word endings of languages not used here


@dataclass(frozen=True)
class Kept:
    """One file to fetch: path from the top of the site, size in bytes, SHA-256 sum in hex."""

    url: str
    bytes: int
    sha256: str


@dataclass(frozen=True)
class Revision:
    """What a design calls itself, for the news that there is a newer one."""

    slug: str
    name: str
    revision: str
    date: str


def write_offline_lists(site: Path, designs: Iterable[Revision]) -> None:
    """Write the lists of a finished site into it.

    site: folder of the built site. designs: those that stand in its ``designs/`` folder.
    """
    shared = _kept(site, _shared(site))
    cards: list[Kept] = []
    for design in designs:
        folder = site / "designs" / design.slug
        own = _kept(site, (path for path in _files(folder) if path.name != LIST))
        cards += (file for file in own if file.url.split("/")[-1] in ("card.svg", "card-dark.svg"))
        _write(folder / LIST, own + shared, asdict(design))
    pages = _kept(site, _library(site))
    _write(site / LIST, pages + shared + cards, {"slug": ""})


def _files(folder: Path) -> Iterator[Path]:
    return (path for path in sorted(folder.rglob("*")) if path.is_file())


def _shared(site: Path) -> Iterator[Path]:
    """Styles, programs and icons that the pages ask for."""
    for path in _files(site / "assets"):
        name = path.relative_to(site).as_posix()
        if not name.endswith(_NOT_READ) and not name.startswith(_NOT_READ_FOLDER):
            yield path


def _library(site: Path) -> Iterator[Path]:
    """The library's own pages, their pictures and what the search reads."""
    yield from (path for path in sorted(site.glob("*.html")) if path.name != "404.html")
    yield from _files(site / "figures")
    yield from (path for path in _files(site / "search") if path.suffix == ".json")


def _kept(site: Path, paths: Iterable[Path]) -> list[Kept]:
    return [_one(path.relative_to(site).as_posix(), path.read_bytes()) for path in paths]


def _one(url: str, data: bytes) -> Kept:
    return Kept(url, len(data), hashlib.sha256(data).hexdigest())


def _write(path: Path, files: list[Kept], head: dict[str, str]) -> None:
    ordered = [asdict(file) for file in sorted(files, key=lambda file: file.url)]
    text = json.dumps(ordered, separators=(",", ":"))
    whole: dict[str, Any] = {
        "plansgen_offline": 1,
        **head,
        "stamp": hashlib.sha256(text.encode()).hexdigest()[:16],
        "bytes": sum(file.bytes for file in files),
        "files": ordered,
    }
    path.write_bytes((json.dumps(whole, ensure_ascii=False, separators=(",", ":")) + "\n").encode())
