"""Everything that the program knows is left to hand and eye, whatever the drawings say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plansgen.library.text import first_of
from plansgen.patterns.fit import hand_work_of
from plansgen.patterns.flat import FlatPart
from plansgen.patterns.result import PatternSet

_MOST = 4  # names in one sentence
_OPEN = ("Openings are not drawn", "where it is open is not given")


def left_to_hand(patterns: PatternSet) -> tuple[str, ...]:
    """What is trimmed, twisted, sanded or cut at the bench, in sentences."""
    names = patterns.names
    found = [*hand_work_of(patterns.fit, names)]
    found += [words for words in patterns.not_drawn if "trimmed" in words]
    found += [f"{words}: mark and cut it by hand" for words in patterns.misplaced]
    parts = patterns.parts
    sanded = [part for part in parts if "sanded from" in part.note]
    found += _said(sanded, "glued up from layers and sanded to size")
    undrawn = [part for part in parts if any(words in part.note for words in _OPEN)]
    found += _said(undrawn, "drawn whole; what is cut out of it is left to the steps")
    bevelled = [part for part in parts if any(line.kind == "bevel" for line in part.lines)]
    found += _said(bevelled, "bevelled by eye and sanding block; the line shows how far")
    marked = [part for part in parts if any("cut to fit" in line.label for line in part.lines)]
    found += _said(marked, "cut to fit round what passes through it")
    return tuple(found)


def _said(parts: Sequence[FlatPart], words: str) -> Iterator[str]:
    if parts:
        names = list(dict.fromkeys(part.name for part in parts))
        yield f"{first_of(names, _MOST)}: {words}"
