"""A full-size aeroplane's own motions, from its published derivatives."""

from __future__ import annotations

import math
from functools import partial

from plansgen.flight.derivatives import Derivatives, Slopes
from plansgen.flight.lattice import Scale
from plansgen.flight.mode_rules import spiral_product
from plansgen.flight.modes import (
    Inertia,
    Mode,
    lateral_matrix,
    lateral_modes,
    longitudinal_matrix,
    longitudinal_modes,
)
from plansgen.published.case import Case

ROOM = "Motions"
NELSON = "R. C. Nelson, Flight Stability and Automatic Control (2nd ed. 1998)"
FOOT, SLUG = 0.3048, 14.5939
SCALE = Scale(area=184 * FOOT**2, span=33.4 * FOOT, chord=5.7 * FOOT)
SPEED, DENSITY = 176 * FOOT, 0.002378 * SLUG / FOOT**3
INERTIA = Inertia(
    mass=2750 * 0.45359237,
    roll=1048 * SLUG * FOOT**2,
    pitch=3000 * SLUG * FOOT**2,
    yaw=3530 * SLUG * FOOT**2,
    product=0.0,
)
DIGITS = "The book rounds its dimensional derivatives to two or three digits."

_case = partial(Case, room=ROOM, relative=True, mark="from memory")
_long = partial(_case, unit="1/s", source=f"{NELSON}, ex. 4.3")
_side = partial(_case, unit="1/s", source=f"{NELSON}, ex. 5.2")


def _slopes(
    *,
    lift: float = 0.0,
    side: float = 0.0,
    roll: float = 0.0,
    pitch: float = 0.0,
    yaw: float = 0.0,
    drag: float = 0.0,
) -> Slopes:
    return Slopes(lift=lift, side=side, roll=roll, pitch=pitch, yaw=yaw, induced_drag=drag)


def _derivatives(beta: Slopes, r: Slopes) -> Derivatives:
    """The book's, with the given sideslip and yawing."""
    return Derivatives(
        alpha_at=0.0,
        point=(0.0, 0.0, 0.0),
        lift=0.41,
        pitch=0.0,
        induced_drag=0.0,
        alpha=_slopes(lift=4.44, drag=0.33, pitch=-0.683),
        beta=beta,
        p=_slopes(roll=-0.410, yaw=-0.0575),
        q=_slopes(pitch=-9.96),
        r=r,
        controls=(),
        bodies=(),
        neutral_point=0.0,
        neutral_point_surfaces=0.0,
        static_margin=0.0,
    )


def _book() -> Derivatives:
    return _derivatives(
        _slopes(side=-0.564, roll=-0.074, yaw=0.071), _slopes(roll=0.107, yaw=-0.125)
    )


def _found(mode: Mode | None) -> complex:
    """A mode's root, and not a number where it is missing, which no tolerance lets pass."""
    return complex(mode.real, mode.imaginary) if mode else complex(math.nan, math.nan)


def _longitudinal() -> tuple[Case, ...]:
    matrix = longitudinal_matrix(
        derivatives=_book(),
        inertia=INERTIA,
        scale=SCALE,
        speed=SPEED,
        density=DENSITY,
        lift=0.41,
        drag=0.05,
        alpha_dot=-4.36,
    )
    fast, slow = (_found(mode) for mode in longitudinal_modes(matrix)[:2])
    return (
        _long(
            key="short-period-damping",
            title="Light aeroplane's short period, real part",
            published=-2.5,
            ours=fast.real,
            tolerance=0.02,
            why=DIGITS,
        ),
        _long(
            key="short-period",
            title="Light aeroplane's short period, imaginary part",
            published=2.59,
            ours=fast.imag,
            tolerance=0.02,
            why=DIGITS,
        ),
        _long(
            key="phugoid",
            title="Light aeroplane's phugoid, imaginary part",
            published=0.213,
            ours=slow.imag,
            tolerance=0.03,
            why=DIGITS,
        ),
        _long(
            key="phugoid-damping",
            title="Light aeroplane's phugoid, real part",
            published=-0.0171,
            ours=slow.real,
            tolerance=0.05,
            why=f"{DIGITS} The damping is small and feels it most.",
        ),
        _case(
            key="phugoid-lanchester",
            title="Period of the phugoid by Lanchester: π√2 V/g",
            published=24.30,
            ours=2 * math.pi / slow.imag,
            unit="s",
            tolerance=0.25,
            why="Lanchester holds the angle of attack. The book's ex. 4.4 finds such a rule 18 % "
            "short of the full answer, which then lies 22 % above it.",
            source="F. W. Lanchester, Aerodonetics (1908)",
            note="The quick rule gives too short a period where the angle of attack changes in the "
            "swing, as it does with any real tail. Read it as a size, not as a number.",
        ),
    )


def _lateral() -> tuple[Case, ...]:
    matrix = lateral_matrix(
        derivatives=_book(), inertia=INERTIA, scale=SCALE, speed=SPEED, density=DENSITY
    )
    roll, spiral, dutch = (_found(mode) for mode in lateral_modes(matrix)[:3])
    tested = _derivatives(_slopes(roll=-0.067, yaw=0.086), _slopes(roll=0.069, yaw=-0.088))
    return (
        _side(
            key="roll",
            title="Light aeroplane's roll",
            published=-8.435,
            ours=roll.real,
            tolerance=0.02,
            why=DIGITS,
        ),
        _side(
            key="dutch-roll",
            title="Light aeroplane's Dutch roll, imaginary part",
            published=2.335,
            ours=dutch.imag,
            tolerance=0.02,
            why=DIGITS,
        ),
        _side(
            key="dutch-roll-damping",
            title="Light aeroplane's Dutch roll, real part",
            published=-0.487,
            ours=dutch.real,
            tolerance=0.02,
            why=DIGITS,
        ),
        _side(
            key="spiral",
            title="Light aeroplane's spiral",
            published=-0.00877,
            ours=spiral.real,
            tolerance=0.10,
            why="A difference of two like products: 1 % of each is 10 % of it.",
        ),
        _case(
            key="spiral-flight",
            title="Spiral criterion from flight tests, Clβ Cnr/(Cnβ Clr)",
            published=0.995,
            ours=spiral_product(tested) or 0.0,
            unit="",
            tolerance=0.002,
            relative=False,
            why="Products printed to three digits.",
            source="E. Seckel & J. J. Morris, FAA-RD-71-6 (1971), 0.00590/0.00593",
            mark="derived",
            note="The book's numbers for the same aeroplane give 1.22, stable; flight tests give "
            "neutral. Do not trust the sign of a slow spiral.",
        ),
    )


def cases() -> tuple[Case, ...]:
    """Short period, phugoid, roll, Dutch roll and spiral."""
    return (*_longitudinal(), *_lateral())
