"""Pictures of parts, sheets and the whole for pages: plain SVG in the colours of the page."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

import numpy as np
import shapely
from markupsafe import Markup
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.airframe.planform import chord_point, panel_tilts
from plansgen.figures.style import PALETTE
from plansgen.patterns.flat import FlatPart, LineKind, Outline, PatternLine
from plansgen.patterns.iso import IsoFace, SolidFace, hull_of, isometric, solid_faces
from plansgen.patterns.linework import extras
from plansgen.patterns.looks import LOOKS
from plansgen.patterns.result import PatternSet
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.svg import part_svg
from plansgen.patterns.typeface import clean

INLINE = 3000
"""Larger pictures are files of their own, fetched when they come into view. [bytes]"""

_LEAST, _MOST, _HIGH = 150.0, 620.0, 420.0  # sides of a part's picture [px]
_PX_PER_MM = 0.75
_SHEET_WIDE, _SHEET_HIGH = 760.0, 620.0  # [px]
_COARSE = 0.4  # outlines on a small sheet may be so far off [mm]
_EXPLODED = 0.06  # how far parts are pulled apart, as a share of the longest side


@dataclass(frozen=True)
class PartFigure:
    """A part's picture: in the page, or as two files, for light and for dark pages."""

    key: str
    svg: Markup
    light: bytes
    dark: bytes
    alt: str
    width: int
    height: int


def part_figure(part: FlatPart, *, alt: str) -> PartFigure:
    """Draw a part small; small pictures stand in the page itself."""
    west, south, east, north = (1000 * side for side in part.bounds)
    wide, high = east - west, north - south
    edge = 0.04 * max(wide, high)
    longest = min(max(_PX_PER_MM * max(wide, high), _LEAST), _MOST)
    scale = min(longest / max(wide, high), _HIGH / high)
    width, height = (max(24, round(scale * (side + edge))) for side in (wide, high))
    text = part_svg(part, alt=alt)
    sized = text.replace("<svg ", f'<svg width="{width}" height="{height}" ', 1)
    if len(sized) <= INLINE:
        return PartFigure(part.key, Markup(sized), b"", b"", clean(alt), width, height)
    light, dark = PALETTE["ink"].light, PALETTE["ink"].dark
    return PartFigure(
        part.key,
        Markup(""),
        sized.replace('"currentColor"', f'"{light}"', 1).encode(),
        sized.replace('"currentColor"', f'"{dark}"', 1).encode(),
        clean(alt),
        width,
        height,
    )


@dataclass(frozen=True)
class LineKey:
    """One row of the key of lines: a sample, what it is called and what is done along it."""

    sample: Markup
    kind: str
    meaning: str


def line_key(parts: Sequence[FlatPart]) -> tuple[LineKey, ...]:
    """The kinds of line that parts have, each with a sample drawn as in the pictures."""
    there: set[LineKind] = {"cut", *(line.kind for part in parts for line in part.lines)}
    return tuple(
        LineKey(_sample(kind), kind, look.meaning) for kind, look in LOOKS.items() if kind in there
    )


def _sample(kind: LineKind) -> Markup:
    line = PatternLine(kind, ((0.0, 0.0), (0.048, 0.0)))
    dash = " ".join(_n(max(1.0, 2.0 * length)) for length in LOOKS[kind].dash)
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    more = "".join(
        "M" + "L".join(f"{_n(x)} {_n(-y)}" for x, y in points) for points in extras(line)
    )
    return Markup(
        '<svg width="56" height="12" viewBox="-4 -6 56 12" aria-hidden="true" fill="none" '
        f'stroke="currentColor"><path d="M0 0H48" stroke-width="{_n(5 * LOOKS[kind].width)}"'
        f'{dashes}/><path d="{more}" stroke-width="0.7"/></svg>'
    )


# --- sheets --------------------------------------------------------------------------------------


