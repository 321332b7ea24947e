"""Reading a library: which designs there are, and one design folder from door to door.

Everything is untrusted. Each file's problems are gathered and told together; only then does
:class:`~plansgen.problems.BadInput` rise.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import Protocol, TypeVar

from plansgen.library.design import Design, Notes, Picture, Points, Step
from plansgen.library.drawn import Taken, with_drawings
from plansgen.library.driven import check_power
from plansgen.library.files import list_folder, read_picture, safe_child
from plansgen.library.held import check_structure
from plansgen.library.models import (
    DesignFile,
    Flight,
    FlightLog,
    NotesHead,
    Section,
    StepHead,
)
from plansgen.library.propeller_table import with_tables
from plansgen.library.purchase import check_stock
from plansgen.library.source import LIMITS, Source, parse_yaml
from plansgen.library.stock import Trouble, check_materials, stock_with
from plansgen.library.text import Place, dotted, read_text
from plansgen.library.units import FileUnits
from plansgen.library.validate import validated
from plansgen.problems import BadInput, Problem, nearest_name

SLUG = re.compile(r"[a-z][a-z0-9-]{0,39}")
STEP_FILE = re.compile(r"[0-9]{3}-[a-z0-9-]{1,60}\.md")
_FOLDERS = frozenset({"steps", "photos", "sections", "drawings", "propellers"})
_KNOWN = _FOLDERS | {"design.yaml", "notes.md", "log.yaml"}

MOST_PROSE_BYTES = 100 * 1024  # Markdown far beyond this takes seconds to render
MOST_STEPS_BYTES = 2**20  # of all steps together
MOST_PICTURE_BYTES = 100 * 2**20  # of all pictures together; they are held in memory

T = TypeVar("T")


class Fill(Protocol):
    """Puts what lies in other files of the folder into the design."""

    def __call__(
        self, file: DesignFile, folder: Path, *, shown: str, trouble: Trouble, taken: Taken
    ) -> DesignFile:
        """Return the design, filled in."""


class Desk:
    """The reader's desk for one folder: gathers problems and hashes what was read."""

    def __init__(self, folder: Path, shown: str) -> None:
        self.folder = folder
        self.shown = shown
        self.problems: list[Problem] = []
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
        """Count bytes into the fingerprint."""
        self._digest.update(f"{file}\0{len(data)}\0".encode())
        self._digest.update(data)

    @property
    def fingerprint(self) -> str:
        """Hash of all that was read so far."""
        return self._digest.hexdigest()


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


def read_design(library: Path, slug: str) -> Design:
    """Read one design folder.

    Raises:
        BadInput: with every problem of the folder.
    """
    folder = library / "designs" / slug
    desk = Desk(folder, f"designs/{slug}")
    if folder.is_symlink() or not (folder / "design.yaml").is_file():
        known = {path.name for path in (library / "designs").iterdir() if path.is_dir()} - {slug}
        wrong = "is a link; a design is a real folder" if folder.is_symlink() else "no such file"
        raise BadInput(
            [
                Problem(
                    f"designs/{slug}/design.yaml",
                    0,
                    "",
                    wrong,
                    "",
                    nearest_name(slug, known),
                )
            ]
        )
    _refuse_strangers(desk)
    source = desk.attempt(lambda: _yaml(desk, "design.yaml"))
    if source is None:
        raise BadInput(desk.problems)
    units = desk.attempt(lambda: _units(source)) or FileUnits()
    file = desk.attempt(lambda: validated(DesignFile, source, units=units))
    stock = stock_with(file.materials if file else {})
    steps = _steps(desk, units)
    notes = desk.attempt(lambda: _notes(desk, units))
    log = desk.attempt(lambda: _log(desk, units)) or ()
    pictures = _pictures(desk, steps)
    points: dict[str, Points] = {}
    if file is not None:
        file = _filled(desk, file, source)
        check_materials(_in_design_file(desk, source), file, stock)
        check_structure(_in_design_file(desk, source), file, stock)
        check_stock(_in_design_file(desk, source), file, stock)
        check_power(_in_design_file(desk, source), file)
        points = _section_points(desk, file, source)
    if desk.problems or file is None:
        raise BadInput(desk.problems)
    return Design(slug, file, steps, notes, log, pictures, points, stock, desk.fingerprint)


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
        line, field = source.line(path), dotted(path)
        desk.trouble("design.yaml", line, field, wrong, allowed=allowed, nearest=nearest)

    return trouble


