"""Frozen revisions: a design folder by itself, with a list of hashes that tells any change.

A revision lies in ``designs/<slug>/revisions/<letter>/``: the files that were read, as they were
read, shared pieces among them, and ``revision.yaml``. It needs nothing outside its folder but the
program and its packaged tables.
"""

from __future__ import annotations

import datetime
import hashlib
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml

from plansgen.library.design import Design
from plansgen.library.files import list_folder
from plansgen.library.folder import SLUG, read_design, read_folder
from plansgen.library.models.revision import FrozenFile, RevisionFile
from plansgen.library.source import LIMITS, parse_yaml
from plansgen.library.text import read_text, shown_value
from plansgen.library.units import FileUnits
from plansgen.library.validate import validated
from plansgen.problems import BadInput, Problem, nearest_name

FOLDER = "revisions"
MANIFEST = "revision.yaml"
LATER = frozenset({"log.yaml", "notes.md"})
"""What goes on being written after a revision is frozen: flights, and what they showed."""
_TEXT = (".yaml", ".md", ".txt", ".csv", ".dat", ".svg")
_DEEPEST = 3  # folders in a frozen one


@dataclass(frozen=True)
class Frozen:
    """One frozen revision, as its list says.

    because: what was changed, and why. files: hash of each file by name. whole: hash of the list.
    """

    slug: str
    revision: str
    date: datetime.date
    because: str
    files: Mapping[str, str]
    whole: str


def letter_order(letter: str) -> tuple[int, str]:
    """Sorts letters in the order they are given: A to Z, then AA."""
    return len(letter), letter


def revisions_of(library: Path, slug: str) -> tuple[Frozen, ...]:
    """The frozen revisions of a design, the oldest first. Their files are not looked at.

    Raises:
        BadInput: a list of hashes cannot be used, or something else lies among the revisions.
    """
    folder, shown = library / "designs" / slug / FOLDER, f"designs/{slug}/{FOLDER}"
    if not SLUG.fullmatch(slug) or not folder.exists():
        return ()
    if folder.is_symlink() or folder.parent.is_symlink():
        raise BadInput([Problem(shown, 0, "", "is a link; revisions lie in a real folder")])
    try:
        names = list_folder(folder)
    except ValueError as wrong:
        raise BadInput([Problem(shown, 0, "", str(wrong))]) from None
    found: list[Frozen] = []
    problems: list[Problem] = []
    for name in names:
        try:
            found.append(_listed(folder / name, slug, shown=f"{shown}/{name}"))
        except BadInput as bad:
            problems.extend(bad.problems)
    if problems:
        raise BadInput(problems)
    return tuple(sorted(found, key=lambda one: letter_order(one.revision)))


def read_revision(library: Path, slug: str, letter: str) -> Design:
    """Read a frozen revision, if it is what was frozen.

    Raises:
        BadInput: there is none of this letter; or a file was changed, added or taken away; or the
            revision cannot be read any more.
    """
    shown = f"designs/{slug}/{FOLDER}/{letter}"
    known = {one.revision: one for one in revisions_of(library, slug)}
    frozen = known.get(letter)
    if frozen is None:
        listed = ", ".join(known) or "none is frozen yet"
        wrong = f"there is no frozen revision {shown_value(letter)}"
        raise BadInput(
            [Problem(f"designs/{slug}", 0, "", wrong, listed, nearest_name(letter, known))]
        )
    folder = library / "designs" / slug / FOLDER / letter
    if problems := list(_differences(folder, frozen, shown)):
        raise BadInput(problems)
    return read_folder(folder, slug, shown=shown, besides={MANIFEST})


def check_revisions(library: Path, slug: str) -> None:
    """Compare every frozen revision of a design with its hashes.

    Raises:
        BadInput: with every file that was changed, added or taken away.
    """
    problems: list[Problem] = []
    for frozen in revisions_of(library, slug):
        folder = library / "designs" / slug / FOLDER / frozen.revision
        try:
            shown = f"designs/{slug}/{FOLDER}/{frozen.revision}"
            problems.extend(_differences(folder, frozen, shown))
        except BadInput as bad:
            problems.extend(bad.problems)
    if problems:
        raise BadInput(problems)


