"""Flight under power of a design: its drives, its drag, its controls brought together."""

from __future__ import annotations

import numpy as np

from plansgen.atmosphere import Air
from plansgen.drive.case import drive_case
from plansgen.drive.result import DriveResult
from plansgen.flight.engine_out import work_out_engine_out
from plansgen.flight.handling import Handling
from plansgen.flight.performance import Performance
from plansgen.flight.powered import Powered, static_thrust_of, work_out_powered
from plansgen.flight.thrust_line import thrust_lines
from plansgen.library.models import DesignFile

_SPEEDS = 9


def powered_of(
    design: DesignFile,
    handling: Handling,
    *,
    drive: DriveResult | None,
    measured: float | None,
    performance: Performance,
    air: Air,
    cruise: float,
) -> Powered | None:
    """Flight under power; None without a drive that is known, or one that gives no thrust.

    measured: static thrust of all propellers. [N] cruise: speed. [m/s]
    """
    case = drive_case(design, air=air) if drive is not None else None
    if drive is None or case is None or design.power is None or not drive.static.thrust > 0.0:
        return None
    reference, state = handling.airframe.reference, handling.state
    speeds = np.linspace(handling.stall_speed, handling.top_speed, _SPEEDS).tolist()
    return work_out_powered(
        case,
        static=static_thrust_of(
            worked_out=drive.static.thrust, spread=drive.spread.thrust, measured=measured
        ),
        performance=performance,
        air=air,
        area=reference.area,
        mass=state.mass,
        cruise=cruise,
        mix=design.power.flight_mix,
        thrust_lines=thrust_lines(
            handling.airframe.propellers,
            point=(state.x, state.z),
            thrust=handling.thrust_at(cruise),
            pressure_area=air.dynamic_pressure(cruise) * reference.area,
            chord=reference.mac,
            span=reference.span,
        ),
        engine_out=work_out_engine_out(handling, speeds=speeds),
    )
