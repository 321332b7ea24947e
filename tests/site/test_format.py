"""Numbers as a builder reads them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plansgen.site.format import GAP, MINUS, THIN, plain, show, significant

UNITS = ("m", "m²", "m³", "kg", "rad", "kg/m²", "kg/m³", "kg m²", "s", "1", "%")


def imperial(value: float, unit: str) -> float:
    """The number before the inch or ounce unit."""
    return float(show(value, unit).imperial.split(GAP)[0].replace(THIN, ""))


@pytest.mark.parametrize(
    ("value", "unit", "converted", "half_digit"),
    [
        # NIST SP 811 (2008), appendix B.8: multiply by the factor to get the SI unit. The first
        # three factors are exact; values are chosen so that many digits show.
        (100 * 2.54e-2, "m", 100.0, 0.005),  # inch
        (100 * 2.834952e-2, "kg", 100.0, 0.005),  # ounce, avoirdupois
        (100 * 6.4516e-4, "m²", 100.0, 0.5),  # square inch
        (100 * 1.638706e-5, "m³", 100.0, 0.5),  # cubic inch
        (20 * 3.051517e-1, "kg/m²", 20.0, 0.05),  # ounce per square foot
        # Derived from those: ounce per cubic foot 0.02834952 / 0.3048³, ounce square inch.
        (9 * 2.834952e-2 / 3.048e-1**3, "kg/m³", 9.0, 0.05),
        (500 * 2.834952e-2 * 6.4516e-4, "kg m²", 500.0, 0.5),
        (100 * 6.894757e3, "Pa", 100.0, 0.5),  # pound-force per square inch
        (100 * 4.448222 * 6.4516e-4, "N m²", 100.0, 0.5),  # pound-force square inch, derived
        (100 * 3.048e-1, "m/s²", 100.0, 0.5),  # foot per second squared
    ],
)
def test_conversion_factors(value: float, unit: str, converted: float, half_digit: float) -> None:
    assert imperial(value, unit) == pytest.approx(converted, abs=half_digit)


@pytest.mark.parametrize(
    ("value", "unit", "metric"),
    [
        (0.061, "m", "61 mm"),
        (0.0794, "m", "79.4 mm"),
        (0.07996, "m", "80 mm"),
        (1.1875, "m", "1 188 mm"),
        (0.9996, "m", "1 000 mm"),
        (0.0, "m", "0 mm"),
        (0.00235, "kg", "2.4 g"),
        (0.00996, "kg", "10 g"),
        (0.7732, "kg", "773 g"),
        (0.238, "m²", "23.8 dm²"),
        (3.25, "kg/m²", "32.5 g/dm²"),
        (6.664, "kg/m³", "6.66 kg/m³"),
        (math.radians(3), "rad", "3°"),
        (math.radians(2.25), "rad", "2.2°"),
        (math.radians(-0.01), "rad", "0°"),
        (0.29, "%", "29.0 %"),
        (52.4, "N m²", "52.4 N m²"),
        (3.1e9, "Pa", "3.10 GPa"),
        (999.6e3, "Pa", "1.00 MPa"),
        (937e3, "Pa", "937 kPa"),
        (12.0, "Pa", "12.0 Pa"),
        (5400, "s", "1 h 30 min"),
        (7200, "s", "2 h"),
        (60, "s", "1 min"),
        (0.4567, "1", "0.457"),
        (6.004, "1", "6.00"),
    ],
)
def test_rounding(value: float, unit: str, metric: str) -> None:
    """Rounding of the trade: whole grams, tenths of a millimetre (common practice, no source)."""
    assert show(value, unit).metric.replace(GAP, " ").replace(THIN, " ") == metric


def test_a_true_minus_sign_and_none_before_nought() -> None:
    """Minus sign, not hyphen: SI Brochure, 9th edition, section 5.4 (from memory)."""
    assert plain(-12.34, 1) == f"{MINUS}12.3"
    assert plain(-0.04, 1) == "0.0"
    assert significant(-0.000123) == f"{MINUS}0.000123"
    assert "-" not in show(-0.012, "m").metric + show(-0.012, "m").imperial


def test_thousands_stand_apart() -> None:
    """Groups of three set apart by a narrow gap: SI Brochure, section 5.4.4 (from memory)."""
    assert plain(1234567.0, 0) == f"1{THIN}234{THIN}567"


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("unit", UNITS)
def test_refuses_what_is_no_number(bad: float, unit: str) -> None:
    with pytest.raises(ValueError, match="cannot stand on a page"):
        show(bad, unit)


def test_refuses_an_unknown_unit() -> None:
    with pytest.raises(KeyError):
        show(1.0, "furlong")


@given(st.floats(-1e6, 1e6).filter(lambda value: abs(value) > 1e-9), st.integers(1, 6))
def test_significant_digits_are_kept(value: float, digits: int) -> None:
    """Against Python's own rounding to significant digits."""
    read = float(significant(value, digits).replace(THIN, "").replace(MINUS, "-"))
    assert read == pytest.approx(float(f"{value:.{digits - 1}e}"), rel=10.0 ** (1 - digits))
    assert abs(read - value) <= 0.51 * 10.0 ** (math.floor(math.log10(abs(value))) + 1 - digits)
