"""Ribs: the section at a span, less its skins, with slots for what runs through and holes.

Sticks, webs and caps are where the structure places them; see
:meth:`plansgen.structure.members.Members.sticks_at`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from plansgen.airframe.build import station_at
from plansgen.balance.drawn import PartRef
from plansgen.balance.target import Target
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns.allowance import CLEARANCE, sheet_thickness
from plansgen.patterns.flat import FlatPart, Outline, PatternLine
from plansgen.patterns.lightening import lightened
from plansgen.patterns.naming import key_of
from plansgen.patterns.seams import SlotFit
from plansgen.patterns.skin_marks import named_ribs
from plansgen.patterns.solid import SurfaceSolid
from plansgen.patterns.unrolled import Pose
from plansgen.patterns.weights import both_sides, of_sheet, on_pose
from plansgen.patterns.wraps import Wrap, plain
from plansgen.structure.members import Members
from plansgen.structure.sticks import Placed

_LEAST_LEFT = 0.002  # a strip of rib narrower than this over a slot is cut through [m]
_TAIL = 0.02  # what is left behind a trailing-edge stick, if shorter, is cut off [m]
_SLIVER = 0.0006  # half of the thinnest tongue of rib that is cut [m]
_SMALLEST = 1e-4  # pieces smaller than this are dropped [m²]
_END = 1e-6  # a stick that ends at a rib is let into it [m]


@dataclass(frozen=True, eq=False)
class Rib:
    """A rib as flat parts: one, or nose and tail where the spar leaves nothing between them.

    whole: the rib before slots and holes. [m]
    """

    span: float
    name: str
    whole: Polygon
    parts: tuple[FlatPart, ...]
    slots: tuple[SlotFit, ...]


def ribs(
    solid: SurfaceSolid,
    parts: Sequence[Part],
    wraps: Sequence[Wrap],
    materials: Mapping[str, Material],
    target: Target | None,
) -> list[Rib]:
    """All ribs of a surface that are given by spans."""
    outside = [part for part in parts if not part.in_core]
    members = Members(solid.surface, outside, materials)
    return [
        _rib(solid, part, PartRef(solid.surface.key, index), span, name, wraps, members, target)
        for index, part in enumerate(parts)
        for span, name in named_ribs(part)
    ]


def rib_blank(solid: SurfaceSolid, span: float, wraps: Sequence[Wrap]) -> Polygon:
    """The section at a span inside its skins, before anything is cut from it. [m]"""
    upper, lower = (solid.flat_section(span, side) for side in ("upper", "lower"))
    outside = Polygon(np.vstack([upper[::-1], lower[1:]])).buffer(0)
    at_tip = span >= solid.stations[-1].span - 1e-9
    skins = [
        _band(solid, wrap, span, (upper, lower))
        for wrap in wraps
        if wrap.inboard - 1e-9 <= span and (span < wrap.outboard - 1e-9 or at_tip)
    ]
    inside = outside.difference(shapely.union_all(skins))
    return _largest(inside.buffer(-_SLIVER).buffer(_SLIVER, join_style="mitre"))


def _band(
    solid: SurfaceSolid, wrap: Wrap, span: float, sides: tuple[np.ndarray, np.ndarray]
) -> BaseGeometry:
    """A skin as it lies over the section."""
    number, _ = solid.between(span)
    rows = []
    for side, points, reach in (
        ("upper", sides[0], wrap.upper),
        ("lower", sides[1], wrap.lower),
    ):
        if reach is None:
            continue
        curve = getattr(solid.sections[number], side)
        ends = [curve.index(share) for share in reach]
        whole = range(math.ceil(ends[0] + 1e-6), math.floor(ends[1] - 1e-6) + 1)
        index = np.array([ends[0], *whole, ends[1]])
        line = np.column_stack(
            [np.interp(index, np.arange(len(points)), points[:, axis]) for axis in (0, 1)]
        )
        rows.append(line[::-1] if side == "upper" else line)
    path = np.vstack([rows[0], rows[1][1:]]) if len(rows) == 2 else rows[0]
    return LineString(path).buffer(wrap.thickness, cap_style="flat", join_style="mitre")


def _largest(shape: BaseGeometry) -> Polygon:
    pieces = _polygons(shape)
    return max(pieces, key=lambda p: p.area) if pieces else Polygon()


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    if isinstance(shape, MultiPolygon):
        return sorted(shape.geoms, key=lambda p: p.bounds)
    return []


def _rib(
    solid: SurfaceSolid,
    part: Part,
    ref: PartRef,
    span: float,
    name: str,
    wraps: Sequence[Wrap],
    members: Members,
    target: Target | None,
) -> Rib:
    material = members.materials[part.material]
    blank = rib_blank(solid, span, wraps)
    rows = _rows(members.sticks_at(max(span - _END, 0.0)))
    slots = [_slot(row, blank) for row in rows]
    cut = blank.difference(shapely.union_all([slot.opening for slot in slots]))
    # What is left thinner than can be cut goes too: the strip over a notch, the end of the tail.
    sound = cut.buffer(-_LEAST_LEFT / 2, join_style="mitre").buffer(
        _LEAST_LEFT / 2, join_style="mitre"
    )
    pieces = [p for p in _polygons(sound.intersection(cut)) if p.area > _SMALLEST]
    section = Polygon(
        np.vstack([solid.flat_section(span, "upper")[::-1], solid.flat_section(span, "lower")[1:]])
    )
    gone = section.area - sum(p.area for p in pieces)
    pieces = lightened(pieces, (1 - part.share) * section.area - gone)
    words = ("",) if len(pieces) == 1 else ("nose", "tail") if len(pieces) == 2 else None
    pose, paired = _pose(solid, span), solid.surface.mirrored
    flats = []
    for number, piece in enumerate(pieces):
        word = words[number] if words else f"piece {number + 1}"
        flat = FlatPart(
            key=key_of(solid.surface.key, name, word),
            name=f"{name} {word}".strip(),
            material=part.material,
            thickness=sheet_thickness(material),
            outline=plain(_ring(piece.exterior)),
            holes=tuple(plain(_ring(hole)) for hole in piece.interiors),
            lines=tuple(_lines(solid, span, piece, target)),
            count=part.count * (2 if paired else 1),
            grain=math.pi / 2 if part.grain == "across" else 0.0,
            note=f"Stands {span * 1000:.0f} mm from the root"
            + (", port ones turned over." if paired else "."),
        )
        shape = both_sides(on_pose(flat.polygon, pose), mirrored=paired)
        drawn = of_sheet(ref, part, material, shape, area=flat.area * flat.pieces)
        flats.append(replace(flat, drawn=(drawn,)))
    return Rib(span, name, blank, tuple(flats), tuple(_fits(flats, slots, blank)))


def _pose(solid: SurfaceSolid, span: float) -> Pose:
    """How a rib stands: upright to its panel, along the chord as it is twisted."""
    station, tilt = station_at(solid.stations, span), solid.tilts[solid.between(span)[0]]
    cos, sin = math.cos(station.twist), math.sin(station.twist)
    up = (0.0, -math.sin(tilt), math.cos(tilt))
    return Pose(
        start=(station.x, station.y, station.z),
        along=(cos, -sin * up[1], -sin * up[2]),
        across=(sin, cos * up[1], cos * up[2]),
        inward=(0.0, math.cos(tilt), math.sin(tilt)),
    )


def _ring(ring: BaseGeometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in ring.coords[:-1])


Row = tuple[Placed, ...]


def _rows(placed: Sequence[Placed]) -> list[Row]:
    """Sticks that stand side by side go through one slot."""
    found: list[list[Placed]] = []
    for one in sorted(placed, key=lambda p: (p.x - p.stick.width / 2, p.low)):
        near = found[-1] if found else None
        edge = max(p.x + p.stick.width / 2 for p in near) if near else -math.inf
        if near is not None and one.x - one.stick.width / 2 <= edge + 1e-6:
            near.append(one)
        else:
            found.append([one])
    return [tuple(row) for row in found]


@dataclass(frozen=True)
class Slot:
    """An opening for a row of sticks, by its edges. [m]"""

    row: Row
    fore: float
    aft: float
    low: float
    high: float

    @property
    def opening(self) -> Polygon:
        """What is cut out; edges that lie outside the rib leave it open."""
        return box(self.fore, self.low, self.aft, self.high)


def _slot(row: Row, blank: Polygon) -> Slot:
    """Closed for slender sticks, open to the nearer edge where too little would be left.

    A spar that stands between the skins is let in from below, level with the lower edge; where too
    little is left above it, it goes right through.
    """
    half = CLEARANCE / 2
    fore, aft = _fore(row) - half, _aft(row) + half
    low, high = min(p.low for p in row) - half, max(p.high for p in row) + half
    bottom, top = _room(blank, fore, aft)
    if blank.bounds[2] - aft < _TAIL:
        return Slot(row, fore, 1.0, -1.0, 1.0)
    if any(p.lies == "between" and not p.stick.round for p in row):
        low, high = -1.0, bottom + _tallest(row) + CLEARANCE
    elif low - bottom < _LEAST_LEFT:
        low = -1.0
    if top - high < _LEAST_LEFT:
        high = 1.0
    return Slot(row, fore, aft, low, high)


def _fore(row: Row) -> float:
    return min(p.x - p.stick.width / 2 for p in row)


def _aft(row: Row) -> float:
    return max(p.x + p.stick.width / 2 for p in row)


def _tallest(row: Row) -> float:
    return max(p.high - p.low for p in row)


def _room(blank: Polygon, fore: float, aft: float) -> tuple[float, float]:
    """The least height of a rib between two places: its highest bottom and its lowest top. [m]"""
    lows, highs = [], []
    for x in np.linspace(fore, aft, 5):
        crossed = blank.intersection(LineString([(x, -1.0), (x, 1.0)]))
        if not crossed.is_empty:
            lows.append(crossed.bounds[1])
            highs.append(crossed.bounds[3])
    return (max(lows), min(highs)) if lows else (0.0, 0.0)


def _lines(
    solid: SurfaceSolid, span: float, piece: Polygon, target: Target | None
) -> Iterator[PatternLine]:
    west, _, east, _ = piece.bounds
    for control in solid.surface.controls:
        x = (1 - control.chord_share) * solid.chord(span)
        if control.inboard - 1e-9 <= span <= control.outboard + 1e-9 and west < x < east:
            label = f"{control.key.replace('_', ' ')} from here aft"
            yield from _upright(piece, x, label)
    if target is None or span > 1e-6:
        return
    for words, x in (
        ("balance", target.x),
        ("forward limit", target.forward_x),
        ("aft limit", target.aft_x),
    ):
        back = x - solid.stations[0].x
        if west < back < east:
            yield from _upright(piece, back, f"{words} {back * 1000:.0f}", length=0.006)


def _upright(
    piece: Polygon, x: float, label: str, *, length: float | None = None
) -> Iterator[PatternLine]:
    """An upright line through a rib, or a tick so long from its upper edge."""
    crossed = piece.intersection(LineString([(x, -1.0), (x, 1.0)]))
    lines = [line for line in getattr(crossed, "geoms", [crossed]) if line.length > 1e-4]
    if not lines:
        return
    top = max(lines, key=lambda line: line.bounds[3])
    for line in [top] if length else lines:
        low, high = line.bounds[1], line.bounds[3]
        low = max(low, high - length) if length else low
        yield PatternLine("mark", ((x, low), (x, high)), label=label)


def _fits(flats: Sequence[FlatPart], slots: Sequence[Slot], blank: Polygon) -> Iterator[SlotFit]:
    """Each slot measured on the finished outlines, beside what goes through it."""
    polygon = shapely.union_all([flat.polygon for flat in flats])
    for slot in slots:
        fore, aft = _fore(slot.row), _aft(slot.row)
        if not flats or slot.aft >= 1.0 or not blank.bounds[0] < fore < aft < blank.bounds[2]:
            continue
        bottom, top = _room(blank, fore, aft)
        middle, centre = (max(slot.low, bottom) + min(slot.high, top)) / 2, (fore + aft) / 2
        along = polygon.intersection(LineString([(-1.0, middle), (1.0, middle)]))
        west, east = _free(along, 0, centre)
        upright = LineString([(centre, -1.0), (centre, 1.0)])
        edges = blank.intersection(upright).bounds
        south, north = _free(polygon.intersection(upright), 1, middle)
        south, north = max(south, edges[1]), min(north, edges[3])
        yield SlotFit(
            part=flats[0].key,
            through=", ".join(dict.fromkeys(p.stick.part for p in slot.row)),
            slot=east - west,
            thickness=aft - fore,
            height=north - south,
            needed=min(_tallest(slot.row), edges[3] - edges[1]),
        )


def _free(crossed: BaseGeometry, axis: int, place: float) -> tuple[float, float]:
    """The gap round a place in what a line crosses, along x (0) or y (1). [m]"""
    pieces = [(b[axis], b[axis + 2]) for b in (g.bounds for g in _lines_in(crossed))]
    before = max((end for _, end in pieces if end <= place), default=-1.0)
    return before, min((start for start, _ in pieces if start >= place), default=1.0)


def _lines_in(crossed: BaseGeometry) -> list[BaseGeometry]:
    return [g for g in getattr(crossed, "geoms", [crossed]) if not g.is_empty]
