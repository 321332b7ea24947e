"""What the pages of parts and of sheets show."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from plansgen.balance.placing import areal_density
from plansgen.dossier import Dossier
from plansgen.library.design import Design
from plansgen.patterns.allowance import sheet_thickness
from plansgen.patterns.by_hand import left_to_hand
from plansgen.patterns.fit import faults_of
from plansgen.patterns.flat import FlatPart, lengths_by_kind
from plansgen.patterns.layout import Nesting
from plansgen.patterns.looks import LOOKS
from plansgen.patterns.off_the_roll import RollAmount
from plansgen.patterns.result import PatternSet
from plansgen.patterns.sheets import Sheet
from plansgen.patterns.shopping import Purchase
from plansgen.patterns.strips import CutPiece
from plansgen.site.format import GAP, plain, show
from plansgen.site.pattern_figures import (
    PartFigure,
    line_key,
    part_figure,
    sheet_figure,
)
from plansgen.site.pattern_files import PatternFiles
from plansgen.site.whole_figure import whole_figure

FOLDER = "patterns/"
"""Where the files lie in the folder of a design."""


@dataclass(frozen=True)
class StepLink:
    """A build step that uses a part."""

    key: str
    title: str


@dataclass(frozen=True)
class PartView:
    """One flat part in words; number: in the list; sheets: numbers of those that it lies on."""

    number: int
    part: FlatPart
    figure: PartFigure
    count: str
    material: str
    size: str
    area: str
    mass: str
    cut: str
    lines: tuple[str, ...]
    grain: str
    step: StepLink | None
    sheets: tuple[int, ...]


@dataclass(frozen=True)
class StickView:
    """One row of the cut list in words."""

    piece: CutPiece
    material: str
    length: str
    step: StepLink | None


@dataclass(frozen=True)
class SheetView:
    """One nested sheet: its picture, its numbers, and the parts that lie on it."""

    number: int
    sheet: Sheet
    figure: Any
    used: str
    waste: str
    cut: str
    rest: str


@dataclass(frozen=True)
class ShoppingRow:
    """One line to buy, in words."""

    line: Purchase
    material: str
    price: str


@dataclass(frozen=True)
class RollRow:
    """One line to buy by length or area, in words."""

    material: str
    amount: str
    pieces: int


@dataclass(frozen=True)
class ItemRow:
    """One ready-made thing to buy, in words."""

    name: str
    kind: str
    count: int
    mass: str


@dataclass(frozen=True)
class StepParts:
    """Parts that a build step uses."""

    parts: tuple[PartView, ...]
    sticks: tuple[StickView, ...]


def pattern_context(
    design: Design, dossier: Dossier, patterns: PatternSet, made: PatternFiles
) -> Mapping[str, Any]:
    """Everything that the templates of parts, sheets and steps show of patterns."""
    steps = {step.key: StepLink(step.key, step.head.title) for step in design.steps}
    lies = _lies_on(made.sheets, patterns.nesting)
    parts = [
        _part_view(number, part, design, steps, lies.get(part.key, ()))
        for number, part in enumerate(patterns.parts, 1)
    ]
    sticks = _stick_views(design, patterns, steps)
    names = patterns.names
    materials = {key: design.materials[key].name for key in sorted(design.materials)}
    return {
        "patterns": patterns,
        "summary": dossier.patterns,
        "percent": lambda share: show(share, "%").metric,
        "looks": line_key(patterns.parts),
        "pattern_files": made,
        "folder": FOLDER,
        "parts": parts,
        "stick_views": sticks,
        "sheet_views": _sheet_views(patterns.nesting, made.sheets),
        "whole": whole_figure(patterns, name=dossier.name),
        "fit_faults": (
            *faults_of(patterns.fit, names),
            *patterns.layout_faults,
            *patterns.misplaced,
            *patterns.strangers,
        ),
        "hand_work": left_to_hand(patterns),
        "off_text": lambda metres: show(metres, "mm").metric,
        "part_names": names,
        "shopping": [_shopping_row(line, materials) for line in patterns.shopping.purchases],
        "roll_rows": [_roll_row(line, materials) for line in patterns.shopping.rolls],
        "item_rows": _item_rows(design),
        "battery_choices": [one.name for one in design.file.batteries[1:]],
        "totals": [_price(total.price, total.currency) for total in patterns.shopping.totals],
        "material_names": materials,
        "megabytes": _megabytes,
        "step_parts": {
            key: StepParts(
                tuple(view for view in parts if view.part.step == key),
                tuple(view for view in sticks if view.step and view.step.key == key),
            )
            for key in steps
        },
        "corrections": _corrections(),
    }


def pattern_pictures(context: Mapping[str, Any]) -> dict[str, bytes]:
    """Pictures of parts too large to stand in the page, by name under ``patterns/``."""
    files: dict[str, bytes] = {}
    for view in context["parts"]:
        if view.figure.light:
            files[f"part-{view.part.key}.svg"] = view.figure.light
            files[f"part-{view.part.key}-dark.svg"] = view.figure.dark
    return files


# --- parts ---------------------------------------------------------------------------------------


def _part_view(
    number: int,
    part: FlatPart,
    design: Design,
    steps: Mapping[str, StepLink],
    sheets: Sequence[int],
) -> PartView:
    material = design.materials[part.material]
    lengths = lengths_by_kind(part)
    # A material may be thicker or thinner in layers; a part is of one sheet.
    mass = part.area * areal_density(material)
    return PartView(
        number=number,
        part=part,
        figure=part_figure(part, alt=part_alt(part)),
        count=count_words(part),
        material=material.name,
        size=f"{_size(part)}, {show(sheet_thickness(material), 'm').metric} thick",
        area=show(part.area, "m²").metric,
        mass=_grams(mass)
        + (f" each, {_grams(mass * part.pieces)} in all" if part.pieces > 1 else ""),
        cut=show(lengths["cut"], "m").metric,
        lines=tuple(
            f"{kind}: {show(lengths[kind], 'm').metric} ({look.meaning})"
            for kind, look in LOOKS.items()
            if kind not in ("cut", "mark") and lengths.get(kind, 0.0) > 0.0
        ),
        grain=grain_words(part),
        step=steps.get(part.step),
        sheets=tuple(sheets),
    )


def count_words(part: FlatPart) -> str:
    """How many, and how many of them turned over."""
    if not part.mirrored:
        return str(part.pieces)
    return f"{part.pieces}: {part.count} as drawn, {part.mirrored} turned over"


def grain_words(part: FlatPart) -> str:
    """Which way grain or flutes run, as the part is drawn."""
    if part.grain is None:
        return "any way"
    degrees = round(math.degrees(part.grain)) % 180
    return {0: "along the picture", 90: "up the picture"}.get(
        degrees, f"{degrees}° up from the right"
    )


def part_alt(part: FlatPart) -> str:
    """What a part's picture shows."""
    holes = {0: "", 1: ", one opening"}.get(len(part.holes), f", {len(part.holes)} openings")
    kinds = [kind for kind in LOOKS if any(line.kind == kind for line in part.lines)]
    inside = f"; lines to {', '.join(kinds)}" if kinds else ""
    return f"Outline of {part.name}, {_size(part)}{holes}{inside}."


