"""Proof of a layout by plane geometry, without the cells that it was found on."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence

from shapely import Polygon, STRtree, box

from plansgen.patterns.attitudes import allowed_angles
from plansgen.patterns.flat import FlatPart, placed
from plansgen.patterns.layout import NestedSheet, Nesting, Placement

ROUNDING = 3e-6
"""Outlines are nested in whole micrometres: two may each be half a one off in x and in y. [m]"""

_TURN = 1e-6  # rad


def layout_faults(nesting: Nesting, parts: Sequence[FlatPart]) -> list[str]:
    """What is wrong with a layout, in words; empty when it is proved.

    Proved are: every copy of every part once, on a sheet of its material or named as left out; at
    an angle that its grain allows, unless the designer put it there; the gap to every other part;
    the margin to the edge of the sheet.

    Args:
        nesting: The layout.
        parts: All the parts that it was asked for.
    """
    by_key = {part.key: part for part in parts}
    faults = _count_faults(nesting, by_key)
    for number, sheet in enumerate(nesting.sheets, 1):
        known = [place for place in sheet.placements if place.key in by_key]
        words = [
            *_material_faults(sheet, known, by_key),
            *_angle_faults(sheet, known, by_key, nesting.own),
            *_edge_faults(sheet, known, by_key, nesting.margin),
            *_gap_faults(known, by_key, nesting.gap),
        ]
        faults.extend(f"sheet {number} ({sheet.stock.name}): {fault}" for fault in words)
    return faults


def placed_polygon(part: FlatPart, place: Placement) -> Polygon:
    """A part as it lies on its sheet. [m]"""
    outline, *holes = (
        placed(ring, x=place.x, y=place.y, angle=place.angle, flip=place.mirrored)
        for ring in (part.outline, *part.holes)
    )
    return Polygon(outline, holes)


def _count_faults(nesting: Nesting, parts: dict[str, FlatPart]) -> list[str]:
    laid = Counter(
        (place.key, place.mirrored) for sheet in nesting.sheets for place in sheet.placements
    )
    copies = Counter((p.key, p.copy) for sheet in nesting.sheets for p in sheet.placements)
    missing: Counter[str] = Counter()
    for entry in nesting.left_out:
        missing[entry.key] += entry.copies
    faults = [f"{key} is on a sheet, but is no part" for key, _ in sorted(laid) if key not in parts]
    faults += [
        f"copy {n} of {key} is laid twice" for (key, n), c in sorted(copies.items()) if c > 1
    ]
    for key, part in parts.items():
        drawn, turned = laid[key, False], laid[key, True]
        if drawn + turned + missing[key] != part.pieces:
            faults.append(
                f"{part.name}: {part.pieces} wanted, {drawn + turned} on sheets, "
                f"{missing[key]} named as left out"
            )
        elif drawn > part.count or turned > part.mirrored:
            faults.append(f"{part.name}: {turned} mirrored on sheets, {part.mirrored} wanted")
    return faults


def _material_faults(
    sheet: NestedSheet, places: Iterable[Placement], parts: dict[str, FlatPart]
) -> list[str]:
    return [
        f"{parts[p.key].name} is of {parts[p.key].material}"
        for p in places
        if not sheet.stock.serves(parts[p.key].material, parts[p.key].thickness)
    ]


def _angle_faults(
    sheet: NestedSheet,
    places: Iterable[Placement],
    parts: dict[str, FlatPart],
    own: tuple[tuple[str, int], ...],
) -> list[str]:
    def allowed(place: Placement) -> bool:
        angles = allowed_angles(parts[place.key], sheet.stock, mirrored=place.mirrored)
        return any(abs(math.remainder(place.angle - a, math.tau)) < _TURN for a in angles)

    return [
        f"{parts[p.key].name} lies at {math.degrees(p.angle):.1f}°, across its grain"
        for p in places
        if (p.key, p.copy) not in own and not allowed(p)
    ]


def _edge_faults(
    sheet: NestedSheet, places: Iterable[Placement], parts: dict[str, FlatPart], margin: float
) -> list[str]:
    """Parts nearer to the edge than the margin."""
    width, height, least = sheet.stock.width, sheet.stock.height, margin - ROUNDING
    room = box(least, least, width - least, height - least)
    return [
        f"{parts[p.key].name} is nearer to the edge than {margin * 1000:g} mm"
        for p in places
        if not room.covers(placed_polygon(parts[p.key], p))
    ]


def _gap_faults(places: Sequence[Placement], parts: dict[str, FlatPart], gap: float) -> list[str]:
    """Pairs that overlap or are nearer to each other than the gap."""
    polygons = [placed_polygon(parts[place.key], place) for place in places]
    if not polygons:
        return []
    least = gap - ROUNDING
    # Shrunk by the rounding, parts without a gap may touch but not overlap.
    shrunk = [polygon.buffer(-ROUNDING) for polygon in polygons]
    pairs = STRtree(shrunk).query(shrunk, predicate="dwithin", distance=max(least, 0.0)).T.tolist()
    return [
        f"{parts[places[a].key].name} and {parts[places[b].key].name} are "
        f"{polygons[a].distance(polygons[b]) * 1000:.3f} mm apart, not {gap * 1000:g} mm"
        for a, b in sorted(pairs)
        if a < b
        and (
            shrunk[a].intersects(shrunk[b])
            or (least > 0 and polygons[a].distance(polygons[b]) < least)
        )
    ]
