"""The schema that editors read: what the reader takes it takes, by an independent validator."""

from __future__ import annotations

from typing import Any

import jsonschema
import pytest

from plansgen.library.editor_schema import design_schema
from tests.designs import EVERY_LAYOUT, glider, skin


def faults(raw: Any) -> list[str]:
    """By JSON Schema draft 2020-12, as the library jsonschema implements it."""
    validator = jsonschema.Draft202012Validator(design_schema())
    return [".".join(map(str, error.path)) for error in validator.iter_errors(raw)]


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(design_schema())


@pytest.mark.parametrize("name", EVERY_LAYOUT)
def test_designs_without_shared_pieces(name: str) -> None:
    assert faults(EVERY_LAYOUT[name]()) == []


def test_a_use_of_a_shared_piece_may_leave_anything_out() -> None:
    raw = glider() | {"bodies": {"pod": {"shared": "nacelle", "at": {"x": 3}}}}
    raw["items"].append({"shared": "mount"})
    raw["hazards"] = ["magnets", {"shared": "cutting"}]
    raw["materials"]["card"] = {"shared": "card"}
    assert faults(raw) == []


def test_what_uses_nothing_must_be_whole() -> None:
    assert faults(glider() | {"bodies": {"pod": {"at": {"x": 3}}}}) == ["bodies.pod"]
    part = skin()
    del part["name"]
    assert faults(glider() | {"parts": [part]}) == ["parts.0"]
    assert faults(glider() | {"items": [{"shared": "../x"}]}) == ["items.0.shared"]
