"""What is wrong with lettering: it overlaps, leaves the sheet, is too small or crossed out."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.text import Text

from plansgen.figures import style
from plansgen.figures.canvas import FIELD_NAME, SheetFigure
from plansgen.figures.lettering import capital_height_mm, measure
from plansgen.figures.scales import Rect

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class TextBox:
    """The room of one drawn text: four corners on the sheet in millimetres, anticlockwise."""

    text: str
    corners: tuple[tuple[float, float], ...]
    height_mm: float
    field_name: bool

    def __str__(self) -> str:
        x, y = np.mean(self.corners, axis=0)
        return f"{self.text!r} at ({x:.1f}, {y:.1f}) mm"


def text_boxes(figure: Figure) -> list[TextBox]:
    """The box of every visible text of a figure, turned as the text is turned."""
    texts = [text for text in figure.findobj(Text) if text.get_visible() and text.get_text()]
    boxes = [_box(text, figure) for text in texts]
    return [box for box in boxes if min(_size(np.array(box.corners))) > 0]


def collisions(figure: Figure, tolerance_mm: float = 0.2) -> list[str]:
    """Every fault of a drawing's lettering, as one sentence each; empty when there is none.

    Args:
        figure: what is checked; one made by a canvas knows where its lettering must stay.
        tolerance_mm: how deep two boxes may overlap, or reach over an edge.
    """
    boxes = text_boxes(figure)
    return [
        *_overlaps(boxes, tolerance_mm),
        *_outside(boxes, _limits(figure), tolerance_mm),
        *_too_small(boxes),
    ]


def crossed_texts(figure: Figure, tolerance_mm: float = 0.2) -> list[str]:
    """Every text that a drawn line of a canvas runs through, as one sentence each.

    Curves are taken as the straight lines between their points.
    """
    segments = _segments(figure)
    found = []
    for box in text_boxes(figure):
        if _runs_through(box, segments, tolerance_mm):
            found.append(f"{box} is crossed by a line")
    return found


def _overlaps(boxes: list[TextBox], tolerance_mm: float) -> list[str]:
    if not boxes:
        return []
    corners = np.array([box.corners for box in boxes])
    low, high = corners.min(axis=1), corners.max(axis=1)
    # Upright boxes that are apart rule out most pairs at once.
    near = (low[:, None] < high[None] - tolerance_mm).all(axis=2)
    pairs = np.argwhere(np.triu(near & near.T, k=1))
    return [
        f"{boxes[i]} overlaps {boxes[j]}"
        for i, j in pairs
        if overlap_mm(boxes[i], boxes[j]) > tolerance_mm
    ]


def _outside(boxes: list[TextBox], limits: Rect, tolerance_mm: float) -> list[str]:
    found = []
    for box in boxes:
        (left, bottom), (right, top) = np.min(box.corners, axis=0), np.max(box.corners, axis=0)
        over = max(
            limits.left - left, limits.bottom - bottom, right - limits.right, top - limits.top
        )
        if over > tolerance_mm:
            found.append(f"{box} reaches {over:.1f} mm over the edge")
    return found


def _too_small(boxes: list[TextBox]) -> list[str]:
    found = []
    for box in boxes:
        least = style.SMALL_MM if box.field_name else style.TEXT_MM
        if box.height_mm < least - 0.01:
            found.append(f"{box} is {box.height_mm:.1f} mm high, less than {least:g} mm")
    return found


def overlap_mm(first: TextBox, second: TextBox) -> float:
    """How far one box would have to move to clear the other; negative when apart.

    By the separating axis theorem: two convex shapes are apart if and only if they are apart along
    a normal of one of their edges.
    """
    a, b = np.array(first.corners), np.array(second.corners)
    depth = math.inf
    for normal in (*_normals(a), *_normals(b)):
        along_a, along_b = a @ normal, b @ normal
        depth = min(depth, float(min(along_a.max() - along_b.min(), along_b.max() - along_a.min())))
    return depth


def _normals(corners: Floats) -> list[Floats]:
    edges = np.diff(corners[:3], axis=0)
    return [np.array([-dy, dx]) / math.hypot(dx, dy) for dx, dy in edges]


def _size(corners: Floats) -> tuple[float, float]:
    first, second = corners[1] - corners[0], corners[3] - corners[0]
    return math.hypot(*first), math.hypot(*second)


def _box(text: Text, figure: Figure) -> TextBox:
    per_mm = figure.dpi / style.MM_PER_INCH
    size = float(text.get_fontsize())
    height = capital_height_mm(size)
    if text.get_rotation_mode() == "anchor" and text.get_verticalalignment() == "baseline":
        anchor = text.get_transform().transform(text.get_unitless_position()) / per_mm
        corners = _lettered_corners(text, height, anchor)
    else:
        extent = text.get_window_extent()
        corners = np.array(
            [
                (extent.x0, extent.y0),
                (extent.x1, extent.y0),
                (extent.x1, extent.y1),
                (extent.x0, extent.y1),
            ]
        )
        corners = corners / per_mm
    tuples = tuple((float(x), float(y)) for x, y in corners)
    return TextBox(text.get_text(), tuples, height, text.get_label() == FIELD_NAME)


def _lettered_corners(text: Text, height: float, anchor: Floats) -> Floats:
    ink = measure(text.get_text(), height, bold=text.get_fontweight() == "bold")
    before = {"left": 0.0, "center": ink.width / 2, "right": ink.width}
    left = -before[text.get_horizontalalignment()]
    right = left + ink.width
    flat = np.array(
        [(left, -ink.below), (right, -ink.below), (right, ink.above), (left, ink.above)]
    )
    turn = math.radians(text.get_rotation())
    c, s = math.cos(turn), math.sin(turn)
    corners: Floats = anchor + flat @ np.array([(c, s), (-s, c)])
    return corners


def _limits(figure: Figure) -> Rect:
    if isinstance(figure, SheetFigure):
        return figure.limits
    width, height = figure.get_size_inches() * style.MM_PER_INCH
    return Rect(0.0, 0.0, float(width), float(height))


def _segments(figure: Figure) -> Floats:
    """All straight pieces of stroked paths, as rows of x, y, x, y in millimetres."""
    pieces = [np.empty((0, 4))]
    for patch in figure.findobj(PathPatch):
        if patch.get_fill():
            continue
        path = patch.get_path()
        vertices, codes = np.asarray(path.vertices, dtype=float), path.codes
        if codes is None:
            continue
        rows = np.hstack([vertices[:-1], vertices[1:]])
        pieces.append(rows[np.asarray(codes)[1:] != Path.MOVETO])
    return np.vstack(pieces)


def _runs_through(box: TextBox, segments: Floats, tolerance_mm: float) -> bool:
    """Clips all segments to the box less its tolerance (Liang and Barsky 1984)."""
    corners = np.array(box.corners)
    size = _size(corners)
    axes = np.array([corners[1] - corners[0], corners[3] - corners[0]]) / np.array(size)[:, None]
    start = (segments[:, :2] - corners[0]) @ axes.T
    step = (segments[:, 2:] - segments[:, :2]) @ axes.T
    enter, leave = np.zeros(len(segments)), np.ones(len(segments))
    for k in (0, 1):
        low, high = tolerance_mm, float(size[k]) - tolerance_mm
        with np.errstate(divide="ignore", invalid="ignore"):
            ends = np.sort(np.array([low - start[:, k], high - start[:, k]]) / step[:, k], axis=0)
        still = step[:, k] == 0
        inside = (start[:, k] > low) & (start[:, k] < high)
        ends[0, still] = np.where(inside[still], -np.inf, np.inf)
        ends[1, still] = np.where(inside[still], np.inf, -np.inf)
        enter, leave = np.maximum(enter, ends[0]), np.minimum(leave, ends[1])
    return bool((enter < leave).any())
