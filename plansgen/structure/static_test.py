"""The bench test: the wing upside down, loaded with sandbags as the pull-up loads it.

Bags stand at a few places along each half. Their masses follow from the bending curve: with the
wing's own weight, which hangs on it the same way, they should give the bending of the wanted case
everywhere between the bags. Masses below zero make no sense, so the best fit without them is
sought (C. L. Lawson & R. J. Hanson, *Solving Least Squares Problems*, non-negative least squares).
Without the wing's weight in flight the air has to lift less: net bending is what counts, and it is
what is matched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.atmosphere import GRAVITY
from plansgen.quantity import Quantity
from plansgen.structure.span_loads import SpanLoad

Array = NDArray[np.float64]

BAGS = 5
STEPS = (0.25, 0.5, 0.75, 1.0)
_ROUND = 0.005  # kg; kitchen scales and spoons of sand do no better
_ROUNDS = 200
CAUTIONS = (
    "Wear eye protection. A breaking spar throws splinters, and wire whips.",
    "Keep hands, feet and faces from under the wing and out of line with it. Lay something soft "
    "a hand's breadth below both tips, so that a wing that gives way does not fall far.",
    "Load both sides evenly, a bag left and a bag right, from the root outwards, and put bags "
    "down gently.",
    "Take the battery and propellers off. Nobody else within reach, no children at the bench.",
)
STOP_AT = (
    "a step moves a tip more than one and a half times as far as the step before it",
    "a creak or a crack is heard",
    "a crease or a wrinkle in the skin shows that stays when a bag is taken off",
    "a glue line opens, a bolt pulls in, or the wing creeps down while nothing is added",
)


@dataclass(frozen=True)
class Bag:
    """One bag on each side."""

    span: Annotated[float, Quantity("m", "From the root along the wing", "structure-static-test")]
    mass: Annotated[float, Quantity("kg", "Bag, each side", "structure-static-test")]


@dataclass(frozen=True)
class LoadStep:
    """One step of loading.

    bags: mass at each place, each side. deflection: of the tip, from where it hung with no bags.
    """

    share: Annotated[float, Quantity("1", "Share of the limit load", "structure-static-test", "%")]
    bags: tuple[Annotated[float, Quantity("kg", "Bag, each side", "structure-static-test")], ...]
    deflection: Annotated[float | None, Quantity("m", "Tip goes down by", "structure-static-test")]


@dataclass(frozen=True)
class StaticTest:
    """The whole test of one wing.

    case: whose bending it copies. support: half the width of the body, where it lies. total: both
    sides. root_share, worst: bending of the bags and the wing's own weight over that of the case,
    at the support and where it is furthest off inboard of the outermost bag.
    """

    surface: str
    case: str
    load_factor: Annotated[float, Quantity("1", "Load factor, n", "structure-load-factor")]
    support: Annotated[float, Quantity("m", "Support from the middle", "structure-static-test")]
    bags: tuple[Bag, ...]
    total: Annotated[float, Quantity("kg", "All bags, both sides", "structure-static-test")]
    root_share: Annotated[
        float, Quantity("1", "Root bending over that of flight", "structure-static-test", "%")
    ]
    worst: Annotated[
        float, Quantity("1", "Bending furthest off, over the root's", "structure-static-test", "%")
    ]
    steps: tuple[LoadStep, ...]
    stop_at: tuple[str, ...]
    cautions: tuple[str, ...]


def non_negative(matrix: Array, wanted: Array) -> Array:
    """Least squares without numbers below zero, by the active set of Lawson and Hanson."""
    count = matrix.shape[1]
    free = np.zeros(count, dtype=bool)
    found = np.zeros(count)
    scale = float(np.abs(matrix.T @ wanted).max())
    for _ in range(_ROUNDS):
        pull = matrix.T @ (wanted - matrix @ found)
        if free.all() or float(pull[~free].max()) <= 1e-10 * scale:
            break
        free[int(np.where(free, -np.inf, pull).argmax())] = True
        while True:
            trial = np.zeros(count)
            trial[free] = np.linalg.lstsq(matrix[:, free], wanted, rcond=None)[0]
            if (trial[free] > 0.0).all():
                break
            bad = free & (trial <= 0.0)
            steps = found[bad] / np.maximum(found[bad] - trial[bad], 1e-300)
            found = found + float(steps.min()) * (trial - found)
            free &= found > 1e-12 * max(float(found.max()), 1e-300)
            if not free.any():
                break
        found = trial if free.any() else np.zeros(count)
    return found


def bag_places(*, support: float, tip: float, count: int = BAGS) -> tuple[float, ...]:
    """Where bags go: evenly, each in the middle of its field, rounded to 10 mm. [m]"""
    step = (tip - support) / count
    return tuple(round(support + (i + 0.5) * step, 2) for i in range(count))


def _bending_of(masses: Array, places: Array, spans: Array) -> Array:
    """Bending of masses that hang on a half wing, at some spans. [N m]"""
    arms = np.maximum(places[None, :] - spans[:, None], 0.0)
    return np.asarray(arms @ masses * GRAVITY)


def static_test_of(
    load: SpanLoad,
    *,
    surface: str,
    load_factor: float,
    own: SpanLoad,
    support: float = 0.0,
    deflection: float | None = None,
    own_deflection: float = 0.0,
    count: int = BAGS,
) -> StaticTest:
    """Bags that bend a half wing as a case does.

    load: the wanted case, such as the limit pull-up. own: the wing under its own weight, held at
    the root (bending below zero). support: half the width of what it lies on. [m] deflection: tip
    up in the case; own_deflection: tip down of the wing's own weight, below zero. [m] count: bags
    a side, 4 to 6.

    Raises:
        ValueError: fewer than two bags, or a load that does not bend the wing up.
    """
    spans, tip = np.asarray(load.spans), load.spans[-1]
    if count < 2 or not 0.0 <= support < tip:
        raise ValueError("the test needs two bags or more and a support inside the span")
    own_bending = -np.interp(spans, own.spans, own.bending)
    wanted = np.asarray(load.bending) - own_bending
    at_root = float(np.interp(support, spans, load.bending))
    if at_root <= 0.0 or float(np.interp(support, spans, wanted)) <= 0.0:
        raise ValueError("the load does not bend the wing up, so bags cannot copy it")
    places = np.array(bag_places(support=support, tip=tip, count=count))
    here = np.linspace(support, tip, 60)
    matrix = np.maximum(places[None, :] - here[:, None], 0.0) * GRAVITY
    masses = non_negative(matrix, np.interp(here, spans, wanted))
    masses = np.round(masses / _ROUND) * _ROUND
    made = _bending_of(masses, places, here) + np.interp(here, spans, own_bending)
    off = made - np.interp(here, spans, load.bending)
    kept = [i for i, mass in enumerate(masses.tolist()) if mass > 0.0]
    bags = tuple(Bag(float(places[i]), round(float(masses[i]), 3)) for i in kept)
    bend = None if deflection is None else deflection + own_deflection
    return StaticTest(
        surface=surface,
        case=load.case,
        load_factor=load_factor,
        support=support,
        bags=bags,
        total=2 * sum(bag.mass for bag in bags),
        root_share=float(made[0]) / at_root,
        worst=float(off[np.abs(off).argmax()]) / at_root,
        steps=_steps(bags, bend),
        stop_at=STOP_AT,
        cautions=CAUTIONS,
    )


def _steps(bags: Sequence[Bag], deflection: float | None) -> tuple[LoadStep, ...]:
    """Quarter, half, three quarters, all. deflection: of all bags together. [m]"""
    found = []
    for share in STEPS:
        down = None if deflection is None else share * deflection
        found.append(
            LoadStep(
                share=share,
                bags=tuple(round(round(share * b.mass / _ROUND) * _ROUND, 3) for b in bags),
                deflection=down,
            )
        )
    return tuple(found)
