"""From plain data to a checked model; every error becomes a problem in plain words.

What may stand at a place is read from the model's own JSON Schema, so messages never drift from
the models and know aliases, nested models, groups and lists alike.
"""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from plansgen.library.source import Source
from plansgen.library.text import Place, dotted, shown_value
from plansgen.library.units import FileUnits
from plansgen.problems import BadInput, Problem, nearest_name

M = TypeVar("M")
_Schema = Mapping[str, Any]

_UNKNOWN_KEY = frozenset({"extra_forbidden", "unexpected_keyword_argument"})
_MISSING = frozenset({"missing", "missing_argument", "missing_keyword_only_argument"})
_KEY_MARK = "[key]"  # how pydantic marks an error in a key and not in its value


def validated(model: type[M], source: Source, *, units: FileUnits, at: Place = ()) -> M:
    """Return the data of a file, or of a place in it, as a model.

    Args:
        model: what it must be; a pydantic model or a dataclass.
        source: the file as read.
        units: the units of its bare numbers.
        at: the place within the file.

    Raises:
        BadInput: with every problem found.
    """
    try:
        data = _value_at(source.data, at)
    except LookupError:
        raise BadInput([Problem(source.file, source.line(at), dotted(at), "is missing")]) from None
    try:
        result: M = _adapter(model).validate_python(data, context={"units": units})
    except ValidationError as error:
        found = [_Finding.of(model, detail, at) for detail in error.errors()]
        raise BadInput(_problems(found, source)) from None
    return result


def _value_at(data: Any, path: Place) -> Any:
    for part in path:
        if not isinstance(data, Mapping | list):
            raise KeyError(part)
        data = data[part]  # type: ignore[index]
    return data


@dataclass(frozen=True)
class _Finding:
    """One error of pydantic's, put in its place in the file."""

    error: str
    path: Place
    value: Any
    context: Mapping[str, Any]
    schema: _Schema
    parent: _Schema
    is_key: bool

    @classmethod
    def of(cls, model: type[Any], detail: Any, at: Place) -> _Finding:
        location = tuple(detail["loc"])
        is_key = location[-1:] == (_KEY_MARK,)
        if is_key:
            location = location[:-1]
        path, schema, parent = _walk(_schema_of(model), location)
        if detail["type"] in _UNKNOWN_KEY | _MISSING and path[-1:] != location[-1:]:
            parent, path = schema, (*path, location[-1])
        context = detail.get("ctx") or {}
        return cls(detail["type"], at + path, detail["input"], context, schema, parent, is_key)


def _problems(found: Sequence[_Finding], source: Source) -> Iterator[Problem]:
    """Give each finding's problem, without those that only follow from another.

    A misspelt key also goes missing, and pydantic counts no entry that has an error in it.
    """
    meant = {
        (*finding.path[:-1], _nearest_key(finding, source))
        for finding in found
        if finding.error in _UNKNOWN_KEY
    }
    for finding in found:
        misspelt = finding.error in _MISSING and finding.path in meant
        if not misspelt and not _is_long_enough(finding):
            yield _problem(finding, source)


def _problem(finding: _Finding, source: Source) -> Problem:
    path, nearest = finding.path, ""
    allowed = _in_words(finding.schema)
    value = shown_value(finding.value)
    if finding.is_key:
        name = str(path[-1])
        wrong, allowed = f"the key {shown_value(name)} cannot be used", _key_in_words(finding)
        nearest = _tidy_key(name)
    elif finding.error in _UNKNOWN_KEY:
        wrong, nearest = "is an unknown key", _nearest_key(finding, source)
        allowed = ", ".join(_keys(finding.parent)) or "no keys"
    elif finding.error in _MISSING:
        description = str(finding.schema.get("description", "")).rstrip(".")
        wrong = f"is missing: {description}" if description else "is missing"
    elif finding.error == "measure":
        wrong, allowed = finding.context["wrong"], finding.context["allowed"]
        nearest = finding.context["nearest"]
    elif finding.error in ("value_error", "assertion_error"):
        path, wrong = _own_words(str(finding.context.get("error", "")), path, source)
        allowed = ""
    elif finding.error in ("too_short", "too_long"):
        wrong = f"has {len(finding.value)} entries"
    else:
        wrong, nearest = _misfit(finding, value)
    return Problem(source.file, source.line(path), dotted(path), wrong, allowed, nearest)


def _misfit(finding: _Finding, value: str) -> tuple[str, str]:
    """Say what stands there; what may stand there follows in the problem's own field."""
    if finding.error == "string_too_short":
        return ("is empty" if not str(finding.value).strip() else f"{value} is too short"), ""
    if finding.error == "string_too_long":
        return f"is too long: {len(finding.value)} characters", ""
    choices = [word for word in _choices(finding.schema) if isinstance(word, str)]
    if choices and isinstance(finding.value, str):
        near = nearest_name(finding.value, choices) or nearest_name(finding.value.lower(), choices)
        return f"{value} is not one of the choices", near
    hint = "; put it in quotes" if _is_number_for_text(finding) else ""
    return f"{value} cannot stand here{hint}", ""


