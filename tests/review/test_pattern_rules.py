"""Rules about openings and places speak when they should, and the bench's list is honest."""

from __future__ import annotations

from typing import Any

from plansgen.dossier import work_out_all
from plansgen.patterns.by_hand import left_to_hand
from plansgen.patterns.result import PatternSet
from plansgen.review.finding import Finding
from tests.designs import Raw, design_of, glider, skin


def made(*openings: Raw, **more: Any) -> tuple[dict[str, Finding], PatternSet]:
    raw = glider() | more
    raw["surfaces"]["tailplane"]["parts"] = [skin(openings=list(openings))]
    dossier, patterns = work_out_all(design_of(raw))
    assert patterns is not None
    return {finding.rule: finding for finding in dossier.findings}, patterns


def hole(**measures: Any) -> Raw:
    return {"name": "window", "width": 20, "at": 0.5, **measures}


def test_an_opening_that_lies_nowhere_is_a_caution_and_left_to_hand() -> None:
    rules, patterns = made(hole(**{"from": 150, "to": 250}))
    assert rules["pattern-opening"].severity == "caution"
    assert 'opening "window"' in rules["pattern-opening"].number
    assert any("mark and cut it by hand" in words for words in left_to_hand(patterns))


def test_an_opening_that_is_cut_says_nothing() -> None:
    rules, patterns = made(hole(**{"from": 50, "to": 90}))
    assert not {"pattern-opening", "pattern-place"} & set(rules)
    assert not any("window" in words for words in left_to_hand(patterns))


def test_a_place_for_no_part_is_a_caution() -> None:
    place = {"part": "no-such-part", "stock": "board", "x": 10, "y": 10}
    sheet = {"name": "board", "material": "board", "width": 1200, "height": 800}
    rules, _ = made(stock=[sheet], nesting={"places": [place]})
    assert rules["pattern-place"].severity == "caution"
    assert "no-such-part" in rules["pattern-place"].number
