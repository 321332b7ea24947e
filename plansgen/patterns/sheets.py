"""Parts laid out on a plane: a nested sheet, or one part by itself, ready to be drawn.

Metres; the sheet's lower left corner is the origin, y up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from plansgen.patterns.flat import FlatPart, Outline, bounds, mirrored, placed, rotated
from plansgen.patterns.layout import Nesting, Placement


@dataclass(frozen=True)
class Piece:
    """One copy of a part where it lies.

    Attributes:
        part: The part, its outlines, lines and labels in the sheet's axes.
        copy: Which of the copies it is, from 1; 0 when it stands for all of them.
        turned_over: Whether it is the mirror image of the part as drawn.
    """

    part: FlatPart
    copy: int = 0
    turned_over: bool = False


@dataclass(frozen=True)
class Sheet:
    """A drawing at full size.

    Attributes:
        name: What a builder calls it, such as ``sheet 2 of 3, foam board 5 mm``.
        width: Of the stock; of the part when there is no stock. [m]
        height: Likewise. [m]
        pieces: What lies on it; numbered from 1 in this order.
    """

    name: str
    width: float
    height: float
    pieces: tuple[Piece, ...]

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y of everything drawn. [m]"""
        return bounds(point for piece in self.pieces for point in _points(piece.part))


def sheet_of_part(part: FlatPart) -> Sheet:
    """A part by itself, its lower left corner at the origin."""
    west, south, east, north = part.bounds
    moved = shifted(part, x=-west, y=-south)
    return Sheet(part.name, east - west, north - south, (Piece(moved),))


def sheet_of_placements(
    name: str,
    parts: Mapping[str, FlatPart],
    placements: Iterable[Placement],
    *,
    width: float,
    height: float,
) -> Sheet:
    """Parts as they were nested on a stock sheet.

    Args:
        name: What a builder calls the sheet.
        parts: The parts by key.
        placements: Where their copies lie.
        width: Of the stock. [m]
        height: Of the stock. [m]
    """
    pieces = []
    for place in placements:
        part = parts[place.key]
        part = rotated(mirrored(part) if place.mirrored else part, place.angle)
        part = shifted(part, x=place.x, y=place.y)
        pieces.append(Piece(part, copy=place.copy, turned_over=place.mirrored))
    return Sheet(name, width, height, tuple(pieces))


def sheets_of_nesting(nesting: Nesting, parts: Iterable[FlatPart]) -> list[Sheet]:
    """Every sheet of a nesting, numbered, with the name of its stock."""
    by_key = {part.key: part for part in parts}
    count = len(nesting.sheets)
    return [
        sheet_of_placements(
            f"Sheet {number} of {count}, {nested.stock.name}",
            by_key,
            nested.placements,
            width=nested.stock.width,
            height=nested.stock.height,
        )
        for number, nested in enumerate(nesting.sheets, start=1)
    ]


def shifted(part: FlatPart, *, x: float, y: float) -> FlatPart:
    """The part moved. [m]"""

    def move(points: Outline) -> Outline:
        return placed(points, x=x, y=y)

    return replace(
        part,
        outline=move(part.outline),
        holes=tuple(move(hole) for hole in part.holes),
        lines=tuple(replace(line, points=move(line.points)) for line in part.lines),
        labels=tuple(replace(word, x=word.x + x, y=word.y + y) for word in part.labels),
    )


def _points(part: FlatPart) -> Iterable[tuple[float, float]]:
    yield from part.outline
    for line in part.lines:
        yield from line.points
