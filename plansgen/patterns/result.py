"""All patterns of a design: parts, what is sawn, the proof that they fit, sheets, what to buy."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from plansgen.airframe.build import Airframe
from plansgen.library.design import Design
from plansgen.library.tables import Material
from plansgen.patterns.body_parts import BodyParts
from plansgen.patterns.cutting import CutParts
from plansgen.patterns.fit import Fit, prove
from plansgen.patterns.flat import FlatPart
from plansgen.patterns.layout import Nesting
from plansgen.patterns.masses import MassDifference, mass_difference
from plansgen.patterns.nest import nest
from plansgen.patterns.off_the_roll import off_the_roll
from plansgen.patterns.own import places_of, strangers
from plansgen.patterns.sawn import StickCuts, stick_cuts
from plansgen.patterns.shopping import ShoppingList, shopping_list
from plansgen.patterns.standing import SolidFace
from plansgen.patterns.step_of import step_of
from plansgen.patterns.stock import StockSheet, sheets_of
from plansgen.patterns.strips import CutPiece
from plansgen.patterns.surface_parts import SurfaceParts
from plansgen.patterns.verify import layout_faults

MOST_PIECES = 2000
"""A layout of more takes more than some seconds; no model has so many."""


@dataclass(frozen=True)
class PatternSet:
    """Everything that a design is cut from.

    parts: of surfaces, then of bodies; every key once. cut_list: sticks, tubes, wires and tapes.
    steps: for each piece of the cut list by key, the build step it is used in; only those found.
    fit: what was proved. nesting: parts on sheets; parts too large for every sheet are in its
    left_out. layout_faults: what is wrong with it; empty when it is proved. unstocked: materials of
    parts that no size of sheet is known of. assumed: materials whose sheet the program chose.
    sticks: what is sawn from which stick. not_drawn: parts without a pattern, with why.
    misplaced: openings that lie in no part, with what is allowed. strangers: parts that the
    designer lays on a sheet by a name that no part has. masses: of the real parts against the
    estimate. bodies: panels and formers in their place, faces: of parts of surfaces, for drawings
    of the whole.
    """

    parts: tuple[FlatPart, ...]
    cut_list: tuple[CutPiece, ...]
    steps: tuple[tuple[str, str], ...]
    fit: Fit
    nesting: Nesting
    layout_faults: tuple[str, ...]
    unstocked: tuple[str, ...]
    assumed: tuple[str, ...]
    sticks: tuple[StickCuts, ...]
    shopping: ShoppingList
    not_drawn: tuple[str, ...]
    masses: MassDifference
    bodies: BodyParts
    faces: tuple[SolidFace, ...]
    misplaced: tuple[str, ...] = ()
    strangers: tuple[str, ...] = ()

    @property
    def names(self) -> dict[str, str]:
        """What a builder calls each part and piece, by key."""
        pieces = ((piece.key, piece.name) for piece in self.cut_list)
        return {**dict(pieces), **{part.key: part.name for part in self.parts}}

    @property
    def oversize(self) -> list[str]:
        """Parts that none of their sheets holds and pieces longer than a stick, with why."""
        missing = {part.key for part in self.parts if part.material in self.unstocked}
        flat: dict[tuple[str, str, str], int] = {}
        for one in self.nesting.left_out:
            which = (one.key, one.name, one.why)
            flat[which] = flat.get(which, 0) + one.copies
        sheets = [
            f"{name} ({copies} of it): {why}" if copies > 1 else f"{name}: {why}"
            for (key, name, why), copies in flat.items()
            if key not in missing
        ]
        return sheets + [
            f"{name}: longer than a stick of {one.stick.length * 1000:.0f} mm"
            for one in self.sticks
            for name in one.cuts.too_long
        ]

    @property
    def oversize_assumed(self) -> bool:
        """Whether everything too large is so for sizes that the program chose, not the design."""
        material = {part.key: part.material for part in self.parts}
        left = {material[one.key] for one in self.nesting.left_out} - set(self.unstocked)
        return left <= set(self.assumed) and all(
            one.stick.assumed for one in self.sticks if one.cuts.too_long
        )

    @property
    def pieces(self) -> int:
        """Flat pieces to cut, all copies."""
        return sum(part.pieces for part in self.parts)


def work_out_patterns(design: Design, airframe: Airframe, cut: CutParts) -> PatternSet | None:
    """Prove that a design's parts fit, lay them on sheets, and weigh them against the estimate.

    Returns:
        The patterns; None when there is nothing to cut.

    Raises:
        ValueError: there are more pieces than a layout is tried for.
    """
    file, materials = design.file, design.materials
    surfaces, bodies = cut.surfaces, cut.bodies
    parts, cut_list = cut.parts, cut.cut_list
    if not parts and not cut_list:
        return None
    pieces = sum(part.pieces for part in parts)
    if pieces > MOST_PIECES:
        raise ValueError(f"it has {pieces} pieces; at most {MOST_PIECES} are laid on sheets")
    stocks = sheets_of(file, {p.material: materials[p.material] for p in parts})
    sticks = stick_cuts(file, cut_list, materials)
    nesting = nest(
        parts,
        stocks,
        gap=file.nesting.gap,
        margin=file.nesting.margin,
        own=places_of(file),
    )
    missing = _unstocked(parts, stocks)
    rolls = off_the_roll(
        file,
        airframe,
        materials,
        parts=[part for part in parts if part.material in missing],
        cut_list=cut_list,
    )
    return PatternSet(
        parts=parts,
        cut_list=cut_list,
        steps=tuple((c.key, s) for c in cut_list if (s := step_of(design, c.key, c.name))),
        fit=_proof(surfaces, bodies, parts, stocks, file.nesting.margin),
        nesting=nesting,
        layout_faults=tuple(layout_faults(nesting, parts)),
        unstocked=missing,
        assumed=tuple(stock.material for stock in stocks if stock.assumed),
        sticks=sticks,
        shopping=shopping_list(nesting, [(one.stick, one.cuts) for one in sticks], rolls),
        not_drawn=(
            *(f"{one.name}: {one.why}" for one in (*surfaces.not_drawn, *bodies.not_drawn)),
            *_bars(cut_list, materials),
        ),
        masses=mass_difference(file, airframe, materials, cut.drawn),
        bodies=bodies,
        misplaced=(*surfaces.misplaced, *bodies.misplaced),
        strangers=strangers(file, parts),
        faces=tuple(face for faces in surfaces.faces for face in faces),
    )


def _proof(
    surfaces: SurfaceParts,
    bodies: BodyParts,
    parts: Sequence[FlatPart],
    stocks: Sequence[StockSheet],
    margin: float,
) -> Fit:
    return prove(
        parts,
        seams=(*surfaces.seams, *bodies.seams),
        refolds=(*surfaces.refolds, *bodies.refolds),
        slots=(*surfaces.slots, *bodies.slots),
        stocks=stocks,
        margin=margin,
    )


def _unstocked(parts: Sequence[FlatPart], stocks: Sequence[StockSheet]) -> tuple[str, ...]:
    bought = {stock.material for stock in stocks}
    return tuple(dict.fromkeys(p.material for p in parts if p.material not in bought))


def _bars(cut_list: Sequence[CutPiece], materials: Mapping[str, Material]) -> Iterator[str]:
    """Pieces of sheet that are neither as thick as it nor whole layers of it."""
    for piece in cut_list:
        if materials[piece.material].kind == "sheet":
            yield (
                f"{piece.name}: {piece.count} bars of {piece.size}, {piece.length * 1000:.0f} long "
                f"of {materials[piece.material].name}; its layers are not drawn"
            )
