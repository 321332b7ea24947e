"""Section shapes: outlines, developed skin lengths and enclosed areas, in chord lengths.

Sources: NACA four-digit ordinates from Jacobs, Ward & Pinkerton, NACA Report 460 (1933), restated
in Ladson et al., NASA TM 4741 (1996). The folded sheet is our own plain geometry.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from plansgen.library.models import Section

Array = NDArray[np.float64]
Outline = tuple[tuple[float, float], ...]

_FINE = 2000  # cosine-spaced points a side; arc lengths then hold to 1e-6 of the chord
_COARSE = 24  # points a side kept for drawing


@dataclass(frozen=True)
class SectionShape:
    """What a section is, in chord lengths.

    name: as a builder says it. upper, lower: developed skin length from the leading edge to the
    trailing edge. enclosed: area over chord squared. thickness: greatest thickness over chord.
    outline: trailing edge over the top to the leading edge and back underneath.
    """

    name: str
    upper: float
    lower: float
    enclosed: float
    thickness: float
    outline: Outline

    @property
    def girth(self) -> float:
        """Developed length of both skins, in chord lengths."""
        return self.upper + self.lower


def cosine_points(count: int) -> Array:
    """Return ``count`` + 1 chordwise places from 0 to 1, dense at both ends."""
    return 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, count + 1)))


def naca_thickness(x: Array, thickness: float) -> Array:
    """Half thickness of a four-digit section at ``x`` (chord 1), open trailing edge.

    Source: NACA Report 460; NASA TM 4741.
    """
    poly = 0.2969 * np.sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4
    return np.asarray(5.0 * thickness * poly)


def mean_line(x: Array, camber: float, place: float) -> tuple[Array, Array]:
    """Height and slope of the four-digit mean line: two parabolas that meet at ``place``.

    Source: NACA Report 460; NASA TM 4741.
    """
    fore = x < place
    front, back = camber / place**2, camber / (1.0 - place) ** 2
    height = np.where(
        fore, front * (2 * place * x - x**2), back * (1 - 2 * place + 2 * place * x - x**2)
    )
    slope = np.where(fore, 2 * front * (place - x), 2 * back * (place - x))
    return height, slope


def naca_outline(digits: str, count: int = _FINE) -> tuple[Array, Array]:
    """Upper and lower surface of a four-digit section from the nose, each (count + 1, 2)."""
    camber, place, thickness = int(digits[0]) / 100, int(digits[1]) / 10, int(digits[2:]) / 100
    x = cosine_points(count)
    half = naca_thickness(x, thickness)
    if camber == 0.0 or place == 0.0:
        return np.column_stack([x, half]), np.column_stack([x, -half])
    height, slope = mean_line(x, camber, place)
    return _around(x, height, slope, half)


def _around(x: Array, height: Array, slope: Array, half: Array) -> tuple[Array, Array]:
    """Lay a half thickness at right angles on both sides of a mean line."""
    sin, cos = slope / np.hypot(1.0, slope), 1.0 / np.hypot(1.0, slope)
    upper = np.column_stack([x - half * sin, height + half * cos])
    lower = np.column_stack([x + half * sin, height - half * cos])
    return upper, lower


def _plate(section: Section, chord: float) -> tuple[Array, Array]:
    half = float(section.thickness or 0.0) / chord / 2
    upper = np.array([[0.0, 0.0], [0.0, half], [1.0, half], [1.0, 0.0]])
    return upper, upper * [1.0, -1.0]


def _cambered_plate(section: Section, chord: float) -> tuple[Array, Array]:
    x = cosine_points(_FINE)
    height, slope = mean_line(x, float(section.camber or 0.0), section.camber_at)
    half = np.full_like(x, float(section.thickness or 0.0) / chord / 2)
    return _around(x, height, slope, half)


def _folded_sheet(section: Section, chord: float) -> tuple[Array, Array]:
    """A sheet folded at the leading edge over a spar: flat underneath, two flats on top.

    Heights are of the outside: two sheets and the spar between them at the spar; one sheet's
    thickness left at the bevelled trailing edge; the fold's nose rounded over one sheet.
    """
    sheet = float(section.thickness or 0.0) / chord
    top = float(section.spar_height or 0.0) / chord + 2 * sheet
    nose = [0.0, sheet]
    upper = np.array([nose, [section.spar_at, top], [1.0, sheet]])
    lower = np.array([nose, [sheet, 0.0], [1.0, 0.0]])
    return upper, lower


def _from_points(points: Sequence[tuple[float, float]]) -> tuple[Array, Array]:
    """Split a closed outline (trailing edge, top, leading edge, bottom) at its foremost point."""
    outline = np.asarray(points, dtype=float)
    x0, x1 = outline[:, 0].min(), outline[:, 0].max()
    outline = (outline - [x0, 0.0]) / (x1 - x0)
    nose = int(outline[:, 0].argmin())
    first, second = outline[: nose + 1][::-1], outline[nose:]
    return (first, second) if first[:, 1].mean() >= second[:, 1].mean() else (second, first)


def _length(line: Array) -> float:
    return float(np.hypot(*np.diff(line, axis=0).T).sum())


def _enclosed(upper: Array, lower: Array) -> float:
    loop = np.vstack([upper[::-1], lower])
    x, z = loop.T
    return float(abs(np.dot(x, np.roll(z, -1)) - np.dot(z, np.roll(x, -1))) / 2)


def _greatest_thickness(upper: Array, lower: Array) -> float:
    x = np.linspace(0.0, 1.0, 401)[1:-1]
    return float((np.interp(x, *upper.T) - np.interp(x, *lower.T)).max())


def _thinned(line: Array) -> Array:
    """Keep few enough points for a drawing; corners of short outlines all stay."""
    if len(line) <= 2 * _COARSE:
        return line
    keep = np.linspace(0, len(line) - 1, _COARSE + 1).round().astype(int)
    return np.asarray(line[keep])


def _name(section: Section) -> str:
    if section.kind == "naca":
        return f"NACA {section.digits}"
    if section.kind == "points":
        return f"section from {section.file}"
    return {"plate": "flat plate"}.get(section.kind, section.kind)


@lru_cache(maxsize=4096)
def section_shape(
    section: Section, *, chord: float, points: tuple[tuple[float, float], ...] = ()
) -> SectionShape:
    """Work out a section's shape on a chord. [m]

    section: as the design says. chord: local chord, for sections of real sheet thickness.
    points: the outline of a section of kind ``points``.
    """
    if section.kind == "naca":
        upper, lower = naca_outline(section.digits or "0000")
    elif section.kind == "points":
        upper, lower = _from_points(points)
    else:
        make = {
            "plate": _plate,
            "cambered plate": _cambered_plate,
            "folded sheet": _folded_sheet,
        }[section.kind]
        upper, lower = make(section, chord)
    drawn = np.vstack([_thinned(upper)[::-1], _thinned(lower)[1:]])
    return SectionShape(
        name=_name(section),
        upper=_length(upper),
        lower=_length(lower),
        enclosed=_enclosed(upper, lower),
        thickness=_greatest_thickness(upper, lower),
        outline=tuple((round(float(x), 6), round(float(z), 6)) for x, z in drawn),
    )
