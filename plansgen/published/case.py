"""One check from outside: a published value, ours, and how far they may part."""

from __future__ import annotations

from dataclasses import dataclass

from plansgen.library.tables import Mark


@dataclass(frozen=True)
class Case:
    """A published value and ours.

    key: short name. room: the subject it belongs to. unit: of both values, empty for a plain
    number. tolerance: greatest difference allowed, in the unit, or as a share of the published
    value when ``relative``. why: what that tolerance follows from. source: where the published
    value comes from, and mark: how it came here. note: for a value that is visibly off, what that
    means for a builder.
    """

    key: str
    room: str
    title: str
    published: float
    ours: float
    unit: str
    tolerance: float
    relative: bool
    why: str
    source: str
    mark: Mark
    note: str = ""

    @property
    def difference(self) -> float:
        """Ours less the published value, in the unit; when ``relative``, as a share of it.

        As a share it is positive when ours is the larger in size.
        """
        apart = self.ours - self.published
        return apart / self.published if self.relative else apart

    @property
    def holds(self) -> bool:
        """Whether the difference lies within the tolerance."""
        return abs(self.difference) <= self.tolerance
