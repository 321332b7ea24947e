"""Tape by length, film and paper by area, against sums by hand."""

from __future__ import annotations

import pytest

from plansgen.patterns.off_the_roll import RollAmount, off_the_roll
from plansgen.patterns.surface_parts import surface_parts
from tests.designs import Raw, airframe_of, file_of, glider, stock, surface


def amounts(raw: Raw) -> dict[str, RollAmount]:
    file, frame = file_of(raw), airframe_of(raw)
    found = surface_parts(file, frame, stock(file))
    rows = off_the_roll(
        file,
        frame,
        stock(file),
        parts=[part for part in found.parts if part.material != "board"],
        cut_list=found.cut_list,
    )
    return {row.material: row for row in rows}


def test_sums_by_hand() -> None:
    """Tape of 400 mm a side twice; 100 × 80 mm of film five times; 0.01 m² of board."""
    raw = glider()
    tape = {"name": "tape", "material": "packing-tape", "run": {"from": 0, "to": 400, "at": 0}}
    film = {"name": "window", "material": "laminating-film", "count": 5, "at": {"x": 100}}
    raw["surfaces"]["wing"] = surface("wing", [(0, 0, 200), (400, 0, 200)], at={"x": 150})
    raw["surfaces"]["wing"]["parts"] = [tape]
    raw["parts"] = [
        {**film, "plate": {"length": 100, "width": 80}},
        {"name": "bits", "material": "board", "area": "1 dm²", "at": {"x": 0}},
    ]
    found = amounts(raw)
    assert set(found) == {"packing-tape", "laminating-film", "board"}
    tape_row, film_row = found["packing-tape"], found["laminating-film"]
    assert (tape_row.pieces, tape_row.length, tape_row.area) == (2, pytest.approx(0.8), 0.0)
    assert (film_row.pieces, film_row.area) == (5, pytest.approx(5 * 0.1 * 0.08))
    assert found["board"].area == pytest.approx(0.01)


def test_nothing_off_a_roll_is_no_line() -> None:
    assert amounts(glider()) == {}
