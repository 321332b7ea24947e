"""Parts that were added, taken away or changed in shape, and the sheets that hold them."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeVar

import shapely
from shapely import MultiLineString, Polygon
from shapely.affinity import translate

from plansgen.library.text import first_of
from plansgen.patterns.flat import SMALLEST, FlatPart, Outline, placed
from plansgen.patterns.layout import NestedSheet
from plansgen.patterns.result import PatternSet
from plansgen.patterns.strips import CutPiece
from plansgen.review.words import degrees, mm

T = TypeVar("T", FlatPart, CutPiece)
Kind = Literal["added", "removed", "changed", "renamed"]
SAME_LENGTH = 0.5e-3  # of a stick, which nobody saws closer [m]
_SHOWN = 3  # words of a part that are repeated
_DENSE = 0.1  # an edge is looked at in so many parts of its length, beside its ends
_ROUND = 5  # decimals of a metre in the hash of a shape: a hundredth of a millimetre


@dataclass(frozen=True)
class PartChange:
    """A part or a piece of the cut list that is not what it was.

    key, name: in the new revision; of one taken away, in the old. what: what changed, in words.
    distance: largest distance between the old outline and the new one, holes too, laid upon each
    other as they fit best by position alone [m]; None where there are not two outlines.
    """

    kind: Kind
    key: str
    name: str
    what: tuple[str, ...] = ()
    distance: float | None = None


@dataclass(frozen=True)
class SheetChange:
    """A sheet of the new revision beside those of the old.

    again: it holds a part that is new or changed, and must be printed again. was: number of the old
    sheet that is the same in every place; None when there is none. keys: its new and changed parts.
    """

    number: int
    name: str
    again: bool
    was: int | None
    keys: tuple[str, ...]


def shape_hash(part: FlatPart) -> str:
    """Hash of a part's outline and holes, wherever they lie and whatever point they start from."""
    west, south, _, _ = part.bounds
    rings = [_ring(part.outline, west, south)]
    rings += sorted(_ring(hole, west, south) for hole in part.holes)
    return hashlib.sha256("\n".join(rings).encode()).hexdigest()


def _ring(points: Iterable[tuple[float, float]], west: float, south: float) -> str:
    ring = [(round(x - west, _ROUND) + 0.0, round(y - south, _ROUND) + 0.0) for x, y in points]
    first = ring.index(min(ring))
    ring = ring[first:] + ring[:first]
    return " ".join(f"{x:.{_ROUND}f},{y:.{_ROUND}f}" for x, y in ring)


def apart(old: FlatPart, new: FlatPart) -> float:
    """Largest distance between two outlines with their holes (Hausdorff distance). [m]

    A part's axes may lie elsewhere after a change, so the outlines are compared as drawn and with
    each corner of the boxes around them upon each other, and the least of these counts.
    """
    before, after = old.polygon, new.polygon
    return min(_distance(before, translate(after, x, y)) for x, y in _moves(before, after))


def _moves(before: Polygon, after: Polygon) -> Iterator[tuple[float, float]]:
    yield 0.0, 0.0
    (west, south, east, north), now = before.bounds, after.bounds
    for x in (west - now[0], east - now[2]):
        for y in (south - now[1], north - now[3]):
            yield x, y


def _distance(before: Polygon, after: Polygon) -> float:
    return float(shapely.hausdorff_distance(before.boundary, after.boundary, densify=_DENSE))


def part_changes(old: PatternSet | None, new: PatternSet | None) -> tuple[PartChange, ...]:
    """Every part and piece that was added, taken away, renamed or changed, in the new order."""
    flat = _compared(_parts(old), _parts(new), _flat_change, _flat_shape)
    cut = _compared(_pieces(old), _pieces(new), _piece_change, _piece_shape)
    return (*flat, *cut)


def _parts(patterns: PatternSet | None) -> dict[str, FlatPart]:
    return {part.key: part for part in patterns.parts} if patterns else {}


def _pieces(patterns: PatternSet | None) -> dict[str, CutPiece]:
    return {piece.key: piece for piece in patterns.cut_list} if patterns else {}


def _flat_shape(part: FlatPart) -> tuple[object, ...]:
    return part.material, part.thickness, part.count, part.mirrored, shape_hash(part)


def _piece_shape(piece: CutPiece) -> tuple[object, ...]:
    return piece.material, piece.size, piece.count, round(piece.length, 4), piece.bends


def _compared(
    old: Mapping[str, T],
    new: Mapping[str, T],
    change: Callable[[T, T], PartChange | None],
    shape_of: Callable[[T], object],
) -> Iterator[PartChange]:
    names = _former_names(old, new, shape_of)
    for key, one in new.items():
        if key in old:
            found = change(old[key], one)
            if found is not None:
                yield found
        elif key in names:
            yield PartChange("renamed", key, one.name, (f"called {old[names[key]].name} before",))
        else:
            yield PartChange("added", key, one.name)
    for key, one in old.items():
        if key not in new and key not in names.values():
            yield PartChange("removed", key, one.name)


