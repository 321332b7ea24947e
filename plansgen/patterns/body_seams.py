"""Where the panels and formers of a box body meet, and proof that they fold back to it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from shapely import LineString

from plansgen.airframe.build import BodyPart
from plansgen.airframe.inside import Walls, pieces, profile, value
from plansgen.patterns.flat import Outline, length
from plansgen.patterns.formers import Former, on_inner_face, slots_in
from plansgen.patterns.panel import Panel
from plansgen.patterns.seams import EdgeRef, Refold, Seam
from plansgen.patterns.unrolled import Unrolled, between

_SHORT = 0.002  # a shorter seam is none [m]
_SAMPLE = 0.02  # outlines are compared with the solid so often [m]
_END = 1e-6


def taken(edge: Outline, sheet: Unrolled, *, inside: bool) -> float:
    """Length of an edge that the bends take away on one face of the sheet. [m]

    On the inner face a bend inwards loses its groove; on the outer face a bend outwards does.
    """
    lost = 0.0
    for bend in sheet.bends:
        if (bend.angle > 0) != inside:
            continue
        west, east = bend.s - bend.mitre, bend.s + bend.mitre
        for (x0, y0), (x1, y1) in pairwise(edge):
            if x1 == x0:
                continue
            part = max(0.0, min(x1, east) - max(x0, west)) / (x1 - x0)
            lost += part * math.hypot(x1 - x0, y1 - y0)
    return lost


def _bevelled(edge: Outline, panel: Panel, start: float, end: float) -> float:
    """By how much an edge is longer inside, because its ends are cut square to the body. [m]"""
    sheet = panel.sheet
    assert sheet is not None  # only faces along the body have these edges
    more = 0.0
    for x, (a, b), way in ((start, edge[:2], -1.0), (end, edge[-2:], 1.0)):
        lean = -panel.layer.thickness * math.tan(sheet.slope(x - way * _END)) * sheet.outward
        slant = math.dist(a, b) / abs(b[0] - a[0]) if abs(b[0] - a[0]) > _END else 1.0
        more += way * lean * slant
    return more


_EDGE_WORDS = {
    ("starboard", "lower"): "lower edge",
    ("starboard", "upper"): "upper edge, inside",
    ("bottom", "upper"): "starboard edge, inside",
    ("top", "upper"): "starboard edge",
    ("starboard", "front"): "front end",
    ("starboard", "rear"): "rear end",
}


def panel_seams(panels: Sequence[Panel], walls: Walls) -> Iterator[Seam]:
    """Every edge of the outer panels that meets another; port is the mirror image of starboard."""
    outer = [panel for panel in panels if panel.layer.number == 0]
    sides = [panel for panel in outer if panel.face == "starboard"]
    for side in sides:
        for other in outer:
            reach = max(side.start, other.start), min(side.end, other.end)
            if other.face in ("front", "rear"):
                yield from _end_seam(side, other, walls)
            elif other.face in ("bottom", "top") and reach[1] - reach[0] > _SHORT:
                under = other.face == "bottom"
                a = _stretch(side, "lower" if under else "upper", *reach, inside=not under)
                b = _stretch(other, "upper", *reach, inside=under)
                words = "on" if under else "beside"
                yield Seam(f"{side.part.name} {words} {other.part.name}", a, b, "inside")
    yield from _joints(panels)
    yield from _step_seams(outer, walls)


def _stretch(panel: Panel, name: str, start: float, end: float, *, inside: bool) -> EdgeRef:
    """The stretch of a long edge between two places along the body."""
    sheet = panel.sheet
    assert sheet is not None  # only faces along the body have these edges
    # A panel's own end is taken as it was cut, so that one cut too long is found out.
    west = sheet.at(start) if start > panel.start + _END else -math.inf
    east = sheet.at(end, ahead=True) if end < panel.end - _END else math.inf
    points = between(panel.edges[name], west, east)
    less = taken(points, sheet, inside=inside)
    if inside:
        less -= _bevelled(points, panel, start, end)
    return EdgeRef(panel.part.key, _EDGE_WORDS[panel.face, name], points, -less)


def _joints(panels: Sequence[Panel]) -> Iterator[Seam]:
    """Pieces of one face that are joined because no sheet is long enough."""
    for a, b in pairwise(panels):
        same = (a.face, a.layer.number, a.end) == (b.face, b.layer.number, b.start)
        if same and a.sheet is not None and "step" not in (a.face, b.face):
            rear = EdgeRef(a.part.key, "rear end", a.edges["rear"])
            front = EdgeRef(b.part.key, "front end", b.edges["front"])
            yield Seam(f"{a.part.name} to {b.part.name}", rear, front, "butt")


def _end_seam(side: Panel, plate: Panel, walls: Walls) -> Iterator[Seam]:
    """A side's end on the inner face of the front or rear."""
    name = plate.face
    contact = plate.end if name == "front" else plate.start
    x = side.start if name == "front" else side.end
    if abs(x - contact) > _END:
        return
    frames = plate.body.frames
    low, high = (value(profile(frames, face), contact) for face in ("bottom", "top"))
    chain = next(c for c in pieces(profile(frames, "bottom")) if contact <= c[-1][0] + _END)
    slope = _slope_at(chain, contact)
    outline = plate.part.outline
    edge = (outline[1], outline[2])
    standing = (high - low) - walls.bottom * math.hypot(1.0, slope)
    b = EdgeRef(plate.part.key, "starboard edge, inside", edge, standing - length(edge))
    a = EdgeRef(side.part.key, _EDGE_WORDS["starboard", name], side.edges[name])
    yield Seam(f"{side.part.name} on {plate.part.name}", a, b, "inside")


