"""Spar reach against a wing whose answer can be written down."""

from __future__ import annotations

import math

import pytest

from plansgen.structure.cut import Cut, Piece
from plansgen.structure.reach import BLUNT, SparReach, reach_of
from plansgen.structure.reserve import CAP
from tests.structure.halves import FOAM, WOOD, Hand, box, half_of, load_of

TIP = 0.6
SKIN = {"width": 0.12, "height": 0.020, "thickness": 0.003, "solid": FOAM, "part": "skin"}
CAPS = 0.0085  # m, above and below the middle


def cut(span: float, damp: bool, reach: float) -> Cut:
    skin = box(span, **SKIN)  # type: ignore[arg-type]
    if span > reach:
        return skin
    caps = tuple(Piece("spar", WOOD, (-0.005, z), (0.005, z), 0.003) for z in (CAPS, -CAPS))
    return Cut(span, skin.pieces + caps)


def elliptic(lift: float):  # type: ignore[no-untyped-def]
    """Bending of half an elliptic load, from its shear V = L (1 - 2/π (s√(1-s²) + asin s)).

    M(s) = L b ((4/3π)(1-s²)^1.5... ) written out by integrating V from s to 1.
    Source: elementary integration of l(s) = 4 L/(π b) √(1 - s²).
    """

    def bending(y: float) -> float:
        s = min(y / TIP, 1.0)
        root = math.sqrt(max(0.0, 1 - s * s))
        outboard = (math.pi / 2 - s * root - math.asin(s)) / 2  # ∫ √(1-t²) dt from s to 1
        first = root**3 / 3  # ∫ t √(1-t²) dt from s to 1
        return lift * TIP * 4 / math.pi * (first - s * outboard)

    return bending


def strength_of_skin() -> float:
    """Moment that the foam box stands: strength I/c. Source: beam theory."""
    w, h, t = SKIN["width"], SKIN["height"], SKIN["thickness"]
    second = 2 * (w * t * (h / 2) ** 2 + w * t**3 / 12) + 2 * t * h**3 / 12  # type: ignore[operator]
    return FOAM.compression * second / (h / 2 + t / 2)  # type: ignore[operator]


def where(bending, moment: float) -> float:  # type: ignore[no-untyped-def]
    """Span at which the bending has fallen to a moment, by halving."""
    low, high = 0.0, TIP
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if bending(middle) > moment else (low, middle)
    return high


def test_elliptic_root_moment() -> None:
    """4/(3π) of half span times half the lift: the textbook's lever of an elliptic half."""
    assert elliptic(10.0)(0.0) == pytest.approx(10.0 * TIP * 4 / (3 * math.pi))


@pytest.mark.parametrize("wanted", [1.5, 2.0, 3.0])
def test_least_reach_of_an_elliptic_load(wanted: float) -> None:
    """The spar must go to where the bending is the skin's strength over the wanted reserve."""
    bending = elliptic(8.0)
    half = half_of(Hand(cut, reach=0.45, spar=("spar",), ends=(0.45,)), TIP)
    found = reach_of(half, [load_of(bending, tip=TIP)], half.stations(), wanted=wanted)
    assert found is not None
    assert found.least == pytest.approx(where(bending, strength_of_skin() / wanted), abs=2e-4)
    assert found.least_share == pytest.approx(found.least / TIP)


def test_curve_rises_to_what_the_spar_alone_limits() -> None:
    half = half_of(Hand(cut, reach=0.3, spar=("spar",), ends=(0.3,)), TIP)
    load = load_of(elliptic(8.0), tip=TIP)
    found = reach_of(half, [load], half.stations(), wanted=2.0)
    assert found is not None
    reserves = [point.reserve for point in found.points]
    assert reserves == sorted(reserves)
    assert reserves[-1] == pytest.approx(SparReach(half, (load,), half.stations()).with_spar[0])
    assert found.points[0].share == pytest.approx(0.2, abs=0.06)
    assert found.points[-1].share == pytest.approx(1.0)
    assert any(point.reach == pytest.approx(found.now, rel=1e-3) for point in found.points)


def test_the_step_at_the_end() -> None:
    """Stiffness in and out by the transformed section: E I of foam, and of the caps on top."""
    half = half_of(Hand(cut, reach=0.3, spar=("spar",), ends=(0.3,)), TIP)
    bending = elliptic(8.0)
    found = reach_of(half, [load_of(bending, tip=TIP)], half.stations(), wanted=2.0)
    assert found is not None
    caps = 2 * WOOD.modulus * (0.010 * 0.003 * CAPS**2 + 0.010 * 0.003**3 / 12)
    assert found.stiffness_in - found.stiffness_out == pytest.approx(caps, rel=1e-6)
    assert found.bending_there == pytest.approx(bending(0.3), rel=1e-4)
    assert found.skin_reserve == pytest.approx(strength_of_skin() / bending(0.3), rel=1e-3)
    assert found.blunt_reserve == pytest.approx(found.skin_reserve / BLUNT)


def test_every_case_counts() -> None:
    """The spar reaches as far as the case that asks most of the skin wants it to."""
    half = half_of(Hand(cut, reach=0.45, spar=("spar",), ends=(0.45,)), TIP)
    cases = [load_of(elliptic(lift), tip=TIP, case=str(lift)) for lift in (3.0, 8.0, -5.0)]
    found = reach_of(half, cases, half.stations(), wanted=2.0)
    alone = reach_of(half, cases[1:2], half.stations(), wanted=2.0)
    assert found is not None
    assert alone is not None
    assert (found.case, found.least) == ("8.0", alone.least)


def test_no_spar_no_answer() -> None:
    half = half_of(Hand(cut), TIP)
    assert reach_of(half, [load_of(elliptic(8.0), tip=TIP)], half.stations(), wanted=2.0) is None


def test_spar_to_the_tip() -> None:
    half = half_of(Hand(cut, reach=TIP, spar=("spar",)), TIP)
    found = reach_of(half, [load_of(elliptic(8.0), tip=TIP)], half.stations(), wanted=2.0)
    assert found is not None
    assert found.now_share == 1.0
    assert found.least is not None
    assert found.least < TIP
    assert found.bending_there == 0.0
    assert found.skin_reserve == CAP


def test_no_reach_is_enough_where_the_root_is_too_weak() -> None:
    half = half_of(Hand(cut, reach=0.4, spar=("spar",)), TIP)
    load = load_of(elliptic(8000.0), tip=TIP)
    found = reach_of(half, [load], half.stations(), wanted=2.0)
    assert found is not None
    assert found.least is None
    assert found.least_share is None


def test_skin_alone_is_enough() -> None:
    half = half_of(Hand(cut, reach=0.4, spar=("spar",)), TIP)
    found = reach_of(half, [load_of(elliptic(0.5), tip=TIP)], half.stations(), wanted=2.0)
    assert found is not None
    assert found.least == 0.0


def test_nothing_known_outboard_means_all_the_way() -> None:
    def bare(span: float, damp: bool, reach: float) -> Cut:
        whole = cut(span, damp, reach)
        return Cut(span, tuple(piece for piece in whole.pieces if piece.part == "spar"))

    half = half_of(Hand(bare, reach=0.4, spar=("spar",)), TIP)
    found = reach_of(half, [load_of(elliptic(0.5), tip=TIP)], half.stations(), wanted=2.0)
    assert found is not None
    assert found.least == TIP
    assert found.stiffness_out == 0.0
