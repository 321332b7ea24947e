"""What is marked on the inside of a body's panels, so that nobody measures twice.

Only what the design places for certain: formers, sticks along a side, the wing, dowels and struts
that go through, things that lie against a panel, the battery bay, the motor's shaft. Nothing of it
is cut: openings are cut at the bench, by the steps.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from shapely import LineString, MultiLineString

from plansgen.airframe.build import Airframe, BodyPart
from plansgen.airframe.inside import Walls, profile, room_at, value
from plansgen.library.models import DesignFile, Item, Part
from plansgen.patterns.firewall import shafts_through
from plansgen.patterns.flat import Outline, PatternLine, Point
from plansgen.patterns.formers import Former, on_inner_face
from plansgen.patterns.panel import Panel
from plansgen.patterns.unrolled import Unrolled

_TOUCHES = 0.003  # what comes so near to a panel touches it [m]
_THROUGH = 0.002  # what ends so near to the outside reaches it [m]
_SITS = 0.03  # a wing so near above or below a body sits on it [m]
_CIRCLE = 24  # corners of a marked circle


def marks_on(
    panel: Panel,
    file: DesignFile,
    airframe: Airframe,
    formers: Sequence[Former],
    walls: Walls,
) -> list[PatternLine]:
    """The marks on a panel of a box body; what lies against its inside only on the innermost layer.

    Args:
        panel: The panel.
        file: The design.
        airframe: Its geometry.
        formers: Of the same body.
        walls: Of the same body.
    """
    found: list[PatternLine] = []
    if panel.sheet is None:
        return [line for shaft in shafts_through(panel, file) for line in shaft.lines]
    found += _former_lines(panel, formers)
    if panel.face == "starboard":
        found += _wing_lines(panel, airframe)
        found += _through(panel, file)
        if _innermost(panel, walls):
            found += _stick_lines(panel, file.bodies[panel.body.key].parts, walls)
            found += _side_items(panel, file.items, walls)
    elif panel.face == "bottom" and _innermost(panel, walls):
        found += _bay(panel, file)
        found += _floor_items(panel, file.items, walls)
    return found


def _innermost(panel: Panel, walls: Walls) -> bool:
    wall = walls.sides if panel.face == "starboard" else walls.bottom
    return panel.layer.depth + panel.layer.thickness > wall - 1e-9


def _former_lines(panel: Panel, formers: Sequence[Former]) -> Iterator[PatternLine]:
    """The front face of each former."""
    for former in formers:
        if not panel.start <= former.x <= panel.end:
            continue
        s = on_inner_face(panel, former.x)
        points = _clipped(((s, -10.0), (s, 10.0)), panel)
        if points:
            station = former.x - panel.body.origin[0]
            label = f"{former.part.name}, front face at {station * 1000:.0f} mm"
            yield PatternLine("mark", points, label=label)


def _stick_lines(panel: Panel, parts: Sequence[Part], walls: Walls) -> Iterator[PatternLine]:
    """The middle of sticks that lie along a side."""
    x0, y0, z0 = panel.body.origin
    done: set[tuple[float, float, float]] = set()
    for part in parts:
        run, size = part.run, part.size
        if run is None or size is None or part.lies is not None:
            continue
        half = room_at(panel.body, x0 + (run.from_ + run.to) / 2, walls).half
        wide = (size.width or size.diameter or 0.0) / 2
        if abs(abs(y0 + run.y - panel.body.frames[0].y) + wide - half) > 2 * _TOUCHES:
            continue
        key = (run.from_, run.to, run.z)
        if key in done:
            continue
        done.add(key)
        start, end = max(x0 + run.from_, panel.start), min(x0 + run.to, panel.end)
        if end > start and panel.sheet is not None:
            line = panel.sheet.edge(((start, z0 + run.z), (end, z0 + run.z)))
            points = _clipped(line, panel)
            if points:
                yield PatternLine("mark", points, label=f"middle of {_either(part.name)}")


def _either(name: str) -> str:
    """A part's name without the side it is on: a panel serves both."""
    words = [word for word in name.split() if word.lower() not in ("port", "starboard")]
    return " ".join(words) or name


