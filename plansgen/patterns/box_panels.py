"""Box bodies taken apart into flat panels that come to the design's outside when put together.

One rule for every box, so that a builder learns it once:

- The bottom lies over the lower edges of the sides, as wide as the outside.
- The top lies between the sides, flush with their upper edges.
- Front and rear cover the ends of sides, top and bottom, as large as the outside.
- A second layer lies inside the first, between bottom and top.

Every panel is drawn with its inside up and its nose to the left. A side is drawn as the starboard
one is seen from the middle of the body; the port one is its mirror image.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType

from shapely import Polygon

from plansgen.airframe.build import BodyPart
from plansgen.airframe.inside import (
    STEP,
    Chain,
    Walls,
    inner,
    parallel,
    pieces,
    profile,
    value,
    walls_of,
)
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns.body_openings import gaps_in
from plansgen.patterns.flat import FlatPart, Outline, PatternLine
from plansgen.patterns.long_panels import STRAP, joints
from plansgen.patterns.naming import key_of
from plansgen.patterns.panel import (
    SHORT,
    Layer,
    Panel,
    bend_lines,
    layers_of,
    share_note,
    title_of,
    wall_name,
)
from plansgen.patterns.unrolled import Pose, Unrolled, between, clipped, pose_of
from plansgen.patterns.wraps import plain

RULE = (
    "Sides run the full height less the bottom, which lies over their edges; the top lies between "
    "them; front and rear cover the ends. Sizes are those of the finished outside."
)

NO_BEVEL = math.radians(1.0)
"""Edges that meet so nearly square are cut square. [rad]"""


def panels_of(
    body: BodyPart,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
    longest: Mapping[str, float] = MappingProxyType({}),
) -> list[Panel]:
    """The panels of a box body (of one, where there is a pair), outside first.

    Args:
        body: The body.
        parts: What it is built from.
        materials: By id.
        longest: No panel of a material is longer; what is not named has no limit. [m]
    """
    formers = [x for part in parts for x in (part.formers.at if part.formers else ())]
    maker = _Maker(body, walls_of(parts, materials), dict(longest), formers)
    found: list[Panel] = []
    for layer in layers_of(parts, materials):
        found += maker.panels(layer)
    return found


class _Maker:
    def __init__(
        self, body: BodyPart, walls: Walls, longest: dict[str, float], formers: Sequence[float]
    ) -> None:
        self.body = body
        self.longest = longest
        self.clear = [body.origin[0] + x for x in formers]
        self.cuts: set[float] = set()
        self.walls = walls
        self.frames = body.frames
        self.start = body.frames[0].x + walls.front
        self.end = body.frames[-1].x - walls.rear
        self.y = body.frames[0].y

    def panels(self, layer: Layer) -> list[Panel]:
        if layer.face in ("front", "rear"):
            return [self._end(layer)]
        wall = wall_name(layer.face)
        outward = -1.0 if layer.face == "bottom" else 1.0
        whole: list[tuple[float, float, Unrolled]] = []
        for chain in pieces(profile(self.frames, wall)):
            reach = max(chain[0][0], self.start), min(chain[-1][0], self.end)
            for start, end in self._closed(layer, *reach):
                outer = parallel(clipped(chain, start, end), -outward * layer.depth)
                sheet = Unrolled(outer, thickness=layer.thickness, outward=outward)
                whole.append((start, end, sheet))
        rows = [row for one in whole for row in self._parted(layer, *one)]
        found: list[Panel] = []
        stepped = [chain[-1][0] for chain in pieces(profile(self.frames, wall))[:-1]]
        for number, (start, end, sheet) in enumerate(rows):
            found.append(self._panel(layer, sheet, title_of(layer, number, len(rows)), start, end))
            steps = end in stepped
            if steps and layer.number == 0:
                found += self._step(layer, end)
        return found

    def _closed(self, layer: Layer, start: float, end: float) -> Iterator[tuple[float, float]]:
        """Where a face is not open right across."""
        x0 = self.body.origin[0]
        for west, east in gaps_in(layer.part, layer.face):
            if min(x0 + west, end) - start > SHORT:
                yield start, min(x0 + west, end)
            start = max(start, x0 + east)
        if end - start > SHORT:
            yield start, end

    def _parted(
        self, layer: Layer, start: float, end: float, sheet: Unrolled
    ) -> list[tuple[float, float, Unrolled]]:
        """A face in pieces that its stock can give."""
        longest = self.longest.get(layer.part.material, math.inf)
        cuts = joints(sheet, start=start, end=end, longest=longest, clear=self.clear)
        self.clear += cuts
        self.cuts |= set(cuts)
        return [
            (
                a,
                b,
                Unrolled(
                    clipped(sheet.chain, a, b), thickness=sheet.thickness, outward=sheet.outward
                ),
            )
            for a, b in pairwise((start, *cuts, end))
        ]

    def _panel(self, layer: Layer, sheet: Unrolled, title: str, start: float, end: float) -> Panel:
        low, high = self._edges(layer)
        lower = sheet.edge(_cut(low, start, end))
        upper = sheet.edge(_cut(high, start, end))
        outline = plain((*lower, *reversed(upper)))
        if not Polygon(outline).is_valid:
            raise ValueError(
                f"{self.body.title}: {title} crosses itself; its sheets of "
                f"{layer.thickness * 1000:g} mm leave no room between them somewhere"
            )
        across = layer.part.grain == "across"
        side = layer.face == "starboard"
        pair = self.body.mirrored
        part = FlatPart(
            key=key_of(self.body.key, title),
            name=title,
            material=layer.part.material,
            thickness=layer.thickness,
            outline=outline,
            count=2 if side and pair else 1,
            mirrored=2 if side and pair else 1 if side or pair else 0,
            hand="starboard" if side and not pair else "",
            grain=math.pi / 2 if across else 0.0,
            note=" ".join(filter(None, (share_note(layer.part), self._joint_note(start, end)))),
        )
        edges = {
            "lower": lower,
            "upper": upper,
            "front": (lower[0], upper[0]),
            "rear": (lower[-1], upper[-1]),
        }
        pose = pose_of(sheet, face=layer.face, y=self.y)
        panel = Panel(part, self.body, layer, pose, start, end, sheet, edges)
        lines = (*bend_lines(panel), *self._bevels(panel))
        return replace(panel, part=replace(part, lines=lines))

    def _joint_note(self, start: float, end: float) -> str:
        """Where it meets the next piece of the same sheet."""
        places = [f"{(x - self.body.origin[0]) * 1000:.0f}" for x in (start, end) if x in self.cuts]
        if not places:
            return ""
        return (
            f"Longer than its sheet, so joined butt to butt at {' and '.join(places)}: glue a "
            f"strap of the same sheet, {2000 * STRAP:.0f} mm wide, over the joint inside."
        )

    def _edges(self, layer: Layer) -> tuple[tuple[Chain, ...], tuple[Chain, ...]]:
        """The lines between which a panel reaches, across its length."""
        if layer.face == "starboard":
            covered = self.walls.top if layer.number else 0.0
            return (
                inner(self.frames, "bottom", self.walls.bottom),
                inner(self.frames, "top", covered),
            )
        between = self.walls.sides if layer.face == "top" else 0.0
        right = inner(self.frames, "sides", between)
        left = tuple(tuple((x, -half) for x, half in chain) for chain in right)
        return left, right

    def _bevels(self, panel: Panel) -> list[PatternLine]:
        """Edges that do not meet their neighbour square."""
        sheet = panel.sheet
        assert sheet is not None  # only faces along the body come here
        found = []
        for end, wall in (("front", self.walls.front), ("rear", self.walls.rear)):
            x = panel.start if end == "front" else panel.end
            limit = self.start if end == "front" else self.end
            off = abs(sheet.slope(x))
            if wall and abs(x - limit) < SHORT and off > NO_BEVEL:
                words = f"bevel {math.degrees(off):.0f}° off square, to lie against the {end}"
                found.append(PatternLine("bevel", panel.edges[end], label=words))
        if panel.face in ("starboard", "top"):
            found += self._long_bevels(panel)
        return found

    def _long_bevels(self, panel: Panel) -> Iterator[PatternLine]:
        """Long edges of sides on the bottom, and of the top between the sides."""
        sheet = panel.sheet
        assert sheet is not None  # only faces along the body come here
        side = panel.face == "starboard"
        if not (self.walls.bottom if side else self.walls.sides):
            return
        for fore, aft in pairwise(self.frames):
            west, east = max(fore.x, panel.start), min(aft.x, panel.end)
            if east - west <= STEP:
                continue
            turn = [
                math.atan2((getattr(aft, n) - getattr(fore, n)) / 2 + rise, aft.x - fore.x)
                for n, rise in (("width", 0.0), ("height", (fore.z - aft.z) * (1 if side else -1)))
            ]
            off = abs(math.asin(math.sin(turn[0]) * math.sin(turn[1])))
            if off <= NO_BEVEL:
                continue
            words = f"bevel {math.degrees(off):.0f}° off square, to lie against the "
            words += "bottom" if side else "sides"
            ends = sheet.at(west), sheet.at(east, ahead=True)
            for name in ("lower",) if side else ("lower", "upper"):
                yield PatternLine("bevel", between(panel.edges[name], *ends), label=words)

    def _end(self, layer: Layer) -> Panel:
        """Front or rear: the larger of its two faces, to be sanded down to the other."""
        front = layer.face == "front"
        outside = self.frames[0].x if front else self.frames[-1].x
        inward = 1.0 if front else -1.0
        xs = [outside + inward * d for d in (layer.depth, layer.depth + layer.thickness)]
        half = max(value(profile(self.frames, "sides"), x) for x in xs)
        low = min(value(profile(self.frames, "bottom"), x) for x in xs)
        high = max(value(profile(self.frames, "top"), x) for x in xs)
        outline = ((-half, low), (half, low), (half, high), (-half, high))
        lines = []
        for face, a, b in (("bottom", 0, 1), ("sides", 1, 2), ("top", 2, 3), ("sides", 3, 0)):
            v0, v1 = (value(profile(self.frames, face), x) for x in xs)
            off = math.atan2(abs(v1 - v0), layer.thickness)
            if off > NO_BEVEL:
                words = f"bevel {math.degrees(off):.0f}° off square, in line with the {face}"
                lines.append(PatternLine("bevel", (outline[a], outline[b]), label=words))
        title = title_of(layer, 0, 1)
        part = FlatPart(
            key=key_of(self.body.key, title),
            name=title,
            material=layer.part.material,
            thickness=layer.thickness,
            outline=outline,
            lines=tuple(lines),
            count=1,
            mirrored=1 if self.body.mirrored else 0,
            note=share_note(layer.part),
        )
        pose = Pose((xs[0], self.y, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (inward, 0.0, 0.0))
        return Panel(part, self.body, layer, pose, min(xs), max(xs))

    def _step(self, layer: Layer, x: float) -> list[Panel]:
        """The strip that closes a step of the bottom: between the sides, on the lower sheet."""
        if layer.face != "bottom":
            return []
        lines = inner(self.frames, "bottom", self.walls.bottom)
        fore = next(line for line in lines if line[-1][0] >= x - 1e-9)
        aft = next(line for line in lines if line[0][0] >= x - 1e-9)
        low, high = sorted((value(fore, x), value(aft, x)))
        half = min(value(line, x) for line in inner(self.frames, "sides", self.walls.sides)[:1])
        if high - low < SHORT:
            return []
        outline = ((-half, low), (half, low), (half, high), (-half, high))
        title = f"{layer.part.name}, closing strip of the step"
        part = FlatPart(
            key=key_of(self.body.key, title),
            name=title,
            material=layer.part.material,
            thickness=layer.thickness,
            outline=outline,
            count=1,
            mirrored=1 if self.body.mirrored else 0,
            note="Stands on the inside of the lower sheet; the higher one butts against it.",
        )
        down = value(aft, x) > value(fore, x)  # the keel rises behind the step
        pose = Pose(
            (x, self.y, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (-1.0 if down else 1.0, 0.0, 0.0)
        )
        return [Panel(part, self.body, replace(layer, face="step"), pose, x, x)]


def _cut(lines: Sequence[Chain], start: float, end: float) -> Outline:
    """Profiles between two places as one line, upright where they are parted."""
    points: list[tuple[float, float]] = []
    for number, line in enumerate(lines):
        first = start if number == 0 else max(line[0][0], start)
        last = end if number == len(lines) - 1 else min(line[-1][0], end)
        if last > first:
            points += clipped(line, first, last)
    return tuple(points)
