"""What a design contains that can hurt somebody: the facts that choose the safety notes."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.library.design import Design
from plansgen.library.models import DesignFile, Launch
from plansgen.library.tables import Fact

_LAUNCH_FACTS: dict[Launch, Fact] = {
    "hand": "hand_launch",
    "water": "water_flying",
    "bungee": "bungee_or_winch",
    "winch": "bungee_or_winch",
}


def facts_of(design: Design) -> frozenset[Fact]:
    """Facts that the files show, and those the designer adds. Mass and span are not known here."""
    return frozenset(_facts(design))


def _facts(design: Design) -> Iterator[Fact]:
    file = design.file
    yield from ("always", "first_flight", "weather", "blade", "radio_failsafe")
    yield from file.hazards
    yield from (_LAUNCH_FACTS[launch] for launch in file.launches if launch in _LAUNCH_FACTS)
    yield from _power_facts(file)
    yield from _material_facts(design)
    for step in design.steps:
        yield from step.head.cautions


def _power_facts(file: DesignFile) -> Iterator[Fact]:
    if file.batteries:
        yield from ("charging", "cold")
    if any(battery.chemistry.startswith("lithium") for battery in file.batteries):
        yield "lithium_battery"
    motors = [item for item in file.items if item.kind == "motor"]
    propellers = [item for item in file.items if item.kind == "propeller"]
    if propellers:
        yield "propeller"
    if sum(2 if motor.mirror else 1 for motor in motors) > 1:
        yield "several_motors"
    if any(propeller.at.x > motor.at.x for propeller in propellers for motor in motors):
        yield "pusher_propeller"


def _material_facts(design: Design) -> Iterator[Fact]:
    for name in used_materials(design.file):
        material = design.materials[name]
        yield from material.hazards
        if material.kind == "wire":
            yield "wire_or_rod"


def used_materials(file: DesignFile) -> tuple[str, ...]:
    """Names of the materials that parts are made of, sorted."""
    components = (*file.surfaces.values(), *file.bodies.values())
    parts = [part for component in components for part in component.parts]
    return tuple(sorted({part.material for part in (*parts, *file.parts)}))
