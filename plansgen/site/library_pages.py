"""The pages of the library as a whole: the gallery, methods, materials, the design file."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, get_args

from jinja2 import Environment
from pydantic import BaseModel

from plansgen.dossier import Dossier, json_schema
from plansgen.figures.save import Drawing
from plansgen.figures.two_books import draw_two_books
from plansgen.figures.word_drawings import draw_words
from plansgen.library.contact import Contact
from plansgen.library.design import Design
from plansgen.library.editor_schema import design_schema
from plansgen.library.models import DesignFile, FlightLog, NotesHead, Skill, Status, StepHead
from plansgen.library.models.shared import SharedFile
from plansgen.library.tables import field_words, materials, methods
from plansgen.published.table import cases_by_room
from plansgen.site.check_table import check_rooms
from plansgen.site.compare import Facts, facts_of, families_of
from plansgen.site.design_pages import density_text
from plansgen.site.format import show
from plansgen.site.report import LibraryReport, with_link
from plansgen.site.sheet_page import sheet_example, strength_rows, strength_sources

LIBRARY_PAGES = {
    "index.md": "Designs",
    "compare.md": "Compare",
    "words.md": "Words",
    "methods.md": "Methods",
    "materials.md": "Materials",
    "measure-your-sheet.md": "Measure your sheet",
    "design-file.md": "Design file",
}
"""Pages that every library has, and what its navigation calls them."""


@dataclass(frozen=True)
class Card:
    """What the gallery shows of one design. Lengths in mm, masses in g, for the filters.

    minutes, sheets: 0 where not known. facts: for the page of comparison.
    """

    slug: str
    name: str
    revision: str
    date: str
    summary: str
    status: Status
    skill: Skill
    layout: str
    span: str
    span_mm: int
    mass: str
    mass_g: int
    materials: tuple[str, ...]
    minutes: int
    sheets: int
    facts: Facts
    alt: str
    width_mm: float
    height_mm: float


def card_of(design: Design, dossier: Dossier, picture: Drawing) -> Card:
    """The gallery card of a design."""
    span = dossier.airframe.reference.span
    mass = dossier.balance.ready.state.mass if dossier.balance.ready else 0.0
    return Card(
        slug=design.slug,
        name=dossier.name,
        revision=dossier.revision,
        date=str(dossier.date),
        summary=dossier.summary,
        status=dossier.status,
        skill=dossier.skill,
        layout=dossier.airframe.layout,
        span=show(span, "m").metric,
        span_mm=round(span * 1000),
        mass=show(mass, "kg").metric if mass else "not given",
        mass_g=round(mass * 1000),
        materials=families_of(design),
        minutes=round(dossier.build_time.working / 60),
        sheets=dossier.patterns.sheets if dossier.patterns else 0,
        facts=facts_of(design, dossier),
        alt=picture.alt,
        width_mm=picture.width_mm,
        height_mm=picture.height_mm,
    )


@dataclass(frozen=True)
class KeyRow:
    """One key of a file, for the reference page."""

    path: str
    kind: str
    needed: bool
    default: str
    description: str


def _model_in(hint: Any) -> type[BaseModel] | None:
    """The model inside a field's type, through tuples, dicts, unions and Annotated."""
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        return hint
    return next((found for arg in get_args(hint) if (found := _model_in(arg))), None)


def _kind(hint: Any, schema: dict[str, Any]) -> str:
    """What may stand there, in words."""
    choices = schema.get("enum") or schema.get("items", {}).get("enum")
    if not choices and "anyOf" in schema:
        choices = next((part["enum"] for part in schema["anyOf"] if "enum" in part), None)
    if choices:
        return ", ".join(str(choice) for choice in choices)
    if _model_in(hint) is not None:
        return "a list" if "tuple" in str(hint) else "keys below"
    for part in (schema, *schema.get("anyOf", ())):
        if "examples" in part:
            return f"such as {', '.join(str(example) for example in part['examples'][:3])}"
    plain = {"boolean": "true or false", "integer": "a whole number", "array": "a list"}
    types = {str(part.get("type")) for part in (schema, *schema.get("anyOf", ()))}
    if "object" in types:
        return "keys as there"
    return plain.get(str(schema.get("type")), "text")


def key_rows(model: type[BaseModel], prefix: str = "", seen: tuple[Any, ...] = ()) -> list[KeyRow]:
    """Every key of a model and of the models inside it, once."""
    return list(_rows(model, prefix, seen))


def _rows(model: type[BaseModel], prefix: str, seen: tuple[Any, ...]) -> Iterator[KeyRow]:
    properties = model.model_json_schema(by_alias=True)["properties"]
    for name, field in model.model_fields.items():
        key = field.alias or name
        hint = field.annotation
        inner = _model_in(hint)
        text = str(hint)
        path = prefix + key + ("[]" if "tuple" in text and inner else "")
        path += ".NAME" if "dict" in text and inner else ""
        default = "" if field.is_required() or inner else _default(field.get_default())
        yield KeyRow(
            path,
            _kind(hint, properties[key]),
            field.is_required(),
            default,
            field.description or "",
        )
        if inner is not None and inner not in seen:
            yield from _rows(inner, path + ".", (*seen, inner))


def _default(value: Any) -> str:
    if value is None or value == () or value == "":
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return ", ".join(str(v) for v in value) if isinstance(value, tuple) else str(value)


def library_files(
    environment: Environment,
    cards: Sequence[Card],
    *,
    site_name: str,
    contact: Contact | None = None,
) -> dict[str, bytes]:
    """The library's own pages and schemas, by path in the docs tree."""
    report = LibraryReport(contact, site_name) if contact else None
    bend, drawn, words = draw_two_books(), draw_words(), field_words()
    strengths = strength_rows(materials())
    context = {
        "up": "",
        "site_name": site_name,
        "cards": cards,
        "families": sorted({family for card in cards for family in card.materials}),
        "statuses": get_args(Status),
        "skills": get_args(Skill),
        "methods": methods(),
        "check_rooms": check_rooms(cases_by_room()),
        "materials": materials(),
        "strengths": strengths,
        "strength_sources": strength_sources(strengths),
        "example": sheet_example(),
        "bend": bend,
        "words": words,
        "word_drawings": drawn,
        "first_with": {word.drawing: word.id for word in reversed(words) if word.drawing},
        "density_text": density_text,
        "file_keys": [
            ("design.yaml", key_rows(DesignFile)),
            ("steps/010-….md, front matter", key_rows(StepHead)),
            ("notes.md, front matter", key_rows(NotesHead)),
            ("log.yaml", key_rows(FlightLog)),
            ("designs/_shared/NAME.yaml", key_rows(SharedFile)),
        ],
    }
    files = {
        page: with_link(
            environment,
            environment.get_template(f"{page}.j2").render(context),
            report.page(title) if report else None,
        ).encode()
        for page, title in LIBRARY_PAGES.items()
    }
    for drawing in (bend, *drawn.values()):
        files[f"figures/{drawing.name}.svg"] = drawing.svg
        files[f"figures/{drawing.name}-dark.svg"] = drawing.dark
    files["schema/design.json"] = _json(
        {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            **design_schema(),
        }
    )
    files["schema/dossier.json"] = _json(
        {"$schema": "https://json-schema.org/draft/2020-12/schema", **json_schema()}
    )
    return files


def _json(value: Any) -> bytes:
    return (json.dumps(value, indent=1, ensure_ascii=False, sort_keys=True) + "\n").encode()
