"""CPU milliseconds of the patterns of every demo design: parts, proof and sheets.

Run: python -m tests.bench.bench_patterns. Set OMP_NUM_THREADS=1 (and OPENBLAS_NUM_THREADS=1) for
one core. Best of three.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from plansgen.airframe.build import build_airframe
from plansgen.library.folder import design_slugs, read_design
from plansgen.patterns.cutting import cut_parts
from plansgen.patterns.nest import nest
from plansgen.patterns.result import work_out_patterns
from plansgen.patterns.stock import sheets_of
from plansgen.patterns.verify import layout_faults

ROOT = Path(__file__).parents[2]
ROUNDS = 3


def _best(work: Callable[[], object]) -> float:
    """Least CPU time of several rounds. [ms]"""
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        times.append(1000 * (time.process_time() - start))
    return min(times)


def main() -> None:
    """Print one line a design."""
    print(f"{'':10} {'parts':>7} {'sheets':>7} {'proof':>7} {'all':>7}")
    for name in design_slugs(ROOT):
        design = read_design(ROOT, name)
        file, materials = design.file, design.materials
        airframe = build_airframe(file, design.section_points)
        patterns = work_out_patterns(design, airframe, cut_parts(design, airframe))
        assert patterns is not None
        parts = patterns.parts
        stocks = sheets_of(file, {part.material: materials[part.material] for part in parts})
        nesting = patterns.nesting
        times = [
            _best(
                lambda: cut_parts(design, airframe)  # noqa: B023
            ),
            _best(lambda: nest(parts, stocks, gap=nesting.gap, margin=nesting.margin)),  # noqa: B023
            _best(lambda: layout_faults(nesting, parts)),  # noqa: B023
            _best(lambda: work_out_patterns(design, airframe, cut_parts(design, airframe))),  # noqa: B023
        ]
        print(f"{name:10} " + " ".join(f"{one:7.0f}" for one in times))


if __name__ == "__main__":
    main()
