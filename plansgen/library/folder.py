"""Reading a library: which designs there are, and one design folder from door to door.

Everything is untrusted. Each file's problems are gathered and told together; only then does
:class:`~plansgen.problems.BadInput` rise.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import Protocol

from plansgen.library.design import Design, Notes, Picture, Points, Step
from plansgen.library.desk import Desk
from plansgen.library.drawn import Taken, with_drawings
from plansgen.library.driven import check_power
from plansgen.library.files import list_folder, read_picture, safe_child
from plansgen.library.held import check_structure
from plansgen.library.models import (
    DesignFile,
    Flight,
    FlightLog,
    NotesHead,
    Origin,
    OriginFile,
    StepHead,
)
from plansgen.library.propeller_table import with_tables
from plansgen.library.purchase import check_stock
from plansgen.library.section_points import section_points
from plansgen.library.shared import section_of_design, section_of_step, with_shared
from plansgen.library.shelf import LIBRARY_FOLDER, USE, Shelf, units_of
from plansgen.library.source import LIMITS, Source, parse_yaml
from plansgen.library.stock import Trouble, check_materials, stock_with
from plansgen.library.text import Place, read_text
from plansgen.library.units import FileUnits
from plansgen.library.validate import validated
from plansgen.problems import BadInput, Problem, nearest_name

SLUG = re.compile(r"[a-z][a-z0-9-]{0,39}")
STEP_FILE = re.compile(r"[0-9]{3}-[a-z0-9-]{1,60}\.md")
FOLDERS = frozenset({"steps", "photos", "sections", "drawings", "propellers", USE, "revisions"})
ORIGIN_FILE = "origin.yaml"
_KNOWN = FOLDERS | {"design.yaml", "notes.md", "log.yaml", ORIGIN_FILE}

MOST_PROSE_BYTES = 100 * 1024  # Markdown far beyond this takes seconds to render
MOST_STEPS_BYTES = 2**20  # of all steps together
MOST_PICTURE_BYTES = 100 * 2**20  # of all pictures together; they are held in memory


class Fill(Protocol):
    """Puts what lies in other files of the folder into the design."""

    def __call__(
        self, file: DesignFile, folder: Path, *, shown: str, trouble: Trouble, taken: Taken
    ) -> DesignFile:
        """Return the design, filled in."""


def find_library(start: Path) -> Path | None:
    """The nearest folder upward that has ``designs/`` and ``mkdocs.yml``."""
    for folder in (start, *start.parents):
        if (folder / "designs").is_dir() and (folder / "mkdocs.yml").is_file():
            return folder
    return None


def design_slugs(library: Path) -> tuple[str, ...]:
    """Names of the design folders, sorted.

    Raises:
        BadInput: a folder's name cannot be an address, or there is no design at all.
    """
    designs = library / "designs"
    found = sorted(
        path.name
        for path in designs.iterdir()
        if path.is_dir() and not path.name.startswith(("_", "."))
    )
    allowed = "lower-case letters, digits and hyphens, at most 40, starting with a letter"
    problems = [
        Problem(f"designs/{name[:60]!a}", 0, "", "is no name for a design folder", allowed)
        for name in found
        if not SLUG.fullmatch(name)
    ]
    if not found:
        problems.append(Problem("designs", 0, "", "holds no design folder", "one or more"))
    if problems:
        raise BadInput(problems)
    return tuple(found)


def slug_of(library: Path, name: str) -> str:
    """The design that a person means by a name or by a path to its folder.

    Raises:
        BadInput: there is none, with the nearest.
    """
    known = design_slugs(library)
    slug = name.rstrip("/").removeprefix("designs/")
    if slug not in known:
        wrong = f'there is no design "{name[:60]}"'
        raise BadInput([Problem("designs", 0, "", wrong, "", nearest_name(name, known))])
    return slug


def read_design(library: Path, slug: str) -> Design:
    """Read one design folder, with the shared pieces it uses.

    Raises:
        BadInput: with every problem of the folder.
    """
    folder = library / "designs" / slug
    if folder.is_symlink() or not (folder / "design.yaml").is_file():
        known = {path.name for path in (library / "designs").iterdir() if path.is_dir()} - {slug}
        wrong = "is a link; a design is a real folder" if folder.is_symlink() else "no such file"
        nearest = nearest_name(slug, known)
        raise BadInput([Problem(f"designs/{slug}/design.yaml", 0, "", wrong, "", nearest)])
    common = (library / "designs" / LIBRARY_FOLDER, f"designs/{LIBRARY_FOLDER}")
    return read_folder(folder, slug, shown=f"designs/{slug}", shared=[common])


def read_folder(
    folder: Path,
    slug: str,
    *,
    shown: str,
    shared: Sequence[tuple[Path, str]] = (),
    besides: Collection[str] = (),
) -> Design:
    """Read a design from any folder.

    Args:
        folder: a real folder.
        slug: the design's name in addresses.
        shown: the folder as shown to the author.
        shared: folders of shared pieces after its own, each with its path as shown.
        besides: names of files that may lie there and are not the design's.

    Raises:
        BadInput: with every problem of the folder.
    """
    desk = Desk(folder, shown)
    _refuse_strangers(desk, besides)
    shelf = Shelf([(folder / USE, desk.name(USE)), *shared], desk.taken)
    source = desk.attempt(lambda: _yaml(desk, "design.yaml"))
    if source is None:
        raise BadInput(desk.problems)
    written = source
    units = desk.attempt(lambda: units_of(written)) or FileUnits()
    source = desk.attempt(
        partial(with_shared, source, shelf, section=section_of_design, units=units)
    )
    file = desk.attempt(partial(validated, DesignFile, source, units=units)) if source else None
    stock = stock_with(file.materials if file else {})
    steps = _steps(desk, units, shelf)
    notes = desk.attempt(lambda: _notes(desk, units))
    log = desk.attempt(lambda: _log(desk, units)) or ()
    origins = desk.attempt(lambda: _origins(desk)) or ()
    pictures = _pictures(desk, steps)
    points: dict[str, Points] = {}
    if file is not None and source is not None:
        file = _filled(desk, file, source)
        trouble = _in_design_file(desk, source)
        check_materials(trouble, file, stock)
        check_structure(trouble, file, stock)
        check_stock(trouble, file, stock)
        check_power(trouble, file)
        points = section_points(desk, file, source)
    if desk.problems or file is None:
        raise BadInput(desk.problems)
    return Design(
        slug=slug,
        file=file,
        steps=steps,
        notes=notes,
        log=log,
        pictures=pictures,
        section_points=points,
        materials=stock,
        fingerprint=desk.fingerprint,
        origins=origins,
        files=desk.files,
    )


def _filled(desk: Desk, file: DesignFile, source: Source) -> DesignFile:
    """The design with its drawings and its propellers' tables read in."""
    for fill in (with_drawings, with_tables):
        found = desk.attempt(partial(_fill, fill, desk, file, source))
        file = found or file
    return file


