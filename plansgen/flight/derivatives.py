"""Stability and control derivatives about a point, neutral point and static margin.

All follow from the lattice's unit flows. A state's coefficients are products of two sums of unit
flows and of sines of the angles, so central differences over a thousandth are exact to seven
digits and cost no new solution.

Axes are the stability axes of the reference state, as in textbooks (B. Etkin, *Dynamics of
Flight*; R. C. Nelson, *Flight Stability and Automatic Control*): x forward into the wind, y to
starboard, z down. Rates are pb/2V, qc/2V and rb/2V. Control signs: see ``flight.controls``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import Airframe
from plansgen.airframe.layout import Reference
from plansgen.flight.controls import ControlMode
from plansgen.flight.lattice import Flow, Lattice, Point, Scale
from plansgen.flight.slender import BodyMoment, body_moments
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

_STEP = 1e-3


@dataclass(frozen=True)
class Slopes:
    """How the coefficients change with one angle or rate, per radian."""

    lift: Annotated[float, Quantity("1/rad", "Slope of CL", "lattice-derivatives")]
    side: Annotated[float, Quantity("1/rad", "Slope of CY", "lattice-derivatives")]
    roll: Annotated[float, Quantity("1/rad", "Slope of Cl", "lattice-derivatives")]
    pitch: Annotated[float, Quantity("1/rad", "Slope of Cm", "lattice-derivatives")]
    yaw: Annotated[float, Quantity("1/rad", "Slope of Cn", "lattice-derivatives")]
    induced_drag: Annotated[float, Quantity("1/rad", "Slope of CDi", "lattice-derivatives")]


@dataclass(frozen=True)
class ControlSlopes:
    """What one way of moving one control does."""

    mode: ControlMode
    slopes: Slopes


@dataclass(frozen=True)
class Derivatives:
    """A model's derivatives about one point at one angle of attack, bodies included."""

    alpha_at: Annotated[float, Quantity("rad", "Angle of attack", "lattice-derivatives")]
    point: Point
    lift: Annotated[float, Quantity("1", "Lift coefficient, CL", "vortex-lattice")]
    pitch: Annotated[float, Quantity("1", "Pitching moment coefficient, Cm", "vortex-lattice")]
    induced_drag: Annotated[float, Quantity("1", "Induced drag coefficient, CDi", "trefftz-plane")]
    alpha: Slopes
    beta: Slopes
    p: Slopes
    q: Slopes
    r: Slopes
    controls: tuple[ControlSlopes, ...]
    bodies: tuple[BodyMoment, ...]
    neutral_point: Annotated[float, Quantity("m", "Neutral point, x", "neutral-point")]
    neutral_point_surfaces: Annotated[
        float, Quantity("m", "Neutral point without bodies, x", "neutral-point")
    ]
    static_margin: Annotated[float, Quantity("1", "Static margin", "static-margin", "%")]

    def control(self, name: str) -> Slopes:
        """Slopes of the control mode of that name."""
        return next(c.slopes for c in self.controls if c.mode.name == name)


def scale_of(reference: Reference) -> Scale:
    """The reference wing's area, span and mean aerodynamic chord."""
    return Scale(area=reference.area, span=reference.span, chord=reference.mac)


def _in_stability_axes(values: Array, flow: Flow, axes: float) -> Array:
    """CL, CY, Cl, Cm, Cn, CDi from the body's seven numbers. axes: angle of attack of the axes."""
    fx, fy, fz, roll, pitch, yaw, drag = values
    cos, sin = math.cos(axes), math.sin(axes)
    lift = fz * math.cos(flow.alpha) - fx * math.sin(flow.alpha)
    return np.array(
        [lift, fy, roll * cos + yaw * sin, pitch, yaw * cos - roll * sin, drag], dtype=float
    )


def _changed(flow: Flow, name: str, step: float) -> Flow:
    """A state of flight a little further on; rates turn about the stability axes."""
    if name == "p":
        return replace(
            flow,
            p=flow.p + step * math.cos(flow.alpha),
            r=flow.r + step * math.sin(flow.alpha),
        )
    if name == "r":
        return replace(
            flow,
            p=flow.p - step * math.sin(flow.alpha),
            r=flow.r + step * math.cos(flow.alpha),
        )
    if name in ("alpha", "beta", "q"):
        return replace(flow, **{name: getattr(flow, name) + step})
    deflections = dict(flow.deflections)
    deflections[name] = deflections.get(name, 0.0) + step
    return replace(flow, deflections=deflections)


def work_out_derivatives(
    lattice: Lattice,
    *,
    flow: Flow,
    point: Point,
    scale: Scale,
    bodies: Sequence[BodyMoment] = (),
) -> Derivatives:
    """Derivatives about one state of flight.

    flow: the state, usually steady: no rates. point: the centre of gravity. [m] bodies: as from
    ``slender.body_moments``.

    Raises:
        ValueError: the surfaces give no lift for angle of attack, so there is no neutral point.
    """

    def at(state: Flow) -> Array:
        values = lattice.coefficients(state, point=point, scale=scale)
        return _in_stability_axes(values, state, flow.alpha)

    def slopes(name: str) -> Array:
        ahead, behind = at(_changed(flow, name, _STEP)), at(_changed(flow, name, -_STEP))
        return np.asarray((ahead - behind) / (2 * _STEP))

    here = at(flow)
    alpha, beta = slopes("alpha"), slopes("beta")
    if abs(alpha[0]) < 1e-6:
        raise ValueError("the surfaces give no lift for angle of attack: there is no neutral point")
    alone = point[0] - alpha[3] / alpha[0] * scale.chord
    alpha[3] += sum(body.pitch for body in bodies) / (scale.area * scale.chord)
    beta[4] += sum(body.yaw for body in bodies) / (scale.area * scale.span)
    margin = -float(alpha[3] / alpha[0])
    return Derivatives(
        alpha_at=flow.alpha,
        point=point,
        lift=float(here[0]),
        pitch=float(here[3]),
        induced_drag=float(here[5]),
        alpha=_slopes(alpha),
        beta=_slopes(beta),
        p=_slopes(slopes("p")),
        q=_slopes(slopes("q")),
        r=_slopes(slopes("r")),
        controls=tuple(ControlSlopes(mode, _slopes(slopes(mode.name))) for mode in lattice.modes),
        bodies=tuple(bodies),
        neutral_point=point[0] + margin * scale.chord,
        neutral_point_surfaces=float(alone),
        static_margin=margin,
    )


def _slopes(values: Array) -> Slopes:
    return Slopes(*(float(value) for value in values))


def derivatives_of(
    airframe: Airframe,
    *,
    point: Point,
    alpha: float = 0.0,
    lattice: Lattice | None = None,
) -> Derivatives:
    """Derivatives of an airframe, bodies included.

    point: the centre of gravity in the body frame. [m] alpha: angle of attack of the datum line.
    [rad] lattice: one already solved for these surfaces.

    Raises:
        ValueError: a surface has no area, two lie on each other, or the reference wing has none.
    """
    solved = lattice or Lattice(airframe.surfaces)
    scale = scale_of(airframe.reference)
    bodies = body_moments(airframe.bodies, lattice=solved, scale=scale, alpha=alpha)
    flow = Flow(alpha=alpha)
    return work_out_derivatives(solved, flow=flow, point=point, scale=scale, bodies=bodies)
