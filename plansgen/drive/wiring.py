"""Who is wired to whom, and what each lead carries.

The graph is drawn from the design: battery, speed controllers, motors, receiver, servos. Arming
plug and fuse sit in the battery's lead; with several controllers it then splits.

What controllers and motors draw comes from the solved drive at full throttle, standing still,
which is where it is greatest; what servos draw is an estimate.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from plansgen.drive.leads import LeadMaker
from plansgen.drive.result import DriveResult
from plansgen.drive.servo_current import IN_FLIGHT, RECEIVER, stall_current
from plansgen.drive.wiring_graph import (
    BATTERY,
    SPLIT,
    Block,
    Conductor,
    DriveCurrent,
    Plug,
    Unit,
    Wiring,
)
from plansgen.library.models import DesignFile, Item
from plansgen.library.models.power import Power


def work_out_wiring(design: DesignFile, drive: DriveResult | None) -> Wiring | None:
    """The graph of a design with the currents of its solved drive; None without any leads."""
    if drive is None:
        return wiring_of(design)
    currents = [
        DriveCurrent(unit.motor, unit.static.current, unit.static.motor_current)
        for unit in drive.units
    ]
    return wiring_of(design, currents, voltage=drive.static.voltage)


def wiring_of(
    design: DesignFile, currents: Sequence[DriveCurrent] = (), *, voltage: float | None = None
) -> Wiring | None:
    """The graph of a design; None when nothing in it has leads.

    Args:
        design: with its items, batteries and power section.
        currents: of each drive at full throttle, standing still.
        voltage: of the battery then, V.
    """
    units = list(_units(design, currents))
    power = design.power or Power()
    blocks = _blocks(design, power, units)
    if not blocks:
        return None
    supply, stalled = _supply(design)
    known = [unit.current for unit in units if unit.current]
    total = sum(c.from_battery for c in known) if len(known) == len(units) and units else None
    builder = LeadMaker(power.wires, blocks, supply=stalled, total=total)
    conductors = tuple(builder.conductors(units))
    return Wiring(
        blocks=tuple(blocks),
        conductors=conductors,
        plugs=tuple(_plugs(power, conductors, total)),
        arming_plug=power.arming_plug,
        fuse=power.fuse,
        voltage=voltage,
        total=total,
        supply=supply,
        supply_stalled=stalled,
        drop=_greatest_drop(conductors),
        unmatched=tuple(wire.name for wire in power.wires if wire.name not in builder.used),
    )


def _sides(item: Item) -> tuple[str, ...]:
    """Port and starboard for a mirrored item."""
    return ("port", "starboard") if item.mirror else ("",)


def _of_kind(design: DesignFile, kind: str) -> list[tuple[Item, str]]:
    return [(item, side) for item in design.items if item.kind == kind for side in _sides(item)]


def _units(design: DesignFile, currents: Sequence[DriveCurrent]) -> Iterator[Unit]:
    """Motors with their controllers: as the drives pair them, else in the order of the items."""
    drives = design.power.drives if design.power else ()
    by_motor = {current.motor: current for current in currents}
    items = {item.name: item for item in design.items}
    for drive in drives:
        for side in _sides(items[drive.motor]):
            yield Unit(drive.motor, drive.controller, side, by_motor.get(drive.motor))
    if not drives:
        controllers = [item.name for item, _ in _of_kind(design, "speed controller")]
        for number, (motor, side) in enumerate(_of_kind(design, "motor")):
            name = controllers[number] if number < len(controllers) else ""
            yield Unit(motor.name, name, side, None)


def _blocks(design: DesignFile, power: Power, units: Sequence[Unit]) -> list[Block]:
    receivers, servos = _of_kind(design, "receiver"), _of_kind(design, "servo")
    if not units and not receivers and not servos:
        return []
    blocks = [Block(BATTERY, "battery", battery.name) for battery in design.batteries[:1]]
    if power.arming_plug:
        blocks.append(Block("arming-plug", "arming plug", "plug outside the model"))
    if power.fuse is not None:
        blocks.append(Block("fuse", "fuse", f"{power.fuse:g} A"))
    feeds = [number for number, unit in enumerate(units, 1) if unit.controller]
    if design.batteries and len(feeds) > 1:
        blocks.append(Block(SPLIT, "split", "where the battery's lead parts"))
    blocks += [
        Block(f"controller-{n}", "speed controller", units[n - 1].controller, units[n - 1].side)
        for n in feeds
    ]
    blocks += [Block(f"motor-{n}", "motor", u.motor, u.side) for n, u in enumerate(units, 1)]
    if receivers or servos:
        name = receivers[0][0].name if receivers else "not among the items"
        blocks.append(Block("receiver", "receiver", name))
    blocks += [
        Block(f"servo-{number}", "servo", item.name, side, stall_current(item))
        for number, (item, side) in enumerate(servos, 1)
    ]
    return blocks


def _supply(design: DesignFile) -> tuple[float, float]:
    """What receiver and servos draw in flight, and with every servo held fast. [A]"""
    stalled = sum(stall_current(item) for item, _ in _of_kind(design, "servo"))
    return RECEIVER + IN_FLIGHT * stalled, RECEIVER + stalled


def _greatest_drop(conductors: Sequence[Conductor]) -> float | None:
    """Lost between the battery and the controller that gets least. [V]"""
    drops = [(c.end == SPLIT, c.drop) for c in conductors if c.circuit == "battery"]
    known = [(shared, drop) for shared, drop in drops if drop is not None]
    if not known:
        return None
    own = max((drop for shared, drop in known if not shared), default=0.0)
    return own + math.fsum(drop for shared, drop in known if shared)


def _plugs(power: Power, conductors: Sequence[Conductor], total: float | None) -> Iterator[Plug]:
    """Connectors with the current of the wire they sit in, else with all of the battery's."""
    for connector in power.connectors:
        current = total
        if connector.wire is not None:
            inside = [c.current for c in conductors if connector.wire in c.wires]
            current = max((c for c in inside if c is not None), default=None)
        yield Plug(connector.name, current, connector.most_current)