def sheet_figure(sheet: Sheet, *, alt: str, page: str) -> Markup:
    """A nested sheet whose parts are links to where they are described.

    Args:
        sheet: What lies on it.
        alt: What the picture shows.
        page: Address of the page of parts.
    """
    wide, high = 1000 * sheet.width, 1000 * sheet.height
    scale = min(_SHEET_WIDE / wide, _SHEET_HIGH / high)
    lines = [
        f'<svg class="pg-sheet" viewBox="-2 -2 {_n(wide + 4)} {_n(high + 4)}" '
        f'width="{round(scale * wide)}" height="{round(scale * high)}" role="group" '
        f"aria-label={quoteattr(clean(alt))}>"
        f'<rect class="pg-sheet-edge" x="0" y="0" width="{_n(wide)}" height="{_n(high)}"/>'
    ]
    for number, piece in enumerate(sheet.pieces, 1):
        part = piece.part
        shape = Polygon(
            _down(part.outline, high), [_down(hole, high) for hole in part.holes]
        ).simplify(_COARSE)
        spot = shape.representative_point()
        letter = _letter(shape, scale)
        lines.append(
            f'<a href="{page}#part-{part.key}" aria-label={quoteattr(clean(part.name))}>'
            f'<path d="{_shape(shape)}"/>'
            f'<text x="{_n(spot.x)}" y="{_n(spot.y + 0.35 * letter)}" font-size="{_n(letter)}">'
            f"{number}</text></a>"
        )
    return Markup("".join([*lines, "</svg>"]))


def _letter(shape: BaseGeometry, scale: float) -> float:
    """Height of a number on a part: 14 pixels, less on a slender part. [mm]"""
    room = 2 * shape.area / max(shape.length, 1e-9)  # about the width of a slender part
    return min(14 / scale, max(9 / scale, 0.9 * room))


def _down(outline: Outline, high: float) -> list[tuple[float, float]]:
    return [(1000 * x, high - 1000 * y) for x, y in outline]


def _shape(shape: BaseGeometry) -> str:
    pieces = [piece for piece in shapely.get_parts(shape) if isinstance(piece, Polygon)]
    rings = [ring for piece in pieces for ring in (piece.exterior, *piece.interiors)]
    return "".join(
        "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in list(ring.coords)[:-1]) + "Z"
        for ring in rings
    )


# --- the whole -----------------------------------------------------------------------------------


def whole_figure(patterns: PatternSet, airframe: Airframe, *, alt: str) -> Markup:
    """The parts in their places, pulled apart: bodies part by part, wings and tails as wholes.

    Empty when there is nothing to draw.
    """
    faces = [*solid_faces(patterns.bodies)]
    for surface in airframe.surfaces:
        faces += _surface_faces(surface)
    if not faces:
        return Markup("")
    points = np.concatenate([face.outline for face in faces])
    size = float(np.ptp(points, axis=0).max())
    drawn = isometric(faces, explode=_EXPLODED * size)
    return _iso_svg(drawn, alt)


def _surface_faces(surface: LiftingSurface) -> list[SolidFace]:
    """Every panel of a surface as a flat face, port ones included."""
    found = []
    rows = surface.stations
    for inner, outer, tilt in zip(rows, rows[1:], panel_tilts(rows)[1:], strict=False):
        corners = [
            chord_point(station, share=share, tilt=tilt)
            for station, share in ((inner, 0.0), (outer, 0.0), (outer, 1.0), (inner, 1.0))
        ]
        for side in (1.0, -1.0) if surface.mirrored else (1.0,):
            found.append(
                SolidFace(
                    part="",
                    name=surface.title,
                    outline=np.array([(x, side * y, z) for x, y, z in corners]),
                    normal=(0.0, 0.0, 1.5) if surface.role == "wing" else (1.0, 0.0, 0.5),
                    group=f"{surface.key} {side}",
                )
            )
    return found


def _iso_svg(faces: Sequence[IsoFace], alt: str) -> Markup:
    west, south, east, north = hull_of(faces)
    scale = 700 / max(east - west, north - south)
    wide, high = scale * (east - west) + 8, scale * (north - south) + 8

    def ring(points: Outline) -> str:
        spots = dict.fromkeys(
            (_n(scale * (x - west) + 4), _n(scale * (north - y) + 4)) for x, y in points
        )
        return "M" + "L".join(f"{x} {y}" for x, y in spots) + "Z"

    paths = "".join(
        f'<path class="pg-face-{min(3, int(4 * face.shade))}" '
        f'd="{ring(face.outline)}{"".join(ring(hole) for hole in face.holes)}"/>'
        for face in faces
    )
    return Markup(
        f'<svg class="pg-iso" viewBox="0 0 {_n(wide)} {_n(high)}" width="{round(wide)}" '
        f'height="{round(high)}" role="img" aria-label={quoteattr(clean(alt))}>{paths}</svg>'
    )


def _n(value: float) -> str:
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" or not math.isfinite(value) else text
