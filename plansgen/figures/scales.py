"""Drawing scales and rectangles on the sheet. Scales after ISO 5455 (from memory)."""

from __future__ import annotations

from dataclasses import dataclass

# Enlargements, full size, then reductions, largest drawing first.
_SERIES = (
    *((n, 1) for n in (50, 20, 10, 5, 2)),
    (1, 1),
    *((1, step * decade) for decade in (1, 10, 100, 1000) for step in (2, 5, 10)),
)


@dataclass(frozen=True)
class Rect:
    """A rectangle on the sheet in millimetres, from the lower left corner of the paper."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Width in millimetres."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height in millimetres."""
        return self.top - self.bottom

    @property
    def centre(self) -> tuple[float, float]:
        """Middle of the rectangle."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    def inset(
        self, *, left: float = 0.0, bottom: float = 0.0, right: float = 0.0, top: float = 0.0
    ) -> Rect:
        """The rectangle with a margin taken off each side, in millimetres."""
        return Rect(self.left + left, self.bottom + bottom, self.right - right, self.top - top)


@dataclass(frozen=True)
class Scale:
    """A drawing scale ``drawn : real``."""

    drawn: int
    real: int

    @property
    def factor(self) -> float:
        """Sheet length over real length."""
        return self.drawn / self.real

    def mm(self, length_m: float) -> float:
        """Sheet millimetres of a real length in metres."""
        return length_m * 1000 * self.drawn / self.real

    def __str__(self) -> str:
        return f"{self.drawn}:{self.real}"


@dataclass(frozen=True)
class Free(Scale):
    """A diagram's scale, which is no drawing scale: so many millimetres a metre."""

    drawn: int = 1
    real: int = 1
    per_metre: float = 1.0

    def mm(self, length_m: float) -> float:
        """Sheet millimetres of a length in metres."""
        return length_m * self.per_metre


SCALES = tuple(Scale(drawn, real) for drawn, real in _SERIES)
"""50:1 down to 1:10000."""


def choose_scale(*, width_m: float, height_m: float, area: Rect) -> Scale:
    """The largest scale at which a real width and height fit an area of the sheet.

    Raises:
        ValueError: they do not fit at the smallest scale of the series.
    """
    for scale in SCALES:
        if scale.mm(width_m) <= area.width + 1e-9 and scale.mm(height_m) <= area.height + 1e-9:
            return scale
    raise ValueError(
        f"{width_m:g} m x {height_m:g} m does not fit {area.width:g} mm x {area.height:g} mm "
        f"at {SCALES[-1]}"
    )
