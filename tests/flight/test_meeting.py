"""Surfaces that touch, cross, lie on each other or have no area: right, or refused in words."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from plansgen.airframe.build import LiftingSurface
from plansgen.flight.derivatives import work_out_derivatives
from plansgen.flight.lattice import Flow, Lattice, Scale
from tests.flight.shapes import chain, control, loads_of, scale_for, station, trapezium

CHORD = 1 / 6
SCALE = Scale(area=CHORD, span=1.0, chord=CHORD)
FLOW = Flow(alpha=0.05, beta=0.02, p=0.03)


def fin(z: float = 0.0, y: float = 0.0, *, height: float = 0.2) -> LiftingSurface:
    row = [station(0.0, y=y, z=z, chord=CHORD), station(height, y=y, z=z + height, chord=CHORD)]
    return chain(row, key="fin", role="fin", mirrored=y > 0.0)


def test_side_by_side_in_one_plane_is_one_wing() -> None:
    """An inner and two outer panels laid edge to edge carry what the whole wing does: 0.1 %.

    The strips differ, so this is no better than a lattice's own convergence.
    """
    inner = chain([station(0.0, chord=CHORD), station(0.3, y=0.3, chord=CHORD)])
    outer = chain(
        [station(0.0, y=0.3, chord=CHORD), station(0.2, y=0.5, chord=CHORD)],
        key="outer",
        role="tailplane",
    )
    whole = loads_of(Lattice([trapezium(6.0)]), FLOW, SCALE)
    parts = loads_of(Lattice([inner, outer]), FLOW, SCALE)
    for name in ("lift", "pitch", "roll", "induced_drag"):
        assert getattr(parts, name) == pytest.approx(getattr(whole, name), rel=1e-3)


def test_one_behind_the_other_in_one_plane_is_one_wing() -> None:
    """Trailing edge to leading edge: five rows and five are ten rows on the whole chord."""
    front, rear = trapezium(6.0), trapezium(6.0, x=CHORD, key="rear")
    whole = trapezium(3.0)
    parts = loads_of(Lattice([front, rear]), Flow(alpha=0.05), scale_for(whole))
    one = loads_of(Lattice([whole], rows=10), Flow(alpha=0.05), scale_for(whole))
    assert parts.lift == pytest.approx(one.lift, rel=1e-4)
    assert parts.pitch == pytest.approx(one.pitch, rel=1e-4)
    assert parts.induced_drag == pytest.approx(one.induced_drag, rel=1e-4)


def test_fin_and_sub_fin_are_one_fin() -> None:
    """Two fins root to root carry the side force of one of both heights: 0.2 %."""
    upper = fin()
    lower = chain(
        [station(0.0, chord=CHORD), station(0.1, z=-0.1, chord=CHORD)],
        key="lower",
        role="fin",
        mirrored=False,
    )
    both = fin(-0.1, height=0.3)
    flow = Flow(beta=0.05)
    parts = loads_of(Lattice([upper, lower]), flow, SCALE)
    one = loads_of(Lattice([both]), flow, SCALE)
    assert parts.side == pytest.approx(one.side, rel=2e-3)
    assert parts.roll == pytest.approx(one.roll, rel=2e-3)


def test_a_narrow_body_carries_the_lift_across() -> None:
    """Halves on either side of a boom count as joined (common practice, no source): 0.1 %."""
    halves = chain([station(0.0, y=0.01, chord=CHORD), station(0.49, y=0.5, chord=CHORD)])
    parts = loads_of(Lattice([halves]), Flow(alpha=0.05), SCALE)
    whole = loads_of(Lattice([trapezium(6.0)]), Flow(alpha=0.05), SCALE)
    assert parts.lift == pytest.approx(whole.lift, rel=1e-3)


REFUSED: list[tuple[str, Callable[[], list[LiftingSurface]], str]] = [
    ("nothing", list, "no lifting surface"),
    (
        "the same place twice",
        lambda: [trapezium(6.0), trapezium(6.0, key="upper")],
        "'wing' and 'upper' lie on each other",
    ),
    (
        "half over each other",
        lambda: [trapezium(6.0), trapezium(6.0, x=0.05, key="upper")],
        "'wing' and 'upper' lie on each other",
    ),
    (
        "90 degrees from the centre line",
        lambda: [chain([station(0.0, chord=CHORD), station(0.5, z=0.5, chord=CHORD)])],
        "the two halves of surface 'wing'",
    ),
    (
        "no chord",
        lambda: [replace(trapezium(6.0), stations=(station(0.0, chord=0), station(0.5, chord=0)))],
        "no area",
    ),
    (
        "no span",
        lambda: [replace(trapezium(6.0), stations=(station(0.0), station(0.5)))],
        "no area",
    ),
    (
        "not a number",
        lambda: [
            replace(trapezium(6.0), stations=(station(0.0, chord=math.nan), station(0.5, y=0.5)))
        ],
        "not a number",
    ),
    (
        "control beyond the chord",
        lambda: [trapezium(6.0, controls=(control("aileron", 0.2, 0.4, 1.5),))],
        "'control' of 'wing' takes 1.5 of the chord",
    ),
]


@pytest.mark.parametrize(
    ("surfaces", "words"), [pytest.param(s, w, id=name) for name, s, w in REFUSED]
)
def test_refused_in_plain_words(surfaces: Callable[[], list[LiftingSurface]], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Lattice(surfaces())


ACCEPTED: dict[str, Callable[[], list[LiftingSurface]]] = {
    "1 mm apart": lambda: [trapezium(6.0), trapezium(6.0, z=0.001, key="upper")],
    "89 degrees": lambda: [
        chain([station(0.0, chord=CHORD), station(0.5, y=0.5 * 0.01745, z=0.4999, chord=CHORD)])
    ],
    "tips turned up by 90 degrees": lambda: [
        chain(
            [
                station(0.0, chord=CHORD),
                station(0.4, y=0.4, chord=CHORD),
                station(0.5, y=0.4, z=0.1, chord=CHORD),
            ]
        )
    ],
    "fin through the wing": lambda: [trapezium(6.0), fin(-0.1)],
    "fins through the wing": lambda: [trapezium(6.0), fin(-0.1, 0.2)],
    "fin on the wing": lambda: [trapezium(6.0), fin()],
    "pointed tips": lambda: [trapezium(3.0, taper=0.0)],
    "sliver of a control": lambda: [
        trapezium(6.0, controls=(control("aileron", 0.499, 0.5, 0.1),))
    ],
    "tail level with the wing": lambda: [
        trapezium(6.0),
        trapezium(4.0, span=0.35, x=0.5, key="tail", role="tailplane"),
    ],
}


@pytest.mark.parametrize("name", sorted(ACCEPTED))
def test_odd_but_possible(name: str) -> None:
    """Every number is one, and of a size that an aeroplane can have."""
    derivatives = work_out_derivatives(
        Lattice(ACCEPTED[name]()), flow=FLOW, point=(0.1, 0.0, 0.0), scale=SCALE
    )
    found = []
    for variable in (
        derivatives.alpha,
        derivatives.beta,
        derivatives.p,
        derivatives.q,
        derivatives.r,
        *(one.slopes for one in derivatives.controls),
    ):
        found += list(vars(variable).values())
    assert np.isfinite(found).all()
    assert np.abs(found).max() < 50.0


def test_lift_is_that_of_one_wing_when_two_all_but_touch() -> None:
    """Prandtl: two equal wings without a gap are one wing of their span; 1 mm is 1/1000 span."""
    pair = loads_of(Lattice(ACCEPTED["1 mm apart"]()), Flow(alpha=0.05), SCALE)
    one = loads_of(Lattice([trapezium(6.0)]), Flow(alpha=0.05), SCALE)
    assert pair.lift == pytest.approx(one.lift, rel=0.01)
    assert pair.induced_drag == pytest.approx(one.induced_drag, rel=0.02)