def _is_number_for_text(finding: _Finding) -> bool:
    wants_text = any(variant.get("type") == "string" for variant in _variants(finding.schema))
    return wants_text and isinstance(finding.value, bool | int | float)


def _is_long_enough(finding: _Finding) -> bool:
    """Tell whether a list or group said to be too short is long enough as written."""
    return finding.error == "too_short" and len(finding.value) >= finding.context["min_length"]


_LEADING_PATH = re.compile(r"([a-z_]\w*(?:\[\d+\]|\.[a-z_]\w*)*):? (?=must |does |\")")
_PATH_PART = re.compile(r"\[(\d+)\]|\.?(\w+)")


def _own_words(text: str, path: Place, source: Source) -> tuple[Place, str]:
    """Move a place that a model's own message begins with into the problem's place."""
    if found := _LEADING_PATH.match(text):
        parts = (
            int(number) if number else name for number, name in _PATH_PART.findall(found.group(1))
        )
        inner = (*path, *parts)
        if inner in source.lines:
            return inner, text[found.end() :]
    return path, text


# ---------------------------------------------------------------- what a model allows


@cache
def _adapter(model: Hashable) -> TypeAdapter[Any]:
    return TypeAdapter(model)


@cache
def _schema_of(model: Hashable) -> _Schema:
    """Return the model's JSON Schema with references resolvable through ``$defs``."""
    return _adapter(model).json_schema()


def _walk(root: _Schema, location: Place) -> tuple[Place, _Schema, _Schema]:
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


def _step(schema: _Schema, part: str | int, definitions: _Schema) -> _Schema | None:
    """Return the schema one step in, or None when there is no such step."""
    for variant in _variants(_resolved(schema, definitions)):
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


def _resolved(schema: _Schema, definitions: _Schema) -> _Schema:
    """Return a schema with its references, and those of its branches, replaced."""
    if "$ref" in schema:
        target = definitions[schema["$ref"].rsplit("/", 1)[1]]
        schema = {**target, **{key: value for key, value in schema.items() if key != "$ref"}}
    if "anyOf" in schema:
        branches = [_resolved(branch, definitions) for branch in schema["anyOf"]]
        schema = {**schema, "anyOf": branches}
    return schema


def _variants(schema: _Schema) -> list[_Schema]:
    """Return the branches of a schema, without the one for nothing."""
    branches = schema.get("anyOf") or [schema]
    return [branch for branch in branches if branch.get("type") != "null"]


def _choices(schema: _Schema) -> list[Any]:
    return [
        choice
        for variant in _variants(schema)
        for choice in variant.get("enum", [variant["const"]] if "const" in variant else [])
    ]


def _keys(schema: _Schema) -> list[str]:
    return [key for variant in _variants(schema) for key in variant.get("properties", {})]


def _nearest_key(finding: _Finding, source: Source) -> str:
    """Return the known key most like an unknown one, first among those not given yet."""
    name = str(finding.path[-1])
    known = _keys(finding.parent)
    free = [key for key in known if (*finding.path[:-1], key) not in source.lines]
    return nearest_name(name, free) or nearest_name(name.lower(), free) or nearest_name(name, known)


def _in_words(schema: _Schema) -> str:
    """Say what a schema allows."""
    return " or ".join(dict.fromkeys(_variant_in_words(variant) for variant in _variants(schema)))


def _variant_in_words(schema: _Schema) -> str:
    if "x-allowed" in schema:
        return str(schema["x-allowed"])
    if choices := _choices(schema):
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
        keys = ", ".join(_keys(schema))
        return f"the keys {keys}" if keys else "keys with their values"
    return {"boolean": "true or false"}.get(str(kind), "")


def _bare(choice: Any) -> str:
    return choice if isinstance(choice, str) else shown_value(choice)


# The few forms of text that models ask for, in words; a regular expression helps no builder.
_FORMS = {
    r"^[a-z][a-z0-9_]{0,30}$": "small letters, digits and _, beginning with a letter, at most 31",
    r"^\d{4}$": 'four digits in quotes, such as "2412"',
    r"^[A-Z]{1,2}$": "one or two capital letters",
}


def _text_in_words(schema: _Schema) -> str:
    if schema.get("format") == "date":
        return "a date such as 2026-05-30"
    if pattern := schema.get("pattern"):
        description = str(schema.get("description", "")).rstrip(".")
        return _FORMS.get(pattern) or description or f"text that fits {pattern}"
    return "text" + _range(schema, "minLength", "maxLength", " of {} characters")


def _range(schema: _Schema, low: str, high: str, form: str = " {}") -> str:
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


def _key_in_words(finding: _Finding) -> str:
    """Say what a key of a group may be."""
    for variant in _variants(finding.parent):
        for pattern in variant.get("patternProperties", {}):
            return _FORMS.get(pattern, f"text that fits {pattern}")
        if "propertyNames" in variant:
            return _in_words(variant["propertyNames"])
    return "text"


def _tidy_key(name: str) -> str:
    """Return a key made of an unusable one: ``Main wing`` gives ``main_wing``."""
    tidy = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")[:31]
    return tidy if re.match(r"[a-z]", tidy) and tidy != name else ""
