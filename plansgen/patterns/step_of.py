"""The build step that a part is used in, from what the steps say goes in."""

from __future__ import annotations

import re

from plansgen.library.design import Design

_NOISE = frozenset(
    "a an and at by each for from half in into it its long mm no of on one or over piece pieces "
    "port side starboard strips the to two three four five six twelve up with x".split()
)


def step_of(design: Design, key: str, name: str) -> str:
    """Key of the step whose list of parts names a part best; empty when none does.

    A line names a part when it has a word of the part's name in it and all words of the one are
    in the other, what the part belongs to counted in. Among several the one that shares most
    words wins, then the first step.

    Args:
        design: With its steps.
        key: Of the part, which begins with what it belongs to.
        name: Of the part.
    """
    own = _words(name)
    whole = own | _words(key.replace("-", " "))
    best, found = (0, 0), ""
    for step in design.steps:
        for line in step.head.parts:
            said = _words(line)
            if own & said and (own <= said or said <= whole):
                score = (len(whole & said), -len(said - whole))
                if not found or score > best:
                    best, found = score, step.key
    return found


def _words(text: str) -> frozenset[str]:
    """Words that tell parts apart, in the singular, without sizes."""
    words = re.findall(r"[a-z]+[0-9]*", text.lower())
    return frozenset(_singular(word) for word in words if word not in _NOISE)


def _singular(word: str) -> str:
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word
