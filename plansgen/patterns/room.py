"""Room for words: where a box of words fits, and which room is taken. Drawing millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from plansgen.patterns.ink import Item, Stroke, Words
from plansgen.patterns.looks import NARROW
from plansgen.patterns.typeface import width

TEXT = 2.5
SMALL = 1.8
_REACHES = (4.0, 7.0, 12.0, 20.0, 30.0)  # lengths of leaders [mm]
_SMALL = 150.0  # a part that needs its own room for its number [mm²]
_SPOTS = 9  # places tried along each side of a region

Floats = npt.NDArray[np.float64]


@dataclass
class Markings:
    """Words placed in one region, and what could not be placed there.

    Attributes:
        items: What to draw. [mm]
        taken: Room that words and marks take. [mm]
        placed: Pieces by number, with the lines whose words were placed; -1 is the title.
        unplaced: Those for which there was no room, in words.
    """

    items: list[Item] = field(default_factory=list)
    taken: list[Polygon] = field(default_factory=list)
    placed: set[tuple[int, int]] = field(default_factory=set)
    unplaced: dict[tuple[int, int], str] = field(default_factory=dict)

    def free(self, shape: BaseGeometry) -> bool:
        """Whether nothing stands there yet."""
        return not shapely.intersects(self.taken, shape).any()

    def near(self, shape: BaseGeometry) -> list[Polygon]:
        """What stands in a shape."""
        hits = shapely.intersects(self.taken, shape)
        return [other for other, hit in zip(self.taken, hits, strict=True) if hit]

    def put(self, words: Words) -> None:
        """Letter one line and keep its room."""
        self.items.append(words)
        self.taken.append(Polygon(words.box))


@dataclass(frozen=True)
class Region:
    """Where words may go: its rectangle, and whether it is the largest part of each piece."""

    bounds: tuple[float, float, float, float]
    homes: frozenset[int]

    @property
    def shape(self) -> Polygon:
        """The rectangle. [mm]"""
        return shapely.box(*self.bounds)


def never_placed(pages: Sequence[Markings]) -> list[str]:
    """Words that were tried on some pages and found room on none."""
    placed = {key for marks in pages for key in marks.placed}
    tried = {key: words for marks in pages for key, words in marks.unplaced.items()}
    return [words for key, words in sorted(tried.items()) if key not in placed]


class Room:
    """A region words are tried in: where its middle and its widest places are is found once."""

    def __init__(self, shape: BaseGeometry) -> None:
        self.shape = shape
        self.area = float(shape.area)
        self._spots: tuple[Floats, Floats] | None = None

    @property
    def spots(self) -> tuple[Floats, Floats]:
        """Places to try, those nearest to the middle first. [mm]"""
        if self._spots is None:
            shapely.prepare(self.shape)
            x, y = _spots(self.shape)
            inside = shapely.contains_xy(self.shape, x, y)  # else no box about it is
            x, y = x[inside], y[inside]
            middle = shapely.centroid(self.shape)
            order = np.argsort(np.round(np.hypot(x - middle.x, y - middle.y), 6), kind="stable")
            self._spots = x[order], y[order]
        return self._spots


def find_room(
    room: Room, wide: float, high: float, angles: Sequence[float]
) -> tuple[float, float, float] | None:
    """Centre and angle of a box of given size inside a region, nearest to the part's middle."""
    if room.area < wide * high:
        return None
    x, y = room.spots
    if not len(x):
        return None
    for angle in angles:
        turn = math.radians(angle)
        corners = np.array([(-wide, -high), (wide, -high), (wide, high), (-wide, high)]) / 2
        cos, sin = math.cos(turn), math.sin(turn)
        u = corners[:, 0] * cos - corners[:, 1] * sin
        v = corners[:, 0] * sin + corners[:, 1] * cos
        rings = np.stack([x[:, None] + u, y[:, None] + v], axis=-1)
        fits = shapely.contains(room.shape, shapely.polygons(rings))
        if fits.any():
            best = int(np.argmax(fits))
            return float(x[best]), float(y[best]), angle
    return None


