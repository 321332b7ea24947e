"""Build steps ready for their page, each caution in full only where it first comes up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from plansgen.library.design import Design, Step
from plansgen.library.markdown import render_markdown
from plansgen.library.tables import Caution, Fact, cautions_for


@dataclass(frozen=True)
class PictureView:
    """A step's picture with its size."""

    file: str
    alt: str
    caption: str | None
    width: int
    height: int


@dataclass(frozen=True)
class FullCaution:
    """A caution in full; anchor: its id on the page, empty where it has one already."""

    caution: Caution
    anchor: str


@dataclass(frozen=True)
class Reminder:
    """A caution that an earlier step of the page gives in full."""

    caution: Caution
    step: int


@dataclass(frozen=True)
class StepView:
    """A build step ready for its template."""

    key: str
    head: Any
    html: Markup
    cautions: tuple[FullCaution, ...]
    reminders: tuple[Reminder, ...]
    pictures: tuple[PictureView, ...]


def markdown(text: str) -> Markup:
    """Design text as HTML; the renderer lets no markup of the author's through."""
    return Markup(render_markdown(text))


def step_views(design: Design) -> list[StepView]:
    """Steps in order.

    A caution repeated in every step is soon read by nobody: it stands in full once, then by name.
    A danger stands in full each time.
    """
    told: dict[str, int] = {}
    return [_step_view(design, step, number, told) for number, step in enumerate(design.steps, 1)]


def _step_view(design: Design, step: Step, number: int, told: dict[str, int]) -> StepView:
    full, again = [], []
    for caution in _step_cautions(step.head.cautions):
        if caution.id not in told:
            full.append(FullCaution(caution, f"caution-{caution.id}"))
            told[caution.id] = number
        elif caution.level == "danger":
            full.append(FullCaution(caution, ""))
        else:
            again.append(Reminder(caution, told[caution.id]))
    return StepView(
        step.key,
        step.head,
        markdown(step.text),
        tuple(full),
        tuple(again),
        tuple(_pictures(design, step)),
    )


def _pictures(design: Design, step: Step) -> Iterator[PictureView]:
    for picture in step.head.pictures:
        found = design.pictures[picture.file]
        yield PictureView(picture.file, picture.alt, picture.caption, found.width, found.height)


def _step_cautions(facts: tuple[Fact, ...]) -> tuple[Caution, ...]:
    """Cautions of one step: those its own facts call for, without the ones that always apply."""
    always = {caution.id for caution in cautions_for(frozenset())}
    return tuple(c for c in cautions_for(frozenset(facts)) if c.id not in always)
