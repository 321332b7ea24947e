"""What a shared piece, as it is now, does to the designs that use it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from plansgen.changes.numbers import NumberChange, number_changes, travel_changes
from plansgen.dossier import work_out
from plansgen.library.folder import read_design
from plansgen.library.frozen import LATER, digest_of, read_revision, revisions_of
from plansgen.library.shelf import LIBRARY_FOLDER, USE, unknown_piece
from plansgen.library.used import where_used
from plansgen.problems import BadInput, Problem


@dataclass(frozen=True)
class Effect:
    """One design that uses a piece, beside its last frozen revision.

    revision: empty when none is frozen; then nothing is compared. changed: whether the piece is not
    as it was frozen. numbers: what differs. others: other files that differ too and have their
    share in the numbers.
    """

    design: str
    revision: str
    changed: bool
    numbers: tuple[NumberChange, ...]
    others: tuple[str, ...]


def effects_of(library: Path, name: str) -> tuple[Effect, ...]:
    """The effect of a shared piece on every design that uses it; takes seconds for each.

    Raises:
        BadInput: there is no such piece, or a design or revision cannot be read.
    """
    uses = where_used(library)
    if name not in uses:
        wrong, allowed, nearest = unknown_piece(name, tuple(uses))
        raise BadInput([Problem(f"designs/{LIBRARY_FOLDER}", 0, "", wrong, allowed, nearest)])
    return tuple(_effect(library, use.design, name) for use in uses[name] if not use.revision)


def _effect(library: Path, slug: str, name: str) -> Effect:
    design = read_design(library, slug)
    frozen = revisions_of(library, slug)
    if not frozen:
        return Effect(slug, "", False, (), ())
    last = frozen[-1]
    now = {file: digest_of(file, data) for file, data in design.files.items()}
    differ = {
        file
        for file in (set(now) | set(last.files)) - LATER
        if now.get(file) != last.files.get(file)
    }
    piece = f"{USE}/{name}.yaml"
    if not differ:
        return Effect(slug, last.revision, False, (), ())
    old = read_revision(library, slug, last.revision)
    numbers = (
        *number_changes(work_out(old), work_out(design)),
        *travel_changes(old.file, design.file),
    )
    return Effect(slug, last.revision, piece in differ, numbers, tuple(sorted(differ - {piece})))
