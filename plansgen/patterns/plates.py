"""Flat surfaces of one sheet: tailplanes, fins, with their controls as pieces of their own."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from plansgen.airframe.build import ControlSurface, cut, station_at
from plansgen.airframe.planform import StationPoint, panel_tilts
from plansgen.balance.drawn import Drawn, PartRef
from plansgen.balance.target import Target
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns.allowance import sheet_thickness
from plansgen.patterns.flat import FlatPart, Outline, PatternLine, Point
from plansgen.patterns.naming import key_of
from plansgen.patterns.openings import opened
from plansgen.patterns.seams import EdgeRef, Seam
from plansgen.patterns.skin_openings import begins_on, cutouts_of
from plansgen.patterns.solid import SurfaceSolid
from plansgen.patterns.unrolled import Pose
from plansgen.patterns.weights import both_sides, of_sheet, on_pose
from plansgen.patterns.wraps import plain

HINGE_GAP = 0.0005
"""Between a plate and its control; estimate: the thickness of the hinge tape and a bit. [m]"""

END_GAP = 0.001
"""Between the ends of a control and what it moves in; estimate. [m]"""

_LEVEL = math.radians(0.05)
_TICK = 0.005
_EVERY = 0.1
_MARK = 0.012
_BENT = 0.0005  # a hinge that leaves the straight line by less is straight [m]
_SMALLEST = 1e-6  # pieces smaller than this are dropped [m²]


@dataclass(frozen=True, eq=False)
class Plates:
    """Flat parts of one plate, the seams of its hinges, and openings that do not fit."""

    parts: tuple[FlatPart, ...]
    seams: tuple[Seam, ...]
    misplaced: tuple[str, ...] = ()

    @property
    def moving(self) -> frozenset[str]:
        """Keys of the parts that hang on hinges."""
        return frozenset(seam.b.part for seam in self.seams if seam.kind == "hinge")


@dataclass(frozen=True)
class _Panel:
    stations: tuple[StationPoint, ...]
    whole: bool  # both halves in one piece, across the centre line
    number: int
    several: bool
    x: float  # of the root's leading edge


def plates(
    solid: SurfaceSolid,
    index: int,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
    target: Target | None,
) -> Plates:
    """A plate as flat parts: span to the right, leading edge up.

    Args:
        solid: The surface.
        index: Place of its plate in the list of parts.
        parts: All of its parts, whose sticks are marked.
        materials: Of the design.
        target: Where the model balances; None where it is not marked on this surface.
    """
    part = parts[index]
    ref, material = PartRef(solid.surface.key, index), materials[part.material]
    flats: list[FlatPart] = []
    seams: list[Seam] = []
    wrong: list[str] = []
    for panel in _panels(solid, part):
        found, hinges = _panel(solid, part, parts, materials, target, panel)
        found, unfit = _opened(solid, part, panel, found)
        flats += [
            replace(flat, drawn=(_drawn(ref, part, material, panel, flat),)) for flat in found
        ]
        seams += hinges
        wrong += unfit
    return Plates(tuple(flats), tuple(seams), tuple(wrong))


def _opened(
    solid: SurfaceSolid, part: Part, panel: _Panel, flats: Sequence[FlatPart]
) -> tuple[list[FlatPart], list[str]]:
    """The pieces of a panel with its openings, each in the piece that its middle lies on."""
    start, end = panel.stations[0].span, panel.stations[-1].span
    over = (part.over.from_, part.over.to) if part.over else (0.0, 1.0)

    def place(span: float, share: float) -> Point:
        station = station_at(panel.stations, abs(span))
        x, y = _place(panel, station, share)
        return math.copysign(x, span), y

    found, wrong = list(flats), list[str]()
    for opening in part.openings:
        if opening.item or not begins_on(opening, start, end):
            continue
        west = -end if panel.whole else start
        for cutout in cutouts_of(opening, solid.stations, place, west, end, over):
            middle = Polygon(cutout.ring).centroid
            own = [n for n, flat in enumerate(found) if flat.polygon.buffer(1e-3).covers(middle)]
            number = own[0] if own else 0
            found[number], unfit = opened(found[number], [cutout])
            wrong += unfit
    return found, wrong


def _drawn(ref: PartRef, part: Part, material: Material, panel: _Panel, flat: FlatPart) -> Drawn:
    """A piece in its place: the chord as it is twisted at the middle of the panel."""
    inner, outer = panel.stations[0], panel.stations[-1]
    tilt, twist = panel_tilts(panel.stations)[0], (inner.twist + outer.twist) / 2
    along = np.array([0.0, math.cos(tilt), math.sin(tilt)])
    ahead = np.array([-math.cos(twist), -math.sin(twist) * math.sin(tilt), 0.0])
    ahead[2] = math.sin(twist) * math.cos(tilt)
    span, chord = _place(panel, inner, 0.0)
    start = np.array([inner.x, inner.y, inner.z]) - along * span - ahead * chord
    axes = (tuple(float(v) for v in axis) for axis in (start, along, ahead, ahead))
    shape = on_pose(flat.polygon, Pose(*axes))  # type: ignore[arg-type]
    shape = both_sides(shape, mirrored=flat.mirrored > 0)
    return of_sheet(ref, part, material, shape, area=flat.area * flat.pieces)


def _panels(solid: SurfaceSolid, part: Part) -> Iterator[_Panel]:
    """Stretches between bends in height; one at the centre line without dihedral is whole."""
    end = part.to if part.to is not None else solid.stations[-1].span
    stations = cut(solid.stations, part.from_ or 0.0, end)
    bends = [
        solid.stations[n].span
        for n in range(1, len(solid.stations) - 1)
        if abs(solid.tilts[n] - solid.tilts[n - 1]) > _LEVEL
    ]
    edges = [stations[0].span, *(b for b in bends if stations[0].span < b < end), end]
    for number, (a, b) in enumerate(pairwise(edges), 1):
        flat = number == 1 and a == 0.0 and solid.centred and abs(solid.tilts[0]) < _LEVEL
        yield _Panel(cut(stations, a, b), flat, number, len(edges) > 2, solid.stations[0].x)


def _panel(
    solid: SurfaceSolid,
    part: Part,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
    target: Target | None,
    panel: _Panel,
) -> tuple[list[FlatPart], list[Seam]]:
    surface = solid.surface
    over = (part.over.from_, part.over.to) if part.over else (0.0, 1.0)
    start, end = panel.stations[0].span, panel.stations[-1].span
    controls = [c for c in surface.controls if c.inboard < end and c.outboard > start]
    rest: BaseGeometry = _area(panel, over)
    for control in controls:
        room = _control(panel, control, over[1], 0.0)
        rest = rest.difference(room)
        if panel.whole and not _across(panel, control):
            rest = rest.difference(shapely.transform(room, lambda p: p * [-1.0, 1.0]))
    pieces = [p for p in getattr(rest, "geoms", [rest]) if p.area > _SMALLEST]
    reach = f", {start * 1000:.0f} to {end * 1000:.0f}" if panel.several else ""
    blank = FlatPart(
        key=key_of(surface.key, part.name, str(panel.number) if panel.several else ""),
        name=part.name + reach,
        material=part.material,
        thickness=sheet_thickness(materials[part.material]),
        outline=(),
        count=part.count,
        mirrored=0 if panel.whole or not surface.mirrored else part.count,
        grain=math.pi / 2 if part.grain == "across" else 0.0,
        note=_note(solid, part, panel),
    )
    flats = [
        replace(
            blank,
            key=blank.key if not number else f"{blank.key}-{number + 1}",
            name=blank.name + (f", piece {number + 1}" if number else ""),
            outline=plain(_ring(piece)),
            lines=tuple(_marks(solid, panel, parts, controls, piece, target)),
        )
        for number, piece in enumerate(sorted(pieces, key=lambda p: -p.area))
    ]
    moving = [_moving(solid, panel, control, over[1], blank) for control in controls]
    seams = [
        _hinge_seam(surface.title, panel, control, blank.key, flat.key)
        for control, flat in zip(controls, moving, strict=True)
    ]
    return [*flats, *moving], seams


def _moving(
    solid: SurfaceSolid, panel: _Panel, control: ControlSurface, aft: float, blank: FlatPart
) -> FlatPart:
    """A control as a piece of its own."""
    surface, words = solid.surface, control.key.replace("_", " ")
    whole = _across(panel, control)
    piece = _control(panel, control, aft, HINGE_GAP)
    return replace(
        blank,
        key=key_of(surface.key, words, str(panel.number) if panel.several else ""),
        name=f"{surface.title}, {words}",
        outline=plain(_ring(piece)),
        lines=tuple(_hinges(panel, control, piece, blank.thickness)),
        mirrored=0 if whole or not surface.mirrored else blank.count,
        note=f"Bevel the hinged edge 45°, for {math.degrees(_travel(solid, control)):.0f}° of "
        "travel; the line is how far the bevel reaches on the face away from the hinge."
        + _kinked(panel, control),
    )


def _kinked(panel: _Panel, control: ControlSurface) -> str:
    """What the straight hinge leaves of the share of the chord, where stations lie between."""
    a, b = (
        max(control.inboard, panel.stations[0].span),
        min(control.outboard, panel.stations[-1].span),
    )
    line = [_place(panel, s, 1 - control.chord_share) for s in cut(panel.stations, a, b)]
    (x0, y0), (x1, y1) = line[0], line[-1]
    off = max(abs(y - y0 - (y1 - y0) * (x - x0) / (x1 - x0)) for x, y in line)
    if off <= _BENT:
        return ""
    bent = f"{off * 1000:.1f} mm"
    return f" The hinge is straight; at a constant share of the chord it would bend by {bent}."


def _hinge_seam(
    title: str, panel: _Panel, control: ControlSurface, fixed: str, moving: str
) -> Seam:
    """The hinged edge and the line it hangs on; the control is shorter by the gaps at its ends."""
    words = control.key.replace("_", " ")
    ends = -2 * END_GAP
    return Seam(
        f"{title}: hinge of the {words}",
        EdgeRef(fixed, "hinge line", _hinge(panel, control, 0.0), ends),
        EdgeRef(moving, "hinged edge", _hinge(panel, control, HINGE_GAP)),
        "hinge",
    )


def _across(panel: _Panel, control: ControlSurface) -> bool:
    """Whether a control goes across the centre line in one piece: its hinge is straight there."""
    if not panel.whole or control.inboard > 1e-9:
        return False
    ends = cut(panel.stations, control.inboard, control.outboard)
    inner, outer = (_place(panel, s, 1 - control.chord_share) for s in (ends[0], ends[-1]))
    return abs(outer[1] - inner[1]) <= _BENT


def _note(solid: SurfaceSolid, part: Part, panel: _Panel) -> str:
    words = ["Across the centre line in one piece." if panel.whole else "Root to the left."]
    twist = abs(panel.stations[0].twist - panel.stations[-1].twist)
    if twist > math.radians(0.2):
        words.append(f"Twisted {math.degrees(twist):.1f}° when it is glued on.")
    if part.share < 1.0:
        words.append(f"Openings are not drawn: {100 * (1 - part.share):.0f} % is cut out.")
    if solid.file.section is not None and solid.file.section.kind == "cambered plate":
        words.append("Bend it to its camber; the chord is drawn flat.")
    return " ".join(words)


def _travel(solid: SurfaceSolid, control: ControlSurface) -> float:
    return solid.file.controls[control.key].travel


def _place(panel: _Panel, station: StationPoint, share: float) -> Point:
    """Span to the right, chord down. [m]"""
    return station.span, panel.x - (station.x + share * station.chord)


def _area(panel: _Panel, over: tuple[float, float]) -> Polygon:
    fore = [_place(panel, s, over[0]) for s in panel.stations]
    aft = [_place(panel, s, over[1]) for s in panel.stations]
    return _both(Polygon([*aft, *reversed(fore)]), panel.whole)


def _both(half: Polygon, whole: bool) -> Polygon:
    if not whole:
        return half.buffer(0)
    other = shapely.transform(half, lambda p: p * [-1.0, 1.0])
    joined = shapely.union_all([half.buffer(0), other.buffer(0)], grid_size=1e-9)
    assert isinstance(joined, Polygon)  # the halves share their root
    return joined


def _hinge(panel: _Panel, control: ControlSurface, gap: float) -> Outline:
    """The hinge line of the plate (no gap) or of the control, straight on each half. [m]"""
    whole = _across(panel, control)
    start, end = panel.stations[0].span, panel.stations[-1].span
    short = 0.0 if gap == 0.0 else END_GAP
    a, b = max(control.inboard, start), min(control.outboard, end)
    if not whole:
        a += short
    b -= short
    ends = cut(panel.stations, max(control.inboard, start), min(control.outboard, end))
    (x0, y0), (x1, y1) = (_place(panel, s, 1 - control.chord_share) for s in (ends[0], ends[-1]))
    line = [(x, y0 + (y1 - y0) * (x - x0) / (x1 - x0) - gap) for x in (a, b)]
    if whole:
        line = [*((-x, y) for x, y in reversed(line)), *line[1:]]
    return tuple(line)


def _control(panel: _Panel, control: ControlSurface, aft: float, gap: float) -> Polygon:
    """What a control is, or with no gap, what is cut out for it. [m]"""
    whole = _across(panel, control)
    hinge = [p for p in _hinge(panel, control, gap) if not whole or p[0] >= 0.0]
    stations = cut(panel.stations, hinge[0][0], hinge[-1][0])
    edge = [_place(panel, s, aft) for s in stations]
    if gap == 0.0:  # past the edge, so that nothing of it is left on the plate
        edge = [(x, y - 0.05) for x, y in edge]
        at_tip = hinge[-1][0] >= panel.stations[-1].span - 1e-9
        if at_tip:
            hinge = [*hinge, (hinge[-1][0] + 0.05, hinge[-1][1])]
            edge = [*edge, (edge[-1][0] + 0.05, edge[-1][1])]
    return _both(Polygon([*edge, *reversed(hinge)]), whole)


def _hinges(
    panel: _Panel, control: ControlSurface, piece: Polygon, thickness: float
) -> Iterator[PatternLine]:
    line = _hinge(panel, control, HINGE_GAP)
    yield PatternLine("hinge", line, label="hinge")
    lower = tuple((x, y - thickness) for x, y in line)
    yield from _within("bevel", lower, piece, "bevel 45° to here")


def _within(kind: str, line: Outline, piece: Polygon, label: str) -> Iterator[PatternLine]:
    """The stretches of a line that lie on a piece."""
    crossed = shapely.LineString(line).intersection(piece)
    for one in getattr(crossed, "geoms", [crossed]):
        if one.length > 1e-4:
            points = tuple((float(x), float(y)) for x, y in one.coords)
            yield PatternLine(kind, points, label=label)  # type: ignore[arg-type]


def _ring(piece: Polygon) -> Outline:
    ring = shapely.geometry.polygon.orient(piece).exterior
    return tuple((float(x), float(y)) for x, y in ring.coords[:-1])


def _marks(
    solid: SurfaceSolid,
    panel: _Panel,
    parts: Sequence[Part],
    controls: Sequence[ControlSurface],
    piece: Polygon,
    target: Target | None,
) -> Iterator[PatternLine]:
    sides = (1.0, -1.0) if panel.whole else (1.0,)
    start, end = panel.stations[0].span, panel.stations[-1].span
    for control in controls:
        for side in (1.0,) if _across(panel, control) else sides:
            line = tuple((side * x, y) for x, y in _hinge(panel, control, 0.0))
            yield PatternLine("hinge", line, label=f"hinge of the {control.key.replace('_', ' ')}")
    for part in parts:
        if part.run is None or part.run.from_ >= end or part.run.to <= start:
            continue
        stations = cut(panel.stations, max(part.run.from_, start), min(part.run.to, end))
        for side in sides:
            line = tuple((side * s.span, _place(panel, s, part.run.at)[1]) for s in stations)
            yield from _within("mark", line, piece, f"middle of {part.name}")
    for number in range(math.ceil(start / _EVERY + 1e-6), math.floor(end / _EVERY - 1e-6) + 1):
        (station,) = cut(panel.stations, number * _EVERY, number * _EVERY)[:1]
        for side in sides:
            x, y = side * station.span, _place(panel, station, 0.0)[1]
            label = f"{station.span * 1000:.0f}"
            yield PatternLine("mark", ((x, y), (x, y - _TICK)), label=label)
    if panel.whole:
        line = ((0.0, piece.bounds[3]), (0.0, piece.bounds[1]))
        yield from _within("mark", line, piece, "centre line")
    if target is not None and start == 0.0:
        root = solid.stations[0]
        for words, x in (
            ("balance", target.x),
            ("forward limit", target.forward_x),
            ("aft limit", target.aft_x),
        ):
            back = x - root.x
            if 0 < back < root.chord:
                place = (0.0, panel.x - x), (_MARK, panel.x - x)
                yield PatternLine("mark", place, label=f"{words} {back * 1000:.0f} mm")
