"""Taking a design into a library, from a take-away ZIP or a folder, as untrusted input.

Only what was read and found good is written, as it was read: a file that a design does not use
stays behind, pictures lose their private data. The pieces it shares come along as its own, and
``origin.yaml`` keeps where it is from.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml

from plansgen.library.archive import MOST, Most, read_archive
from plansgen.library.design import Design
from plansgen.library.folder import ORIGIN_FILE, SLUG, read_folder
from plansgen.library.frozen import FOLDER, MANIFEST, read_revision, revisions_of, write_files
from plansgen.library.models import Origin
from plansgen.library.shelf import LIBRARY_FOLDER
from plansgen.problems import BadInput, Problem

SOURCE = "source"
"""Folder of the design's own files in a take-away."""
_WORDS = "small letters, digits and hyphens, at most 40, starting with a letter"
MOST_ORIGINS = 20


@dataclass(frozen=True)
class Taken:
    """What was taken in.

    slug: the new folder's name. revisions: letters of the frozen ones that came along. left: names
    of files that stayed behind, because a design does not use them.
    """

    slug: str
    design: Design
    revisions: tuple[str, ...]
    left: tuple[str, ...]


def take(library: Path, path: Path, *, slug: str | None = None, most: Most = MOST) -> Taken:
    """Take a design into a library; nothing that is there is touched.

    Args:
        library: the library.
        path: a ZIP or a folder with a ``design.yaml``.
        slug: name of the new folder; else the design's old one.
        most: how much may come in.

    Raises:
        BadInput: it cannot be used, or there is a design of that name already.
        OSError: it cannot be written.
    """
    shown = path.name or str(path)
    files = read_archive(path.resolve() if path.is_dir() else path, most=most)
    inside, former = _design_folder(files, path, shown)
    own = {
        name.removeprefix(inside): data for name, data in files.items() if name.startswith(inside)
    }
    name = _free_name(library, former if slug is None else slug, shown)
    with tempfile.TemporaryDirectory(prefix="plansgen-") as place:
        # As in a library, so that frozen revisions are read and checked like any other.
        design, letters, kept = _read(Path(place) / "in", name, own, path, shown)
        kept[ORIGIN_FILE] = _origins(design, former if SLUG.fullmatch(former) else name)
        # Once more as it will stand: what is written is what was read.
        design, _, _ = _read(Path(place) / "out", name, kept, None, shown)
    _put(library, name, kept)
    left = tuple(sorted(set(own) - set(kept)))
    return Taken(name, design, letters, left)


def _read(
    home: Path, name: str, files: Mapping[str, bytes], path: Path | None, shown: str
) -> tuple[Design, tuple[str, ...], dict[str, bytes]]:
    """A design and the letters of its frozen revisions, and every file that was read.

    path: where it was taken from; of a folder in a library the shared pieces beside it are used.
    """
    folder = home / "designs" / name
    write_files(folder, files)
    beside = path.resolve().parent / LIBRARY_FOLDER if path is not None and path.is_dir() else None
    shared = [(beside, LIBRARY_FOLDER)] if beside is not None and beside.is_dir() else []
    design = read_folder(folder, name, shown=shown, shared=shared)
    letters = tuple(one.revision for one in revisions_of(home, name))
    read = dict(design.files)
    for letter in letters:
        base = f"{FOLDER}/{letter}/"
        frozen = read_revision(home, name, letter)
        read |= {base + file: data for file, data in frozen.files.items()}
        read[base + MANIFEST] = files[base + MANIFEST]
    return design, letters, read


def _design_folder(files: Mapping[str, bytes], path: Path, shown: str) -> tuple[str, str]:
    """The folder of the design, with a slash at its end, and what the design was called."""
    found = [
        name.removesuffix("design.yaml")
        for name in sorted(files)
        if name.rpartition("/")[2] == "design.yaml" and f"/{FOLDER}/" not in f"/{name}"
    ]
    if len(found) != 1:
        wrong = "holds no design.yaml" if not found else f"holds {len(found)} designs"
        allowed = "one design: its folder, or a take-away ZIP"
        raise BadInput([Problem(shown, 0, "", wrong, allowed)])
    parts = [part for part in found[0].split("/") if part]
    if parts[-1:] == [SOURCE]:
        parts.pop()
    title = parts[-1] if parts else (path.resolve().name if path.is_dir() else path.stem)
    return found[0], _without_letter(title)


def _without_letter(title: str) -> str:
    """A take-away's folder is called after design and revision: ``dunlin-B``."""
    name, _, letter = title.rpartition("-")
    is_letter = letter.isalpha() and letter.isupper() and len(letter) <= 2 and letter.isascii()
    return name if name and is_letter else title


def _free_name(library: Path, name: str, shown: str) -> str:
    if not SLUG.fullmatch(name):
        wrong = f"{name[:60]!a} is no name for a design folder"
        raise BadInput([Problem(shown, 0, "", wrong, f"--as NAME: {_WORDS}")])
    present = {path.name.casefold() for path in (library / "designs").iterdir()}
    if name in present:
        wrong = f"designs/{name} exists already and stays as it is"
        raise BadInput([Problem(shown, 0, "", wrong, "--as and another name")])
    return name


def _origins(design: Design, former: str) -> bytes:
    """Where it is from: what it said itself, and where it was now taken from."""
    file = design.file
    new = Origin(
        design=former,
        name=file.name,
        revision=file.revision,
        date=file.date,
        fingerprint=design.fingerprint,
        designer=file.credits.designer,
        licence=file.credits.licence,
    )
    listed = [one.model_dump(mode="json") for one in (*design.origins, new)]
    # The first maker and the last place are never lost.
    listed = [listed[0], *listed[1:][-(MOST_ORIGINS - 1) :]]
    said = {"plansgen": 1, "origins": listed}
    return yaml.safe_dump(said, sort_keys=False, allow_unicode=True, width=100).encode()


def _put(library: Path, name: str, files: Mapping[str, bytes]) -> None:
    """Write a design folder beside the others and only then give it its name."""
    unfinished = library / "designs" / f".{name}-new"
    shutil.rmtree(unfinished, ignore_errors=True)  # a killed one left it
    try:
        write_files(unfinished, files)
        unfinished.rename(library / "designs" / name)
    finally:
        shutil.rmtree(unfinished, ignore_errors=True)
