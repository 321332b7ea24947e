"""What each surface adds to lift, side force, pitching and yawing moment.

The whole model's numbers come from the lattice's own sums. These shares are for asking what becomes
of the whole when one surface works in faster or slower air, and take the onset flow along the
body's x-axis: within 1 % of the lattice's sums at the angles that models fly at.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from plansgen.flight.lattice import Flow, Lattice, Point, Scale


@dataclass(frozen=True)
class Share:
    """One surface's part of CL, CY, Cm and Cn."""

    lift: float
    side: float
    pitch: float
    yaw: float

    def over(self, step: float, before: Share) -> Share:
        """The slope between two states, ``step`` apart."""
        return Share(
            lift=(self.lift - before.lift) / step,
            side=(self.side - before.side) / step,
            pitch=(self.pitch - before.pitch) / step,
            yaw=(self.yaw - before.yaw) / step,
        )


def shares_of(lattice: Lattice, flow: Flow, *, point: Point, scale: Scale) -> Mapping[str, Share]:
    """Each surface's share in one state of flight, by key.

    point: where moments are taken. [m] scale: reference area and lengths.

    Raises:
        ValueError: as from the lattice.
    """
    circulation = lattice.circulations(flow, point=point, scale=scale)
    totals: dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]] = {}
    start = 0
    for sheet in lattice.sheets:
        count = sheet.rows * sheet.strips
        strength = circulation[start : start + count] * 2 / scale.area
        start += count
        nodes = sheet.nodes[:-1]
        bound = (nodes[:, 1:] - nodes[:, :-1]).reshape(count, 3)
        arm = ((nodes[:, 1:] + nodes[:, :-1]) / 2).reshape(count, 3)[:, 0] - point[0]
        lift, side = strength * bound[:, 1], -strength * bound[:, 2]
        row = np.array(
            [
                lift.sum(),
                side.sum(),
                -(arm @ lift) / scale.chord,
                -(arm @ side) / scale.span,
            ]
        )
        totals[sheet.surface] = totals.get(sheet.surface, np.zeros(4)) + row
    return {key: Share(*(float(value) for value in row)) for key, row in totals.items()}
