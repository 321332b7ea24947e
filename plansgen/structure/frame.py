"""A linear frame in space: beams, bars and wires that only pull, held at supports.

Direct stiffness method (W. McGuire, R. H. Gallagher, R. D. Ziemian, Matrix Structural Analysis,
2nd ed. 2000, chapters 4 and 5): every element adds its stiffness to that of the nodes it joins.
Wires that only pull are switched off and on until none changes. Small displacements; no change of
stiffness by load.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Vector = tuple[float, float, float]
Six = tuple[float, float, float, float, float, float]

FREE = (False,) * 6
CLAMPED = (True,) * 6
PINNED = (True, True, True, False, False, False)
NO_VECTOR: Vector = (0.0, 0.0, 0.0)

_FLOPPY = 1e-10  # of a stiffness scaled to one: what is softer than this moves without resistance
_MOST_ROUNDS = 100  # of switching wires; more means that they chase each other


class UnstableFrame(ValueError):  # noqa: N818 - the name a reader expects at the raise
    """The frame can move without resistance; says where."""


@dataclass(frozen=True)
class Node:
    """A joint of the frame.

    place: x, y, z [m]. held: which of its three movements and three turns are held.
    springs: stiffness of a springy support, in the same order [N/m, N m/rad].
    """

    name: str
    place: Vector
    held: tuple[bool, ...] = FREE
    springs: Six = (0.0,) * 6


@dataclass(frozen=True)
class Beam:
    """A straight beam, stiff in every way, joined rigidly at both ends.

    axial: EA [N]. bending: EI that resists loads along ``up`` [N m²]. side_bending: EI that
    resists loads at right angles to ``up`` and to the beam [N m²]. torsion: GJ [N m²].
    up: a direction that is not along the beam.
    """

    name: str
    start: str
    end: str
    axial: float
    bending: float
    side_bending: float
    torsion: float
    up: Vector = (0.0, 0.0, 1.0)


@dataclass(frozen=True)
class Bar:
    """A bar with hinged ends: a strut, or a wire when ``only_pulls``.

    stiffness: EA [N]. start_offset, end_offset: from the node to where the bar is made fast, on an
    arm that does not give [m]. tension: what it carries before anything moves: the turn of the
    screw [N].
    """

    name: str
    start: str
    end: str
    stiffness: float
    only_pulls: bool = False
    start_offset: Vector = NO_VECTOR
    end_offset: Vector = NO_VECTOR
    tension: float = 0.0


@dataclass(frozen=True)
class NodeLoad:
    """Force [N] and moment [N m] on a node."""

    node: str
    force: Vector = NO_VECTOR
    moment: Vector = NO_VECTOR


@dataclass(frozen=True)
class Frame:
    """Nodes and what joins them."""

    nodes: tuple[Node, ...]
    beams: tuple[Beam, ...] = ()
    bars: tuple[Bar, ...] = ()


@dataclass(frozen=True)
class FrameAnswer:
    """How a frame stands under load.

    moved: three movements [m] and three turns [rad] of each node. ends: what the nodes do to the
    two ends of each beam, in its own axes (along it, sideways, along ``up``; then moments about
    those) [N, N m]. tension: of each bar, minus when it pushes [N]. slack: wires that hang loose.
    reactions: what the ground does to each node that is held or sprung [N, N m].
    """

    moved: Mapping[str, Six] = field(hash=False)
    ends: Mapping[str, tuple[float, ...]] = field(hash=False)
    tension: Mapping[str, float] = field(hash=False)
    slack: tuple[str, ...]
    reactions: Mapping[str, Six] = field(hash=False)


def _six(values: Array) -> Six:
    a, b, c, d, e, f = (float(value) for value in values)
    return (a, b, c, d, e, f)


def _axes(beam: Beam, start: Array, end: Array) -> tuple[float, Array]:
    """Length of a beam and its own axes as rows: along, sideways, up."""
    length = float(np.linalg.norm(end - start))
    if length == 0.0:
        raise ValueError(f"{beam.name} has no length")
    along = (end - start) / length
    across = np.cross(np.asarray(beam.up, dtype=float), along)
    if np.linalg.norm(across) < 1e-9:
        raise ValueError(f"{beam.name} runs along its up direction")
    side = across / np.linalg.norm(across)
    return length, np.array([along, side, np.cross(along, side)])


def _beam_stiffness(beam: Beam, length: float) -> Array:
    """Stiffness of a beam in its own axes (Euler–Bernoulli)."""
    k = np.zeros((12, 12))
    for first, value in ((0, beam.axial), (3, beam.torsion)):
        pair = (first, first + 6)
        k[np.ix_(pair, pair)] = value / length * np.array([[1, -1], [-1, 1]])
    # A load along the second axis turns the beam about the third, and the other way round.
    for move, turn, sign, value in ((1, 5, 1, beam.side_bending), (2, 4, -1, beam.bending)):
        a, b = 6 * sign * length, length**2
        rows = np.array(
            [[12, a, -12, a], [a, 4 * b, -a, 2 * b], [-12, -a, 12, -a], [a, 2 * b, -a, 4 * b]]
        )
        at = (move, turn, move + 6, turn + 6)
        k[np.ix_(at, at)] = value / length**3 * rows
    return k


@dataclass(frozen=True)
class _Give:
    """What is free to move, its stiffness scaled to a diagonal of one, and the inverse of that."""

    idle: NDArray[np.bool_]
    free: NDArray[np.bool_]
    scale: Array
    scaled: Array
    inverse: Array


class _Assembly:
    """The frame as arrays: stiffness of what never goes slack, and one row for each bar."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.number = {node.name: at for at, node in enumerate(frame.nodes)}
        names = [node.name for node in frame.nodes]
        names += [beam.name for beam in frame.beams] + [bar.name for bar in frame.bars]
        if len(set(names)) != len(names):
            raise ValueError("two parts of the frame have the same name")
        self.places = np.array([node.place for node in frame.nodes], dtype=float)
        size = 6 * len(frame.nodes)
        self.springs = np.array([node.springs for node in frame.nodes], dtype=float).ravel()
        self.fixed: Array = np.diag(self.springs)
        self.turns: dict[str, Array] = {}
        self.local: dict[str, Array] = {}
        for beam in frame.beams:
            self._add(beam)
        self.rows = np.zeros((len(frame.bars), size))
        self.stiffness: Array = np.zeros(len(frame.bars))
        for at, bar in enumerate(frame.bars):
            self._add_bar(at, bar)
        self.known: dict[bytes, _Give] = {}
        self.held = np.array([node.held for node in frame.nodes], dtype=bool).ravel()

    def at(self, name: str) -> int:
        """Number of the first freedom of a node."""
        if name not in self.number:
            raise ValueError(f"there is no node {name}")
        return 6 * self.number[name]

    def places_of(self, part: Beam | Bar) -> tuple[list[int], Array, Array]:
        """Numbers of an element's freedoms, and where its two nodes are."""
        a, b = self.at(part.start), self.at(part.end)
        at = [*range(a, a + 6), *range(b, b + 6)]
        return at, self.places[a // 6], self.places[b // 6]

    def _add(self, beam: Beam) -> None:
        at, start, end = self.places_of(beam)
        length, axes = _axes(beam, start, end)
        turn = np.asarray(np.kron(np.eye(4), axes), dtype=np.float64)
        local = _beam_stiffness(beam, length)
        self.turns[beam.name], self.local[beam.name] = turn, local
        self.fixed[np.ix_(at, at)] += turn.T @ (local @ turn)

    def _add_bar(self, number: int, bar: Bar) -> None:
        """The row gives the bar's stretch from the movements of all nodes."""
        at, start, end = self.places_of(bar)
        arms = np.asarray(bar.start_offset, dtype=float), np.asarray(bar.end_offset, dtype=float)
        line = end + arms[1] - start - arms[0]
        length = float(np.linalg.norm(line))
        if length == 0.0:
            raise ValueError(f"{bar.name} has no length")
        along = line / length
        row = [-along, -np.cross(arms[0], along), along, np.cross(arms[1], along)]
        np.add.at(self.rows[number], at, np.concatenate(row))
        self.stiffness[number] = bar.stiffness / length

    def loads(self, loads: Sequence[NodeLoad]) -> Array:
        """Forces and moments on all nodes."""
        total = np.zeros(6 * len(self.frame.nodes))
        for load in loads:
            at = self.at(load.node)
            total[at : at + 6] += [*load.force, *load.moment]
        return total

    def moved(self, loads: Array, tight: NDArray[np.bool_], tension: Array) -> Array:
        """Movements with the given wires tight.

        Raises:
            UnstableFrame: something can move without resistance.
        """
        give = self._give(tight)
        pull = loads - self.rows[tight].T @ tension[tight]
        if np.any(pull[give.idle & ~self.held] != 0.0):
            raise UnstableFrame("a moment acts on a node where only hinged bars meet")
        result = np.zeros_like(pull)
        wanted = give.scale * pull[give.free]
        first = give.inverse @ wanted
        better = first + give.inverse @ (wanted - give.scaled @ first)
        result[give.free] = give.scale * better
        return result

    def _give(self, tight: NDArray[np.bool_]) -> _Give:
        """The frame with the given wires tight, turned round once and kept."""
        key = tight.tobytes()
        if key not in self.known:
            rows, k = self.rows[tight], self.stiffness[tight]
            stiff = self.fixed + rows.T @ (k[:, None] * rows)
            # A node where only hinged bars meet has turns that nothing resists and nothing needs.
            idle = np.diag(stiff) == 0.0
            idle &= np.tile([False] * 3 + [True] * 3, len(self.frame.nodes))
            free = ~self.held & ~idle
            scale = self._scale(stiff, free)
            scaled = stiff[np.ix_(free, free)] * np.outer(scale, scale)
            self._refuse_mechanism(scaled, free)
            inverse = np.asarray(np.linalg.inv(scaled), dtype=np.float64)
            self.known[key] = _Give(idle, free, scale, scaled, inverse)
        return self.known[key]

    def _scale(self, stiff: Array, free: NDArray[np.bool_]) -> Array:
        diagonal = np.diag(stiff)[free]
        if np.any(diagonal <= 0.0):
            self._refuse(int(np.flatnonzero(free)[np.argmin(diagonal)]))
        return np.asarray(1.0 / np.sqrt(diagonal))

    def _refuse_mechanism(self, scaled: Array, free: NDArray[np.bool_]) -> None:
        if not free.any():
            return
        try:
            if float(np.diag(np.linalg.cholesky(scaled)).min()) ** 2 > _FLOPPY:
                return
        except np.linalg.LinAlgError:
            pass
        loose = np.abs(np.linalg.eigh(scaled)[1][:, 0])
        self._refuse(int(np.flatnonzero(free)[int(np.argmax(loose > 0.9 * loose.max()))]))

    def _refuse(self, freedom: int) -> None:
        name = self.frame.nodes[freedom // 6].name
        how = "moves along" if freedom % 6 < 3 else "turns about"
        raise UnstableFrame(f"{name} {how} {'xyz'[freedom % 3]} without resistance")


def _settle(a: _Assembly, loads: Array, tension: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Switch wires off and on until none changes: movements, tensions, which are tight."""
    only_pulls = np.array([bar.only_pulls for bar in a.frame.bars], dtype=bool)
    tight = np.ones(len(a.frame.bars), dtype=bool)
    seen: set[bytes] = set()
    for _ in range(_MOST_ROUNDS):
        moved = a.moved(loads, tight, tension)
        pulls = tension + a.stiffness * (a.rows @ moved)
        level = 1e-9 * float(np.abs(pulls).max(initial=0.0))
        wrong = only_pulls & ((tight & (pulls < -level)) | (~tight & (pulls > level)))
        if not wrong.any():
            return moved, np.where(tight, pulls, 0.0), tight
        if tight.tobytes() in seen:  # they chase each other: change the worst one alone
            worst = int(np.argmax(np.where(wrong, np.abs(pulls), 0.0)))
            wrong = np.arange(len(wrong)) == worst
        seen.add(tight.tobytes())
        tight = tight ^ wrong
    raise UnstableFrame("the wires do not settle: there is no state in which the slack ones stay")


def solve_frame(frame: Frame, loads: Sequence[NodeLoad] = ()) -> FrameAnswer:
    """How a frame stands under loads on its nodes.

    Raises:
        UnstableFrame: something moves without resistance, once the slack wires are out; the first
            node of that movement is named.
        ValueError: an element without length, an unknown node, a name used twice.

    Source: McGuire, Gallagher & Ziemian, Matrix Structural Analysis, chapters 4 and 5.
    """
    return solve_all(frame, [loads])[0]


def solve_all(frame: Frame, cases: Sequence[Sequence[NodeLoad]]) -> list[FrameAnswer]:
    """How one frame stands under each of several loads; put together once.

    Raises:
        UnstableFrame, ValueError: as ``solve_frame``.
    """
    a = _Assembly(frame)
    return [_answer(a, loads) for loads in cases]


def _answer(a: _Assembly, loads: Sequence[NodeLoad]) -> FrameAnswer:
    frame, load = a.frame, a.loads(loads)
    tension = np.array([bar.tension for bar in frame.bars], dtype=float)
    moved, pulls, tight = _settle(a, load, tension)
    ends = {}
    for beam in frame.beams:
        at, _, _ = a.places_of(beam)
        force = a.local[beam.name] @ a.turns[beam.name] @ moved[at]
        ends[beam.name] = tuple(float(value) for value in force)
    inner = (a.fixed - np.diag(a.springs)) @ moved + a.rows.T @ pulls
    reaction = (inner - load).reshape(-1, 6)
    supported = a.held.reshape(-1, 6) | (a.springs.reshape(-1, 6) != 0.0)
    return FrameAnswer(
        moved=MappingProxyType(
            {n.name: _six(moved[6 * i : 6 * i + 6]) for i, n in enumerate(frame.nodes)}
        ),
        ends=MappingProxyType(ends),
        tension=MappingProxyType(
            {bar.name: float(pull) for bar, pull in zip(frame.bars, pulls, strict=True)}
        ),
        slack=tuple(bar.name for bar, on in zip(frame.bars, tight, strict=True) if not on),
        reactions=MappingProxyType(
            {
                node.name: _six(np.where(supported[i], reaction[i], 0.0))
                for i, node in enumerate(frame.nodes)
                if supported[i].any()
            }
        ),
    )


def rigged(frame: Frame, tensions: Mapping[str, float]) -> Frame | None:
    """The frame with its screws turned until the named bars carry given tensions, without load.

    tensions: by name of bar [N]; bars that are not named are as they are. None when the bars have
    nothing to pull against: in a statically determinate frame the wire only follows the screw.

    Raises:
        UnstableFrame: something moves without resistance with all bars in place.
    """
    a = _Assembly(frame)
    names = [bar.name for bar in frame.bars]
    if unknown := sorted(set(tensions) - set(names)):
        raise ValueError(f"there is no bar {unknown[0]}")
    wanted = [at for at, name in enumerate(names) if name in tensions]
    tight = np.ones(len(names), dtype=bool)
    start = np.array([bar.tension for bar in frame.bars], dtype=float)
    start[wanted] = 0.0
    nothing = a.loads(())

    def pulls(screwed: Array) -> Array:
        moved = a.moved(nothing, tight, screwed)
        return np.asarray((screwed + a.stiffness * (a.rows @ moved))[wanted])

    answer = pulls(start)
    columns = [pulls(start + np.eye(len(names))[at]) - answer for at in wanted]
    matrix = np.array(columns).T.reshape(len(wanted), len(wanted))
    if np.linalg.matrix_rank(matrix, tol=1e-9) < len(wanted):
        return None
    goal = np.array([tensions[names[at]] for at in wanted])
    start[wanted] = np.linalg.solve(matrix, goal - answer)
    bars = tuple(
        replace(bar, tension=float(value)) for bar, value in zip(frame.bars, start, strict=True)
    )
    return replace(frame, bars=bars)
