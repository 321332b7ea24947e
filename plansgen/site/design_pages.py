"""The pages of one design, as a mapping from path in the docs tree to bytes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment

from plansgen.balance.buildup import MassLine
from plansgen.dossier import Dossier, to_json
from plansgen.figures.plan_layers import TITLES
from plansgen.figures.save import Drawing
from plansgen.library.contact import Contact
from plansgen.library.design import Design
from plansgen.library.facts import used_materials
from plansgen.library.tables import Caution, Material, caution_levels, cautions_for
from plansgen.patterns.result import PatternSet
from plansgen.site.balance_words import allowed_of, bay_of, heavy_side, move_of
from plansgen.site.bench_page import bench_data
from plansgen.site.controls_page import controls_context
from plansgen.site.flight_page import flight_context
from plansgen.site.format import plain
from plansgen.site.numbers import Numbers
from plansgen.site.pattern_files import pattern_files
from plansgen.site.patterns_page import FOLDER, pattern_context, pattern_pictures
from plansgen.site.power_page import power_context
from plansgen.site.report import Report, with_link
from plansgen.site.steps import markdown, step_views
from plansgen.site.strength_page import strength_context
from plansgen.site.word_links import link_words

UP = "../../"  # from a design's page to the top of the site

PLANFORM_FIELDS = (
    "span_flat",
    "span",
    "area_developed",
    "area",
    "mac",
    "mac_x",
    "mac_y",
    "mac_z",
    "aspect_ratio",
    "taper",
    "sweep",
    "dihedral",
    "equivalent_dihedral",
    "washout",
    "wetted",
)
REFERENCE_FIELDS = ("area", "span", "mac", "mac_x", "mac_y", "aspect_ratio", "root_x")
STATE_FIELDS = (
    "mass",
    "from_root",
    "from_mac",
    "mac_share",
    "x",
    "y",
    "z",
    "wing_loading",
    "cubic_loading",
)
INERTIA_FIELDS = ("ixx", "iyy", "izz", "ixz")
VIEW_TITLES = {"plan": "Plan view", "side": "Side view", "front": "Front view"}
SKILL_WORDS = {
    "first build": "For a first build.",
    "some builds": "For somebody with some builds behind them.",
    "practised": "For a practised builder and flyer.",
}


@dataclass(frozen=True)
class Tab:
    """One page of a design in its local navigation; needs: what the design must have for it."""

    title: str
    file: str
    template: str
    needs: str = ""


TABS = (
    Tab("Overview", "index.html", "design-index.md.j2"),
    Tab("Balance", "balance.html", "design-balance.md.j2"),
    Tab("Your model", "your-model.html", "design-bench.md.j2", needs="masses"),
    Tab("Flight", "flight.html", "design-flight.md.j2", needs="flight"),
    Tab("First flights", "first-flights.html", "design-trim.md.j2", needs="flight"),
    Tab("Power", "power.html", "design-power.md.j2"),
    Tab("Controls", "controls.html", "design-controls.md.j2", needs="controls"),
    Tab("Strength", "strength.html", "design-strength.md.j2", needs="strength"),
    Tab("Bench test", "static-test.html", "design-static-test.md.j2", needs="bench test"),
    Tab("Drawings", "drawings.html", "design-drawings.md.j2"),
    Tab("Parts", "parts.html", "design-parts.md.j2", needs="patterns"),
    Tab("Sheets", "sheets.html", "design-sheets.md.j2", needs="patterns"),
    Tab("Build", "build.html", "design-build.md.j2", needs="steps"),
    Tab("Safety", "safety.html", "design-safety.md.j2"),
    Tab("Assumed", "assumed.html", "design-assumed.md.j2"),
)


@dataclass(frozen=True)
class MaterialView:
    """A material used, in words."""

    name: str
    density: str
    known_by: str


def _tabs(design: Design, dossier: Dossier, *, patterns: bool) -> tuple[Tab, ...]:
    """The pages that this design has something for."""
    structure = dossier.structure
    has = {
        "": True,
        "steps": bool(design.steps),
        "masses": dossier.balance.ready is not None,
        "patterns": patterns,
        "flight": dossier.flight is not None,
        "controls": any(surface.controls for surface in dossier.airframe.surfaces),
        "strength": structure is not None or bool(dossier.structure_refusal),
        "bench test": structure is not None and structure.static_test is not None,
    }
    return tuple(tab for tab in TABS if has[tab.needs])


def density_text(material: Material) -> str:
    """Mass of a material the way it is bought: by area, by length or by volume."""
    if material.areal_density is not None:
        return f"{plain(material.areal_density * 1000, 0)} g/m²"
    if material.linear_density is not None:
        return f"{plain(material.linear_density * 1000, 1)} g/m"
    return f"{plain(material.density or 0.0, 0)} kg/m³"


def _materials(design: Design) -> list[MaterialView]:
    file = design.file
    return [
        _material_view(name, design, own=name in file.materials) for name in used_materials(file)
    ]


def _material_view(name: str, design: Design, *, own: bool) -> MaterialView:
    material = design.materials[name]
    if own:
        known = "weighed by the designer" if material.measured else "given by the designer"
    else:
        known = f"{material.source} ({material.mark})"
    return MaterialView(material.name, density_text(material), known)


def _mass_groups(dossier: Dossier) -> list[tuple[str, list[MassLine]]]:
    """Lines of the mass build-up by what they belong to, in the order of the build-up."""
    groups: dict[str, list[MassLine]] = {}
    for line in dossier.balance.lines:
        groups.setdefault(line.group, []).append(line)
    return list(groups.items())


def _by_level(dossier: Dossier) -> dict[str, list[Caution]]:
    chosen = cautions_for(frozenset(dossier.facts))
    return {level: [c for c in chosen if c.level == level] for level in caution_levels()}


def page_context(
    design: Design,
    dossier: Dossier,
    figures: Mapping[str, Drawing],
    patterns: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Everything the templates of one design may show; patterns: what they show of its parts."""
    numbers = Numbers(dossier)
    target, ready = dossier.balance.target, dossier.balance.ready
    method = "balance-target-rule" if target and target.origin == "rule" else "balance-target-own"
    why = design.file.balance.why
    empty = dossier.balance.empty
    states = [loading.state for loading in dossier.balance.loadings]
    return {
        **flight_context(dossier),
        **strength_context(dossier),
        **controls_context(dossier, figures),
        **power_context(dossier),
        "step_parts": {},
        **(patterns or {}),
        "dossier": dossier,
        "bench": bench_data(design, dossier),
        "n": numbers,
        "up": UP,
        "figures": figures,
        "plan_layers": [
            {"name": name, "title": title, "words": figures[f"plan-{name}"].alt}
            for name, title in TITLES.items()
            if f"plan-{name}" in figures
        ],
        "design_tabs": _tabs(design, dossier, patterns=patterns is not None),
        "ready": ready,
        "target": target,
        "target_method": method,
        "target_from_root": numbers.view(target, "from_root", method) if target else None,
        "move": move_of(dossier, numbers),
        "allowed": allowed_of(dossier),
        "why_html": markdown(why) if why else None,
        "states": [empty, *states] if empty and design.file.batteries else states,
        "bay_shown": bay_of(dossier),
        "lateral_side": heavy_side(dossier),
        "reference_wing": dossier.airframe.surface(dossier.airframe.reference.wings[0]),
        "planform_fields": PLANFORM_FIELDS,
        "reference_fields": REFERENCE_FIELDS,
        "state_fields": STATE_FIELDS,
        "inertia_fields": INERTIA_FIELDS,
        "mass_groups": _mass_groups(dossier),
        "view_titles": VIEW_TITLES,
        "skill_words": SKILL_WORDS,
        "datum": design.file.datum,
        "notes": design.notes,
        "notes_html": markdown(design.notes.text) if design.notes else None,
        "log": design.log,
        "credits": design.file.credits,
        "launches": design.file.launches,
        "steps": step_views(design),
        "caution_levels": caution_levels(),
        "cautions_by_level": _by_level(dossier),
        "materials": _materials(design),
    }


