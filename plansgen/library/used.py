"""Which designs, and which of their frozen revisions, use which shared piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from plansgen.library.folder import STEP_FILE, design_slugs, front_matter_of
from plansgen.library.frozen import Frozen, digest_of, revisions_of
from plansgen.library.shared import section_of_design, section_of_step, uses_of
from plansgen.library.shelf import LIBRARY_FOLDER, MOST_BYTES, USE, names_in
from plansgen.library.source import read_yaml
from plansgen.library.text import read_text
from plansgen.problems import BadInput


@dataclass(frozen=True)
class Use:
    """A use of a shared piece.

    revision: the letter of a frozen revision; empty for the design as it stands. same: whether that
    revision holds the piece as it is now; a frozen one keeps what it was frozen with.
    """

    design: str
    revision: str
    same: bool


def where_used(library: Path) -> dict[str, tuple[Use, ...]]:
    """Every piece of the library by name, and its uses: designs in order, each with its revisions.

    A design that carries a piece of the same name itself does not use the library's. A design that
    cannot be read uses nothing here; reading it tells why.
    """
    folder = library / "designs" / LIBRARY_FOLDER
    found: dict[str, list[Use]] = {name: [] for name in names_in(folder)}
    digests = {name: _digest(folder, name) for name in found}
    for slug in design_slugs(library):
        for name in _names(library, slug):
            if name in found:
                found[name].append(Use(slug, "", True))
        for frozen in _frozen(library, slug):
            for name, digest in digests.items():
                kept = frozen.files.get(f"{USE}/{name}.yaml")
                if kept is not None:
                    found[name].append(Use(slug, frozen.revision, kept == digest))
    return {name: tuple(uses) for name, uses in sorted(found.items())}


def changed_pieces(library: Path) -> dict[str, tuple[Use, ...]]:
    """Pieces that are not as a newest frozen revision holds them, with who uses them now."""
    changed: dict[str, tuple[Use, ...]] = {}
    for name, uses in where_used(library).items():
        newest = {use.design: use for use in uses if use.revision}
        now = [use for use in uses if not use.revision]
        if any(not newest[use.design].same for use in now if use.design in newest):
            changed[name] = tuple(now)
    return changed


def _names(library: Path, slug: str) -> Iterator[str]:
    """Pieces of the library that a design uses, each once, sorted."""
    folder = library / "designs" / slug
    names: set[str] = set()
    try:
        source = read_yaml(folder / "design.yaml", shown=f"designs/{slug}/design.yaml")
        names.update(uses_of(source, section=section_of_design))
        steps = folder / "steps"
        for path in sorted(steps.iterdir()) if steps.is_dir() else ():
            if STEP_FILE.fullmatch(path.name):
                head = front_matter_of(path, shown=f"designs/{slug}/steps/{path.name}")
                names.update(uses_of(head, section=section_of_step))
    except (BadInput, OSError):
        return
    yield from sorted(names - set(names_in(folder / USE)))


def _frozen(library: Path, slug: str) -> tuple[Frozen, ...]:
    try:
        return revisions_of(library, slug)
    except BadInput:
        return ()


def _digest(folder: Path, name: str) -> str:
    file = f"{name}.yaml"
    try:
        text = read_text(folder / file, shown=file, most=MOST_BYTES)
    except BadInput:
        return ""
    return digest_of(file, text.encode())
