"""How each operation is drawn: by dashes, ticks, hatching and words, never by colour alone.

Line widths and dash lengths after ISO 128-2 (from memory): wide to narrow as 2 to 1, a dash of 12
and a gap of 3 line widths, a dot of half a width. A fold towards the reader has one dot between its
dashes, a fold away from the reader two, as paper folders draw them the world over.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from plansgen.patterns.flat import LineKind, PatternLine

WIDE = 0.35
"""Width of a wide line. [mm]"""
NARROW = 0.18
"""Width of a narrow line. [mm]"""


@dataclass(frozen=True)
class Look:
    """How an operation is drawn.

    Attributes:
        layer: Name of its layer in files for cutters, also its class in SVG.
        width: Line width. [mm]
        dash: Dashes and gaps in turn, empty for a continuous line. [mm]
        colour: In files for cutters, a second help for the eye, ``#rrggbb``.
        index: Colour number in DXF files.
        meaning: What the builder does, for the key.
        ticks: Whether short strokes stand across the line.
        crosses: Whether small crosses stand at its ends.
        hatched: Whether the area inside a closed line is hatched.
    """

    layer: str
    width: float
    dash: tuple[float, ...]
    colour: str
    index: int
    meaning: str
    ticks: bool = False
    crosses: bool = False
    hatched: bool = False


LOOKS: Mapping[LineKind, Look] = MappingProxyType(
    {
        "cut": Look("cut", WIDE, (), "#161b21", 7, "cut right through"),
        "score": Look("score", NARROW, (4.0, 1.5), "#1b5a96", 5, "cut half through"),
        "fold up": Look("fold-up", NARROW, (6.0, 1.2, 0.3, 1.2), "#28663f", 3, "fold towards you"),
        "fold down": Look(
            "fold-down", NARROW, (6.0, 1.2, 0.3, 1.2, 0.3, 1.2), "#825400", 30, "fold away from you"
        ),
        "bevel": Look("bevel", NARROW, (), "#8a1f6a", 6, "slope the edge as marked", ticks=True),
        "hinge": Look("hinge", WIDE, (0.5, 1.4), "#b1221b", 1, "hinge line"),
        "glue": Look("glue", NARROW, (0.3, 1.0), "#5c6773", 8, "glue here", hatched=True),
        "mark": Look("mark", NARROW, (), "#424c57", 9, "mark, do not cut", crosses=True),
    }
)
"""The look of each kind of line."""

SILENT: tuple[LineKind, ...] = ("cut", "mark")
"""Kinds whose lines carry no words of their own."""


def words_for(line: PatternLine) -> str:
    """What stands beside a line: its label, and its kind where the label does not say it."""
    label = line.label.strip()
    if line.kind in SILENT or line.kind in label.lower():
        return label
    return f"{line.kind} {label}".strip()
