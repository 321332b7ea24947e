"""Builders' units to SI.

Factors: NIST Special Publication 811 (2008), appendix B.8 and B.9.
"""

from __future__ import annotations

import math
import subprocess
import sys
from fractions import Fraction
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from plansgen.library import unit_list
from plansgen.library.units import (
    Angle,
    Area,
    ArealDensity,
    Charge,
    ChordShare,
    Current,
    Density,
    DischargeRate,
    FileUnits,
    Length,
    LinearDensity,
    Mass,
    MotorConstant,
    NonNegativeLength,
    NonNegativeMass,
    PositiveLength,
    Power,
    Resistance,
    Share,
    Speed,
    Throw,
    Time,
    Torque,
    Voltage,
    Volume,
    WireArea,
)

ALL = {
    "Length": Length,
    "PositiveLength": PositiveLength,
    "NonNegativeLength": NonNegativeLength,
    "Mass": Mass,
    "NonNegativeMass": NonNegativeMass,
    "Angle": Angle,
    "Area": Area,
    "Volume": Volume,
    "ArealDensity": ArealDensity,
    "LinearDensity": LinearDensity,
    "Density": Density,
    "Share": Share,
    "ChordShare": ChordShare,
    "Speed": Speed,
    "Charge": Charge,
    "Voltage": Voltage,
    "Current": Current,
    "Power": Power,
    "Resistance": Resistance,
    "MotorConstant": MotorConstant,
    "DischargeRate": DischargeRate,
    "Time": Time,
    "Torque": Torque,
    "Throw": Throw,
    "WireArea": WireArea,
}


def read(kind: Any, value: Any, **units: Any) -> float:
    context = {"units": FileUnits(**units)}
    return TypeAdapter[float](kind).validate_python(value, context=context)


def refusal(kind: Any, value: Any, **units: Any) -> dict[str, str]:
    with pytest.raises(ValidationError) as caught:
        read(kind, value, **units)
    (error,) = caught.value.errors()
    assert error["type"] == "measure"
    return error["ctx"]


@pytest.mark.parametrize(
    ("kind", "value", "expected"),
    [
        # Exact by definition in NIST SP 811 B.8: in, ft, yd, oz, lb, mile.
        (Length, "8 in", 0.2032),
        (Length, '8"', 0.2032),
        (Length, "3/8 in", 0.009525),
        (Length, "1 1/2 in", 0.0381),
        (Length, "1-1/2 in", 0.0381),
        (Length, "-1 1/2 in", -0.0381),
        (Length, "2 ft", 0.6096),
        (Length, "1 yd", 0.9144),
        (Length, "12mm", 0.012),
        (Length, "−3 mm", -0.003),
        (Length, "1e-1 m", 0.1),
        (Length, 12.7, 0.0127),
        (Length, "250", 0.25),
        (Mass, "1 oz", 0.028349523125),
        (Mass, "2 lb", 0.90718474),
        (Mass, "40 g", 0.04),
        (Area, "12 dm2", 0.12),
        (Area, "144 sq in", 0.09290304),
        (Area, 120000, 0.12),
        (Volume, "250 ml", 0.00025),
        (Volume, "2 L", 0.002),
        (ArealDensity, "430 g/m2", 0.43),
        (ArealDensity, "430 g / m^2", 0.43),
        (ArealDensity, "0.3 kg/m²", 0.3),
        (ArealDensity, "80 gsm", 0.08),
        (ArealDensity, 430, 0.43),
        (LinearDensity, 12, 0.012),
        (Density, 160, 160.0),
        (Density, "0.16 g/cm3", 160.0),
        (Share, "8 %", 0.08),
        (Share, 0.08, 0.08),
        (ChordShare, "25%", 0.25),
        (Share, 1, 1.0),
        (Share, 0, 0.0),
        (Speed, "36 km/h", 10.0),
        (Speed, "10 mph", 4.4704),
        (Charge, 1500, 5400.0),
        (Charge, "1.5 Ah", 5400.0),
        (Voltage, "3.7 V", 3.7),
        (Current, "500 mA", 0.5),
        (Angle, 90, math.pi / 2),
        (Angle, "0.5 rad", 0.5),
        (NonNegativeLength, 0, 0.0),
        (NonNegativeMass, "0 g", 0.0),
        (Power, "1.2 kW", 1200.0),
        (Resistance, 0.11, 0.11),
        (Resistance, "25 mΩ", 0.025),
        (Resistance, "25 milliohm", 0.025),
        # A motor's constant and a pack's label are kept in the units that everybody knows them by.
        (MotorConstant, "1000 rpm/V", 1000.0),
        (MotorConstant, 930, 930.0),
        (DischargeRate, "25 C", 25.0),
        (DischargeRate, 30, 30.0),
        (Time, "0.12 s", 0.12),
        (Throw, 90, math.pi / 2),
        (Throw, 0, 0.0),
        (WireArea, 1.5, 1.5e-6),
        # Kilogram-force: 9.806 65 N exactly, NIST SP 811 B.8.
        (Torque, "10 kg cm", 0.980665),
        (Torque, "10 kg·cm", 0.980665),
        (Torque, 10, 0.980665),
        (Torque, "12 N cm", 0.12),
        (Torque, "0.2 Nm", 0.2),
    ],
)
def test_exact_conversions(kind: Any, value: Any, expected: float) -> None:
    assert read(kind, value) == expected


