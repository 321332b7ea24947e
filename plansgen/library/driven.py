"""Names in a design's power and control entries that must be known, and what a drive needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from plansgen.library.models import Control, DesignFile, Drive, Item, ItemKind, Power
from plansgen.library.stock import Trouble
from plansgen.library.text import Place
from plansgen.problems import nearest_name

_LONGEST = 40  # letters of a wrong name that are repeated to its author
_PARTS: dict[str, ItemKind] = {
    "motor": "motor",
    "propeller": "propeller",
    "controller": "speed controller",
}
# Beyond what models have (estimates); they catch inches that were meant as millimetres.
_DIAMETERS = (0.02, 1.5)  # m
_PITCHES = (0.1, 2.5)  # of the diameter
BATTERY = "battery"
"""How a wire names the battery, whichever of the list it is."""


def check_power(trouble: Trouble, file: DesignFile) -> None:
    """Every name of an item, battery or wire is one that exists, and of the right kind."""
    for path, control in _controls(file):
        if control.servo is not None:
            _item(trouble, (*path, "servo"), control.servo, "servo", file.items)
    if file.power is None:
        return
    for number, drive in enumerate(file.power.drives):
        _check_drive(trouble, ("power", "drives", number), drive, file)
    _refuse_shared(trouble, file.power)
    if file.power.drives:
        _check_batteries(trouble, file)
    _check_wiring(trouble, file.power, file)
    batteries = [battery.name for battery in file.batteries]
    for number, other in enumerate(file.power.alternatives):
        if other.battery is not None:
            place: Place = ("power", "alternatives", number, "battery")
            _known(trouble, place, other.battery, "battery", batteries, "the name of a battery")
        _check_other(trouble, number, file)


def _check_other(trouble: Trouble, number: int, file: DesignFile) -> None:
    """The propeller of an alternative, where it is another."""
    power = file.power
    change = power.alternatives[number].drive if power else None
    if (
        power is None
        or change is None
        or {"diameter", "pitch", "blades"}.isdisjoint(change.model_fields_set)
    ):
        return
    given = {item.name: item.diameter for item in file.items}
    for drive in power.drives:
        changed = drive.changed(change)
        diameter = changed.diameter or given.get(drive.propeller)
        place: Place = ("power", "alternatives", number, "drive")
        if changed.pitch is None:
            trouble(place, "pitch is missing: the measured table is not of this propeller")
        if diameter is not None:
            _check_size(trouble, place, diameter=diameter, pitch=changed.pitch)


def _controls(file: DesignFile) -> Iterator[tuple[Place, Control]]:
    for key, surface in file.surfaces.items():
        for name, control in surface.controls.items():
            yield ("surfaces", key, "controls", name), control


def _known(
    trouble: Trouble, path: Place, name: str, what: str, names: Iterable[str], allowed: str
) -> bool:
    names = list(names)
    if name in names:
        return True
    nearest = nearest_name(name, names)
    trouble(path, f'no {what} "{name[:_LONGEST]}"', allowed=allowed, nearest=nearest)
    return False


def _item(
    trouble: Trouble, path: Place, name: str, kind: ItemKind, items: Iterable[Item]
) -> Item | None:
    """The item of that name and kind, or None and a problem."""
    found = [item for item in items if item.name == name]
    if found and all(item.kind != kind for item in found):
        shown = f'"{name[:_LONGEST]}" is an item of kind {found[0].kind}, not {kind}'
        trouble(path, shown, allowed=f"the name of an item of kind {kind}")
        return None
    right = [item for item in items if item.kind == kind]
    names = [item.name for item in right]
    if not _known(trouble, path, name, kind, names, f"the name of an item of kind {kind}"):
        return None
    if names.count(name) > 1:
        trouble(path, f'{names.count(name)} items have the name "{name[:_LONGEST]}"')
        return None
    return right[names.index(name)]


def _check_drive(trouble: Trouble, path: Place, drive: Drive, file: DesignFile) -> None:
    items = {
        part: _item(trouble, (*path, part), getattr(drive, part), kind, file.items)
        for part, kind in _PARTS.items()
    }
    motor, propeller = items["motor"], items["propeller"]
    for part, item in items.items():
        if motor is not None and item is not None and item.mirror != motor.mirror:
            wrong = "is mirrored, but its motor is not"
            if motor.mirror:
                wrong = "is not mirrored, but its motor is: each motor needs its own"
            trouble((*path, part), wrong, allowed="motor, propeller and controller mirrored alike")
    diameter = drive.diameter or (propeller.diameter if propeller is not None else None)
    if propeller is not None and diameter is None:
        trouble(path, "diameter is missing: give it here or to the propeller's item")
    if diameter is not None:
        _check_size(trouble, path, diameter=diameter, pitch=drive.pitch)


def _check_size(trouble: Trouble, path: Place, *, diameter: float, pitch: float | None) -> None:
    """A propeller that a model could have; millimetres for inches are the usual slip. [m]"""
    small, large = _DIAMETERS
    if not small <= diameter <= large:
        wrong = f"the propeller's diameter is {diameter * 1000:g} mm"
        trouble(path, wrong, allowed=f"from {small * 1000:g} mm to {large * 1000:g} mm")
        return
    flat, steep = _PITCHES
    if pitch is not None and not flat <= pitch / diameter <= steep:
        wrong = f"pitch is {pitch * 1000:g} mm with a diameter of {diameter * 1000:g} mm"
        trouble((*path, "pitch"), wrong, allowed=f"from {flat:g} to {steep:g} times the diameter")


def _refuse_shared(trouble: Trouble, power: Power) -> None:
    """A motor, a propeller or a controller works in one drive only."""
    for part in _PARTS:
        seen: set[str] = set()
        for number, drive in enumerate(power.drives):
            name = getattr(drive, part)
            if name in seen:
                trouble(("power", "drives", number, part), "works in another drive already")
            seen.add(name)


def _check_batteries(trouble: Trouble, file: DesignFile) -> None:
    if not file.batteries:
        trouble(("power", "drives"), "needs a battery; batteries is empty")
    for number, battery in enumerate(file.batteries):
        for name in ("cells", "capacity"):
            if getattr(battery, name) is None:
                trouble(("batteries", number), f"{name} is missing: the motor is driven by it")


def _check_wiring(trouble: Trouble, power: Power, file: DesignFile) -> None:
    ends = [BATTERY, *(item.name for item in file.items)]
    for number, wire in enumerate(power.wires):
        for key, name in (("from", wire.from_), ("to", wire.to)):
            if name is not None:
                place: Place = ("power", "wires", number, key)
                _known(trouble, place, name, "item", ends, "battery, or the name of an item")
    wires = [wire.name for wire in power.wires]
    for number, connector in enumerate(power.connectors):
        if connector.wire is not None:
            place = ("power", "connectors", number, "wire")
            _known(trouble, place, connector.wire, "wire", wires, "the name of a wire")
