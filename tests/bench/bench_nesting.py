"""Sheets and seconds of nesting, beside what the parts' area alone would need.

Run: python -m tests.bench.bench_nesting. Boards of 762 × 508 mm, gap 2 mm, margin 5 mm, three seeds
for each number of parts.
"""

from __future__ import annotations

import time

from plansgen.patterns.nest import nest
from plansgen.patterns.verify import layout_faults
from tests.patterns.instances import BOARD, plane_parts


def main() -> None:
    """Print one line a set and the sums."""
    print("parts seed sheets bound density cell mm      s")
    sheets = bound = 0
    for number in (25, 60, 120):
        for seed in (1, 2, 3):
            parts = plane_parts(number, seed)
            start = time.process_time()
            nesting = nest(parts, [BOARD])
            took = time.process_time() - start
            assert not layout_faults(nesting, parts)
            sheets, bound = sheets + len(nesting.sheets), bound + nesting.bound
            print(
                f"{number:5} {seed:4} {len(nesting.sheets):6} {nesting.bound:5} "
                f"{nesting.density:7.1%} {nesting.materials[0].cell * 1000:7.2f} {took:6.2f}"
            )
    print(f"{'all':>10} {sheets:6} {bound:5}")


if __name__ == "__main__":
    main()
