"""The units that a design file may use, and the SI value of each.

Factors: NIST Special Publication 811 (2008), appendix B, by way of pint; the everyday ones, exact
by definition there, stand below so that a metric file does not load pint at all.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import cache
from typing import Any

_EXACT: dict[str, Fraction] = {
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "in": Fraction("0.0254"),
    "ft": Fraction("0.3048"),
    "g": Fraction(1, 1000),
    "kg": Fraction(1),
    "oz": Fraction("0.028349523125"),
    "lb": Fraction("0.45359237"),
    "deg": Fraction(math.pi) / 180,
    "rad": Fraction(1),
    "%": Fraction(1, 100),
    "mm2": Fraction(1, 10**6),
    "cm2": Fraction(1, 10**4),
    "dm2": Fraction(1, 100),
    "m2": Fraction(1),
    "mm3": Fraction(1, 10**9),
    "cm3": Fraction(1, 10**6),
    "ml": Fraction(1, 10**6),
    "m3": Fraction(1),
    "g/m2": Fraction(1, 1000),
    "kg/m2": Fraction(1),
    "g/m": Fraction(1, 1000),
    "kg/m": Fraction(1),
    "kg/m3": Fraction(1),
    "g/cm3": Fraction(1000),
    "m/s": Fraction(1),
    "km/h": Fraction(5, 18),
    "Ah": Fraction(3600),
    "mAh": Fraction(36, 10),
    "V": Fraction(1),
    "A": Fraction(1),
    "W": Fraction(1),
    "ohm": Fraction(1),
    "mohm": Fraction(1, 1000),
    "rpm/V": Fraction(math.pi) / 30,
    "C": Fraction(1, 3600),
    "s": Fraction(1),
    "N m": Fraction(1),
    "N cm": Fraction(1, 100),
    "kg cm": Fraction("0.0980665"),
    "Pa": Fraction(1),
    "kPa": Fraction(1000),
    "MPa": Fraction(10**6),
    "GPa": Fraction(10**9),
}

_LENGTHS = {
    **{"mm": "millimeter", "cm": "centimeter", "dm": "decimeter", "m": "meter"},
    **{"in": "inch", "ft": "foot", "yd": "yard", "µm": "micrometer"},
}
_MASSES = {"g": "gram", "kg": "kilogram", "mg": "milligram", "oz": "ounce", "lb": "pound"}
_AREAS = {f"{unit}2": f"{name}**2" for unit, name in _LENGTHS.items()}
_VOLUMES = {
    **{f"{unit}3": f"{name}**3" for unit, name in _LENGTHS.items()},
    **{"ml": "milliliter", "l": "liter"},
}


def _per(above: dict[str, str], below: dict[str, str]) -> dict[str, str]:
    return {f"{a}/{b}": f"{x}/({y})" for a, x in above.items() for b, y in below.items()}


# Kind of quantity, then unit as written, then the same unit in pint's words.
UNITS: dict[str, dict[str, str]] = {
    "a length": _LENGTHS,
    "a mass": _MASSES,
    "an angle": {"deg": "degree", "rad": "radian"},
    "an area": _AREAS,
    "a volume": _VOLUMES,
    "a mass per area": _per(_MASSES, _AREAS),
    "a mass per length": _per(_MASSES, _LENGTHS),
    "a density": _per(_MASSES, _VOLUMES),
    "a share": {"%": "percent"},
    "a speed": {
        **{"m/s": "meter/second", "km/h": "kilometer/hour", "ft/s": "foot/second"},
        **{"mph": "mile/hour", "kt": "knot"},
    },
    "a charge": {"mAh": "milliampere*hour", "Ah": "ampere*hour"},
    "a voltage": {"V": "volt", "mV": "millivolt"},
    "a current": {"A": "ampere", "mA": "milliampere"},
    "a power": {"W": "watt", "kW": "kilowatt"},
    "a resistance": {"ohm": "ohm", "mohm": "milliohm"},
    "a motor constant": {"rpm/V": "revolution/minute/volt"},
    "a discharge rate": {"C": "1/hour"},
    "a time": {"s": "second", "ms": "millisecond"},
    "a torque": {
        **{
            "kg cm": "kilogram_force*centimeter",
            "N m": "newton*meter",
            "N cm": "newton*centimeter",
        },
        **{"oz in": "ounce_force*inch"},
    },
    "a pressure": {
        **{"Pa": "pascal", "kPa": "kilopascal", "MPa": "megapascal", "GPa": "gigapascal"},
        **{"psi": "pound_force_per_square_inch", "ksi": "kip_per_square_inch"},
    },
}
KIND_OF = {unit: kind for kind, units in UNITS.items() for unit in units}

_SPELLINGS = {
    **{'"': "in", "″": "in", "inch": "in", "inches": "in"},
    **{"'": "ft", "′": "ft", "foot": "ft", "feet": "ft"},
    **{"°": "deg", "degrees": "deg", "um": "µm", "L": "l", "kn": "kt", "kph": "km/h"},
    **{"gram": "g", "grams": "g", "ounce": "oz", "ounces": "oz", "lbs": "lb"},
    **{"gsm": "g/m2", "g/cc": "g/cm3", "cc": "cm3"},
    **{"Ω": "ohm", "\u2126": "ohm", "mΩ": "mohm", "m\u2126": "mohm", "milliohm": "mohm"},
    **{"kgcm": "kg cm", "kg·cm": "kg cm", "kg-cm": "kg cm", "kgf cm": "kg cm"},
    **{"Nm": "N m", "N·m": "N m", "Ncm": "N cm", "N·cm": "N cm"},
    **{"ozin": "oz in", "oz·in": "oz in", "oz-in": "oz in"},
    **{f"sq {unit}": f"{unit}2" for unit in _LENGTHS},
    **{f"cu {unit}": f"{unit}3" for unit in _LENGTHS},
}


@cache
def factor(unit: str) -> Fraction:
    """SI value of one of a unit, exactly."""
    if unit in _EXACT:
        return _EXACT[unit]
    one = _registry().Quantity(Fraction(1), UNITS[KIND_OF[unit]][unit])
    return Fraction(one.to_base_units().magnitude)


@cache
def _registry() -> Any:
    """Pint's units with exact arithmetic; loaded late because that takes most of a second."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


def plain_unit(text: str) -> str:
    """Return a unit as the allow list spells it: ``g / m²`` is ``g/m2``."""
    text = text.strip().replace("²", "2").replace("³", "3").replace("^", "").replace("μ", "µ")
    text = re.sub(r"\s*/\s*", "/", re.sub(r"\s+", " ", text))
    return "/".join(_SPELLINGS.get(part, part) for part in _SPELLINGS.get(text, text).split("/"))


# Units offered in messages; the allow list takes more.
COMMON = frozenset(
    {"mm", "cm", "m", "in", "ft", "g", "kg", "oz", "lb", "deg", "rad"}
    | {"mm2", "cm2", "dm2", "m2", "in2", "ft2", "cm3", "ml", "in3"}
    | {"g/m2", "kg/m2", "oz/yd2", "oz/ft2", "g/m", "kg/m", "oz/ft", "kg/m3", "g/cm3", "lb/ft3"}
    | {"m/s", "km/h", "mph", "kt", "ft/s", "mAh", "Ah", "V", "mV", "A", "mA"}
    | {"kPa", "MPa", "GPa", "psi", "W", "kW", "ohm", "mohm", "rpm/V", "C", "s"}
    | {"kg cm", "N m", "N cm", "oz in"}
)
