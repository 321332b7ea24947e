"""Half surfaces of hand-made cuts: every number of a test can be worked out on paper. SI."""

from __future__ import annotations

from collections.abc import Callable

from plansgen.structure.cut import Cut, Piece
from plansgen.structure.elastic import Solid
from plansgen.structure.margins import Half
from plansgen.structure.span_loads import SpanLoad

WOOD = Solid("wood", 10e9, 0.6e9, 60e6, 40e6, 8e6, 0.15)
FOAM = Solid("foam", 10e6, 4e6, 0.4e6, 0.2e6, 0.15e6, 0.10)


class Hand:
    """Stands for the members of a surface: cuts from a function of span."""

    def __init__(
        self,
        cut: Callable[[float, bool, float], Cut],
        *,
        reach: float = 0.0,
        spar: tuple[str, ...] = (),
        ends: tuple[float, ...] = (),
    ) -> None:
        self._cut, self.reach, self.spar_parts, self.ends = cut, reach, spar, ends
        self.spar_share = 0.3

    def cut(self, span: float, *, damp: bool = False, reach: float | None = None) -> Cut:
        return self._cut(span, damp, self.reach if reach is None else reach)


def half_of(hand: Hand, tip: float) -> Half:
    return Half(hand, tip=tip)  # type: ignore[arg-type]


def box(
    span: float,
    *,
    width: float,
    height: float,
    thickness: float,
    solid: Solid = WOOD,
    part: str = "box",
) -> Cut:
    """A closed box by its middle lines."""
    x, z = width / 2, height / 2
    corners = [(-x, z), (x, z), (x, -z), (-x, -z)]
    pieces = tuple(
        Piece(part, solid, a, b, thickness)
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
    )
    return Cut(span, pieces)


def load_of(
    bending: Callable[[float], float],
    *,
    tip: float,
    shear: Callable[[float], float] = lambda _: 0.0,
    torque: float = 0.0,
    case: str = "by hand",
    steps: int = 2000,
) -> SpanLoad:
    """A load from functions of span."""
    spans = tuple(tip * k / steps for k in range(steps + 1))
    none = (0.0,) * len(spans)
    return SpanLoad(
        case=case,
        spans=spans,
        shear=tuple(shear(y) for y in spans),
        bending=tuple(bending(y) for y in spans),
        torque=(torque,) * len(spans),
        chord_shear=none,
        chord_bending=none,
        axial=none,
        lumps=(),
    )