def _fill(fill: Fill, desk: Desk, file: DesignFile, source: Source) -> DesignFile:
    trouble = _in_design_file(desk, source)
    return fill(file, desk.folder, shown=desk.shown, trouble=trouble, taken=desk.taken)


def _in_design_file(desk: Desk, source: Source) -> Trouble:
    def trouble(path: Place, wrong: str, *, allowed: str = "", nearest: str = "") -> None:
        desk.problems.append(source.problem(path, wrong, allowed, nearest))

    return trouble


def _refuse_strangers(desk: Desk, besides: Collection[str]) -> None:
    """A misspelt file would be passed over in silence; say so instead."""
    for name in _listed(desk, desk.folder, ""):
        if name not in _KNOWN and name not in besides and not name.startswith("."):
            desk.trouble(
                name,
                0,
                "",
                "is not a file of a design folder",
                allowed=", ".join(sorted(_KNOWN)),
                nearest=nearest_name(name, _KNOWN),
            )
        elif name in FOLDERS and not (desk.folder / name).is_dir():
            desk.trouble(name, 0, "", "is a file, not a folder")


def _listed(desk: Desk, folder: Path, shown: str) -> tuple[str, ...]:
    try:
        return list_folder(folder, within=desk.folder)
    except ValueError as wrong:
        desk.trouble(shown, 0, "", str(wrong))
        return ()


def _yaml(desk: Desk, file: str) -> Source:
    """Read once: a file saved meanwhile must not count with bytes that were never parsed."""
    text = read_text(desk.folder / file, shown=desk.name(file), most=LIMITS.file_bytes)
    desk.taken(file, text.encode())
    return parse_yaml(text, shown=desk.name(file))


# --- steps, notes, log -----------------------------------------------------------------------


