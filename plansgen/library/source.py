"""Reading one untrusted YAML file: plain data, the line of every value, and nothing else.

Only the YAML 1.2 core schema is understood (yaml.org/spec/1.2.2, section 10.3): ``on``, ``no``,
``1:30`` and dates stay text, ``010`` is ten. Tags, merge keys and several documents in one file
are refused, because nothing in a design needs them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from plansgen.library.text import (
    MOST_TEXT_BYTES,
    UNSEEN,
    shown_value,
    unseen_problems,
    unseen_words,
)
from plansgen.library.text import Place as Place
from plansgen.library.text import dotted as dotted
from plansgen.library.text import read_text as read_text
from plansgen.problems import BadInput, Problem

# libyaml's parser is the same grammar about ten times faster, but some installs lack it.
_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Limits:
    """How much one file may hold; far above any real design, far below what hurts."""

    file_bytes: int = MOST_TEXT_BYTES
    depth: int = 20
    nodes: int = 20_000
    aliases: int = 100
    digits: int = 15
    problems: int = 100


LIMITS = Limits()


@dataclass(frozen=True)
class Source:
    """The data of one file, and the 1-based line on which each value begins.

    file: path shown to the author. data: mappings, lists, text, numbers, true, false and null.
    lines: line by path, such as ``("surfaces", "wing", "stations", 2, "chord")``. files: by path,
    where the lines of values that came from another file are counted in.
    """

    file: str
    data: Any
    lines: Mapping[Place, int]
    files: Mapping[Place, str] = field(default_factory=dict)

    def line(self, path: Place) -> int:
        """Return the line of the value at ``path``, or of the nearest known value around it."""
        return self.place(path)[1]

    def place(self, path: Place) -> tuple[str, int]:
        """Return the file and the line of a value, or of the nearest known value around it."""
        for length in range(len(path), -1, -1):
            if path[:length] in self.lines:
                return self.files.get(path[:length], self.file), self.lines[path[:length]]
        return self.file, 0

    def problem(self, path: Place, wrong: str, allowed: str = "", nearest: str = "") -> Problem:
        """Say what is wrong with the value at ``path``."""
        file, line = self.place(path)
        return Problem(file, line, dotted(path), wrong, allowed, nearest)


def read_yaml(path: Path, *, shown: str, limits: Limits = LIMITS) -> Source:
    """Read a YAML file whose top level is a mapping.

    Args:
        path: the file; the caller has made sure that it lies in the design's folder.
        shown: the path that messages show.
        limits: how much the file may hold.

    Raises:
        BadInput: with every problem that can be found in one go.
    """
    return parse_yaml(
        read_text(path, shown=shown, most=limits.file_bytes), shown=shown, limits=limits
    )


def parse_yaml(text: str, *, shown: str, first_line: int = 1, limits: Limits = LIMITS) -> Source:
    """Read YAML text whose top level is a mapping.

    Args:
        text: the text, such as the front matter of a build step.
        shown: the path that messages show.
        first_line: the line of the file on which the text begins.
        limits: how much the text may hold.

    Raises:
        BadInput: with every problem that can be found in one go.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    problems = list(unseen_problems(text, shown=shown, first_line=first_line))
    if problems:
        raise BadInput(problems[: limits.problems])
    reader = _Reader(text, shown=shown, first_line=first_line, limits=limits)
    data = reader.document()
    if reader.problems:
        raise BadInput(reader.problems)
    return Source(shown, data, reader.lines)


# ---------------------------------------------------------------- the YAML itself

_NULL = re.compile(r"~|null|Null|NULL|")
_BOOL = re.compile(r"(true|True|TRUE)|false|False|FALSE")
_INT = re.compile(r"[-+]?[0-9]+")
_OCTAL = re.compile(r"0o[0-7]+")
_HEX = re.compile(r"0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")

