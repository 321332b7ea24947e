"""The skins of one half of a surface along its span, laid once for all cuts that share them.

A stick of another size, or a spar that ends elsewhere, leaves the skins as they are; most of the
work of a cut is in them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plansgen.airframe.build import LiftingSurface
from plansgen.balance.opened import left_of
from plansgen.balance.placing import placed
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.structure.skins import Laid, Profile, Shell, Side, profile_at
from plansgen.structure.stock import skin_of

_AT_TIP = 1e-9  # m

_SIDES: dict[str, tuple[Side, ...]] = {
    "both skins": ("top", "bottom"),
    "top skin": ("top",),
    "bottom skin": ("bottom",),
    "plate": ("plate",),
}


def runs_at(span: float, inboard: float, outboard: float, *, tip: float) -> bool:
    """Whether what goes from inboard to outboard is cut at a span. [m]

    What ends there is not cut, what begins there is; at the tip all that reach it are.
    """
    at_tip = span >= tip - _AT_TIP and outboard >= tip - _AT_TIP
    return inboard <= span < outboard or (inboard <= span and at_tip)


class Covering:
    """Outside and skins at any span. parts: those that cover the surface."""

    def __init__(
        self, surface: LiftingSurface, parts: Sequence[Part], materials: Mapping[str, Material]
    ) -> None:
        self.surface, self.materials = surface, materials
        self.skins = tuple(part for part in parts if part.cover is not None)
        self._profiles: dict[float, Profile] = {}
        self._shells: dict[tuple[float, bool], tuple[Shell, tuple[str, ...]]] = {}

    @property
    def tip(self) -> float:
        """Developed span of the half. [m]"""
        return self.surface.stations[-1].span

    def profile(self, span: float) -> Profile:
        """The outside at a developed span. [m]"""
        if span not in self._profiles:
            self._profiles[span] = profile_at(self.surface.stations, span)
        return self._profiles[span]

    def hinge(self, span: float) -> float:
        """Share of the chord at which a hinged control begins there, else 1."""
        shares = [
            control.chord_share
            for control in self.surface.controls
            if control.inboard <= span < control.outboard
        ]
        return 1.0 - max(shares, default=0.0)

    def shell(self, span: float, *, damp: bool) -> tuple[Shell, tuple[str, ...]]:
        """The skins at a developed span, and the names of those of unknown strength. [m]"""
        if (span, damp) not in self._shells:
            self._shells[span, damp] = self._shell(span, damp=damp)
        return self._shells[span, damp]

    def _shell(self, span: float, *, damp: bool) -> tuple[Shell, tuple[str, ...]]:
        laid, ignored = [], []
        for part in self.skins:
            outboard = part.to if part.to is not None else self.tip
            if not runs_at(span, part.from_ or 0.0, outboard, tip=self.tip):
                continue
            skin = skin_of(_spread(part, self.surface), self.materials, damp=damp)
            if skin is None:
                ignored.append(part.name)
                continue
            fore, aft = (part.over.from_, part.over.to) if part.over else (0.0, 1.0)
            laid += [Laid(skin, side, fore, aft) for side in _SIDES[str(part.cover)]]
        return Shell(self.profile(span), tuple(laid), end=self.hinge(span)), tuple(ignored)


def _spread(part: Part, surface: LiftingSurface) -> Part:
    """A skin whose openings count as spread over it evenly, as its share does."""
    if not part.openings:
        return part
    whole, _, _ = placed(part.model_copy(update={"openings": ()}), surface)
    return part.model_copy(update={"share": part.share * left_of(part, surface, whole)})
