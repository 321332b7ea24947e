"""From plain data to a checked model; every error becomes a problem in plain words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar, cast

from pydantic import ValidationError

from plansgen.library.allowed import (
    Schema,
    adapter_of,
    choices_of,
    in_words,
    key_in_words,
    keys_of,
    schema_of,
    variants,
    walk,
)
from plansgen.library.source import Source
from plansgen.library.text import Place, shown_value
from plansgen.library.units import FileUnits
from plansgen.problems import BadInput, Problem, nearest_name

M = TypeVar("M")

_UNKNOWN_KEY = frozenset({"extra_forbidden", "unexpected_keyword_argument"})
_MISSING = frozenset({"missing", "missing_argument", "missing_keyword_only_argument"})
_MOST_PROBLEMS = 100  # nobody reads more at a time
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
        raise BadInput([source.problem(at, "is missing")]) from None
    try:
        result: M = adapter_of(cast(Any, model)).validate_python(data, context={"units": units})
    except ValidationError as error:
        details = error.errors(include_url=False)
        found = [_Finding.of(model, detail, at) for detail in details[:_MOST_PROBLEMS]]
        problems = list(_problems(found, source))
        if len(details) > len(found):
            more = f"holds {len(details) - len(found)} more problems; mend these first"
            problems.append(Problem(source.file, 0, "", more))
        raise BadInput(problems) from None
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
    schema: Schema
    parent: Schema
    is_key: bool

    @classmethod
    def of(cls, model: type[Any], detail: Any, at: Place) -> _Finding:
        location = tuple(detail["loc"])
        is_key = location[-1:] == (_KEY_MARK,)
        if is_key:
            location = location[:-1]
        path, schema, parent = walk(schema_of(cast(Any, model)), location)
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
    allowed = in_words(finding.schema)
    value = shown_value(finding.value)
    if finding.is_key:
        name = str(path[-1])
        wrong, allowed = f"the key {shown_value(name)} cannot be used", key_in_words(finding.parent)
        nearest = _tidy_key(name)
    elif finding.error in _UNKNOWN_KEY:
        wrong, nearest = "is an unknown key", _nearest_key(finding, source)
        allowed = ", ".join(keys_of(finding.parent)) or "no keys"
    elif finding.error in _MISSING:
        description = str(finding.schema.get("description", "")).rstrip(".")
        wrong = f"is missing: {description}" if description else "is missing"
        allowed = "" if allowed == description else allowed
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
    return source.problem(path, wrong, allowed, nearest)


def _misfit(finding: _Finding, value: str) -> tuple[str, str]:
    """Say what stands there; what may stand there follows in the problem's own field."""
    if finding.value is None:
        return "has no value", ""
    if finding.error == "string_too_short":
        return ("is empty" if not str(finding.value).strip() else f"{value} is too short"), ""
    if finding.error == "string_too_long":
        return f"is too long: {len(finding.value)} characters", ""
    choices = [word for word in choices_of(finding.schema) if isinstance(word, str)]
    if choices and isinstance(finding.value, str):
        near = nearest_name(finding.value, choices) or nearest_name(finding.value.lower(), choices)
        return f"{value} is not one of the choices", near
    hint = "; put it in quotes" if not choices and _is_number_for_text(finding) else ""
    return f"{value} cannot stand here{hint}", ""


def _is_number_for_text(finding: _Finding) -> bool:
    wants_text = any(variant.get("type") == "string" for variant in variants(finding.schema))
    return wants_text and isinstance(finding.value, bool | int | float)


def _is_long_enough(finding: _Finding) -> bool:
    """Tell whether a list or group said to be too short is long enough as written."""
    return finding.error == "too_short" and len(finding.value) >= finding.context["min_length"]


# A path such as stations[2].x is a place whatever follows; one word only if it is used as one.
_LEADING_PATH = re.compile(
    r"([a-z_]\w*(?:\[\d+\]|\.[a-z_]\w*)+(?=[: ])|[a-z_]\w*(?=: | must | does | \"))(?:: | )"
)
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


def _nearest_key(finding: _Finding, source: Source) -> str:
    """Return the known key most like an unknown one, first among those not given yet."""
    name = str(finding.path[-1])
    known = keys_of(finding.parent)
    free = [key for key in known if (*finding.path[:-1], key) not in source.lines]
    return nearest_name(name, free) or nearest_name(name.lower(), free) or nearest_name(name, known)


def _tidy_key(name: str) -> str:
    """Return a key made of an unusable one: ``Main wing`` gives ``main_wing``."""
    tidy = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")[:31]
    return tidy if re.match(r"[a-z]", tidy) and tidy != name else ""
