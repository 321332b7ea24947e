"""Every stress in a cut under many loads at once: tables that are linear algebra, made once a cut.

What is looked at, piece by piece: tension, compression, wrinkling of a face on what holds it,
bowing out between supports, shear, and bays of sheet that buckle as a whole.

Skins that ripple under next to nothing (paper stretched over ribs) pull but do not push, so what
acts depends on the load; each state of rippled skins has a table of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from plansgen.structure.buckling import SHEARED, column_load, plate_load
from plansgen.structure.cells import Analysis, Flow, analyse
from plansgen.structure.cut import Cut, Stress, StressKind

Array = NDArray[np.float64]

NAMES = ("shear", "bending", "torque", "chord_shear", "chord_bending", "axial")
_RIPPLED = 1e-6  # what is left of the modulus of a rippled skin; not nothing, to stay solvable
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
class _Row:
    """One thing to look at: a piece, how it may fail, at what stress, where."""

    piece: int
    kind: StressKind
    strength: float
    place: tuple[float, float]


class StressTable:
    """The stresses in a cut as it acts. slack: pieces that have rippled."""

    def __init__(self, cut: Cut, slack: frozenset[int]) -> None:
        self.cut, self.slack, self.found = cut, slack, analyse(cut)
        self._rows: list[_Row] = []
        self._lay_normal()
        self._lay_pushed_bays()
        self._lay_sheared()
        self._lay_sheared_bays()
        self.strengths = np.array([row.strength for row in self._rows])
        self.spreads = np.array([cut.pieces[row.piece].solid.spread for row in self._rows])

    # --- what there is to look at ------------------------------------------------------------

    def _lay_normal(self) -> None:
        strips, found = self.found.strips, self.found
        half = strips.across * strips.thickness[:, None] / 2
        corners = [end + side * half for end in (strips.start, strips.end) for side in (1, -1)]
        spots: list[tuple[int, Array, float]] = []

        def spot(piece: int, place: Array, sign: float, kind: StressKind, strength: float) -> None:
            spots.append((piece, place, sign))
            self._rows.append(_Row(piece, kind, strength, (float(place[0]), float(place[1]))))

        for i, piece in enumerate(self.cut.pieces):
            if i in self.slack:
                continue
            wall = found.walls[found.wall_of[i]]
            for corner in corners:
                spot(i, corner[i], 1.0, "tension", piece.solid.tension)
                spot(i, corner[i], -1.0, "compression", piece.solid.compression)
                if wall.face_limit is not None and piece.solid != wall.core:
                    spot(i, corner[i], -1.0, "wrinkling", wall.face_limit)
            if math.isfinite(piece.free_length):
                short, long = sorted((piece.width, piece.thickness))
                weak = piece.solid.modulus * long * short**3 / 12
                limit = column_load(bending=weak, length=piece.free_length) / piece.area
                spot(i, strips.middle[i], -1.0, "buckling", limit)
        self._spots = self._operator(
            np.array([piece for piece, _, _ in spots], dtype=int),
            np.array([place for _, place, _ in spots]).reshape(-1, 2),
            np.array([sign for _, _, sign in spots]),
        )

    def _operator(self, pieces: Array, places: Array, signs: Array) -> tuple[Array, Array]:
        """What turns curvature, and even strain, into stress at some places."""
        stiff = self.found.strips.modulus[pieces] * signs
        return stiff[:, None] * (places - self.found.centres[pieces]), stiff

    def _bays(self, *, stick: bool) -> Iterator[list[int]]:
        bays: dict[str, list[int]] = {}
        for index, wall in enumerate(self.found.walls):
            if wall.plate is not None and not wall.plate.membrane:
                bays.setdefault(wall.plate.key, []).append(index)
        yield from (walls for walls in bays.values() if self.found.walls[walls[0]].stick == stick)

    def _bay(self, walls: Sequence[int], factor: float | None) -> tuple[list[int], float, _Row]:
        """Pieces of a bay, their mean thickness, and its row."""
        found = self.found
        plate = found.walls[walls[0]].plate
        assert plate is not None
        plies = [ply for index in walls for ply in found.walls[index].plies]
        width = sum(found.walls[index].length for index in walls)
        deep = sum(self.cut.pieces[ply].area for ply in plies) / width
        more = {} if factor is None else {"factor": factor}
        limit = plate_load(
            stiffness=plate.stiffness, bay=plate.bay, core_shear=plate.core_shear, **more
        )
        x, z = found.strips.middle[plies[0]].tolist()
        return plies, deep * width, _Row(plies[0], "buckling", limit / deep, (x, z))

    def _lay_pushed_bays(self) -> None:
        strips = self.found.strips
        bend, even = [], []
        for walls in self._bays(stick=False):
            plies, area, row = self._bay(walls, None)
            each, flat = self._operator(np.array(plies), strips.middle[plies], -np.ones(len(plies)))
            share = np.array([self.cut.pieces[ply].area for ply in plies]) / area
            bend.append(share @ each)
            even.append(float(share @ flat))
            self._rows.append(row)
        self._pushed = np.array(bend).reshape(-1, 2), np.array(even)

    def _lay_sheared(self) -> None:
        """Shear in the plane of each ply, with its own twist and what goes through it."""
        found, strips = self.found, self.found.strips
        rows: list[tuple[int, float, float, float]] = []
        for index, wall in enumerate(found.walls):
            if not wall.plies:
                continue
            start, end = np.asarray(wall.start), np.asarray(wall.end)
            along = (end - start) / wall.length
            across = np.array([-along[1], along[0]])
            deep = float(sum(strips.thickness[i] for i in wall.plies))
            for i in wall.plies:
                piece = self.cut.pieces[i]
                offset = abs(float((strips.middle[i] - (start + end) / 2) @ across))
                through = 0.0
                if len(wall.plies) == 1:
                    through = 1.5 / deep
                elif wall.core is not None and piece.solid == wall.core:
                    through = 2 / (deep + piece.thickness)
                own = 2 * (offset + piece.thickness / 2) * piece.solid.shear_modulus
                flat = piece.solid.shear_modulus / float(found.shear_stiffness[index])
                rows.append((index, flat, own, through))
                x, z = strips.middle[i].tolist()
                self._rows.append(_Row(i, "shear", piece.solid.shear, (x, z)))
        self._shear_walls = np.array([row[0] for row in rows], dtype=int)
        self._shear_parts = np.array([row[1:] for row in rows]).reshape(-1, 3)

    def _lay_sheared_bays(self) -> None:
        rows: list[tuple[int, float]] = []
        for walls in self._bays(stick=True):
            _, area, row = self._bay(walls, SHEARED)
            width = sum(self.found.walls[index].length for index in walls)
            for index in walls:
                rows.append((index, width / area))
                self._rows.append(row)
        self._bay_walls = np.array([row[0] for row in rows], dtype=int)
        self._bay_parts = np.array([row[1] for row in rows])

    # --- under loads -------------------------------------------------------------------------

    def curvature(self, loads: Loads) -> tuple[Array, Array]:
        """Curvature (2, n) and even strain (n)."""
        moment = np.array([loads.chord_bending, loads.bending])
        curvature = np.asarray(-np.linalg.solve(self.found.stiffness, moment))
        return curvature, np.asarray(loads.axial / self.found.pull)

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
        one = self._rows[row]
        piece = self.cut.pieces[one.piece]
        return Stress(
            part=piece.part,
            material=piece.solid.name,
            kind=one.kind,
            stress=stress,
            strength=float(one.strength),
            spread=piece.solid.spread,
            place=one.place,
        )

    @property
    def rows(self) -> tuple[tuple[str, str, str], ...]:
        """Part, material and kind of every row."""
        pieces = self.cut.pieces
        return tuple((pieces[r.piece].part, pieces[r.piece].solid.name, r.kind) for r in self._rows)


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
    pieces, slack = list(cut.pieces), []
    for index in sorted(rippled):
        for ply in cut.walls[index].plies:
            solid = pieces[ply].solid
            soft = replace(solid, modulus=solid.modulus * _RIPPLED)
            pieces[ply] = replace(pieces[ply], solid=soft)
            slack.append(ply)
    acting = replace(cut, pieces=tuple(pieces)) if rippled else cut
    return StressTable(acting, frozenset(slack))


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
            pushed = _pushed(table_of(cut, state), membranes, loads.only(numbers))
            for number, column in zip(numbers, pushed.T.tolist(), strict=True):
                now = {wall for wall, is_ in zip(membranes, column, strict=True) if is_}
                following.setdefault(state | now, []).append(number)
        if following == states:
            break
        states = following
    for state, numbers in states.items():
        yield table_of(cut, state), tuple(numbers)


def _pushed(table: StressTable, membranes: Sequence[int], loads: Loads) -> NDArray[np.bool_]:
    """Which membranes are pushed under which load. (membranes, n)"""
    found = table.found
    bent, even = table.curvature(loads)
    arms = found.strips.middle - found.centres
    normal = found.strips.modulus[:, None] * (arms @ bent + even)
    sums = [normal[list(found.walls[index].plies)].sum(axis=0) for index in membranes]
    return np.asarray(np.array(sums) < 0)
