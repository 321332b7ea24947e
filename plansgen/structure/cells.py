"""Shear flow and torsion of thin walls, open or closed, one cell or many.

Every joint of the cut has an unknown spanwise displacement w (its warping). A wall of length L and
shear stiffness Gt (summed over its plies) carries, on average, the shear flow

    q = Gt ((w₂ - w₁)/L + ϑ' r)

with ϑ' the twist rate and r the distance of the wall's line from the pole. Along the wall the flow
changes as the pull in the strips does, dq/ds = -t dσ/dspan, and at each joint what flows in flows
out. That is one linear system for any mixture of open and closed cells. It holds the textbook
formulae as special cases: Bredt's T = 2 A q, Bredt-Batho for several cells (equal twist rates), and
basic flow plus closing flow for the shear of closed cells. What a wall resists by itself, St Venant
torsion and bending through its own thickness, is added.

Sources: T. H. G. Megson, *Aircraft Structures for Engineering Students*, shear and torsion of
thin-walled sections, open, closed and multi-cell (from memory); R. J. Roark, *Formulas for Stress
and Strain*, torsion of a solid rectangle (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from plansgen.structure.cut import Cut, Place, Wall
from plansgen.structure.strips import (
    Strips,
    joints,
    rectangle_torsion,
    strips_of,
    wall_of_each,
    walls_of,
)

Array = NDArray[np.float64]

_RIGID = 1e5  # stiffness of a link, times that of the stiffest wall


@dataclass(frozen=True)
class Flow:
    """Shear flow in each wall, positive from its start to its end. [N/m]

    begin, mean, finish: at its start, on average, at its end. through: force that the wall carries
    through its own thickness, per length of wall.
    """

    begin: Array
    mean: Array
    finish: Array
    through: Array

    def peak(self) -> Array:
        """Greatest size of the flow in each wall; it varies as a parabola along it."""
        a = 3 * (self.begin + self.finish - 2 * self.mean)
        b = 6 * self.mean - 4 * self.begin - 2 * self.finish
        with np.errstate(divide="ignore", invalid="ignore"):
            place = np.clip(np.nan_to_num(-b / (2 * a)), 0.0, 1.0)
        between = self.begin + b * place + a * place**2
        return np.asarray(np.max(np.abs([self.begin, between, self.finish]), axis=0))

    def __add__(self, other: Flow) -> Flow:
        return Flow(
            self.begin + other.begin,
            self.mean + other.mean,
            self.finish + other.finish,
            self.through + other.through,
        )

    def scaled(self, factor: float) -> Flow:
        """The same flow under so many times the load."""
        return Flow(
            self.begin * factor, self.mean * factor, self.finish * factor, self.through * factor
        )


@dataclass(frozen=True)
class Analysis:
    """A cut worked out for unit loads.

    strips, walls: what it is made of; wall_of: which wall each piece lies on. group: which joined
    part of the cut each piece belongs to, with its own centre; groups give together and do not pull
    on each other. stiffness: ∫E p pᵀ dA about those centres, x first [N m²]. pull: EA [N].
    torsion: GJ [N m²]. twist: flow at unit twist rate. unit: flow under unit shear aft and up,
    without twist, and torque: what those flows turn about the pole [m].
    """

    strips: Strips
    walls: tuple[Wall, ...]
    wall_of: tuple[int, ...]
    group: Array
    centres: Array
    stiffness: Array
    pull: float
    centre: Place
    torsion: float
    twist: Flow
    unit: tuple[Flow, Flow]
    torque: tuple[float, float]
    shear_stiffness: Array

    def flow(self, shear: tuple[float, float], torque: float) -> tuple[Flow, float]:
        """Flow under shear (aft, up) and nose-up torque about the pole, and the twist rate.

        [N, N m]; twist rate [rad/m].
        """
        free = torque - sum(v * t for v, t in zip(shear, self.torque, strict=True))
        rate = free / self.torsion
        flow = self.unit[0].scaled(shear[0]) + self.unit[1].scaled(shear[1])
        return flow + self.twist.scaled(rate), float(rate)


@dataclass(frozen=True)
class Stretch:
    """A cut as it bends and stretches, without its shear flow; fields as in :class:`Analysis`."""

    strips: Strips
    centres: Array
    stiffness: Array
    pull: float
    centre: Place


@lru_cache(maxsize=1024)
def stretch_of(cut: Cut, slack: frozenset[int] = frozenset()) -> Stretch:
    """How a cut bends and stretches. slack: pieces that have rippled.

    Raises:
        ValueError: the cut has no pieces.
    """
    solver = solver_of(cut)
    strips = solver.strips.rippled(slack)
    centres, stiffness = _bending(strips, solver.group)
    pull = strips.pull
    x, z = ((pull @ strips.middle) / pull.sum()).tolist()
    return Stretch(strips, centres, stiffness, float(pull.sum()), (x, z))


@lru_cache(maxsize=512)
def analyse(cut: Cut, slack: frozenset[int] = frozenset()) -> Analysis:
    """Work out a cut for unit loads. slack: pieces that have rippled.

    Raises:
        ValueError: the cut has no pieces.
    """
    solver, stretch = solver_of(cut), stretch_of(cut, slack)
    pole = np.asarray(cut.axis if cut.axis is not None else stretch.centre)
    twist, torsion = solver.twisted(pole)
    changes: Array = np.linalg.inv(stretch.stiffness).astype(np.float64)
    units = [solver.sheared(stretch, changes[:, way]) for way in (0, 1)]
    turned = [0.0 if cut.axis is None else solver.turning(unit, pole) for unit in units]
    return Analysis(
        strips=stretch.strips,
        walls=solver.walls,
        wall_of=tuple(solver.wall_of.tolist()),
        group=solver.group,
        centres=stretch.centres,
        stiffness=stretch.stiffness,
        pull=stretch.pull,
        centre=stretch.centre,
        torsion=float(torsion + solver.own_torsion),
        twist=twist,
        unit=(units[0], units[1]),
        torque=(turned[0], turned[1]),
        shear_stiffness=solver.shear_stiffness,
    )


@lru_cache(maxsize=512)
def solver_of(cut: Cut) -> _Solver:
    """The linear system of a cut, whatever ripples in it.

    Raises:
        ValueError: the cut has no pieces.
    """
    if not cut.pieces:
        raise ValueError("nothing of known strength is cut here")
    return _Solver(tuple(cut.walls or walls_of(cut.pieces)), strips_of(cut.pieces))


def _bending(strips: Strips, group: Array) -> tuple[Array, Array]:
    """Centre that each piece turns about, and the stiffness tensor of all groups together."""
    pull = strips.pull
    centres = np.empty_like(strips.middle)
    for name in np.unique(group):
        mine = group == name
        centres[mine] = (pull[mine] @ strips.middle[mine]) / pull[mine].sum()
    arm = strips.middle - centres
    tensor = np.einsum("i,ij,ik->jk", pull, arm, arm)
    for size, way in ((strips.width, strips.along), (strips.thickness, strips.across)):
        tensor += np.einsum("i,ij,ik->jk", pull * size**2 / 12, way, way)
    return centres, tensor


class _Solver:
    """The linear system of one cut, and what goes in and comes out of it.

    Rippled skins shear as before, so it holds whatever has rippled.
    """

    def __init__(self, walls: tuple[Wall, ...], strips: Strips) -> None:
        self.walls, self.strips = walls, strips
        numbers, groups = joints(walls)
        self.wall_of = np.array(wall_of_each(walls, len(strips.width)))
        self.start = np.array([wall.start for wall in walls])
        self.end = np.array([wall.end for wall in walls])
        self.length = np.hypot(*(self.end - self.start).T)
        self.along = (self.end - self.start) / self.length[:, None]
        self.across = np.column_stack([-self.along[:, 1], self.along[:, 0]])
        self.first = np.array([numbers[wall.start] for wall in walls])
        self.last = np.array([numbers[wall.end] for wall in walls])
        self.group = np.array(groups)[self.first[self.wall_of]]
        self.shear_stiffness = self._shear_stiffness()
        self.matrix = self._matrix(len(numbers), groups)
        self.grounded = sorted({groups.index(name) for name in groups})

    def _shear_stiffness(self) -> Array:
        strips = self.strips
        each = strips.shear_modulus * strips.thickness
        stiff = np.bincount(self.wall_of, weights=each, minlength=len(self.walls))
        links = np.array([not wall.plies for wall in self.walls])
        stiff[links] = _RIGID * stiff.max()
        return np.asarray(np.maximum(stiff, 1e-9 * stiff.max()))

    def _matrix(self, count: int, groups: Sequence[int]) -> Array:
        matrix = np.zeros((count, count))
        value = self.shear_stiffness / self.length
        for a, b, sign in (
            (self.first, self.first, 1),
            (self.last, self.last, 1),
            (self.first, self.last, -1),
            (self.last, self.first, -1),
        ):
            np.add.at(matrix, (a, b), sign * value)
        for node in {groups.index(name) for name in groups}:  # only differences of w matter
            matrix[node] = 0.0
            matrix[node, node] = value.max()
        return matrix

    def _warp(self, load: Array) -> Array:
        load = load.copy()
        load[self.grounded] = 0.0
        w = np.linalg.solve(self.matrix, load)
        return np.asarray(self.shear_stiffness * (w[self.last] - w[self.first]) / self.length)

    def arms(self, pole: Array) -> Array:
        """Distance of each wall's line from the pole, positive where its flow turns nose up."""
        x, z = (self.start - pole).T
        return np.asarray(z * self.along[:, 0] - x * self.along[:, 1])

    def twisted(self, pole: Array) -> tuple[Flow, float]:
        """Flow at unit twist rate and the torque it needs, without St Venant torsion."""
        free = self.shear_stiffness * self.arms(pole)
        load = np.zeros(len(self.matrix))
        np.add.at(load, self.last, -free)
        np.add.at(load, self.first, free)
        mean = self._warp(load) + free
        torque = float(mean @ (self.length * self.arms(pole)))
        return Flow(mean, mean, mean, np.zeros_like(mean)), torque

    def sheared(self, stretch: Stretch, change: Array) -> Flow:
        """Flow without twist where the curvature changes by ``change`` per length of span."""
        g0, g1, through = self._gathered(stretch, change)
        load = np.zeros(len(self.matrix))
        np.add.at(load, self.last, self.length * (g0 + 2 * g1) / 6)
        np.add.at(load, self.first, self.length * (2 * g0 + g1) / 6)
        mean = self._warp(load)
        return Flow(
            begin=mean + self.length * (2 * g0 + g1) / 6,
            mean=mean,
            finish=mean - self.length * (g0 + 2 * g1) / 6,
            through=through,
        )

    def _gathered(self, stretch: Stretch, change: Array) -> tuple[Array, Array, Array]:
        """Pull gathered per length of wall at its start and end; force through its thickness."""
        strips, of = stretch.strips, self.wall_of
        stiff = strips.pull
        p0, p1 = (stiff * ((end - stretch.centres) @ change) for end in (strips.start, strips.end))
        d0, d1 = (
            ((end - joint[of]) * self.across[of]).sum(axis=1)
            for end, joint in ((strips.start, self.start), (strips.end, self.end))
        )
        own = stiff * strips.thickness**2 / 12 * (strips.across @ change)
        push = (p0 * d0 + p1 * d1) / 3 + (p0 * d1 + p1 * d0) / 6 + own
        g0, g1, through = (
            np.bincount(of, weights=each, minlength=len(self.walls)) / self.length
            for each in (p0, p1, push)
        )
        return g0, g1, through

    def resultant(self, flow: Flow) -> Array:
        """Force of a flow, aft and up, with what goes through the walls' thickness. [N]"""
        flat = (flow.mean * self.length) @ self.along
        return np.asarray(flat + (flow.through * self.length) @ self.across)

    def turning(self, flow: Flow, pole: Array) -> float:
        """Nose-up moment of a flow about a pole, and of what goes through the walls. [N m]"""
        x, z = ((self.start + self.end) / 2 - pole).T
        lever = z * self.across[:, 0] - x * self.across[:, 1]
        flat = flow.mean @ (self.length * self.arms(pole))
        return float(flat + (flow.through * self.length) @ lever)

    @cached_property
    def own_torsion(self) -> float:
        """St Venant torsion stiffness of the walls each by itself. [N m²]

        A solid strip has G w t³/3; a sandwich 4 G t d² w for faces at ±d, which is the same sum
        over plies, 4 w Σ G t (d² + t²/12). A round ring's walls together with their cell make the
        polar moment of the ring when a quarter of that is taken.
        """
        of, strips = self.wall_of, self.strips
        g, t, w = strips.shear_modulus, strips.thickness, strips.width
        offset = ((strips.middle - ((self.start + self.end) / 2)[of]) * self.across[of]).sum(axis=1)
        whole = 4 * g * t * w * (offset**2 + t**2 / 12)
        stick, rounded = (
            np.array([getattr(wall, name) for wall in self.walls])[of]
            for name in ("stick", "rounded")
        )
        sticks = [g[i] * rectangle_torsion(w[i], t[i]) for i in np.flatnonzero(stick).tolist()]
        sheets = np.where(rounded, whole / 4, whole)[~stick]
        return float(sum(sticks) + sheets.sum())


def shear_resultant(cut: Cut, *, shear: float, chord_shear: float = 0.0) -> Place:
    """What the shear flows of a cut add up to, aft and up: a check on the flows. [N]"""
    found = analyse(cut)
    flow = found.unit[0].scaled(chord_shear) + found.unit[1].scaled(shear)
    aft, up = solver_of(cut).resultant(flow)
    return float(aft), float(up)
