"""Checks from outside as rows of text for the page of methods."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from plansgen.published.case import Case
from plansgen.site.format import GAP, plain


@dataclass(frozen=True)
class CheckRow:
    """One check as shown. holds: the difference lies within what is allowed."""

    title: str
    published: str
    ours: str
    difference: str
    allowed: str
    why: str
    source: str
    holds: bool


@dataclass(frozen=True)
class Remark:
    """Where ours is off: which checks, and what that means for a builder."""

    titles: str
    text: str


@dataclass(frozen=True)
class CheckRoom:
    """The checks of one subject."""

    title: str
    rows: tuple[CheckRow, ...]
    remarks: tuple[Remark, ...]


def _decimals(value: float) -> int:
    """Decimals that a number was written with."""
    exponent = Decimal(repr(value)).normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _fine(tolerance: float) -> int:
    """Decimals that show a tenth of a tolerance."""
    return max(1, 1 + math.ceil(-math.log10(tolerance)))


def _with_unit(number: str, unit: str) -> str:
    """A number and its unit; degrees and a fraction of something are told apart by their unit."""
    if not unit:
        return number
    return f"{number}°" if unit == "°" else f"{number}{GAP}{unit}"


def _row(case: Case) -> CheckRow:
    # Shares are told in per cent, the rest in the unit of the value.
    scale, unit = (100.0, "%") if case.relative else (1.0, case.unit)
    apart, allowed = case.difference * scale, round(case.tolerance * scale, 12)
    width = case.tolerance * (abs(case.published) if case.relative else 1.0)
    change = plain(apart, _fine(allowed))
    sign = "+" if apart > 0 and any(digit in "123456789" for digit in change) else ""
    return CheckRow(
        title=case.title,
        published=_with_unit(plain(case.published, _decimals(case.published)), case.unit),
        ours=_with_unit(plain(case.ours, max(_decimals(case.published), _fine(width))), case.unit),
        difference=_with_unit(sign + change, unit),
        allowed=_with_unit(f"±{GAP}{plain(allowed, _decimals(allowed))}", unit),
        why=case.why,
        source=f"{case.source} ({case.mark})",
        holds=case.holds,
    )


def _remarks(cases: Iterable[Case], rows: Iterable[CheckRow]) -> tuple[Remark, ...]:
    """One for each note; checks that share a note share the remark."""
    told: dict[str, list[str]] = {}
    for case, row in zip(cases, rows, strict=True):
        if case.note:
            told.setdefault(case.note, []).append(f"{case.title} ({row.difference})")
    return tuple(Remark("; ".join(titles), note) for note, titles in told.items())


def check_rooms(rooms: Mapping[str, Sequence[Case]]) -> tuple[CheckRoom, ...]:
    """What the page shows of the cases, subject by subject."""
    found = []
    for title, cases in rooms.items():
        rows = tuple(_row(case) for case in cases)
        found.append(CheckRoom(title, rows, _remarks(cases, rows)))
    return tuple(found)
