"""Everything about the strength of one surface, from its cuts and the loads on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from plansgen.structure.cases import LoadCase
from plansgen.structure.compare import compare_box, compare_sticks
from plansgen.structure.deflection import Deflection, deflection
from plansgen.structure.margins import Build, Half, Margins, loads_at, margins_of, weakest
from plansgen.structure.reach import reach_of
from plansgen.structure.section import properties
from plansgen.structure.span_loads import SpanLoad
from plansgen.structure.strength import CaseStrength, SurfaceStrength
from plansgen.structure.suggest import Judge, Wanted, suggestions_for
from plansgen.structure.views import cut_views

SHOWN = "pull-up"  # the case that section drawings show
_DAMP_CUTS = 5  # of each case
_SOFTEST = 1e-3  # of the greatest stiffness: where nothing of known strength runs


@dataclass(frozen=True)
class LoadedSurface:
    """A surface of known strength and what it must stand.

    half: its cuts, made once. loads: of each case, as bracing leaves them. body_edge: where it
    leaves the body. [m]
    """

    build: Build
    half: Half
    loads: tuple[tuple[LoadCase, SpanLoad], ...]
    body_edge: float

    @cached_property
    def spans(self) -> tuple[float, ...]:
        """Where its margins are worked out: where cuts change, stations and controls too. [m]"""
        surface = self.build.surface
        edges = [edge for c in surface.controls for edge in (c.inboard, c.outboard)]
        bends = [station.span for station in surface.stations[1:-1]]
        inside = [span for span in (*edges, *bends) if 0.0 < span < self.half.tip]
        return self.half.stations(inside)

    @cached_property
    def stiffness(self) -> tuple[tuple[float, ...], ...]:
        """EI against lift, EI along the chord and GJ at ``spans``. [N m²]"""
        rows = []
        for name in ("bending", "chord_bending", "torsion"):
            values = [
                float(getattr(properties(cut), name)) if cut.pieces else 0.0
                for cut in map(self.half.cut, self.spans)
            ]
            floor = _SOFTEST * max(values)
            rows.append(tuple(max(value, floor) for value in values))
        return tuple(rows)

    def bent(self, load: SpanLoad) -> Deflection:
        """How it bends and twists under a load."""
        bending, chord_bending, torsion = self.stiffness
        return deflection(
            load, spans=self.spans, bending=bending, chord_bending=chord_bending, torsion=torsion
        )


def surface_strength(loaded: LoadedSurface, *, wanted: float) -> SurfaceStrength | None:
    """Work out everything about one surface; None where nothing of it is stressed.

    The worst place, the spar's reach and the advice are for the cases of service; crashes and all
    that a wing can pull have their reserve factors told, but no advice.

    wanted: the reserve factor wanted.
    """
    cases = _cases(loaded)
    if not cases:
        return None
    asked = [one for one in cases if one.case.in_service] or list(cases)
    worst = min((case.weakest for case in asked), key=lambda place: place.reserve)
    build, half, surface = loaded.build, loaded.half, loaded.build.surface
    by_key = {load.case: load for _, load in loaded.loads}
    stood = tuple(by_key[one.case.key] for one in asked)
    least = tuple(min(case.reserves[k] for case in asked) for k in range(len(loaded.spans)))
    judge = Judge(build, stood, loaded.spans, least)
    reach = reach_of(half, stood, loaded.spans, wanted=wanted)
    sticks = compare_sticks(
        build,
        half,
        now=worst.reserve,
        least=lambda number, part: judge.changed(number, part, roughly=True),
    )
    ask = Wanted(build, half, judge, worst, wanted)
    shown = by_key.get(SHOWN, by_key[worst.case])
    return SurfaceStrength(
        surface=surface.key,
        title=surface.title,
        axis=half.members.spar_share,
        cases=cases,
        worst=worst,
        reach=reach,
        sticks=sticks,
        box=compare_box(half),
        cuts=cut_views(surface, half, shown, body_edge=loaded.body_edge),
        suggestions=suggestions_for(ask, reach, sticks),
        ignored=_ignored(half, loaded.spans),
        assumed=_assumed(loaded),
    )


def _cases(loaded: LoadedSurface) -> tuple[CaseStrength, ...]:
    loads = [load for _, load in loaded.loads]
    dry = margins_of(loaded.half, loads, loaded.spans)
    damp = _damp(loaded, loads, dry)
    found = []
    for (case, load), margin, wet in zip(loaded.loads, dry, damp, strict=True):
        worst = weakest(margin, case=case.key, tip=loaded.half.tip, damp=wet)
        if worst is None:
            continue
        there, bent = loads_at(load, loaded.spans), loaded.bent(load)
        found.append(
            CaseStrength(
                case=case,
                spans=loaded.spans,
                shear=_plain(row["shear"] for row in there),
                bending=_plain(row["bending"] for row in there),
                torque=_plain(row["torque"] for row in there),
                reserves=margin.reserves,
                weakest=worst,
                tip_deflection=bent.tip_up,
                tip_twist=bent.tip_twist,
            )
        )
    return tuple(found)


def _plain(values: Iterable[float]) -> tuple[float, ...]:
    """Six digits, which no load is known to."""
    return tuple(float(f"{value:.6g}") for value in values)


def _damp(
    loaded: LoadedSurface, loads: Sequence[SpanLoad], dry: Sequence[Margins]
) -> list[Margins]:
    """Every case with everything damp, at the cuts that are weakest dry in some case."""
    return margins_of(loaded.half.other(damp=True), loads, weak_places(dry))


def weak_places(dry: Sequence[Margins]) -> tuple[float, ...]:
    """Where to look damp: the weakest few cuts of every case, inboard first. [m]

    Damp moves load to what minds it least, so the weakest cut may become another one; on wings of
    paper and wood it was always among the few, or within 2 % of them.
    """
    found: set[float] = set()
    for margin in dry:
        order = sorted(zip(margin.reserves, margin.spans, strict=True))
        found |= {span for _, span in order[:_DAMP_CUTS]}
        if margin.worst is not None:
            found.add(margin.worst[0])
    return tuple(sorted(found))


def _ignored(half: Half, spans: Sequence[float]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for span in spans for name in half.cut(span).ignored))


def _assumed(loaded: LoadedSurface) -> tuple[str, ...]:
    """What had to be filled in, in words."""
    bare = [span for span in loaded.spans if not loaded.half.cut(span).pieces]
    words = []
    if bare:
        words.append(
            f"nothing of known strength runs from {min(bare) * 1000:.0f} to "
            f"{max(bare) * 1000:.0f} mm; it is not judged there"
        )
    loose = [
        part.name
        for part in loaded.half.members.structural_runs
        if part.lies is None and part.joins is None
    ]
    if loose:
        words.append(
            f"{', '.join(loose)}: the file does not say where it lies, so it is taken in the "
            "middle of the height, where it helps least"
        )
    return tuple(words)
