"""Stiffness of a cut and the stresses in it, by the transformed section.

Every strip counts by its own modulus: EA, the centre of stiffness and EI are sums over strips, and
under bending, whatever its direction, plane cuts stay plane. Bending positive: tip bent up, the top
is compressed. Chord bending positive: tip bent aft. Torque positive: nose up. Axial positive: pull.

Parts that nothing joins (a strip held by ribs only) bend with the rest but each about its own
centre. Skins that ripple under next to nothing (paper stretched over ribs) pull but do not push.

Source: transformed section and unsymmetric bending as in Gere & Timoshenko, *Mechanics of
Materials* (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from plansgen.structure.buckling import (
    SHEARED,
    column_load,
    plate_load,
)
from plansgen.structure.cells import Analysis, analyse
from plansgen.structure.cut import Cut, CutProperties, Piece, Place, Plate, Stress, Wall

__all__ = [
    "Cut",
    "CutProperties",
    "Piece",
    "Place",
    "Plate",
    "Stress",
    "Wall",
    "properties",
    "stresses",
]

Array = NDArray[np.float64]

_RIPPLED = 1e-6  # what is left of the modulus of a rippled skin; not nothing, to stay solvable


def properties(cut: Cut) -> CutProperties:
    """Work out the stiffness of a cut.

    Raises:
        ValueError: nothing of known strength is cut.
    """
    found = analyse(cut)
    return CutProperties(
        axial=found.pull,
        centre=found.centre,
        bending=float(found.stiffness[1, 1]),
        chord_bending=float(found.stiffness[0, 0]),
        product=float(found.stiffness[0, 1]),
        torsion=found.torsion,
    )


@dataclass(frozen=True)
class _Load:
    shear: tuple[float, float]  # aft, up
    moment: tuple[float, float]  # bends the tip aft, up
    torque: float
    axial: float


def stresses(
    cut: Cut,
    *,
    shear: float,
    bending: float,
    torque: float,
    chord_shear: float = 0.0,
    chord_bending: float = 0.0,
    axial: float = 0.0,
) -> tuple[Stress, ...]:
    """Work out the worst stress of each kind in each material of each part. [N, N m]

    Shear up and aft is the load outboard of the cut; torque and shear are given about the cut's
    axis.

    Raises:
        ValueError: nothing of known strength is cut.
    """
    load = _Load((chord_shear, shear), (chord_bending, bending), torque, axial)
    rippled: frozenset[int] = frozenset()
    for _ in range(3):  # each round may ripple more; nearly always the first finds all
        now = _rippled(cut, rippled)
        more = frozenset(_ripples(cut, now, load)) | rippled
        if more == rippled:
            break
        rippled = more
    now = _rippled(cut, rippled)
    return _worst(_all(now, load, rippled))


def _strain(found: Analysis, load: _Load) -> tuple[Array, float]:
    """Curvature vector and the strain at the centre."""
    return -np.linalg.solve(found.stiffness, np.asarray(load.moment)), load.axial / found.pull


def _normal(found: Analysis, load: _Load, places: Array) -> Array:
    """Normal stress at places given for each piece. [Pa]"""
    curvature, even = _strain(found, load)
    return np.asarray(found.strips.modulus * (even + (places - found.centres) @ curvature))


@lru_cache(maxsize=512)
def _rippled(cut: Cut, walls: frozenset[int]) -> Cut:
    if not walls:
        return cut
    pieces = list(cut.pieces)
    for index in walls:
        for ply in cut.walls[index].plies:
            solid = pieces[ply].solid
            pieces[ply] = replace(
                pieces[ply], solid=replace(solid, modulus=solid.modulus * _RIPPLED)
            )
    return replace(cut, pieces=tuple(pieces))


def _ripples(cut: Cut, now: Cut, load: _Load) -> Iterator[int]:
    """Membrane walls that would be pushed."""
    membranes = [i for i, wall in enumerate(cut.walls) if wall.plate and wall.plate.membrane]
    if not membranes:
        return
    found = analyse(now)
    normal = _normal(found, load, found.strips.middle)
    for index in membranes:
        if sum(normal[ply] for ply in cut.walls[index].plies) < 0:
            yield index


def _all(cut: Cut, load: _Load, rippled: frozenset[int]) -> Iterator[Stress]:
    found = analyse(cut)
    slack = {ply for index in rippled for ply in found.walls[index].plies}
    yield from _normal_stresses(cut, found, load, slack)
    yield from _shear_stresses(cut, found, load)
    yield from _bays(cut, found, load)


def _made(piece: Piece, kind: str, stress: float, strength: float, place: Array) -> Stress:
    return Stress(
        part=piece.part,
        material=piece.solid.name,
        kind=kind,  # type: ignore[arg-type]
        stress=float(stress),
        strength=float(strength),
        spread=piece.solid.spread,
        place=(float(place[0]), float(place[1])),
    )


def _normal_stresses(cut: Cut, found: Analysis, load: _Load, slack: set[int]) -> Iterator[Stress]:
    """Tension, compression, wrinkling of faces, and strips that bow out between supports."""
    strips = found.strips
    half = strips.across * strips.thickness[:, None] / 2
    corners = [end + side * half for end in (strips.start, strips.end) for side in (1, -1)]
    at_corners = np.array([_normal(found, load, corner) for corner in corners])
    middle = _normal(found, load, strips.middle)
    for i, piece in enumerate(cut.pieces):
        if i in slack:
            continue
        wall = found.walls[found.wall_of[i]]
        most, least = int(at_corners[:, i].argmax()), int(at_corners[:, i].argmin())
        if (pulled := at_corners[most, i]) > 0:
            yield _made(piece, "tension", pulled, piece.solid.tension, corners[most][i])
        if (pushed := -at_corners[least, i]) <= 0:
            continue
        place = corners[least][i]
        yield _made(piece, "compression", pushed, piece.solid.compression, place)
        if wall.face_limit is not None and piece.solid != wall.core:
            yield _made(piece, "wrinkling", pushed, wall.face_limit, place)
        if math.isfinite(piece.free_length) and middle[i] < 0:
            short, long = sorted((piece.width, piece.thickness))
            weak = piece.solid.modulus * long * short**3 / 12
            limit = column_load(bending=weak, length=piece.free_length) / piece.area
            yield _made(piece, "buckling", -middle[i], limit, strips.middle[i])


def _shear_stresses(cut: Cut, found: Analysis, load: _Load) -> Iterator[Stress]:
    """Shear in the plane of each ply, with its own twist and what goes through its thickness."""
    flow, rate = found.flow(load.shear, load.torque)
    peak = flow.peak()
    strips = found.strips
    for index, wall in enumerate(found.walls):
        if not wall.plies:
            continue
        start, end = np.asarray(wall.start), np.asarray(wall.end)
        along = (end - start) / wall.length
        across = np.array([-along[1], along[0]])
        deep = sum(strips.thickness[i] for i in wall.plies)
        for i in wall.plies:
            piece = cut.pieces[i]
            offset = abs(float((strips.middle[i] - (start + end) / 2) @ across))
            own = 2 * abs(rate) * (offset + piece.thickness / 2) * piece.solid.shear_modulus
            stress = peak[index] * piece.solid.shear_modulus / found.shear_stiffness[index] + own
            if len(wall.plies) == 1:
                stress += 1.5 * abs(flow.through[index]) / deep
            elif wall.core is not None and piece.solid == wall.core:
                stress += abs(flow.through[index]) / (deep + piece.thickness) * 2
            yield _made(piece, "shear", stress, piece.solid.shear, strips.middle[i])


def _bays(cut: Cut, found: Analysis, load: _Load) -> Iterator[Stress]:
    """Bays of sheet that buckle as a whole, pushed along the span or, standing, by shear."""
    normal = _normal(found, load, found.strips.middle)
    flow, _ = found.flow(load.shear, load.torque)
    bays: dict[str, list[int]] = {}
    for index, wall in enumerate(found.walls):
        if wall.plate is not None and not wall.plate.membrane:
            bays.setdefault(wall.plate.key, []).append(index)
    for walls in bays.values():
        plate = found.walls[walls[0]].plate
        assert plate is not None
        plies = [ply for index in walls for ply in found.walls[index].plies]
        width = sum(found.walls[index].length for index in walls)
        deep = sum(cut.pieces[ply].area for ply in plies) / width
        piece, middle = cut.pieces[plies[0]], found.strips.middle[plies[0]]
        if found.walls[walls[0]].stick:
            limit = plate_load(
                stiffness=plate.stiffness,
                bay=plate.bay,
                core_shear=plate.core_shear,
                factor=SHEARED,
            )
            mean = max(abs(flow.mean[index]) for index in walls)
            yield _made(piece, "buckling", mean / deep, limit / deep, middle)
            continue
        push = -sum(normal[ply] * cut.pieces[ply].area for ply in plies) / width
        if push > 0:
            limit = plate_load(
                stiffness=plate.stiffness, bay=plate.bay, core_shear=plate.core_shear
            )
            yield _made(piece, "buckling", push / deep, limit / deep, middle)


def _worst(found: Iterable[Stress]) -> tuple[Stress, ...]:
    """Of each part, material and kind the one with the least reserve, in a fixed order."""
    worst: dict[tuple[str, str, str], Stress] = {}
    for stress in found:
        key = (stress.part, stress.material, stress.kind)
        if key not in worst or stress.reserve < worst[key].reserve:
            worst[key] = stress
    return tuple(worst[key] for key in sorted(worst))
