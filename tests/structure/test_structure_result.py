"""The whole structure of a design: never a traceback, never a number that is none."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plansgen.airframe.build import build_airframe
from plansgen.balance.result import work_out_balance
from plansgen.dossier import Dossier, to_json
from plansgen.flight.result import work_out_flight
from plansgen.library.tables import methods
from plansgen.quantity import quantities
from plansgen.structure.reserve import CAP
from plansgen.structure.result import StructureResult, body_edge, work_out_structure
from plansgen.structure.strength import (
    BoxComparison,
    CaseStrength,
    CutView,
    Reach,
    StickComparison,
    Suggestion,
    SurfaceStrength,
    Weakest,
)
from tests.designs import Raw, airframe_of, dossier_of, file_of, glider, stock, trainer
from tests.random_designs import designs, not_finite

BOARDS = ("foam-board-5mm", "cardboard-e-flute", "polystyrene-sheet-3mm", "kraft-paper-80")
STICKS = ("pine", "balsa", "carbon-tube", "birch-ply-1.5mm")


def strong(raw: Raw, board: str = "foam-board-5mm") -> Raw:
    """The design built of a packaged board, whose strength is known."""
    raw = copy.deepcopy(raw)
    for owner in (*raw["surfaces"].values(), *raw.get("bodies", {}).values()):
        for part in owner.get("parts", ()):
            part["material"] = {"board": board}.get(part["material"], part["material"])
    return raw


def result_of(raw: Raw) -> StructureResult | None:
    file = file_of(raw)
    airframe = build_airframe(file, {})
    balance = work_out_balance(file, airframe, stock(file))
    try:
        flight = work_out_flight(file, airframe, balance)
    except ValueError:
        return None  # it cannot fly; the dossier says so
    assert flight is not None
    return work_out_structure(file, airframe, balance, flight, stock(file))


@st.composite
def strong_designs(draw: st.DrawFn) -> Raw:
    """Random aeroplanes of known materials, some with a spar."""
    raw = strong(draw(designs()), draw(st.sampled_from(BOARDS)))
    wing = raw["surfaces"]["wing"]
    if draw(st.booleans()):
        span = file_of(raw).surfaces["wing"].span * 1000
        wing["parts"].append(
            {
                "name": "spar",
                "material": draw(st.sampled_from(STICKS)),
                "run": {"from": 0, "to": round(span * draw(st.sampled_from((0.3, 0.8, 1.0))), 3)},
                "size": {"width": 6, "height": draw(st.sampled_from((2, 6, 10)))},
                "lies": draw(st.sampled_from(("top", "top and bottom", "between", "middle"))),
                "count": 2,
            }
        )
    return raw


@settings(
    max_examples=4,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize=True,  # each works out a flight and a structure
)
@given(strong_designs())
def test_any_design_gives_numbers(raw: Raw) -> None:
    result = result_of(raw)
    if result is None:
        return
    assert not_finite(result) == []
    for surface in result.surfaces:
        asked = [case for case in surface.cases if case.case.in_service] or surface.cases
        assert surface.worst.reserve == min(case.weakest.reserve for case in asked)
        for case in surface.cases:
            assert case.weakest.reserve == pytest.approx(min(case.reserves))
            assert 0.0 <= case.weakest.low <= case.weakest.reserve <= CAP
            assert len(case.spans) == len(case.reserves) == len(case.bending)
        for cut in surface.cuts:
            assert sum(share.share for share in cut.shares) == pytest.approx(1.0)


@pytest.fixture(scope="module")
def whole() -> Dossier:
    raw = strong(trainer())
    raw["surfaces"]["wing"]["parts"][1] |= {"material": "basswood", "lies": "middle"}
    return dossier_of(raw)


def test_wing_comes_first(whole: Dossier) -> None:
    assert whole.structure is not None
    surfaces = [surface.surface for surface in whole.structure.surfaces]
    assert surfaces == ["wing", "tailplane", "fin"]
    assert whole.structure.least == min(s.worst.reserve for s in whole.structure.surfaces)
    assert whole.structure.wanted == 2.0  # the file's usual: common practice, no source


def test_it_stays_small(whole: Dossier) -> None:
    """Half a megabyte loads in a blink; what nobody looks at is left out."""
    assert len(to_json(whole)) < 500_000


def test_reach_and_sticks_are_there(whole: Dossier) -> None:
    assert whole.structure is not None
    wing = whole.structure.surfaces[0]
    assert wing.reach is not None
    assert wing.reach.now == pytest.approx(0.45)
    assert wing.sticks[0].ratio == pytest.approx(4.0)  # (10/5)², second moments of a rectangle
    assert [cut.title for cut in wing.cuts][-1] == "just inside of the spar's end"
    assert wing.box is not None
    assert wing.box.bending_closed > wing.box.bending_loose


def test_no_strength_known_no_result() -> None:
    assert result_of(glider()) is None


def test_tail_of_unknown_strength_is_told() -> None:
    raw = glider()
    raw["surfaces"]["wing"]["parts"][0]["material"] = "foam-board-5mm"
    result = result_of(raw)
    assert result is not None
    assert [surface.surface for surface in result.surfaces] == ["wing"]
    assert any("fin" in note for note in result.notes)
    assert "tailplane: plate of board" in result.unknown


def test_heavier_pulls_harder() -> None:
    """Twice the limit load, half the reserve: loads of the pull-up are proportional to n.

    Torque about the spar is not (camber's share stays), so the wing is a flat plate.
    Source: n W, any text on loads.
    """
    reserves = []
    for load in (3.0, 6.0):
        raw = strong(glider()) | {"structure": {"limit_load": load}}
        result = result_of(raw)
        assert result is not None
        cases = {case.case.key: case for case in result.surfaces[0].cases}
        reserves.append(cases["pull-up"].weakest.reserve)
    assert reserves[0] == pytest.approx(2 * reserves[1], rel=0.02)


def test_body_edge_is_half_the_body() -> None:
    raw: Any = trainer()
    raw["surfaces"]["wing"]["at"] = {"x": 150, "z": 20}
    airframe = airframe_of(raw)
    wing = airframe.surface("wing")
    assert body_edge(airframe, wing, axis=0.3) == pytest.approx(0.0285, abs=2e-3)
    assert body_edge(airframe, airframe.surface("fin"), axis=0.3) == 0.0


@pytest.mark.parametrize(
    "kind",
    [
        *(StructureResult, SurfaceStrength, CaseStrength, Weakest, Reach, StickComparison),
        *(BoxComparison, CutView, Suggestion),
    ],
)
def test_every_number_has_a_method(kind: Any) -> None:
    for name, mark in quantities(kind).items():
        assert mark.method in methods(), name
