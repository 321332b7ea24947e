"""What is wrong with a design folder, said so that its author can mend it."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong in one place.

    file: path shown to the author, relative to the library, with forward slashes.
    line: 1-based line in that file; 0 when the problem is of the file as a whole.
    field: dotted path to the value (``surfaces.wing.stations[2].chord``), may be empty.
    wrong: what was found. allowed: what may stand there. nearest: the closest valid name.
    """

    file: str
    line: int
    field: str
    wrong: str
    allowed: str = ""
    nearest: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        parts = [f"{place}: "]
        if self.field:
            parts.append(f"{self.field}: ")
        parts.append(self.wrong)
        if self.allowed:
            parts.append(f"; allowed: {self.allowed}")
        if self.nearest:
            parts.append(f'; did you mean "{self.nearest}"?')
        return "".join(map(_visible, "".join(parts)))


def _visible(character: str) -> str:
    """A character as a terminal may show it: file names can hold escape codes and line breaks."""
    if character.isprintable() or unicodedata.category(character) == "Zs":
        return character
    code = ord(character)
    return f"\\x{code:02x}" if code < 256 else f"\\u{code:04x}"


class BadInput(Exception):  # noqa: N818 - the name a reader expects at the raise
    """A design folder cannot be used; carries every problem found, in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(problem) for problem in self.problems))


def nearest_name(name: str, known: Iterable[str]) -> str:
    """Return the known name most like ``name``, or an empty string if none is close."""
    found = difflib.get_close_matches(name, sorted(known), n=1, cutoff=0.6)
    return found[0] if found else ""
