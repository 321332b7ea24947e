"""Everything that changed between two revisions of a design, worked out and not only told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from plansgen.changes.numbers import NumberChange, number_changes, travel_changes
from plansgen.changes.parts import PartChange, SheetChange, part_changes, sheet_changes
from plansgen.changes.steps import StepChange, step_changes
from plansgen.dossier import Dossier, work_out_all
from plansgen.library.design import Design
from plansgen.patterns.result import PatternSet
from plansgen.review.finding import SEVERITIES, Finding


@dataclass(frozen=True)
class WorkedOut:
    """A revision with everything that was worked out about it."""

    design: Design
    dossier: Dossier
    patterns: PatternSet | None

    @classmethod
    def of(cls, design: Design) -> WorkedOut:
        """Work out a revision; takes seconds."""
        return cls(design, *work_out_all(design))


@dataclass(frozen=True)
class FindingChange:
    """A finding that was opened, closed, or is graver or milder than it was.

    finding: the new one; of a closed one, the old. was: how grave it was; empty for an opened one.
    """

    kind: Literal["opened", "closed", "graver", "milder"]
    finding: Finding
    was: str = ""


@dataclass(frozen=True)
class Changes:
    """What is not in the new revision as it was in the old. was, now: their letters."""

    was: str
    now: str
    numbers: tuple[NumberChange, ...]
    parts: tuple[PartChange, ...]
    sheets: tuple[SheetChange, ...]
    steps: tuple[StepChange, ...]
    findings: tuple[FindingChange, ...]

    @property
    def print_again(self) -> tuple[SheetChange, ...]:
        """Sheets that hold a part that is new or changed."""
        return tuple(sheet for sheet in self.sheets if sheet.again)

    @property
    def nothing(self) -> bool:
        """Whether both revisions are the same to a builder."""
        return not (self.numbers or self.parts or self.print_again or self.steps or self.findings)


def changes(old: WorkedOut, new: WorkedOut) -> Changes:
    """What changed from one revision to another."""
    parts = part_changes(old.patterns, new.patterns)
    return Changes(
        was=old.dossier.revision,
        now=new.dossier.revision,
        numbers=(
            *number_changes(old.dossier, new.dossier),
            *travel_changes(old.design.file, new.design.file),
        ),
        parts=parts,
        sheets=sheet_changes(old.patterns, new.patterns, parts),
        steps=step_changes(old.design.steps, new.design.steps),
        findings=finding_changes(old.dossier.findings, new.dossier.findings),
    )


def finding_changes(old: Iterable[Finding], new: Iterable[Finding]) -> tuple[FindingChange, ...]:
    """Findings opened, closed, graver or milder. A finding is known again by rule and title."""
    return tuple(_finding_changes(list(old), list(new)))


def _finding_changes(old: list[Finding], new: list[Finding]) -> Iterator[FindingChange]:
    left = list(old)
    for finding in new:
        same = [one for one in left if (one.rule, one.title) == (finding.rule, finding.title)]
        if not same:
            yield FindingChange("opened", finding)
            continue
        # Of several with one title the one as grave as before, else the first.
        before = next((one for one in same if one.severity == finding.severity), same[0])
        left.remove(before)
        rank = SEVERITIES.index
        if rank(finding.severity) < rank(before.severity):
            yield FindingChange("graver", finding, before.severity)
        elif rank(finding.severity) > rank(before.severity):
            yield FindingChange("milder", finding, before.severity)
    for finding in left:
        yield FindingChange("closed", finding, finding.severity)
