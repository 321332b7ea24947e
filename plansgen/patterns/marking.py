"""Where the words of a part go: inside it, clear of its lines and of each other, whole on one page.

Drawing millimetres. Words are placed in a region, the core of a tile or a whole sheet, so that no
word is ever cut by the edge of a page.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from plansgen.patterns.flat import FlatPart, PatternLine
from plansgen.patterns.ink import Stroke, Words
from plansgen.patterns.looks import LOOKS, NARROW, words_for
from plansgen.patterns.room import (
    SMALL,
    TEXT,
    Markings,
    Region,
    Room,
    find_room,
    number_beside,
    put_lines,
)
from plansgen.patterns.sheets import Piece
from plansgen.patterns.typeface import clean, width

_CLEAR = 0.8  # between words and lines [mm]
_ALONG = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)


def how_many(piece: Piece) -> str:
    """How many there are: ``2 ×, one turned over``, or which copy this one is."""
    part = piece.part
    if piece.copy:
        other = {"port": "starboard", "starboard": "port"}
        side = other.get(part.hand, "") if piece.turned_over else part.hand
        which = f"{piece.copy} of {part.pieces}" if part.pieces > 1 else ""
        return ", ".join(filter(None, (which, side, "turned over" if piece.turned_over else "")))
    over = {0: "", 1: ", one turned over"}.get(part.mirrored, f", {part.mirrored} turned over")
    return f"{part.pieces} ×{over}"


def mark_pieces(
    pieces: Sequence[tuple[int, Piece]], region: Region, *, taken: Sequence[Polygon] = ()
) -> Markings:
    """Place the words of pieces in a region.

    Args:
        pieces: With their numbers.
        region: Where words may go.
        taken: Room that is already taken. [mm]
    """
    marks = Markings(taken=list(taken))
    shapes = [_Shape(number, piece, region) for number, piece in pieces]
    for shape in shapes:
        _own_labels(shape, marks)
    for shape in shapes:
        _line_words(shape, marks)
    everything = shapely.union_all([s.polygon for s in shapes])
    shapely.prepare(everything)
    for shape in shapes:
        _title(shape, marks, everything)
    for shape in shapes:
        _grain(shape, marks)
    return marks


class _Shape:
    """A piece in millimetres, cut to a region."""

    def __init__(self, number: int, piece: Piece, region: Region) -> None:
        part = piece.part
        self.number, self.piece, self.part, self.region = number, piece, part, region
        self.home = number in region.homes
        self.polygon = Polygon(_mm(part.outline), [_mm(hole) for hole in part.holes])
        self.lines = [LineString(_line_points(line)) for line in part.lines]
        seen = shapely.intersection(self.polygon, region.shape)
        self.inside = shapely.buffer(seen, -_CLEAR, join_style="mitre")
        hatched = [
            Polygon(_mm(ln.points)) for ln in part.lines if ln.closed and LOOKS[ln.kind].hatched
        ]
        near = shapely.buffer(self.lines, _CLEAR, cap_style="flat")
        self.obstacles = shapely.union_all([*near, *hatched])

    def room(self, marks: Markings) -> Room:
        near = marks.near(self.inside)
        return Room(shapely.difference(self.inside, shapely.union_all([self.obstacles, *near])))


def _mm(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(1000 * x, 1000 * y) for x, y in points]


def _line_points(line: PatternLine) -> list[tuple[float, float]]:
    points = _mm(line.points)
    if len(points) == 1:
        (x, y) = points[0]
        return [(x - 1.5, y), (x + 1.5, y)]
    return [*points, points[0]] if line.closed else points


def upright(angle: float) -> float:
    """The direction of a line as words run along it: readable from below or from the right.

    angle: in degrees. Returns degrees above -90 and up to 90.
    """
    turned = (angle + 90) % 180 - 90
    return 90.0 if abs(turned + 90) < 1e-6 else turned


def _own_labels(shape: _Shape, marks: Markings) -> None:
    west, south, east, north = shape.region.bounds
    for label in shape.part.labels:
        x, y, text = 1000 * label.x, 1000 * label.y, clean(label.text)
        if not (text and west <= x < east and south <= y < north):
            continue
        angle = upright(math.degrees(label.angle))
        height = max(SMALL, 1000 * label.size)
        turn = math.radians(angle)
        x, y = x + height / 2 * math.sin(turn), y - height / 2 * math.cos(turn)
        marks.put(Words(x, y, text, height, angle, "center"))


def _line_words(shape: _Shape, marks: Markings) -> None:
    # A line may run along the very edge of a page: it is named on both sides.
    near = shapely.buffer(shape.region.shape, 2.0, join_style="mitre")
    for index, (line, way) in enumerate(zip(shape.part.lines, shape.lines, strict=True)):
        text = clean(words_for(line))
        if not text:
            continue
        run = _longest(shapely.intersection(way, near))
        if run is None:
            continue
        if run.length < 0.45 * way.length and run.length < width(text, TEXT):
            continue  # another page shows more of it
        spot = next(_beside(shape, run, text, marks), None)
        if spot:
            marks.put(spot)
            marks.placed.add((shape.number, index))
        else:
            marks.unplaced[shape.number, index] = f"{shape.number} {shape.part.name}: {text}"


def _beside(shape: _Shape, run: LineString, text: str, marks: Markings) -> Iterator[Words]:
    """Places along a line, the best first: inside the part, clear of other lines."""
    own = shapely.buffer(run, _CLEAR * 1.05, cap_style="square")
    others = shapely.difference(shape.obstacles, own)
    west, south, east, north = shape.region.bounds
    shapely.prepare(others)
    shapely.prepare(shape.polygon)
    for inside, height in ((True, TEXT), (True, SMALL), (False, SMALL)):
        for share in _ALONG:
            found = [
                (words, box)
                for words in _at(run, share, text, height)
                if _within(box := words.box, west, south, east, north)
            ]
            if not found:
                continue
            boxes = np.array([box for _, box in found])
            rooms = np.array(shapely.polygons(boxes), dtype=object, ndmin=1)
            crossed = shapely.intersects(others, rooms) | shapely.intersects(run, rooms)
            clear = np.atleast_1d(~crossed)
            if inside:
                clear &= shapely.contains(shape.polygon, rooms)
            for (words, _), room, good in zip(found, rooms, clear, strict=True):
                if good and marks.free(room):
                    yield words


def _within(
    box: Sequence[tuple[float, float]], west: float, south: float, east: float, north: float
) -> bool:
    return all(west <= x <= east and south <= y <= north for x, y in box)


def _at(run: LineString, share: float, text: str, height: float) -> Iterator[Words]:
    """Above and below a line, along it; beyond its ends and across it for short ones."""
    wide = width(text, height)
    half = min(wide, run.length) / 2
    middle = min(max(share * run.length, half), run.length - half)
    a, b = run.interpolate(middle - half), run.interpolate(middle + half)
    m = run.interpolate(middle)
    along = upright(math.degrees(math.atan2(b.y - a.y, b.x - a.x)))
    across = upright(along + 90)
    for gap in (_CLEAR + 0.6, _CLEAR + 0.2, _CLEAR + 1.4):
        end, level = wide / 2 + gap, -height / 2
        spots = [(along, 0.0, gap), (along, 0.0, -gap - height)]
        if run.length < wide:
            spots += [(along, half + end, level), (along, -half - end, level)]
        spots += [(across, end, level), (across, -end, level)]
        for angle, u, v in spots:
            cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            x, y = m.x + u * cos - v * sin, m.y + u * sin + v * cos
            yield Words(x, y, text, height, angle, "center")


def _longest(run: BaseGeometry) -> LineString | None:
    runs = [g for g in shapely.get_parts(shapely.line_merge(run)) if isinstance(g, LineString)]
    return max(runs, key=lambda g: g.length, default=None) if runs else None


def _title(shape: _Shape, marks: Markings, everything: BaseGeometry) -> None:
    """The part's name and numbers, as much as there is room for; at last its number beside it."""
    room, angles = shape.room(marks), _angles(shape.polygon)
    for lines, height in _title_forms(shape):
        wide = max(width(text, height, bold=i == 0) for i, text in enumerate(lines)) + 0.5
        high = height * (1.6 * len(lines) - 0.2)
        spot = find_room(room, wide, high, angles)
        if spot:
            put_lines(lines, height, spot, high, marks)
            return
    if shape.home and not number_beside(
        str(shape.number), shape.polygon, shape.region, marks, everything
    ):
        marks.unplaced[shape.number, -1] = f"{shape.number} {shape.part.name}"