@pytest.mark.parametrize(
    ("kind", "value", "printed", "half_digit"),
    [
        (ArealDensity, "1 oz/yd2", 3.390575e-2, 5e-9),
        (ArealDensity, "1 oz/ft2", 3.051517e-1, 5e-8),
        (LinearDensity, "1 lb/ft", 1.488164, 5e-7),
        (Density, "1 lb/ft3", 1.601846e1, 5e-6),
        (Density, "1 oz/in3", 1.729994e3, 5e-4),
        (Speed, "1 kt", 5.144444e-1, 5e-8),
        (Area, "1 ft2", 9.290304e-2, 5e-9),
        (Angle, "1 deg", 1.745329e-2, 5e-9),
        (Torque, "1 oz in", 7.061552e-3, 5e-10),
    ],
)
def test_printed_factors(kind: Any, value: str, printed: float, half_digit: float) -> None:
    """NIST SP 811 (2008) B.9 prints seven digits, here from memory; half of the last one counts."""
    assert read(kind, value) == pytest.approx(printed, abs=half_digit, rel=0)


def test_own_factors_agree_with_pint() -> None:
    for unit, factor in unit_list._EXACT.items():
        expression = unit_list.UNITS[unit_list.KIND_OF[unit]][unit]
        one = unit_list._registry().Quantity(Fraction(1), expression).to_base_units()
        assert float(one.magnitude) == pytest.approx(float(factor), rel=1e-15), unit


def test_every_listed_unit_is_of_its_kind() -> None:
    for units in unit_list.UNITS.values():
        dimensions = {
            frozenset(unit_list._registry().Quantity(Fraction(1), name).dimensionality.items())
            for name in units.values()
        }
        assert len(dimensions) == 1


def test_bare_numbers_are_in_the_files_unit() -> None:
    assert read(Length, 8, length="in") == 0.2032
    assert read(Mass, 8, mass="oz") == 0.226796185
    assert read(Angle, 1, angle="rad") == 1.0
    assert read(Area, 100, length="in") == 0.064516
    assert read(Length, "8 mm", length="in") == 0.008
    assert TypeAdapter[float](Length).validate_python(8) == 0.008  # no context: the defaults


