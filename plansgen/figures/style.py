"""The house style of every drawing: colours, line types and lettering, in sheet millimetres.

Sources, quoted from memory where marked: line widths and types after ISO 128-2 (from memory),
lettering heights after ISO 3098-1 (from memory). Contrast limits are those of WCAG 2.2 (1.4.3 for
text, 1.4.11 for graphics).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal

MM_PER_INCH = 25.4
PT_PER_MM = 72 / MM_PER_INCH

Role = Literal[
    "paper",
    "ink",
    "thin",
    "hidden",
    "construction",
    "accent",
    "part",
    "part_2",
    "band",
    "band_line",
    "mass",
]
"""What a colour is for; drawings name roles, never colours."""


@dataclass(frozen=True)
class Shade:
    """One role's colour on light and on dark paper, as ``#rrggbb``."""

    light: str
    dark: str


# No colour is pure black: the SVG writer leaves black out, and a dark twin could not find it.
PALETTE: Mapping[Role, Shade] = MappingProxyType(
    {
        "paper": Shade("#ffffff", "#12171d"),
        "ink": Shade("#161b21", "#f1f4f7"),
        "thin": Shade("#424c57", "#b6c0cb"),
        "hidden": Shade("#5c6773", "#98a4b0"),
        "construction": Shade("#1b5a96", "#7cb9f0"),
        "accent": Shade("#b1221b", "#ff8f85"),
        "part": Shade("#eff3f6", "#1d242c"),
        "part_2": Shade("#d9e1e8", "#2d3843"),
        "band": Shade("#d5ecda", "#1f3d2b"),
        "band_line": Shade("#28663f", "#82d0a0"),
        "mass": Shade("#825400", "#f2bd60"),
    }
)

TEXT_ROLES: tuple[Role, ...] = ("ink", "thin", "construction", "accent", "band_line", "mass")
"""Roles that lettering may use: at least 4.5 : 1 on paper and on every fill."""

LINE_ROLES: tuple[Role, ...] = (*TEXT_ROLES, "hidden")
"""Roles that lines may use: at least 3 : 1 on paper."""

LINE_WIDTHS_MM = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""Line widths of ISO 128-2 (from memory): a ratio of √2, rounded."""

NARROW_MM = 0.25
WIDE_MM = 0.5
FRAME_MM = 0.7


@dataclass(frozen=True)
class LineType:
    """How a line is drawn.

    width_mm: line width.
    role: its colour.
    dash: lengths of dashes and gaps in turn, in line widths; empty for a continuous line.
    """

    width_mm: float
    role: Role
    dash: tuple[float, ...] = ()


# Lengths of the line elements after ISO 128-2 (from memory): dash 12 d, long dash 24 d, gap 3 d,
# dot at most 0.5 d, with d the line width.
_DASHED = (12.0, 3.0)
_LONG_DASH_DOT = (24.0, 3.0, 0.5, 3.0)
_LONG_DASH_DOUBLE_DOT = (24.0, 3.0, 0.5, 3.0, 0.5, 3.0)

EDGE = LineType(WIDE_MM, "ink")
"""Visible edges and outlines: continuous wide."""
NARROW = LineType(NARROW_MM, "thin")
"""Dimension, extension and leader lines, hatching: continuous narrow."""
HIDDEN = LineType(NARROW_MM, "hidden", _DASHED)
"""Hidden edges: dashed narrow."""
CENTRE_LINE = LineType(NARROW_MM, "thin", _LONG_DASH_DOT)
"""Centre lines and lines of symmetry: long-dash dot narrow."""
ADJACENT = LineType(NARROW_MM, "thin", _LONG_DASH_DOUBLE_DOT)
"""Adjacent parts and other positions of movable parts: long-dash double-dot narrow."""
CONSTRUCTION = LineType(NARROW_MM, "construction")
"""Geometric construction, such as that of the mean aerodynamic chord: continuous narrow."""
ACCENT = LineType(WIDE_MM, "accent")
"""The one thing a drawing is about: continuous wide."""
BAND_LINE = LineType(NARROW_MM, "band_line")
"""Edges and hatching of a target band: continuous narrow."""
WORKED_OUT = LineType(NARROW_MM, "band_line", _DASHED)
"""Outline of a worked-out band beside a target band: dashed narrow."""
FRAME = LineType(FRAME_MM, "ink")
"""The frame of the drawing sheet."""

LETTERING_MM = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0)
"""Heights of capitals after ISO 3098-1 (from memory): a ratio of √2, rounded."""

SMALL_MM = 2.5
"""Field names of the title block, nothing else."""
TEXT_MM = 3.5
"""Everything a builder reads."""
LARGE_MM = 5.0
"""View titles and headings."""

_FAMILIES = ("DejaVu Sans", "Verdana", "Geneva", "sans-serif")

RC: Mapping[Any, Any] = MappingProxyType(
    {
        "axes.linewidth": NARROW_MM * PT_PER_MM,
        "font.family": ["sans-serif"],
        # The second family has nearly the widths of the first, which the layout measures.
        "font.sans-serif": list(_FAMILIES[:-1]),
        "lines.scale_dashes": True,
        "path.simplify": False,
        "path.sketch": None,
        "path.effects": [],
        "svg.fonttype": "none",
        "svg.hashsalt": "plansgen",
        "svg.id": None,
        "text.usetex": False,
    }
)
"""Settings in force while a drawing is made and written."""


def colour(role: Role) -> str:
    """The colour of a role on light paper; dark ones are put in when the drawing is saved."""
    return PALETTE[role].light


def luminance(hex_colour: str) -> float:
    """Relative luminance of an sRGB colour, 0 to 1, after WCAG 2.2."""
    channels = (int(hex_colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two sRGB colours, 1 to 21, after WCAG 2.2."""
    dark, light = sorted((luminance(first), luminance(second)))
    return (light + 0.05) / (dark + 0.05)