def _wing_lines(panel: Panel, airframe: Airframe) -> Iterator[PatternLine]:
    """Where a wing or tailplane passes through or sits on the body: its chord line at the root."""
    body, sheet = panel.body, panel.sheet
    assert sheet is not None  # only faces along the body come here
    for surface in airframe.surfaces:
        root = surface.stations[0]
        if surface.role == "fin" or abs(root.y - body.frames[0].y) > _width(body) / 2:
            continue
        drop = root.chord * math.tan(root.twist)
        ends = ((root.x, root.z), (root.x + root.chord, root.z - drop))
        middle = (ends[0][0] + ends[1][0]) / 2
        if not body.frames[0].x <= middle <= body.frames[-1].x:
            continue
        low, high = (value(profile(body.frames, face), middle) for face in ("bottom", "top"))
        if not low - _SITS <= (ends[0][1] + ends[1][1]) / 2 <= high + _SITS:
            continue
        line = _clipped(sheet.edge(ends), panel)
        if line:
            yield PatternLine("mark", line, label=f"chord line of the {surface.title}")
        for (x, _), words in zip(ends, ("leading", "trailing"), strict=True):
            if panel.start < x < panel.end:
                yield _tick(panel, sheet, x, f"{words} edge of the {surface.title}")


def _width(body: BodyPart) -> float:
    return max(frame.width for frame in body.frames)


def _tick(panel: Panel, sheet: Unrolled, x: float, label: str) -> PatternLine:
    s = sheet.at(x)
    way = LineString([(s, -10.0), (s, 10.0)]).intersection(panel.polygon)
    top = way.bounds[3]
    return PatternLine("mark", ((s, top), (s, top - 0.008)), label=label)


def _through(panel: Panel, file: DesignFile) -> Iterator[PatternLine]:
    """Dowels, wires and struts that go through a side or end on it."""
    body, sheet = panel.body, panel.sheet
    assert sheet is not None  # only faces along the body come here
    if body.mirrored:
        return
    seen: set[tuple[int, int]] = set()
    for part in (*file.parts, *file.bodies[body.key].parts):
        points = [(p.x, p.y - body.frames[0].y, p.z) for p in part.line or ()]
        diameter = part.size.diameter if part.size and part.size.diameter else 0.002
        for a, b in pairwise(points):
            place = _meets(a, b, body)
            if place is None or not panel.start < place[0] < panel.end:
                continue
            middle = (sheet.at(place[0]), place[1])
            key = (round(middle[0] * 1e4), round(middle[1] * 1e4))
            if key in seen or not _clipped((middle, (middle[0] + 1e-4, middle[1])), panel):
                continue
            seen.add(key)
            words = _either(part.name)
            if "mm" not in words:
                words += f", {diameter * 1000:g} mm"
            yield PatternLine("mark", _circle(middle, diameter), closed=True, label=words)


def _meets(
    a: tuple[float, float, float], b: tuple[float, float, float], body: BodyPart
) -> Point | None:
    """X and z where a straight stretch goes through the outside of a side, or ends at it."""
    outside = profile(body.frames, "sides")
    gaps = [p[1] - value(outside, p[0]) for p in (a, b)]
    for point, gap in zip((a, b), gaps, strict=True):
        if abs(gap) <= _THROUGH:
            return point[0], point[2]
    if (gaps[0] > 0) == (gaps[1] > 0):
        return None
    share = gaps[0] / (gaps[0] - gaps[1])
    return a[0] + (b[0] - a[0]) * share, a[2] + (b[2] - a[2]) * share


