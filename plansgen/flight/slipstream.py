"""Propeller wash: how fast it is, how wide, and what stands in it.

Actuator disc: the thrust is the mass flow times twice the speed added at the disc (W. J. M. Rankine
and R. E. Froude; H. Glauert, *The Elements of Aerofoil and Airscrew Theory* (1926), ch. XV)::

    T = 2 ρ A v (V + v)

Along the axis the added speed is that of a tube of vortex rings beginning at the disc (B. W.
McCormick, *Aerodynamics of V/STOL Flight* (1967)), and the wash narrows as continuity asks::

    w(s) = v (1 + s / √(s² + R²))        r(s) = R √((V + v) / (V + w))

Swirl, blades, bodies in the wash and its mixing with the air around are left out: what reaches a
tail is rather less than this. Surfaces ahead of a disc are drawn at, not blown at, and count as
dry; so a pusher behind the tail washes nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, LiftingSurface, Propeller
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

_SAMPLES = 400  # places along a half span: an edge of the wash is found to a quarter of a percent


@dataclass(frozen=True)
class Disc:
    """A propeller at work, as an actuator disc."""

    thrust: Annotated[float, Quantity("N", "Thrust", "flight-actuator-disc")]
    diameter: Annotated[float, Quantity("m", "Propeller diameter", "given-by-designer")]
    speed: Annotated[float, Quantity("m/s", "Airspeed", "flight-actuator-disc")]
    density: Annotated[float, Quantity("kg/m³", "Air density", "standard-atmosphere")]
    added: Annotated[float, Quantity("m/s", "Speed added at the disc", "flight-actuator-disc")]
    power: Annotated[float, Quantity("W", "Least power for the thrust", "flight-actuator-disc")]

    @property
    def far_speed(self) -> float:
        """Speed of the wash far behind. [m/s]"""
        return self.speed + 2 * self.added

    @property
    def far_radius(self) -> float:
        """Radius of the wash far behind. [m]"""
        if self.added == 0.0:
            return self.diameter / 2
        return (
            self.diameter / 2 * math.sqrt((self.speed + self.added) / (self.speed + 2 * self.added))
        )

    def speed_at(self, distance: float) -> float:
        """Speed of the air on the axis. [m/s] distance: behind the disc; negative ahead. [m]"""
        radius = self.diameter / 2
        return self.speed + self.added * (1 + distance / math.hypot(distance, radius))

    def radius_at(self, distance: float) -> float:
        """Radius of the air that goes through the disc. [m]

        distance: behind the disc; negative ahead. [m] Standing still, with no thrust, it is the
        disc's own.
        """
        if self.added == 0.0:
            return self.diameter / 2
        share = (self.speed + self.added) / self.speed_at(distance)
        return self.diameter / 2 * math.sqrt(share)


def disc(*, thrust: float, diameter: float, speed: float, density: float) -> Disc:
    """An actuator disc.

    thrust: [N] diameter: [m] speed: airspeed, 0 on the ground. [m/s] density: of the air. [kg/m³]

    Raises:
        ValueError: a thrust or speed below 0, or a diameter or density not above 0.
    """
    for name, value in (("thrust", thrust), ("speed", speed)):
        if not (math.isfinite(value) and value >= 0.0):
            raise ValueError(f"{name} is {value:g}, but must be 0 or more")
    for name, value in (("diameter", diameter), ("density", density)):
        if not (math.isfinite(value) and value > 0.0):
            raise ValueError(f"{name} is {value:g}, but must be above 0")
    area = math.pi * diameter**2 / 4
    # The root without the difference of two like numbers: T/(ρA) over V + √(V² + 2T/(ρA)).
    load = thrust / (density * area)
    under = speed + math.sqrt(speed**2 + 2 * load)
    added = load / under if load > 0.0 else 0.0
    return Disc(
        thrust=thrust,
        diameter=diameter,
        speed=speed,
        density=density,
        added=added,
        power=thrust * (speed + added),
    )


@dataclass(frozen=True)
class WashedStrip:
    """A piece of a surface in the wash; distances along it from the root, negative to port."""

    inboard: Annotated[float, Quantity("m", "Begins at", "flight-wash-on-surfaces")]
    outboard: Annotated[float, Quantity("m", "Ends at", "flight-wash-on-surfaces")]


@dataclass(frozen=True)
class SurfaceWash:
    """What the wash does to one surface, or to one stretch of its span, both sides together.

    gain: of dynamic pressure over the free air's, by area; None standing still, where the free air
    has none.
    """

    surface: str
    share: Annotated[
        float, Quantity("1", "Share of the area in the wash", "flight-wash-on-surfaces", "%")
    ]
    pressure: Annotated[
        float, Quantity("Pa", "Dynamic pressure, mean over the area", "flight-wash-on-surfaces")
    ]
    gain: Annotated[
        float | None, Quantity("1", "Dynamic pressure over free air's", "flight-wash-on-surfaces")
    ]
    strips: tuple[WashedStrip, ...]


def discs_of(propellers: Sequence[Propeller]) -> tuple[Propeller, ...]:
    """Every disc by itself: a mirrored propeller is two."""
    found: list[Propeller] = []
    for item in propellers:
        found.append(replace(item, mirrored=False))
        if item.mirrored and item.y != 0.0:
            found.append(replace(item, mirrored=False, y=-item.y, side=-item.side))
    return tuple(found)


@dataclass(frozen=True)
class SpanSamples:
    """Even places along one half (or the only one) of a surface.

    Rows of equal length: x of the quarter chord, y, z, chord, developed distance. [m] sides: +1
    starboard, and −1 too when there are two.
    """

    x: Array
    y: Array
    z: Array
    chord: Array
    span: Array
    sides: tuple[int, ...]


def samples_of(
    surface: LiftingSurface,
    *,
    inboard: float | None = None,
    outboard: float | None = None,
    count: int = _SAMPLES,
) -> SpanSamples:
    """Lay samples along a surface or the stretch between two developed distances. [m]"""
    spans = np.array([s.span for s in surface.stations])
    lo = float(spans[0]) if inboard is None else inboard
    hi = float(spans[-1]) if outboard is None else outboard
    at = lo + (hi - lo) * (np.arange(count) + 0.5) / count

    def along(name: str) -> Array:
        return np.asarray(
            np.interp(at, spans, [getattr(s, name) for s in surface.stations]), dtype=float
        )

    chord = along("chord")
    return SpanSamples(
        x=along("x") + chord / 4,
        y=along("y"),
        z=along("z"),
        chord=chord,
        span=at,
        sides=(1, -1) if surface.mirrored else (1,),
    )


def _speeds(samples: SpanSamples, side: int, discs: Sequence[tuple[Propeller, Disc]]) -> Array:
    """Speed of the wash at each sample, 0 where it is dry; the fastest where two meet. [m/s]"""
    found = np.zeros(len(samples.span))
    for place, flow in discs:
        behind = samples.x - place.x
        radius = flow.diameter / 2
        speed = flow.speed + flow.added * (1 + behind / np.hypot(behind, radius))
        wide2 = radius**2 * (flow.speed + flow.added) / np.maximum(speed, 1e-12)
        off2 = (side * samples.y - place.y) ** 2 + (samples.z - place.z) ** 2
        inside = (behind > 0.0) & (off2 < wide2) & (flow.added > 0.0)
        found = np.maximum(found, np.where(inside, speed, 0.0))
    return found


def _pieces(wet: NDArray[np.bool_], samples: SpanSamples, side: int) -> Iterator[WashedStrip]:
    step = samples.span[1] - samples.span[0] if len(samples.span) > 1 else 0.0
    edges = np.flatnonzero(np.diff(np.concatenate([[0], wet.astype(int), [0]])))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        ends = (samples.span[first] - step / 2, samples.span[last - 1] + step / 2)
        inner, outer = (float(side * end) + 0.0 for end in ends)  # no -0.0
        yield WashedStrip(inboard=inner, outboard=outer)


def wash_over(
    surface: LiftingSurface,
    discs: Sequence[tuple[Propeller, Disc]],
    *,
    speed: float,
    density: float,
    inboard: float | None = None,
    outboard: float | None = None,
) -> SurfaceWash:
    """What running discs do to one surface, or to the stretch between two developed distances.

    A place is in the wash when its quarter chord is. speed: airspeed. [m/s] density: [kg/m³]
    """
    samples = samples_of(surface, inboard=inboard, outboard=outboard)
    area = float(samples.chord.sum()) * len(samples.sides)
    wet_area = added = 0.0
    strips: list[WashedStrip] = []
    for side in samples.sides:
        speeds = _speeds(samples, side, discs)
        wet = speeds > 0.0
        wet_area += float(samples.chord[wet].sum())
        added += float(samples.chord @ np.where(wet, speeds**2 - speed**2, 0.0))
        strips += _pieces(wet, samples, side)
    mean = speed**2 + (added / area if area > 0.0 else 0.0)
    return SurfaceWash(
        surface=surface.key,
        share=wet_area / area if area > 0.0 else 0.0,
        pressure=0.5 * density * mean,
        gain=mean / speed**2 if speed > 0.0 else None,
        strips=tuple(strips),
    )


def running_discs(
    propellers: Sequence[Propeller], *, thrust: float, speed: float, density: float
) -> tuple[tuple[Propeller, Disc], ...]:
    """All discs, the thrust shared out by their areas. thrust: of all together. [N]

    Raises:
        ValueError: as from ``disc``.
    """
    places = discs_of(propellers)
    total = sum(place.diameter**2 for place in places)
    return tuple(
        (
            place,
            disc(
                thrust=thrust * place.diameter**2 / total,
                diameter=place.diameter,
                speed=speed,
                density=density,
            ),
        )
        for place in places
    )


def wash_on_surfaces(
    airframe: Airframe, *, thrust: float, speed: float, density: float
) -> tuple[SurfaceWash, ...]:
    """What the wash of all propellers does to every surface.

    The thrust axis is the body's x-axis, and the wash keeps to it. thrust: of all propellers. [N]
    speed: airspeed, 0 on the ground. [m/s] density: of the air. [kg/m³]

    Raises:
        ValueError: as from ``disc``.
    """
    discs = running_discs(airframe.propellers, thrust=thrust, speed=speed, density=density)
    return tuple(
        wash_over(surface, discs, speed=speed, density=density) for surface in airframe.surfaces
    )
