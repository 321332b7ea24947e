"""A cut through a body: four walls of a box or a round skin, with the sticks along it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from plansgen.airframe.bodies import FramePoint
from plansgen.airframe.build import BodyPart
from plansgen.balance.opened import left_of, open_across
from plansgen.balance.placing import placed
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.structure.builder import Builder, Strip, joint
from plansgen.structure.cut import Cut, Place
from plansgen.structure.sticks import Placed, lay
from plansgen.structure.stock import Skin, Stick, skin_of, stick_of, thickest

_ROUND = 24  # straight strips of a round skin
_TOUCH = 0.003  # a longeron nearer to a wall than this is glued to it [m]
_FACES: dict[str, tuple[str, ...]] = {
    "all": ("starboard", "bottom", "port", "top"),
    "sides": ("starboard", "port"),
    "top": ("top",),
    "bottom": ("bottom",),
}


@dataclass(frozen=True)
class _Side:
    """One face of the outline, from corner to corner, going round clockwise seen from behind."""

    name: str
    start: Place
    end: Place
    skins: tuple[Skin, ...]
    trim: Place = (0.0, 0.0)  # how much shorter its middle line is at either end

    @property
    def reach(self) -> tuple[float, float]:
        """Where its middle line begins and ends, as shares."""
        length = math.dist(self.start, self.end)
        return self.trim[0] / length, 1.0 - self.trim[1] / length

    @property
    def inward(self) -> Place:
        """Unit vector into the body."""
        dx, dz = self.end[0] - self.start[0], self.end[1] - self.start[1]
        length = math.hypot(dx, dz)
        return (dz / length, -dx / length)

    def at(self, share: float, depth: float) -> Place:
        """A place along it, at a depth under the outside. [m]"""
        (ax, az), (bx, bz), (nx, nz) = self.start, self.end, self.inward
        return joint(ax + (bx - ax) * share + depth * nx, az + (bz - az) * share + depth * nz)


def frame_at(body: BodyPart, x: float) -> FramePoint:
    """The outline of a body at x, straight between its frames; clamped to its ends. [m]"""
    x = min(max(x, body.frames[0].x), body.frames[-1].x)
    for fore, aft in pairwise(body.frames):
        if x <= aft.x:
            share = (x - fore.x) / (aft.x - fore.x)
            values = {
                name: getattr(fore, name) + (getattr(aft, name) - getattr(fore, name)) * share
                for name in ("y", "z", "width", "height")
            }
            return FramePoint(x=x, **values)
    return body.frames[-1]


def body_cut(
    body: BodyPart,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
    x: float,
    *,
    damp: bool = False,
) -> Cut:
    """Cut a body at x of the body frame; y and z are measured from its own line. [m]

    Faces meet at the corners. A stick within 3 mm of a wall is glued to it; one that touches
    nothing is held by formers and carries by itself.
    """
    frame = frame_at(body, x)
    builder, ignored = Builder(), list[str]()
    sides = _sides(body, frame, _skins(body, parts, materials, x, ignored, damp=damp))
    centre = (0.0, frame.z - body.origin[2])
    sticks = _sticks(body, parts, materials, frame, ignored, damp=damp)
    holds = [_nearest(sides, one) for one in sticks]
    _lay_sides(builder, sides, holds)
    for number, (one, hold) in enumerate(zip(sticks, holds, strict=True)):
        top, bottom = lay(builder, one, f"{number}")
        if hold is not None:
            side, share = hold
            place = _line(side, share)
            builder.link(min((bottom, top), key=lambda end: math.dist(end, place)), place)
    return builder.cut(x, axis=centre, ignored=ignored)


def _skins(
    body: BodyPart,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
    x: float,
    ignored: list[str],
    *,
    damp: bool,
) -> dict[str, list[Skin]]:
    found: dict[str, list[Skin]] = {name: [] for name in _FACES["all"]}
    for part in parts:
        if part.cover is None or part.cover not in _FACES:
            continue
        skin = skin_of(_narrowed(body, part), materials, damp=damp)
        if skin is None:
            ignored.append(part.name)
            continue
        for name in _FACES[part.cover]:
            if not open_across(part, name, x, body):
                found[name].append(skin)
    return found


def _narrowed(body: BodyPart, part: Part) -> Part:
    """A cover whose windows count as spread over it evenly; where it is open across is apart."""
    windows = tuple(o for o in part.openings if o.width is not None or o.height is not None)
    if not windows:
        return part
    whole, _, _ = placed(part.model_copy(update={"openings": ()}), body)
    left = left_of(part.model_copy(update={"openings": windows}), body, whole)
    return part.model_copy(update={"share": part.share * left})


def _sides(body: BodyPart, frame: FramePoint, skins: Mapping[str, list[Skin]]) -> list[_Side]:
    y, z = 0.0, frame.z - body.origin[2]
    a, b = frame.width / 2, frame.height / 2
    if body.shape == "box":
        corners = [(y + a, z + b), (y + a, z - b), (y - a, z - b), (y - a, z + b)]
        names = _FACES["all"]
        ends = [*corners, corners[0]]
        inset = [skins[name][0].thickness / 2 if skins[name] else 0.0 for name in names]
        return [
            _Side(name, start, end, tuple(skins[name]), (inset[i - 1], inset[(i + 1) % 4]))
            for i, (name, (start, end)) in enumerate(zip(names, pairwise(ends), strict=True))
        ]
    turns = [(i + 0.5) * 2 * math.pi / _ROUND for i in range(_ROUND + 1)]
    # Corners a little outside keep the girth of the round outline.
    out = (math.pi / _ROUND) / math.sin(math.pi / _ROUND)
    places = [(y + out * a * math.sin(t), z + out * b * math.cos(t)) for t in turns]
    places[-1] = places[0]
    sides = []
    for number, (start, end) in enumerate(pairwise(places)):
        name = _FACES["all"][int(((number + 1) * 360 / _ROUND - 45) // 90) % 4]
        side = _Side(name, start, end, tuple(skins[name]))
        short = _depth(side) * math.tan(math.pi / _ROUND)
        sides.append(replace(side, trim=(short, short)))
    return sides


def _depth(side: _Side) -> float:
    """Of the middle of its outermost skin under the outside. [m]"""
    return side.skins[0].thickness / 2 if side.skins else 0.0


def _line(side: _Side, share: float) -> Place:
    return side.at(share, _depth(side))


Hold = tuple[_Side, float]


def _lay_sides(builder: Builder, sides: Sequence[_Side], holds: Sequence[Hold | None]) -> None:
    for number, side in enumerate(sides):
        if not side.skins:
            continue
        breaks = {round(hold[1], 9) for hold in holds if hold is not None and hold[0] is side}
        shares = sorted({*side.reach, *breaks})
        for fore, aft in pairwise(shares):
            _lay_side(builder, side, fore, aft)
        following = sides[(number + 1) % len(sides)]
        if following.skins:
            builder.link(_line(side, side.reach[1]), _line(following, following.reach[0]))


def _lay_side(builder: Builder, side: _Side, fore: float, aft: float) -> None:
    start, end, depth = _line(side, fore), _line(side, aft), 0.0
    holding = thickest(side.skins)
    for skin in side.skins:
        strips: list[Strip] = []
        for ply in skin.sheet.plies:
            middle = depth + ply.thickness / 2
            ends = side.at(fore, middle), side.at(aft, middle)
            strips.append((ply.solid, *ends, ply.thickness * skin.share))
            depth += ply.thickness
        core = skin.sheet.core
        builder.wall(
            skin.part,
            start,
            end,
            strips,
            core=core.solid if core else None,
            face_limit=skin.face_limit,
            plate=skin.plate(f"{side.name} {fore:.6f}", math.dist(start, end))
            if skin is holding
            else None,
        )


def _sticks(
    body: BodyPart,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
    frame: FramePoint,
    ignored: list[str],
    *,
    damp: bool,
) -> list[Placed]:
    own = frame.x - body.origin[0]
    found: list[Placed] = []
    for part in parts:
        if part.run is None or not part.run.from_ <= own <= part.run.to:
            continue
        stick = stick_of(part, materials, span=own, damp=damp)
        if stick is None:
            ignored.append(part.name)
            continue
        for y, z in _places(part, stick, body, frame, parts, materials):
            half = stick.height / 2
            found.append(Placed(stick, "corners", y, z - half, z + half, math.inf))
    return found


def _places(
    part: Part,
    stick: Stick,
    body: BodyPart,
    frame: FramePoint,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
) -> list[Place]:
    """Middle of each stick: in the corners, or side by side where the design puts it."""
    assert part.run is not None
    if part.lies == "corners":
        skins = _skins(body, parts, materials, frame.x, [], damp=False)
        thick = {name: sum(skin.thickness for skin in skins[name]) for name in skins}
        y = frame.width / 2 - thick["starboard"] - stick.width / 2
        z = frame.z - body.origin[2]
        top = z + frame.height / 2 - thick["top"] - stick.height / 2
        bottom = z - frame.height / 2 + thick["bottom"] + stick.height / 2
        return [(y, bottom), (-y, bottom), (y, top), (-y, top)][: part.count]
    first = part.run.y - (part.count - 1) / 2 * stick.width
    return [(first + i * stick.width, part.run.z) for i in range(part.count)]


def _nearest(sides: Sequence[_Side], one: Placed) -> Hold | None:
    """The wall that a stick touches, and where along it; None when it touches none."""
    middle = (one.x, (one.low + one.high) / 2)
    best: Hold | None = None
    least = _TOUCH
    for side in sides:
        if not side.skins:
            continue
        inside = sum(skin.thickness for skin in side.skins)
        nx, nz = side.inward
        reach = (abs(nx) * one.stick.width + abs(nz) * (one.high - one.low)) / 2
        depth = (middle[0] - side.start[0]) * nx + (middle[1] - side.start[1]) * nz
        gap = depth - reach - inside
        length = math.dist(side.start, side.end)
        ax, az = (side.end[0] - side.start[0]) / length, (side.end[1] - side.start[1]) / length
        along = ((middle[0] - side.start[0]) * ax + (middle[1] - side.start[1]) * az) / length
        if gap < least and -0.02 < along < 1.02:
            fore, aft = side.reach
            best, least = (side, round(min(max(along, fore + 0.01), aft - 0.01), 9)), gap
    return best
