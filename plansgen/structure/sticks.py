"""Sticks, webs and tubes of a surface in a cut: where they sit and what they touch.

Every stick stands as an upright wall from its bottom to its top, whatever its shape: its own
inertia is then exact both ways, and the shear that a web hands to a cap and a cap to the skin runs
through it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from plansgen.library.models import Lies
from plansgen.structure.builder import Builder, Ends, Strip, joint
from plansgen.structure.cut import Plate
from plansgen.structure.skins import Shell, Side, Touch
from plansgen.structure.stock import Stick

_TOUCH = 0.001  # a gap that glue still fills [m]
_FIT = 0.05  # and as a share of the height between the skins
_SLENDER = 4.0  # a web higher than so many times its thickness can buckle in shear


@dataclass(frozen=True)
class Wanted:
    """A run as the design gives it. [m]

    x: along the chord. free_length: between what holds it when nothing is glued to it.
    """

    stick: Stick
    x: float
    lies: Lies
    count: int
    free_length: float


@dataclass(frozen=True)
class Placed:
    """One stick in its place: x of its middle, bottom and top. [m]"""

    stick: Stick
    lies: Lies
    x: float
    low: float
    high: float
    free_length: float
    flanked: bool = False

    def beside(self, x: float, width: float) -> bool:
        """Whether it lies over or under a strip of that width at x."""
        return abs(self.x - x) < (self.stick.width + width) / 2


def place_all(wanted: Sequence[Wanted], shell: Shell) -> tuple[Placed, ...]:
    """Place caps first, then what stands between them."""
    placed: list[Placed] = []
    for one in wanted:
        for lies, count in _shared(one):
            placed += _caps(one, lies, count, shell, placed)
    inner = [one for one in wanted if one.lies in ("middle", "between")]
    for group in _by_place(inner):
        placed += _packed(group, shell, placed)
    return tuple(placed)


def _shared(one: Wanted) -> list[tuple[Lies, int]]:
    """Which skins a run lies against, and how many of it at each."""
    if one.lies in ("top", "bottom"):
        return [(one.lies, one.count)]
    if one.lies in ("top and bottom", "corners"):
        upper = (one.count + 1) // 2
        return [("top", upper), ("bottom", one.count - upper)]
    return []


def _caps(
    one: Wanted, lies: Lies, count: int, shell: Shell, placed: Sequence[Placed]
) -> list[Placed]:
    """Side by side against a skin, further in than what already lies there."""
    found = []
    for number in range(count):
        x = one.x + (number - (count - 1) / 2) * one.stick.width
        low, high = _room(shell, x, one.stick.width, placed, only=lies)
        if lies == "top":
            low = high - one.stick.height
        else:
            high = low + one.stick.height
        found.append(Placed(one.stick, lies, x, low, high, one.free_length))
    return found


def _room(
    shell: Shell, x: float, width: float, placed: Sequence[Placed], *, only: Lies | None = None
) -> tuple[float, float]:
    """Bottom and top of the room left at x by the skins and by the caps placed so far."""
    low, high = shell.inside(x / shell.profile.chord)
    for cap in placed:
        if only not in (None, cap.lies) or not cap.beside(x, width * (1 - 1e-9)):
            continue
        if cap.lies == "top":
            high = min(high, cap.low)
        elif cap.lies == "bottom":
            low = max(low, cap.high)
    return low, high


def _by_place(wanted: Sequence[Wanted]) -> list[list[Wanted]]:
    """Runs that want the same place on the chord, to a millimetre, together."""
    groups: list[list[Wanted]] = []
    for one in sorted(wanted, key=lambda w: (w.x, w.stick.part)):
        if groups and one.x - groups[-1][0].x < 0.001:
            groups[-1].append(one)
        else:
            groups.append([one])
    return groups


def _packed(group: Sequence[Wanted], shell: Shell, placed: Sequence[Placed]) -> list[Placed]:
    """Side by side at one place: odd ones in the middle, pairs outside them on both faces.

    What is too high for the room between caps stands beside them, in front and behind.
    """
    centre = group[0].x
    found: list[Placed] = []
    caps = [cap for cap in placed if cap.beside(centre, 1e-6)]
    reach = {1: 0.0, -1: 0.0}  # how far aft and forward of the centre the place is taken
    low, high = _room(shell, centre, 1e-6, placed)
    room = high - low + _TOUCH
    for one in sorted(group, key=lambda w: (w.stick.height > room, w.count % 2 == 0)):
        if one.stick.height > room:
            for way in reach:
                edges = [way * (cap.x - centre) + cap.stick.width / 2 for cap in caps]
                reach[way] = max([reach[way], *edges])
        for number in range(one.count):
            way = -1 if number % 2 else 1
            if not found and not reach[1] and one.count % 2:
                x, reach = centre, dict.fromkeys(reach, one.stick.width / 2)
            else:
                x = centre + way * (reach[way] + one.stick.width / 2)
                reach[way] += one.stick.width
            found.append(_standing(one, x, shell, placed, alone=sum(w.count for w in group) == 1))
    return found


def _standing(
    one: Wanted, x: float, shell: Shell, placed: Sequence[Placed], *, alone: bool
) -> Placed:
    """Halfway up in the room that is left at x."""
    low, high = _room(shell, x, one.stick.width * (1 - 1e-6), placed)
    middle, half = (low + high) / 2, one.stick.height / 2
    return Placed(
        one.stick, one.lies, x, middle - half, middle + half, one.free_length, flanked=not alone
    )


def touched(placed: Sequence[Placed], shell: Shell) -> tuple[Touch, ...]:
    """Where sticks lie along the chord, and which skins each is glued to."""
    chord = shell.profile.chord
    found = []
    for one in placed:
        if 0 < one.x < shell.end * chord:
            holds = {_hold(one, up, placed, shell) for up in (True, False)}
            sides: tuple[Side, ...] = ("top", "bottom", "plate")
            half = 0.0 if one.stick.round else one.stick.width / 2 / chord
            glued = tuple(side for side in sides if side in holds)
            found.append(Touch(round(one.x / chord, 9), half, glued))
    return tuple(sorted(found, key=lambda touch: (touch.share, touch.half)))


def lay_all(builder: Builder, placed: Sequence[Placed], shell: Shell) -> None:
    """Lay sticks down, glue them to skins and to each other."""
    ends = []
    for number, one in enumerate(placed):
        holds = [_hold(one, up, placed, shell) for up in (True, False)]
        loose = all(hold is None for hold in holds)
        laid = replace(one, free_length=one.free_length if loose else math.inf)
        ends.append(lay(builder, laid, f"{number}"))
    for number, one in enumerate(placed):
        _glue(builder, one, number, placed, ends, shell)
    rows = sorted(
        (i for i, one in enumerate(placed) if one.flanked), key=lambda i: (placed[i].x, i)
    )
    for a, b in pairwise(rows):
        near = placed[a].beside(placed[b].x, placed[b].stick.width * (1 + 1e-6))
        if near and not builder.joined(ends[a][1], ends[b][1]):
            builder.link(ends[a][1], ends[b][1])


Hold = int | Side  # another stick, by number, or a skin


def _hold(one: Placed, up: bool, placed: Sequence[Placed], shell: Shell) -> Hold | None:
    """What a stick's top or bottom is glued to."""
    share = one.x / shell.profile.chord
    if shell.node("plate", share) is not None:
        return "plate"
    cap: Side = "top" if up else "bottom"
    edge = one.high if up else one.low
    best, gap = None, math.inf
    for number, other in enumerate(placed):
        if other is one or other.lies != cap or not other.beside(one.x, one.stick.width):
            continue
        away = other.low - edge if up else edge - other.high
        if other.lies == one.lies and away < -1e-9:
            continue
        if abs(away) < gap:
            best, gap = number, abs(away)
    low, high = shell.inside(share)
    to_skin = high - edge if up else edge - low
    if best is not None and gap <= abs(to_skin):
        near: Hold | None = best
    else:
        near = cap if shell.node(cap, share) is not None else None
        gap = to_skin
    bonded = one.lies in ("between", cap)
    return near if bonded or gap < _TOUCH + _FIT * (high - low) else None


