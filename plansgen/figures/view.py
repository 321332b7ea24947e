"""One view on a sheet: takes metres, draws sheet millimetres."""

from __future__ import annotations

from typing import Any, Self

import numpy as np
import numpy.typing as npt

from plansgen.figures import style
from plansgen.figures.canvas import Canvas, Point, Points
from plansgen.figures.scales import Rect, Scale
from plansgen.figures.style import LineType, Role


class View:
    """A view whose coordinates are metres to the right (``h``) and up (``v``).

    Args:
        canvas: the sheet that is drawn on.
        scale: drawing scale.
        origin_mm: where on the sheet the point ``datum_m`` comes to lie.
        datum_m: a point of the view, in metres.
    """

    def __init__(
        self, canvas: Canvas, scale: Scale, *, origin_mm: Point, datum_m: Point = (0.0, 0.0)
    ) -> None:
        self.canvas = canvas
        self.scale = scale
        self._per_metre = scale.mm(1.0)
        self._shift = np.array(origin_mm) - self._per_metre * np.array(datum_m)
        self._low = np.full(2, np.inf)
        self._high = np.full(2, -np.inf)

    @classmethod
    def centred(
        cls, canvas: Canvas, scale: Scale, *, low_m: Point, high_m: Point, area: Rect
    ) -> Self:
        """A view whose bounding box (lower left to upper right, metres) is centred in an area."""
        middle = ((low_m[0] + high_m[0]) / 2, (low_m[1] + high_m[1]) / 2)
        return cls(canvas, scale, origin_mm=area.centre, datum_m=middle)

    def x(self, h: float) -> float:
        """Sheet millimetres from the left of a horizontal coordinate in metres."""
        return float(self._shift[0] + self._per_metre * h)

    def y(self, v: float) -> float:
        """Sheet millimetres from the bottom of a vertical coordinate in metres."""
        return float(self._shift[1] + self._per_metre * v)

    def at(self, h: float, v: float) -> Point:
        """Sheet position of a point in metres."""
        return self.x(h), self.y(v)

    def mm(self, length_m: float) -> float:
        """Sheet millimetres of a length in metres."""
        return self.scale.mm(length_m)

    @property
    def box(self) -> Rect:
        """Bounding box on the sheet of all that this view has drawn with lines and fills.

        Raises:
            ValueError: nothing has been drawn yet.
        """
        if not np.isfinite(self._low).all():
            raise ValueError("the view is still empty")
        return Rect(*map(float, self._low), *map(float, self._high))

    def line(self, points: Points, kind: LineType, *, closed: bool = False) -> None:
        """A line of any type through points in metres."""
        self.canvas.line(self._placed(points), kind, closed=closed)

    def edge(self, points: Points, *, closed: bool = False) -> None:
        """A visible edge: continuous wide."""
        self.line(points, style.EDGE, closed=closed)

    def narrow(self, points: Points, *, closed: bool = False) -> None:
        """A secondary line: continuous narrow."""
        self.line(points, style.NARROW, closed=closed)

    def hidden(self, points: Points, *, closed: bool = False) -> None:
        """A hidden edge: dashed narrow."""
        self.line(points, style.HIDDEN, closed=closed)

    def centre_line(self, start: Point, end: Point, *, overrun_mm: float = 3.0) -> None:
        """A centre line: long-dash dot narrow, run past both ends by ``overrun_mm``."""
        first, last = np.array(self.at(*start)), np.array(self.at(*end))
        length = float(np.hypot(*(last - first)))
        past = (last - first) / length * overrun_mm if length > 0 else np.zeros(2)
        self.canvas.line(np.array([first - past, last + past]), style.CENTRE_LINE)

    def adjacent(self, points: Points, *, closed: bool = False) -> None:
        """An adjacent part or another position of this one: long-dash double-dot narrow."""
        self.line(points, style.ADJACENT, closed=closed)

    def construction(self, points: Points, *, closed: bool = False) -> None:
        """Geometric construction: continuous narrow in its own colour."""
        self.line(points, style.CONSTRUCTION, closed=closed)

    def fill(self, points: Points, role: Role = "part") -> None:
        """A filled polygon under all lines."""
        self.canvas.fill(self._placed(points), role)

    def outline(self, points: Points, role: Role = "part") -> None:
        """A filled polygon with a visible edge round it."""
        self.fill(points, role)
        self.edge(points, closed=True)

    def circle(self, centre: Point, *, radius_m: float, kind: LineType = style.EDGE) -> None:
        """A circle about a point, radius in metres."""
        h, v = centre
        self._placed([(h - radius_m, v - radius_m), (h + radius_m, v + radius_m)])
        self.canvas.arc(self.at(h, v), radius_mm=self.mm(radius_m), kind=kind)

    def text(
        self, h: float, v: float, text: str, *, dx_mm: float = 0.0, dy_mm: float = 0.0, **look: Any
    ) -> None:
        """Lettering at a point in metres, moved by sheet millimetres; ``look`` as on the canvas."""
        self.canvas.text(self.x(h) + dx_mm, self.y(v) + dy_mm, text, **look)

    def _placed(self, points: Points) -> npt.NDArray[np.float64]:
        placed: npt.NDArray[np.float64] = self._shift + self._per_metre * np.asarray(points, float)
        self._low = np.minimum(self._low, placed.min(axis=0))
        self._high = np.maximum(self._high, placed.max(axis=0))
        return placed