# The parser's own words, and ours. Matched by their beginning.
_PLAIN_WORDS = (
    ("mapping values are not allowed", "a second colon, or a line that is not indented as it must"),
    ("found character '\\t'", "a tab where only spaces may stand"),
    ("found a tab", "a tab where only spaces may stand"),
    ("found character that cannot start", "a tab, @, ` or % at the start of a value; quote it"),
    ("could not find expected ':'", "a key without its colon"),
    ("found unexpected end of stream", "a quotation mark or bracket is never closed"),
    ("found unknown escape character", "a backslash in double quotes; use single quotes"),
    ("expected <block end>", "the indentation does not fit the lines above"),
    ("did not find expected key", "the indentation does not fit the lines above"),
    ("did not find expected '-'", "the indentation does not fit the list above"),
    ("block sequence entries are not", "a list cannot begin on the line of its key"),
    ("did not find expected ',' or", "a comma or closing bracket is missing"),
    ("expected ',' or", "a comma or closing bracket is missing"),
    ("exceeded maximum nesting depth", "values are nested too deep"),
    ("found duplicate anchor", "two anchors have the same name"),
    ("found undefined tag handle", "a value begins with !; put it in quotes"),
)


class _StopError(Exception):
    """The rest of the file is not worth reading."""


@dataclass(frozen=True)
class _Anchor:
    """What an alias stands for, how many values it holds, and how deep they go."""

    value: Any
    nodes: int
    height: int


