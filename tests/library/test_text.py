"""Words for a line that is not to grow without end."""

from __future__ import annotations

import pytest

from plansgen.library.text import first_of


@pytest.mark.parametrize(
    ("words", "between", "line"),
    [
        ("", ", ", ""),
        ("abc", ", ", "a, b, c"),
        ("abcde", ", ", "a, b, c and 2 more"),
        ("abcd", "; ", "a; b; c; and 1 more"),
    ],
)
def test_the_first_of_many(words: str, between: str, line: str) -> None:
    assert first_of(list(words), 3, between=between) == line
