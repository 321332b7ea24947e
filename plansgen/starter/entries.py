"""Small pieces of a started design file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

Entry = dict[str, Any]


@dataclass(frozen=True)
class Fit:
    """What is still free once the layout is proportioned. [mm, g]

    nose: length ahead of the foremost surface. battery: middle of the battery; None while it is
    not known. ballast: mass and place, if balance cannot be had without.
    """

    nose: int
    battery: float | None = None
    ballast: tuple[float, int] | None = None


@dataclass(frozen=True)
class Sheet:
    """The sheet it is built from: id in the materials table, thickness. [mm]"""

    material: str
    thickness: float


def number(value: float, digits: int = 1) -> float | int:
    """A number as a person would write it: no trailing zero, no minus zero."""
    rounded = round(value, digits)
    return int(rounded) if rounded == int(rounded) else rounded


def point(x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Entry:
    """A place, without what is zero."""
    place = {"x": number(x), "y": number(y), "z": number(z)}
    return {key: value for key, value in place.items() if value} or {"x": 0}
