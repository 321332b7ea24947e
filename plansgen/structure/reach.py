"""How far out the spar must go: reserve factor against spar reach, and the step at its end.

Two curves are worked out once, each the least of all cases: the reserve factor with the spar going
all the way, and that of the skin alone. A spar that ends at r then gives the least of the first
inboard of r and of the second outboard of it, at its very end both. The least reach lies where the
skin alone comes up to the wanted reserve for good; it is closed in on with the skin itself.

Source: the same sections and loads as everywhere here. The rise of stress at a blunt end is an
estimate, after the stepped flat bar in bending with a small fillet: W. D. Pilkey, *Peterson's
Stress Concentration Factors*.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from plansgen.structure.margins import Half, load_at, margins_of
from plansgen.structure.reserve import CAP
from plansgen.structure.section import properties
from plansgen.structure.span_loads import SpanLoad
from plansgen.structure.strength import Reach, ReachPoint

BLUNT = 1.5  # rise of stress in the skin at a spar's square-cut end; estimate
_SHORTEST = 0.2  # of the half span
_ROUNDS = 6  # finds the reach to some 0.01 % of the half span, on the safe side
_NEAREST = 0.1  # of what is left


@dataclass(frozen=True)
class SparReach:
    """The two curves, and what follows from them.

    half: as built. spans: where to look. [m]
    """

    half: Half
    loads: tuple[SpanLoad, ...]
    spans: tuple[float, ...]

    @cached_property
    def whole(self) -> Half:
        """The half with its spar going to the tip."""
        return self.half.other(reach=self.half.tip)

    @cached_property
    def skin(self) -> Half:
        """The half without a spar."""
        return self.half.other(reach=0.0)

    @cached_property
    def with_spar(self) -> tuple[float, ...]:
        """Least reserve factor at each span, spar and all."""
        found = margins_of(self.whole, self.loads, self.spans)
        return tuple(min(column) for column in zip(*(m.reserves for m in found), strict=True))

    @cached_property
    def alone(self) -> tuple[float, ...]:
        """Least reserve factor of the skin alone at each span."""
        return tuple(self.skin_alone(span) for span in self.spans)

    def skin_alone(self, span: float) -> float:
        """The same at one span; 0 where nothing of known strength is left to carry it."""
        return min(self.skin_in_each(span))

    def skin_in_each(self, span: float) -> list[float]:
        """The same in each case."""
        if not self.skin.cut(span).pieces:
            return [0.0] * len(self.loads)
        return [each.least for each in margins_of(self.skin, self.loads, [span])]

    def reserve(self, reach: float) -> float:
        """Least reserve factor of the half when the spar ends at one of the spans, or the tip.

        At its very end both with and without it count.
        """
        rows = zip(self.spans, self.with_spar, self.alone, strict=True)
        sides = [min(w if s <= reach else CAP, a if s >= reach else CAP) for s, w, a in rows]
        return min(sides, default=CAP)

    def least(self, wanted: float) -> float | None:
        """Least reach that gives the wanted reserve factor; None when no reach does. [m]"""
        weak = [k for k, reserve in enumerate(self.alone) if reserve < wanted]
        if not weak:
            return 0.0
        last = weak[-1]
        if min(self.with_spar[: last + 1]) < wanted:
            return None
        if last + 1 == len(self.spans):
            return self.half.tip
        return self._closed_in(last, wanted)

    def _closed_in(self, last: int, wanted: float) -> float:
        """Where the skin alone comes up to the wanted reserve, beyond the last span that does not.

        First half the way, where steps lie, then on a straight line of load over strength; never
        so near to an end that the other end stays where it is.
        """
        low, high = self.spans[last : last + 2]
        below, above, share = self.alone[last], self.alone[last + 1], 0.5
        for _ in range(_ROUNDS):
            place = low + share * (high - low)
            reserve = self.skin_alone(place)
            if reserve < wanted:
                low, below = place, reserve
            else:
                high, above = place, reserve
            if below > 0.0:
                line = (1 / below - 1 / wanted) / (1 / below - 1 / above)
                share = min(max(line, _NEAREST), 1.0 - _NEAREST)
        return high


def reach_of(
    half: Half, loads: Sequence[SpanLoad], spans: tuple[float, ...], *, wanted: float
) -> Reach | None:
    """Answer everything about the reach of the spar in all cases; None where there is no spar.

    loads: of every case, at least one. spans: where to look [m]. wanted: the reserve factor wanted.
    """
    now = half.members.reach
    if not half.members.spar_parts or now <= 0.0:
        return None
    tip = half.tip
    both = SparReach(half, tuple(loads), spans)
    places = [span for span in spans if span >= _SHORTEST * tip]
    inside, outside = half.beside(now)
    least = both.least(wanted)
    skins = both.skin_in_each(outside)
    skin = min(skins)
    load = loads[skins.index(skin)]
    return Reach(
        case=load.case,
        now=now,
        now_share=now / tip,
        points=tuple(ReachPoint(r, r / tip, both.reserve(r)) for r in (*places, tip)),
        wanted=wanted,
        least=least,
        least_share=None if least is None else least / tip,
        stiffness_in=properties(half.cut(inside)).bending,
        stiffness_out=_bending(both.skin, outside),
        bending_there=load_at(load, now)["bending"],
        skin_reserve=skin,
        blunt_reserve=skin / BLUNT,
    )


def _bending(half: Half, span: float) -> float:
    cut = half.cut(span)
    return properties(cut).bending if cut.pieces else 0.0
