"""Which parts of a surface carry load, where the spar is, and cuts at any span."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import pairwise

from plansgen.airframe.build import LiftingSurface
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.structure.body_cut import body_cut
from plansgen.structure.builder import Builder
from plansgen.structure.covering import Covering, runs_at
from plansgen.structure.cut import Cut
from plansgen.structure.skins import Profile
from plansgen.structure.sticks import Placed, Wanted, lay_all, place_all, touched
from plansgen.structure.stock import Stick, skin_of, stick_of

__all__ = ["Members", "body_cut"]

_SPAR_BAND = 0.06  # runs within so much of the chord from the strongest belong to the spar
_OUTERMOST = 0.05  # spar parts that end within so much of the span of its end go with it
_NO_SPAR = 0.25  # share of the chord that loads are given about when there is no spar
_POINTED = 1e-3  # a chord shorter than this is a point [m]


class Members:
    """The members of one half of a surface: skins that cover it and sticks that run along it.

    Parts given by area or length and a place carry nothing along the span: ribs, gussets. Parts of
    whose strength nothing is known (tape, film) are left out and named in each cut's ``ignored``.
    A hinged control carries nothing: the skins end at its hinge line, closed by a strip there.
    Skins meet at the leading and the trailing edge.
    """

    def __init__(
        self,
        surface: LiftingSurface,
        parts: Sequence[Part],
        materials: Mapping[str, Material],
        covering: Covering | None = None,
    ) -> None:
        """Sort the parts. covering: the skins, where they are laid already."""
        self.surface = surface
        self.materials = materials
        self.covering = covering or Covering(surface, parts, materials)
        self.skins = self.covering.skins
        self.runs = tuple(part for part in parts if part.run is not None)
        self._cuts: dict[tuple[object, ...], Cut] = {}

    @property
    def tip(self) -> float:
        """Developed span of the half. [m]"""
        return self.surface.stations[-1].span

    @cached_property
    def structural_runs(self) -> tuple[Part, ...]:
        """Sticks that carry load along the span, joiners included, controls' own left out."""
        return tuple(
            part
            for part in self.runs
            if part.run is not None
            and stick_of(part, self.materials, span=part.run.from_, damp=False) is not None
            and part.run.at <= self.covering.hinge((part.run.from_ + part.run.to) / 2) + 1e-9
        )

    @cached_property
    def spar_parts(self) -> tuple[Part, ...]:
        """The strongest run, by EA times the depth there squared, and those close by it."""
        runs = [part for part in self.structural_runs if part.joins is None]
        if not runs:
            return ()
        strongest = max(runs, key=self._worth)
        assert strongest.run is not None
        place = strongest.run.at
        return tuple(p for p in runs if p.run is not None and abs(p.run.at - place) <= _SPAR_BAND)

    def _worth(self, part: Part) -> float:
        assert part.run is not None
        middle = (part.run.from_ + part.run.to) / 2
        stick = stick_of(part, self.materials, span=middle, damp=False)
        assert stick is not None  # structural runs have one
        low, high = self.covering.profile(middle).heights(part.run.at)
        length = part.run.to - part.run.from_
        return stick.solid.modulus * stick.area * part.count * (high - low) ** 2 * length

    @cached_property
    def spar_share(self) -> float:
        """Share of the chord that the spar lies at: where loads are given about."""
        if not self.spar_parts:
            return _NO_SPAR
        best = max(self.spar_parts, key=self._worth)
        assert best.run is not None
        return best.run.at

    @cached_property
    def reach(self) -> float:
        """Developed span at which the spar ends; 0 without one. [m]"""
        return max((part.run.to for part in self.spar_parts if part.run), default=0.0)

    @cached_property
    def ends(self) -> tuple[float, ...]:
        """Developed spans at which a member begins or ends: steps in stiffness. [m]"""
        found: set[float] = set()
        for part in self.structural_runs:
            assert part.run is not None
            found |= {part.run.from_, part.run.to}
        for part in self.skins:
            if skin_of(part, self.materials, damp=False) is not None:
                found |= {part.from_ or 0.0, part.to if part.to is not None else self.tip}
        return tuple(sorted(span for span in found if 0 < span < self.tip))

    def cut(
        self,
        span: float,
        *,
        damp: bool = False,
        reach: float | None = None,
        only_skin: bool = False,
        without_joiners: bool = False,
    ) -> Cut:
        """Cut the surface at a developed span, at right angles to its panel. [m]

        A member that ends at the span is not cut, one that begins there is; at the tip all that
        reach it are.

        Args:
            span: where.
            damp: with what strength and stiffness paper and board have left.
            reach: where the spar shall end instead of where it does.
            only_skin: without the spar and what joins it.
            without_joiners: without parts that carry through a joint.
        """
        key = (span, damp, reach, only_skin, without_joiners)
        if key not in self._cuts:
            self._cuts[key] = self._cut(span, damp, reach, only_skin, without_joiners)
        return self._cuts[key]

    def _cut(
        self, span: float, damp: bool, reach: float | None, only_skin: bool, without: bool
    ) -> Cut:
        profile = self.covering.profile(span)
        axis = (self.spar_share * profile.chord, 0.0)
        builder = Builder()
        joiners = [p.name for p in self.runs if p.joins is not None and self._runs_at(p, span)]
        if profile.chord < _POINTED:
            return builder.cut(span, axis=axis)
        shell, unknown = self.covering.shell(span, damp=damp)
        wanted, ignored = [], list(unknown)
        for part in self.runs:
            if only_skin and (part in self.spar_parts or part.joins is not None):
                continue
            if (without and part.joins is not None) or not self._runs_at(part, span, reach):
                continue
            if part.run is not None and part.run.at > shell.end + 1e-9:
                continue
            stick = stick_of(part, self.materials, span=span, damp=damp)
            if stick is None:
                ignored.append(part.name)
            elif part in self.structural_runs:
                wanted.append(self._wanted(part, stick, profile, span))
        placed = place_all(wanted, shell)
        shell.lay(builder, touched(placed, shell))
        lay_all(builder, placed, shell)
        return builder.cut(span, axis=axis, ignored=ignored, joiners=() if without else joiners)

    def sticks_at(self, span: float) -> tuple[Placed, ...]:
        """Every stick that runs through a developed span, where it sits in the section. [m]

        Joiners and a control's own are among them; parts of unknown strength are not.
        """
        profile = self.covering.profile(span)
        if profile.chord < _POINTED:
            return ()
        wanted = []
        for part in self.runs:
            stick = stick_of(part, self.materials, span=span, damp=False)
            if stick is not None and self._runs_at(part, span):
                wanted.append(self._wanted(part, stick, profile, span))
        return place_all(wanted, self.covering.shell(span, damp=False)[0])

    def _runs_at(self, part: Part, span: float, reach: float | None = None) -> bool:
        assert part.run is not None
        outboard = part.run.to
        if reach is not None and part in self.spar_parts:
            if outboard > self.reach - _OUTERMOST * self.tip:
                outboard = max(outboard, reach)
            outboard = min(outboard, reach)
        return runs_at(span, part.run.from_, outboard, tip=self.tip)

    def _wanted(self, part: Part, stick: Stick, profile: Profile, span: float) -> Wanted:
        assert part.run is not None
        panel = next(
            (b.span - a.span for a, b in pairwise(self.surface.stations) if span < b.span),
            self.tip,
        )
        return Wanted(
            stick=stick,
            x=part.run.at * profile.chord,
            lies=part.lies or "middle",
            count=part.count,
            free_length=min(panel, part.run.to - part.run.from_),
        )
