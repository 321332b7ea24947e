"""How far a half wing bends and twists under a load: curvature M/EI and twist T/GJ, integrated.

The surface is taken as one straight cantilever along its developed span, clamped at the root; in
bending by cubics through moment and shear, so that steady loads on even beams come out exact.
Small deflections: beyond a tenth of the half span the beam gets shorter seen from above and the
load turns with it, and the true tip lies a little nearer.

Source: S. Timoshenko, *Strength of Materials* I, elastic curve and torsion of shafts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.quantity import Quantity
from plansgen.structure.span_loads import SpanLoad

Array = NDArray[np.float64]

LARGE = 0.1  # of the half span: beyond it small-deflection theory runs out (common practice)
_GAUSS = ((0.5 - np.sqrt(0.15), 5 / 18), (0.5, 8 / 18), (0.5 + np.sqrt(0.15), 5 / 18))


@dataclass(frozen=True)
class Deflection:
    """Shape of one half in one case.

    up: of each span, at right angles to the panels; aft: along the chord; twist: nose up. large:
    beyond a tenth of the half span.
    """

    case: str
    spans: tuple[Annotated[float, Quantity("m", "Along the span", "given-by-designer")], ...]
    up: tuple[Annotated[float, Quantity("m", "Deflection up", "structure-deflection")], ...]
    aft: tuple[Annotated[float, Quantity("m", "Deflection aft", "structure-deflection")], ...]
    twist: tuple[Annotated[float, Quantity("rad", "Twist, nose up", "structure-deflection")], ...]
    tip_up: Annotated[float, Quantity("m", "Tip deflection up", "structure-deflection")]
    tip_aft: Annotated[float, Quantity("m", "Tip deflection aft", "structure-deflection")]
    tip_twist: Annotated[float, Quantity("rad", "Tip twist, nose up", "structure-deflection")]
    large: bool


def _arrays(*values: Sequence[float]) -> list[Array]:
    found = [np.asarray(value, dtype=float) for value in values]
    if any(value.shape != found[0].shape for value in found) or len(found[0]) < 2:
        raise ValueError("deflection needs two or more spans and as many values for each quantity")
    if (np.diff(found[0]) < 0.0).any():
        raise ValueError("spans must rise")
    return found


def _positive(stiffness: Array) -> None:
    if not (stiffness > 0.0).all():
        raise ValueError("a stiffness is not above 0")


def bent(
    *,
    spans: Sequence[float],
    moments: Sequence[float],
    shears: Sequence[float],
    stiffness: Sequence[float],
) -> Array:
    """Deflection of a cantilever at every span, clamped at the first. [m]

    moments: towards positive deflection. [N m] shears: of what lies outboard, −dM/ds. [N]
    stiffness: EI, straight between. [N m²] Two equal spans make a step.

    Raises:
        ValueError: lengths differ, spans fall, or a stiffness is not above 0.
    """
    s, moment, shear, bend = _arrays(spans, moments, shears, stiffness)
    _positive(bend)
    step = np.diff(s)
    turn, lift = np.zeros_like(step), np.zeros_like(step)
    for place, weight in _GAUSS:
        t = float(place)
        cubic = (
            moment[:-1] * (1 + 2 * t) * (1 - t) ** 2
            + moment[1:] * t**2 * (3 - 2 * t)
            - step * t * (1 - t) * (shear[:-1] * (1 - t) - shear[1:] * t)
        )
        curve = cubic / (bend[:-1] * (1 - t) + bend[1:] * t)
        turn += weight * curve * step
        lift += weight * curve * (1 - t) * step**2
    slope = np.concatenate([[0.0], np.cumsum(turn)])
    return np.concatenate([[0.0], np.cumsum(slope[:-1] * step + lift)])


def twisted(
    *, spans: Sequence[float], torques: Sequence[float], stiffness: Sequence[float]
) -> Array:
    """Twist at every span, held at the first. [rad] torques: [N m] stiffness: GJ. [N m²]

    Raises:
        ValueError: lengths differ, spans fall, or a stiffness is not above 0.
    """
    s, torque, twist = _arrays(spans, torques, stiffness)
    _positive(twist)
    step, turn = np.diff(s), np.zeros(len(s) - 1)
    for place, weight in _GAUSS:
        t = float(place)
        here = (torque[:-1] * (1 - t) + torque[1:] * t) / (twist[:-1] * (1 - t) + twist[1:] * t)
        turn += weight * here * step
    return np.concatenate([[0.0], np.cumsum(turn)])


def deflection(
    load: SpanLoad,
    *,
    spans: Sequence[float],
    bending: Sequence[float],
    chord_bending: Sequence[float],
    torsion: Sequence[float],
) -> Deflection:
    """How a half surface bends and twists under a load.

    spans: where the stiffnesses are known, root first; the same span twice makes a step. [m]
    bending, chord_bending, torsion: EI against lift, EI in the chord's plane, GJ. [N m²] Beyond
    the last span they are held.

    Raises:
        ValueError: lengths differ, spans fall, or a stiffness is not above 0.
    """
    known, *stiff = _arrays(spans, bending, chord_bending, torsion)
    at = np.asarray(load.spans)
    against, along, twist = (_read(at, known, values) for values in stiff)
    up = bent(spans=load.spans, moments=load.bending, shears=load.shear, stiffness=against)
    aft = bent(
        spans=load.spans, moments=load.chord_bending, shears=load.chord_shear, stiffness=along
    )
    turned = twisted(spans=load.spans, torques=load.torque, stiffness=twist)
    return Deflection(
        case=load.case,
        spans=load.spans,
        up=tuple(up.tolist()),
        aft=tuple(aft.tolist()),
        twist=tuple(turned.tolist()),
        tip_up=float(up[-1]),
        tip_aft=float(aft[-1]),
        tip_twist=float(turned[-1]),
        large=abs(float(up[-1])) > LARGE * load.spans[-1],
    )


def _read(at: Array, known: Array, values: Array) -> list[float]:
    """Values at some spans; at a step, the outboard one."""
    found = np.interp(at, known, values)
    return [float(value) for value in found]


def tip_stiffness(*, spans: Sequence[float], bending: Sequence[float], fixed: float = 0.0) -> float:
    """Force at the tip for each metre that it gives, from EI along the span. [N/m]

    fixed: span of the side of the body, where the wing is held. [m]

    Raises:
        ValueError: lengths differ, spans fall, or a stiffness is not above 0.
    """
    known, stiff = _arrays(spans, bending)
    length = float(known[-1])
    inner = np.unique(np.concatenate([[fixed, length], known[known > fixed]]))
    at = np.unique(np.concatenate([inner, np.linspace(fixed, length, 61)]))
    give = bent(
        spans=at.tolist(),
        moments=(length - at).tolist(),
        shears=np.ones_like(at).tolist(),
        stiffness=_read(at, known, stiff),
    )
    return 1.0 / float(give[-1])
