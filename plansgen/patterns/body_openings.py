"""Openings of a body: in its panels, its formers and its loose rectangles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plansgen.airframe.build import BodyPart
from plansgen.library.models import Opening, Part, lies_in
from plansgen.patterns.flat import FlatPart, Point
from plansgen.patterns.openings import Cutout, mm, opened, ring_of
from plansgen.patterns.panel import Panel

_SAME = 1e-6
_ON = {"starboard": ("port", "starboard", "both sides")}


@dataclass(frozen=True)
class OpenedPanel:
    """A panel with its openings.

    port: the port side as a part of its own, where it has other openings than the starboard one.
    misplaced: openings that do not fit, in words.
    """

    panel: Panel
    port: FlatPart | None
    misplaced: tuple[str, ...]


def gaps_in(part: Part, face: str) -> tuple[tuple[float, float], ...]:
    """Where a top or bottom is open right across: from and to, aft of the body's own place. [m]"""
    found = []
    for opening in _of(part, face):
        if face in ("top", "bottom") and opening.width is None and opening.item is None:
            assert opening.from_ is not None  # the model asks for both
            assert opening.to is not None
            found.append((opening.from_, opening.to))
    return tuple(sorted(found))


def panel_opened(panel: Panel) -> OpenedPanel:
    """Cut the openings that begin on a panel; what is on one side only makes a part of its own."""
    part, face = panel.part, panel.face
    if face == "step":
        return OpenedPanel(panel, None, ())
    own = [o for o in _of(panel.layer.part, face) if _begins_on(o, panel)]
    cut = [o for o in own if face not in ("top", "bottom") or o.width is not None]
    both = [o for o in cut if o.on != "port"]
    flat, wrong = opened(part, _cutouts(panel, both))
    one_sided = face == "starboard" and any(o.on in ("port", "starboard") for o in cut)
    if not one_sided:
        return OpenedPanel(replace(panel, part=flat), None, tuple(wrong))
    port, unfit = opened(part, _cutouts(panel, [o for o in cut if o.on != "starboard"]))
    pair = panel.body.mirrored
    port = replace(
        port,
        key=f"{part.key}-port",
        name=f"{part.name}, inboard" if pair else f"{part.name}, port",
        hand="",
        count=1 if pair else 0,
        mirrored=1,
    )
    flat = replace(
        flat,
        name=f"{part.name}, outboard" if pair else f"{part.name}, starboard",
        hand="",
        count=1,
        mirrored=1 if pair else 0,
    )
    return OpenedPanel(replace(panel, part=flat), port, tuple(dict.fromkeys([*wrong, *unfit])))


def never_begun(part: Part, panels: Sequence[Panel]) -> Iterator[str]:
    """Openings of a cover that begin on none of its panels."""
    own = [p for p in panels if p.layer.part is part and p.sheet is not None]
    for opening in part.openings:
        if part.cover is None or opening.from_ is None or (not own):
            continue
        x0 = own[0].body.origin[0]
        here = [p for p in own if opening in list(_of(part, p.face))]
        gap = here and here[0].face in ("top", "bottom") and opening.width is None
        if gap:
            frames = own[0].body.frames
            limits = frames[0].x - x0, frames[-1].x - x0
            fits = limits[0] - _SAME <= (opening.from_ or 0.0) < (opening.to or 0.0)
            if not (fits and (opening.to or 0.0) <= limits[1] + _SAME):
                yield _off(opening, part, *limits)
        elif not any(_begins_on(opening, panel) for panel in here):
            yield _off(opening, part, min(p.start for p in own) - x0, max(p.end for p in own) - x0)


def nothing_left(part: Part, body: BodyPart) -> Iterator[str]:
    """A top or bottom that is open right across from end to end, so that there is none."""
    first, last = body.frames[0].x - body.origin[0], body.frames[-1].x - body.origin[0]
    for face in ("top", "bottom"):
        reach = first
        for start, end in gaps_in(part, face) if part.cover is not None else ():
            reach = max(reach, end) if start <= reach + _SAME else reach
        if reach >= last - _SAME:
            yield f"the openings of {part.name} leave nothing of the {face}"


