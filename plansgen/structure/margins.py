"""Reserve factors along one half of a surface: every part, every kind of failure, every case.

A cut and its properties belong to the station and not to the case, so each is made once and kept.

Source: strength over stress, the reserve factor of the stress handbooks; E. F. Bruhn, *Analysis and
Design of Flight Vehicle Structures*.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import LiftingSurface
from plansgen.library.models.parts import Part
from plansgen.library.tables import Material
from plansgen.structure.covering import Covering
from plansgen.structure.cut import Cut, Stress
from plansgen.structure.members import Members
from plansgen.structure.reserve import CAP
from plansgen.structure.span_loads import SpanLoad
from plansgen.structure.strength import Weakest
from plansgen.structure.stress_table import NAMES, Loads, StressTable, acting_tables

Array = NDArray[np.float64]

SCATTER = 2.0  # standard deviations that weak material lies below the mean
_STATIONS = 20
_BESIDE = 1e-5  # of the half span: how far beside a step a cut is made
_LAST = 0.98  # of the half span: beyond it there is hardly a section or a load
_SAME = 1e-6
_GOES_ON = 0.06  # of the half span: spar parts that end nearer to its end are lengthened with it


@dataclass(frozen=True)
class Build:
    """What a surface is built from, so that one part can be changed and all be worked out anew.

    laid: its skins, where they are laid already.
    """

    surface: LiftingSurface
    parts: tuple[Part, ...]
    materials: Mapping[str, Material]
    laid: Covering | None = field(default=None, compare=False, repr=False)

    @cached_property
    def covering(self) -> Covering:
        """Its skins, laid once."""
        return self.laid or Covering(self.surface, self.parts, self.materials)

    @property
    def tip(self) -> float:
        """Length of the half along the surface. [m]"""
        return self.surface.stations[-1].span

    def half(self, *, damp: bool = False, reach: float | None = None) -> Half:
        """Its cuts. reach: where the spar ends instead. [m]"""
        members = Members(self.surface, self.parts, self.materials, self.covering)
        return Half(members, tip=self.tip, damp=damp, reach=reach)

    def changed(self, changes: Mapping[int, Part | None]) -> Build:
        """The same with other parts at some places of the list, or none."""
        parts = [changes.get(number, part) for number, part in enumerate(self.parts)]
        changed = [part for n in changes for part in (self.parts[n], changes[n]) if part]
        return Build(
            self.surface,
            tuple(p for p in parts if p is not None),
            self.materials,
            None if any(part.cover is not None for part in changed) else self.covering,
        )


class Half:
    """The cuts of one half surface, each made once.

    reach: where the spar ends instead [m]; left out: as built. damp: all of it. built: the same
    half as built, whose cuts are taken where another reach changes nothing.
    """

    def __init__(
        self,
        members: Members,
        *,
        tip: float,
        reach: float | None = None,
        damp: bool = False,
        built: Half | None = None,
    ) -> None:
        self.members, self.tip, self.reach, self.damp = members, tip, reach, damp
        self._built, self._cuts = built, dict[float, Cut]()

    def other(self, *, damp: bool = False, reach: float | None = None) -> Half:
        """The same members, damp, or with the spar ending elsewhere."""
        built = None if damp or self.damp or self.reach is not None else self
        return Half(self.members, tip=self.tip, damp=damp, reach=reach, built=built)

    def cut(self, span: float) -> Cut:
        """The cut at a span. [m]"""
        if self._built is not None and self._as_built(span):
            return self._built.cut(span)
        if span not in self._cuts:
            self._cuts[span] = self.members.cut(span, damp=self.damp, reach=self.reach)
        return self._cuts[span]

    def _as_built(self, span: float) -> bool:
        """Whether another reach changes nothing there; parts near the end may go on with it."""
        if self.reach is None:
            return True
        now = self.members.reach
        return span < min(self.reach, now - _GOES_ON * self.tip) or span >= max(self.reach, now)

    def reserve(self, span: float, load: SpanLoad) -> float:
        """Least reserve factor there, at most :data:`CAP`."""
        return margins(self, load, [span]).least

    def beside(self, span: float) -> tuple[float, float]:
        """Just inboard and just outboard of a step, on the surface. [m]"""
        little = _BESIDE * self.tip
        return max(span - little, 0.0), min(span + little, _LAST * self.tip)

    def stations(self, more: Sequence[float] = ()) -> tuple[float, ...]:
        """Where to look: even steps, and both sides of every step in what it is built from. [m]"""
        even = [self.tip * _LAST * k / (_STATIONS - 1) for k in range(_STATIONS)]
        steps = [*self.members.ends, *(s for s in more if s > 0.0)]
        both = [place for step in steps for place in self.beside(step)]
        return tuple(sorted({*even, *both}))


def load_at(load: SpanLoad, span: float) -> dict[str, float]:
    """Shear, moments and pull of a load at a span, straight between its stations. [N, N m]"""
    return loads_at(load, [span])[0]


def loads_at(load: SpanLoad, spans: Sequence[float]) -> list[dict[str, float]]:
    """The same at many spans."""
    rows = _rows_at(load, spans)
    return [dict(zip(NAMES, column, strict=True)) for column in rows.T.tolist()]


def _rows_at(load: SpanLoad, spans: Sequence[float]) -> Array:
    """The same as an array. (names, spans)"""
    at, *rows = load.arrays
    return np.array([np.interp(spans, at, row) for row in rows])


@dataclass(frozen=True)
class Margins:
    """Reserve factors of one half in one case, at most :data:`CAP`, at ``spans``.

    worst: the stress with the least reserve and its span; None where nothing is stressed. low: the
    least with every strength lower by two standard deviations.
    """

    spans: tuple[float, ...]
    reserves: tuple[float, ...]
    worst: tuple[float, Stress] | None
    low: float

    @property
    def least(self) -> float:
        """Least reserve factor."""
        return min(self.reserves, default=CAP)


@dataclass
class _Case:
    """One case while its cuts come in. worst: span, table, row, stress."""

    reserves: list[float]
    worst: tuple[float, StressTable, int, float] | None = None
    least: float = math.inf
    low: float = CAP

    def done(self, spans: Sequence[float]) -> Margins:
        """What was found."""
        worst = None
        if self.worst is not None:
            span, table, row, stress = self.worst
            worst = (span, table.made(row, stress))
        return Margins(tuple(spans), tuple(self.reserves), worst, self.low)


def margins_of(half: Half, loads: Sequence[SpanLoad], spans: Sequence[float]) -> list[Margins]:
    """Reserve factors at some spans under each of several loads.

    Where nothing of known strength is cut nothing is judged.
    """
    rows = np.array([_rows_at(load, spans) for load in loads])
    each = [Loads(*rows[:, :, place].T) for place in range(len(spans))]
    return margins_along(spans, [half.cut(span) for span in spans], each)


def margins_along(
    spans: Sequence[float], cuts: Sequence[Cut], loads: Sequence[Loads]
) -> list[Margins]:
    """The same for any row of cuts, with the loads on each: the same cases in the same order."""
    found = [_Case([CAP] * len(spans)) for _ in range(len(loads[0]) if loads else 0)]
    for place, (span, cut, here) in enumerate(zip(spans, cuts, loads, strict=True)):
        for table, numbers in acting_tables(cut, here) if cut.pieces else ():
            stress = table.stress(here.only(numbers))
            weak = table.strengths * np.maximum(0.0, 1.0 - SCATTER * table.spreads)
            reserve, low = _ratio(table.strengths, stress), _ratio(weak, stress)
            rows = reserve.argmin(axis=0).tolist()
            for column, number in enumerate(numbers):
                case, row = found[number], rows[column]
                least = float(reserve[row, column])
                case.reserves[place] = min(least, CAP)
                case.low = min(case.low, float(low[:, column].min()))
                if least < case.least:
                    case.least = least
                    case.worst = (span, table, row, float(stress[row, column]))
    return [case.done(spans) for case in found]


def _ratio(strengths: Array, stress: Array) -> Array:
    """Strength over stress, infinite without stress. (rows, n)"""
    ratio = np.full_like(stress, np.inf)
    np.divide(strengths[:, None], stress, out=ratio, where=stress > 0.0)
    return ratio


def margins(half: Half, load: SpanLoad, spans: Sequence[float]) -> Margins:
    """Reserve factors at some spans under one load."""
    return margins_of(half, [load], spans)[0]


def weakest(
    margin: Margins, *, case: str, tip: float, damp: Margins | None = None
) -> Weakest | None:
    """The weakest place, in the words of the result; None where nothing is stressed.

    damp: the same half, damp. tip: length of the half. [m]
    """
    if margin.worst is None:
        return None
    span, stress = margin.worst
    minds = damp is not None and abs(damp.least - margin.least) > _SAME * margin.least
    return Weakest(
        case=case,
        span=span,
        share=span / tip,
        part=stress.part,
        material=stress.material,
        kind=stress.kind,
        stress=stress.stress,
        strength=stress.strength,
        reserve=min(stress.reserve, CAP),
        low=margin.low,
        damp=damp.least if damp is not None and minds else None,
    )
