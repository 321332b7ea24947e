"""What is bought: usual sizes, cut lists of sticks, and the sum at the designer's prices."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.library.tables import materials, paper_sizes
from plansgen.patterns.nest import nest
from plansgen.patterns.shopping import shopping_list
from plansgen.patterns.sticks import StickPiece, cut_list
from plansgen.patterns.stock import StockSheet, StockStick, sheets_of, sticks_of, usual_sheets
from tests.designs import file_of, glider
from tests.patterns.instances import part, rectangle


def test_usual_sizes_say_where_they_come_from() -> None:
    for size in usual_sheets():
        assert size.source
        assert 0.05 < size.height <= size.width < 1.3
        assert size.mark in ("published", "common practice")


def test_a1_board_is_a1_paper() -> None:
    """ISO 216: 841 × 594 mm."""
    a1 = paper_sizes()["a1"]
    boards = [size for size in usual_sheets() if size.name.startswith("A1")]
    assert boards
    for size in boards:
        assert (size.width, size.height) == (a1.height, a1.width)


def test_b1_is_the_mean_of_a0_and_a1() -> None:
    """ISO 216: each side of B1 is the geometric mean of those of A0 and A1, to a millimetre."""
    a0, a1 = paper_sizes()["a0"], paper_sizes()["a1"]
    (b1,) = [size for size in usual_sheets() if size.name.startswith("B1")]
    assert b1.width == pytest.approx((a0.height * a1.height) ** 0.5, abs=1e-3)
    assert b1.height == pytest.approx((a0.width * a1.width) ** 0.5, abs=1e-3)


def test_the_designs_own_stock_wins_over_the_usual() -> None:
    raw = glider()
    raw["stock"] = [
        {
            "name": "big board",
            "material": "foam-board-5mm",
            "width": 1200,
            "height": 600,
            "price": 8.5,
            "currency": "EUR",
        },
        {"name": "long stick", "material": "pine", "length": 2000},
        {"name": "stick", "material": "pine", "length": 1000},
    ]
    file = file_of(raw)
    kinds = {key: materials()[key] for key in ("foam-board-5mm", "cardboard-e-flute", "pine")}
    board, card = sheets_of(file, kinds)
    assert (board.name, board.width, board.price, board.assumed) == ("big board", 1.2, 8.5, False)
    assert (card.material, card.grain, card.assumed) == ("cardboard-e-flute", "height", True)
    assert sticks_of(file, "pine") == StockStick("long stick", "pine", 2.0)
    assert sticks_of(file, "bamboo").assumed


def test_every_packaged_sheet_has_a_usual_size() -> None:
    bare = file_of(glider())
    kinds = {key: m for key, m in materials().items() if m.kind == "sheet"}
    assert {stock.material for stock in sheets_of(bare, kinds)} == set(kinds)


# --- sticks ----------------------------------------------------------------------------------


def test_sticks_by_hand() -> None:
    """Two of 600 and two of 399 with a 1 mm saw: 600 + 1 + 399 is one stick exactly."""
    found = cut_list(
        [StickPiece("cap", 0.6, 2), StickPiece("brace", 0.399, 2)], stick=1.0, kerf=0.001
    )
    assert [stick.pieces for stick in found.sticks] == [(("cap", 0.6), ("brace", 0.399))] * 2
    assert [stick.rest for stick in found.sticks] == [0.0, 0.0]
    assert found.bound == 2


def test_a_piece_longer_than_the_stick_is_named() -> None:
    found = cut_list([StickPiece("boom", 1.2, 2), StickPiece("cap", 1.0)], stick=1.0, kerf=0.001)
    assert found.too_long == ("boom",)
    assert len(found.sticks) == found.bound == 1


lengths = st.lists(st.integers(20, 1000), min_size=1, max_size=30)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(lengths, st.sampled_from([0, 1, 3]))
def test_nothing_is_cut_twice_and_nothing_is_lost(millimetres: list[int], kerf: int) -> None:
    pieces = [StickPiece(str(n), length / 1000) for n, length in enumerate(millimetres)]
    found = cut_list(pieces, stick=1.0, kerf=kerf / 1000)
    names = sorted(int(name) for stick in found.sticks for name, _ in stick.pieces)
    assert names == list(range(len(pieces)))
    for stick in found.sticks:
        cuts = sum(length for _, length in stick.pieces) + (len(stick.pieces) - 1) * kerf / 1000
        assert cuts <= 1.0 + 1e-9
    # By first fit no two sticks are both at most half used, cuts included.
    with_cuts = sum(millimetres) + kerf * len(millimetres)
    assert found.bound <= len(found.sticks) <= 2 * with_cuts / (1000 + kerf) + 1


# --- what it costs ---------------------------------------------------------------------------


def test_the_shopping_list_adds_up() -> None:
    board = StockSheet("board", "board", 0.762, 0.508, price=3.25, currency="EUR")
    nesting = nest([part("side", rectangle(0.7, 0.4), count=3)], [board])
    stick = StockStick("pine stick", "pine", 1.0, price=1.1, currency="EUR")
    wire = StockStick("steel wire", "steel-wire", 1.0)
    cut = cut_list([StickPiece("cap", 0.9, 2)], stick=1.0, kerf=0.001)
    found = shopping_list(nesting, [(stick, cut), (wire, cut)])
    assert [(line.name, line.count, line.price) for line in found.purchases] == [
        ("board", 3, 9.75),
        ("pine stick", 2, 2.2),
        ("steel wire", 2, None),
    ]
    assert [(total.currency, total.price) for total in found.totals] == [("EUR", 11.95)]
    assert found.unpriced == ("steel wire",)
    assert found.purchases[0].bound == 3
