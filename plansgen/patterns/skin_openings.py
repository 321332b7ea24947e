"""Openings of skins and plates of a surface, as they lie on the flat pieces."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from plansgen.airframe.build import station_at
from plansgen.airframe.planform import StationPoint
from plansgen.library.models import Opening, Part
from plansgen.patterns.flat import FlatPart, Point
from plansgen.patterns.openings import Cutout, mm, opened, ring_of
from plansgen.patterns.wraps import Piece

_SAME = 1e-6
Place = Callable[[float, float], Point | None]


def skin_opened(part: FlatPart, piece: Piece) -> tuple[FlatPart, list[str]]:
    """A skin with the openings that begin on its piece; in words those that do not fit."""
    cutouts: list[Cutout] = []
    wrong: list[str] = []
    for side, opening in piece.wrap.openings:
        if opening.item or not begins_on(opening, max(piece.start, 0.0), piece.end):
            continue
        reach = piece.wrap.upper if side == "upper" else piece.wrap.lower
        assert reach is not None  # the wrap has openings on its own sides only

        def place(span: float, share: float, side: str = side) -> Point | None:
            rung = piece.rung(side, share)
            return None if rung is None else piece.point(rung, span)

        found = cutouts_of(opening, piece.solid.stations, place, piece.start, piece.end, reach)
        cutouts += found
        if not found:
            wrong.append(
                f'opening "{opening.name}" of {part.name} does not lie inside it: '
                + _within(piece.start, piece.end, reach)
            )
    part, unfit = opened(part, cutouts)
    return part, [*wrong, *unfit]


def begins_on(opening: Opening, start: float, end: float) -> bool:
    """Whether the inner end of an opening lies on a piece between two spans."""
    inner = max(opening.from_ or 0.0, 0.0)
    return start - _SAME <= inner < end - _SAME


def beyond(part: Part, tip: float) -> Iterator[str]:
    """Openings that begin on none of a cover's pieces. tip: span of the surface. [m]"""
    start, end = part.from_ or 0.0, min(part.to or tip, tip)
    for opening in part.openings:
        if opening.from_ is not None and not begins_on(opening, start, end):
            yield (
                f'opening "{opening.name}" of {part.name} does not lie inside it: '
                f"it reaches from {mm(start, end)} along the span"
            )


def cutouts_of(
    opening: Opening,
    stations: Sequence[StationPoint],
    place: Place,
    start: float,
    end: float,
    reach: tuple[float, float],
) -> list[Cutout]:
    """An opening on a piece, twice where the piece lies across the centre line.

    Args:
        opening: What is cut.
        stations: Of the surface.
        place: From span [m] and share of the chord to the flat piece; None where it is not.
        start: Where the piece begins; below 0 it lies across the centre line. [m]
        end: Where it ends. [m]
        reach: Shares of the chord that it covers.
    """
    assert opening.from_ is not None  # the model asks for both
    assert opening.to is not None
    ends = opening.from_, opening.to
    centre = start < -_SAME
    both = centre and ends[0] > 0.0
    if centre and not both:
        ends = (-ends[1], ends[1])
    found = []
    for sign in (1.0, -1.0) if both else (1.0,):
        points: list[Point | None] = []

        def on_piece(span: float, across: float, sign: float = sign) -> Point:
            point = place(sign * span, _share(opening, stations, span, across))
            points.append(point)  # noqa: B023
            return point or (0.0, 0.0)

        ring = ring_of(opening, ends=ends, place=on_piece)
        if None in points:
            return []
        found.append(Cutout(opening.name, ring, _within(start, end, reach)))
    return found


def _share(opening: Opening, stations: Sequence[StationPoint], span: float, across: float) -> float:
    """Share of the chord of a place across an opening, -1 at its front edge to 1."""
    chord = station_at(stations, min(abs(span), stations[-1].span)).chord
    assert opening.width is not None  # the model asks for it
    middle = opening.at if opening.at is not None else (opening.behind or 0.0) / chord
    return middle + across * opening.width / 2 / chord


def _within(start: float, end: float, reach: tuple[float, float]) -> str:
    shares = " to ".join(f"{100 * share:.0f}" for share in reach)
    return f"it reaches from {mm(start, end)} along the span, {shares} % of the chord"