def design_files(
    environment: Environment,
    design: Design,
    dossier: Dossier,
    figures: Mapping[str, Drawing],
    patterns: PatternSet | None = None,
    contact: Contact | None = None,
) -> dict[str, bytes]:
    """Every file of one design in the docs tree, by path.

    patterns: what it is cut from. contact: where its builders write to.
    """
    base = f"designs/{design.slug}/"
    files: dict[str, bytes] = {f"{base}dossier.json": to_json(dossier)}
    parts: Mapping[str, Any] | None = None
    if patterns is not None:
        made = pattern_files(design, dossier, figures, patterns)
        parts = pattern_context(design, dossier, patterns, made)
        for name, data in {**made.files, **pattern_pictures(parts)}.items():
            files[f"{base}{FOLDER}{name}"] = data
    report = Report(contact, dossier) if contact else None
    context = {**page_context(design, dossier, figures, parts), "report": report}
    for tab in context["design_tabs"]:
        text = environment.get_template(tab.template).render(context)
        text = with_link(environment, text, report.page(tab.title) if report else None)
        page = link_words(text, f"{UP}words.html")
        files[base + tab.file.replace(".html", ".md")] = page.encode()
    for drawing in figures.values():
        files[f"{base}figures/{drawing.name}.svg"] = drawing.svg
        files[f"{base}figures/{drawing.name}-dark.svg"] = drawing.dark
    for picture in design.pictures.values():
        files[base + picture.file] = picture.data
    return files
