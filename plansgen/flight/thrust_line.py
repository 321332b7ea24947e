"""Where the thrust passes the balance point, and what it does to pitch and yaw.

Forces along the shaft, moments by their arms: C. D. Perkins & R. E. Hage, *Airplane Performance,
Stability and Control*. What the wash does to wing and tail is worked out elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.build import Propeller
from plansgen.quantity import Quantity

_LINE = "flight-thrust-line"


@dataclass(frozen=True)
class ThrustLine:
    """One propeller's line, or that of two alike.

    height: of the line over the balance point. through: downthrust with which it would pass through
    it; None for a propeller beside the balance point. moment: Cm at full throttle in cruise, nose
    up. yaw: nose to starboard, Cn, of sidethrust there; 0 for two alike.
    """

    propeller: str
    down: Annotated[float, Quantity("rad", "Downthrust", "given-by-designer")]
    side: Annotated[float, Quantity("rad", "Sidethrust", "given-by-designer")]
    height: Annotated[float, Quantity("m", "Thrust line over the balance point", _LINE)]
    through: Annotated[float | None, Quantity("rad", "Downthrust through the balance point", _LINE)]
    moment: Annotated[float, Quantity("1", "Cm of full thrust in cruise", _LINE)]
    yaw: Annotated[float, Quantity("1", "Cn of full thrust in cruise", _LINE)]


def height_over(disc: Propeller, *, x: float, z: float) -> float:
    """Height of a shaft's line over a point, square to the line. [m] x, z: of the point."""
    return (disc.z - z) * math.cos(disc.down) + (x - disc.x) * math.sin(disc.down)


def yaw_arm(disc: Propeller, *, x: float, y: float = 0.0) -> float:
    """Distance of a shaft's line from a point, seen from above; + turns the nose to port. [m]"""
    return (disc.y - y) * math.cos(disc.side) - (x - disc.x) * math.sin(disc.side)


def mean_height(discs: Sequence[Propeller], *, x: float, z: float) -> float:
    """Height of the thrust of all discs over a point, each with a share by its area. [m]"""
    total = sum(disc.diameter**2 for disc in discs)
    return sum(disc.diameter**2 * height_over(disc, x=x, z=z) for disc in discs) / total


def thrust_lines(
    propellers: Sequence[Propeller],
    *,
    point: tuple[float, float],
    thrust: float,
    pressure_area: float,
    chord: float,
    span: float,
) -> tuple[ThrustLine, ...]:
    """Every propeller's line against the balance point.

    point: x and z of the balance. [m] thrust: of all propellers. [N] pressure_area: dynamic
    pressure times wing area, q S. [N] chord, span: of reference. [m]
    """
    x, z = point
    total = sum(p.diameter**2 * (2 if p.mirrored else 1) for p in propellers)
    found = []
    for one in propellers:
        share = one.diameter**2 * (2 if one.mirrored else 1) / total
        ahead = x - one.x
        found.append(
            ThrustLine(
                propeller=one.name,
                down=one.down,
                side=one.side,
                height=height_over(one, x=x, z=z),
                through=math.atan((z - one.z) / ahead) if abs(ahead) > one.diameter / 4 else None,
                moment=-share * thrust * height_over(one, x=x, z=z) / (pressure_area * chord),
                yaw=0.0
                if one.mirrored
                else -share * thrust * yaw_arm(one, x=x) / (pressure_area * span),
            )
        )
    return tuple(found)