def _former_names(
    old: Mapping[str, T], new: Mapping[str, T], shape_of: Callable[[T], object]
) -> dict[str, str]:
    """Old keys of parts that are the same under another name, by the new key."""
    gone: dict[object, list[str]] = {}
    for key, one in old.items():
        if key not in new:
            gone.setdefault(shape_of(one), []).append(key)
    return {
        key: gone[shape_of(one)].pop(0)
        for key, one in new.items()
        if key not in old and gone.get(shape_of(one))
    }


def _flat_change(old: FlatPart, new: FlatPart) -> PartChange | None:
    distance = 0.0 if shape_hash(old) == shape_hash(new) else apart(old, new)
    what = tuple(_flat_words(old, new, distance))
    return PartChange("changed", new.key, new.name, what, distance) if what else None


def _flat_words(old: FlatPart, new: FlatPart, distance: float) -> Iterator[str]:
    if distance >= SMALLEST:
        yield f"outline by up to {distance * 1000:.1f} mm"
    if old.material != new.material:
        yield f"of {new.material}, not {old.material}"
    if abs(old.thickness - new.thickness) >= SMALLEST:
        yield f"{new.thickness * 1000:g} mm thick, not {old.thickness * 1000:g} mm"
    if (old.count, old.mirrored) != (new.count, new.mirrored):
        yield f"{new.pieces} pieces, not {old.pieces}"
    if old.grain != new.grain and _grain(old) != _grain(new):
        yield f"grain {_grain(new)}, not {_grain(old)}"
    if distance < SMALLEST and (moved := _lines_apart(old, new)) >= SMALLEST:
        far = f" by up to {moved * 1000:.1f} mm" if math.isfinite(moved) else ""
        yield f"folds, scores or marks inside it{far}"
    gone, come = _marked(old, new), _marked(new, old)
    if gone or come:
        yield f"marked {come or 'nothing'}, not {gone or 'nothing'}"


def _grain(part: FlatPart) -> str:
    return "either way" if part.grain is None else f"at {degrees(part.grain, 0)}"


def _lines_apart(old: FlatPart, new: FlatPart) -> float:
    """Largest distance between lines inside a part; endless when there are others. [m]"""
    before, after = _lines(old), _lines(new)
    if {key: len(lines) for key, lines in before.items()} != {
        key: len(lines) for key, lines in after.items()
    }:
        return math.inf
    return max(
        (
            float(shapely.hausdorff_distance(MultiLineString(lines), MultiLineString(after[key])))
            for key, lines in before.items()
        ),
        default=0.0,
    )


def _lines(part: FlatPart) -> dict[str, list[Outline]]:
    """Lines inside a part by kind, from its lower left corner."""
    west, south, _, _ = part.bounds
    found: dict[str, list[Outline]] = {}
    for line in part.lines:
        points = placed(line.points, x=-west, y=-south)
        points = (*points, points[0]) if line.closed or len(points) < 2 else points
        found.setdefault(line.kind, []).append(points)
    return found


def _marked(part: FlatPart, other: FlatPart) -> str:
    """Words along lines of a part that the other has not; of many the first."""
    words = {line.label for line in part.lines} - {line.label for line in other.lines} - {""}
    return first_of([f'"{word}"' for word in sorted(words)], _SHOWN)


def _piece_change(old: CutPiece, new: CutPiece) -> PartChange | None:
    what = tuple(_piece_words(old, new))
    return PartChange("changed", new.key, new.name, what) if what else None


def _piece_words(old: CutPiece, new: CutPiece) -> Iterator[str]:
    by = new.length - old.length
    if abs(by) >= SAME_LENGTH:
        yield f"{'longer' if by > 0 else 'shorter'} by {mm(abs(by))}"
    if old.material != new.material:
        yield f"of {new.material}, not {old.material}"
    if old.size != new.size:
        yield f"{new.size}, not {old.size}"
    if old.count != new.count:
        yield f"{new.count} pieces, not {old.count}"
    if old.bends != new.bends:
        yield "bends"


# --- sheets ------------------------------------------------------------------------------------


def sheet_changes(
    old: PatternSet | None, new: PatternSet | None, parts: Iterable[PartChange]
) -> tuple[SheetChange, ...]:
    """Every sheet of the new revision, and whether it must be printed again.

    A sheet whose parts are all as they were needs no new print, even where they lie elsewhere: the
    old prints hold the same parts.
    """
    if new is None:
        return ()
    fresh = {change.key for change in parts if change.kind in ("added", "changed")}
    before: dict[object, int] = {}
    for number, sheet in reversed(list(enumerate(old.nesting.sheets if old else (), 1))):
        before[_content(sheet, {})] = number
    names = _former_names(_parts(old), _parts(new), _flat_shape)
    count = len(new.nesting.sheets)
    found = []
    for number, sheet in enumerate(new.nesting.sheets, 1):
        keys = tuple(dict.fromkeys(p.key for p in sheet.placements if p.key in fresh))
        was = None if keys else before.get(_content(sheet, names))
        name = f"Sheet {number} of {count}, {sheet.stock.name}"
        found.append(SheetChange(number, name, bool(keys), was, keys))
    return tuple(found)


def _content(sheet: NestedSheet, names: Mapping[str, str]) -> object:
    stock = sheet.stock
    places = sorted(
        (names.get(p.key, p.key), p.mirrored, round(p.x, 4), round(p.y, 4), round(p.angle, 4))
        for p in sheet.placements
    )
    return stock.material, stock.width, stock.height, tuple(places)
