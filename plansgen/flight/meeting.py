"""How surfaces meet: standing on each other, end to end, in step, or one on top of another."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import LiftingSurface
from plansgen.flight.panels import Sheet

Array = NDArray[np.float64]

_NEAR = 0.1  # of the chord: an end nearer than this stands on the surface
_ON_TOP = 1e-3  # of the chord: control places nearer than this to another surface lie in it
_IN_LINE = 0.95  # cosine of the angle between two surfaces that count as one plane


def _ends(surface: LiftingSurface) -> list[tuple[float, float, float]]:
    """Root and tip as (y, z, chord), starboard."""
    return [(abs(s.y), s.z, s.chord) for s in (surface.stations[0], surface.stations[-1])]


def joints_on(surface: LiftingSurface, others: Sequence[LiftingSurface]) -> list[float]:
    """Developed spans at which the ends of other surfaces stand on this one.

    Strips must end there, or the standing surface's vortices would pass by a control place.
    """
    found = []
    chain = np.array([(s.y, s.z) for s in surface.stations])
    for other in others:
        for y, z, chord in _ends(other):
            for index, (a, b) in enumerate(pairwise(chain)):
                step = b - a
                part = float(np.clip((np.array([y, z]) - a) @ step / (step @ step), 0.0, 1.0))
                if np.hypot(*(a + part * step - [y, z])) < _NEAR * max(chord, 1e-9):
                    inner, outer = surface.stations[index], surface.stations[index + 1]
                    found.append(inner.span + part * (outer.span - inner.span))
    return found


def _touch_in_line(one: Sheet, two: Sheet) -> bool:
    """Whether an end of one sheet carries on into an end of another, in the same plane."""
    for i in (0, -1):
        for j in (0, -1):
            a, b = one.edges[i], two.edges[j]
            chord = max(a[3], b[3])
            beside = float(np.hypot(*(a[1:3] - b[1:3]))) < 1e-3 * chord
            overlap = min(a[0] + a[3], b[0] + b[3]) - max(a[0], b[0])
            turned = abs(float(one.normals[i] @ two.normals[j]))
            if beside and overlap > 0.0 and turned > _IN_LINE:
                return True
    return False


def _stands_on(one: Sheet, two: Sheet) -> bool:
    """Whether an end of one sheet lies on a strip's end of the other, at the same length."""
    for a in (one.edges[0], one.edges[-1]):
        aside = np.hypot(*(two.edges[:, 1:3] - a[1:3]).T)
        overlap = np.minimum(a[0] + a[3], two.edges[:, 0] + two.edges[:, 3])
        overlap = overlap - np.maximum(a[0], two.edges[:, 0])
        if bool(((aside < _NEAR * a[3]) & (overlap > 0.0)).any()):
            return True
    return False


def _in_step(one: Sheet, two: Sheet) -> bool:
    """Whether both sheets have the same strips, one behind the other."""
    if len(one.edges) != len(two.edges):
        return False
    small = 1e-6 * max(one.edges[:, 3].max(), two.edges[:, 3].max())
    return bool(np.abs(one.edges[:, 1:3] - two.edges[:, 1:3]).max() < small)


def apart(sheets: Sequence[Sheet]) -> Array:
    """1 where a sheet's wake may pass anywhere by another sheet, 0 where they meet or are one."""
    table = 1.0 - np.eye(len(sheets))
    for i, j in combinations(range(len(sheets)), 2):
        one, two = sheets[i], sheets[j]
        meet = _touch_in_line(one, two) or _stands_on(one, two) or _stands_on(two, one)
        if meet or _in_step(one, two):
            table[i, j] = table[j, i] = 0.0
    return table


def _inside(points: Array, normals: Array, sheet: Sheet) -> bool:
    """Whether any point lies in a sheet, facing the same way."""
    start, stop = sheet.edges[:-1], sheet.edges[1:]
    step = stop[:, 1:3] - start[:, 1:3]
    offset = points[:, None, 1:3] - start[None, :, 1:3]
    part = (offset * step).sum(axis=2) / (step**2).sum(axis=1)
    miss = np.linalg.norm(offset - part[:, :, None] * step, axis=2)
    lead = start[:, 0] + part * (stop[:, 0] - start[:, 0])
    chord = start[:, 3] + part * (stop[:, 3] - start[:, 3])
    aft = points[:, None, 0] - lead
    facing = np.abs(normals @ sheet.normals.T) > _IN_LINE
    within = (part >= 0.0) & (part <= 1.0) & (aft >= 0.0) & (aft <= chord)
    return bool((within & facing & (miss < _ON_TOP * np.maximum(chord, 1e-9))).any())


def refuse_coincident(sheets: Sequence[Sheet]) -> None:
    """Refuse surfaces of which one lies in the other.

    Raises:
        ValueError: panels of two surfaces (or of both halves of one) fall together.
    """
    for one, two in combinations(sheets, 2):
        pairs = ((one, two), (two, one))
        if any(
            _inside(a.controls.reshape(-1, 3), np.tile(a.normals, (a.rows, 1)), b) for a, b in pairs
        ):
            who = f"surfaces '{one.surface}' and '{two.surface}' lie"
            if one.surface == two.surface:
                who = f"the two halves of surface '{one.surface}' lie"
            raise ValueError(f"{who} on each other; move one, or leave it out")
