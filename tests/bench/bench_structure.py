"""CPU milliseconds of the structure of every demo design, stage by stage.

Run: python -m tests.bench.bench_structure. Set OMP_NUM_THREADS=1 (and OPENBLAS_NUM_THREADS=1) for
one core. Best of three; nothing is left in the caches from one to the next.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from plansgen.dossier import Dossier, work_out
from plansgen.library.design import Design
from plansgen.library.folder import design_slugs, read_design
from plansgen.structure import cells, stress_table
from plansgen.structure.result import _Work
from plansgen.structure.surface_strength import surface_strength

ROOT = Path(__file__).parents[2]
ROUNDS = 3


def _stages(work: _Work, design: Design) -> dict[str, Callable[[], object]]:
    """In the order in which each needs only what went before."""
    wanted = design.file.structure.reserve
    return {
        "loader": lambda: work.loader,
        "cases": lambda: work.cases,
        "raw loads": lambda: work.raw_loads,
        "bracing": lambda: work.loads,
        "surfaces": lambda: [surface_strength(one, wanted=wanted) for one in work.loaded.values()],
        "joints": lambda: (work.anew.joints(design.file), work.anew.holds(design.file)),
        "static test": work.static_test,
        "booms": work.booms,
        "mounts": work.mounts,
    }


def _once(design: Design, known: Dossier) -> dict[str, float]:
    """Milliseconds of each stage, nothing known before."""
    for kept in (cells.analyse, cells.stretch_of, cells.solver_of, stress_table.table_of):
        kept.cache_clear()
    start = time.process_time()
    assert known.balance is not None
    assert known.flight is not None
    work = _Work(design.file, known.airframe, known.balance, known.flight, design.materials)
    times = {"members": 1000 * (time.process_time() - start)}
    for name, stage in _stages(work, design).items():
        start = time.process_time()
        stage()
        times[name] = 1000 * (time.process_time() - start)
    return times


def main() -> None:
    """Print one line a design."""
    for number, name in enumerate(design_slugs(ROOT)):
        design = read_design(ROOT, name)
        known = work_out(design)
        best = min(
            (_once(design, known) for _ in range(ROUNDS)), key=lambda times: sum(times.values())
        )
        if number == 0:
            print(f"{'design':10}", *(f"{stage:>11}" for stage in best), f"{'all':>6}")
        print(f"{name:10}", *(f"{ms:11.0f}" for ms in best.values()), f"{sum(best.values()):6.0f}")


if __name__ == "__main__":
    main()
