"""Reserve factors along one half of a surface: every part, every kind of failure, every case.

A cut and its properties belong to the station and not to the case, so each is made once and kept.

Source: strength over stress, the reserve factor of the stress handbooks; E. F. Bruhn, *Analysis and
Design of Flight Vehicle Structures*.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.library.models.parts import Part
from plansgen.library.tables import Material
from plansgen.structure.cut import Cut, Stress
from plansgen.structure.members import Members
from plansgen.structure.reserve import CAP
from plansgen.structure.section import stresses
from plansgen.structure.span_loads import SpanLoad
from plansgen.structure.strength import Weakest

SCATTER = 2.0  # standard deviations that weak material lies below the mean
_STATIONS = 28
_BESIDE = 1e-5  # of the half span: how far beside a step a cut is made
_LAST = 0.98  # of the half span: beyond it there is hardly a section or a load
_SAME = 1e-6
_NAMES = ("shear", "bending", "torque", "chord_shear", "chord_bending", "axial")


@dataclass(frozen=True)
class Build:
    """What a surface is built from, so that one part can be changed and all be worked out anew."""

    surface: LiftingSurface
    parts: tuple[Part, ...]
    materials: Mapping[str, Material]

    @property
    def tip(self) -> float:
        """Length of the half along the surface. [m]"""
        return self.surface.stations[-1].span

    def half(self, *, damp: bool = False, reach: float | None = None) -> Half:
        """Its cuts. reach: where the spar ends instead. [m]"""
        members = Members(self.surface, self.parts, self.materials)
        return Half(members, tip=self.tip, damp=damp, reach=reach)

    def changed(self, changes: Mapping[int, Part]) -> Build:
        """The same with other parts at some places of the list."""
        parts = tuple(changes.get(number, part) for number, part in enumerate(self.parts))
        return Build(self.surface, parts, self.materials)


class Half:
    """The cuts of one half surface, each made once.

    reach: where the spar ends instead [m]; left out: as built. damp: all of it.
    """

    def __init__(
        self, members: Members, *, tip: float, reach: float | None = None, damp: bool = False
    ) -> None:
        self.members, self.tip, self.reach, self.damp = members, tip, reach, damp
        self._cuts: dict[float, Cut] = {}

    def other(self, *, damp: bool = False, reach: float | None = None) -> Half:
        """The same members, damp, or with the spar ending elsewhere."""
        return Half(self.members, tip=self.tip, damp=damp, reach=reach)

    def cut(self, span: float) -> Cut:
        """The cut at a span. [m]"""
        if span not in self._cuts:
            self._cuts[span] = self.members.cut(span, damp=self.damp, reach=self.reach)
        return self._cuts[span]

    def stresses(self, span: float, load: Mapping[str, float]) -> tuple[Stress, ...]:
        """What is stressed there under a load; nothing where nothing of known strength is."""
        cut = self.cut(span)
        return stresses(cut, **load) if cut.pieces else ()

    def reserve(self, span: float, load: SpanLoad) -> float:
        """Least reserve factor there, at most :data:`CAP`."""
        return least_of(self.stresses(span, load_at(load, span)))

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


def least_of(found: Iterable[Stress]) -> float:
    """Least reserve factor of several stresses, at most :data:`CAP`."""
    return min([CAP, *(stress.reserve for stress in found)])


def load_at(load: SpanLoad, span: float) -> dict[str, float]:
    """Shear, moments and pull of a load at a span, straight between its stations. [N, N m]"""
    return loads_at(load, [span])[0]


def loads_at(load: SpanLoad, spans: Sequence[float]) -> list[dict[str, float]]:
    """The same at many spans."""
    rows = np.array([np.interp(spans, load.spans, getattr(load, name)) for name in _NAMES])
    return [dict(zip(_NAMES, column, strict=True)) for column in rows.T.tolist()]


@dataclass(frozen=True)
class Margins:
    """Reserve factors of one half in one case, at most :data:`CAP`, at ``spans``.

    worst: the stress with the least reserve at its span; None where nothing is stressed. low: the
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


def margins(half: Half, load: SpanLoad, spans: Sequence[float]) -> Margins:
    """Reserve factors at some spans under a load."""
    found = [
        (span, stress)
        for span, there in zip(spans, loads_at(load, spans), strict=True)
        for stress in half.stresses(span, there)
    ]
    least = dict.fromkeys(spans, CAP)
    for span, stress in found:
        least[span] = min(least[span], stress.reserve)
    worst = min(found, key=lambda pair: pair[1].reserve, default=None)
    if worst is not None and not math.isfinite(worst[1].reserve):
        worst = None
    low = min([CAP, *(weak(stress) for _, stress in found)])
    return Margins(tuple(spans), tuple(least[span] for span in spans), worst, low)


def weak(stress: Stress) -> float:
    """Reserve factor of material that is weaker by two standard deviations."""
    return min(stress.reserve, CAP) * max(0.0, 1.0 - SCATTER * stress.spread)


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