@dataclass
class _Reader:
    """Turns the parser's events into data; the parser itself never recurses."""

    text: str
    shown: str
    first_line: int
    limits: Limits
    problems: list[Problem] = field(default_factory=list)
    lines: dict[Place, int] = field(default_factory=dict)
    _anchors: dict[str, _Anchor | None] = field(default_factory=dict)
    _nodes: int = 0
    _aliases: int = 0

    def document(self) -> Any:
        """Return the only document's data, noting every problem on the way."""
        loader = _Loader(self.text)
        try:
            return self._document(loader)
        except _StopError:
            return None
        except yaml.MarkedYAMLError as error:
            mark = error.problem_mark or error.context_mark
            self._note(mark.line if mark else 0, f"not YAML: {_syntax_words(error.problem)}")
        except (yaml.YAMLError, ValueError, OverflowError):
            # An escape such as "\UFFFFFFFF" names no character, and the parser lets it fall.
            self._note(0, "not YAML: an escape or a character that cannot be read")
        finally:
            loader.dispose()
        return None

    def _document(self, loader: Any) -> Any:
        loader.get_event()  # start of the stream
        if loader.check_event(yaml.StreamEndEvent):
            self._note(0, "the file is empty", "keys and values")
            return None
        loader.get_event()  # start of the document
        event = loader.get_event()
        self.lines[()] = event.start_mark.line + self.first_line
        data, _ = self._value(loader, event, ())
        loader.get_event()  # end of the document
        if not loader.check_event(yaml.StreamEndEvent):
            line = loader.peek_event().start_mark.line
            self._note(line, "a second document begins here", "one document in a file")
        elif data is None and not self.problems:
            self._note(0, "the file is empty", "keys and values")
        elif not isinstance(data, dict) and not self.problems:
            self._note(event.start_mark.line, "the file does not begin with a key", "keys: values")
        return data

    def _value(self, loader: Any, event: Any, path: Place, depth: int = 1) -> tuple[Any, int]:
        """Return the value that begins with ``event``, and how many levels it goes down."""
        line = event.start_mark.line
        self._count(1, line)
        if isinstance(event, yaml.AliasEvent):
            return self._alias(event, depth)
        if event.tag is not None:
            self._note(line, f"the tag {shown_value(event.tag)} is not used", "plain values", path)
        if isinstance(event, yaml.ScalarEvent):
            value = self._scalar(event, path)
            if event.anchor:
                self._anchors[event.anchor] = _Anchor(value, 1, 0)
            return value, 0
        if depth > self.limits.depth:
            self._stop(line, "values are nested too deep", f"at most {self.limits.depth} levels")
        before = self._nodes
        if event.anchor:
            self._anchors[event.anchor] = None  # open: an alias to it would hold itself
        read = self._mapping if isinstance(event, yaml.MappingStartEvent) else self._sequence
        value, height = read(loader, path, depth)
        if event.anchor:
            self._anchors[event.anchor] = _Anchor(value, self._nodes - before + 1, height)
        return value, height

    def _sequence(self, loader: Any, path: Place, depth: int) -> tuple[Any, int]:
        values: list[Any] = []
        deepest = 0
        while not loader.check_event(yaml.SequenceEndEvent):
            event = loader.get_event()
            here = (*path, len(values))
            self.lines[here] = event.start_mark.line + self.first_line
            value, height = self._value(loader, event, here, depth + 1)
            values.append(value)
            deepest = max(deepest, height)
        loader.get_event()
        return values, deepest + 1

    def _mapping(self, loader: Any, path: Place, depth: int) -> tuple[Any, int]:
        values: dict[str, Any] = {}
        deepest = 0
        while not loader.check_event(yaml.MappingEndEvent):
            event = loader.get_event()
            line = event.start_mark.line
            key = self._key(loader, event, path, depth)
            here = path if key is None else (*path, key)
            if key is not None and key in values:
                first = self.lines[here]
                self._note(line, f"given twice, first on line {first}", "each key once", here)
            elif key is not None:
                self.lines[here] = line + self.first_line
            value, height = self._value(loader, loader.get_event(), here, depth + 1)
            if key is not None:
                values[key] = value
            deepest = max(deepest, height)
        loader.get_event()
        return values, deepest + 1

    def _key(self, loader: Any, event: Any, path: Place, depth: int) -> str | None:
        """Return a key that is text; anything else is a problem and gives None."""
        line = event.start_mark.line
        key, _ = self._value(loader, event, path, depth + 1)
        if not isinstance(event, yaml.ScalarEvent):
            self._note(line, "a key is a list, a group or an alias", "keys that are text", path)
            return None
        if key == "<<" and event.implicit[0]:
            self._note(line, "the merge key << is not used", "write the keys out", path)
            return None
        if not isinstance(key, str):
            wrong = f"the key {shown_value(event.value)} is not text"
            self._note(line, wrong, "keys that are text; put it in quotes", path)
            return None
        return key

    def _alias(self, event: Any, depth: int) -> tuple[Any, int]:
        line = event.start_mark.line
        name = shown_value(event.anchor)
        self._aliases += 1
        if self._aliases > self.limits.aliases:
            self._stop(line, "too many aliases (*)", f"at most {self.limits.aliases}")
        if event.anchor not in self._anchors:
            self._note(line, f"the alias {name} has no anchor before it")
            return None, 0
        anchor = self._anchors[event.anchor]
        if anchor is None:
            self._note(line, f"the alias {name} stands inside its own anchor")
            return None, 0
        self._count(anchor.nodes - 1, line)
        if depth + anchor.height - 1 > self.limits.depth:
            self._stop(line, "values are nested too deep", f"at most {self.limits.depth} levels")
        return anchor.value, anchor.height

    def _scalar(self, event: Any, path: Place) -> Any:
        line, text = event.start_mark.line, event.value
        if found := UNSEEN.search(text):
            self._note(line, unseen_words(found.group()), "text that shows", path)
        if not event.implicit[0] or event.tag is not None:
            return text
        if _NULL.fullmatch(text):
            return None
        if found := _BOOL.fullmatch(text):
            return found[1] is not None
        if _NOT_FINITE.fullmatch(text):
            self._note(line, f"{shown_value(text)[1:-1]} is not a number one can use", path=path)
            return None
        for pattern, base in ((_INT, 10), (_OCTAL, 8), (_HEX, 16)):
            if pattern.fullmatch(text):
                return self._whole_number(text, base, line, path)
        if _FLOAT.fullmatch(text):
            number = float(text)
            if math.isinf(number):
                self._note(line, f"{shown_value(text)[1:-1]} is too large a number", path=path)
                return None
            return number
        return text

    def _whole_number(self, text: str, base: int, line: int, path: Place) -> int | None:
        digits = text.lstrip("+-") if base == 10 else text[2:]
        if len(digits) > self.limits.digits:
            wrong = f"{shown_value(text)[1:-1]} has {len(digits)} digits"
            self._note(line, wrong, f"at most {self.limits.digits} digits", path)
            return None
        return int(text) if base == 10 else int(digits, base)

    def _count(self, nodes: int, line: int) -> None:
        self._nodes += nodes
        if self._nodes > self.limits.nodes:
            self._stop(line, "the file holds too many values", f"at most {self.limits.nodes}")

    def _note(self, line: int, wrong: str, allowed: str = "", path: Place = ()) -> None:
        place = line + self.first_line
        self.problems.append(Problem(self.shown, place, dotted(path), wrong, allowed))
        if len(self.problems) >= self.limits.problems:
            raise _StopError

    def _stop(self, line: int, wrong: str, allowed: str) -> None:
        self._note(line, wrong, allowed)
        raise _StopError


def _syntax_words(problem: str | None) -> str:
    for theirs, ours in _PLAIN_WORDS:
        if (problem or "").startswith(theirs):
            return ours
    return "this line cannot be read; look for a missing colon, quotation mark or bracket"
