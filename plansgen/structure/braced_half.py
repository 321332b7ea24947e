"""The starboard half of every braced wing as a frame of beams, bars and wires.

Each half becomes a row of beams along its spar line with the stiffness of its cuts; the root is
clamped by symmetry and by the body. Struts and wires are hinged at both ends; a wire only pulls.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.structure.along import Array, Forces, reference_line, resultants
from plansgen.structure.braces import Brace, Held, Vector
from plansgen.structure.frame import (
    CLAMPED,
    Bar,
    Beam,
    Frame,
    FrameAnswer,
    Node,
    NodeLoad,
    rigged,
    solve_all,
)
from plansgen.structure.section import properties
from plansgen.structure.span_loads import SpanLoad

if TYPE_CHECKING:
    from plansgen.structure.members import Members

CaseLoads = Mapping[str, SpanLoad]  # of one case, by key of surface

_PIECES = 16  # beams along a half, before steps and wire ends are added
_BESIDE = 1e-6  # m; the load is told on both sides of a wire's end
_SAME = 2.5e-3  # of the half span; nodes closer than this are one, lest the numbers get stiff
_SOFTEST = 1e-3  # of the greatest stiffness: where nothing of known strength runs
_NAMES = ("shear", "bending", "torque", "chord_shear", "chord_bending", "axial")


@dataclass(frozen=True)
class WingBeam:
    """A half surface as a beam: stiffness at some spans, straight between them. [N, N m²]"""

    surface: LiftingSurface
    axis: float
    spans: tuple[float, ...]
    axial: tuple[float, ...]
    bending: tuple[float, ...]
    chord_bending: tuple[float, ...]
    torsion: tuple[float, ...]
    hinged: bool = False


def wing_beam(surface: LiftingSurface, members: Members, *, hinged: bool = False) -> WingBeam:
    """A half surface as a beam, by its cuts."""
    tip = surface.stations[-1].span
    steps = [place for end in members.ends for place in (end - 1e-4 * tip, end + 1e-4 * tip)]
    even = np.linspace(0.0, 0.98 * tip, _PIECES + 1).tolist()
    spans = sorted({span for span in (*even, *steps) if 0.0 <= span <= 0.98 * tip})
    cuts = [properties(cut) if (cut := members.cut(span)).pieces else None for span in spans]

    def row(name: str) -> tuple[float, ...]:
        values = [0.0 if cut is None else float(getattr(cut, name)) for cut in cuts]
        floor = _SOFTEST * max(values)
        return tuple(max(value, floor) for value in values)

    return WingBeam(
        surface=surface,
        axis=members.spar_share,
        spans=tuple(spans),
        axial=row("axial"),
        bending=row("bending"),
        chord_bending=row("chord_bending"),
        torsion=row("torsion"),
        hinged=hinged,
    )


@dataclass(frozen=True)
class _Row:
    """The nodes of one half surface."""

    beam: WingBeam
    spans: Array
    points: Array

    def name(self, number: int) -> str:
        return f"{self.beam.surface.key} {number}"

    def near(self, span: float) -> int:
        return int(np.argmin(np.abs(self.spans - span)))


def _row(beam: WingBeam, held: Sequence[Held]) -> _Row:
    tip = beam.surface.stations[-1].span
    ends = [h.span for h in held]
    wanted = [*ends, *(s.span for s in beam.surface.stations), *np.linspace(0.0, tip, _PIECES + 1)]
    kept: list[float] = []
    for span in wanted:  # where a brace ends goes first
        if all(abs(span - other) > _SAME * tip for other in kept):
            kept.append(float(span))
    spans = np.array(sorted(kept))
    return _Row(beam, spans, reference_line(beam.surface, spans, axis=beam.axis).points)


def _root(beam: WingBeam) -> tuple[bool, ...]:
    return (True, True, True, not beam.hinged, True, True)


def _row_parts(row: _Row) -> tuple[list[Node], list[Beam]]:
    nodes = [Node(row.name(0), _vector(row.points[0]), _root(row.beam))]
    nodes += [Node(row.name(i), _vector(row.points[i])) for i in range(1, len(row.spans))]
    middles = (row.spans[1:] + row.spans[:-1]) / 2
    ups = reference_line(row.beam.surface, middles, axis=row.beam.axis).normal
    names = ("axial", "bending", "chord_bending", "torsion")
    rows = [np.interp(middles, row.beam.spans, getattr(row.beam, name)) for name in names]
    beams = [
        Beam(
            f"{row.name(i)} out",
            row.name(i),
            row.name(i + 1),
            axial=float(rows[0][i]),
            bending=float(rows[1][i]),
            side_bending=float(rows[2][i]),
            torsion=float(rows[3][i]),
            up=_vector(ups[i]),
        )
        for i in range(len(middles))
    ]
    return nodes, beams


def _vector(values: Array) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)


class BracedHalf:
    """The frame of a braced half model."""

    def __init__(self, beams: Sequence[WingBeam], braces: Sequence[Brace]) -> None:
        """Lay out nodes, beams and braces."""
        self.braces = tuple(braces)
        held = [end for brace in braces for end in brace.ends if end is not None]
        self.rows = {
            beam.surface.key: _row(beam, [h for h in held if h.surface == beam.surface.key])
            for beam in beams
        }
        nodes: list[Node] = []
        parts: list[Beam] = []
        for row in self.rows.values():
            more, along = _row_parts(row)
            nodes += more
            parts += along
        bars = []
        for number, brace in enumerate(braces):
            ends = [self._end(brace, number, which, nodes) for which in (0, 1)]
            bars.append(
                Bar(
                    self.bar(number),
                    ends[0][0],
                    ends[1][0],
                    stiffness=brace.modulus * brace.area * brace.count,
                    only_pulls=brace.kind == "wire",
                    start_offset=ends[0][1],
                    end_offset=ends[1][1],
                )
            )
        self.frame = Frame(tuple(nodes), tuple(parts), tuple(bars))

    @staticmethod
    def bar(number: int) -> str:
        """Name of the bar of a brace by its number."""
        return f"brace {number}"

    def _end(self, brace: Brace, number: int, which: int, nodes: list[Node]) -> tuple[str, Vector]:
        place, held = (brace.start, brace.end)[which], brace.ends[which]
        if held is None:
            name = f"body {number} {which}"
            nodes.append(Node(name, place, CLAMPED))
            return name, (0.0, 0.0, 0.0)
        row = self.rows[held.surface]
        at = row.near(held.span)
        return row.name(at), _vector(np.asarray(place) - row.points[at])

    def loads(self, case: CaseLoads) -> list[NodeLoad]:
        """The lumps of a case gathered at the nodes, each with its moment about its node."""
        loads = []
        for key, row in self.rows.items():
            lumps = case[key].lumps if key in case else ()
            if not lumps:
                continue
            places = np.array([lump.place for lump in lumps])
            forces = np.array([lump.force for lump in lumps])
            at = np.array([row.near(lump.span) for lump in lumps])
            moments = np.cross(places - row.points[at], forces)
            for node in np.unique(at):
                here = at == node
                force, moment = forces[here].sum(axis=0), moments[here].sum(axis=0)
                loads.append(NodeLoad(row.name(int(node)), _vector(force), _vector(moment)))
        return loads

    def set_up(self) -> tuple[Frame, bool]:
        """The frame with its wires set as the design says, and whether they could be."""
        wanted = {
            self.bar(n): brace.preload * brace.count
            for n, brace in enumerate(self.braces)
            if brace.preload
        }
        if not wanted:
            return self.frame, True
        done = rigged(self.frame, wanted)
        return (self.frame, False) if done is None else (done, True)

    def preloads(self, cases: Sequence[Sequence[NodeLoad]]) -> list[float | None]:
        """Least rigged tension in each case, the same in each wire, that keeps all tight. [N]

        With every wire tight the frame is linear, so a wire carries its rigged tension and what
        the load changes; the least change sets the preload.
        """
        wires = {self.bar(n): b for n, b in enumerate(self.braces) if b.kind == "wire"}
        even = {name: float(brace.count) for name, brace in wires.items()}
        if not wires or rigged(self.frame, even) is None:
            return [None] * len(cases)
        hold = tuple(replace(bar, only_pulls=False) for bar in self.frame.bars)
        found = solve_all(replace(self.frame, bars=hold), cases)
        return [
            max([0.0, *(-answer.tension[name] / b.count for name, b in wires.items())])
            for answer in found
        ]

    def changed(self, case: CaseLoads, answer: FrameAnswer) -> dict[str, SpanLoad]:
        """What is left to each wing: its own load and the pulls of the braces on it."""
        result = dict(case)
        for key, row in self.rows.items():
            pulls = [
                (end, place, force)
                for number, brace in enumerate(self.braces)
                for end, place, force in _pulls(brace, answer.tension[self.bar(number)])
                if end.surface == key
            ]
            if key in case and pulls:
                result[key] = _with_pulls(case[key], row, pulls)
        return result


def _pulls(brace: Brace, tension: float) -> list[tuple[Held, Vector, Array]]:
    """The forces of a brace on the wings at its ends: towards its other end when it pulls."""
    along = (np.asarray(brace.end) - np.asarray(brace.start)) / brace.length
    ends = ((brace.ends[0], brace.start, tension), (brace.ends[1], brace.end, -tension))
    return [(end, place, force * along) for end, place, force in ends if end is not None]


def _with_pulls(load: SpanLoad, row: _Row, pulls: Sequence[tuple[Held, Vector, Array]]) -> SpanLoad:
    """A load with point forces added. It is told on both sides of each."""
    at = np.array([row.spans[row.near(held.span)] for held, _, _ in pulls])
    tip = load.spans[-1]
    beside = np.concatenate([at - _BESIDE, at + _BESIDE])
    spans = np.unique([*load.spans, *beside[(beside > 0.0) & (beside < tip)]])
    line = reference_line(row.beam.surface, spans, axis=row.beam.axis)
    places = np.array([place for _, place, _ in pulls])
    more = resultants(line, Forces.points(places, np.array([f for _, _, f in pulls]), at))
    values = {
        name: tuple(
            (np.interp(spans, load.spans, getattr(load, name)) + getattr(more, name)).tolist()
        )
        for name in _NAMES
    }
    return replace(load, spans=tuple(spans.tolist()), **values)  # type: ignore[arg-type]
