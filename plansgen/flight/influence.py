"""What every panel of every sheet induces at a set of points.

Each panel carries a horseshoe: a bound piece on its quarter line, and two legs that follow the
strip's ends to the trailing edge and then run on along x for ever (a flat wake, not rolled up, not
turned into the wind). Panels of a strip share their legs, so every piece is worked out once and
added up along the chord.

Cores: within a sheet, and between sheets that meet end to end in one plane, the core is next to
nothing, because control places lie between the legs. Another surface may lie anywhere in a wake, so
towards it each leg's core is the width of the strips beside it, and each bound piece's the length
of its panel: legs smeared over their own distance make a smooth sheet again, with an error that
falls with the square of the width (the vortex-blob method).
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
    return np.maximum(np.append(widths, 0.0), np.append(0.0, widths))


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
        bound_core=np.concatenate(cores[0]),
        legs_core=np.concatenate(cores[1]),
        wake_core=np.concatenate(cores[2]),
        bound_sheet=owners(cores[0]),
        legs_sheet=owners(cores[1]),
        wake_sheet=owners(cores[2]),
        least_core=_LEAST_CORE * float(np.ptp(points, axis=0).max()),
    )


def induced(lines: Filaments, points: Array, directions: Array, apart: Array) -> list[Array]:
    """Velocity per unit circulation of each panel, seen along given directions.

    points: (P, 3). directions: (D, P, 3). apart: (P, sheets), 1 where the full core holds, 0 where
    the least one does. Returns D arrays (P, panels), panels by sheet, row, strip.
    """

    def core(size: Array, sheet: NDArray[np.intp]) -> Array:
        return np.asarray((apart * 1.0)[:, sheet] * size**2 + lines.least_core**2)

    bound = pieces(points, directions, *lines.bound, core(lines.bound_core, lines.bound_sheet))
    legs = pieces(points, directions, *lines.legs, core(lines.legs_core, lines.legs_sheet))
    wake = wakes(points, directions, lines.wake, core(lines.wake_core, lines.wake_sheet))
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
