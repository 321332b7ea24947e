"""The parts in their places, put together and pulled apart, each with its number in a balloon."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

import numpy as np
from markupsafe import Markup
from shapely import Point as Spot
from shapely import STRtree

from plansgen.patterns.flat import Outline
from plansgen.patterns.iso import IsoFace, hull_of, isometric, number_places, solid_faces
from plansgen.patterns.result import PatternSet
from plansgen.patterns.typeface import clean
from plansgen.site.balloon_places import balloon_places
from plansgen.site.pattern_figures import px

_GAP = 0.06  # how far one gap is, as a share of the longest side
_TOGETHER, _APART = 480.0, 760.0  # longer sides of the pictures [px]
_BALLOON = 11.0  # radius [px]
_ROOM = 46.0  # around the parts for balloons [px]
_CLEAR = 5.0  # between a balloon and the parts [px]


@dataclass(frozen=True)
class WholeFigure:
    """Both pictures, and what the second one says in words.

    numbered: keys of the parts that have a balloon. hidden: of those, the ones that lie behind
    others. absent: keys of the parts whose place is not known.
    """

    together: Markup
    apart: Markup
    numbered: tuple[str, ...]
    hidden: frozenset[str]
    absent: tuple[str, ...]


def whole_figure(patterns: PatternSet, *, name: str) -> WholeFigure | None:
    """The parts in their places; nothing when the place of none is known.

    Args:
        patterns: All parts; their numbers are their places in it, from 1.
        name: Of the design.
    """
    faces = [*solid_faces(patterns.bodies), *patterns.faces]
    if not faces:
        return None
    size = float(np.ptp(np.concatenate([face.outline for face in faces]), axis=0).max())
    apart = isometric(faces, explode=_GAP * size)
    places = number_places(apart)
    numbers = {part.key: n for n, part in enumerate(patterns.parts, 1) if part.key in places}
    seen = "seen from ahead, from starboard and from above"
    return WholeFigure(
        together=_Drawing(isometric(faces), _TOGETHER, 4.0).svg(f"{name} put together, {seen}."),
        apart=_Drawing(apart, _APART, _ROOM).svg(
            f"{name} pulled apart, {seen}; {len(numbers)} parts have their number, "
            "the list below names them.",
            {number: places[key][:2] for key, number in numbers.items()},
        ),
        numbered=tuple(numbers),
        hidden=frozenset(key for key in numbers if not places[key][2]),
        absent=tuple(part.key for part in patterns.parts if part.key not in places),
    )


class _Drawing:
    """Faces on a picture: metres upwards become pixels downwards."""

    def __init__(self, faces: Sequence[IsoFace], longest: float, room: float) -> None:
        self.faces = faces
        west, south, east, north = hull_of(faces)
        self.scale = (longest - 2 * room) / max(east - west, north - south)
        self.west, self.north, self.room = west, north, room
        self.wide = self.scale * (east - west) + 2 * room
        self.high = self.scale * (north - south) + 2 * room

    def place(self, x: float, y: float) -> tuple[float, float]:
        return (
            self.scale * (x - self.west) + self.room,
            self.scale * (self.north - y) + self.room,
        )

    def svg(self, alt: str, numbers: Mapping[int, tuple[float, float]] | None = None) -> Markup:
        paths = "".join(self._face(face) for face in self.faces)
        return Markup(
            f'<svg class="pg-iso{" pg-apart" if numbers else ""}" '
            f'viewBox="0 0 {px(self.wide)} {px(self.high)}" '
            f'width="{round(self.wide)}" height="{round(self.high)}" role="img" '
            f"aria-label={quoteattr(clean(alt))}>{paths}{self._balloons(numbers or {})}</svg>"
        )

    def _ring(self, points: Outline) -> str:
        spots = dict.fromkeys(self._text(point) for point in points)
        return f"M{'L'.join(spots)}Z"

    def _text(self, point: tuple[float, float]) -> str:
        x, y = self.place(*point)
        return f"{px(x)} {px(y)}"

    def _face(self, face: IsoFace) -> str:
        kind = min(3, int(4 * face.shade))
        rings = "".join(map(self._ring, (face.outline, *face.holes)))
        if not face.soft:
            return f'<path class="pg-face-{kind}" d="{rings}"/>'
        count = len(face.outline)
        sides = "".join(
            f"M{self._text(face.outline[n])}L{self._text(face.outline[(n + 1) % count])}"
            for n in range(count)
            if n not in face.soft
        )
        return f'<path class="pg-face-{kind} pg-soft" d="{rings}"/><path d="{sides}"/>'

    def _balloons(self, numbers: Mapping[int, tuple[float, float]]) -> str:
        if not numbers:
            return ""
        targets = [self.place(*spot) for spot in numbers.values()]
        free = self._free(len(targets))
        centres = balloon_places(targets, free, radius=_BALLOON)
        lines = "".join(
            f'<path class="pg-leader" d="M{px(tx)} {px(ty)}L{px(cx)} {px(cy)}"/>'
            f'<circle class="pg-dot" cx="{px(tx)}" cy="{px(ty)}" r="2"/>'
            for (tx, ty), (cx, cy) in zip(targets, centres, strict=True)
        )
        balloons = "".join(
            f'<circle class="pg-balloon" cx="{px(x)}" cy="{px(y)}" r="{px(_BALLOON)}"/>'
            f'<text x="{px(x)}" y="{px(y + 4.2)}">{number}</text>'
            for number, (x, y) in zip(numbers, centres, strict=True)
        )
        return lines + balloons

    def _free(self, least: int) -> list[tuple[float, float]]:
        """Places for balloons off the parts, on a grid; a finer one when there are too few."""
        shapes = [face.polygon for face in self.faces]
        tree = STRtree(shapes)
        reach = (_BALLOON + _CLEAR) / self.scale
        found: list[tuple[float, float]] = []
        for pitch in (2.6 * _BALLOON, 2.1 * _BALLOON):
            columns, rows = (int((side - 2 * _BALLOON - 2) / pitch) for side in self._sides)
            grid = [
                (
                    _BALLOON + 1 + column * (self.wide - 2 * _BALLOON - 2) / columns,
                    _BALLOON + 1 + row * (self.high - 2 * _BALLOON - 2) / rows,
                )
                for row in range(rows + 1)
                for column in range(columns + 1)
            ]
            spots = [
                Spot(
                    (x - self.room) / self.scale + self.west,
                    self.north - (y - self.room) / self.scale,
                )
                for x, y in grid
            ]
            taken = set(tree.query(spots, predicate="dwithin", distance=reach)[0].tolist())
            found = [place for n, place in enumerate(grid) if n not in taken]
            if len(found) >= 2 * least:
                break
        return found

    @property
    def _sides(self) -> tuple[float, float]:
        return self.wide, self.high
