"""Shared pieces put in their places in a design, with the design's own words on top.

A group with the key ``shared`` takes over what the piece of that name says; the other keys of the
group win over it: groups are merged key by key, lists and values are replaced, and nothing (``~``)
takes a key out. In a list, the entries of the piece stand in place of the one that uses it, and its
``at`` says where the piece's own zero lies.

The result is one source whose every value knows the file and the line that it came from, so that
a fault is told where it has to be mended.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from plansgen.library.shelf import SECTIONS, USE, Shelf, units_of, unknown_piece
from plansgen.library.source import LIMITS, Source
from plansgen.library.text import Place, dotted
from plansgen.library.units import FileUnits
from plansgen.problems import BadInput, Problem

MOST_USES = 100  # in one file
_BESIDE = ("at", "mirror")  # what may stand beside the use of a piece of several entries
_OWNED = ("cover", "run", "ribs", "formers")  # parts that lie where their surface or body does


def section_of_design(place: Place) -> str:
    """What a shared piece must hold to be used at a place of ``design.yaml``; empty for none."""
    match place:
        case ("surfaces", str()):
            return "surface"
        case ("bodies", str()):
            return "body"
        case ("materials", str()):
            return "material"
        case ("parts", int()) | ("surfaces" | "bodies", str(), "parts", int()):
            return "parts"
        case ("items" | "batteries" as name, int()):
            return name
        case ("hazards", int()):
            return "cautions"
    return ""


def section_of_step(place: Place) -> str:
    """What a shared piece must hold to be used at a place of a step's front matter."""
    match place:
        case ():
            return "step"
        case ("cautions", int()):
            return "cautions"
    return ""


def with_shared(
    source: Source, shelf: Shelf, *, section: Callable[[Place], str], units: FileUnits
) -> Source:
    """The file with every shared piece in its place.

    Args:
        source: the file as read.
        shelf: where pieces are found.
        section: what a piece must hold to be used at a place.
        units: those of the file's bare numbers; a piece must count in the same.

    Raises:
        BadInput: with every use that cannot be followed and every piece that cannot be read.
    """
    if not any(place[-1:] == (USE,) for place in source.lines):
        return source
    work = _Work(source, shelf, section, units)
    data = work.walk(source.data, (), ())
    if work.problems:
        raise BadInput(work.problems)
    return Source(source.file, data, work.lines, work.files)


def uses_of(source: Source, *, section: Callable[[Place], str]) -> tuple[str, ...]:
    """Names of the pieces that a file uses, sorted; the pieces themselves are not read."""
    found: set[str] = set()

    def look(data: Any, place: Place) -> None:
        if isinstance(data, dict):
            if isinstance(data.get(USE), str) and section(place):
                found.add(data[USE])
            for key, value in data.items():
                look(value, (*place, key))
        elif isinstance(data, list):
            for number, value in enumerate(data):
                look(value, (*place, number))

    look(source.data, ())
    return tuple(sorted(found))


