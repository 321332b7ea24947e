"""How far each stick alone moves each control, as the design mixes and sets it.

The pitch control is taken the way that lifts the nose, from straight: where it stands with the
sticks in the middle, and what the elevator stick adds. Other controls have the mean of both ways,
because a roll or a turn uses one side up and the other down.
"""

from __future__ import annotations

from plansgen.flight.controls import MOTIONS, Motion
from plansgen.library.models import EVEN, MIXED, Control, ControlKind, DesignFile


def share_of(design: DesignFile, kind: ControlKind, motion: Motion) -> float:
    """Share of a control's travel that one order gets; an even half where nothing is said."""
    if len(MOTIONS[kind]) == 1:
        return 1.0
    for mixing in design.mixing:
        if MIXED[mixing.kind][0] == kind:
            return dict(mixing.shares)[motion]
    return EVEN


def neutral_of(control: Control, *, ahead: bool) -> float:
    """How far it stands the way that lifts the nose, sticks in the middle. [rad]

    ahead: it works ahead of the balance point, where its edge goes down for that.
    """
    return -control.neutral if ahead else control.neutral


def travel_of(
    control: Control, motion: Motion, *, share: float = 1.0, ahead: bool = False
) -> float:
    """Deflection that one stick alone gives at the most. [rad]

    share: of the travel that this order gets. ahead: as for ``neutral_of``.
    """
    if motion == "flap":
        return share * control.most_down
    if motion != "pitch":
        return share * (control.most_up + control.most_down) / 2
    way = control.most_down if ahead else control.most_up
    return max(0.0, neutral_of(control, ahead=ahead) + share * way)


def travels_of(design: DesignFile) -> dict[str, float]:
    """What each stick alone gives, by ``surface.control.motion``. [rad]"""
    return {
        f"{key}.{name}.{motion}": travel_of(
            control,
            motion,
            share=share_of(design, control.kind, motion),
            ahead=surface.role == "canard",
        )
        for key, surface in design.surfaces.items()
        for name, control in surface.controls.items()
        for motion in MOTIONS[control.kind]
    }
