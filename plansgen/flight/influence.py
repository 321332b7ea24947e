"""What every panel of every sheet induces at a set of points.

Each panel carries a horseshoe: a bound piece on its quarter line, and two legs that follow the
strip's ends to the trailing edge and then run on along x for ever (a flat wake, not rolled up, not
turned into the wind). Panels of a strip share their legs, so every piece is worked out once and
added up along the chord.

Cores: within a sheet, and between sheets that meet, the core is next to nothing, because strips
end where surfaces meet and control places lie between the legs. Any other surface may lie anywhere
in a wake, so towards it each leg's core is the width of the strips beside it, or of the strip that
looks on if that is wider, and each bound piece's the length of its panel: legs smeared over their
own distance make a smooth sheet again, and no strip sees detail finer than itself. The error falls
with the square of the width (the vortex-blob method).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plansgen.flight.kernel import pieces, wakes
from plansgen.flight.panels import Sheet

Array = NDArray[np.float64]

_LEAST_CORE = 1e-5  # of the model's size: small beside any panel, large beside rounding


@dataclass(frozen=True)
class Filaments:
    """All vortex pieces of a set of sheets, in the order of the sheets."""

    sheets: tuple[Sheet, ...]
    bound: tuple[Array, Array]
    legs: tuple[Array, Array]
    wake: Array
    wake_normals: Array
    bound_core: Array
    legs_core: Array
    wake_core: Array
    bound_sheet: NDArray[np.intp]
    legs_sheet: NDArray[np.intp]
    wake_sheet: NDArray[np.intp]
    least_core: float


def strip_end_widths(sheet: Sheet) -> Array:
    """The wider of the strips on either side of each strip end. [m]"""
    widths = sheet.widths
    return np.asarray(np.maximum(np.append(widths, 0.0), np.append(0.0, widths)))


def strip_end_normals(sheet: Sheet) -> Array:
    """Unit normals at each strip end, half-way between those of the strips on either side."""
    normals = sheet.normals
    total = np.vstack([normals, normals[-1:]]) + np.vstack([normals[:1], normals])
    length = np.linalg.norm(total, axis=1, keepdims=True)
    return np.asarray(total / np.maximum(length, 1e-12))


def filaments(sheets: Sequence[Sheet]) -> Filaments:
    """Lay out the vortex pieces."""
    bound, legs, wake = [], [], []
    cores: tuple[list[Array], list[Array], list[Array]] = ([], [], [])
    for sheet in sheets:
        grid = sheet.nodes
        bound.append((grid[:-1, :-1].reshape(-1, 3), grid[:-1, 1:].reshape(-1, 3)))
        legs.append((grid[:-1].reshape(-1, 3), grid[1:].reshape(-1, 3)))
        wake.append(grid[-1])
        ends = strip_end_widths(sheet)
        cores[0].append(np.tile(sheet.mid_edges[:, 3] / sheet.rows, sheet.rows))
        cores[1].append(np.tile(ends, sheet.rows))
        cores[2].append(ends)
    points = np.vstack(wake + [start for start, _ in bound])

    def owners(blocks: list[Array]) -> NDArray[np.intp]:
        return np.repeat(np.arange(len(blocks)), [len(block) for block in blocks])

    return Filaments(
        sheets=tuple(sheets),
        bound=(np.vstack([a for a, _ in bound]), np.vstack([b for _, b in bound])),
        legs=(np.vstack([a for a, _ in legs]), np.vstack([b for _, b in legs])),
        wake=np.vstack(wake),
        wake_normals=np.vstack([strip_end_normals(sheet) for sheet in sheets]),
        bound_core=np.concatenate(cores[0]),
        legs_core=np.concatenate(cores[1]),
        wake_core=np.concatenate(cores[2]),
        bound_sheet=owners(cores[0]),
        legs_sheet=owners(cores[1]),
        wake_sheet=owners(cores[2]),
        least_core=_LEAST_CORE * float(np.ptp(points, axis=0).max()),
    )


def induced(
    lines: Filaments, points: Array, directions: Array, apart: Array, widths: Array
) -> list[Array]:
    """Velocity per unit circulation of each panel, seen along given directions.

    points: (P, 3). directions: (D, P, 3). apart: (P, sheets), 1 where the full core holds, 0 where
    the least one does. widths: of the strip that each point belongs to, 0 for none. Returns D
    arrays (P, panels), panels by sheet, row, strip.
    """

    def core(size: Array, sheet: NDArray[np.intp], own: Array) -> Array:
        wider = np.maximum(size[None, :], own[:, None])
        wider *= apart[:, sheet]
        wider *= wider
        wider += lines.least_core**2
        return wider

    none = np.zeros(len(points))
    bound_core = core(lines.bound_core, lines.bound_sheet, none)
    legs_core = core(lines.legs_core, lines.legs_sheet, widths)
    wake_core = core(lines.wake_core, lines.wake_sheet, widths)
    bound = pieces(points, directions, *lines.bound, bound_core)
    legs = pieces(points, directions, *lines.legs, legs_core)
    wake = wakes(points, directions, lines.wake, wake_core, lines.wake_normals)
    return [_panels(lines.sheets, *parts) for parts in zip(bound, legs, wake, strict=True)]


def _panels(sheets: Sequence[Sheet], bound: Array, legs: Array, wake: Array) -> Array:
    """Add each panel's bound piece and its legs from there to infinity. In place, on ``bound``."""
    count = len(bound)
    panel = leg = end = 0
    for sheet in sheets:
        rows, strips = sheet.rows, sheet.strips
        panels, pieces_, ends = rows * strips, rows * (strips + 1), strips + 1
        run = legs[:, leg : leg + pieces_].reshape(count, rows, ends)
        trail = wake[:, end : end + ends].copy()
        own = bound[:, panel : panel + panels].reshape(count, rows, strips)
        for row in reversed(range(rows)):
            trail += run[:, row]
            own[:, row] += trail[:, 1:] - trail[:, :-1]
        panel, leg, end = panel + panels, leg + pieces_, end + ends
    return bound
