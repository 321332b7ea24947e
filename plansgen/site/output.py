"""What one design contributes to the site."""

from __future__ import annotations

from dataclasses import dataclass

from plansgen.review.finding import Finding
from plansgen.site.library_pages import Card


@dataclass(frozen=True)
class DesignOutput:
    """One design, made: files by path in the docs tree, its card in the gallery, its findings."""

    slug: str
    files: dict[str, bytes]
    card: Card
    findings: tuple[Finding, ...]
