"""Reserve factors along a half, against beams worked out on paper."""

from __future__ import annotations

import dataclasses

import pytest

from plansgen.structure.cut import Cut
from plansgen.structure.margins import Margins, load_at, loads_at, margins, margins_of, weakest
from plansgen.structure.reserve import CAP
from plansgen.structure.section import stresses
from plansgen.structure.surface_strength import weak_places
from tests.structure.halves import WOOD, Hand, box, half_of, load_of

TIP = 0.5
WIDTH, HEIGHT, THICK = 0.040, 0.030, 0.001


def uniform(span: float, damp: bool, reach: float) -> Cut:
    soft = dataclasses.replace(WOOD, compression=WOOD.compression / 2) if damp else WOOD
    return box(span, width=WIDTH, height=HEIGHT, thickness=THICK, solid=soft)


def second_moment() -> float:
    """Of the box by its middle lines: two flanges at half the height, two webs."""
    flanges = 2 * (WIDTH * THICK * (HEIGHT / 2) ** 2 + WIDTH * THICK**3 / 12)
    return flanges + 2 * THICK * HEIGHT**3 / 12


def test_box_under_a_force_at_its_tip() -> None:
    """R = strength W / M with W = I/c and M = P L at the root.

    Source: S. P. Timoshenko, Strength of Materials, cantilever with a load at its end.
    """
    force = 10.0
    load = load_of(lambda y: force * (TIP - y), tip=TIP)
    half = half_of(Hand(uniform), TIP)
    found = margins(half, load, half.stations())
    outermost = HEIGHT / 2 + THICK / 2
    by_hand = WOOD.compression * second_moment() / outermost / (force * TIP)
    assert found.least == pytest.approx(by_hand, rel=1e-6)
    assert found.worst is not None
    assert found.worst[0] == 0.0
    assert (found.worst[1].kind, found.worst[1].part) == ("compression", "box")
    halfway = dict(zip(found.spans, found.reserves, strict=True))
    middle = min(halfway, key=lambda span: abs(span - TIP / 2))
    assert halfway[middle] == pytest.approx(by_hand * TIP / (TIP - middle), rel=1e-6)


def test_torque_in_a_closed_box() -> None:
    """R = strength 2 A t / T. Source: Bredt (1896), as in Megson, Aircraft Structures."""
    load = load_of(lambda _: 0.0, tip=TIP, torque=2.0)
    half = half_of(Hand(uniform), TIP)
    by_hand = WOOD.shear * 2 * WIDTH * HEIGHT * THICK / 2.0
    # The walls' own twist comes on top of Bredt's flow: thickness over mean width.
    assert margins(half, load, (0.1,)).least == pytest.approx(by_hand, rel=0.08)


def test_reserve_halves_as_the_load_doubles() -> None:
    half = half_of(Hand(uniform), TIP)
    once, twice = (load_of(lambda y, p=p: p * (TIP - y), tip=TIP) for p in (5.0, 10.0))
    spans = half.stations()
    assert margins(half, once, spans).least == pytest.approx(2 * margins(half, twice, spans).least)


def test_bent_the_other_way_the_other_side_is_pushed() -> None:
    half = half_of(Hand(uniform), TIP)
    up, down = (load_of(lambda y, p=p: p * (TIP - y), tip=TIP) for p in (5.0, -5.0))
    found = [margins(half, load, (0.0,)).worst for load in (up, down)]
    assert found[0] is not None
    assert found[1] is not None
    assert found[0][1].place[1] > 0 > found[1][1].place[1]
    assert found[0][1].reserve == pytest.approx(found[1][1].reserve)


def test_nothing_loaded_is_capped_and_has_no_weakest_place() -> None:
    half = half_of(Hand(uniform), TIP)
    found = margins(half, load_of(lambda _: 0.0, tip=TIP), half.stations())
    assert found.least == CAP
    assert found.worst is None
    assert weakest(found, case="rest", tip=TIP) is None


def test_nothing_of_known_strength_is_not_judged() -> None:
    half = half_of(Hand(lambda span, *_: Cut(span, ())), TIP)
    assert margins(half, load_of(lambda _: 1.0, tip=TIP), (0.0, 0.1)).worst is None


def test_weak_material_by_two_standard_deviations() -> None:
    """1 - 2 x 0.15 = 0.7 of the mean: elementary statistics."""
    load = load_of(lambda y: 10.0 * (TIP - y), tip=TIP)
    found = margins(half_of(Hand(uniform), TIP), load, (0.0,))
    assert found.low == pytest.approx(0.7 * found.least)


def test_many_cases_at_once_are_the_same_as_one_by_one() -> None:
    half = half_of(Hand(uniform), TIP)
    cases = [load_of(lambda y, p=p: p * (TIP - y), tip=TIP, torque=p) for p in (3.0, -8.0, 0.0)]
    together = margins_of(half, cases, half.stations())
    assert together == [margins(half, case, half.stations()) for case in cases]


def test_every_stress_is_looked_at() -> None:
    """The table of many loads against the stresses of one load, each worked out by itself."""
    load = load_of(lambda y: 4.0 * (TIP - y), tip=TIP, torque=1.0)
    half = half_of(Hand(uniform), TIP)
    one = stresses(half.cut(0.1), **load_at(load, 0.1))
    assert margins(half, load, [0.1]).least == pytest.approx(min(s.reserve for s in one))


def test_damp_is_told_only_where_it_matters() -> None:
    load = load_of(lambda y: 10.0 * (TIP - y), tip=TIP)
    half = half_of(Hand(uniform), TIP)
    dry, wet = (margins(each, load, (0.0,)) for each in (half, half.other(damp=True)))
    place = weakest(dry, case="rest", tip=TIP, damp=wet)
    assert place is not None
    assert place.damp == pytest.approx(place.reserve / 2)
    same = weakest(dry, case="rest", tip=TIP, damp=dry)
    assert same is not None
    assert same.damp is None


def test_both_sides_of_every_step_are_looked_at() -> None:
    half = half_of(Hand(uniform, ends=(0.2, 0.31)), TIP)
    stations = half.stations((0.4,))
    for step in (0.2, 0.31, 0.4):
        near = [span for span in stations if abs(span - step) < 1e-4]
        assert min(near) < step < max(near)
    assert list(stations) == sorted(stations)
    assert stations[0] == 0.0
    assert stations[-1] < TIP


def test_loads_lie_straight_between_their_spans() -> None:
    load = load_of(lambda y: 4 * y, tip=1.0, steps=4)
    assert loads_at(load, [0.1, 0.6])[1]["bending"] == pytest.approx(2.4)


def test_damp_is_looked_at_where_each_case_is_weakest() -> None:
    """One case is weak at the root, the other at the tip: both ends are looked at."""
    spans = tuple(k / 100 for k in range(20))
    inner = Margins(spans, tuple(1.0 + k for k in range(20)), None, 1.0)
    outer = Margins(spans, tuple(100.0 - k for k in range(20)), None, 1.0)
    assert weak_places([inner, outer]) == (*spans[:5], *spans[-5:])
    assert weak_places([inner, inner]) == spans[:5]
