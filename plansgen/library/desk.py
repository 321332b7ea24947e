"""The reader's desk for one folder: what is wrong so far, and what was read."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from plansgen.problems import BadInput, Problem

T = TypeVar("T")


class Desk:
    """The reader's desk for one folder: gathers problems and hashes what was read."""

    def __init__(self, folder: Path, shown: str) -> None:
        self.folder = folder
        self.shown = shown
        self.problems: list[Problem] = []
        self.files: dict[str, bytes] = {}
        self._digest = hashlib.sha256()

    def name(self, file: str) -> str:
        """Path shown to the author."""
        return f"{self.shown}/{file}".rstrip("/")

    def trouble(self, file: str, line: int, field: str, wrong: str, **more: str) -> None:
        """Note one problem."""
        self.problems.append(Problem(self.name(file), line, field, wrong, **more))

    def attempt(self, work: Callable[[], T]) -> T | None:
        """Do one piece of reading; keep its problems and go on."""
        try:
            return work()
        except BadInput as bad:
            self.problems.extend(bad.problems)
            return None

    def taken(self, file: str, data: bytes) -> None:
        """Count bytes into the fingerprint, and keep them."""
        self.files[file] = data
        self._digest.update(f"{file}\0{len(data)}\0".encode())
        self._digest.update(data)

    @property
    def fingerprint(self) -> str:
        """Hash of all that was read so far."""
        return self._digest.hexdigest()
