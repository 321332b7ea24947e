"""What would bring the wanted reserve, each change alone, solved for this design.

Sizes go up in the half millimetres that sticks are sold in. A change is told with the reserve
factor that the whole surface then has in all its cases; one that helps but not enough says so.
Loads stay as they are: a thicker stick is heavier, and that weight relieves the wing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from plansgen.library.models.parts import Part, StickSize
from plansgen.structure.compare import fits_in, sticks_of
from plansgen.structure.margins import Build, Half, margins_of
from plansgen.structure.reserve import CAP
from plansgen.structure.span_loads import SpanLoad
from plansgen.structure.strength import (
    Reach,
    StickComparison,
    Suggestion,
    SuggestionKind,
    Weakest,
)

STEP = 0.5e-3  # m; sizes that can be bought (common practice, no source)
_WIDEST = 2.0  # times the width as built; more is another design
_HELPS = 1.1  # times the reserve as built: less is no help worth telling
_MOST = 2  # times the count as built
_WEAKEST, _FEW = 2, 2  # cuts looked at while solving
_ROUND = 5e-3  # m; a spar's reach is told in these steps


@dataclass(frozen=True)
class Judge:
    """Works out the least reserve factor of a surface built otherwise.

    loads: of every case. spans: where to look [m]. built: least reserve factor as built at each.
    """

    build: Build
    loads: tuple[SpanLoad, ...]
    spans: tuple[float, ...]
    built: tuple[float, ...]

    def reach(self, half: Half, to: float) -> float:
        """Least reserve factor in all cases with the spar ending elsewhere. [m]"""
        spans = sorted({*self.spans, *half.beside(to)})
        found = margins_of(half.other(reach=to), self.loads, spans)
        return min((each.least for each in found), default=CAP)

    def changed(self, number: int, part: Part | None, *, roughly: bool = False) -> float:
        """Least reserve factor with another part, or none, in the place of one that runs along it.

        Only cuts along its run change. roughly: look at few of them, the weakest as built among
        them, for solving.
        """
        run = self.build.parts[number].run
        if run is None:
            return min(self.built, default=CAP)
        rows = list(zip(self.spans, self.built, strict=True))
        along = [row for row in rows if run.from_ <= row[0] < run.to]
        rest = [reserve for span, reserve in rows if not run.from_ <= span < run.to]
        if roughly:
            weak = sorted(along, key=lambda row: (row[1], row[0]))[:_WEAKEST]
            along = sorted({*along[:: max(1, len(along) // _FEW)], *weak})
        half = self.build.changed({number: part}).half()
        found = margins_of(half, self.loads, [span for span, _ in along])
        return min([CAP, *rest, *(each.least for each in found)])


@dataclass(frozen=True)
class Wanted:
    """What is there and what is wanted of it."""

    build: Build
    half: Half
    judge: Judge
    worst: Weakest
    reserve: float

    def told(self, kind: SuggestionKind, words: str, then: float) -> Iterator[Suggestion]:
        """A suggestion where it helps, with whether it is enough."""
        if then < _HELPS * self.worst.reserve:
            return
        if then < self.reserve:
            words += f", which helps but is not enough alone: {self.reserve:g} is wanted"
        yield Suggestion(kind, words, min(then, CAP))


def suggestions_for(
    wanted: Wanted, reach: Reach | None, sticks: Sequence[StickComparison]
) -> tuple[Suggestion, ...]:
    """Every change to the surface itself that brings the wanted reserve, else the most helpful."""
    if wanted.worst.reserve >= wanted.reserve:
        return ()
    found = [*_further(wanted, reach), *_on_edge(wanted, sticks)]
    for number, part in sticks_of(wanted.build, wanted.half):
        run = part.run
        if run is not None and run.from_ <= wanted.worst.span <= run.to:
            higher = tuple(_taller(wanted, number, part))
            found += higher
            if not any(one.reserve >= wanted.reserve for one in higher):
                found += [*_wider(wanted, number, part), *_more(wanted, number, part)]
    enough = tuple(one for one in found if one.reserve >= wanted.reserve)
    best = sorted(found, key=lambda one: -one.reserve)[:1]
    return enough or tuple(best)


def mm(metres: float) -> str:
    """A length as a builder writes it, to a tenth of a millimetre. [m]"""
    return f"{metres * 1000:.1f}".removesuffix(".0")


def _further(wanted: Wanted, reach: Reach | None) -> Iterator[Suggestion]:
    if reach is None or reach.least is None or reach.least <= reach.now:
        return
    to = min(math.ceil(reach.least / _ROUND - 1e-9) * _ROUND, wanted.half.tip)
    then = wanted.judge.reach(wanted.half, to)
    words = f"Let the spar reach {mm(to)} mm from the middle; it ends at {mm(reach.now)} mm now"
    yield from wanted.told("reach", words, then)


def _on_edge(wanted: Wanted, sticks: Sequence[StickComparison]) -> Iterator[Suggestion]:
    for stick in sticks:
        if stick.place == "flat" and stick.reserve_turned is not None:
            words = f"Stand {stick.part} on edge"
            yield from wanted.told("turn on edge", words, stick.reserve_turned)


# --- sizes -----------------------------------------------------------------------------------


def _resized(part: Part, *, width: float = 0.0, height: float = 0.0) -> Part:
    """The stick so much wider and higher, at both of its ends. [m]"""
    sizes = {
        name: size.model_copy(update={"width": size.width + width, "height": size.height + height})
        for name in ("size", "size_out")
        if (size := getattr(part, name)) is not None
    }
    return part.model_copy(update=sizes)


def _least_steps(reserve: Callable[[int], float], wanted: float, *, most: int) -> int | None:
    """Least number of steps that brings the wanted reserve, by bisection; None: not even all."""
    if most < 1 or reserve(most) < wanted:
        return None
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if reserve(middle) >= wanted else (middle, high)
    return high


def _grown(
    wanted: Wanted, number: int, change: Callable[[int], Part], *, most: int
) -> tuple[Part, float] | None:
    """The stick grown as little as brings the wanted reserve, or else as far as it goes."""
    if most < 1:
        return None

    @cache
    def reserve(steps: int) -> float:
        return wanted.judge.changed(number, change(steps), roughly=True)

    steps = _least_steps(reserve, wanted.reserve, most=most)
    if steps is None:
        steps = most
        if reserve(most) < _HELPS * wanted.worst.reserve:
            return None
    then = wanted.judge.changed(number, change(steps))
    if then < wanted.reserve and steps < most:  # at a place not looked at while solving
        steps += 1
        then = wanted.judge.changed(number, change(steps))
    return change(steps), then


def _steps_up(value: float) -> float:
    """From a size to the next size sold. [m]"""
    return math.ceil(value / STEP - 1e-9) * STEP - value


def _taller(wanted: Wanted, number: int, part: Part) -> Iterator[Suggestion]:
    size = part.size
    assert size is not None
    assert size.width is not None
    assert size.height is not None
    first = _steps_up(size.height)

    def change(steps: int) -> Part:
        return _resized(part, height=first + steps * STEP)

    most = 0
    while most < 60 and fits_in(wanted.build, change(most + 1)):
        most += 1
    grown = _grown(wanted, number, change, most=most)
    if grown is not None and grown[0].size is not None:
        words = f"Take {_size(grown[0].size)} for {part.name}, instead of {_size(size)}"
        yield from wanted.told("stick size", words, grown[1])


def _wider(wanted: Wanted, number: int, part: Part) -> Iterator[Suggestion]:
    size = part.size
    assert size is not None
    assert size.width is not None
    first = _steps_up(size.width)

    def change(steps: int) -> Part:
        return _resized(part, width=first + steps * STEP)

    most = int((_WIDEST - 1.0) * size.width / STEP)
    grown = _grown(wanted, number, change, most=most)
    if grown is not None and grown[0].size is not None:
        words = f"Take {_size(grown[0].size)} for {part.name}, instead of {_size(size)}"
        yield from wanted.told("stick size", words, grown[1])


def _size(size: StickSize) -> str:
    return f"{mm(size.width or 0.0)} × {mm(size.height or 0.0)} mm (width × height)"


def _more(wanted: Wanted, number: int, part: Part) -> Iterator[Suggestion]:
    each = 2 if part.lies == "top and bottom" else 1

    def change(steps: int) -> Part:
        return part.model_copy(update={"count": part.count + steps * each})

    grown = _grown(wanted, number, change, most=(_MOST - 1) * part.count // each)
    if grown is not None:
        words = f"Glue in {grown[0].count} of {part.name} a side instead of {part.count}"
        yield from wanted.told("count", words, grown[1])