def test_a_metric_file_never_loads_pint() -> None:
    """Loading it would take longer than reading the whole design."""
    code = (
        "import sys; from pydantic import TypeAdapter; from plansgen.library.units import *;"
        "[TypeAdapter(k).validate_python(v) for k, v in [(Length, 8), (Length, '8 in'),"
        "(Mass, 4), (Angle, 3), (Share, '8 %'), (ArealDensity, 40), (Charge, 1500), (Area, 99),"
        "(MotorConstant, 900), (Torque, '2 kg cm'), (Resistance, '9 mohm')]];"
        "assert 'pint' not in sys.modules and 'numpy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


@pytest.mark.parametrize(
    ("kind", "value", "words"),
    [
        (Length, "200 g", '"200 g" is a mass, not a length'),
        (Mass, "200 mm", '"200 mm" is a length, not a mass'),
        (ArealDensity, "200 g/m", '"200 g/m" is a mass per length, not a mass per area'),
        (Length, "5 %", '"5 %" is a share, not a length'),
        (Length, "12 parsec", 'unknown unit "parsec"'),
        (Length, "1,5 mm", "write a point"),
        (Length, "3/0 in", "divides by nothing"),
        (Length, "", "is not a number with a unit"),
        (Length, "8 in + 2 mm", "unknown unit"),
        (Length, "__import__('os')", "is not a number with a unit"),
        (Length, "9**9**9 mm", "unknown unit"),
        (Length, "9" * 61, "too long"),
        (Length, "9" * 40, "is not a number with a unit"),
        (Length, "1e99 m", "is too large"),
        (Length, "1e999 m", "unknown unit"),
        (Length, "٣ mm", "is not a number with a unit"),
        (Length, "nan mm", "is not a number with a unit"),
        (Length, True, "true is not a length"),
        (Length, None, "has no value"),
        (Length, [1], "a list of 1 is not a length"),
        (Length, {"a": 1}, "a group of keys is not a length"),
        (Length, math.nan, "nan is not a number one can use"),
        (Length, math.inf, "inf is not a number one can use"),
        (Length, 1e300, "is too large"),
        pytest.param(Length, 10**5000, "is too large", id="huge"),
        (Length, 100_001, "100001 is too large"),
        (Length, -100_001, "-100001 is too large"),
        (PositiveLength, 0, "0 is zero"),
        (PositiveLength, -1, "-1 is negative"),
        (PositiveLength, 1e-9, "1e-09 is too small"),
        (NonNegativeLength, -1, "-1 is negative"),
        (NonNegativeLength, 5e-324, "is too small"),
        (Mass, 0, "0 is zero"),
        (Mass, "26 kg", '"26 kg" is too large'),
        (Share, 8, "8 is more than the whole; write 8 % or 0.08"),
        (Share, "120 %", '"120 %" is more than 100 %'),
        (Share, 120, "120 is more than 100 %"),
        (Share, -0.1, "-0.1 is negative"),
        (Share, True, "true is not a share"),
        (Angle, 361, "361 is too large"),
        (Torque, "1.3 kg", '"1.3 kg" is a mass, not a torque'),
        (Resistance, "25 mm", '"25 mm" is a length, not a resistance'),
        (MotorConstant, "1000 V", '"1000 V" is a voltage, not a motor constant'),
        (MotorConstant, 0, "0 is zero"),
        (Throw, -1, "-1 is negative"),
    ],
)
def test_refusals(kind: Any, value: Any, words: str) -> None:
    context = refusal(kind, value)
    assert words in context["wrong"]
    assert context["allowed"]


def test_refusals_name_the_range_the_bare_unit_and_the_nearest_unit() -> None:
    context = refusal(PositiveLength, "12 mmm", length="in")
    assert context["nearest"] == "mm"
    assert "0.001 mm up to 100 m" in context["allowed"]
    assert "a number in in or with mm, cm, m, in or ft" in context["allowed"]


@pytest.mark.parametrize("name", sorted(ALL))
def test_schema_describes_and_accepts_its_own_examples(name: str) -> None:
    schema = TypeAdapter[float](ALL[name]).json_schema()
    assert schema["type"] == ["number", "string"]
    assert schema["description"]
    for example in schema["examples"]:
        jsonschema.validate(example, schema)
        read(ALL[name], example)


@given(st.one_of(st.text(max_size=70), st.floats(), st.integers(), st.booleans(), st.none()))
def test_anything_is_a_number_or_a_refusal(value: Any) -> None:
    kinds: list[str] = []
    number = 0.0
    try:
        number = read(Length, value)
    except ValidationError as error:
        kinds = [detail["type"] for detail in error.errors()]
    assert abs(number) <= 100.0
    assert set(kinds) <= {"measure"}


@given(st.integers(1, 9_999_999))
def test_typed_decimals_survive(thousandths: int) -> None:
    """What a person types in mm is the nearest float of the same decimal in metres."""
    assert read(Length, thousandths / 1000) == float(Fraction(thousandths, 10**6))
