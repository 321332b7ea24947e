"""All flat parts of a design's bodies, with their seams, and what is sawn to length for them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from plansgen.airframe.build import Airframe, BodyPart
from plansgen.airframe.inside import is_sheet, walls_of
from plansgen.balance.drawn import PartRef
from plansgen.library.models import DesignFile, Part
from plansgen.library.tables import Material
from plansgen.patterns.body_marks import marks_on
from plansgen.patterns.body_openings import (
    OpenedPanel,
    never_begun,
    nothing_left,
    panel_opened,
)
from plansgen.patterns.body_seams import former_seams, panel_refold, panel_seams, tabs_off
from plansgen.patterns.box_panels import RULE, panels_of
from plansgen.patterns.firewall import shafts_through
from plansgen.patterns.flat import FlatPart, PatternLine
from plansgen.patterns.formers import Former, formers_of, slot_fits, slots_in
from plansgen.patterns.item_openings import for_items_on_body
from plansgen.patterns.naming import key_of
from plansgen.patterns.panel import Panel
from plansgen.patterns.petals import petals_of
from plansgen.patterns.seams import Refold, Seam, SlotFit
from plansgen.patterns.stock import StockSheet, serving, sheets_of
from plansgen.patterns.strips import CutPiece, size_words
from plansgen.patterns.surface_parts import NotDrawn, SurfaceParts, loose_parts, together
from plansgen.patterns.weights import about, both_sides, of_run, of_sheet, on_pose

MARGIN = 0.005
"""Of a sheet that panels leave free at its edges. [m]"""


@dataclass(frozen=True)
class BodyParts:
    """What a design's bodies are cut from.

    parts: flat parts. cut_list: sticks, tubes, wires and tapes. seams, refolds, slots: for the fit
    report. not_drawn: what is left to the builder. rule: how panels of a box overlap. panels,
    formers: the same parts with the place where they stand, for drawings of the whole. misplaced:
    openings that do not fit, in words.
    """

    parts: tuple[FlatPart, ...]
    cut_list: tuple[CutPiece, ...]
    seams: tuple[Seam, ...]
    refolds: tuple[Refold, ...]
    slots: tuple[SlotFit, ...]
    not_drawn: tuple[NotDrawn, ...]
    rule: str
    panels: tuple[Panel, ...]
    formers: tuple[Former, ...]
    misplaced: tuple[str, ...] = ()


def body_parts(
    file: DesignFile, airframe: Airframe, materials: Mapping[str, Material]
) -> BodyParts:
    """Cut a design's bodies from sheet and stick.

    Args:
        file: The design.
        airframe: Its geometry.
        materials: By id, the design's own on top.
    """
    cuts: list[SurfaceParts] = []
    panels: list[Panel] = []
    formers: list[Former] = []
    for body in airframe.bodies:
        cut, own_panels, own_formers = _body(body, file, airframe, materials)
        cuts.append(cut)
        panels += own_panels
        formers += own_formers
    found = together(cuts)
    boxes = any(body.shape == "box" for body in airframe.bodies)
    return BodyParts(
        parts=found.parts,
        cut_list=found.cut_list,
        seams=found.seams,
        refolds=found.refolds,
        slots=found.slots,
        not_drawn=found.not_drawn,
        rule=RULE if boxes else "",
        panels=tuple(panels),
        formers=tuple(formers),
        misplaced=found.misplaced,
    )


_Standing = tuple[SurfaceParts, list[Panel], list[Former]]


def _body(
    body: BodyPart, file: DesignFile, airframe: Airframe, materials: Mapping[str, Material]
) -> _Standing:
    parts = [for_items_on_body(p, body, file.items) for p in file.bodies[body.key].parts]
    walls = walls_of(parts, materials)
    formers = formers_of(body, parts, materials)
    loose = loose_parts(parts, materials, owner=body.key, mirrored=body.mirrored)
    runs = tuple(
        _run(part, index, body, materials)
        for index, part in enumerate(parts)
        if part.run is not None
    )
    missing = tuple(_films(parts, materials))
    if body.shape == "round":
        skins = petals_of(body, parts, materials)
        own = SurfaceParts(
            parts=(*(s.part for s in skins), *(f.part for f in formers)),
            cut_list=runs,
            seams=tuple(seam for skin in skins for seam in skin.seams),
            refolds=tuple(skin.refold for skin in skins),
            slots=(),
            not_drawn=missing,
            misplaced=(*_on_round(parts), *(w for f in formers for w in f.misplaced)),
        )
        return _unique(together([own, loose]), [], formers)
    panels = [
        _slotted(panel, formers, file, marks_on(panel, file, airframe, formers, walls))
        for panel in panels_of(body, parts, materials, _longest(file, parts, materials))
    ]
    # Seams and slots name parts by their key, so keys must be their own before they are made.
    keys = _keys([*(p.part.key for p in panels), *(f.part.key for f in formers)])
    panels = [_rekeyed(p, k) for p, k in zip(panels, keys, strict=False)]
    formers = [_renamed(f, k) for f, k in zip(formers, keys[len(panels) :], strict=True)]
    cut_open = [panel_opened(panel) for panel in panels]
    panels = [one.panel for one in cut_open]
    own = SurfaceParts(
        parts=(
            *(_weighed(one, one.panel.part, materials) for one in cut_open),
            *(f.part for f in formers),
            *(_weighed(one, one.port, materials) for one in cut_open if one.port is not None),
        ),
        cut_list=runs,
        seams=(
            *panel_seams(panels, walls),
            *(seam for former in formers for seam in former_seams(former, panels, walls)),
        ),
        refolds=(
            *(panel_refold(panel, walls) for panel in panels),
            *_tab_proofs(formers, panels),
        ),
        slots=tuple(
            fit
            for former in formers
            for panel in panels
            for fit in slot_fits(panel, former, slots_in(panel, former))
        ),
        not_drawn=missing,
        misplaced=(
            *(words for one in cut_open for words in one.misplaced),
            *(words for former in formers for words in former.misplaced),
            *(words for part in parts for words in never_begun(part, panels)),
            *(words for part in parts for words in nothing_left(part, body)),
        ),
    )
    return _unique(together([own, loose]), panels, formers)


def _on_round(parts: Sequence[Part]) -> list[str]:
    return [
        f'opening "{opening.name}" of {part.name} is not drawn: a round body is opened on the model'
        for part in parts
        if part.cover is not None
        for opening in part.openings
    ]


def _longest(
    file: DesignFile, parts: Sequence[Part], materials: Mapping[str, Material]
) -> dict[str, float]:
    """How long a panel of each sheet may be, by the stock that it is cut from. [m]"""
    covers = {part.material for part in parts if part.cover is not None}
    stocks = sheets_of(file, {key: materials[key] for key in sorted(covers)})
    found = {}
    for key in sorted(covers):
        own = serving(stocks, key, materials[key].thickness or 0.0)
        if own:
            found[key] = max(_length_of(stock) for stock in own) - 2 * MARGIN
    return found


def _length_of(stock: StockSheet) -> float:
    """Along the grain where a sheet has one, else its longer side. [m]"""
    return {"width": stock.width, "height": stock.height}.get(
        stock.grain, max(stock.width, stock.height)
    )


def _slotted(
    panel: Panel, formers: Sequence[Former], file: DesignFile, lines: Sequence[PatternLine]
) -> Panel:
    slots = tuple(slot for former in formers for slot in slots_in(panel, former))
    words = dict.fromkeys(shaft.words for shaft in shafts_through(panel, file))
    note = " ".join(filter(None, (panel.part.note, *words)))
    part = replace(panel.part, holes=slots, lines=(*panel.part.lines, *lines), note=note)
    return replace(panel, part=part)


def _weighed(one: OpenedPanel, flat: FlatPart, materials: Mapping[str, Material]) -> FlatPart:
    """A panel, or its port side, with what it weighs in its place.

    A side that has no port one of its own has its mirror image across the body.
    """
    panel, body, layer = one.panel, one.panel.body, one.panel.layer
    shape = on_pose(flat.polygon, panel.pose, deep=layer.thickness / 2)
    if panel.face == "starboard" and flat is not panel.part:
        shape = about(shape, body.frames[0].y)
    elif panel.face == "starboard" and one.port is None:
        shape += about(shape, body.frames[0].y)
    shape = both_sides(shape, mirrored=body.mirrored)
    ref, material = PartRef(body.key, layer.index), materials[flat.material]
    drawn = of_sheet(ref, layer.part, material, shape, area=flat.area * flat.pieces)
    return replace(flat, drawn=(drawn,))


def _tab_proofs(formers: Sequence[Former], panels: Sequence[Panel]) -> list[Refold]:
    """How far the tabs of each former are from their slots, all put in their place."""
    offs = [(former, tabs_off(former, panels)) for former in formers]
    return [Refold(former.part.key, off) for former, off in offs if off is not None]


def _run(part: Part, index: int, body: BodyPart, materials: Mapping[str, Material]) -> CutPiece:
    run, material = part.run, materials[part.material]
    assert run is not None  # only sticks along the body come here
    ref = PartRef(body.key, index)
    return CutPiece(
        key=key_of(body.key, part.name),
        name=part.name,
        material=part.material,
        size=size_words(part, material),
        length=run.to - run.from_,
        count=part.count * (2 if body.mirrored else 1),
        drawn=(of_run(ref, part, material, body, mirrored=body.mirrored),),
    )


def _films(parts: Sequence[Part], materials: Mapping[str, Material]) -> list[NotDrawn]:
    why = "film or paper is laid on oversize and trimmed on the model"
    return [
        NotDrawn(part.name, why)
        for part in parts
        if part.cover is not None and not is_sheet(materials[part.material])
    ]


# --- keys ------------------------------------------------------------------------------------


def _keys(keys: Sequence[str]) -> list[str]:
    """Keys numbered where they repeat."""
    seen: Counter[str] = Counter()
    found = []
    for key in keys:
        seen[key] += 1
        found.append(f"{key}-{seen[key]}" if seen[key] > 1 else key)
    return found


def _rekeyed(panel: Panel, key: str) -> Panel:
    return replace(panel, part=replace(panel.part, key=key))


def _renamed(former: Former, key: str) -> Former:
    return replace(former, part=replace(former.part, key=key))


def _unique(found: SurfaceParts, panels: list[Panel], formers: list[Former]) -> _Standing:
    """Keys of loose parts and sticks made different; those of panels and formers are already."""
    keys = _keys([*(p.key for p in found.parts), *(c.key for c in found.cut_list)])
    many = len(found.parts)
    parts = tuple(replace(p, key=k) for p, k in zip(found.parts, keys[:many], strict=True))
    sticks = tuple(replace(c, key=k) for c, k in zip(found.cut_list, keys[many:], strict=True))
    return replace(found, parts=parts, cut_list=sticks), panels, formers
