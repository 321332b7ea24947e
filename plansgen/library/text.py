"""Text as it comes from outside: read within limits, and shown in messages without harm."""

from __future__ import annotations

import re
import stat
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from plansgen.problems import BadInput, Problem

Place = tuple[str | int, ...]

MOST_TEXT_BYTES = 2**20
_MOST_PROBLEMS = 100

# Control characters, the line breaks an editor does not show, surrogates, byte order marks, and
# the characters that reverse the order in which text is displayed.
UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufeff\ufffe\uffff]"
)


def shown_value(value: Any) -> str:
    """Return a value as an error message shows it: short, on one line, no control characters."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "a group of keys"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    if isinstance(value, str):
        return f'"{_shortened(_escaped(value))}"'
    if isinstance(value, int) and abs(value) >= 10**30:
        return "a number of more than 30 digits"
    return _shortened(_escaped(str(value)))


def first_of(words: Sequence[str], most: int, *, between: str = ", ") -> str:
    """The first of many on one line, and how many more there are.

    between: what parts them; after a semicolon the count is parted in the same way.
    """
    rest = len(words) - most
    before = between if between.startswith(";") else " "
    return between.join(words[:most]) + (f"{before}and {rest} more" if rest > 0 else "")


def dotted(path: Place) -> str:
    """Return a path as people write it: ``surfaces.wing.stations[2].chord``."""
    words = ""
    for part in path:
        if isinstance(part, int):
            words += f"[{part}]"
        else:
            name = _shortened(_escaped(part))
            words += f".{name}" if words else name
    return words


def read_text(path: Path, *, shown: str, most: int = MOST_TEXT_BYTES) -> str:
    r"""Read a UTF-8 text file, with line ends as ``\n`` and without a byte order mark.

    Raises:
        BadInput: missing, not a file, too large, not UTF-8, or holding characters that do not show.
    """
    raw = _bytes_of(path, shown=shown, most=most)
    text = _decoded(raw, shown=shown).replace("\r\n", "\n").replace("\r", "\n")
    problems = list(unseen_problems(text, shown=shown, first_line=1))
    if problems:
        raise BadInput(problems[:_MOST_PROBLEMS])
    return text


_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")


def _bytes_of(path: Path, *, shown: str, most: int) -> bytes:
    """Return the content; the size is looked up first, so a huge file is never read."""
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise _bad(shown, 0, "is a folder, not a file")
        if not stat.S_ISREG(status.st_mode):
            raise _bad(shown, 0, "is not an ordinary file")
        if status.st_size > most:
            size = f"{status.st_size / 2**20:.3g} MiB"
            raise _bad(shown, 0, f"is too large: {size}", f"at most {most / 2**20:g} MiB")
        with path.open("rb") as stream:
            return stream.read(most)
    except FileNotFoundError:
        raise _bad(shown, 0, "the file is missing") from None
    except PermissionError:
        raise _bad(shown, 0, "the file may not be read: its permissions forbid it") from None
    except (OSError, ValueError):
        raise _bad(shown, 0, "the file cannot be read") from None


def _decoded(raw: bytes, *, shown: str) -> str:
    if raw.startswith(_UTF16_MARKS):
        raise _bad(shown, 1, "the file is written in UTF-16", "text saved as UTF-8")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # The decoder counts from after a byte order mark; the author's editor does not.
        offset = error.start + (3 if raw.startswith(b"\xef\xbb\xbf") else 0)
        line = len(re.findall(rb"\r\n|\r|\n", raw[:offset])) + 1
        wrong = f"byte {offset} (0x{raw[offset]:02x}) is not UTF-8"
        raise _bad(shown, line, wrong, "text saved as UTF-8") from None


def unseen_problems(text: str, *, shown: str, first_line: int) -> Iterator[Problem]:
    """Give one problem for each line with characters that do not show."""
    if not UNSEEN.search(text):
        return
    for number, line in enumerate(text.split("\n"), first_line):
        if found := UNSEEN.search(line):
            yield Problem(shown, number, "", unseen_words(found.group()), "text that shows")


def unseen_words(character: str) -> str:
    """Say what is wrong with a character of :data:`UNSEEN`."""
    code = f"U+{ord(character):04X}"
    if "\u202a" <= character <= "\u202e" or "\u2066" <= character <= "\u2069":
        return f"the character {code} turns the direction of the text"
    return f"the character {code} does not show"


def _escaped(text: str) -> str:
    return "".join(
        char
        if char.isprintable()
        else (f"\\x{ord(char):02x}" if ord(char) < 256 else f"\\u{ord(char):04x}")
        for char in text[:200]
    )


def _shortened(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"


def _bad(shown: str, line: int, wrong: str, allowed: str = "") -> BadInput:
    return BadInput([Problem(shown, line, "", wrong, allowed)])
