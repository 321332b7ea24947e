"""Stock is of materials that there are, and the designer's places are on sheets that there are."""

from __future__ import annotations

from typing import Any

import pytest

from plansgen.library.assumed import assumptions
from plansgen.library.purchase import check_stock
from plansgen.library.tables import materials
from plansgen.library.text import Place
from tests.designs import file_of, glider

BOARD = {"name": "board", "material": "foam-board-5mm", "width": 762, "height": 508}
HERE = {"part": "rib", "stock": "board", "x": 0, "y": 0}


def told(**more: Any) -> list[tuple[Place, str]]:
    found: list[tuple[Place, str]] = []

    def trouble(path: Place, wrong: str, *, allowed: str = "", nearest: str = "") -> None:
        found.append((path, f"{wrong}; {allowed}; {nearest}"))

    check_stock(trouble, file_of(glider() | more), materials())
    return found


@pytest.mark.parametrize(
    ("more", "path", "words"),
    [
        (
            {"stock": [BOARD | {"material": "foam-bord-5mm"}]},
            ("stock", 0, "material"),
            "foam-board-5mm",
        ),
        (
            {"stock": [{"name": "a", "material": "foam-board-5mm", "length": 900}]},
            ("stock", 0, "length"),
            "is a sheet, not a stick",
        ),
        ({"stock": [BOARD | {"height": 10}]}, ("stock", 0), "leaves no room"),
        (
            {"stock": [BOARD], "nesting": {"places": [HERE, HERE | {"stock": "bord"}]}},
            ("nesting", "places", 1, "stock"),
            'no stock sheet "bord"; board; board',
        ),
        ({"nesting": {"places": [HERE]}}, ("nesting", "places", 0, "stock"), "it names none"),
    ],
)
def test_what_cannot_be_bought_is_told(more: Any, path: Place, words: str) -> None:
    ((place, text),) = told(**more)
    assert place == path
    assert words in text


def test_sound_stock_is_taken() -> None:
    assert told(stock=[BOARD], nesting={"places": [HERE], "gap": "3 mm"}) == []


def test_what_was_not_said_is_shown_as_assumed() -> None:
    shown = {
        entry.where: entry.words for entry in assumptions(file_of(glider() | {"stock": [BOARD]}))
    }
    assert "2 mm between parts" in shown["nesting.gap"]
    assert "5 mm between parts and the edge" in shown["nesting.margin"]
    assert "saw cut" in shown["nesting.kerf"]
    assert "without a direction" in shown["stock[0].grain"]
