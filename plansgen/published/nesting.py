"""Layouts against published nesting instances, and cutting sticks against a proved bound."""

from __future__ import annotations

from functools import partial

from plansgen.patterns.flat import FlatPart
from plansgen.patterns.nest import nest
from plansgen.patterns.stock import StockSheet
from plansgen.published.case import Case

ROOM = "Nesting"

Shape = tuple[tuple[int, int], ...]

FU: tuple[Shape, ...] = (
    ((0, 0), (10, 0), (10, 10), (0, 10)),
    ((0, 0), (10, 0), (10, 10), (0, 10)),
    ((0, 0), (14, 0), (14, 9), (0, 9)),
    ((0, 0), (14, 0), (7, 7)),
    ((0, 9), (0, 0), (14, 9)),
    ((0, 0), (14, 0), (14, 14), (0, 14)),
    ((0, 0), (10, 4), (10, 9), (0, 9)),
    ((0, 0), (5, 0), (5, 9), (0, 9)),
    ((0, 0), (14, 0), (14, 14)),
    ((0, 0), (10, 0), (10, 10), (0, 14)),
    ((0, 8), (4, 0), (8, 8)),
    ((0, 0), (14, 0), (7, 12)),
)
"""Fujita, Akagi & Hirokawa 1993: a strip 38 wide, each shape once, quarter turns."""

BLAZ: tuple[Shape, ...] = (
    ((0, 0), (2, -1), (4, 0), (4, 3), (2, 4), (0, 3)),
    ((0, 0), (3, 0), (2, 2), (3, 4), (3, 5), (1, 5), (-1, 3), (-1, 1)),
    ((0, 0), (2, 0), (3, 1), (3, 3), (2, 4), (0, 4), (-1, 3), (-1, 1)),
    ((0, 0), (2, 1), (4, 0), (3, 2), (4, 5), (2, 4), (0, 5), (1, 3)),
    ((0, 0), (5, 0), (5, 5), (4, 5), (3, 3), (2, 2), (0, 1)),
    ((0, 0), (2, 3), (-2, 3)),
    ((0, 0), (2, 0), (2, 2), (0, 2)),
)
"""Blazewicz, Hawryluk & Walkowiak 1993: a strip 15 wide, each shape four times, half turns."""

UNIT = 0.01
"""One unit of the instances is taken as this. [m]"""

_case = partial(Case, room=ROOM, unit="%", relative=False, mark="from memory")


def instance(shapes: tuple[Shape, ...], *, count: int = 1, half_turns: bool) -> list[FlatPart]:
    """The parts of an instance; with half turns only, their grain lies along the strip."""
    return [
        FlatPart(
            key=f"shape-{number}",
            name=f"Shape {number}",
            material="sheet",
            thickness=0.001,
            outline=tuple((x * UNIT, y * UNIT) for x, y in shape),
            count=count,
            grain=0.0 if half_turns else None,
        )
        for number, shape in enumerate(shapes, 1)
    ]


def strip_length(parts: list[FlatPart], width: int) -> float:
    """Length of a strip of a width that all parts were laid on without a gap, in units.

    Raises:
        ValueError: a part lies on no strip.
    """
    area = sum(part.area * part.pieces for part in parts) / UNIT**2
    strip = StockSheet("strip", "sheet", 3 * area / width * UNIT, width * UNIT, grain="width")
    nesting = nest(parts, [strip], gap=0.0, margin=0.0)
    if nesting.left_out or len(nesting.sheets) != 1:
        raise ValueError("the parts do not lie on one strip")
    return nesting.sheets[0].reach / UNIT


def _density(parts: list[FlatPart], width: int) -> float:
    """Share of the strip, up to its last part, that is parts. [%]"""
    area = sum(part.area * part.pieces for part in parts) / UNIT**2
    return 100 * area / (width * strip_length(parts, width))


def cases() -> tuple[Case, ...]:
    """Two instances of irregular shapes, beside the best layouts known."""
    why = (
        "The best known come from long guided searches; plain bottom-left fill is said to reach "
        "80 to 87 %% of the strip, %s."
    )
    return (
        _case(
            key="nesting-fu",
            title="Twelve convex shapes on a strip 38 wide, quarter turns: share used",
            published=92.4,
            ours=_density(instance(FU, half_turns=False), 38),
            tolerance=12.4,
            why=why % "and less than 80 % would be a fault",
            source="Fujita, Akagi & Hirokawa 1993, 19th ASME Design Automation Conf., pp 477-484; "
            "best known: Elkeran 2013, EJOR 231:757",
            note="One pass of bottom-left fill: the rest of the strip is offcut.",
        ),
        _case(
            key="nesting-blaz",
            title="Seven shapes four times on a strip 15 wide, half turns: share used",
            published=84.0,
            ours=_density(instance(BLAZ, count=4, half_turns=True), 15),
            tolerance=14.0,
            why=why % "with concave shapes less; below 70 % would be a fault",
            source="Blazewicz, Hawryluk & Walkowiak 1993, Annals of Operations Research 41:313; "
            "best known: Elkeran 2013, EJOR 231:757",
            note="One pass of bottom-left fill: the rest of the strip is offcut.",
        ),
    )
