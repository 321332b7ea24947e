"""Every stress in a cut under many loads at once: tables that are linear algebra, made once a cut.

What is looked at, piece by piece: tension, compression, wrinkling of a face on what holds it,
bowing out between supports, shear, and bays of sheet that buckle as a whole.

Skins that ripple under next to nothing (paper stretched over ribs) pull but do not push, so what
acts depends on the load; each state of rippled skins has a table of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from plansgen.structure.buckling import SHEARED, column_load, plate_load
from plansgen.structure.cells import Analysis, Flow, Stretch, analyse, stretch_of
from plansgen.structure.cut import Cut, Piece, Stress, StressKind, Wall

Array = NDArray[np.float64]

NAMES = ("shear", "bending", "torque", "chord_shear", "chord_bending", "axial")
_ROUNDS = 3  # each round may ripple more; nearly always the first finds all


@dataclass(frozen=True)
class Loads:
    """Several loads on one cut, each an array. [N, N m]"""

    shear: Array
    bending: Array
    torque: Array
    chord_shear: Array
    chord_bending: Array
    axial: Array

    @classmethod
    def of(cls, loads: Sequence[Mapping[str, float]]) -> Loads:
        """From plain loads; what one does not name is 0."""
        return cls(*(np.array([load.get(name, 0.0) for load in loads]) for name in NAMES))

    def only(self, chosen: Sequence[int]) -> Loads:
        """Some of them."""
        return Loads(*(getattr(self, name)[list(chosen)] for name in NAMES))

    def __len__(self) -> int:
        return len(self.shear)


@dataclass(frozen=True)
class _Rows:
    """Things to look at: pieces, how they may fail, at what stress, where. (n), (n, 2)"""

    kind: StressKind
    pieces: NDArray[np.int_]
    strengths: Array
    places: Array


class StressTable:
    """The stresses in a cut as it acts. slack: pieces that have rippled."""

    def __init__(self, cut: Cut, slack: frozenset[int]) -> None:
        self.cut, self.slack, self.found = cut, slack, analyse(cut, slack)
        self._blocks: list[_Rows] = []
        self._lay_normal()
        self._lay_pushed_bays()
        self._lay_sheared()
        self._lay_sheared_bays()
        self.strengths = np.concatenate([block.strengths for block in self._blocks])
        self._pieces = np.concatenate([block.pieces for block in self._blocks])
        self.spreads = np.array([piece.solid.spread for piece in cut.pieces])[self._pieces]

    # --- what there is to look at ------------------------------------------------------------

    def _add(
        self,
        kind: StressKind,
        pieces: Sequence[int] | NDArray[np.int_],
        strengths: Sequence[float] | Array,
        places: Array,
    ) -> None:
        self._blocks.append(
            _Rows(kind, np.asarray(pieces, dtype=int), np.asarray(strengths, dtype=float), places)
        )

    def _lay_normal(self) -> None:
        """Pull and push at the four corners of every piece, and strips that bow out."""
        found, pieces = self.found, self.cut.pieces
        strips = found.strips
        kept = [i for i in range(len(pieces)) if i not in self.slack]
        walls = {i: found.walls[found.wall_of[i]] for i in kept}
        limits = {i: w.face_limit for i, w in walls.items() if not _is_core(pieces[i], w)}
        faces = {i: limit for i, limit in limits.items() if limit is not None}
        bowed = [i for i in kept if math.isfinite(pieces[i].free_length)]
        ways: tuple[tuple[StressKind, float, Sequence[int], Sequence[float]], ...] = (
            ("tension", 1.0, kept, [pieces[i].solid.tension for i in kept]),
            ("compression", -1.0, kept, [pieces[i].solid.compression for i in kept]),
            ("wrinkling", -1.0, list(faces), list(faces.values())),
        )
        half = strips.across * strips.thickness[:, None] / 2
        corners = [end + side * half for end in (strips.start, strips.end) for side in (1, -1)]
        operators = []
        for kind, sign, some, strengths in ways:
            rows, stood = np.array(some, dtype=int), np.array(strengths, dtype=float)
            for corner in corners:
                self._add(kind, rows, stood, corner[rows])
                operators.append(self._operator(rows, corner[rows], sign))
        self._add("buckling", bowed, [_bows(pieces[i]) for i in bowed], strips.middle[bowed])
        operators.append(self._operator(bowed, strips.middle[bowed], -1.0))
        bend, even = zip(*operators, strict=True)
        self._spots = np.vstack(bend), np.concatenate(even)

    def _operator(
        self, pieces: Sequence[int] | NDArray[np.int_], places: Array, sign: float
    ) -> tuple[Array, Array]:
        """What turns curvature, and even strain, into stress at some places."""
        some = np.asarray(pieces, dtype=int)
        stiff = self.found.strips.modulus[some] * sign
        return stiff[:, None] * (places - self.found.centres[some]), stiff

    def _bays(self, *, stick: bool) -> Iterator[list[int]]:
        bays: dict[str, list[int]] = {}
        for index, wall in enumerate(self.found.walls):
            if wall.plate is not None and not wall.plate.membrane:
                bays.setdefault(wall.plate.key, []).append(index)
        yield from (walls for walls in bays.values() if self.found.walls[walls[0]].stick == stick)

    def _bay(self, walls: Sequence[int], **factor: float) -> tuple[list[int], float, float]:
        """Pieces of a bay, their cross-section, and the mean stress at which it buckles."""
        found = self.found
        plate = found.walls[walls[0]].plate
        assert plate is not None
        plies = [ply for index in walls for ply in found.walls[index].plies]
        area = sum(self.cut.pieces[ply].area for ply in plies)
        width = sum(found.walls[index].length for index in walls)
        limit = plate_load(
            stiffness=plate.stiffness, bay=plate.bay, core_shear=plate.core_shear, **factor
        )
        return plies, area, limit * width / area

    def _lay_pushed_bays(self) -> None:
        strips = self.found.strips
        bend, even, first, limits = [], [], [], []
        for walls in self._bays(stick=False):
            plies, area, limit = self._bay(walls)
            each, flat = self._operator(plies, strips.middle[plies], -1.0)
            share = strips.width[plies] * strips.thickness[plies] / area
            bend.append(share @ each)
            even.append(float(share @ flat))
            first.append(plies[0])
            limits.append(limit)
        self._pushed = np.array(bend).reshape(-1, 2), np.array(even)
        self._add("buckling", first, limits, strips.middle[first])

    def _lay_sheared(self) -> None:
        """Shear in the plane of each ply, with its own twist and what goes through it."""
        found, strips, pieces = self.found, self.found.strips, self.cut.pieces
        order = [i for wall in found.walls for i in wall.plies]
        walls = np.array(found.wall_of)[order]
        ends = np.array([(*wall.start, *wall.end) for wall in found.walls])
        along = ends[:, 2:] - ends[:, :2]
        across = np.column_stack([-along[:, 1], along[:, 0]]) / np.hypot(*along.T)[:, None]
        middle = (ends[:, 2:] + ends[:, :2]) / 2
        offset = np.abs(((strips.middle[order] - middle[walls]) * across[walls]).sum(axis=1))
        stiff, thick = strips.shear_modulus[order], strips.thickness[order]
        deep = np.bincount(walls, weights=thick, minlength=len(found.walls))[walls]
        plies = np.array([len(found.walls[index].plies) for index in walls])
        cores = np.array(
            [
                _is_core(pieces[i], found.walls[w])
                for i, w in zip(order, walls.tolist(), strict=True)
            ]
        )
        through = np.where(plies == 1, 1.5 / deep, np.where(cores, 2 / (deep + thick), 0.0))
        own = 2 * (offset + thick / 2) * stiff
        self._shear_walls = walls
        self._shear_parts = np.column_stack([stiff / found.shear_stiffness[walls], own, through])
        self._add("shear", order, [pieces[i].solid.shear for i in order], strips.middle[order])

    def _lay_sheared_bays(self) -> None:
        """Bays of upright sheet that buckle under shear."""
        found = self.found
        rows = []
        for walls in self._bays(stick=True):
            plies, area, limit = self._bay(walls, factor=SHEARED)
            width = sum(found.walls[index].length for index in walls)
            rows += [(index, width / area, plies[0], limit) for index in walls]
        first = [row[2] for row in rows]
        self._bay_walls = np.array([row[0] for row in rows], dtype=int)
        self._bay_parts = np.array([row[1] for row in rows])
        self._add("buckling", first, [row[3] for row in rows], found.strips.middle[first])

    # --- under loads -------------------------------------------------------------------------

    def curvature(self, loads: Loads) -> tuple[Array, Array]:
        """Curvature (2, n) and even strain (n)."""
        return _curvature(self.found, loads)

    def stress(self, loads: Loads) -> Array:
        """Stress of every row under every load, nothing below 0. (rows, n) [Pa]"""
        bent, even = self.curvature(loads)
        normal = [part @ bent + np.outer(flat, even) for part, flat in (self._spots, self._pushed)]
        flow, rate = _flow(self.found, loads)
        walls = self._shear_walls
        shear = (
            flow.peak()[walls] * self._shear_parts[:, 0, None]
            + np.outer(self._shear_parts[:, 1], np.abs(rate))
            + np.abs(flow.through[walls]) * self._shear_parts[:, 2, None]
        )
        bays = np.abs(flow.mean[self._bay_walls]) * self._bay_parts[:, None]
        return np.asarray(np.maximum(np.vstack([*normal, shear, bays]), 0.0))

    def made(self, row: int, stress: float) -> Stress:
        """One row as a stress."""
        piece = self.cut.pieces[int(self._pieces[row])]
        for block in self._blocks:
            if row < len(block.pieces):
                break
            row -= len(block.pieces)
        x, z = block.places[row].tolist()
        return Stress(
            part=piece.part,
            material=piece.solid.name,
            kind=block.kind,
            stress=stress,
            strength=float(block.strengths[row]),
            spread=piece.solid.spread,
            place=(x, z),
        )

    @cached_property
    def groups(self) -> tuple[tuple[tuple[str, str, str], NDArray[np.int_]], ...]:
        """Rows by part, material and kind, in a fixed order."""
        kinds = [block.kind for block in self._blocks for _ in block.pieces]
        pieces = [self.cut.pieces[index] for index in self._pieces.tolist()]
        groups: dict[tuple[str, str, str], list[int]] = {}
        for row, (piece, kind) in enumerate(zip(pieces, kinds, strict=True)):
            groups.setdefault((piece.part, piece.solid.name, kind), []).append(row)
        return tuple((key, np.array(groups[key])) for key in sorted(groups))


def _is_core(piece: Piece, wall: Wall) -> bool:
    return wall.core is not None and piece.solid == wall.core


def _bows(piece: Piece) -> float:
    """Stress at which a strip bows out between its supports. [Pa]"""
    short, long = sorted((piece.width, piece.thickness))
    weak = piece.solid.modulus * long * short**3 / 12
    return column_load(bending=weak, length=piece.free_length) / piece.area


def _curvature(found: Analysis | Stretch, loads: Loads) -> tuple[Array, Array]:
    """Curvature (2, n) and even strain (n)."""
    moment = np.array([loads.chord_bending, loads.bending])
    curvature = np.asarray(-np.linalg.solve(found.stiffness, moment))
    return curvature, np.asarray(loads.axial / found.pull)


def _flow(found: Analysis, loads: Loads) -> tuple[Flow, Array]:
    """Shear flow in every wall under every load (walls, n), and the twist rates (n)."""
    shear = (loads.chord_shear, loads.shear)
    free = loads.torque - sum(v * t for v, t in zip(shear, found.torque, strict=True))
    rate = np.asarray(free / found.torsion)

    def under(name: str) -> Array:
        units = np.column_stack([getattr(flow, name) for flow in (*found.unit, found.twist)])
        return np.asarray(units @ np.array([*shear, rate]))

    return Flow(under("begin"), under("mean"), under("finish"), under("through")), rate


# --- skins that ripple -----------------------------------------------------------------------


@lru_cache(maxsize=512)
def table_of(cut: Cut, rippled: frozenset[int] = frozenset()) -> StressTable:
    """The table of a cut with some of its walls rippled."""
    return StressTable(cut, _slack(cut, rippled))


def _slack(cut: Cut, rippled: frozenset[int]) -> frozenset[int]:
    """The pieces of rippled walls."""
    return frozenset(ply for index in rippled for ply in cut.walls[index].plies)


def acting_tables(cut: Cut, loads: Loads) -> Iterator[tuple[StressTable, tuple[int, ...]]]:
    """The table that holds for each load: tables with the numbers of their loads.

    Raises:
        ValueError: nothing of known strength is cut.
    """
    states: dict[frozenset[int], list[int]] = {frozenset(): list(range(len(loads)))}
    membranes = [i for i, wall in enumerate(cut.walls) if wall.plate and wall.plate.membrane]
    for _ in range(_ROUNDS if membranes else 0):
        following: dict[frozenset[int], list[int]] = {}
        for state, numbers in states.items():
            pushed = _pushed(cut, state, membranes, loads.only(numbers))
            for number, column in zip(numbers, pushed.T.tolist(), strict=True):
                now = {wall for wall, is_ in zip(membranes, column, strict=True) if is_}
                following.setdefault(state | now, []).append(number)
        if following == states:
            break
        states = following
    for state, numbers in states.items():
        yield table_of(cut, state), tuple(numbers)


def _pushed(
    cut: Cut, rippled: frozenset[int], membranes: Sequence[int], loads: Loads
) -> NDArray[np.bool_]:
    """Which membranes are pushed under which load, where some have rippled. (membranes, n)"""
    found = stretch_of(cut, _slack(cut, rippled))
    bent, even = _curvature(found, loads)
    arms = found.strips.middle - found.centres
    normal = found.strips.modulus[:, None] * (arms @ bent + even)
    sums = [normal[list(cut.walls[index].plies)].sum(axis=0) for index in membranes]
    return np.asarray(np.array(sums) < 0)
