"""CPU time of a piece of work, for the benches."""

from __future__ import annotations

import time
from collections.abc import Callable


def best(work: Callable[[], object]) -> float:
    """Least CPU time of three runs. [s]"""
    times = []
    for _ in range(3):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)
