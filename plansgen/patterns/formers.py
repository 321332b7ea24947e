"""Formers: the inside of a body at a place, with tabs for the sides and notches for sticks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from shapely import GeometryCollection, LinearRing, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from plansgen.airframe.build import BodyPart
from plansgen.airframe.inside import Room, profile, room_at, value, walls_of
from plansgen.balance.drawn import PartRef
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns.allowance import CLEARANCE
from plansgen.patterns.body_openings import former_opened
from plansgen.patterns.flat import FlatPart, Label, Outline, PatternLine, Point, signed_area
from plansgen.patterns.lightening import WEB, lightened
from plansgen.patterns.naming import key_of
from plansgen.patterns.panel import Panel
from plansgen.patterns.seams import SlotFit
from plansgen.patterns.unrolled import Pose
from plansgen.patterns.weights import both_sides, of_sheet, on_pose
from plansgen.patterns.wraps import plain

LEAST_TAB, MOST_TAB = 0.006, 0.020
"""A tab is a sixth of the former's height, but within these. [m]"""

ONE_TAB = 0.030
"""A former lower than this has one tab a side. [m]"""

SHALLOW = 0.001
"""A stick that reaches into a former by less gets no notch: the edge is pared. [m]"""

MARGIN = 0.004
"""A former nearer to the end of the sides has no tabs: its slots would break out. [m]"""

TOUCHES = 0.002
"""A stick so near to the edge of a former lies in a notch that is open to it. [m]"""

_ROUND = 96  # corners of a round former


@dataclass(frozen=True)
class Tab:
    """A tab on both sides of a former, and the slots that it goes through. [m]"""

    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Former:
    """A former as a flat part, and where it stands. x: of its front face. [m]

    misplaced: its openings that do not fit, in words.
    """

    part: FlatPart
    body: BodyPart
    room: Room
    x: float
    reach: float
    tabs: tuple[Tab, ...]
    pose: Pose
    misplaced: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Stick:
    """A stick's cross-section in a body at one place. [m]"""

    name: str
    west: float
    south: float
    east: float
    north: float


def named_formers(part: Part) -> list[tuple[float, str]]:
    """Place along the body's own x, and name, of each former of a part. [m]"""
    if part.formers is None:
        return []
    at = part.formers.at
    names = part.formers.names
    if names is None:
        many = len(at) > 1
        names = tuple(f"{part.name} {n}" if many else part.name for n in range(1, len(at) + 1))
    return list(zip(at, names, strict=True))