def _title_forms(shape: _Shape) -> Iterator[tuple[list[str], float]]:
    part, count = shape.part, how_many(shape.piece)
    name = clean(f"{shape.number}  {part.name}", bold=True)
    if not shape.home:
        yield [name, "(goes on)"], TEXT
        yield [name], SMALL
        return
    stuff, used, note = clean(_stuff(part)), clean(part.used), clean(part.note)
    full = [name, *filter(None, (count, stuff, used, note))]
    brief = [name, *filter(None, (count, stuff, used.split(":")[0]))]
    short = [name, *filter(None, (count,))]
    row = clean(", ".join(filter(None, (name, count, stuff, used.split(":")[0]))), bold=True)
    yield full, 3.5
    yield full, TEXT
    yield [row], TEXT
    yield full, SMALL
    yield brief, SMALL
    yield short, TEXT
    yield [row], SMALL
    yield short, SMALL
    yield [name], SMALL
    yield [str(shape.number)], TEXT
    yield [str(shape.number)], SMALL


def _stuff(part: FlatPart) -> str:
    """What it is cut from, as a builder calls it, with its thickness."""
    thick = f"{1000 * part.thickness:g} mm"
    name = part.stuff or part.material
    return name if re.search(rf"\b{re.escape(thick)}\b", name) else f"{name}, {thick}"


