"""Seams: which edges of flat parts meet, and what each part becomes when it is put together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from plansgen.patterns.flat import Outline, length

SeamKind = Literal["butt", "edge", "inside", "hinge", "stick"]
"""Butt: edge to edge; edge: folded together; inside: an edge on a face; stick: along a stick."""


@dataclass(frozen=True)
class EdgeRef:
    """An edge of a part, or a line on it, that meets another.

    part: its key; for a stick, its key in the cut list. name: in words. points: in the part's axes,
    in order [m]. allowance: by how much that edge is longer where it meets the other, because sheet
    has thickness; below 0 shorter [m].
    """

    part: str
    name: str
    points: Outline
    allowance: float = 0.0

    @property
    def length(self) -> float:
        """Where it meets the other. [m]"""
        return length(self.points) + self.allowance


@dataclass(frozen=True)
class Seam:
    """Two edges that meet. by_hand: why they are trimmed on the bench; empty: they must agree."""

    name: str
    a: EdgeRef
    b: EdgeRef
    kind: SeamKind
    by_hand: str = ""

    @property
    def gap(self) -> float:
        """By how much the first is longer than the second. [m]"""
        return self.a.length - self.b.length


@dataclass(frozen=True)
class Refold:
    """A flat part folded or rolled back to the solid.

    off: greatest distance of its outline and corners from the solid [m]. twist: how far the sheet
    must be twisted by hand so that it is no further off [m]. stretch: greatest share by which it
    must give.
    """

    part: str
    off: float
    twist: float = 0.0
    stretch: float = 0.0


@dataclass(frozen=True)
class SlotFit:
    """A slot and what goes through it. [m]"""

    part: str
    through: str
    slot: float
    thickness: float
    height: float
    needed: float
