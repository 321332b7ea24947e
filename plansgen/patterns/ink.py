"""What a printed page is made of, in millimetres from its lower left corner, y up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from plansgen.patterns import typeface

Points = Sequence[tuple[float, float]]
Align = Literal["left", "center", "right"]


@dataclass(frozen=True)
class Stroke:
    """A line: its points, width, dashes and gaps in turn, and grey from 0 (black) to 1. [mm]"""

    points: Points
    width: float
    dash: tuple[float, ...] = ()
    closed: bool = False
    grey: float = 0.0


@dataclass(frozen=True)
class Fill:
    """A filled polygon; grey from 0 (black) to 1 (white)."""

    points: Points
    grey: float


@dataclass(frozen=True)
class Words:
    """One line of lettering: its baseline's anchor, angle [degrees] and height of capitals. [mm]"""

    x: float
    y: float
    text: str
    height: float = 2.5
    angle: float = 0.0
    align: Align = "left"
    bold: bool = False

    @property
    def box(self) -> list[tuple[float, float]]:
        """The four corners of the room it takes. [mm]"""
        wide = typeface.width(self.text, self.height, bold=self.bold)
        start = {"left": 0.0, "center": -wide / 2, "right": -wide}[self.align]
        low, high = -0.33 * self.height, 1.1 * self.height
        cos, sin = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        corners = ((start, low), (start + wide, low), (start + wide, high), (start, high))
        return [(self.x + u * cos - v * sin, self.y + u * sin + v * cos) for u, v in corners]


Item = Stroke | Fill | Words


def moved(item: Item, x: float, y: float) -> Item:
    """The item so far to the right and up. [mm]"""
    if isinstance(item, Words):
        return replace(item, x=item.x + x, y=item.y + y)
    return replace(item, points=tuple((px + x, py + y) for px, py in item.points))


@dataclass(frozen=True)
class Page:
    """A page of its true size [mm], drawn in the order of its items; a title for bookmarks."""

    width: float
    height: float
    items: tuple[Item, ...]
    title: str = ""
