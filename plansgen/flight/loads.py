"""Results of the lattice: coefficients, the load along the span, induced drag.

Induced drag in the Trefftz plane, far behind: D = −½ρ Σ Γ wₙ Δs over the wake's strips, wₙ the
flow's velocity through the wake there (J. Katz & A. Plotkin, *Low-Speed Aerodynamics*, far-field
drag).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.flight.influence import strip_end_normals, strip_end_widths
from plansgen.flight.kernel import flattening
from plansgen.flight.panels import Sheet
from plansgen.flight.thin_airfoil import LIFT_SLOPE
from plansgen.quantity import Quantity

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Strip:
    """One strip of one surface and the load on it.

    span: developed distance from the root, negative to port. speed: of the air it meets, washes
    included, over the flying speed. lift: what the strip's section carries in that air, 2Γ/(Vc).
    induced_angle: by which the flow there is turned down, half of what the
    Trefftz plane sees: for surfaces with a straight quarter line.
    """

    surface: str
    span: Annotated[float, Quantity("m", "Distance along the surface", "vortex-lattice")]
    x: Annotated[float, Quantity("m", "Leading edge, x", "given-by-designer")]
    y: Annotated[float, Quantity("m", "Distance from centre line", "given-by-designer")]
    z: Annotated[float, Quantity("m", "Height", "given-by-designer")]
    width: Annotated[float, Quantity("m", "Width of the strip", "vortex-lattice")]
    chord: Annotated[float, Quantity("m", "Chord", "given-by-designer")]
    speed: Annotated[
        float, Quantity("1", "Air over the strip, over flying speed", "vortex-lattice")
    ]
    circulation: Annotated[float, Quantity("m", "Circulation over speed, Γ/V", "vortex-lattice")]
    lift: Annotated[float, Quantity("1", "Section lift coefficient, c_l", "vortex-lattice")]
    effective_angle: Annotated[
        float, Quantity("rad", "Angle above zero lift that the section works at", "vortex-lattice")
    ]
    induced_angle: Annotated[float, Quantity("rad", "Induced angle", "trefftz-plane")]


@dataclass(frozen=True)
class Loads:
    """Coefficients of the whole model in one state of flight.

    Lift and drag are against the wind, side force to starboard along the body's y-axis; moments
    are about the body's axes.
    """

    lift: Annotated[float, Quantity("1", "Lift coefficient, CL", "vortex-lattice")]
    side: Annotated[float, Quantity("1", "Side force coefficient, CY", "vortex-lattice")]
    roll: Annotated[float, Quantity("1", "Rolling moment coefficient, Cl", "vortex-lattice")]
    pitch: Annotated[float, Quantity("1", "Pitching moment coefficient, Cm", "vortex-lattice")]
    yaw: Annotated[float, Quantity("1", "Yawing moment coefficient, Cn", "vortex-lattice")]
    induced_drag: Annotated[float, Quantity("1", "Induced drag coefficient, CDi", "trefftz-plane")]
    near_field_drag: Annotated[
        float, Quantity("1", "Induced drag from the forces on the panels", "vortex-lattice")
    ]
    strips: tuple[Strip, ...]

    @classmethod
    def of(cls, values: Array, *, alpha: float, beta: float, strips: tuple[Strip, ...]) -> Loads:
        """Turn the seven numbers of ``Lattice.coefficients`` into the wind."""
        fx, fy, fz, roll, pitch, yaw, drag = (float(value) for value in values)
        against = fx * math.cos(alpha) + fz * math.sin(alpha)
        return cls(
            lift=fz * math.cos(alpha) - fx * math.sin(alpha),
            side=fy,
            roll=roll,
            pitch=pitch,
            yaw=yaw,
            induced_drag=drag,
            near_field_drag=against * math.cos(beta) - fy * math.sin(beta),
            strips=strips,
        )

    def efficiency(self, *, area: float, span: float) -> float:
        """Oswald's span efficiency of the induced drag, CL²/(π A CDi).

        Raises:
            ValueError: there is no induced drag, so no efficiency.
        """
        if self.induced_drag <= 0.0:
            raise ValueError("without induced drag there is no span efficiency")
        return self.lift**2 * area / (math.pi * span**2 * self.induced_drag)


class TrefftzPlane:
    """The wake seen from far behind: strips, and what each leg does to each."""

    def __init__(self, sheets: Sequence[Sheet], apart: Array) -> None:
        """Work out the influences between all strips. apart: as from ``meeting.apart``."""
        self.sheets = tuple(sheets)
        middles = np.vstack([s.mid_edges for s in sheets])
        ends = np.vstack([s.edges[:, 1:3] for s in sheets])
        owner = np.repeat(np.arange(len(sheets)), [s.strips for s in sheets])
        end_owner = np.repeat(np.arange(len(sheets)), [s.strips + 1 for s in sheets])
        core = np.concatenate([strip_end_widths(s) for s in sheets])
        self._widths = np.concatenate([s.widths for s in sheets])
        normals = np.vstack([s.normals for s in sheets])
        dy, dz = (middles[:, None, axis + 1] - ends[None, :, axis] for axis in (0, 1))
        wider = np.maximum(self._widths[:, None], core[None, :])
        smoothed = apart[owner][:, end_owner] * wider**2
        square = dy**2 + dz**2 + smoothed
        end_normals = np.vstack([strip_end_normals(s) for s in sheets])
        height = end_normals[:, 1] * dy + end_normals[:, 2] * dz
        flattened = 1.0 / square + 2 * flattening(height, smoothed) / square**2
        across = normals[:, None, 2] * dy - normals[:, None, 1] * dz
        self._legs: Array = across * flattened / (2 * math.pi)

    def normalwash(self, totals: Array) -> Array:
        """Velocity through the wake at each strip, over speed. totals: Γ/V of each strip. [m]"""
        shed, start = [], 0
        for sheet in self.sheets:
            own = totals[start : start + sheet.strips]
            shed.append(np.append(0.0, own) - np.append(own, 0.0))
            start += sheet.strips
        return np.asarray(self._legs @ np.concatenate(shed))

    def drag(self, totals: Array) -> float:
        """Induced drag over ρV². [m²]"""
        return -0.5 * float(totals @ (self.normalwash(totals) * self._widths))

    def strips(self, totals: Array, speeds: Array) -> tuple[Strip, ...]:
        """The load on each strip, by sheet. speeds: of the air each meets, over flying speed."""
        normalwash = self.normalwash(totals)
        found, index = [], 0
        for sheet in self.sheets:
            for (x, y, z, chord), span, width in zip(
                sheet.mid_edges.tolist(),
                sheet.mid_span.tolist(),
                sheet.widths.tolist(),
                strict=True,
            ):
                circulation = float(totals[index])
                speed = float(speeds[index])
                lift = 2 * circulation / (chord * speed) if speed > 0.0 else 0.0
                found.append(
                    Strip(
                        surface=sheet.surface,
                        span=span,
                        x=x,
                        y=y,
                        z=z,
                        width=width,
                        chord=chord,
                        speed=speed,
                        circulation=circulation,
                        lift=lift,
                        effective_angle=lift / LIFT_SLOPE,
                        induced_angle=-float(normalwash[index]) / 2,
                    )
                )
                index += 1
        return tuple(found)
