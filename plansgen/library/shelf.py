"""The shelf of shared pieces: found by name, read once, and refused where they cannot be used."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from plansgen.library.files import list_folder
from plansgen.library.models.shared import SharedFile
from plansgen.library.source import Source, parse_yaml
from plansgen.library.text import Place, dotted, read_text, shown_value
from plansgen.library.units import FileUnits
from plansgen.library.validate import validated
from plansgen.problems import BadInput, Problem, nearest_name

USE = "shared"
"""The key by which a design uses a piece, and the folder of the pieces it carries itself."""
LIBRARY_FOLDER = "_shared"
NAME = re.compile(r"[a-z][a-z0-9-]{0,39}")
NAME_WORDS = "small letters, digits and hyphens, at most 40, starting with a letter"
MOST_BYTES = 64 * 1024  # of one piece
SECTIONS = ("surface", "body", "material", "parts", "items", "batteries", "step", "cautions")
"""What a piece may hold; each goes into one kind of place of a design."""


class Shelf:
    """The pieces that one design may use: its own first, then those of the library."""

    def __init__(self, places: Sequence[tuple[Path, str]], taken: Callable[[str, bytes], None]):
        """Look in folders, each with its path as shown to the author; ``taken`` counts bytes."""
        self._places = tuple(place for place in places if place[0].is_dir())
        self._taken = taken
        self._read: dict[str, Source | BadInput] = {}

    def names(self) -> tuple[str, ...]:
        """Of every piece that could be used, sorted."""
        return tuple(sorted({name for folder, _ in self._places for name in names_in(folder)}))

    def piece(self, name: str) -> Source | None:
        """A piece by its name; None when there is none.

        Raises:
            BadInput: it cannot be used; every time it is asked for, with the same problems.
        """
        if name not in self._read:
            found = [place for place in self._places if name in names_in(place[0])]
            if not found:
                return None
            self._read[name] = self._source(*found[0], name)
        piece = self._read[name]
        if isinstance(piece, BadInput):
            raise piece
        return piece

    def _source(self, folder: Path, shown: str, name: str) -> Source | BadInput:
        try:
            text, source = read_piece(folder, shown, name)
        except BadInput as bad:
            return bad
        self._taken(f"{USE}/{name}.yaml", text.encode())
        return source


def names_in(folder: Path) -> tuple[str, ...]:
    """Names of the pieces in a folder; what cannot be a piece is passed over here."""
    try:
        names = list_folder(folder)
    except ValueError:
        return ()
    found = (Path(name) for name in names if name.endswith(".yaml"))
    return tuple(sorted(path.stem for path in found if NAME.fullmatch(path.stem)))


def read_piece(folder: Path, shown: str, name: str) -> tuple[str, Source]:
    """Read one piece: its text, and what it holds, of the right form but not yet in a design.

    Raises:
        BadInput: it is no piece, holds nothing to use, or uses another piece itself.
    """
    path, file = folder / f"{name}.yaml", f"{shown}/{name}.yaml"
    if folder.is_symlink() or path.is_symlink():
        raise BadInput([Problem(file, 0, "", "is a link; a shared piece is a real file")])
    text = read_text(path, shown=file, most=MOST_BYTES)
    source = parse_yaml(text, shown=file)
    validated(SharedFile, source, units=FileUnits())
    problems = [
        Problem(file, source.line(place), dotted(place), "a shared piece cannot use another")
        for place in _uses(source.data, ())
    ]
    if not any(source.data.get(section) for section in SECTIONS):
        allowed = f"one or more of {', '.join(SECTIONS)}"
        problems.append(Problem(file, 0, "", "holds nothing that a design could use", allowed))
    if problems:
        raise BadInput(problems)
    return text, source


def _uses(data: Any, place: Place) -> Iterator[Place]:
    if isinstance(data, dict):
        for key, value in data.items():
            if key == USE:
                yield (*place, key)
            yield from _uses(value, (*place, key))
    elif isinstance(data, list):
        for number, value in enumerate(data):
            yield from _uses(value, (*place, number))


def check_shelf(library: Path) -> None:
    """Read every piece of a library, also those that no design uses.

    Raises:
        BadInput: with what is wrong with any of them.
    """
    folder, shown = library / "designs" / LIBRARY_FOLDER, f"designs/{LIBRARY_FOLDER}"
    if not folder.is_dir():
        return
    problems: list[Problem] = []
    try:
        names = list_folder(folder)
    except ValueError as wrong:
        raise BadInput([Problem(shown, 0, "", str(wrong))]) from None
    for name in names:
        stem = name.removesuffix(".yaml")
        if not name.endswith(".yaml") or not NAME.fullmatch(stem):
            words = f"{shown_value(name)} is no shared piece"
            problems.append(Problem(shown, 0, "", words, f"NAME.yaml; {NAME_WORDS}"))
            continue
        try:
            read_piece(folder, shown, stem)
        except BadInput as bad:
            problems.extend(bad.problems)
    if problems:
        raise BadInput(problems)


def units_of(source: Source) -> FileUnits:
    """The units of a file's bare numbers.

    Raises:
        BadInput: they are none.
    """
    if "units" not in source.data:
        return FileUnits()
    return validated(FileUnits, source, units=FileUnits(), at=("units",))


def unknown_piece(name: Any, known: Sequence[str]) -> tuple[str, str, str]:
    """What is wrong with the name of a piece, what may stand there, and the nearest."""
    if not isinstance(name, str) or not NAME.fullmatch(name):
        return f"{shown_value(name)} is no name of a shared piece", NAME_WORDS, ""
    listed = ", ".join(known[:10]) or f"none yet: designs/{LIBRARY_FOLDER} holds no piece"
    return f'no shared piece "{name}"', listed, nearest_name(name, known)