def front_matter_of(path: Path, *, shown: str) -> Source:
    """The front matter of a Markdown file.

    Raises:
        BadInput: the file has none, or it cannot be read.
    """
    return _split(read_text(path, shown=shown, most=MOST_PROSE_BYTES), shown)[0]


def _front_matter(desk: Desk, file: str) -> tuple[Source, str]:
    """Split ``---`` front matter from the text below it."""
    text = read_text(desk.folder / file, shown=desk.name(file), most=MOST_PROSE_BYTES)
    desk.taken(file, text.encode())
    return _split(text, desk.name(file))


def _split(text: str, shown: str) -> tuple[Source, str]:
    lines = text.splitlines()
    if not lines or lines[0].strip() != "---":
        wrong = "does not begin with ---"
        raise BadInput([Problem(shown, 1, "", wrong, "front matter between ---")])
    ends = [number for number, line in enumerate(lines[1:], 1) if line.strip() == "---"]
    if not ends:
        raise BadInput([Problem(shown, 1, "", "the front matter has no closing ---")])
    source = parse_yaml("\n".join(lines[1 : ends[0]]), shown=shown, first_line=2)
    return source, "\n".join(lines[ends[0] + 1 :]).strip()


def _steps(desk: Desk, units: FileUnits, shelf: Shelf) -> tuple[Step, ...]:
    folder = desk.folder / "steps"
    if not folder.is_dir():
        return ()
    steps = []
    for name in _listed(desk, folder, "steps"):
        file = f"steps/{name}"
        if not STEP_FILE.fullmatch(name):
            desk.trouble(file, 0, "", "is no name for a step", allowed="like 010-cut-the-skins.md")
            continue
        step = desk.attempt(partial(_step, desk, file, units, shelf))
        if step is not None:
            steps.append(step)
    size = sum(len(step.text.encode()) for step in steps)
    if size > MOST_STEPS_BYTES:
        desk.trouble("steps", 0, "", _together(size), allowed=_at_most(MOST_STEPS_BYTES))
    return tuple(steps)


def _together(size: int) -> str:
    return f"hold {size / 2**20:.3g} MiB together"


def _at_most(size: int) -> str:
    return f"at most {size / 2**20:g} MiB"


def _step(desk: Desk, file: str, units: FileUnits, shelf: Shelf) -> Step:
    source, text = _front_matter(desk, file)
    taken_over = USE in source.data
    source = with_shared(source, shelf, section=section_of_step, units=units)
    if taken_over:
        words = source.data.pop("text", "")  # the piece's; the step's own below win
        text = text or str(words or "").strip()
    head = validated(StepHead, source, units=units)
    return Step(Path(file).stem, head, text)


def _notes(desk: Desk, units: FileUnits) -> Notes | None:
    if not (desk.folder / "notes.md").exists():
        return None
    source, text = _front_matter(desk, "notes.md")
    return Notes(validated(NotesHead, source, units=units), text)


def _log(desk: Desk, units: FileUnits) -> tuple[Flight, ...]:
    if not (desk.folder / "log.yaml").exists():
        return ()
    source = _yaml(desk, "log.yaml")
    return validated(FlightLog, source, units=units).flights


def _origins(desk: Desk) -> tuple[Origin, ...]:
    if not (desk.folder / ORIGIN_FILE).exists():
        return ()
    return validated(OriginFile, _yaml(desk, ORIGIN_FILE), units=FileUnits()).origins


# --- files named by the design ---------------------------------------------------------------


def _pictures(desk: Desk, steps: Iterable[Step]) -> dict[str, Picture]:
    found: dict[str, Picture] = {}
    size = 0
    for step in steps:
        for number, picture in enumerate(step.head.pictures):
            if picture.file in found:
                continue
            try:
                path = safe_child(desk.folder, picture.file, kinds={"picture"})
                picture_file = Picture(picture.file, *read_picture(path))
            except ValueError as wrong:
                desk.trouble(f"steps/{step.key}.md", 0, f"pictures[{number}].file", str(wrong))
                continue
            desk.taken(picture.file, picture_file.data)
            found[picture.file] = picture_file
            size += len(picture_file.data)
            if size > MOST_PICTURE_BYTES:
                allowed = _at_most(MOST_PICTURE_BYTES)
                desk.trouble("", 0, "", f"the pictures {_together(size)}", allowed=allowed)
                return found
    return found