def changed_since(library: Path, design: Design) -> tuple[str, ...]:
    """Files that are not as in the frozen revision of the same letter; none when there is none.

    The log and the notes are not counted: they go on being written.
    """
    for frozen in revisions_of(library, design.slug):
        if frozen.revision == design.file.revision:
            now = {name: digest_of(name, data) for name, data in design.files.items()}
            names = (set(now) | set(frozen.files)) - LATER
            return tuple(sorted(n for n in names if now.get(n) != frozen.files.get(n)))
    return ()


def freeze(library: Path, slug: str, *, revision: str, because: str) -> Frozen:
    """Freeze a design as it stands.

    Args:
        library: the library.
        slug: the design.
        revision: its letter; must be the one in the design file.
        because: what was changed, and why.

    Raises:
        BadInput: the design cannot be read, the letter is not its own, is taken or comes before
            one that is frozen, or there is no reason.
        OSError: it cannot be written.
    """
    design = read_design(library, slug)
    older = revisions_of(library, slug)
    if problems := list(_refusals(design, older, revision)):
        raise BadInput(problems)
    shown = f"designs/{slug}/{FOLDER}/{revision}"
    text = _manifest(design, because)
    frozen = _frozen(slug, text, shown=shown)
    home = library / "designs" / slug / FOLDER
    unfinished = home / f".{revision}-new"
    home.mkdir(exist_ok=True)
    shutil.rmtree(unfinished, ignore_errors=True)  # a killed freeze left it
    try:
        write_files(unfinished, {**design.files, MANIFEST: text.encode()})
        again = read_folder(unfinished, slug, shown=shown, besides={MANIFEST})
        if again.fingerprint != design.fingerprint:
            raise BadInput([Problem(shown, 0, "", "does not read as the design that it is of")])
        unfinished.rename(home / revision)
    finally:
        shutil.rmtree(unfinished, ignore_errors=True)
    return frozen


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a new folder; names have been checked.

    Raises:
        OSError: they cannot be written, or one is there already.
    """
    for name, data in sorted(files.items()):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(data)


def digest_of(name: str, data: bytes) -> str:
    """Hash of a file; of text whatever its line ends, which some systems change on the way."""
    if name.endswith(_TEXT):
        data = data.replace(b"\r\n", b"\n")
    return hashlib.sha256(data).hexdigest()


# --- the list of hashes ------------------------------------------------------------------------


def _manifest(design: Design, because: str) -> str:
    files = [
        {"file": name, "sha256": digest_of(name, data)}
        for name, data in sorted(design.files.items())
    ]
    said = {
        "plansgen": 1,
        "revision": design.file.revision,
        "date": design.file.date.isoformat(),
        "because": because.strip(),
        "files": files,
    }
    said["whole"] = _whole(
        design.file.revision,
        design.file.date,
        because.strip(),
        {one["file"]: one["sha256"] for one in files},
    )
    return yaml.safe_dump(said, sort_keys=False, allow_unicode=True, width=100)


def _whole(revision: str, date: datetime.date, because: str, files: Mapping[str, str]) -> str:
    said = [revision, date.isoformat(), because]
    said += [f"{name}\0{digest}" for name, digest in sorted(files.items())]
    return hashlib.sha256("\n".join(said).encode()).hexdigest()


def _listed(folder: Path, slug: str, *, shown: str) -> Frozen:
    """A frozen revision as its list of hashes tells it."""
    if folder.is_symlink() or (folder / MANIFEST).is_symlink():
        raise BadInput([Problem(shown, 0, "", "is a link; a revision lies in a real folder")])
    text = read_text(folder / MANIFEST, shown=f"{shown}/{MANIFEST}", most=LIMITS.file_bytes)
    frozen = _frozen(slug, text, shown=shown)
    if frozen.revision != folder.name:
        wrong = f"says revision {frozen.revision}"
        raise BadInput([Problem(f"{shown}/{MANIFEST}", 0, "revision", wrong, folder.name)])
    return frozen


def _frozen(slug: str, text: str, *, shown: str) -> Frozen:
    source = parse_yaml(text, shown=f"{shown}/{MANIFEST}")
    said = validated(RevisionFile, source, units=FileUnits())
    files = {one.file: one.sha256 for one in said.files}
    if said.whole != _whole(said.revision, said.date, said.because, files):
        wrong = "does not fit the lines above: letter, date, reason or a hash was changed"
        raise BadInput([source.problem(("whole",), wrong)])
    if twice := _twice(said.files):
        raise BadInput([source.problem(("files",), f"{shown_value(twice)} stands there twice")])
    return Frozen(slug, said.revision, said.date, said.because, files, said.whole)


def _twice(files: tuple[FrozenFile, ...]) -> str:
    seen: set[str] = set()
    for one in files:
        if one.file in seen:
            return one.file
        seen.add(one.file)
    return ""


def _refusals(design: Design, older: tuple[Frozen, ...], revision: str) -> Iterator[Problem]:
    file, own = f"designs/{design.slug}/design.yaml", design.file.revision
    if revision != own:
        wrong = f"is {own}, but revision {shown_value(revision)} was to be frozen"
        yield Problem(file, 0, "revision", wrong, "the letter in the design file")
        return
    if not older:
        return
    newest = older[-1]
    frozen = ", ".join(one.revision for one in older)
    if any(one.revision == own for one in older):
        yield Problem(
            file, 0, "revision", f"{own} is frozen already and stays as it is", f"not {frozen}"
        )
    elif letter_order(own) < letter_order(newest.revision):
        wrong = f"{own} comes before {newest.revision}, which is frozen"
        yield Problem(file, 0, "revision", wrong, f"a letter after {newest.revision}")
    if design.file.date < newest.date and own != newest.revision:
        wrong = f"is {design.file.date}, before that of revision {newest.revision}"
        yield Problem(file, 0, "date", wrong, f"{newest.date} or later")


# --- whether it is what was frozen -------------------------------------------------------------


def _differences(folder: Path, frozen: Frozen, shown: str) -> Iterator[Problem]:
    present = dict(_walk(folder, shown))
    for name in sorted(set(frozen.files) - set(present)):
        yield Problem(f"{shown}/{name}", 0, "", "is missing from the frozen revision")
    for name in sorted(set(present) - set(frozen.files) - {MANIFEST}):
        yield Problem(f"{shown}/{name}", 0, "", "was added to the frozen revision")
    for name, path in sorted(present.items()):
        wanted = frozen.files.get(name)
        if wanted is not None and digest_of(name, path.read_bytes()) != wanted:
            wrong = "was changed after the revision was frozen"
            yield Problem(
                f"{shown}/{name}", 0, "", wrong, "the frozen file; changes go into the design"
            )


def _walk(root: Path, shown: str, inner: str = "") -> Iterator[tuple[str, Path]]:
    """Every file of a frozen folder by its name; links are refused."""
    folder = root / inner
    try:
        names = list_folder(folder, within=root)
    except ValueError as wrong:
        raise BadInput([Problem(shown, 0, "", str(wrong))]) from None
    for name in names:
        path = folder / name
        if path.is_symlink():
            raise BadInput([Problem(f"{shown}/{inner}{name}", 0, "", "is a link; a real file")])
        if path.is_dir() and inner.count("/") < _DEEPEST:
            yield from _walk(root, shown, f"{inner}{name}/")
        elif path.is_file():
            yield f"{inner}{name}", path
        else:
            raise BadInput([Problem(f"{shown}/{inner}{name}", 0, "", "is not an ordinary file")])
