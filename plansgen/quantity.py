"""The mark that every published number carries: its unit, its name, and how it is worked out.

A result is a plain ``float`` in SI inside a frozen dataclass. The mark rides on the type::

    area: Annotated[float, Quantity("m²", "Wing area, projected", "planform-area")]

so that calculations stay plain arithmetic while pages, the JSON and its schema all read the same
unit and the same method from one place.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints

from pydantic import GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema


@dataclass(frozen=True)
class Quantity:
    """Unit, label and method of a number in a result.

    unit: SI unit as printed (``m``, ``m²``, ``kg``, ``rad``, ``1`` for a pure number).
    label: the field's standard term for it.
    method: key of the entry in ``plansgen/data/methods.yaml``.
    shown: how a page shows it where the unit leaves a choice: ``%`` for a share.
    """

    unit: str
    label: str
    method: str
    shown: str = ""

    def __get_pydantic_json_schema__(
        self, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Add unit and label to the published JSON Schema."""
        schema = handler(core_schema)
        schema.update(title=self.label, unit=self.unit, method=self.method)
        return schema


@cache
def quantities(result_type: type[Any]) -> dict[str, Quantity]:
    """Return the marks on the fields of a result dataclass, in field order."""
    hints = get_type_hints(result_type, include_extras=True)
    marks: dict[str, Quantity] = {}
    for field in dataclasses.fields(result_type):
        mark = _mark_in(hints[field.name])
        if mark is not None:
            marks[field.name] = mark
    return marks


def _mark_in(hint: Any) -> Quantity | None:
    """Find the mark in ``Annotated[...]``, also inside ``X | None`` and ``tuple[X, ...]``."""
    if hasattr(hint, "__metadata__"):
        for extra in hint.__metadata__:
            if isinstance(extra, Quantity):
                return extra
        return _mark_in(hint.__origin__)
    if get_origin(hint) is None:
        return None
    return next((mark for arg in get_args(hint) if (mark := _mark_in(arg))), None)