@dataclass
class _Work:
    source: Source
    shelf: Shelf
    section: Callable[[Place], str]
    units: FileUnits
    problems: list[Problem] = field(default_factory=list)
    lines: dict[Place, int] = field(default_factory=dict)
    files: dict[Place, str] = field(default_factory=dict)
    _uses: int = 0
    _values: int = 0

    def walk(self, data: Any, place: Place, to: Place) -> Any:
        """Data of the design's own file, its uses of pieces followed. to: where it ends up."""
        self._came(self.source, place, to)
        if isinstance(data, list):
            return self._list(data, place, to)
        if not isinstance(data, dict):
            return data
        section = self.section(place) if USE in data else ""
        piece = self._piece(data, place, section) if section else None
        if piece is not None:
            return self._merged(piece, (section,), data, place, to)
        return {key: self.walk(value, (*place, key), (*to, key)) for key, value in data.items()}

    def _list(self, data: list[Any], place: Place, to: Place) -> list[Any]:
        done: list[Any] = []
        for number, entry in enumerate(data):
            here = (*place, number)
            section = self.section(here) if isinstance(entry, dict) and USE in entry else ""
            if not section:
                done.append(self.walk(entry, here, (*to, len(done))))
            elif piece := self._piece(entry, here, section):
                self._entries(piece, section, entry, here, to, done)
        return done

    def _entries(
        self,
        piece: Source,
        section: str,
        keys: dict[str, Any],
        place: Place,
        to: Place,
        done: list[Any],
    ) -> None:
        """The entries of a piece in place of the one that uses it."""
        entries = piece.data[section]
        beside = [key for key in keys if key != USE]
        several = "cautions" if section == "cautions" else f"{len(entries)} entries"
        allowed = () if section == "cautions" else _BESIDE
        for key in beside:
            if key not in allowed and (len(entries) > 1 or not allowed):
                wrong = f'cannot stand beside "{keys[USE]}", which has {several}'
                self._note((*place, key), wrong, ", ".join(allowed) or "shared alone")
                return
        own = {key: value for key, value in keys.items() if key != "at"}
        for number, entry in enumerate(entries):
            origin, end = (section, number), (*to, len(done))
            if not isinstance(entry, dict):
                self._came(piece, origin, end)
                done.append(entry)
                continue
            merged = self._merged(piece, origin, own, place, end)
            done.append(merged)
            if "at" in keys:
                self._place(merged, (*place, "at"), keys["at"], end)

    def _place(self, entry: dict[str, Any], place: Place, at: Any, to: Place) -> None:
        """Move an entry of a piece to where the design puts the piece's zero."""
        if not isinstance(at, dict):
            entry["at"] = self.walk(at, place, (*to, "at"))  # told when the design is checked
            return
        points = [entry["at"]] if isinstance(entry.get("at"), dict) else []
        if isinstance(entry.get("line"), list):
            points += [point for point in entry["line"] if isinstance(point, dict)]
        elif not points and not any(key in entry for key in _OWNED):
            entry["at"] = self.walk(at, place, (*to, "at"))
        for axis, value in at.items():
            for point in points:
                there = point.get(axis)
                if there is None:
                    point[axis] = value
                elif _is_number(value) and _is_number(there):
                    point[axis] = round(there + value, 9)
                else:
                    wrong = "and the piece's own cannot be added"
                    self._note((*place, axis), wrong, "bare numbers in both files")
                    return

    def _merged(
        self, piece: Source, origin: Place, keys: dict[str, Any], place: Place, to: Place
    ) -> dict[str, Any]:
        """A group of a piece with the design's own keys on top."""
        base = _at(piece.data, origin)
        self._came(self.source, place, to)
        merged: dict[str, Any] = {}
        for key, value in base.items():
            here, there, end = (*place, key), (*origin, key), (*to, key)
            own = keys.get(key)
            if key not in keys:
                merged[key] = self._copy(piece, value, there, end)
            elif isinstance(own, dict) and isinstance(value, dict):
                merged[key] = self._merged(piece, there, own, here, end)
            elif own is not None:
                merged[key] = self.walk(own, here, end)
        for key, value in keys.items():
            if key not in base and key != USE:
                merged[key] = self.walk(value, (*place, key), (*to, key))
        return merged

    def _copy(self, piece: Source, data: Any, origin: Place, to: Place) -> Any:
        self._came(piece, origin, to)
        if isinstance(data, dict):
            return {
                key: self._copy(piece, value, (*origin, key), (*to, key))
                for key, value in data.items()
            }
        if isinstance(data, list):
            return [
                self._copy(piece, value, (*origin, number), (*to, number))
                for number, value in enumerate(data)
            ]
        return data

    def _came(self, source: Source, origin: Place, to: Place) -> None:
        """Note where a value came from; values that an alias repeats have no line of their own."""
        self._values += 1
        if self._values > LIMITS.nodes:
            wrong = "holds too many values with its shared pieces"
            self.problems.append(Problem(source.file, 0, "", wrong, f"at most {LIMITS.nodes}"))
            raise BadInput(self.problems)
        if origin in source.lines:
            self.lines[to] = source.lines[origin]
            if source is not self.source:
                self.files[to] = source.file
            else:
                self.files.pop(to, None)

    # --- pieces ------------------------------------------------------------------------------

    def _piece(self, keys: dict[str, Any], place: Place, section: str) -> Source | None:
        """The piece that a group uses; None, and a problem, when it cannot be used here."""
        here, name = (*place, USE), keys[USE]
        self._uses += 1
        if self._uses > MOST_USES:
            if self._uses == MOST_USES + 1:
                self._note(here, "is one shared piece too many", f"at most {MOST_USES} in a file")
            return None
        try:
            piece = self.shelf.piece(name) if isinstance(name, str) else None
            units = units_of(piece) if piece is not None else self.units
        except BadInput as bad:
            self.problems.extend(bad.problems)
            return None
        if piece is None:
            self._note(here, *unknown_piece(name, self.shelf.names()))
            return None
        if not piece.data.get(section):
            held = ", ".join(key for key in SECTIONS if piece.data.get(key))
            wrong, allowed = (
                f'the shared piece "{name}" has no {section}',
                f"a piece with {section}",
            )
            self._note(here, wrong, f"{allowed}; this one has {held}")
            return None
        if units != self.units and section not in ("step", "cautions"):
            wrong = f'"{name}" counts in {_in_words(units)}, this design in {_in_words(self.units)}'
            self._note(here, wrong, "the same units in both files")
            return None
        return piece

    def _note(self, place: Place, wrong: str, allowed: str = "", nearest: str = "") -> None:
        line = self.source.line(place)
        self.problems.append(
            Problem(self.source.file, line, dotted(place), wrong, allowed, nearest)
        )


def _at(data: Any, place: Place) -> Any:
    for part in place:
        data = data[part]
    return data


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _in_words(units: FileUnits) -> str:
    return f"{units.length}, {units.mass} and {units.angle}"
