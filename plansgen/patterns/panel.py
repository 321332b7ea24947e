"""Layers of sheet on a body, the flat panels made of them, and the lines where they bend."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from shapely import LineString, Polygon

from plansgen.airframe.build import BodyPart
from plansgen.airframe.inside import STEP, is_sheet
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns.allowance import SCORE_ONLY, SQUARE_GROOVE, groove_width
from plansgen.patterns.flat import FlatPart, LineKind, Outline, PatternLine
from plansgen.patterns.unrolled import NO_BEND, Bend, Pose, Unrolled

Face = Literal["starboard", "top", "bottom", "front", "rear", "step"]

SHORT = 0.002
"""A panel or a step less than this is none. [m]"""

_COVERED: dict[str, tuple[Face, ...]] = {
    "sides": ("starboard",),
    "top": ("top",),
    "bottom": ("bottom",),
    "front": ("front",),
    "rear": ("rear",),
    "all": ("starboard", "top", "bottom", "front", "rear"),
}
_WALL: dict[Face, str] = {"starboard": "sides", "step": "bottom"}


def wall_name(face: Face) -> str:
    """The face of a body that a panel lies on, as :class:`Walls` calls it."""
    return _WALL.get(face, face)


@dataclass(frozen=True)
class Layer:
    """One layer of sheet on one face. number: 0 is outside. depth: of its outside. [m]

    index: place of the part in the list of the body's.
    """

    part: Part
    index: int
    face: Face
    number: int
    depth: float
    thickness: float


@dataclass(frozen=True, eq=False)
class Panel:
    """A flat part and where it stands in the body.

    edges: parts of the outline that meet others, by name. start, end: along the body. [m]
    """

    part: FlatPart
    body: BodyPart
    layer: Layer
    pose: Pose
    start: float
    end: float
    sheet: Unrolled | None = None
    edges: Mapping[str, Outline] = field(default_factory=dict)

    @property
    def face(self) -> Face:
        """Which face of the body it is."""
        return self.layer.face

    @property
    def polygon(self) -> Polygon:
        """Its outline without holes. [m]"""
        return Polygon(self.part.outline)


def layers_of(parts: Sequence[Part], materials: Mapping[str, Material]) -> list[Layer]:
    """Layers of sheet of a body; where a face has several the first in the file is outside."""
    found: list[Layer] = []
    for index, part in enumerate(parts):
        material = materials[part.material]
        if part.cover is None or not is_sheet(material):
            continue
        thickness = float(material.thickness or 0.0)
        for face in _COVERED[part.cover]:
            for _ in range(part.count):
                under = [layer for layer in found if layer.face == face]
                depth = sum(layer.thickness for layer in under)
                found.append(Layer(part, index, face, len(under), depth, thickness))
    return found


def title_of(layer: Layer, number: int, many: int) -> str:
    """What a builder calls a panel; number: of the piece, from 0, where a face has many."""
    name = layer.part.name
    face = {"starboard": "side"}.get(layer.face, layer.face)
    if layer.part.cover == "all":
        name = f"{name}, {face}"
    if layer.part.count > 1:
        name = f"{name}, layer {layer.number + 1}"
    if many > 1:
        name = f"{name}, piece {number + 1} of {many}"
    return name


def share_note(part: Part) -> str:
    """What to know of a cover that is not all there: nobody says where it is open."""
    if part.share == 1.0:
        return ""
    return (
        f"The whole panel is drawn. The design counts {part.share * 100:.0f} % of it; where it is "
        "open is not given, so cut that out by the steps."
    )


def bend_words(bend: Bend, thickness: float) -> str:
    """What a builder does at a bend."""
    way = "up" if bend.angle > 0 else "down"
    words = f"fold {way} {math.degrees(abs(bend.angle)):.1f}°"
    if SCORE_ONLY < abs(bend.angle) <= SQUARE_GROOVE:
        width = groove_width(angle=abs(bend.angle), thickness=thickness)
        words += f", groove {width * 1000:.1f} wide"
    return words if bend.angle > 0 else f"{words}: score the outside"


def bend_lines(panel: Panel) -> list[PatternLine]:
    """Where a panel is scored or folded, with the angle and the place along the body."""
    sheet, found = panel.sheet, []
    assert sheet is not None  # only faces along the body come here
    _, south, _, north = panel.polygon.bounds
    for bend in _together(sheet.bends):
        if abs(bend.angle) < NO_BEND:
            continue
        way = LineString([(bend.s, south - 1.0), (bend.s, north + 1.0)])
        cut = way.intersection(panel.polygon)
        if cut.is_empty or cut.length < SHORT:
            continue
        points = tuple((float(x), float(y)) for x, y in sorted(_ends(cut)))
        station = bend.x - panel.body.origin[0]
        words = f"{bend_words(bend, panel.layer.thickness)} at {station * 1000:.0f} mm"
        found.append(PatternLine(_bend_kind(bend), points, label=words))
    return found


def _bend_kind(bend: Bend) -> LineKind:
    if bend.angle < 0:
        return "fold down"
    return "score" if bend.angle <= SCORE_ONLY else "fold up"


def _together(bends: Sequence[Bend]) -> list[Bend]:
    """Bends at frames so near to each other that a builder makes one of them."""
    found: list[Bend] = []
    for bend in bends:
        if found and bend.x - found[-1].x <= STEP:
            angle = bend.angle + found[-1].angle
            found[-1] = replace(found[-1], angle=angle)
        else:
            found.append(bend)
    return found


def _ends(cut: object) -> list[tuple[float, float]]:
    west, south, east, north = cut.bounds  # type: ignore[attr-defined]
    return [(west, south), (east, north)]