def _size(part: FlatPart) -> str:
    west, south, east, north = part.bounds
    long, short = sorted((east - west, north - south))[::-1]
    return f"{plain(long * 1000, 0)} × {plain(short * 1000, 0)}{GAP}mm"


def _stick_views(
    design: Design, patterns: PatternSet, steps: Mapping[str, StepLink]
) -> list[StickView]:
    used = dict(patterns.steps)
    return [
        StickView(
            piece,
            design.materials[piece.material].name,
            show(piece.length, "m").metric,
            steps.get(used.get(piece.key, "")),
        )
        for piece in patterns.cut_list
    ]


# --- sheets --------------------------------------------------------------------------------------


def _lies_on(sheets: Iterable[Sheet], nesting: Nesting) -> dict[str, tuple[int, ...]]:
    found: dict[str, dict[int, None]] = {}
    for number, (_, nested) in enumerate(zip(sheets, nesting.sheets, strict=True), 1):
        for placement in nested.placements:
            found.setdefault(placement.key, {})[number] = None
    return {key: tuple(numbers) for key, numbers in found.items()}


def _sheet_views(nesting: Nesting, sheets: Sequence[Sheet]) -> list[SheetView]:
    views = []
    for number, (nested, sheet) in enumerate(zip(nesting.sheets, sheets, strict=True), 1):
        stock = nested.stock
        longer = max(stock.width, stock.height)
        alt = (
            f"{sheet.name}, {plain(1000 * stock.width, 0)} × {plain(1000 * stock.height, 0)} mm, "
            f"with {len(sheet.pieces)} parts; the list below names them."
        )
        views.append(
            SheetView(
                number,
                sheet,
                sheet_figure(sheet, alt=alt, page="parts.html"),
                f"{plain(100 * nested.used / stock.area, 0)}{GAP}%",
                show(nested.waste, "m²").metric,
                show(nested.cut, "m").metric,
                show(max(0.0, longer - nested.reach), "m").metric,
            )
        )
    return views


def _shopping_row(line: Purchase, materials: Mapping[str, str]) -> ShoppingRow:
    price = "–" if line.price is None else _price(line.price, line.currency)
    return ShoppingRow(line, materials.get(line.material, line.material), price)


def _roll_row(line: RollAmount, materials: Mapping[str, str]) -> RollRow:
    amount = show(line.length, "m") if line.length else show(line.area, "m²")
    return RollRow(materials.get(line.material, line.material), amount.metric, line.pieces)


def _item_rows(design: Design) -> list[ItemRow]:
    """Bought things in the order of the file, the usual battery last; ballast is not bought."""
    rows = [
        ItemRow(item.name, item.kind, 2 if item.mirror else 1, _grams(item.mass))
        for item in design.file.items
        if item.kind != "ballast"
    ]
    rows += [ItemRow(one.name, "battery", 1, _grams(one.mass)) for one in design.file.batteries[:1]]
    return rows


def _price(price: float, currency: str) -> str:
    return f"{plain(price, 2)}{GAP}{currency}".strip()


# --- words ---------------------------------------------------------------------------------------


def _grams(mass: float) -> str:
    return f"{plain(mass * 1000, 1)}{GAP}g"


def _megabytes(size: int) -> str:
    return f"{plain(size / 1000, 0)}{GAP}kB" if size < 1e6 else f"{plain(size / 1e6, 1)}{GAP}MB"


def _corrections() -> tuple[tuple[str, str], ...]:
    """What a 100 mm bar measures, and the scale that mends it: the measured inverse."""
    measured = (98.0, 98.5, 99.0, 99.5, 100.5, 101.0, 102.0)
    return tuple((f"{plain(m, 1)}{GAP}mm", f"{plain(1e4 / m, 1)}{GAP}%") for m in measured)