def _glue(
    builder: Builder,
    one: Placed,
    number: int,
    placed: Sequence[Placed],
    ends: Sequence[Ends],
    shell: Shell,
) -> None:
    for up in (True, False):
        hold = _hold(one, up, placed, shell)
        mine = ends[number][0 if up else 1]
        if isinstance(hold, int):
            builder.link(mine, ends[hold][1 if up else 0])
        elif hold is not None:
            skin = shell.node(hold, round(one.x / shell.profile.chord, 9))
            assert skin is not None  # _hold found one there
            builder.link(mine, skin)


def lay(builder: Builder, one: Placed, key: str) -> Ends:
    """Lay one stick down; gives its top and its bottom."""
    stick, middle = one.stick, (one.low + one.high) / 2
    if stick.round:
        return builder.ring(
            stick.part, stick.solid, (one.x, middle), diameter=stick.width, bore=stick.bore
        )
    low, high = joint(one.x, one.low), joint(one.x, one.high)
    strips: list[Strip] = []
    left = one.x - stick.width / 2
    for ply in stick.plies():
        x = left + ply.thickness / 2
        left += ply.thickness
        strips.append((ply.solid, (x, low[1]), (x, high[1]), ply.thickness))
    core = stick.sheet.core if stick.sheet else None
    builder.wall(
        stick.part,
        low,
        high,
        strips,
        core=core.solid if core else None,
        face_limit=stick.face_limit,
        plate=_web(one, key),
        stick=len(strips) == 1,
        free_length=one.free_length,
    )
    return high, low


def _web(one: Placed, key: str) -> Plate | None:
    """A slender web stood by itself can buckle in shear; glued to a core it cannot."""
    stick = one.stick
    if one.lies != "between" or one.flanked or stick.height < _SLENDER * stick.width:
        return None
    if stick.sheet is None:
        bending, core_shear = stick.solid.modulus * stick.width**3 / 12, math.inf
    else:
        bending, core_shear = stick.sheet.bending, stick.sheet.core_shear or math.inf
    return Plate(f"web {key}", stick.height, bending, core_shear)
