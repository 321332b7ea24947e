"""Motions of their own: short period, phugoid, roll, spiral and Dutch roll.

Small disturbances of level flight, or of a glide, at constant thrust, split into the symmetric
ones (u, w, q, θ) and the others (β, p, r, φ). The eigenvalues of the two matrices say how fast each
motion swings and dies away. Source: R. C. Nelson, *Flight Stability and Automatic Control*, ch. 4
and 5; B. Etkin, *Dynamics of Flight*. Axes are stability axes, as the derivatives'.

Left out: the unsteady lift of Z_ẇ, the mass of the air that moves along (a few per cent for large,
light wings), the propeller's own damping, and whatever bends.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.atmosphere import GRAVITY
from plansgen.balance.centre import MassState
from plansgen.flight.derivatives import Derivatives
from plansgen.flight.lattice import Scale
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

_SMALL = 1e-9  # of the fastest root: below it a root counts as nought


@dataclass(frozen=True)
class Mode:
    """One motion: a pair of complex roots, or one or two real ones.

    real: of the slower root, negative when it dies away. imaginary: 0 without swinging. Times are
    None where the motion does not swing, die away or grow.
    """

    real: Annotated[float, Quantity("1/s", "Real part of the root", "flight-modes")]
    imaginary: Annotated[float, Quantity("1/s", "Imaginary part of the root", "flight-modes")]
    period: Annotated[float | None, Quantity("s", "Period", "flight-modes")]
    damping: Annotated[float | None, Quantity("1", "Damping ratio", "flight-modes")]
    half: Annotated[float | None, Quantity("s", "Time to half", "flight-modes")]
    double: Annotated[float | None, Quantity("s", "Time to double", "flight-modes")]

    @property
    def stable(self) -> bool:
        """Whether it dies away."""
        return self.real < 0.0


@dataclass(frozen=True)
class Inertia:
    """Mass and inertia about stability axes, as the motions feel them."""

    mass: Annotated[float, Quantity("kg", "Mass", "centre-of-gravity")]
    roll: Annotated[float, Quantity("kg m²", "Inertia in roll", "inertia")]
    pitch: Annotated[float, Quantity("kg m²", "Inertia in pitch", "inertia")]
    yaw: Annotated[float, Quantity("kg m²", "Inertia in yaw", "inertia")]
    product: Annotated[float, Quantity("kg m²", "Product of inertia, roll and yaw", "inertia")]


def inertia_of(state: MassState, *, alpha: float) -> Inertia:
    """Turn a model's inertia into the stability axes.

    alpha: angle of attack of the datum line. [rad] Source: Etkin, *Dynamics of Flight*, rotation of
    the inertia matrix about y.
    """
    sin, cos = math.sin(alpha), math.cos(alpha)
    return Inertia(
        mass=state.mass,
        roll=state.ixx * cos**2 + state.izz * sin**2 - 2 * state.ixz * sin * cos,
        pitch=state.iyy,
        yaw=state.ixx * sin**2 + state.izz * cos**2 + 2 * state.ixz * sin * cos,
        product=state.ixz * (cos**2 - sin**2) + (state.ixx - state.izz) * sin * cos,
    )


@dataclass(frozen=True)
class Motions:
    """The five motions at one speed.

    A motion is None where the model has none of that kind: ``coupled`` is then the swing that roll
    and spiral (or short period and phugoid) have joined to, and ``others`` what is left.
    """

    speed: Annotated[float, Quantity("m/s", "Airspeed", "flight-modes")]
    short_period: Mode | None
    phugoid: Mode | None
    roll: Mode | None
    spiral: Mode | None
    dutch_roll: Mode | None
    coupled: Mode | None
    others: tuple[Mode, ...]


def longitudinal_matrix(
    *,
    derivatives: Derivatives,
    inertia: Inertia,
    scale: Scale,
    speed: float,
    density: float,
    lift: float,
    drag: float,
    alpha_dot: float = 0.0,
) -> Array:
    """Matrix of (u, w, q, θ) in level flight. SI.

    lift, drag: coefficients of the steady flight. alpha_dot: Cm_α̇, over α̇c/2V; see
    ``flight.downwash_lag``. Source: Nelson, ch. 4, with Z_q kept; thrust does not change with
    speed, which is right for a glide too.

    Raises:
        ValueError: speed, density, mass or inertia are not above 0.
    """
    _refuse(speed=speed, density=density, mass=inertia.mass, inertia=inertia.pitch)
    q = density * speed**2 / 2
    force = q * scale.area / (inertia.mass * speed)
    couple = q * scale.area * scale.chord / inertia.pitch
    time = scale.chord / (2 * speed)
    slope, curve = derivatives.alpha, derivatives.q
    x_u, x_w = -2 * drag * force, (lift - slope.induced_drag) * force
    z_u, z_w = -2 * lift * force, -(slope.lift + drag) * force
    z_q = speed - curve.lift * time * force * speed
    m_w, m_q = slope.pitch * couple / speed, curve.pitch * time * couple
    m_dot = alpha_dot * time * couple / speed
    return np.array(
        [
            [x_u, x_w, 0.0, -GRAVITY],
            [z_u, z_w, z_q, 0.0],
            [m_dot * z_u, m_w + m_dot * z_w, m_q + m_dot * z_q, 0.0],
            [0.0, 0.0, 1.0, 0.0],
        ]
    )


def lateral_matrix(
    *,
    derivatives: Derivatives,
    inertia: Inertia,
    scale: Scale,
    speed: float,
    density: float,
) -> Array:
    """Matrix of (β, p, r, φ) in level flight. SI. Source: Nelson, ch. 5; Etkin for the product.

    Raises:
        ValueError: speed, density, mass or inertias are not above 0.
    """
    ixx, izz, ixz = inertia.roll, inertia.yaw, inertia.product
    _refuse(speed=speed, density=density, mass=inertia.mass, inertia=min(ixx, izz))
    _refuse(determinant_of_inertia=ixx * izz - ixz**2)
    q = density * speed**2 / 2
    force = q * scale.area / (inertia.mass * speed)
    time = scale.span / (2 * speed)
    slopes = (derivatives.beta, derivatives.p, derivatives.r)
    units = np.array([1.0, time, time])
    couples = np.array([[s.roll for s in slopes], [s.yaw for s in slopes]]) * units
    turn = np.linalg.solve(
        np.array([[ixx, -ixz], [-ixz, izz]]), couples * q * scale.area * scale.span
    )
    side = np.array([s.side for s in slopes]) * units * force
    matrix = np.zeros((4, 4))
    matrix[0] = [side[0], side[1], side[2] - 1.0, GRAVITY / speed]
    matrix[1:3, :3] = turn
    matrix[3, 1] = 1.0
    return matrix


def _refuse(**values: float) -> None:
    for name, value in values.items():
        if not (math.isfinite(value) and value > 0.0):
            raise ValueError(f"{name.replace('_', ' ')} is {value:g}, but must be above 0")


def mode_of(roots: Sequence[complex]) -> Mode:
    """Read a complex pair, or one or two real roots, as a motion.

    Of two real roots the greater counts: the one that dies away later, or grows faster. Two of one
    sign have a damping ratio beyond 1.
    """
    real, imaginary = max(root.real for root in roots), abs(roots[0].imag)
    damping = None
    if len(roots) == 2:
        product = (roots[0] * roots[1]).real
        if product > 0.0:
            damping = -(roots[0] + roots[1]).real / (2 * math.sqrt(product))
    return Mode(
        real=real,
        imaginary=imaginary,
        period=2 * math.pi / imaginary if imaginary > 0.0 else None,
        damping=damping,
        half=math.log(2) / -real if real < 0.0 else None,
        double=math.log(2) / real if real > 0.0 else None,
    )


def _roots(matrix: Array) -> tuple[list[list[complex]], list[float]]:
    """Complex pairs, fastest first, and real roots, most negative first."""
    values = np.linalg.eigvals(matrix)
    fastest = max(float(np.abs(values).max()), 1e-300)
    clean = [complex(v) if abs(v) > _SMALL * fastest else 0j for v in values]
    upper = [v for v in clean if v.imag > _SMALL * fastest]
    pairs = [[v, v.conjugate()] for v in sorted(upper, key=lambda v: (-abs(v), v.real))]
    reals = sorted(v.real for v in clean if abs(v.imag) <= _SMALL * fastest)
    return pairs, reals


def longitudinal_modes(matrix: Array) -> tuple[Mode | None, Mode | None, tuple[Mode, ...]]:
    """Short period, phugoid, and whatever is neither. matrix: as from ``longitudinal_matrix``."""
    pairs, reals = _roots(matrix)
    if len(pairs) == 2:
        return mode_of(pairs[0]), mode_of(pairs[1]), ()
    if not pairs:
        by_size = sorted(reals, key=lambda root: (-abs(root), root))
        if by_size[0] < 0.0 and by_size[1] < 0.0:
            fast, slow = by_size[:2], by_size[2:]
            return _of_reals(fast), _of_reals(slow), ()
        return None, None, tuple(_of_reals([root]) for root in reals)
    (pair,) = pairs
    if max(abs(root) for root in reals) < abs(pair[0]):
        return mode_of(pair), _of_reals(reals), ()
    if min(abs(root) for root in reals) > abs(pair[0]) and max(reals) < 0.0:
        return _of_reals(reals), mode_of(pair), ()
    return None, None, (mode_of(pair), *(_of_reals([root]) for root in reals))


def _of_reals(roots: Sequence[float]) -> Mode:
    return mode_of([complex(root, 0.0) for root in roots])


def lateral_modes(
    matrix: Array,
) -> tuple[Mode | None, Mode | None, Mode | None, Mode | None, tuple[Mode, ...]]:
    """Roll, spiral, Dutch roll, the coupled swing, others. matrix: as from ``lateral_matrix``.

    The Dutch roll is the pair that swings fastest; of two real roots the one that dies away faster
    is the roll. A second pair is roll and spiral in one.
    """
    pairs, reals = _roots(matrix)
    pairs.sort(key=lambda pair: (-pair[0].imag, pair[0].real))
    dutch = mode_of(pairs[0]) if pairs else None
    if len(pairs) == 2:
        return None, None, dutch, mode_of(pairs[1]), ()
    roll, rest = reals[0], reals[1:]
    spiral = min(rest, key=abs)
    rest.remove(spiral)
    others = tuple(_of_reals([root]) for root in rest)
    if roll >= 0.0:
        return None, None, dutch, None, (_of_reals([roll]), _of_reals([spiral]), *others)
    return _of_reals([roll]), _of_reals([spiral]), dutch, None, others


def motions_of(
    *,
    derivatives: Derivatives,
    state: MassState,
    scale: Scale,
    speed: float,
    density: float,
    lift: float,
    drag: float,
    alpha_dot: float = 0.0,
) -> Motions:
    """All motions in level flight at one speed.

    derivatives: about the balance point, at the angle of attack of that speed. speed: [m/s]
    density: [kg/m³] lift, drag: whole model's coefficients. alpha_dot: Cm_α̇.

    Raises:
        ValueError: a speed, density, mass or inertia that is not above 0.
    """
    inertia = inertia_of(state, alpha=derivatives.alpha_at)
    along = longitudinal_matrix(
        derivatives=derivatives,
        inertia=inertia,
        scale=scale,
        speed=speed,
        density=density,
        lift=lift,
        drag=drag,
        alpha_dot=alpha_dot,
    )
    across = lateral_matrix(
        derivatives=derivatives, inertia=inertia, scale=scale, speed=speed, density=density
    )
    short_period, phugoid, first = longitudinal_modes(along)
    roll, spiral, dutch_roll, coupled, second = lateral_modes(across)
    return Motions(
        speed=speed,
        short_period=short_period,
        phugoid=phugoid,
        roll=roll,
        spiral=spiral,
        dutch_roll=dutch_roll,
        coupled=coupled,
        others=first + second,
    )
