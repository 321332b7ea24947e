"""Openings for bought things: their place and size from the item that goes through."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from plansgen.airframe.build import BodyPart, LiftingSurface, station_at
from plansgen.airframe.planform import StationPoint, panel_tilts
from plansgen.library.models import Item, Opening, Part

FREE = 0.0005
"""Room all round what goes through. Estimate: a push fit in board. [m]"""


def for_items_on_surface(part: Part, surface: LiftingSurface, items: Sequence[Item]) -> Part:
    """A part of a surface whose openings for items have their places and sizes."""
    return _resolved(part, items, lambda opening, item: [_on_skin(opening, item, surface)])


def for_items_on_body(part: Part, body: BodyPart, items: Sequence[Item]) -> Part:
    """A part of a body whose openings for items have their places and sizes."""
    return _resolved(part, items, lambda opening, item: _in_body(opening, item, part, body))


def _resolved(
    part: Part, items: Sequence[Item], made: Callable[[Opening, Item], list[Opening]]
) -> Part:
    if all(opening.item is None for opening in part.openings):
        return part
    named = {item.name: item for item in items}
    found: list[Opening] = []
    for opening in part.openings:
        item = named.get(opening.item or "")
        if opening.item is None:
            found.append(opening)
        elif item is not None and item.size is not None:
            found += made(opening, item)
    return part.model_copy(update={"openings": tuple(found)})


def _sized(opening: Opening, **measures: float) -> Opening:
    return opening.model_copy(update={"item": None, **measures})


def _on_skin(opening: Opening, item: Item, surface: LiftingSurface) -> Opening:
    assert item.size is not None  # asked before
    station, upright = _nearest(surface.stations, item.at.y, item.at.z)
    half = (item.size.z if upright else item.size.y) / 2 + FREE
    return _sized(
        opening,
        from_=station.span - half,
        to=station.span + half,
        behind=item.at.x - station.x,
        width=item.size.x + 2 * FREE,
    )


def _nearest(stations: Sequence[StationPoint], y: float, z: float) -> tuple[StationPoint, bool]:
    """The place along a surface nearest to one beside it, and whether it stands upright there."""
    best = (math.inf, 0.0, False)
    for n, (a, b) in enumerate(pairwise(stations)):
        dy, dz = b.y - a.y, b.z - a.z
        share = ((y - a.y) * dy + (z - a.z) * dz) / max(dy * dy + dz * dz, 1e-12)
        share = min(max(share, 0.0), 1.0)
        off = math.hypot(a.y + share * dy - y, a.z + share * dz - z)
        upright = abs(panel_tilts(stations)[n + 1]) > math.pi / 4
        best = min(best, (off, a.span + share * (b.span - a.span), upright))
    return station_at(stations, best[1]), best[2]


def _in_body(opening: Opening, item: Item, part: Part, body: BodyPart) -> list[Opening]:
    assert item.size is not None  # asked before
    x0, y0, z0 = body.origin
    size, at = item.size, item.at
    along = {"from_": at.x - x0 - size.x / 2 - FREE, "to": at.x - x0 + size.x / 2 + FREE}
    width, height = size.y + 2 * FREE, size.z + 2 * FREE
    if part.plate is not None and part.at is not None:
        shift = x0 + part.plate.length / 2 - part.at.x
        along = {name: value + shift for name, value in along.items()}
        across, y0 = {"width": width}, part.at.y
    elif part.formers is not None or opening.on in ("front", "rear"):
        along, across = {}, {"width": width, "height": height, "z": at.z - z0}
    elif part.cover in ("top", "bottom") or opening.on in ("top", "bottom"):
        across = {"width": width}
    elif part.cover in ("front", "rear"):
        along, across = {}, {"width": width, "height": height, "z": at.z - z0}
    else:
        return [_sized(opening, **along, z=at.z - z0, height=height)]
    sides = [at.y, -at.y] if item.mirror and not body.mirrored else [at.y]
    return [_sized(opening, **along, **across, y=y - y0) for y in sides]
