"""Flat parts: what a builder cuts from a sheet, with every line and word on it.

Lengths in metres, plane coordinates x, y with y up, outlines counter-clockwise as drawn.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Literal

from shapely import Polygon
from shapely.validation import explain_validity

from plansgen.balance.drawn import Drawn

LineKind = Literal["cut", "score", "fold up", "fold down", "bevel", "hinge", "glue", "mark"]
Point = tuple[float, float]
Outline = tuple[Point, ...]

SMALLEST = 1e-4
"""Nothing smaller than this can be cut by hand or by machine. [m]"""


@dataclass(frozen=True)
class PatternLine:
    """An operation along a line inside, or on the edge of, a part."""

    kind: LineKind
    points: Outline
    closed: bool = False
    label: str = ""


@dataclass(frozen=True)
class Label:
    """A word on a part: its middle, its angle [rad] and the height of its letters. [m]"""

    x: float
    y: float
    text: str
    angle: float = 0.0
    size: float = 0.003


@dataclass(frozen=True)
class FlatPart:
    """A part cut from flat sheet.

    Attributes:
        key: Stable id of small letters, digits and hyphens.
        name: What a builder calls it.
        material: Id of the material.
        thickness: Of the sheet. [m]
        outline: Outer boundary, closed without repeating the first point. [m]
        holes: Openings inside it, each like the outline. [m]
        lines: Operations along lines.
        labels: Words on the part.
        count: How many as drawn.
        mirrored: How many more as mirror images (port and starboard).
        hand: ``starboard`` or ``port`` as drawn, when its mirror images are the other side's.
        grain: Angle of the grain or the flutes in the part's axes; None for any. [rad]
        step: Key of the build step it is used in.
        stuff: What a builder calls the material; left out: its id.
        used: The build step in words, its number first.
        note: A remark for the builder.
        drawn: Which parts of the design it is, and what each weighs and where.
    """

    key: str
    name: str
    material: str
    thickness: float
    outline: Outline
    holes: tuple[Outline, ...] = ()
    lines: tuple[PatternLine, ...] = ()
    labels: tuple[Label, ...] = ()
    count: int = 1
    mirrored: int = 0
    hand: Literal["", "port", "starboard"] = ""
    grain: float | None = None
    step: str = ""
    stuff: str = ""
    used: str = ""
    note: str = ""
    drawn: tuple[Drawn, ...] = field(default=(), compare=False, repr=False)

    @property
    def polygon(self) -> Polygon:
        """The part's surface with its holes, for geometry. [m]"""
        return Polygon(self.outline, self.holes)

    @property
    def area(self) -> float:
        """Of one part, without its holes. [m²]"""
        return abs(signed_area(self.outline)) - sum(abs(signed_area(h)) for h in self.holes)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y. [m]"""
        return bounds(self.outline)

    @property
    def pieces(self) -> int:
        """All copies, as drawn and mirrored."""
        return self.count + self.mirrored


def signed_area(outline: Outline) -> float:
    """Area inside a closed outline, negative when it runs clockwise. [m²]"""
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in _edges(outline)) / 2


def bounds(outline: Iterable[Point]) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y. [m]"""
    xs, ys = zip(*outline, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def length(points: Outline, *, closed: bool = False) -> float:
    """Length along a line. [m]"""
    edges = _edges(points) if closed else pairwise(points)
    return sum(math.dist(a, b) for a, b in edges)


def lengths_by_kind(part: FlatPart) -> dict[LineKind, float]:
    """How far a builder's tool goes along one part, by kind of line. [m]

    The outline and the holes are cut; everything else is counted as its line says.
    """
    total: dict[LineKind, float] = {
        "cut": sum(length(edge, closed=True) for edge in (part.outline, *part.holes))
    }
    for line in part.lines:
        way = length(line.points, closed=line.closed)
        total[line.kind] = total.get(line.kind, 0.0) + way
    return total


def placed(
    points: Iterable[Point],
    *,
    x: float = 0.0,
    y: float = 0.0,
    angle: float = 0.0,
    flip: bool = False,
) -> Outline:
    """Points mirrored about the y axis if asked, then rotated, then moved.

    Args:
        points: In the part's axes. [m]
        x: Where the part's origin comes to lie. [m]
        y: Where the part's origin comes to lie. [m]
        angle: Rotation, counter-clockwise; quarter turns are exact. [rad]
        flip: Mirror first: x becomes -x.

    Returns:
        The points in the sheet's axes, in the same order.
    """
    cos, sin = _turn(angle)
    side = -1.0 if flip else 1.0
    return tuple(
        (x + side * px * cos - py * sin, y + side * px * sin + py * cos) for px, py in points
    )


def mirrored(part: FlatPart) -> FlatPart:
    """The part for the other side: its mirror image about the y axis.

    Outlines run counter-clockwise again. A fold towards the reader stays one, because the mirror
    stands upright on the sheet; so a port skin becomes a starboard skin. Counts are kept: the
    drawing changes, not the shopping.
    """
    return _moved(part, angle=0.0, flip=True)


def rotated(part: FlatPart, angle: float) -> FlatPart:
    """The part turned about its origin, counter-clockwise; its grain turns with it. [rad]"""
    return _moved(part, angle=angle, flip=False)


def faults(part: FlatPart) -> list[str]:
    """What makes a part impossible to cut, in words; empty when nothing does."""
    found = _plain_faults(part)
    for name, outline in (("outline", part.outline), *(("hole", hole) for hole in part.holes)):
        fault = outline_fault(outline)
        if fault:
            found.append(f"{part.name}: the {name} {fault}")
    if found:
        return found
    if part.holes and not part.polygon.is_valid:
        return [f"{part.name}: holes overlap or cross the outline"]
    return []


def outline_fault(outline: Outline) -> str:
    """Why no part can be cut along a closed outline; empty when it can.

    The direction is not judged: either is cut the same.
    """
    if not all(math.isfinite(value) for point in outline for value in point):
        return "has a coordinate that is not a number"
    if len(outline) < 3:
        return "has fewer than three points"
    if outline[0] == outline[-1]:
        return "repeats its first point at its end"
    if any(a == b for a, b in pairwise(outline)):
        return "has the same point twice in a row"
    west, south, east, north = bounds(outline)
    if min(east - west, north - south) < SMALLEST:
        return "has no area"
    polygon = Polygon(outline)
    if not polygon.is_valid:
        reason = explain_validity(polygon).split("[")[0].strip().lower()
        return f"crosses or touches itself ({reason})"
    return "has no area" if abs(signed_area(outline)) < SMALLEST**2 else ""


def _plain_faults(part: FlatPart) -> list[str]:
    found = []
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", part.key):
        found.append(f"{part.name}: the key {part.key!r} is not small letters, digits and hyphens")
    if not (math.isfinite(part.thickness) and part.thickness > 0):
        found.append(f"{part.name}: the thickness must be more than nothing")
    if min(part.count, part.mirrored) < 0 or part.pieces < 1:
        found.append(f"{part.name}: there must be at least one of it")
    if part.grain is not None and not math.isfinite(part.grain):
        found.append(f"{part.name}: the grain's angle is not a number")
    return found


def _edges(outline: Outline) -> Iterable[tuple[Point, Point]]:
    return zip(outline, outline[1:] + outline[:1], strict=True)


def _turn(angle: float) -> tuple[float, float]:
    """Cosine and sine, exact for quarter turns."""
    quarters = angle / (math.pi / 2)
    if abs(quarters - round(quarters)) < 1e-12:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    return math.cos(angle), math.sin(angle)


def _moved(part: FlatPart, *, angle: float, flip: bool) -> FlatPart:
    def move(points: Outline) -> Outline:
        return placed(points, angle=angle, flip=flip)

    def edge(points: Outline) -> Outline:
        moved = move(points)
        return (moved[0], *moved[:0:-1]) if flip else moved

    def direction(old: float) -> float:
        return (math.pi - old if flip else old) + angle

    def line(old: PatternLine) -> PatternLine:
        return replace(old, points=move(old.points))

    def label(old: Label) -> Label:
        ((x, y),) = move(((old.x, old.y),))
        # The line a word stands on is mirrored, the word itself stays readable.
        return replace(old, x=x, y=y, angle=(-old.angle if flip else old.angle) + angle)

    return replace(
        part,
        outline=edge(part.outline),
        holes=tuple(edge(hole) for hole in part.holes),
        lines=tuple(line(old) for old in part.lines),
        labels=tuple(label(old) for old in part.labels),
        grain=None if part.grain is None else direction(part.grain),
    )
