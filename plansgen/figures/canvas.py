"""A blank of a given size that gathers lines, fills and lettering and becomes a figure at the end.

All coordinates are sheet millimetres from the lower left corner. Lines of one type become one
compound path, which keeps the file small and the drawing quick.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import matplotlib as mpl
import numpy as np
import numpy.typing as npt
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.transforms import Affine2D, Transform

from plansgen.figures import style
from plansgen.figures.lettering import clean, font_size_pt
from plansgen.figures.scales import Rect
from plansgen.figures.style import LineType, Role

Point = tuple[float, float]
Points = Sequence[Point] | npt.NDArray[np.float64]
Align = Literal["left", "center", "right"]
Level = Literal["baseline", "middle", "top"]

FIELD_NAME = "field name"
"""Mark on the few texts that may be lettered small."""

_EDGE_MM = 1.0


@dataclass(frozen=True)
class Lettering:
    """One line of lettering: its baseline's anchor, rotation in degrees, height of capitals."""

    x: float
    y: float
    text: str
    height_mm: float
    role: Role
    align: Align
    rotation: float
    bold: bool


class SheetFigure(Figure):
    """A figure that knows where its lettering must stay, in millimetres."""

    limits: Rect


class Canvas:
    """Gathers what is drawn; :meth:`figure` turns it into a figure.

    Args:
        width_mm: width of the drawing.
        height_mm: height of the drawing.
    """

    def __init__(self, *, width_mm: float, height_mm: float) -> None:
        self.width_mm = width_mm
        self.height_mm = height_mm
        self.limits = Rect(_EDGE_MM, _EDGE_MM, width_mm - _EDGE_MM, height_mm - _EDGE_MM)
        self.letterings: list[Lettering] = []
        self._lines: dict[LineType, list[Path]] = {}
        self._fills: list[tuple[Path, Role]] = []
        self._marks: list[tuple[Role, list[Path]]] = []

    @property
    def drawing_area(self) -> Rect:
        """Where views may go."""
        return self.limits

    def line(self, points: Points, kind: LineType = style.EDGE, *, closed: bool = False) -> None:
        """Draw a line through points, back to the first if ``closed``."""
        self._lines.setdefault(kind, []).append(_path(points, closed=closed))

    def arc(
        self,
        centre: Point,
        *,
        radius_mm: float,
        kind: LineType = style.EDGE,
        start_deg: float = 0.0,
        end_deg: float = 360.0,
    ) -> None:
        """Draw an arc anticlockwise from one direction to another; a circle by default."""
        arc = Path.unit_circle() if end_deg - start_deg >= 360 else Path.arc(start_deg, end_deg)
        self._lines.setdefault(kind, []).append(_placed(arc, centre, radius_mm))

    def fill(self, points: Points, role: Role = "part") -> None:
        """Fill a polygon, under all lines; later fills cover earlier ones."""
        self._fills.append((_path(points, closed=True), role))

    def mark(self, points: Points, role: Role = "thin") -> None:
        """Fill a small polygon, such as an arrowhead, above all lines."""
        # One winding for all, so that two overlapping marks in one path do not cancel out.
        vertices = np.asarray(points, dtype=float)
        x, y = vertices.T
        if np.dot(x, np.roll(y, -1)) < np.dot(y, np.roll(x, -1)):
            vertices = vertices[::-1]
        self._add_mark(_path(vertices, closed=True), role)

    def sector(
        self,
        centre: Point,
        *,
        radius_mm: float,
        role: Role,
        start_deg: float = 0.0,
        end_deg: float = 360.0,
    ) -> None:
        """Fill a sector of a circle, or a whole disc, above all lines."""
        whole = end_deg - start_deg >= 360
        shape = Path.unit_circle() if whole else Path.wedge(start_deg, end_deg)
        self._add_mark(_placed(shape, centre, radius_mm), role)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        height_mm: float = style.TEXT_MM,
        role: Role = "ink",
        align: Align = "left",
        level: Level = "baseline",
        rotation: float = 0.0,
        bold: bool = False,
    ) -> None:
        """Letter one line of text.

        Args:
            x: anchor in sheet millimetres.
            y: anchor in sheet millimetres.
            text: the words; line breaks become spaces. Nothing is drawn for an empty text.
            height_mm: height of capitals.
            role: colour.
            align: which end of the text the anchor is, or its middle.
            level: what of the capitals the anchor is on: their foot, middle or top.
            rotation: degrees anticlockwise about the anchor.
            bold: in the heavy face.
        """
        words = clean(text)
        if not words:
            return
        drop = {"baseline": 0.0, "middle": height_mm / 2, "top": height_mm}[level]
        turn = math.radians(rotation)
        x, y = x + drop * math.sin(turn), y - drop * math.cos(turn)
        self.letterings.append(Lettering(x, y, words, height_mm, role, align, rotation, bold))

    def figure(self) -> SheetFigure:
        """The drawing as a figure of its true size, ready to be saved."""
        with mpl.rc_context(dict(style.RC)):
            size = (self.width_mm / style.MM_PER_INCH, self.height_mm / style.MM_PER_INCH)
            figure = SheetFigure(figsize=size, dpi=72, facecolor=style.colour("paper"))
            figure.limits = self.limits
            self._draw(figure)
        return figure

    def _add_mark(self, path: Path, role: Role) -> None:
        if not self._marks or self._marks[-1][0] != role:
            self._marks.append((role, []))
        self._marks[-1][1].append(path)

    def _draw(self, figure: SheetFigure) -> None:
        for path, role in self._fills:
            _add(figure, path, zorder=1, facecolor=style.colour(role), linewidth=0)
        # Wide lines last: an outline is not to be cut by the narrow lines that meet it.
        for kind, paths in sorted(self._lines.items(), key=lambda item: item[0].width_mm):
            _add(
                figure,
                Path.make_compound_path(*paths),
                zorder=2,
                fill=False,
                edgecolor=style.colour(kind.role),
                linewidth=kind.width_mm * style.PT_PER_MM,
                linestyle=(0, kind.dash) if kind.dash else "-",
                joinstyle="round",
                capstyle="butt" if kind.dash else "round",
            )
        for role, paths in self._marks:
            path = Path.make_compound_path(*paths)
            _add(figure, path, zorder=3, facecolor=style.colour(role), linewidth=0)
        for lettering in self.letterings:
            _letter(figure, lettering)


