"""Milliseconds from a solved lattice to stall, speeds, trim and limits, by layout.

Run: python -m tests.bench.bench_speeds. Set OMP_NUM_THREADS=1 (and OPENBLAS_NUM_THREADS=1) for one
core. CPU time, best and median of five.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from statistics import median

from plansgen.airframe.build import Airframe
from plansgen.atmosphere import air
from plansgen.flight.lattice import Lattice
from plansgen.flight.limits import work_out_limits
from plansgen.flight.performance import work_out_performance
from plansgen.flight.pitching import PitchModel
from plansgen.flight.stall import work_out_stall
from plansgen.flight.trim import work_out_trim
from tests.designs import EVERY_LAYOUT, airframe_of
from tests.flight.models import trainer

MASS = 0.5  # kg


def _all(frame: Airframe, lattice: Lattice) -> None:
    field = air()
    point = (frame.reference.quarter_chord_x, 0.0, frame.reference.mac_z)
    model = PitchModel(frame, lattice=lattice, point=point)
    stall = work_out_stall(model, mass=MASS, air=field)
    speeds = work_out_performance(model, mass=MASS, air=field, lift_max=stall.lift_max)
    work_out_trim(model, mass=MASS, air=field, lift_max=stall.lift_max, speeds=speeds.speeds)
    work_out_limits(model, mass=MASS, air=field, neutral_point=point[0])


def main() -> None:
    """Print one line a layout; the last has an elevator to trim with."""
    frames: Mapping[str, Airframe] = {
        **{name: airframe_of(raw()) for name, raw in EVERY_LAYOUT.items()},
        "elevator": trainer().airframe,
    }
    print(f"{'layout':12} {'best ms':>8} {'median ms':>9}")
    for name, frame in frames.items():
        lattice = Lattice(frame.surfaces)
        times = []
        for _ in range(5):
            start = time.process_time()
            _all(frame, lattice)
            times.append(1000 * (time.process_time() - start))
        print(f"{name:12} {min(times):8.0f} {median(times):9.0f}")


if __name__ == "__main__":
    main()
