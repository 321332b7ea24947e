"""Webs and braces cut from sheet along a surface, and the cut list of sticks, tubes and wires."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from plansgen.airframe.build import cut
from plansgen.airframe.planform import chord_point, panel_tilts
from plansgen.balance.drawn import Drawn, PartRef
from plansgen.balance.placing import size_along
from plansgen.library.models import Part, StickSize
from plansgen.library.tables import Material
from plansgen.patterns.bent_wire import bent_wire
from plansgen.patterns.flat import FlatPart, Outline, PatternLine, Point
from plansgen.patterns.naming import key_of
from plansgen.patterns.seams import EdgeRef, Seam
from plansgen.patterns.solid import Array, SurfaceSolid
from plansgen.patterns.standing import SolidFace, strip_faces, strip_rim
from plansgen.patterns.stock import section_words
from plansgen.patterns.weights import of_run

_STRAIGHT = math.radians(0.02)  # a bend so small is none [rad]
_SHORT = 0.001  # a stretch shorter than this belongs to the next [m]
_PART = math.radians(1.0)  # at a sharper bend sticks and strips end, unless they join it [rad]
_SAME = 0.0005  # sizes so near are the thickness of the sheet [m]


@dataclass(frozen=True)
class CutPiece:
    """One kind of piece in the list of sticks, tubes and wires. [m]

    key: stable id. count: of all, port and starboard. bends: angles between its straight stretches
    and where, in words; empty for a straight one. drawn: which part of the design it is, what it
    weighs and where.
    """

    key: str
    name: str
    material: str
    size: str
    length: float
    count: int
    bends: str = ""
    drawn: tuple[Drawn, ...] = field(default=(), compare=False, repr=False)


@dataclass(frozen=True, eq=False)
class Runs:
    """What runs along a surface: strips of sheet, the rest as a cut list, and their seams.

    faces: of each strip, where it stands.
    """

    parts: tuple[FlatPart, ...]
    faces: tuple[tuple[SolidFace, ...], ...]
    cut_list: tuple[CutPiece, ...]
    seams: tuple[Seam, ...]


def runs(solid: SurfaceSolid, parts: Sequence[Part], materials: Mapping[str, Material]) -> Runs:
    """Everything that runs along a surface."""
    flats: list[_Strip] = []
    sticks: list[CutPiece] = []
    edges: list[tuple[Part, EdgeRef]] = []
    surface = solid.surface
    pieces = (
        (PartRef(surface.key, index), piece)
        for index, whole in enumerate(parts)
        for piece in _split(solid, whole, materials)
    )
    for ref, part in pieces:
        key, material = key_of(surface.key, part.name), materials[part.material]
        strip = _strip(solid, part, material, key)
        if strip is not None:
            flat = strip.part
            area = flat.area * flat.pieces * _left_of_stack(part, material)
            drawn = of_run(ref, part, material, surface, mirrored=surface.mirrored, area=area)
            flats.append(replace(strip, part=replace(flat, drawn=(drawn,))))
            edges.append((part, EdgeRef(flat.key, "length", strip.middle)))
        else:
            drawn = of_run(ref, part, material, surface, mirrored=surface.mirrored)
            stick = _stick(solid, part, material, key)
            sticks.append(replace(stick, drawn=(drawn,)))
            edges.append((part, EdgeRef(key, "length", ((0.0, 0.0), (stick.length, 0.0)))))
    return Runs(
        tuple(strip.part for strip in flats),
        tuple(strip.faces for strip in flats),
        tuple(sticks),
        tuple(_seams(edges)),
    )


def _split(solid: SurfaceSolid, part: Part, materials: Mapping[str, Material]) -> Iterator[Part]:
    """Sticks and strips that run past a bend are cut there, unless they are what joins it."""
    run = part.run
    if run is None:
        return
    if part.joins is not None or materials[part.material].kind not in ("sheet", "stick"):
        yield part
        return
    points, shares = path(solid, part)
    steps = np.diff(points, axis=0)
    steps = steps / np.linalg.norm(steps, axis=1)[:, None]
    bent = [
        run.from_ + (run.to - run.from_) * shares[n]
        for n in range(1, len(steps))
        if float(steps[n - 1] @ steps[n]) < math.cos(_PART)
    ]
    if not bent:
        yield part
        return
    for a, b in pairwise((run.from_, *bent, run.to)):
        share = [(span - run.from_) / (run.to - run.from_) for span in (a, b)]
        changed = {
            "name": f"{part.name}, {a * 1000:.0f} to {b * 1000:.0f}",
            "run": run.model_copy(update={"from_": a, "to": b}),
            "size": size_along(part, share[0]),
            "size_out": size_along(part, share[1]) if part.size_out else None,
        }
        yield part.model_copy(update=changed)


def _seams(edges: Sequence[tuple[Part, EdgeRef]]) -> Iterator[Seam]:
    """A web and the caps or core that it stands against from end to end are as long."""
    for n, (a, first) in enumerate(edges):
        for b, second in edges[n + 1 :]:
            assert a.run is not None
            assert b.run is not None
            same = (a.run.from_, a.run.to, a.run.at) == (b.run.from_, b.run.to, b.run.at)
            if same and "between" in (a.lies, b.lies) and a.joins is None and b.joins is None:
                yield Seam(f"{a.name}: along {b.name}", first, second, "stick")


@dataclass(frozen=True)
class _Strip:
    part: FlatPart
    middle: Outline
    faces: tuple[SolidFace, ...]


def path(solid: SurfaceSolid, part: Part) -> tuple[Array, list[float]]:
    """The line of a run in space and how far along it each point lies, as shares. [m]"""
    run = part.run
    assert run is not None
    every = cut(solid.stations, run.from_, run.to)
    between = (s for s in every[1:-1] if run.from_ + _SHORT < s.span < run.to - _SHORT)
    stations = (every[0], *between, every[-1])
    tilts = panel_tilts(stations)
    points = [
        chord_point(station, share=run.at, tilt=tilt)
        for station, tilt in zip(stations, tilts, strict=True)
    ]
    shares = [(s.span - run.from_) / (run.to - run.from_) for s in stations]
    return np.array(points), shares


def _lying(part: Part, material: Material) -> tuple[bool, int, StickSize] | None:
    """How sheet is cut for a run: whether it stands upright, how many layers, its size there.

    None where it is thinner than the sheet, or round.
    """
    size, sheet = part.size, material.thickness
    if material.kind != "sheet" or not sheet or size is None or size.diameter is not None:
        return None
    width, height = float(size.width or 0.0), float(size.height or 0.0)
    if abs(width - sheet) < _SAME:
        return True, 1, size
    for upright, thick in ((False, height), (True, width)):
        layers = round(thick / sheet)
        if layers >= 1 and abs(layers * sheet - thick) < _SAME:
            return upright, layers, size
    if height > sheet:  # a stack that is sanded down to its height
        return False, math.ceil(height / sheet), size
    return None


def _strip(solid: SurfaceSolid, part: Part, material: Material, key: str) -> _Strip | None:
    """A run as a flat strip, bent where the surface bends; None when it is a stick."""
    lying = _lying(part, material)
    if lying is None or part.run is None:
        return None
    upright, layers, _ = lying
    points, shares = path(solid, part)
    line = _unfolded(points, upright=upright)
    across = part.joins == 0.0 and part.run.from_ == 0.0 and solid.centred
    spans = [part.run.from_ + (part.run.to - part.run.from_) * share for share in shares]
    heights = [_height(part, share, upright=upright) for share in shares]
    rim = strip_rim(solid, spans, part.run.at, heights, upright=upright)
    if across:
        line, heights = _doubled(line, points, upright=upright), [*heights[:0:-1], *heights]
    line, heights = _simplified(line, heights)
    outline = _ribbon(line, heights)
    count = part.count * layers
    paired = solid.surface.mirrored and not across
    alike = paired and len(line) == 2  # turned over it is the same
    flat = FlatPart(
        key=key,
        name=part.name,
        material=part.material,
        thickness=float(material.thickness or 0.0),
        outline=outline,
        lines=tuple(_bend_lines(line, heights)),
        count=2 * count if alike else count,
        mirrored=count if paired and not alike else 0,
        grain=math.pi / 2 if part.grain == "across" else 0.0,
        note=_note(part, line, upright=upright, across=across)
        + _stacked(part, layers, float(material.thickness or 0.0), upright=upright),
    )
    return _Strip(
        flat,
        tuple((float(x), float(y)) for x, y in line),
        strip_faces(
            solid,
            flat,
            rim,
            span=(spans[0] + spans[-1]) / 2,
            joins=part.joins is not None,
            across=across,
        ),
    )


def _note(part: Part, line: Array, *, upright: bool, across: bool) -> str:
    words = ["Stands on edge." if upright else "Lies flat."]
    if across:
        words.append("Both halves in one piece.")
    bends = [abs(math.degrees(angle)) for angle in _bends(line)]
    if part.joins is not None and bends:
        words.append(f"Cut with the bend in it: {', '.join(f'{b:.1f}°' for b in bends)}.")
    return " ".join(words)


def _left_of_stack(part: Part, material: Material) -> float:
    """Share of a stack of layers that is there when it has been sanded to its size."""
    lying, sheet = _lying(part, material), float(material.thickness or 0.0)
    if lying is None:
        return 1.0
    upright, layers, size = lying
    thick = float((size.width if upright else size.height) or 0.0)
    return thick / (layers * sheet) if layers * sheet - thick > _SAME else 1.0


def _stacked(part: Part, layers: int, sheet: float, *, upright: bool) -> str:
    """How layers become one piece; empty for a single one."""
    if layers < 2 or part.size is None:
        return ""
    size = float((part.size.width if upright else part.size.height) or 0.0)
    words = f" A stack of {layers} layers"
    if layers * sheet - size > _SAME:
        words += f", sanded from {layers * sheet * 1000:g} to {size * 1000:g} mm"
    return f"{words}."


def _unfolded(points: Array, *, upright: bool) -> Array:
    """The path in the plane of the sheet: true lengths, with the bends that lie in that plane."""
    steps = np.diff(points, axis=0)
    if upright:  # what it turns fore and aft is bent, not cut
        turned = [math.atan2(z, math.hypot(x, y)) for x, y, z in steps]
    else:
        turned = [math.atan2(-x, math.hypot(y, z)) for x, y, z in steps]
    turned = [angle - turned[0] for angle in turned]
    lengths = np.linalg.norm(steps, axis=1)
    moves = np.column_stack([lengths * np.cos(turned), lengths * np.sin(turned)])
    return np.vstack([[0.0, 0.0], np.cumsum(moves, axis=0)])


def _doubled(line: Array, points: Array, *, upright: bool) -> Array:
    """The path and its mirror image on the other side of the centre line."""
    x, y, z = points[1] - points[0]
    lean = math.atan2(z, math.hypot(x, y)) if upright else math.atan2(-x, math.hypot(y, z))
    cos, sin = math.cos(lean), math.sin(lean)
    half = np.column_stack(
        [line[:, 0] * cos - line[:, 1] * sin, line[:, 0] * sin + line[:, 1] * cos]
    )
    return np.vstack([half[:0:-1] * [-1.0, 1.0], half])


def _height(part: Part, share: float, *, upright: bool) -> float:
    size = size_along(part, share)
    assert size is not None  # a strip has one
    return float((size.height if upright else size.width) or 0.0)


def _bends(line: Array) -> list[float]:
    steps = np.diff(line, axis=0)
    angles = [math.atan2(y, x) for x, y in steps]
    return [math.remainder(b - a, 2 * math.pi) for a, b in pairwise(angles)]


def _simplified(line: Array, heights: Sequence[float]) -> tuple[Array, list[float]]:
    """Without points where it neither bends nor changes its taper."""
    bends = _bends(line)
    keep = [0]
    for n, bend in enumerate(bends, 1):
        before, after = np.linalg.norm(line[n] - line[n - 1]), np.linalg.norm(line[n + 1] - line[n])
        taper = (heights[n] - heights[n - 1]) / before - (heights[n + 1] - heights[n]) / after
        if abs(bend) > _STRAIGHT or abs(float(taper)) > 1e-4:
            keep.append(n)
    keep.append(len(line) - 1)
    return line[keep], [heights[n] for n in keep]


def _ribbon(line: Array, heights: Sequence[float]) -> Outline:
    """Both edges of a strip about its middle, mitred at bends, counter-clockwise."""
    rows = [_edge(line, [sign * h / 2 for h in heights]) for sign in (-1.0, 1.0)]
    return (*rows[0], *reversed(rows[1]))


def _edge(line: Array, offsets: Sequence[float]) -> list[Point]:
    steps = np.diff(line, axis=0)
    steps = steps / np.linalg.norm(steps, axis=1)[:, None]
    left = np.column_stack([-steps[:, 1], steps[:, 0]])
    found = []
    for n, (point, offset) in enumerate(zip(line, offsets, strict=True)):
        before, after = left[max(n - 1, 0)], left[min(n, len(left) - 1)]
        middle = before + after
        x, y = point + middle / float(middle @ before) * offset
        found.append((float(x), float(y)))
    return found


def _bend_lines(line: Array, heights: Sequence[float]) -> Iterator[PatternLine]:
    """The joint on a bent strip, from edge to edge."""
    lower, upper = (_edge(line, [sign * h / 2 for h in heights]) for sign in (-1.0, 1.0))
    for n, bend in enumerate(_bends(line), 1):
        label = f"joint, {abs(math.degrees(bend)):.1f}°"
        if abs(bend) > _STRAIGHT:
            yield PatternLine("mark", (lower[n], upper[n]), label=label)


def _stick(solid: SurfaceSolid, part: Part, material: Material, key: str) -> CutPiece:
    points, _ = path(solid, part)
    count = part.count * (2 if solid.surface.mirrored else 1)
    return CutPiece(
        key=key,
        name=part.name,
        material=part.material,
        size=size_words(part, material),
        length=_along(points),
        count=count,
        bends=_bend_words(points),
    )


def line_piece(part: Part, material: Material, key: str, *, mirrored: bool) -> CutPiece:
    """A strut, wire or stick from point to point; a bent wire takes a short cut at its corners."""
    points = np.array([(p.x, p.y, p.z) for p in part.line or ()])
    length, bends = _along(points), _bend_words(points)
    diameter = part.size.diameter if part.size else None
    if material.kind == "wire" and diameter and bends:
        try:
            wire = bent_wire([(p.x, p.y, p.z) for p in part.line or ()], diameter=diameter)
            length, bends = wire.length, f"corner to corner {bends}; {wire.words}"
        except ValueError:
            bends = f"corner to corner {bends}; bends too near each other for a safe radius"
    return CutPiece(
        key=key,
        name=part.name,
        material=part.material,
        size=size_words(part, material),
        length=length,
        count=part.count * (2 if mirrored else 1),
        bends=bends,
    )


def _along(points: Array) -> float:
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def _bend_words(points: Array) -> str:
    """Straight stretches and the angles between them; empty when it is straight."""
    steps = np.diff(points, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    words = [f"{lengths[0] * 1000:.0f}"]
    straight = True
    for n in range(1, len(steps)):
        cos = float(steps[n - 1] @ steps[n] / (lengths[n - 1] * lengths[n]))
        angle = math.degrees(math.acos(min(max(cos, -1.0), 1.0)))
        straight = straight and angle < 0.2
        words += [f"{angle:.1f}°", f"{lengths[n] * 1000:.0f}"]
    return "" if straight else ", ".join(words)


def size_words(part: Part, material: Material) -> str:
    """Cross-section in words, in millimetres."""
    near, far = section_words(part.size), section_words(part.size_out)
    if not near and material.kind == "tape":
        return ""
    return f"{near} to {far}" if far else near
