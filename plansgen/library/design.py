"""A design as read: everything its folder says, validated, frozen, in SI units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from plansgen.library.models import DesignFile, Flight, NotesHead, Origin, StepHead
from plansgen.library.tables import Material

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Picture:
    """A picture file of a design: where it lies in the folder, and its bytes."""

    file: str
    data: bytes
    width: int
    height: int


@dataclass(frozen=True)
class Step:
    """One build step. key: its file name without ending; text: Markdown."""

    key: str
    head: StepHead
    text: str


@dataclass(frozen=True)
class Notes:
    """The designer's story; text is Markdown."""

    head: NotesHead
    text: str


@dataclass(frozen=True)
class Design:
    """One design folder, read once. Nothing reads a file after this.

    materials: the packaged table with the design's own on top. section_points: outlines of
    sections given as files. fingerprint: hash of all that was read, and files: all of it by name,
    shared pieces under ``shared/``, so that a folder of these files is the same design by itself.
    origins: where it was taken from, first the oldest.
    """

    slug: str
    file: DesignFile
    steps: tuple[Step, ...]
    notes: Notes | None
    log: tuple[Flight, ...]
    pictures: Mapping[str, Picture]
    section_points: Mapping[str, Points]
    materials: Mapping[str, Material]
    fingerprint: str
    origins: tuple[Origin, ...] = ()
    files: Mapping[str, bytes] = field(default_factory=dict, repr=False)

    @property
    def shared(self) -> tuple[str, ...]:
        """Names of the shared pieces it uses, sorted."""
        names = (name for name in self.files if name.startswith("shared/"))
        return tuple(sorted(name.removeprefix("shared/").removesuffix(".yaml") for name in names))
