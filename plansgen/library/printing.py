"""The setting for a printer that does not print true: what 100 mm measures on its paper."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from plansgen.library.settings import FILE, extra_setting
from plansgen.problems import BadInput, Problem

TRUE = 100.0
"""What the check bars of a printed page should measure. [mm]"""

LEAST, MOST = 91.0, 110.0
"""Beyond these it is a wrong print setting and not a printer. [mm]"""


@dataclass(frozen=True)
class Printer:
    """What the 100 mm bars measure. [mm]

    across: on the bar along the shorter side of the paper, or across the roll. along: on the other.
    """

    across: float = TRUE
    along: float = TRUE


def problem_of(value: object) -> str:
    """What is wrong with a measured bar, in words; nothing when it can be used."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return f'"{str(value)[:40]}" is not a number of millimetres'
    if not LEAST <= value <= MOST:
        return (
            f"the 100 mm bar cannot measure {value:g} mm on a page printed at 100 %; "
            "print one without fitting it to the page first"
        )
    return ""


def printer_of(library: Path) -> Printer:
    """The printer that a library's mkdocs.yml tells of, under ``extra: printing:``.

    Raises:
        BadInput: the setting cannot be used, or the file cannot be read as YAML.
    """
    given = extra_setting(library, "printing")
    if given is None:
        return Printer()
    return _printer(given)


def _printer(given: object) -> Printer:
    field = "extra.printing"
    if not isinstance(given, Mapping):
        raise BadInput([Problem(FILE, 0, field, "is not a list of settings", "across, along")])
    problems = [
        Problem(FILE, 0, f"{field}.{str(key)[:40]}", "unknown key", "across, along")
        for key in given
        if key not in ("across", "along")
    ]
    values = {key: given.get(key, TRUE) for key in ("across", "along")}
    problems += [
        Problem(FILE, 0, f"{field}.{key}", words, f"{LEAST:g} to {MOST:g}")
        for key, value in values.items()
        if (words := problem_of(value))
    ]
    if problems:
        raise BadInput(problems)
    return Printer(**values)
