"""Ways in which a design's controls move, and which panels each turns.

Signs are those of B. Etkin, *Dynamics of Flight*: a positive deflection gives a negative moment.
Elevator, flap: trailing edge down. Rudder: trailing edge to port. Ailerons: starboard trailing
edge down and port up, each by the angle given.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import ControlSurface, LiftingSurface
from plansgen.flight.panels import Sheet
from plansgen.flight.rows import flap_angles
from plansgen.library.models import ControlKind

Array = NDArray[np.float64]
Motion = Literal["pitch", "roll", "yaw", "flap"]

MOTIONS: Mapping[ControlKind, tuple[Motion, ...]] = {
    "aileron": ("roll",),
    "elevator": ("pitch",),
    "rudder": ("yaw",),
    "elevon": ("pitch", "roll"),
    "flap": ("flap",),
    "flaperon": ("flap", "roll"),
    "ruddervator": ("pitch", "yaw"),
}


@dataclass(frozen=True)
class ControlMode:
    """One way in which one control moves. name: as ``solve`` takes it."""

    surface: str
    control: str
    kind: ControlKind
    motion: Motion

    @property
    def name(self) -> str:
        """Surface, control and motion: ``wing.elevon.roll``."""
        return f"{self.surface}.{self.control}.{self.motion}"


def control_modes(surfaces: Sequence[LiftingSurface]) -> tuple[ControlMode, ...]:
    """Every way in which every control moves, in the order of the surfaces."""
    return tuple(
        ControlMode(surface.key, control.key, control.kind, motion)
        for surface in surfaces
        for control in surface.controls
        for motion in MOTIONS[control.kind]
    )


def _senses(sheet: Sheet, motion: Motion) -> Array:
    """+1 or −1 for each strip: which way it turns for a positive deflection; 0 if it has no say."""
    normals = np.where(np.abs(sheet.normals) < 1e-9, 0.0, sheet.normals)
    down = np.sign(normals[:, 2])
    if motion == "yaw":
        return np.asarray(np.sign(normals[:, 1]))
    if motion == "roll":
        return np.asarray(down * np.sign(sheet.mid_edges[:, 1]))
    return np.asarray(down)


def _covered(sheet: Sheet, control: ControlSurface) -> Array:
    """Share of each strip's width that the control takes; strips end at a control's ends."""
    half = np.abs(sheet.mid_span)
    return ((half > control.inboard) & (half < control.outboard)).astype(float)


def mode_angles(
    sheets: Sequence[Sheet], surfaces: Sequence[LiftingSurface], mode: ControlMode
) -> Array:
    """Angle of every panel per radian of a mode, panels by sheet, row, strip.

    Raises:
        ValueError: the control's share of the chord lies outside 0 to 1.
    """
    surface = next(s for s in surfaces if s.key == mode.surface)
    control = next(c for c in surface.controls if c.key == mode.control)
    if not 0.0 < control.chord_share <= 1.0:
        raise ValueError(
            f"control '{mode.control}' of '{mode.surface}' takes {control.chord_share:g} of the "
            "chord, but must take more than 0 and at most 1"
        )
    parts = []
    for sheet in sheets:
        if sheet.surface != mode.surface:
            parts.append(np.zeros(sheet.rows * sheet.strips))
            continue
        along = flap_angles(control.chord_share, sheet.rows)
        across = _covered(sheet, control) * _senses(sheet, mode.motion)
        parts.append(np.outer(along, across).ravel())
    return np.concatenate(parts)
