"""What a design left out and the program filled in, so that the page can say so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pydantic import BaseModel

from plansgen.library.models import DesignFile


@dataclass(frozen=True)
class Assumption:
    """One default that was used. where: dotted path; words: what is assumed."""

    where: str
    words: str


def assumptions(design: DesignFile) -> tuple[Assumption, ...]:
    """Every default in force that matters to a number on the page, in file order."""
    return tuple(_walk(design, ""))


def _walk(model: BaseModel, where: str) -> Iterator[Assumption]:
    for name, field in type(model).model_fields.items():
        path = f"{where}.{field.alias or name}" if where else (field.alias or name)
        extra = field.json_schema_extra
        if isinstance(extra, dict) and "assumed" in extra and name not in model.model_fields_set:
            yield Assumption(path, str(extra["assumed"]))
        yield from _inside(getattr(model, name), path)


def _inside(value: object, path: str) -> Iterator[Assumption]:
    if isinstance(value, BaseModel):
        yield from _walk(value, path)
    elif isinstance(value, dict):
        for key, entry in value.items():
            yield from _inside(entry, f"{path}.{key}")
    elif isinstance(value, tuple):
        for number, entry in enumerate(value):
            yield from _inside(entry, f"{path}[{number}]")
