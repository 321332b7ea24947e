"""Milliseconds for a full set of derivatives, by layout. Run: python -m tests.bench.bench_lattice.

Set OMP_NUM_THREADS=1 (and OPENBLAS_NUM_THREADS=1) for one core. CPU time, best and median of nine.
"""

from __future__ import annotations

import time
from statistics import median

from plansgen.flight.derivatives import derivatives_of
from plansgen.flight.lattice import Lattice
from tests.designs import EVERY_LAYOUT, airframe_of

LIMIT = 300.0  # ms


def main() -> None:
    """Print one line a layout."""
    print(f"{'layout':12} {'panels':>6} {'best ms':>8} {'median ms':>9}")
    for name, raw in EVERY_LAYOUT.items():
        frame = airframe_of(raw())
        point = (frame.reference.quarter_chord_x, 0.0, frame.reference.mac_z)
        times = []
        for _ in range(9):
            start = time.process_time()
            derivatives_of(frame, point=point, alpha=0.05)
            times.append(1000 * (time.process_time() - start))
        panels = sum(s.rows * s.strips for s in Lattice(frame.surfaces).sheets)
        late = "  over the limit" if min(times) > LIMIT else ""
        print(f"{name:12} {panels:6} {min(times):8.0f} {median(times):9.0f}{late}")


if __name__ == "__main__":
    main()
