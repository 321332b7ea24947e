"""The inside of a body: its outside less the thickness of the sheets it is made of.

A sheet lies along a profile, a line of height (or half width) over x. Its inner face is the
parallel line at its thickness, mitred where the profile bends.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from plansgen.airframe.bodies import FramePoint
from plansgen.airframe.build import BodyPart
from plansgen.library.models import Part
from plansgen.library.tables import Material

Chain = tuple[tuple[float, float], ...]
"""A profile: x and height, or x and half width, x rising. [m]"""

STEP = 0.002
"""Two frames no further apart than this make a step where a face jumps between them. [m]"""

LEAST = 1e-3
"""Nothing inside is narrower than this. [m]"""


@dataclass(frozen=True)
class Walls:
    """Thickness of all layers of each face of a body. [m]"""

    sides: float = 0.0
    top: float = 0.0
    bottom: float = 0.0
    front: float = 0.0
    rear: float = 0.0


NO_WALLS = Walls()


@dataclass(frozen=True)
class Room:
    """The inside of a body at one place along it. [m]

    x, y: of its middle. low, high: its floor and its ceiling. half: of its width, to one side.
    """

    x: float
    y: float
    low: float
    high: float
    half: float
    round: bool = False

    @property
    def height(self) -> float:
        """From floor to ceiling. [m]"""
        return self.high - self.low

    @property
    def area(self) -> float:
        """Of the opening. [m²]"""
        return 2 * self.half * self.height * (math.pi / 4 if self.round else 1.0)


def is_sheet(material: Material) -> bool:
    """Whether a cover of it has a thickness that others must make room for."""
    return material.kind == "sheet" and bool(material.thickness)


def walls_of(parts: Sequence[Part], materials: Mapping[str, Material]) -> Walls:
    """Thickness of each face, all layers together; films and tapes count for nothing.

    Nor do the covers of a wing or tail, which has no such faces.
    """
    found = dict.fromkeys(("sides", "top", "bottom", "front", "rear"), 0.0)
    for part in parts:
        material = materials[part.material]
        if part.cover not in (*found, "all") or not is_sheet(material):
            continue
        for face in found if part.cover == "all" else found.keys() & {part.cover}:
            found[face] += part.count * float(material.thickness or 0.0)
    return Walls(**found)


def profile(frames: Sequence[FramePoint], face: str) -> Chain:
    """The outside of a face over x: half width of the sides, height of top or bottom. [m]"""
    if face == "sides":
        return tuple((f.x, f.width / 2) for f in frames)
    sign = 1.0 if face == "top" else -1.0
    return tuple((f.x, f.z + sign * f.height / 2) for f in frames)


def pieces(chain: Chain) -> tuple[Chain, ...]:
    """A profile parted at its steps; the piece ahead of a step runs straight on to it."""
    found: list[list[tuple[float, float]]] = [[chain[0]]]
    for (x0, v0), (x1, v1) in pairwise(chain):
        if x1 - x0 <= STEP and abs(v1 - v0) > x1 - x0:
            found[-1].append((x1, _beyond(found[-1], x1)))
            found.append([])
        found[-1].append((x1, v1))
    if len(found[-1]) == 1:  # a step at the very end
        found.pop()
    return tuple(tuple(piece) for piece in found)


def _beyond(piece: Sequence[tuple[float, float]], x: float) -> float:
    if len(piece) < 2:
        return piece[-1][1]
    (x0, v0), (x1, v1) = piece[-2:]
    return v1 + (v1 - v0) / (x1 - x0) * (x - x1)


def parallel(chain: Chain, by: float) -> Chain:
    """The parallel line of a profile, mitred at its bends, between the same ends. [m]

    Args:
        chain: The profile, without steps.
        by: Distance, positive upwards. [m]
    """
    lines: list[tuple[float, float]] = []  # height at x = 0 and slope, of each stretch
    kinks: list[float] = []
    for (x0, v0), (x1, v1) in pairwise(chain):
        slope = (v1 - v0) / (x1 - x0)
        line = (v0 - slope * x0 + by * math.hypot(1.0, slope), slope)
        if lines and abs(lines[-1][1] - slope) < 1e-12:
            continue
        while lines:
            kink = (line[0] - lines[-1][0]) / (lines[-1][1] - slope)
            if not kinks or kink > kinks[-1]:
                kinks.append(kink)
                break
            lines.pop()  # a stretch shorter than the mitre takes is gone
            kinks.pop()
            if abs(lines[-1][1] - slope) < 1e-12:
                break
        lines.append(line)
    start, end = chain[0][0], chain[-1][0]
    found = [(start, lines[0][0] + lines[0][1] * start)]
    for x, (height, slope) in zip(kinks, lines[1:], strict=False):
        if start < x < end:
            found.append((x, height + slope * x))
    return (*found, (end, lines[-1][0] + lines[-1][1] * end))


def value(chain: Chain, x: float) -> float:
    """Height of a profile at x, straight on beyond its ends. [m]"""
    for (x0, v0), (x1, v1) in pairwise(chain):
        if x <= x1 and x1 > x0:
            return v0 + (v1 - v0) / (x1 - x0) * (x - x0)
    return _beyond(chain, x)


def inner(frames: Sequence[FramePoint], face: str, wall: float) -> tuple[Chain, ...]:
    """The inner face of a wall, parted at steps. [m]"""
    inward = wall if face == "bottom" else -wall
    return tuple(parallel(piece, inward) for piece in pieces(profile(frames, face)))


def room_at(body: BodyPart, x: float, walls: Walls, *, deep: float = 0.0) -> Room:
    """The inside of a body at x, so that something so deep goes in. [m]

    Args:
        body: One body, or the starboard one of a pair.
        x: Of its front face, from the datum. [m]
        walls: Of the body.
        deep: How far it reaches aft of that; the narrower of both faces counts. [m]
    """

    def face(name: str, wall: float) -> list[float]:
        lines = inner(body.frames, name, wall)
        return [value(_piece_at(lines, place), place) for place in (x, x + deep)]

    half = max(min(face("sides", walls.sides)), LEAST / 2)
    low, high = max(face("bottom", walls.bottom)), min(face("top", walls.top))
    if high - low < LEAST:
        low, high = (low + high - LEAST) / 2, (low + high + LEAST) / 2
    return Room(x, body.frames[0].y, low, high, half, body.shape == "round")


def _piece_at(lines: Sequence[Chain], x: float) -> Chain:
    return next((line for line in lines if x < line[-1][0]), lines[-1])
