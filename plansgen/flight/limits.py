"""How far forward and how far back the balance point may lie.

Forward: with full nose-up control the model must still come to its stalling lift. At that state the
air's force has its line of action; the balance point may lie on it but not ahead of it::

    x = x₀ − c̄ Cm/CN

about any point x₀. The wing's stall, full control and, where it comes first, the stall of the tail
itself set the state. Moments are linear in the control; the control's real loss is in (see
``pitching.felt``). Aft: a least static margin ahead of the neutral point.

Source: C. D. Perkins & R. E. Hage, *Airplane Performance, Stability and Control*, most forward
centre of gravity; B. Etkin, *Dynamics of Flight*.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np

from plansgen.atmosphere import Air
from plansgen.flight.pitching import TRAVEL, Line, PitchModel, felt
from plansgen.flight.stall import Watch
from plansgen.quantity import Quantity

LEAST_MARGIN = 0.05  # common practice, no source
_HALVINGS = 7


@dataclass(frozen=True)
class ForwardLimit:
    """The foremost balance point. limited_by: the control's travel, or the tail's own stall."""

    x: Annotated[float, Quantity("m", "Forward limit, x", "flight-forward-limit")]
    mac_share: Annotated[
        float, Quantity("1", "Forward limit on the mean chord", "flight-forward-limit", "%")
    ]
    lift_max: Annotated[
        float, Quantity("1", "Lift coefficient there, CLmax", "flight-forward-limit")
    ]
    deflection: Annotated[float, Quantity("rad", "Pitch control used", "flight-forward-limit")]
    limited_by: Literal["travel", "tail stall"]


@dataclass(frozen=True)
class Limits:
    """Both limits.

    forward: None without a pitch control. room: aft less forward; below 0 there is no balance point
    that is both stable and can be brought to its stall.
    """

    forward: ForwardLimit | None
    aft_x: Annotated[float, Quantity("m", "Aft limit, x", "flight-aft-limit")]
    aft_share: Annotated[
        float, Quantity("1", "Aft limit on the mean chord", "flight-aft-limit", "%")
    ]
    neutral_point: Annotated[float, Quantity("m", "Neutral point, x", "neutral-point")]
    least_margin: Annotated[
        float, Quantity("1", "Least static margin asked for", "flight-aft-limit", "%")
    ]
    room: Annotated[float | None, Quantity("m", "From forward to aft limit", "flight-aft-limit")]


def _tail_margin(watch: Watch, lift: float) -> float:
    """Least margin of the strips that do not carry the model: how far the tail is from stalling."""
    tail = watch.level & ~watch.lifting
    if not tail.any():
        return 1.0
    state = watch.state(np.array([lift]))
    room = np.minimum(state.most - state.lift, state.lift - state.least)[0]
    return float(room[tail].min())


def _at(
    model: PitchModel, *, deflection: float, mass: float, air: Air
) -> tuple[float, float, Line]:
    """Stalling lift and the tail's margin with the control held, theory's deflection."""
    line = model.line(deflection)
    watch = Watch(model, line, mass=mass, air=air, load=1.0)
    lift, _ = watch.critical_lift()
    return lift, _tail_margin(watch, lift), line


def forward_limit(
    model: PitchModel, *, mass: float, air: Air, travel: float = TRAVEL
) -> ForwardLimit | None:
    """The foremost balance point at which full nose-up control still trims the stall.

    The result does not depend on where the model is balanced. The model's ``pressures`` (tail in a
    wake) and washes are in it. mass: [kg] travel: of the control each way. [rad]

    Returns:
        None when there is no pitch control.
    """
    if model.mode is None:
        return None
    full = travel
    theory = model.nose_up * felt(full, share=model.control_share)
    lift, margin, line = _at(model, deflection=theory, mass=mass, air=air)
    stalls = margin < 0.0
    if stalls:
        low, high = 0.0, travel
        for _ in range(_HALVINGS):
            full = (low + high) / 2
            theory = model.nose_up * felt(full, share=model.control_share)
            lift, margin, line = _at(model, deflection=theory, mass=mass, air=air)
            low, high = (low, full) if margin < 0.0 else (full, high)
    moment, normal = (float(line.at(v, lift)) for v in (line.pitches, line.normals))
    x = model.point[0] - model.scale.chord * moment / normal
    return ForwardLimit(
        x=x,
        mac_share=model.airframe.reference.share_of_mac(x),
        lift_max=lift,
        deflection=model.nose_up * full,
        limited_by="tail stall" if stalls else "travel",
    )


def aft_limit(*, neutral_point: float, chord: float, least_margin: float = LEAST_MARGIN) -> float:
    """The rearmost balance point, x. [m] least_margin: static margin to keep, in chords."""
    return neutral_point - least_margin * chord


def work_out_limits(
    model: PitchModel,
    *,
    mass: float,
    air: Air,
    neutral_point: float,
    travel: float = TRAVEL,
    least_margin: float = LEAST_MARGIN,
) -> Limits:
    """Both limits of the balance point.

    mass: [kg] neutral_point: as from ``derivatives_of``. [m] travel: of the pitch control. [rad]
    least_margin: static margin to keep, in mean chords.
    """
    forward = forward_limit(model, mass=mass, air=air, travel=travel)
    aft = aft_limit(neutral_point=neutral_point, chord=model.scale.chord, least_margin=least_margin)
    return Limits(
        forward=forward,
        aft_x=aft,
        aft_share=model.airframe.reference.share_of_mac(aft),
        neutral_point=neutral_point,
        least_margin=least_margin,
        room=aft - forward.x if forward else None,
    )
