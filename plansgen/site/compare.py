"""What the page of comparison tells of each design, in one order for all."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.library.design import Design
from plansgen.library.facts import used_materials
from plansgen.site.format import show

NONE = "–"
"""Stands where a design has no such number."""

Facts = tuple[tuple[str, str], ...]


def families_of(design: Design) -> tuple[str, ...]:
    """Families of what a design is built from; a weighed material is of that which it is like."""

    def family_of(name: str) -> str | None:
        material = design.materials[name]
        if material.family or material.like is None:
            return material.family
        return design.materials[material.like].family

    families = {family_of(name) for name in used_materials(design.file)}
    return tuple(sorted(family for family in families if family))


def facts_of(design: Design, dossier: Dossier) -> Facts:
    """Titles and values of what can be compared; the same titles for every design."""
    reference, ready, flight = dossier.airframe.reference, dossier.balance.ready, dossier.flight
    patterns, build = dossier.patterns, dossier.build_time
    target = dossier.balance.target
    return (
        ("Status", dossier.status),
        ("Skill", dossier.skill),
        ("Layout", dossier.airframe.layout),
        ("Material", ", ".join(families_of(design)) or NONE),
        ("Span", _shown(reference.span, "m")),
        ("Length", _shown(dossier.airframe.extents.length, "m")),
        ("Wing area", _shown(reference.area, "m²")),
        ("Aspect ratio", _shown(reference.aspect_ratio, "1")),
        ("Mean aerodynamic chord", _shown(reference.mac, "m")),
        ("Ready to fly", _shown(ready.state.mass if ready else None, "kg")),
        ("Wing loading", _shown(ready.state.wing_loading if ready else None, "kg/m²")),
        ("Balance behind the root leading edge", _shown(target.from_root if target else None, "m")),
        ("Stall speed", _shown(flight.stall.speed if flight else None, "m/s")),
        ("Propellers", str(len(dossier.airframe.propellers))),
        ("Parts to cut", str(patterns.pieces) if patterns else NONE),
        ("Sheets", str(patterns.sheets) if patterns else NONE),
        ("Build steps", str(build.steps) if build.steps else NONE),
        ("Time at the bench", _shown(build.working if build.steps else None, "s")),
    )


def _shown(value: float | None, unit: str) -> str:
    return NONE if value is None else show(value, unit).metric
