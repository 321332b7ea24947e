"""Where balloons stand round a drawing: near what they number, their leaders never crossing."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Place = tuple[float, float]

_SWEEPS = 60
_BLOCKED = 400.0  # a leader under another's balloon counts as so much longer [px]


def balloon_places(
    targets: Sequence[Place], free: Sequence[Place], *, radius: float
) -> list[Place]:
    """A free place for every target.

    Places are taken and exchanged as long as the leaders together become shorter; two that cross
    always do when they exchange their ends, so that none cross in the end.

    Args:
        targets: What is numbered. [px]
        free: Where balloons may stand; no two of them overlap. [px]
        radius: Of a balloon. [px]

    Raises:
        ValueError: there are fewer places than targets.
    """
    if len(free) < len(targets):
        raise ValueError(f"{len(targets)} balloons, but only {len(free)} places for them")
    if not targets:
        return []
    ends, spots = np.array(targets), np.array(free)
    cost = np.linalg.norm(ends[:, None, :] - spots[None, :, :], axis=2)
    chosen = _shortest(cost, _first(cost))
    for _ in range(_SWEEPS):
        bad = _blocked(ends, spots, chosen, radius)
        if not bad:
            break
        for target in bad:
            cost[target, chosen[target]] += _BLOCKED
        chosen = _shortest(cost, chosen)
    return [free[n] for n in chosen]


def _first(cost: NDArray[np.float64]) -> list[int]:
    """Each target in turn, the worst served first, takes the nearest place that is left."""
    chosen = [-1] * len(cost)
    taken: set[int] = set()
    for target in sorted(range(len(cost)), key=lambda n: (-float(cost[n].min()), n)):
        place = next(int(p) for p in np.argsort(cost[target], kind="stable") if int(p) not in taken)
        chosen[target] = place
        taken.add(place)
    return chosen


def _shortest(cost: NDArray[np.float64], chosen: Sequence[int]) -> list[int]:
    found = list(chosen)
    for _ in range(_SWEEPS):
        changed = False
        taken = set(found)
        for target in range(len(found)):
            here = found[target]
            for place in np.argsort(cost[target], kind="stable"):
                if cost[target, place] >= cost[target, here] - 1e-6:
                    break
                if int(place) not in taken:
                    taken.discard(here)
                    taken.add(int(place))
                    found[target], changed = int(place), True
                    break
        for a in range(len(found)):
            for b in range(a):
                now = cost[a, found[a]] + cost[b, found[b]]
                if cost[a, found[b]] + cost[b, found[a]] < now - 1e-6:
                    found[a], found[b], changed = found[b], found[a], True
        if not changed:
            break
    return found


def _blocked(
    ends: NDArray[np.float64],
    spots: NDArray[np.float64],
    chosen: Sequence[int],
    radius: float,
) -> list[int]:
    """Targets whose leader runs under the balloon of another."""
    centres = spots[list(chosen)]
    found = []
    for n, (end, centre) in enumerate(zip(ends, centres, strict=True)):
        way = centre - end
        size = math.hypot(*way) or 1.0
        share = np.clip((centres - end) @ way / size**2, 0.0, 1.0)
        off = np.linalg.norm(centres - (end + share[:, None] * way), axis=1)
        off[n] = math.inf
        if off.min() < radius:
            found.append(n)
    return found