def formers_of(
    body: BodyPart, parts: Sequence[Part], materials: Mapping[str, Material]
) -> list[Former]:
    """The formers of a body (of one, where there is a pair), as the design lists them.

    The front face stands at the place given; the former is as large as the smaller of the body's
    insides at its two faces, so that it goes in.
    """
    walls = walls_of(parts, materials)
    found = []
    for index, part in enumerate(parts):
        material = materials[part.material]
        thickness = float(material.thickness or 0.0)
        for place, name in named_formers(part):
            x = body.origin[0] + place
            room = room_at(body, x, walls, deep=thickness)
            sticks = list(_sticks(parts, body, x, room))
            outside = profile(body.frames, "sides")
            reach = min(value(outside, x), value(outside, x + thickness)) - room.half
            ends = body.frames[0].x + walls.front, body.frames[-1].x - walls.rear
            tabbed = ends[0] + MARGIN <= x and x + thickness <= ends[1] - MARGIN
            tabs = _tabs(room, sticks) if walls.sides and tabbed and not room.round else ()
            flat = _flat(part, name, room, sticks, reach, tabs, thickness)
            flat = replace(
                flat,
                key=key_of(body.key, name),
                mirrored=1 if body.mirrored else 0,
            )
            flat, wrong = former_opened(flat, part, body, room.y)
            pose = Pose((x, room.y, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
            shape = on_pose(flat.polygon, pose, deep=thickness / 2)
            shape = both_sides(shape, mirrored=body.mirrored)
            ref, area = PartRef(body.key, index), flat.area * flat.pieces
            flat = replace(flat, drawn=(of_sheet(ref, part, material, shape, area=area),))
            found.append(Former(flat, body, room, x, reach, tabs, pose, tuple(wrong)))
    return found


def _flat(
    part: Part,
    name: str,
    room: Room,
    sticks: Sequence[_Stick],
    reach: float,
    tabs: Sequence[Tab],
    thickness: float,
) -> FlatPart:
    whole = _inside(room)
    body: BaseGeometry = whole
    lines: list[PatternLine] = []
    for stick in sticks:
        notch = _notch(stick, room)
        if notch is not None:
            body = body.difference(notch)
        elif whole.intersects(box(stick.west, stick.south, stick.east, stick.north)):
            corners = _corners(stick.west, stick.south, stick.east, stick.north)
            words = f"{stick.name} passes: cut to fit"
            lines.append(PatternLine("mark", corners, closed=True, label=words))
    for tab in tabs:
        for side in (-1.0, 1.0):
            ends = sorted((side * (room.half - 1e-6), side * (room.half + reach)))
            body = body.union(box(ends[0], tab.low, ends[1], tab.high))
    polygon = _largest(body)
    core = _largest(polygon.intersection(whole))
    holes, note = _holes(core, whole, part.share)
    label = Label(0.0, room.high - min(0.004, room.height / 8), "top", size=0.003)
    return FlatPart(
        key="former",
        name=name,
        material=part.material,
        thickness=thickness,
        outline=_ring(polygon.exterior),
        holes=holes,
        lines=tuple(lines),
        labels=(label,),
        note=note,
    )


def _inside(room: Room) -> Polygon:
    if not room.round:
        return box(-room.half, room.low, room.half, room.high)
    middle = (room.low + room.high) / 2
    angles = (2 * math.pi * n / _ROUND for n in range(_ROUND))
    return Polygon(
        [(room.half * math.cos(a), middle + room.height / 2 * math.sin(a)) for a in angles]
    )


def _ring(ring: LinearRing) -> Outline:
    """Counter-clockwise, without points that stand out by nothing."""
    points = plain(tuple((float(x), float(y)) for x, y in list(ring.coords)[:-1]))
    return points if signed_area(points) > 0 else (points[0], *points[:0:-1])


def _largest(shape: BaseGeometry) -> Polygon:
    if isinstance(shape, Polygon):
        return shape
    assert isinstance(shape, MultiPolygon | GeometryCollection)  # of polygons only these come
    return max((g for g in shape.geoms if isinstance(g, Polygon)), key=lambda g: float(g.area))


# --- sticks ----------------------------------------------------------------------------------


def _sticks(parts: Sequence[Part], body: BodyPart, x: float, room: Room) -> Iterator[_Stick]:
    """Sticks along the body that are there at x; their y is from the body's middle."""
    _, y0, z0 = body.origin
    here = x - body.origin[0]
    for part in parts:
        run, size = part.run, part.size
        if run is None or size is None or not run.from_ <= here <= run.to:
            continue
        width = size.width or size.diameter or 0.0
        height = size.height or size.diameter or 0.0
        for y, z in _places(part, room, y0 + run.y - room.y, z0 + run.z, width, height):
            yield _Stick(part.name, y - width / 2, z - height / 2, y + width / 2, z + height / 2)


def _places(part: Part, room: Room, y: float, z: float, width: float, height: float) -> list[Point]:
    if part.lies == "corners":
        across, low, high = room.half - width / 2, room.low + height / 2, room.high - height / 2
        return [(side * across, level) for side in (-1.0, 1.0) for level in (low, high)]
    # Two of a stick off the middle are one on each side.
    return [(y, z), (-y, z)] if part.count == 2 and abs(y) > width / 2 else [(y, z)]


def _notch(stick: _Stick, room: Room) -> Polygon | None:
    """The cut-out of a stick that lies along the edge of a former; None where none does."""
    west, south = stick.west - CLEARANCE / 2, stick.south - CLEARANCE / 2
    east, north = stick.east + CLEARANCE / 2, stick.north + CLEARANCE / 2
    least = min(room.half - west, east + room.half, room.high - south, north - room.low)
    if least < SHALLOW:
        return None
    open_to_edge = False
    if west <= -room.half + TOUCHES:
        west, open_to_edge = -room.half - 0.001, True
    if east >= room.half - TOUCHES:
        east, open_to_edge = room.half + 0.001, True
    if south <= room.low + TOUCHES:
        south, open_to_edge = room.low - 0.001, True
    if north >= room.high - TOUCHES:
        north, open_to_edge = room.high + 0.001, True
    return box(west, south, east, north) if open_to_edge and not room.round else None


# --- tabs and slots --------------------------------------------------------------------------


def _tabs(room: Room, sticks: Sequence[_Stick]) -> tuple[Tab, ...]:
    """Tabs at a quarter and three quarters of the height, moved off the notches."""
    high = min(max(room.height / 6, LEAST_TAB), MOST_TAB)
    if room.height < high + 2 * LEAST_TAB:
        return ()
    shares = (0.5,) if room.height < ONE_TAB else (0.25, 0.75)
    taken = [(s.south - 0.003, s.north + 0.003) for s in sticks if _notch(s, room) is not None]
    found: list[Tab] = []
    for share in shares:
        middle = room.low + share * room.height
        for away in sorted((n * 0.001 for n in range(-20, 21)), key=lambda v: (abs(v), v)):
            tab = Tab(middle + away - high / 2, middle + away + high / 2)
            inside = room.low + 0.002 <= tab.low and tab.high <= room.high - 0.002
            clear = all(tab.high <= a or tab.low >= b for a, b in taken)
            apart = all(tab.low >= t.high + 0.004 or tab.high <= t.low - 0.004 for t in found)
            if inside and clear and apart:
                found.append(tab)
                break
    return tuple(found)


def slots_in(panel: Panel, former: Former) -> list[Outline]:
    """The slots of a former's tabs in a side, in the panel's axes; empty where there are none.

    A tab stands square to the body, a sheet may not: the slot is longer by what a slanting sheet
    takes of its own thickness.
    """
    sheet, layer = panel.sheet, panel.layer
    thickness = former.part.thickness
    if panel.face != "starboard" or sheet is None:
        return []
    if not (panel.start <= former.x and former.x + thickness <= panel.end):
        return []
    west, east = _span(panel, former.x, former.x + thickness)
    half = CLEARANCE / 2
    return [
        _corners(west - half, tab.low - half, east + half, tab.high + half)
        for tab in former.tabs
        if layer.thickness > 0
    ]


def _span(panel: Panel, fore: float, aft: float) -> tuple[float, float]:
    """From where to where something between two places goes through a sheet, on the flat. [m]"""
    sheet = panel.sheet
    assert sheet is not None  # only faces along the body have slots
    lean = panel.layer.thickness * math.tan(sheet.slope(fore)) * sheet.outward
    ends = [sheet.at(fore), sheet.at(aft, ahead=True)]
    ends += [end - lean for end in ends]
    return min(ends), max(ends)


def on_inner_face(panel: Panel, x: float) -> float:
    """Place on the flat sheet of a place along the body, on the inner face. [m]"""
    sheet = panel.sheet
    assert sheet is not None  # only faces along the body have an inner face with marks
    return sheet.at(x) - panel.layer.thickness * math.tan(sheet.slope(x)) * sheet.outward


def slot_fits(panel: Panel, former: Former, slots: Sequence[Outline]) -> list[SlotFit]:
    """How the tabs of a former go through a side, measured on both flat parts."""
    sheet = panel.sheet
    found = []
    for tab, slot in zip(former.tabs, slots, strict=False):
        assert sheet is not None  # slots are in faces along the body
        west, south = slot[0]
        east, north = slot[2]
        lean = panel.layer.thickness * abs(math.sin(sheet.slope(former.x)))
        needed = former.part.thickness / math.cos(sheet.slope(former.x)) + lean
        found.append(
            SlotFit(
                part=panel.part.key,
                through=former.part.key,
                slot=east - west,
                thickness=needed,
                height=north - south,
                needed=tab.high - tab.low,
            )
        )
    return found


def _corners(west: float, south: float, east: float, north: float) -> Outline:
    return ((west, south), (east, south), (east, north), (west, north))


# --- lightening ------------------------------------------------------------------------------


def _holes(core: Polygon, whole: Polygon, share: float) -> tuple[tuple[Outline, ...], str]:
    """The openings that leave a share of the former, as far as its frame allows; and a remark."""
    wanted = (1.0 - share) * float(whole.area)
    (left,) = lightened([core], wanted)
    lost = float(core.area - left.area)
    holes = tuple(_ring(ring) for ring in left.interiors)
    if lost >= 0.98 * wanted:
        return holes, ""
    note = (
        f"A frame of {WEB * 1000:.0f} mm leaves {(1.0 - lost / float(whole.area)) * 100:.0f} % of "
        f"it; the design asks for {share * 100:.0f} %."
    )
    return holes, note