def _slope_at(chain: Sequence[tuple[float, float]], x: float) -> float:
    for (x0, v0), (x1, v1) in pairwise(chain):
        if x <= x1 + _END:
            return (v1 - v0) / (x1 - x0)
    return 0.0


def _step_seams(panels: Sequence[Panel], walls: Walls) -> Iterator[Seam]:
    for strip in (panel for panel in panels if panel.face == "step"):
        for other in panels:
            if other.face != "bottom" or strip.start not in (other.start, other.end):
                continue
            name = "rear" if strip.start == other.end else "front"
            edge = other.edges[name]
            slope = _slope_at(profile(other.body.frames, "sides"), strip.start)
            less = 2 * walls.sides * math.hypot(1.0, slope)
            outline = strip.part.outline
            a = EdgeRef(strip.part.key, "long edge", (outline[0], outline[1]))
            b = EdgeRef(other.part.key, f"{name} edge", edge, -less)
            yield Seam(f"{strip.part.name} on {other.part.name}", a, b, "inside")


def former_seams(former: Former, panels: Sequence[Panel], walls: Walls) -> Iterator[Seam]:
    """A former against the insides of the innermost sides, where the body is lower."""
    sides = [p for p in panels if p.face == "starboard" and p.start <= former.x < p.end]
    if not sides or former.room.round:
        return
    side = max(sides, key=lambda panel: panel.layer.number)
    room = former.room
    a = EdgeRef(former.part.key, "starboard edge", ((room.half, room.low), (room.half, room.high)))
    floors, ceilings = [], []
    for x in (former.x, former.x + former.part.thickness):
        assert side.sheet is not None  # sides lie along the body
        s = side.sheet.at(x)  # the edges are bevelled to what the outer face shows
        way = LineString([(s, room.low - 1.0), (s, room.high + 1.0)])
        _, south, _, north = way.intersection(side.polygon).bounds
        covered = walls.top if side.layer.number == 0 else 0.0
        slope = _slope_at(profile(former.body.frames, "top"), x)
        floors.append(south)
        ceilings.append(north - covered * math.hypot(1.0, slope))
    s = on_inner_face(side, former.x)
    b = EdgeRef(
        side.part.key, f"inside at {former.part.name}", ((s, max(floors)), (s, min(ceilings)))
    )
    yield Seam(f"{former.part.name} between {side.part.name}", a, b, "inside")


# --- proof -----------------------------------------------------------------------------------


def panel_refold(panel: Panel, walls: Walls) -> Refold:
    """Fold a panel by its own lines and measure how far it is from the body's outside.

    Its outer face must lie on the body, and its long edges as far from the neighbouring faces as
    the rule for boxes says.
    """
    if panel.sheet is None:
        return Refold(panel.part.key, _end_off(panel))
    frames, depth = panel.body.frames, panel.layer.depth
    wall = {"starboard": "sides"}.get(panel.face, panel.face)
    worst, own = 0.0, _side_of(panel.body, wall)
    for name, neighbour, gap in _wanted(panel, walls):
        other = _side_of(panel.body, neighbour)
        placed = panel.pose.space(_fine(panel.edges[name], panel.sheet))
        for place in placed:
            here = _flat_place(place, wall, frames[0].y)
            there = _flat_place(place, neighbour, frames[0].y)
            worst = max(worst, own.off(here, depth))
            worst = max(worst, other.off(there, gap))
    return Refold(panel.part.key, worst)


