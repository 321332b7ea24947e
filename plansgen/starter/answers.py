"""Reading the answers about a new design: a span with its unit, a name as a folder."""

from __future__ import annotations

import re

from pydantic import TypeAdapter, ValidationError

from plansgen.library.folder import SLUG
from plansgen.library.units import FileUnits, PositiveLength
from plansgen.problems import BadInput, Problem

_SPAN = TypeAdapter(PositiveLength)
_EXAMPLES = 'a length with its unit, such as "1.2 m" or "48 in"'


def read_span(text: str) -> float:
    """Read a span. [m]

    Raises:
        BadInput: it is no length, or it has no unit (which would be a guess).
    """
    if re.fullmatch(r"[\d\s.,/+-]*", text):
        raise BadInput([Problem("new design", 0, "span", f"{text[:40]!a} has no unit", _EXAMPLES)])
    try:
        return _SPAN.validate_python(text, context={"units": FileUnits()})
    except ValidationError as error:
        wrong = str(error.errors()[0].get("ctx", {}).get("wrong", "is no length"))
        raise BadInput([Problem("new design", 0, "span", wrong, _EXAMPLES)]) from None


def slug_of(name: str) -> str:
    """The folder of a design of that name: ``Little Stint`` goes into ``little-stint``.

    Raises:
        BadInput: the name gives no folder name that can be an address.
    """
    slug = re.sub(r"[\s_]+", "-", name.strip().lower())
    if not SLUG.fullmatch(slug):
        allowed = "letters, digits, spaces and hyphens, at most 40, starting with a letter"
        raise BadInput([Problem("new design", 0, "name", f"{name[:60]!a} is no name", allowed)])
    return slug


def title_of(name: str) -> str:
    """The name as written, or a folder's name as a title: ``little-stint`` is ``Little Stint``."""
    plain = " ".join(name.split())
    return plain if plain != plain.lower() else re.sub(r"[-_\s]+", " ", plain).title()
