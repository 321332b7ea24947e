"""Paper sizes against ISO 216 and the inch."""

from __future__ import annotations

import math

import pytest

from plansgen.library.tables import paper_sizes


def test_a0_has_one_square_metre_and_sides_as_1_to_root_2() -> None:
    """ISO 216: A0 is 1 m² with sides 1 : √2, rounded to whole millimetres."""
    a0 = paper_sizes()["a0"]
    assert a0.width * 1000 == pytest.approx(round(1000 * 2**-0.25))
    assert a0.height * 1000 == pytest.approx(round(1000 * 2**0.25))


@pytest.mark.parametrize("number", range(1, 6))
def test_each_size_is_the_one_before_cut_in_half(number: int) -> None:
    """ISO 216: the longer side is halved, a half millimetre dropped; the shorter side stays."""
    larger, size = paper_sizes()[f"a{number - 1}"], paper_sizes()[f"a{number}"]
    assert round(size.width * 1000) == math.floor(round(larger.height * 1000) / 2)
    assert size.height == larger.width


@pytest.mark.parametrize("number", range(6))
def test_sides_keep_the_ratio(number: int) -> None:
    size = paper_sizes()[f"a{number}"]
    worst = 1.0 / (size.width * 1000)  # a millimetre of rounding on the shorter side
    assert size.height / size.width == pytest.approx(math.sqrt(2), rel=worst)


@pytest.mark.parametrize(
    ("name", "width", "height"), [("letter", 8.5, 11.0), ("tabloid", 11.0, 17.0)]
)
def test_inch_sizes(name: str, width: float, height: float) -> None:
    """ANSI/ASME Y14.1 sizes A and B; the international inch is 25.4 mm exactly."""
    size = paper_sizes()[name]
    assert size.width == pytest.approx(width * 0.0254, rel=1e-12)
    assert size.height == pytest.approx(height * 0.0254, rel=1e-12)


def test_all_sheets_are_portrait_and_sourced() -> None:
    for name, size in paper_sizes().items():
        assert size.width < size.height, name
        assert size.source
        assert size.mark == "published"