def _wanted(panel: Panel, walls: Walls) -> list[tuple[str, str, float]]:
    """Long edges, the face each lies along and how far inside of it. [m]"""
    if panel.face == "starboard":
        covered = walls.top if panel.layer.number else 0.0
        return [("lower", "bottom", walls.bottom), ("upper", "top", covered)]
    gap = walls.sides if panel.face == "top" else 0.0
    return [("lower", "sides", gap), ("upper", "sides", gap)]


@dataclass(frozen=True)
class _Side:
    """The outside of a face, seen from the side or from above, by its straight stretches.

    stretches: first and last x, and a place and the direction of the line through both. [m]
    """

    stretches: tuple[tuple[float, float, float, float, float], ...]

    def off(self, place: tuple[float, float], wanted: float) -> float:
        """How far a place is from where it should be off the outside. [m]

        A mitre lies off the lines of two stretches, a little beyond the end of one or both.
        """
        x, v = place
        reach = wanted + _END
        return min(
            abs(abs((v - v0) * cos - (x - start) * sin) - wanted)
            for start, end, v0, cos, sin in self.stretches
            if start - reach <= x <= end + reach
        )


def _side_of(body: BodyPart, face: str) -> _Side:
    found = []
    for chain in pieces(profile(body.frames, face)):
        for (x0, v0), (x1, v1) in pairwise(chain):
            size = math.hypot(x1 - x0, v1 - v0)
            found.append((x0, x1, v0, (x1 - x0) / size, (v1 - v0) / size))
    return _Side(tuple(found))


def _flat_place(place: Sequence[float], face: str, middle: float) -> tuple[float, float]:
    x, y, z = (float(v) for v in place)
    return (x, abs(y - middle)) if face == "sides" else (x, z)


def _fine(edge: Outline, sheet: Unrolled) -> Outline:
    """Points along an edge, none inside what a bend takes."""
    found: list[tuple[float, float]] = []
    for a, b in pairwise(edge):
        if abs(b[0] - a[0]) < _END:
            continue
        many = max(2, math.ceil(math.dist(a, b) / _SAMPLE))
        for share in np.linspace(0.0, 1.0, many):
            point = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
            if all(not _in_room(point[0], s.s, s.room) for s in sheet.bends):
                found.append((float(point[0]), float(point[1])))
    return tuple(found)


def _in_room(s: float, middle: float, room: float) -> bool:
    return room > 0 and abs(s - middle) < room / 2 + _END


def _end_off(panel: Panel) -> float:
    """Fronts and rears are flat: each edge against the body at the larger of the two faces."""
    if panel.face == "step":
        return 0.0
    frames, (west, south, east, north) = panel.body.frames, panel.part.bounds
    edges = (("sides", east), ("sides", -west), ("bottom", south), ("top", north))
    return max(
        min(abs(edge - value(profile(frames, face), x)) for x in (panel.start, panel.end))
        for face, edge in edges
    )


def tabs_off(former: Former, panels: Sequence[Panel]) -> float | None:
    """Greatest distance between a tab's middle and its slot's, both put in their place. [m]

    None where the former has no tabs.
    """
    worst = None
    for panel in panels:
        for tab, slot in zip(former.tabs, slots_in(panel, former), strict=False):
            middle = tuple(sum(v) / 4 for v in zip(*slot, strict=True))
            half = panel.layer.thickness / 2
            hole = panel.pose.space([(middle[0], middle[1])], deep=half)[0]
            y = former.room.y + former.room.half
            deep = former.part.thickness / 2
            tab_middle = np.array([former.x + deep, y, (tab.low + tab.high) / 2])
            tab_middle[1] = hole[1]  # a tab reaches right through, so only x and z can be off
            off = float(np.linalg.norm(hole - tab_middle))
            worst = off if worst is None else max(worst, off)
    return worst
