"""Colours, lines and lettering against the standards they follow."""

import itertools
import math

import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from plansgen.figures import style
from plansgen.figures.lettering import (
    capital_height_mm,
    clean,
    fit,
    font_size_pt,
    measure,
    width_mm,
)


@pytest.mark.parametrize("series", [style.LINE_WIDTHS_MM, style.LETTERING_MM])
def test_series_ratio(series):
    """ISO 128-2 and ISO 3098-1: neighbours in the ratio 1 : √2, rounded (from memory).

    The printed two digits leave at most 4 % of rounding.
    """
    for smaller, larger in itertools.pairwise(series):
        assert larger / smaller == pytest.approx(math.sqrt(2), rel=0.04)


def test_wide_to_narrow():
    """ISO 128-2: wide to narrow lines as 2 : 1, both of the series (from memory)."""
    assert style.WIDE_MM == 2 * style.NARROW_MM
    assert {style.WIDE_MM, style.NARROW_MM, style.FRAME_MM} <= set(style.LINE_WIDTHS_MM)


def test_inch():
    """International yard and pound agreement, 1959: 1 in = 25.4 mm; 72 points to the inch."""
    assert style.MM_PER_INCH == 25.4
    points = 100 * style.PT_PER_MM
    assert points == pytest.approx(283.465, abs=0.0005)


def test_contrast_formula():
    """WCAG 2.2: black on white 21 : 1; #767676 is the lightest grey at 4.5 : 1 (from memory)."""
    assert style.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert style.contrast("#767676", "#ffffff") >= 4.5 > style.contrast("#777777", "#ffffff")


@pytest.mark.parametrize("shade", ["light", "dark"])
def test_contrast(shade):
    """WCAG 2.2, 1.4.3: text 4.5 : 1; 1.4.11: graphics 3 : 1."""
    for ground in ("paper", "part", "part_2", "band"):
        back = getattr(style.PALETTE[ground], shade)
        for role in style.LINE_ROLES:
            least = 4.5 if role in style.TEXT_ROLES else 3.0
            assert style.contrast(getattr(style.PALETTE[role], shade), back) >= least, (
                role,
                ground,
            )


def test_twins_are_unambiguous():
    light = [shade.light for shade in style.PALETTE.values()]
    dark = [shade.dark for shade in style.PALETTE.values()]
    assert len({*light, *dark}) == len(light) + len(dark)
    assert "#000000" not in light


def test_capitals_are_as_high_as_asked():
    """The font's own outlines of a flat-topped capital."""
    for height in style.LETTERING_MM:
        prop = FontProperties(family="DejaVu Sans", size=font_size_pt(height))
        vertices, _ = text_to_path.get_text_path(prop, "H")
        top = max(y for _, y in vertices) * font_size_pt(height) / text_to_path.FONT_SCALE
        assert top / style.PT_PER_MM == pytest.approx(height, rel=0.002)
        assert capital_height_mm(font_size_pt(height)) == pytest.approx(height)
        assert measure("H", height).above == pytest.approx(height, rel=0.002)


@pytest.mark.parametrize("text", ["1250", "balance point, 84 mm", "AVAVA (35°) Ø 6 − ½"])
def test_width_is_not_less_than_drawn(text):
    prop = FontProperties(family="DejaVu Sans", size=font_size_pt(3.5))
    drawn = text_to_path.get_text_width_height_descent(text, prop, ismath=False)[0]
    assert 0.999 * drawn <= width_mm(text) * style.PT_PER_MM <= 1.15 * drawn


def test_unknown_letters_take_room():
    assert width_mm("漢字") == pytest.approx(2 * font_size_pt(3.5) / style.PT_PER_MM)


def test_clean():
    assert clean("a\x00b\n\tc \u202e\ud800d") == "ab c d"


def test_fit():
    assert fit("Dunlin", 100) == "Dunlin"
    assert fit("a very long name indeed", 30).endswith("…")
    assert width_mm(fit("a very long name indeed", 30)) <= 30
