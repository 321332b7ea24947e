"""What a started design needs to hold: spars of wings, strips in tails, longerons in the body."""

from __future__ import annotations

import math
from dataclasses import dataclass

from plansgen.library.tables import materials
from plansgen.starter import spars
from plansgen.starter.entries import Entry, Sheet
from plansgen.starter.layouts import Outline, Placed
from plansgen.starter.sizing import GRAVITY
from plansgen.structure import elastic

FOLD_SHARE = 0.10  # thickness of a folded wing over its chord; common practice, no source
LEAST_FOLD = 2.0  # mm of spar between the skins; below it a flat plate is the better wing
TAIL_LOAD = 5.0  # times the wing's loading in steady flight, on a tail; estimate
STRONG_WEB = ("birch-ply-0.8mm", 0.8)  # mm; where the sheet is too soft for a web
# Times the load of steady flight, with the control thrown over at speed; estimate
CONTROL_LOADS = {"elevator": 1.2, "elevon": 1.2}
_SOFT = 3.0  # below it skins and boxes may buckle, from drafts worked out (estimate)
_UNEVEN = 0.3  # standard deviation of strength; hand-picked wood is better (estimate)
_FOAM = 150e6  # Pa; plain foam is below, whatever is faced above (estimate)
_FIXED = 0.6  # of a tail's chord that is no control and carries; estimate
_SPARE = 1.6  # a bare sheet must be so much stronger than this rough load; estimate
_NARROW = 0.7  # of a body's width and height, behind the wing; by its drawing


@dataclass(frozen=True)
class Strength:
    """Sizes of what carries load, by hand sums. mass: flying [kg]."""

    outline: Outline
    sheet: Sheet
    mass: float

    @property
    def _elastic(self) -> elastic.Sheet | None:
        return elastic.sheet_of(materials()[self.sheet.material])

    @property
    def _lifting(self) -> tuple[Placed, ...]:
        return tuple(one for one in self.outline.surfaces if one.role in ("wing", "canard"))

    @property
    def is_too_soft(self) -> bool:
        """Whether the sheet may buckle or twist too easily at this size, whatever sticks it has.

        By its bending stiffness over what a square of wing carries, √(D D')/(W/S c³), along and
        across; by its modulus, where plain foam is the whole wing; and by the scatter of its
        strength: weak sheet buckles early, and caps that kept it from that would be planks.
        """
        material = materials()[self.sheet.material]
        along, across = self._elastic, elastic.sheet_of(material, across=True)
        if along is None or across is None:
            return False
        area = sum(one.panel.area for one in self._lifting) * 1e-6
        chord = self.outline.chord / 1000
        carried = self.mass * GRAVITY / area * chord**3
        if self._spread > _UNEVEN:
            return True
        foam = along.axial < _FOAM * along.thickness
        return math.sqrt(along.bending * across.bending) < _SOFT * carried or (
            foam and not all(self.is_folded(one) for one in self._lifting)
        )

    @property
    def _scatter(self) -> float:
        """How much stiffer caps must be so that weak skins hold too, at least 1.

        Two standard deviations off a skin's strength leave 1 - 2 s of it; checks want 1 of that,
        and 2 of the mean, so (1/(1 - 2 s))/2.
        """
        return max(1.0, 0.5 / max(1 - 2 * self._spread, 0.2))

    @property
    def _spread(self) -> float:
        sheet = self._elastic
        return max(ply.solid.spread for ply in sheet.plies) if sheet else 0.0

    def is_folded(self, placed: Placed) -> bool:
        """Whether a surface is of sheet folded over a spar; else it is a plate."""
        tip = FOLD_SHARE * placed.panel.tip - 2 * self.sheet.thickness
        return placed in self._lifting and tip >= LEAST_FOLD

    def force(self, placed: Placed) -> float:
        """Force on both halves of a surface in the hardest case it is sized for. [N]

        A fin has one half, and the force is twice what it carries.
        """
        area = sum(one.panel.area for one in self._lifting)
        factor = TAIL_LOAD
        if placed in self._lifting:
            factor = spars.load_factor(mass=self.mass, area=area * 1e-6)
            factor *= CONTROL_LOADS.get(placed.control, 1.0)
        return factor * self.mass * GRAVITY * placed.panel.area / area * 2 / placed.panel.halves

    def spar(self, placed: Placed, name: str, *, folded: bool) -> list[Entry]:
        """What runs along a surface; nothing where bare sheet holds."""
        panel, sheet = placed.panel, self.sheet
        force = self.force(placed)
        moment = spars.root_moment(force=force, half=panel.half)
        if folded:
            moment *= self._scatter
            root, tip = (FOLD_SHARE * c - 2 * sheet.thickness for c in (panel.root, panel.tip))
            span = spars.Span(name, panel.half, root, root + spars.REACH * (tip - root))
            web = (sheet.material, sheet.thickness)
            holds = spars.web_force(self._elastic, height=0.6 * root)
            if holds < spars.RESERVE * force / 2:
                web = STRONG_WEB
            return spars.box_spar(span, moment=moment, web=web[0], thickness=web[1])
        is_tail = placed not in self._lifting
        bare = spars.plate_moment(self._elastic, chord=_FIXED * panel.root)
        if is_tail and bare > _SPARE * moment:
            return []
        span = spars.Span(name, panel.half, sheet.thickness, sheet.thickness)
        return [spars.plate_spar(span, moment=moment, at=0.5 if is_tail else 0.3)]

    def longerons(self, *, nose: int, end: int, width: float, height: float) -> list[Entry]:
        """Strips in the corners of the body, where its sheet alone is too soft for the tail.

        nose: length ahead of the foremost surface. end: of the body. width, height: of it. [mm]
        """
        wing = self.outline.wings[0]
        moment = max(
            self.force(one) / 2 * one.panel.halves * abs(one.quarter - wing.quarter)
            for one in self.outline.surfaces
            if one not in self.outline.wings
        )
        bare = spars.box_moment(self._elastic, width=_NARROW * width, height=_NARROW * height)
        if bare > _SPARE * moment:
            return []
        start = round(0.6 * nose)
        return [spars.longerons(moment=moment, height=_NARROW * height, start=start, end=end - 5)]