def _angles(whole: Polygon) -> list[float]:
    """Level, along the part, upright."""
    frame = shapely.get_coordinates(shapely.minimum_rotated_rectangle(whole))
    sides = np.diff(frame[:3], axis=0)
    dx, dy = sides[np.argmax(np.hypot(*sides.T))]
    along = round(upright(math.degrees(math.atan2(dy, dx))), 3)
    return list(dict.fromkeys((0.0, along, 90.0)))


def _grain(shape: _Shape, marks: Markings) -> None:
    """A double arrow along the grain or the flutes, with its word."""
    if shape.part.grain is None or not shape.home:
        return
    angle = upright(math.degrees(shape.part.grain))
    room = shape.room(marks)
    for long, height in ((40.0, TEXT), (25.0, TEXT), (15.0, SMALL)):
        spot = find_room(room, long, height + 2.4, [angle])
        if spot:
            _arrow(spot, long, height, marks)
            return


def _arrow(spot: tuple[float, float, float], long: float, height: float, marks: Markings) -> None:
    x, y, angle = spot
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))

    def at(u: float, v: float) -> tuple[float, float]:
        return x + u * cos - v * sin, y + u * sin + v * cos

    half, low = long / 2, -(height + 2.4) / 2 + 1.0
    marks.items.append(Stroke((at(-half, low), at(half, low)), NARROW))
    for end, back in ((-half, 2.2), (half, -2.2)):
        barbs = (at(end + back, low + 0.8), at(end, low), at(end + back, low - 0.8))
        marks.items.append(Stroke(barbs, NARROW))
    marks.put(Words(*at(0.0, low + 0.8), "grain", height, angle, "center"))
    corners = ((-half, low - 1), (half, low - 1), (half, low + 1), (-half, low + 1))
    marks.taken.append(Polygon([at(u, v) for u, v in corners]))
