"""The JSON Schema of the design file for editors: the model's own, and what is written in short."""

from __future__ import annotations

from typing import Any

from plansgen.library.models import DesignFile
from plansgen.library.shelf import NAME, USE

_GROUPS = ("Surface", "Body", "Material", "Part", "Item", "Battery")
"""Models that a group with the key ``shared`` may stand for."""

_KEY = {
    "type": "string",
    "pattern": f"^{NAME.pattern}$",
    "description": "Name of a shared piece; the other keys win over what it says.",
}

_SECTION = {
    "type": "string",
    "pattern": r"^\s*([Nn][Aa][Cc][Aa] *\d{4}|[Pp]oints \S.*)\s*$",
    "description": "In short: NACA 2412, or points and the name of a file.",
}


def design_schema() -> dict[str, Any]:
    """JSON Schema of ``design.yaml``; a group that uses a shared piece may leave anything out."""
    schema = DesignFile.model_json_schema(by_alias=True)
    for name in _GROUPS:
        group = schema["$defs"][name]
        group["properties"][USE] = _KEY
        if needed := group.pop("required", None):
            group["anyOf"] = [{"required": needed}, {"required": [USE]}]
    for name in ("Surface", "Station"):
        schema["$defs"][name]["properties"]["section"]["anyOf"].append(_SECTION)
    hazards = schema["properties"]["hazards"]
    use = {
        "type": "object",
        "properties": {USE: _KEY},
        "required": [USE],
        "additionalProperties": False,
    }
    hazards["items"] = {"anyOf": [hazards["items"], use]}
    return schema