def _refuse_strangers(desk: Desk) -> None:
    """A misspelt file would be passed over in silence; say so instead."""
    for name in _listed(desk, desk.folder, ""):
        if name not in _KNOWN and not name.startswith("."):
            desk.trouble(
                name,
                0,
                "",
                "is not a file of a design folder",
                allowed=", ".join(sorted(_KNOWN)),
                nearest=nearest_name(name, _KNOWN),
            )
        elif name in _FOLDERS and not (desk.folder / name).is_dir():
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


def _units(source: Source) -> FileUnits:
    if "units" not in source.data:
        return FileUnits()
    return validated(FileUnits, source, units=FileUnits(), at=("units",))


# --- steps, notes, log -----------------------------------------------------------------------


def _front_matter(desk: Desk, file: str) -> tuple[Source, str]:
    """Split ``---`` front matter from the text below it."""
    text = read_text(desk.folder / file, shown=desk.name(file), most=MOST_PROSE_BYTES)
    desk.taken(file, text.encode())
    lines = text.splitlines()
    if not lines or lines[0].strip() != "---":
        raise BadInput(
            [Problem(desk.name(file), 1, "", "does not begin with ---", "front matter between ---")]
        )
    ends = [number for number, line in enumerate(lines[1:], 1) if line.strip() == "---"]
    if not ends:
        raise BadInput([Problem(desk.name(file), 1, "", "the front matter has no closing ---")])
    head = "\n".join(lines[1 : ends[0]])
    source = parse_yaml(head, shown=desk.name(file), first_line=2)
    return source, "\n".join(lines[ends[0] + 1 :]).strip()


def _steps(desk: Desk, units: FileUnits) -> tuple[Step, ...]:
    folder = desk.folder / "steps"
    if not folder.is_dir():
        return ()
    steps = []
    for name in _listed(desk, folder, "steps"):
        file = f"steps/{name}"
        if not STEP_FILE.fullmatch(name):
            desk.trouble(file, 0, "", "is no name for a step", allowed="like 010-cut-the-skins.md")
            continue
        step = desk.attempt(lambda file=file: _step(desk, file, units))  # type: ignore[misc]
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


def _step(desk: Desk, file: str, units: FileUnits) -> Step:
    source, text = _front_matter(desk, file)
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


def _sections(file: DesignFile) -> Iterator[tuple[Place, Section]]:
    """Every section of a design, with the path to it."""
    for key, surface in file.surfaces.items():
        if surface.section is not None:
            yield ("surfaces", key, "section"), surface.section
        for number, station in enumerate(surface.stations):
            if station.section is not None:
                yield ("surfaces", key, "stations", number, "section"), station.section


def _section_points(desk: Desk, file: DesignFile, source: Source) -> dict[str, Points]:
    found: dict[str, Points] = {}
    for path, section in _sections(file):
        if section.file is None or section.file in found:
            continue
        try:
            child = safe_child(desk.folder, section.file, kinds={"text"})
            text = read_text(child, shown=desk.name(section.file))
            found[section.file] = _parse_points(desk, section.file, text)
            desk.taken(section.file, text.encode())
        except ValueError as wrong:
            desk.trouble("design.yaml", source.line(path), dotted(path), str(wrong))
        except BadInput as bad:
            desk.problems.extend(bad.problems)
    return found


def _parse_points(desk: Desk, file: str, text: str) -> Points:
    """Read x y pairs; a first line of words is a title. At least ten points make an outline."""
    points: list[tuple[float, float]] = []
    for number, line in enumerate(text.splitlines(), 1):
        words = line.replace(",", " ").split()
        if not words or line.lstrip().startswith("#"):
            continue
        try:
            x, z = (float(word) for word in words)
        except ValueError:
            if number == 1:
                continue
            desk.trouble(
                file, number, "", f"{line[:40]!a} is not a pair", allowed="two numbers x y"
            )
            return ()
        if not (abs(x) < 1e4 and abs(z) < 1e4):
            desk.trouble(file, number, "", f"{line[:40]!a} is not finite", allowed="plain numbers")
            return ()
        points.append((x, z))
    xs = [x for x, _ in points]
    if not 10 <= len(points) <= 2000 or max(xs) - min(xs) < 1e-6:
        desk.trouble(
            file, 0, "", f"holds {len(points)} points", allowed="10 to 2000 around a section"
        )
        return ()
    if min(xs[0], xs[-1]) < max(xs) - 0.1 * (max(xs) - min(xs)):
        desk.trouble(
            file,
            0,
            "",
            "does not begin and end at the trailing edge",
            allowed="points from the trailing edge over the top to the leading edge, and back "
            "underneath",
        )
        return ()
    return tuple(points)
