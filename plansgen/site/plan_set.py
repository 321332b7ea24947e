"""The plan set in one PDF: cover, drawings, patterns, build steps, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from plansgen.dossier import Dossier
from plansgen.figures.save import Drawing
from plansgen.library.design import Design, Step
from plansgen.library.markdown import plain_blocks
from plansgen.library.tables import caution_levels, cautions_for
from plansgen.patterns.flat import FlatPart
from plansgen.patterns.flow import Bullets, Caution, Flow, Heading, Paragraph, Rows
from plansgen.patterns.pages import Title
from plansgen.patterns.planset import (
    Block,
    Cover,
    DrawingPages,
    PatternPages,
    TextPages,
    plan_set,
)
from plansgen.patterns.print import Layout
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.tiles import papers
from plansgen.quantity import quantities
from plansgen.site.format import Shown, show

_VIEWS = (("plan", "Plan view"), ("side", "Side view"), ("front", "Front view"))


def title_of(dossier: Dossier) -> Title:
    """What stands at the foot of every printed page."""
    return Title(dossier.name, f"revision {dossier.revision}", dossier.fingerprint[:12])


def plans_pdf(
    design: Design,
    dossier: Dossier,
    figures: Mapping[str, Drawing],
    sheets: Sequence[Sheet],
    layout: Layout,
    parts: Sequence[FlatPart],
) -> bytes:
    """Everything in one file: A4 pages, drawings on the paper they were drawn for.

    Args:
        design: With its steps.
        dossier: Its numbers.
        figures: Its drawings.
        sheets: Its parts on sheets.
        layout: The sheets laid out on A4 paper.
        parts: All parts, for the lists of the steps.
    """
    paper = papers()["a4"]
    blocks: list[Block] = [
        DrawingPages(name, figures[key].page)
        for key, name in _VIEWS
        if key in figures and figures[key].page
    ]
    if sheets:
        blocks.append(PatternPages("Patterns", tuple(sheets), paper, layout=layout))
    if design.steps:
        blocks.append(TextPages("Build steps", tuple(_steps(design.steps, parts))))
    blocks.append(TextPages("Cautions", _cautions(dossier, *caution_levels())))
    return plan_set(_cover(dossier), blocks, paper=paper)


def _cautions(dossier: Dossier, *levels: str) -> tuple[Flow, ...]:
    chosen = cautions_for(frozenset(dossier.facts))
    return tuple(Caution(c.level, f"{c.title}. {c.text}") for c in chosen if c.level in levels)


def _cover(dossier: Dossier) -> Cover:
    read = Paragraph("Read the cautions at the end of this file before you begin to build.")
    return Cover(
        title=title_of(dossier),
        status=dossier.status,
        rows=tuple(_key_numbers(dossier)),
        note=dossier.summary,
        blocks=(*_cautions(dossier, "danger"), read),
    )


def _key_numbers(dossier: Dossier) -> Iterator[tuple[str, str]]:
    reference, balance = dossier.airframe.reference, dossier.balance
    yield _row(reference, "span")
    yield _row(reference, "area")
    yield _row(reference, "mac")
    if balance.ready is not None:
        yield _row(balance.ready.state, "mass")
        yield _row(balance.ready.state, "wing_loading")
    if balance.target is not None:
        label, text = _row(balance.target, "from_root")
        yield f"Must balance: {label[:1].lower()}{label[1:]}", text
    yield "Time at the bench", show(dossier.build_time.working, "s").metric


def _row(owner: Any, field: str) -> tuple[str, str]:
    mark = quantities(owner.__class__)[field]
    return mark.label, _both(show(getattr(owner, field), mark.shown or mark.unit))


def _both(shown: Shown) -> str:
    return f"{shown.metric} ({shown.imperial})" if shown.imperial else shown.metric


def _steps(steps: Sequence[Step], parts: Sequence[FlatPart]) -> Iterator[Flow]:
    for number, step in enumerate(steps, 1):
        yield Heading(f"{number}. {step.head.title}")
        cut = [f"{part.name} ({part.pieces})" for part in parts if part.step == step.key]
        rows = [("Time", show(step.head.minutes * 60, "s").metric)]
        if step.head.parts:
            rows.append(("What goes in", "; ".join(step.head.parts)))
        if cut:
            rows.append(("Patterns", "; ".join(cut)))
        if step.head.tools:
            rows.append(("Tools", "; ".join(step.head.tools)))
        yield Rows(tuple(rows))
        always = {caution.id for caution in cautions_for(frozenset())}
        for caution in cautions_for(frozenset(step.head.cautions)):
            if caution.id not in always:
                yield Caution(caution.level, f"{caution.title}.")
        yield from _flow(step.text)
        if step.head.wait:
            wait = show(step.head.wait.minutes * 60, "s").metric
            yield Paragraph(f"Then wait {wait}: {step.head.wait.reason}.")


def _flow(text: str) -> Iterator[Flow]:
    """Markdown as plain blocks: rows of tables become lines of a list."""
    for block in plain_blocks(text):
        if block.kind == "heading":
            yield Heading(block.lines[0], 3)
        elif block.kind == "paragraph":
            yield Paragraph(block.lines[0])
        else:
            yield Bullets(block.lines, numbered=block.kind == "numbered")