def _spots(room: BaseGeometry) -> tuple[Floats, Floats]:
    west, south, east, north = shapely.bounds(room)
    gx, gy = np.meshgrid(
        np.linspace(west, east, _SPOTS + 2)[1:-1], np.linspace(south, north, _SPOTS + 2)[1:-1]
    )
    x, y = gx.ravel(), gy.ravel()
    for part in shapely.get_parts(room):
        if not isinstance(part, Polygon):
            continue
        pole = shapely.get_point(shapely.maximum_inscribed_circle(part, tolerance=0.5), 0)
        x, y = np.append(x, pole.x), np.append(y, pole.y)
    return x, y


def put_lines(
    lines: Sequence[str],
    height: float,
    spot: tuple[float, float, float],
    high: float,
    marks: Markings,
) -> None:
    """Letter lines under each other, the first bold, about the middle of a box so high. [mm]"""
    x, y, angle = spot
    turn = math.radians(angle)
    for i, text in enumerate(lines):
        v = high / 2 - height * (1.0 + 1.6 * i)
        place = (x - v * math.sin(turn), y + v * math.cos(turn))
        marks.put(Words(*place, text, height, angle, "center", bold=i == 0))


def number_pieces(
    shapes: Sequence[tuple[int, Polygon]], region: Region, *, taken: Sequence[Polygon] = ()
) -> Markings:
    """Place only the numbers of pieces, inside them or beside them with a leader.

    Args:
        shapes: Pieces with their numbers. [mm]
        region: Where numbers may go.
        taken: Room that is already taken. [mm]
    """
    marks = Markings(taken=list(taken))
    everything = shapely.union_all([polygon for _, polygon in shapes])
    shapely.prepare(everything)
    small = shapely.union_all([polygon for _, polygon in shapes if polygon.area < _SMALL])
    for number, polygon in shapes:
        text = str(number)
        near = marks.near(polygon)
        inside = shapely.buffer(polygon, -0.3)
        room = Room(shapely.difference(inside, shapely.union_all(near)))
        for height in (TEXT, SMALL):
            spot = find_room(room, width(text, height, bold=True) + 0.3, height + 0.3, (0.0,))
            if spot:
                put_lines([text], height, spot, height, marks)
                break
        else:
            # In a crowd a number may stand on a large neighbour; its leader says whose it is.
            if not any(
                number_beside(text, polygon, region, marks, around, reaches)
                for around, reaches in ((everything, _REACHES[:2]), (small, _REACHES))
            ):
                marks.unplaced[number, -1] = text
    return marks


def number_beside(
    text: str,
    polygon: Polygon,
    region: Region,
    marks: Markings,
    everything: BaseGeometry,
    reaches: Sequence[float] = _REACHES,
) -> bool:
    """The number outside a part too small for it, with a leader of one of the lengths. [mm]"""
    seen = shapely.intersection(polygon, region.shape)
    start = shapely.point_on_surface(polygon if seen.is_empty else seen)
    wide = width(text, TEXT, bold=True)
    west, south, east, north = region.bounds
    for reach in reaches:
        for turn in range(0, 360, 15):
            cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            x, y = start.x + (reach + wide / 2) * cos, start.y + (reach + TEXT / 2) * sin
            u, v = wide / 2 + 0.4, TEXT / 2 + 0.8
            if not (west < x - u and x + u < east and south < y - v and y + v < north):
                continue
            room = shapely.box(x - u, y - v, x + u, y + v)
            if shapely.intersects(everything, room) or not marks.free(room):
                continue
            end = (start.x + (reach - 0.6) * cos, start.y + (reach - 0.6) * sin)
            leader = LineString([(start.x, start.y), end])
            if not marks.free(leader):
                continue
            marks.items.append(Stroke(((start.x, start.y), end), NARROW))
            marks.taken.append(shapely.buffer(leader, 0.3))
            marks.put(Words(x, y - TEXT / 2, text, TEXT, 0.0, "center", bold=True))
            return True
    return False