def _off(opening: Opening, part: Part, start: float, end: float) -> str:
    return (
        f'opening "{opening.name}" of {part.name} does not lie inside it: '
        f"it reaches from {mm(start, end)} along the body"
    )


def former_opened(
    flat: FlatPart, part: Part, body: BodyPart, y: float
) -> tuple[FlatPart, list[str]]:
    """A former with its openings. y: of the body's middle. [m]"""
    return opened(flat, [_upright(opening, flat, body, y) for opening in part.openings])


def rectangle_opened(flat: FlatPart, part: Part) -> tuple[FlatPart, list[str]]:
    """A rectangle with its openings; along it from its end, across from its middle."""
    assert part.plate is not None  # only rectangles come here
    long, wide = part.plate.length, part.plate.width
    where = f"it reaches from {mm(0.0, long)} along and {mm(-wide / 2, wide / 2)} across"
    cutouts = []
    for opening in part.openings:
        if opening.item is not None:
            continue  # of no thing that is known here

        def place(x: float, across: float, opening: Opening = opening) -> Point:
            half = (opening.width or 0.0) / 2
            return x, wide / 2 + (opening.y or 0.0) + across * half

        ring = ring_of(opening, ends=_ends(opening), place=place)
        cutouts.append(Cutout(opening.name, ring, where))
    return opened(flat, cutouts)


def _of(part: Part, face: str) -> Iterator[Opening]:
    """The openings of a cover that are on one of its faces."""
    for opening in part.openings:
        side = opening.on
        if side is None:
            sheet, _ = lies_in(None, part.cover)
            if sheet is not None and (part.cover == face or part.cover == "sides"):
                yield opening
        elif side in _ON.get(face, (face,)):
            yield opening


def _begins_on(opening: Opening, panel: Panel) -> bool:
    if opening.from_ is None or panel.sheet is None:
        return True
    x = max(panel.body.origin[0] + opening.from_, panel.body.frames[0].x)
    # The front plate and the rear one cover the ends: what begins there begins on the panel.
    first = panel.start - panel.body.frames[0].x < 0.02
    return (first or panel.start - _SAME <= x) and x < panel.end - _SAME


def _cutouts(panel: Panel, openings: Sequence[Opening]) -> Iterator[Cutout]:
    for opening in openings:
        if opening.item is not None:
            continue
        if panel.sheet is None:
            yield _upright(opening, panel.part, panel.body, panel.body.frames[0].y)
        else:
            yield _along(opening, panel)


def _along(opening: Opening, panel: Panel) -> Cutout:
    """In a face along the body."""
    body, sheet = panel.body, panel.sheet
    assert sheet is not None  # asked before
    x0, y0, z0 = body.origin
    side = panel.face == "starboard"
    middle = z0 + (opening.z or 0.0) if side else y0 + (opening.y or 0.0) - body.frames[0].y
    half = (opening.height if side else opening.width) or 0.0
    ends = _ends(opening)

    def place(x: float, across: float) -> Point:
        return sheet.at(x0 + x), middle + across * half / 2

    _, south, _, north = panel.polygon.bounds
    limits = mm(south - z0, north - z0) if side else mm(south, north)
    where = f"it reaches from {mm(panel.start - x0, panel.end - x0)} along the body, " + (
        f"z from {limits} at the highest place" if side else f"y from {limits} at the widest place"
    )
    return Cutout(opening.name, ring_of(opening, ends=ends, place=place), where)


def _upright(opening: Opening, flat: FlatPart, body: BodyPart, y: float) -> Cutout:
    """In a former, the front or the rear: across the body and up."""
    _, y0, z0 = body.origin
    width, height = opening.width or 0.0, opening.height or 0.0
    middle = y0 + (opening.y or 0.0) - y, z0 + (opening.z or 0.0)

    def place(across: float, up: float) -> Point:
        return middle[0] + across, middle[1] + up * height / 2

    ring = ring_of(opening, ends=(-width / 2, width / 2), place=place)
    west, south, east, north = flat.bounds
    where = f"it reaches from {mm(west, east)} across, z from {mm(south - z0, north - z0)}"
    return Cutout(opening.name, ring, where)


def _ends(opening: Opening) -> tuple[float, float]:
    assert opening.from_ is not None  # the model asks for both
    assert opening.to is not None
    return opening.from_, opening.to
