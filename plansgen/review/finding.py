"""A finding: one rule's verdict on one design."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["severe", "caution", "note"]
SEVERITIES: tuple[Severity, ...] = ("severe", "caution", "note")


@dataclass(frozen=True, kw_only=True)
class Finding:
    """What a rule found.

    severity: severe (do not fly it like this), caution (mend it or know it), note (worth knowing).
    number, limit: what was found and what was wanted, with units, as text. why: what it means in
    the air or at the bench. do: what to change and by how much. source: where the limit is from.
    """

    rule: str
    severity: Severity
    title: str
    number: str
    limit: str
    why: str
    do: str
    source: str


def at_or_above(severity: Severity, floor: Severity) -> bool:
    """Whether a severity counts when findings from ``floor`` upward do."""
    return SEVERITIES.index(severity) <= SEVERITIES.index(floor)
