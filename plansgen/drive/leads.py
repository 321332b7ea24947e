"""The leads between the blocks of a model's wiring: wires in each, and what it carries."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from plansgen.drive.wire import (
    WARM,
    advised_current,
    area_of,
    gauge_for,
    gauge_of,
    most_current,
    resistance_of,
)
from plansgen.drive.wiring_graph import (
    BATTERY,
    LEADS,
    SPLIT,
    Block,
    Circuit,
    Conductor,
    Unit,
)
from plansgen.library.models.power import Wire

SIX_STEP = math.sqrt(2 / 3)
"""Root-mean-square of a motor lead's current over the motor's: each of the three carries it two
thirds of the time (block commutation of a brushless motor)."""
_PAIR = 2  # conductors in series: out and back


class LeadMaker:
    """Makes the leads, and remembers which of the design's wires found theirs."""

    def __init__(
        self, wires: Sequence[Wire], blocks: Sequence[Block], *, supply: float, total: float | None
    ) -> None:
        self.wires, self.supply, self.total = wires, supply, total
        self.blocks = {block.key: block for block in blocks}
        self.used: set[str] = set()

    def conductors(self, units: Sequence[Unit]) -> Iterator[Conductor]:
        """Every lead, from the battery outward."""
        feeds = [n for n, unit in enumerate(units, 1) if unit.controller]
        yield from self._from_battery(units, feeds)
        for number in feeds:
            current = units[number - 1].current
            amperes = current.in_motor * SIX_STEP if current else None
            yield self._lead(f"controller-{number}", f"motor-{number}", "motor", amperes)
        if "receiver" in self.blocks:
            yield from self._to_receiver(feeds)
        for block in self.blocks.values():
            if block.kind == "servo":
                yield self._lead("receiver", block.key, "servo", block.stall, estimated=True)

    def _from_battery(self, units: Sequence[Unit], feeds: Sequence[int]) -> Iterator[Conductor]:
        """To the controllers, in one lead for all as far as it splits."""
        if BATTERY not in self.blocks:
            return
        start = BATTERY
        if SPLIT in self.blocks:
            yield self._lead(BATTERY, SPLIT, "battery", self.total)
            start = SPLIT
        for number in feeds:
            current = units[number - 1].current
            amperes = current.from_battery if current else None
            yield self._lead(start, f"controller-{number}", "battery", amperes)

    def _to_receiver(self, feeds: Sequence[int]) -> Iterator[Conductor]:
        """The first controller feeds the receiver; the others only listen to it."""
        if not feeds and BATTERY in self.blocks:
            yield self._lead(BATTERY, "receiver", "receiver", self.supply, estimated=True)
        for place, number in enumerate(feeds):
            amperes = self.supply if place == 0 else 0.0
            yield self._lead(
                f"controller-{number}", "receiver", "receiver", amperes, estimated=True
            )

    def _lead(
        self,
        start: str,
        end: str,
        circuit: Circuit,
        current: float | None,
        *,
        estimated: bool = False,
    ) -> Conductor:
        wires = self._wires(start, end)
        areas = [_area(wire) for wire in wires]
        area = min(areas, default=None)
        thinnest = wires[areas.index(area)] if area is not None else None
        given = min((wire.most for wire in wires if wire.most is not None), default=None)
        practice = most_current(area) if area is not None else None
        return Conductor(
            start=start,
            end=end,
            title=f"{self._words(start)} to {self._words(end)}",
            circuit=circuit,
            count=LEADS[circuit],
            current=current,
            estimated=estimated,
            wires=tuple(wire.name for wire in wires),
            size=size_words(thinnest) if thinnest else "",
            area=area,
            length=math.fsum(wire.length for wire in wires) if wires else None,
            advised=advised_current(area) if area is not None else None,
            limit=given if given is not None else practice,
            limit_given=given is not None,
            gauge_advised=gauge_for(current) if current else None,
            drop=_drop(wires, current),
        )

    def _words(self, key: str) -> str:
        block = self.blocks[key]
        return f"{block.kind}, {block.side}" if block.side else block.kind

    def _wires(self, start: str, end: str) -> list[Wire]:
        """The design's wires that lie in a lead.

        A wire from the battery without an end lies in the lead that all controllers share; one that
        names its ends, in every lead between such.
        """
        names = {self._name(start), self._name(end)} - {""}
        needed = self._name(end) if start == SPLIT else BATTERY if end == SPLIT else ""
        allowed = names | ({BATTERY} if start == SPLIT else set())
        found = []
        for wire in self.wires:
            given = {name for name in (wire.from_, wire.to) if name is not None}
            if given and given <= allowed and (not needed or needed in given):
                found.append(wire)
        self.used |= {wire.name for wire in found}
        return found

    def _name(self, key: str) -> str:
        """What a wire of the file calls a block; empty where it has no name."""
        if key in (BATTERY, SPLIT):
            return BATTERY if key == BATTERY else ""
        return self.blocks[key].name


def _area(wire: Wire) -> float:
    """Copper of one conductor. [m²]"""
    if wire.area is not None:
        return wire.area
    return area_of(wire.gauge if wire.gauge is not None else 0)


def size_words(wire: Wire) -> str:
    """A wire's size: the one given first, the other beside it."""
    area = _area(wire) * 1e6
    digits = 1 if area >= 1.0 else 2
    if wire.gauge is not None:
        return f"AWG {wire.gauge} ({area:.{digits}f} mm²)"
    return f"{area:.{digits}f} mm² (about AWG {gauge_of(area * 1e-6):.0f})"


def _drop(wires: Sequence[Wire], current: float | None) -> float | None:
    """Voltage lost in a lead, out and back, warm and stranded. [V]"""
    if not wires or current is None:
        return None
    one_way = math.fsum(
        resistance_of(area=_area(wire), length=wire.length, temperature=WARM, stranded=True)
        for wire in wires
    )
    return _PAIR * one_way * current
