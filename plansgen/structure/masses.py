"""What hangs on a surface: its own mass, and everything that it has to carry along.

Each thing is held by another: an item by the surface or body that it sits in or nearest to, a pair
of nacelles, floats or booms by the wing above or below them, a tailplane by the body that reaches
it or else by the booms, a pair of fins by what they stand on. What is held by the middle of the
model does not load a wing. A thing on one side only is left out of the relief: the other wing goes
without it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from plansgen.airframe.build import Airframe, BodyPart, LiftingSurface, station_at
from plansgen.structure.grains import Grain, Place, near_span, nearest

MIDDLE = ""  # what holds the things on the centre line


@dataclass(frozen=True)
class Carried:
    """A grain and the developed span of the surface at which it pulls. [m]"""

    grain: Grain
    span: float


def _outside(value: float, low: float, high: float) -> float:
    """How far a value lies outside a range."""
    return max(low - value, value - high, 0.0)


def _from_surface(surface: LiftingSurface, place: Place) -> float:
    """Distance of a place from a surface. [m]"""
    across, span = nearest(surface, place)
    station = station_at(surface.stations, span)
    return math.hypot(across, _outside(place[0], station.x, station.x + station.chord))


def _from_body(body: BodyPart, place: Place) -> float:
    """Distance of a place from a body's box. [m]"""
    x, y, z = place
    best = math.inf
    for fore, aft in pairwise(body.frames):
        share = min(max((x - fore.x) / (aft.x - fore.x), 0.0), 1.0)
        cy, cz, width, height = (
            getattr(fore, n) + (getattr(aft, n) - getattr(fore, n)) * share
            for n in ("y", "z", "width", "height")
        )
        along = _outside(x, fore.x, aft.x)
        sideways = max(abs(y - cy) - width / 2, 0.0)
        upright = max(abs(z - cz) - height / 2, 0.0)
        best = min(best, math.hypot(along, sideways, upright))
    return best


def _reaches(body: BodyPart, x: float) -> bool:
    return body.frames[0].x <= x <= body.frames[-1].x


def _middle_of_root(surface: LiftingSurface) -> Place:
    root = surface.stations[0]
    return (root.x + root.chord / 2, root.y, root.z)


def _half_width(bodies: Sequence[BodyPart], x: float) -> float:
    """Half the width of the bodies on the centre line at a place along them. [m]"""
    widths = [0.0]
    for body in bodies:
        for fore, aft in pairwise(body.frames):
            if fore.x <= x <= aft.x:
                share = (x - fore.x) / (aft.x - fore.x)
                widths.append((fore.width + (aft.width - fore.width) * share) / 2)
    return max(widths)


@dataclass
class Holders:
    """What holds what in one airframe."""

    airframe: Airframe
    _parents: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Look once at what holds each surface and body."""
        self._surfaces = {s.key: s for s in self.airframe.surfaces}
        self._bodies = {b.key: b for b in self.airframe.bodies}
        self._centre = [b for b in self.airframe.bodies if not b.mirrored]
        self._parents = {s.key: self._holds_surface(s) for s in self.airframe.surfaces}
        self._parents |= {b.key: self._holds_body(b) for b in self.airframe.bodies}

    def _wings(self) -> list[LiftingSurface]:
        return [s for s in self.airframe.surfaces if s.role == "wing"]

    def _holds_body(self, body: BodyPart) -> str:
        """The wing that a pair of bodies hangs on."""
        if not body.mirrored:
            return MIDDLE
        middle = body.frames[len(body.frames) // 2]
        if abs(middle.y) <= _half_width(self._centre, middle.x):
            return MIDDLE
        return min(self._wings(), key=lambda w: self._apart(w, body)).key

    @staticmethod
    def _apart(wing: LiftingSurface, body: BodyPart) -> float:
        return min(_from_surface(wing, (f.x, f.y, f.z)) for f in body.frames)

    def _holds_surface(self, surface: LiftingSurface) -> str:
        """What a tail stands on; wings are held by the middle."""
        place = _middle_of_root(surface)
        pairs = [b for b in self.airframe.bodies if b.mirrored]
        if surface.role == "wing":
            return MIDDLE
        if surface.role == "fin":
            return self._under_fin(surface) if surface.mirrored else MIDDLE
        if any(_reaches(body, place[0]) for body in self._centre):
            return MIDDLE
        booms = [b for b in pairs if _reaches(b, place[0])]
        return min(booms, key=lambda b: abs(b.frames[-1].y)).key if booms else MIDDLE

    def _under_fin(self, fin: LiftingSurface) -> str:
        """What a pair of fins stands on: the nearest surface or pair of bodies."""
        places = [(s.x + s.chord / 2, s.y, s.z) for s in fin.stations]
        away: list[tuple[float, str]] = [
            (min(_from_surface(s, place) for place in places), s.key)
            for s in self.airframe.surfaces
            if s.role != "fin"
        ]
        away += [
            (min(_from_body(b, place) for place in places), b.key) for b in self.airframe.bodies
        ]
        return min(away)[1]

    def home(self, grain: Grain) -> str:
        """Key of the surface or body that a grain belongs to, sits in or is nearest to."""
        if grain.owner or not grain.pair:
            return grain.owner
        away = [(_from_surface(s, grain.place), s.key) for s in self.airframe.surfaces]
        away += [(_from_body(b, grain.place), b.key) for b in self.airframe.bodies]
        return min(away)[1] if away else MIDDLE

    def chain(self, key: str) -> Iterator[str]:
        """The thing itself, what holds it, and so on up to what the middle holds."""
        seen: set[str] = set()
        while key and key not in seen:
            yield key
            seen.add(key)
            key = self._parents[key]

    def _place_on(self, surface: LiftingSurface, child: str) -> float:
        """Developed span at which a surface or body is fixed to a surface. [m]"""
        if child in self._surfaces:
            return near_span(surface, _middle_of_root(self._surfaces[child]))
        frames = self._bodies[child].frames
        frame = min(frames, key=lambda f: _from_surface(surface, (f.x, f.y, f.z)))
        return near_span(surface, (frame.x, frame.y, frame.z))

    def span_on(self, surface: LiftingSurface, key: str) -> float | None:
        """Span at which a thing pulls on a surface that holds it; None where it does not. [m]"""
        chain = list(self.chain(key))
        if surface.key not in chain[1:]:
            return None
        return self._place_on(surface, chain[chain.index(surface.key) - 1])

    def carried(self, surface: LiftingSurface, grains: Sequence[Grain]) -> tuple[Carried, ...]:
        """All that one half (or the whole, where there is only one) of a surface carries."""
        found = []
        spans: dict[str, float | None] = {}
        for grain in grains:
            home = self.home(grain)
            if surface.mirrored and not grain.pair:
                continue
            if home == surface.key:
                at = grain.span if grain.span is not None else near_span(surface, grain.place)
                found.append(Carried(grain, at))
                continue
            if home not in spans:
                spans[home] = self.span_on(surface, home) if home else None
            held = spans[home]
            if held is not None:
                found.append(Carried(grain, held))
        return tuple(found)

    def in_middle(self, grain: Grain) -> bool:
        """Whether a grain is held by the middle of the model, wings and their load left out."""
        last = list(self.chain(self.home(grain)))[-1:]
        return not last or not (
            last[0] in self._surfaces and self._surfaces[last[0]].role == "wing"
        )