def _path(points: Points, *, closed: bool) -> Path:
    vertices = np.asarray(points, dtype=float)
    if closed:
        vertices = np.concatenate([vertices, vertices[:1]])
    codes = np.full(len(vertices), Path.LINETO, dtype=Path.code_type)
    codes[0] = Path.MOVETO
    if closed:
        codes[-1] = Path.CLOSEPOLY
    return Path(vertices, codes)


def _placed(unit: Path, centre: Point, radius_mm: float) -> Path:
    vertices = np.asarray(unit.vertices, dtype=float) * radius_mm + np.asarray(centre)
    return Path(vertices, unit.codes)


def _add(figure: SheetFigure, path: Path, **look: Any) -> None:
    # Straight on the figure: an axes box with its ticks would cost more than the drawing.
    figure.add_artist(PathPatch(path, transform=_millimetres(figure), **look))


def _millimetres(figure: SheetFigure) -> Transform:
    return Affine2D().scale(1 / style.MM_PER_INCH) + figure.dpi_scale_trans


def _letter(figure: SheetFigure, lettering: Lettering) -> None:
    text = figure.text(
        lettering.x,
        lettering.y,
        lettering.text,
        size=font_size_pt(lettering.height_mm),
        color=style.colour(lettering.role),
        ha=lettering.align,
        va="baseline",
        rotation=lettering.rotation,
        rotation_mode="anchor",
        weight="bold" if lettering.bold else "normal",
        parse_math=False,
        transform=_millimetres(figure),
        zorder=4,
    )
    if lettering.height_mm < style.TEXT_MM:
        text.set_label(FIELD_NAME)
