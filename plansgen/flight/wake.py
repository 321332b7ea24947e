"""The wing's wake at the tail: slow air that the elevator has to work in.

Behind a wing drags a band of air that has lost speed. Its half width and its loss of dynamic
pressure in the middle follow from the wing's profile drag, ξ chords behind the trailing edge::

    ζ = 0.68 √(c_d0 (ξ + 0.15))        Δq/q = 2.42 √c_d0 / (ξ + 0.30)

and across it the loss falls off as cos². Source: A. Silverstein & S. Katzoff, NACA Report 648
(1939); constants from memory. Its middle leaves the trailing edge and goes where the air goes: the
angle of the flow behind the wing alone, from the lattice, is followed step by step. The wake of the
lattice itself stays flat and does not roll up, which puts the real one a little lower at high lift.

Past the stall the wake grows wide and slow far faster than the formula was measured for; see
``near_stall``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.flight.derivatives import scale_of
from plansgen.flight.lattice import Flow, Lattice
from plansgen.flight.slipstream import SpanSamples, samples_of
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

# A section that has stalled has lost its suction at the nose, so its force stands square to the
# chord and c_d = c_l tan α: about 0.8 × tan 8° for a thin section (derived; an estimate).
STALLED_DRAG = 0.11
STALL_BEGINS = 0.8  # share of the greatest lift at which the drag begins to rise (estimate)
MOST_LOSS = 0.9  # the formula exceeds 1 close behind a stalled wing; some of the flow is left

_STEPS = 24  # places along the way to the tail
_ACROSS = 60  # places along a tail's half span


@dataclass(frozen=True)
class Wake:
    """The wake at one distance behind a wing."""

    half_width: Annotated[float, Quantity("m", "Half width of the wake", "flight-wing-wake")]
    loss: Annotated[
        float, Quantity("1", "Loss of dynamic pressure in its middle", "flight-wing-wake", "%")
    ]

    def loss_at(self, offset: float) -> float:
        """Loss of dynamic pressure, 0 to 1. offset: above or below the middle. [m]"""
        if abs(offset) >= self.half_width:
            return 0.0
        return self.loss * math.cos(math.pi / 2 * offset / self.half_width) ** 2


def wake_at(*, distance: float, chord: float, drag: float) -> Wake:
    """The wake behind a wing's trailing edge.

    distance: behind the trailing edge. [m] chord: of the wing there. [m] drag: profile drag
    coefficient.

    Raises:
        ValueError: a chord not above 0, or a distance or drag below 0.
    """
    if not chord > 0.0:
        raise ValueError(f"chord is {chord:g}, but must be above 0")
    if not (distance >= 0.0 and drag >= 0.0):
        raise ValueError(f"distance {distance:g} and drag {drag:g} must be 0 or more")
    chords = distance / chord
    return Wake(
        half_width=chord * 0.68 * math.sqrt(drag * (chords + 0.15)),
        loss=min(MOST_LOSS, 2.42 * math.sqrt(drag) / (chords + 0.30)),
    )


def near_stall(*, drag: float, lift: float, lift_max: float) -> float:
    """Profile drag coefficient with the rise towards the stall; an estimate.

    Below 80 % of the greatest lift it is ``drag``; from there it rises with the square to that of a
    stalled section, 0.11. lift, lift_max: the wing's lift coefficient and its greatest.

    Raises:
        ValueError: the greatest lift is not above 0.
    """
    if not lift_max > 0.0:
        raise ValueError(f"the greatest lift is {lift_max:g}, but must be above 0")
    part = (abs(lift) / lift_max - STALL_BEGINS) / (1 - STALL_BEGINS)
    rise = min(max(part, 0.0), 1.0) ** 2
    return max(drag, drag + (STALLED_DRAG - drag) * rise)


@dataclass(frozen=True)
class TailWake:
    """What the wing's wake does to one surface at one angle of attack.

    offset: how far the surface's middle lies above the middle of the wake.
    """

    surface: str
    alpha: Annotated[float, Quantity("rad", "Angle of attack", "flight-wing-wake")]
    drag: Annotated[float, Quantity("1", "Wing's profile drag coefficient", "flight-wing-wake")]
    offset: Annotated[float, Quantity("m", "Surface above the wake's middle", "flight-wing-wake")]
    half_width: Annotated[float, Quantity("m", "Half width of the wake", "flight-wing-wake")]
    ratio: Annotated[
        float, Quantity("1", "Dynamic pressure over free air's", "flight-wing-wake", "%")
    ]


def _heights(
    lattice: Lattice, wing: LiftingSurface, places: Array, flows: Sequence[Flow], airframe: Airframe
) -> Array:
    """Rise of the wake's middle over the trailing edge on the way to places. (F, P) [m]

    places: x of each, rising, the trailing edge first; in the plane of the mean chord.
    """
    plan = wing.planform
    points = np.column_stack(
        [places, np.full_like(places, plan.mac_y / 2), np.full_like(places, plan.mac_z)]
    )
    velocity = lattice.velocities(
        points, flows, point=(0.0, 0.0, 0.0), scale=scale_of(airframe.reference)
    )
    sin = np.array([math.sin(flow.alpha) for flow in flows])[:, None]
    cos = np.array([math.cos(flow.alpha) for flow in flows])[:, None]
    slope = (sin + velocity[:, :, 2]) / np.maximum(cos + velocity[:, :, 0], 0.2)
    steps = np.diff(places) * (slope[:, 1:] + slope[:, :-1]) / 2
    return np.concatenate([np.zeros((len(flows), 1)), np.cumsum(steps, axis=1)], axis=1)


def _trailing_edge(wing: LiftingSurface) -> float:
    return wing.planform.mac_x + wing.planform.mac


def tail_wakes(
    airframe: Airframe,
    surface: LiftingSurface,
    *,
    alphas: Sequence[float],
    drags: Sequence[float],
    wings: Lattice | None = None,
) -> tuple[TailWake, ...]:
    """Dynamic pressure that the wings' wakes leave one surface, over angles of attack.

    alphas: of the datum line. [rad] drags: the wing's profile drag coefficient at each. wings: the
    lattice of the wings alone, if solved already. A surface ahead of the wings, or a wing itself,
    keeps all of it. The losses of two wings add up.

    Raises:
        ValueError: alphas and drags differ in number, or a surface has no area.
    """
    if len(alphas) != len(drags):
        raise ValueError(f"{len(alphas)} angles but {len(drags)} drags")
    behind = [
        wing
        for wing in airframe.surfaces
        if wing.role == "wing"
        and wing.key != surface.key
        and surface.planform.mac_x > _trailing_edge(wing)
    ]
    samples = samples_of(surface, count=_ACROSS)
    losses = np.zeros((len(alphas), _ACROSS))
    first = (np.zeros(len(alphas)), np.zeros(len(alphas)))
    if behind and surface.role != "wing":
        solved = wings or Lattice([s for s in airframe.surfaces if s.role == "wing"])
        parts = [_losses(solved, airframe, wing, samples, alphas, drags) for wing in behind]
        losses = sum((part[0] for part in parts), losses)
        first = parts[0][1:]
    ratios = 1 - np.minimum(losses, MOST_LOSS) @ samples.chord / samples.chord.sum()
    return tuple(
        TailWake(
            surface=surface.key,
            alpha=float(alpha),
            drag=float(drag),
            offset=float(offset),
            half_width=float(width),
            ratio=float(ratio),
        )
        for alpha, drag, ratio, offset, width in zip(alphas, drags, ratios, *first, strict=True)
    )


def _losses(
    lattice: Lattice,
    airframe: Airframe,
    wing: LiftingSurface,
    samples: SpanSamples,
    alphas: Sequence[float],
    drags: Sequence[float],
) -> tuple[Array, Array, Array]:
    """Loss at each sample (F, P), and offset and half width at the sample nearest the root (F)."""
    local = _local_wing(wing, np.abs(samples.y))
    places = np.linspace(float(local.edge.min()), float(samples.x.max()), _STEPS)
    flows = [Flow(alpha=float(alpha)) for alpha in alphas]
    rises = _heights(lattice, wing, places, flows, airframe)
    chords = np.maximum(samples.x - local.edge, 0.0) / local.chord
    drag = np.maximum(np.asarray(drags, dtype=float), 0.0)[:, None]
    width = local.chord * 0.68 * np.sqrt(drag * (chords + 0.15))
    middle = np.minimum(MOST_LOSS, 2.42 * np.sqrt(drag) / (chords + 0.30))
    rise = np.stack(
        [np.interp(samples.x, places, row) - np.interp(local.edge, places, row) for row in rises]
    )
    offset = samples.z - local.height - rise
    part = np.clip(np.abs(offset) / np.maximum(width, 1e-12), 0.0, 1.0)
    loss = middle * np.cos(math.pi / 2 * part) ** 2 * local.inside
    return loss, offset[:, 0], width[:, 0]


@dataclass(frozen=True)
class _LocalWing:
    """The wing's trailing edge ahead of each sample: x, z, chord; inside: not beyond its tip."""

    edge: Array
    height: Array
    chord: Array
    inside: Array


def _local_wing(wing: LiftingSurface, y: Array) -> _LocalWing:
    ys = np.array([s.y for s in wing.stations])
    chord = np.array([s.chord for s in wing.stations])
    twist = np.array([s.twist for s in wing.stations])
    edge = np.array([s.x for s in wing.stations]) + chord * np.cos(twist)
    height = np.array([s.z for s in wing.stations]) - chord * np.sin(twist)
    return _LocalWing(
        edge=np.interp(y, ys, edge),
        height=np.interp(y, ys, height),
        chord=np.maximum(np.interp(y, ys, chord), 1e-6),
        inside=(y <= ys[-1]).astype(float),
    )
