"""What a model allows at a place, in words, read from the model's own JSON Schema.

So messages never drift from the models, and know aliases, nested models, groups and lists alike.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from plansgen.library.text import Place, shown_value

Schema = Mapping[str, Any]


@cache
def adapter_of(model: Any) -> TypeAdapter[Any]:
    """Return pydantic's validator of a model or a dataclass."""
    return TypeAdapter(model)


@cache
def schema_of(model: Any) -> Schema:
    """Return the model's JSON Schema with references resolvable through ``$defs``."""
    return adapter_of(model).json_schema()


def walk(root: Schema, location: Place) -> tuple[Place, Schema, Schema]:
    """Follow a location; return the path in the file, the schema there and the one around it.

    Pydantic's locations also name the branches of unions, which no file holds: they are dropped.
    """
    definitions = root.get("$defs", {})
    schema, parent, path = root, root, []
    for part in location:
        inner = _step(schema, part, definitions)
        if inner is None:
            continue
        parent, schema = schema, inner
        path.append(part)
    return tuple(path), _resolved(schema, definitions), _resolved(parent, definitions)


def _step(schema: Schema, part: str | int, definitions: Schema) -> Schema | None:
    """Return the schema one step in, or None when there is no such step."""
    for variant in variants(_resolved(schema, definitions)):
        if isinstance(part, int):
            ahead = variant.get("prefixItems", ())
            inner = ahead[part] if part < len(ahead) else variant.get("items")
        else:
            inner = variant.get("properties", {}).get(part)
            if inner is None and "properties" not in variant:
                inner = variant.get("additionalProperties")
                inner = next(iter(variant.get("patternProperties", {}).values()), inner)
        if isinstance(inner, Mapping):
            return _resolved(inner, definitions)
    return None


def _resolved(schema: Schema, definitions: Schema) -> Schema:
    """Return a schema with its references, and those of its branches, replaced."""
    if "$ref" in schema:
        target = definitions[schema["$ref"].rsplit("/", 1)[1]]
        schema = {**target, **{key: value for key, value in schema.items() if key != "$ref"}}
    if "anyOf" in schema:
        branches = [_resolved(branch, definitions) for branch in schema["anyOf"]]
        schema = {**schema, "anyOf": branches}
    return schema


def variants(schema: Schema) -> list[Schema]:
    """Return the branches of a schema, without the one for nothing."""
    branches = schema.get("anyOf") or [schema]
    return [branch for branch in branches if branch.get("type") != "null"]


def choices_of(schema: Schema) -> list[Any]:
    """Return the values of which one must stand there, if there is such a list."""
    return [
        choice
        for variant in variants(schema)
        for choice in variant.get("enum", [variant["const"]] if "const" in variant else [])
    ]


def keys_of(schema: Schema) -> list[str]:
    """Return the keys that a group may have, in the model's order."""
    return [key for variant in variants(schema) for key in variant.get("properties", {})]


def in_words(schema: Schema) -> str:
    """Say what a schema allows."""
    return " or ".join(dict.fromkeys(_variant_in_words(variant) for variant in variants(schema)))


def _variant_in_words(schema: Schema) -> str:
    if "x-allowed" in schema:
        return str(schema["x-allowed"])
    if choices := choices_of(schema):
        return ", ".join(map(_bare, choices))
    kind = schema.get("type")
    if kind == "string":
        return _text_in_words(schema)
    if kind in ("integer", "number"):
        word = "a whole number" if kind == "integer" else "a number"
        return word + _range(schema, "minimum", "maximum")
    if kind == "array":
        return "a list" + _range(schema, "minItems", "maxItems", " of {} entries")
    if kind == "object":
        keys = ", ".join(keys_of(schema))
        return f"the keys {keys}" if keys else "keys with their values"
    return {"boolean": "true or false"}.get(str(kind), "")


def _bare(choice: Any) -> str:
    return choice if isinstance(choice, str) else shown_value(choice)


# The few forms of text that models ask for, in words; a regular expression helps no builder.
_FORMS = {
    r"^[a-z][a-z0-9_]{0,30}$": "small letters, digits and _, beginning with a letter, at most 31",
    r"^\d{4}$": 'four digits in quotes, such as "2412"',
    r"^[A-Z]{1,2}$": "one or two capital letters",
    r"^[a-z0-9-]+$": "small letters, digits and hyphens",
    r"^[0-9a-f]{64}$": "64 of the digits 0 to 9 and a to f",
    r"""^[^<>&"`{}\[\]\\|*_#]{1,60}$""": "up to 60 characters, without marks such as < * _ #",
    r"""^[^<>&"`{}\[\]\\|*_#\d]{1,12}$""": "up to 12 characters, no digits or marks such as < *",
}


def _text_in_words(schema: Schema) -> str:
    if schema.get("format") == "date":
        return "a date such as 2026-05-30"
    if pattern := schema.get("pattern"):
        description = str(schema.get("description", "")).rstrip(".")
        return _FORMS.get(pattern) or description or f"text that fits {pattern}"
    return "text" + _range(schema, "minLength", "maxLength", " of {} characters")


def _range(schema: Schema, low: str, high: str, form: str = " {}") -> str:
    """Say a range such as `` from 1 to 500``, as far as the schema has one."""
    least, most = schema.get(low), schema.get(high)
    above, below = schema.get("exclusiveMinimum"), schema.get("exclusiveMaximum")
    if form == " {}":
        limits = [("above {}", above), ("at least {}", least), ("below {}", below)]
        limits.append(("at most {}", most))
        if least is not None and most is not None:
            return f" from {least} to {most}"
        words = [words.format(limit) for words, limit in limits if limit is not None]
        return f" {' and '.join(words)}" if words else ""
    if least is not None and most is not None:
        return form.format(f"{least} to {most}")
    if least is not None:
        return form.format(f"at least {least}")
    return form.format(f"at most {most}") if most is not None else ""


def key_in_words(parent: Schema) -> str:
    """Say what a key of a group may be."""
    for variant in variants(parent):
        for pattern in variant.get("patternProperties", {}):
            return _FORMS.get(pattern, f"text that fits {pattern}")
        if "propertyNames" in variant:
            return in_words(variant["propertyNames"])
    return "text"
