"""The build step that a part is used in, from what the steps say goes in."""

from __future__ import annotations

import re
from collections.abc import Iterator

from plansgen.library.design import Design

_NOISE = frozenset(
    (
        *("a", "an", "and", "at", "for", "from", "half", "in", "mm", "of", "on", "one", "or"),
        *("port", "starboard", "the", "to", "two", "three", "four", "with", "x"),
    )
)
_RANGE = re.compile(r"\b([a-z]+)([0-9]+) to \1([0-9]+)\b")
_LONGEST_RANGE = 100


def step_of(design: Design, key: str, name: str) -> str:
    """Key of the step whose list of parts names a part best; empty when none does.

    A line names a part when all words of the part's name up to the first comma are in it, in
    singular or plural; sizes do not count. A part with a mark, such as R5, is named by its mark,
    also within "R1 to R14". Among several lines the one that shares most words with the name wins,
    then the one that names, in itself or in the step's title, what the part belongs to, then the
    first.

    Args:
        design: With its steps.
        key: Of the part, which begins with what it belongs to.
        name: Of the part.
    """
    core, own = _core(name), _words(name)
    owner = _words(key.replace("-", " ")) - own
    best, found = (0, 0), ""
    for step in design.steps:
        title = _words(step.head.title)
        for line in step.head.parts:
            said = _words(line)
            score = (len(own & said), len(owner & (said | title)))
            if core and core <= said and (not found or score > best):
                best, found = score, step.key
    return found


def _core(name: str) -> frozenset[str]:
    """Words that a line must have to name a part: its mark, or its name without what follows."""
    words = _words(name.split(",")[0])
    marks = frozenset(word for word in words if word[-1].isdigit())
    return marks if len(marks) == 1 else words


def _words(text: str) -> frozenset[str]:
    """Words that tell parts apart, in the singular, without sizes."""
    return frozenset(_singular(word) for word in _all_words(text.lower()) if word not in _NOISE)


def _all_words(text: str) -> Iterator[str]:
    yield from re.findall(r"\b[a-z]+[0-9]*\b", text)
    for letters, first, last in _RANGE.findall(text):
        for number in range(int(first), min(int(last), int(first) + _LONGEST_RANGE) + 1):
            yield f"{letters}{number}"


def _singular(word: str) -> str:
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word
