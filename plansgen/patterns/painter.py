"""The order in which flat faces are painted, so that what is nearer hides what is farther.

Two faces whose pictures overlap are compared where they do: there each is as near as its own plane.
Then every face is painted after those it hides (M. E. Newell, R. G. Newell & T. L. Sancha 1972, A
solution to the hidden surface problem, Proc. ACM, from memory). Where faces go through each other
or hide each other in a ring, the farthest comes first.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

Array = NDArray[np.float64]

_LEAST = 1e-7  # pictures that overlap by less only touch, as a share of the whole drawing
_SAME = 1e-5  # faces so near to each other keep their order [m]


def painting_order(pictures: Sequence[Polygon], faces: Sequence[Array]) -> list[int]:
    """Numbers of the faces, the first to be painted first.

    Args:
        pictures: Of the faces on the paper. [m]
        faces: Their points to the right, up, and towards the eye, (n, 3). [m]
    """
    planes = [_plane(points) for points in faces]
    depths = [float(points[:, 2].mean()) for points in faces]
    behind: list[list[int]] = [[] for _ in faces]  # what each hides
    ahead: list[list[int]] = [[] for _ in faces]
    for a, b, spot in _overlaps(pictures):
        one, two = planes[a], planes[b]
        if one is None or two is None:
            continue
        nearer = float(one @ spot - two @ spot)
        if abs(nearer) <= _SAME:
            continue
        front, back = (a, b) if nearer > 0 else (b, a)
        behind[front].append(back)
        ahead[back].append(front)
    return _sorted(depths, behind, ahead)


def _plane(points: Array) -> Array | None:
    """Depth over the paper as a u + b v + c; nothing for a face seen edge-on."""
    flat = np.column_stack([points[:, :2], np.ones(len(points))])
    spread = flat[:, :2] - flat[:, :2].mean(axis=0)
    least = np.linalg.svd(spread, compute_uv=False)
    if len(least) < 2 or least[1] < 1e-6:
        return None
    return np.asarray(np.linalg.lstsq(flat, points[:, 2], rcond=None)[0])


def _overlaps(pictures: Sequence[Polygon]) -> list[tuple[int, int, Array]]:
    """Pairs of pictures with a place that both cover."""
    rows = np.array(pictures, dtype=object)
    tree = shapely.STRtree(rows)
    first, second = tree.query(rows, predicate="intersects")
    once = first < second
    first, second = first[once], second[once]
    order = np.lexsort((second, first))
    first, second = first[order], second[order]
    common = shapely.intersection(rows[first], rows[second])
    least = _LEAST * shapely.area(shapely.box(*shapely.total_bounds(rows)))
    wide = shapely.area(common) > least
    spots = shapely.centroid(common[wide])
    return [
        (int(a), int(b), np.array([x, y, 1.0]))
        for a, b, x, y in zip(
            first[wide], second[wide], shapely.get_x(spots), shapely.get_y(spots), strict=True
        )
    ]


def _sorted(
    depths: Sequence[float], behind: Sequence[Sequence[int]], ahead: Sequence[Sequence[int]]
) -> list[int]:
    left = [len(those) for those in behind]
    ready = [(depth, n) for n, depth in enumerate(depths) if not left[n]]
    heapq.heapify(ready)
    rest = sorted(range(len(depths)), key=lambda n: (depths[n], n), reverse=True)
    found: list[int] = []
    done: set[int] = set()
    while len(found) < len(depths):
        if ready:
            n = heapq.heappop(ready)[1]
        else:  # a ring
            while rest[-1] in done:
                rest.pop()
            n = rest.pop()
        if n in done:
            continue
        done.add(n)
        found.append(n)
        for front in ahead[n]:
            left[front] -= 1
            if not left[front] and front not in done:
                heapq.heappush(ready, (depths[front], front))
    return found