def _side_items(panel: Panel, items: Sequence[Item], walls: Walls) -> Iterator[PatternLine]:
    """Bought things that lie against the inside of a side, as seen on it."""
    body, sheet = panel.body, panel.sheet
    assert sheet is not None  # only faces along the body come here
    for item in items:
        shown = item.size is not None and item.kind != "motor"
        if not shown or item.size is None or not panel.start < item.at.x < panel.end:
            continue
        room = room_at(body, item.at.x, walls)
        reach = abs(item.at.y - room.y) + item.size.y / 2
        inside = room.low - _TOUCHES <= item.at.z <= room.high + _TOUCHES
        if not inside or abs(reach - room.half) > _TOUCHES:
            continue
        xs = item.at.x - item.size.x / 2, item.at.x + item.size.x / 2
        box = _box(sheet, xs, (item.at.z - item.size.z / 2, item.at.z + item.size.z / 2))
        both = item.mirror or body.mirrored or abs(item.at.y - room.y) < _TOUCHES
        words = item.name if both else f"{item.name}, {_hand(item)} only"
        yield from _closed(box, panel, words)


def _hand(item: Item) -> str:
    return "port" if item.at.y < 0 else "starboard"


def _floor_items(panel: Panel, items: Sequence[Item], walls: Walls) -> Iterator[PatternLine]:
    """Bought things that stand on the floor."""
    body, sheet = panel.body, panel.sheet
    assert sheet is not None  # only faces along the body come here
    for item in items:
        if item.size is None or not panel.start < item.at.x < panel.end:
            continue
        room = room_at(body, item.at.x, walls)
        if abs(item.at.z - item.size.z / 2 - room.low) > _TOUCHES:
            continue
        if abs(item.at.y - room.y) > room.half:
            continue
        xs = item.at.x - item.size.x / 2, item.at.x + item.size.x / 2
        y = item.at.y - room.y
        box = _box(sheet, xs, (y - item.size.y / 2, y + item.size.y / 2))
        yield from _closed(box, panel, item.name)


def _bay(panel: Panel, file: DesignFile) -> Iterator[PatternLine]:
    """Where the middle of the battery may slide, as wide as the widest battery."""
    bay, body, sheet = file.bay, panel.body, panel.sheet
    assert sheet is not None  # only faces along the body come here
    if bay is None or abs(bay.y - body.frames[0].y) > _width(body) / 2 or body.mirrored:
        return
    low, high = (value(profile(body.frames, face), bay.from_) for face in ("bottom", "top"))
    if not low < bay.z < high:
        return
    widths = [battery.size.y for battery in file.batteries if battery.size]
    half = max(widths, default=0.02) / 2
    xs = max(bay.from_, panel.start), min(bay.to, panel.end)
    if xs[1] > xs[0]:
        yield from _closed(
            _box(sheet, xs, (-half, half)), panel, "the battery's middle slides in here"
        )


def _box(sheet: Unrolled, xs: tuple[float, float], across: tuple[float, float]) -> Outline:
    near = sheet.edge(((xs[0], across[0]), (xs[1], across[0])))
    far = sheet.edge(((xs[0], across[1]), (xs[1], across[1])))
    return (*near, *reversed(far))


def _circle(middle: Point, diameter: float) -> Outline:
    turns = (2 * math.pi * n / _CIRCLE for n in range(_CIRCLE))
    return tuple(
        (middle[0] + diameter / 2 * math.cos(a), middle[1] + diameter / 2 * math.sin(a))
        for a in turns
    )


def _closed(box: Outline, panel: Panel, words: str) -> Iterator[PatternLine]:
    """A closed mark where it lies on the panel, else the part of it that does."""
    points = _clipped((*box, box[0]), panel)
    if points:
        whole = len(points) == len(box) + 1
        yield PatternLine("mark", points[:-1] if whole else points, closed=whole, label=words)


def _clipped(line: Outline, panel: Panel) -> Outline:
    """The longest stretch of a line that lies on a panel; empty when none does."""
    cut = LineString(line).intersection(panel.polygon)
    pieces = list(cut.geoms) if isinstance(cut, MultiLineString) else [cut]
    lines = [piece for piece in pieces if isinstance(piece, LineString) and piece.length > 1e-6]
    if not lines:
        return ()
    best = max(lines, key=lambda piece: (piece.length, piece.bounds))
    return tuple((float(x), float(y)) for x, y in best.coords)
