"""Builders' units at the edge: a bare number or text with a unit becomes an SI float.

The field types below (:data:`Length`, :data:`Mass`, …) are for pydantic models. A bare number is in
the unit that the file declares, found in the validation context under ``"units"``. Text is one
number or fraction and one unit of a fixed list; nothing else is ever parsed.

Factors: NIST Special Publication 811 (2008), appendix B, by way of pint; the everyday ones, exact
by definition there, stand below so that a metric file does not load pint at all.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Annotated, Any, ClassVar, Literal

from pydantic import ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from plansgen.library.text import shown_value
from plansgen.problems import nearest_name

LengthUnit = Literal["mm", "cm", "m", "in", "ft"]
MassUnit = Literal["g", "kg", "oz", "lb"]
AngleUnit = Literal["deg", "rad"]


@dataclass(frozen=True)
class FileUnits:
    """The units of bare numbers in one file."""

    __pydantic_config__: ClassVar[ConfigDict] = ConfigDict(extra="forbid")

    length: Annotated[LengthUnit, Field(description="Unit of bare lengths.")] = "mm"
    mass: Annotated[MassUnit, Field(description="Unit of bare masses.")] = "g"
    angle: Annotated[AngleUnit, Field(description="Unit of bare angles.")] = "deg"


# ---------------------------------------------------------------- the allow list

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
    "m2": Fraction(1),
    "m3": Fraction(1),
    "g/m2": Fraction(1, 1000),
    "kg/m2": Fraction(1),
    "g/m": Fraction(1, 1000),
    "kg/m": Fraction(1),
    "kg/m3": Fraction(1),
    "m/s": Fraction(1),
    "Ah": Fraction(3600),
    "mAh": Fraction(36, 10),
    "V": Fraction(1),
    "A": Fraction(1),
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
_UNITS: dict[str, dict[str, str]] = {
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
}
_KIND_OF = {unit: kind for kind, units in _UNITS.items() for unit in units}

_SPELLINGS = {
    **{'"': "in", "″": "in", "inch": "in", "inches": "in"},
    **{"'": "ft", "′": "ft", "foot": "ft", "feet": "ft"},
    **{"°": "deg", "degrees": "deg", "um": "µm", "L": "l", "kn": "kt", "kph": "km/h"},
    **{"gram": "g", "grams": "g", "ounce": "oz", "ounces": "oz", "lbs": "lb"},
    **{"gsm": "g/m2", "g/cc": "g/cm3", "cc": "cm3"},
    **{f"sq {unit}": f"{unit}2" for unit in _LENGTHS},
    **{f"cu {unit}": f"{unit}3" for unit in _LENGTHS},
}

_LONGEST = 60  # characters of text
_LARGEST = 1e15  # of any bare number, whatever its unit
# One number (12, -3.5, .5, 1e-3), one fraction (3/8), or both (1 1/2, 1-1/2); then a unit.
_TEXT = re.compile(
    r"(?P<sign>[-+]?)"
    r"(?:(?:(?P<whole>[0-9]{1,6})(?: +|-))?(?P<over>[0-9]{1,6})/(?P<under>[0-9]{1,6})"
    r"|(?P<number>(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})(?:[eE][-+]?[0-9]{1,2})?))"
    r" *(?P<unit>[^\s0-9.,+/-][^,]*)?"
)


@cache
def _factor(unit: str) -> Fraction:
    """SI value of one of a unit, exactly."""
    if unit in _EXACT:
        return _EXACT[unit]
    one = _registry().Quantity(Fraction(1), _UNITS[_KIND_OF[unit]][unit])
    return Fraction(one.to_base_units().magnitude)


@cache
def _registry() -> Any:
    """Pint's units with exact arithmetic; loaded late because that takes most of a second."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


def _plain_unit(text: str) -> str:
    """Return a unit as the allow list spells it: ``g / m²`` is ``g/m2``."""
    text = text.strip().replace("²", "2").replace("³", "3").replace("^", "").replace("μ", "µ")
    text = re.sub(r"\s*/\s*", "/", re.sub(r"\s+", " ", text))
    return "/".join(_SPELLINGS.get(part, part) for part in _SPELLINGS.get(text, text).split("/"))


# ---------------------------------------------------------------- the field type


@dataclass(frozen=True)
class Measure:
    """Marks a float field as a quantity: what it is, its bare unit, and its range.

    kind: key of the allow list, with its article.
    bare: unit of a bare number; ``length``, ``mass``, ``angle`` are the file's, ``length2`` and
        ``length3`` its square and cube, empty for a pure number.
    least, most: range, as text with a unit.
    zero: whether zero may stand although ``least`` is above it.
    """

    kind: str
    bare: str
    most: str
    least: str = ""
    zero: bool = False
    examples: tuple[float | str, ...] = ()

    def read(self, value: Any, info: ValidationInfo) -> float:
        """Return the SI value of a bare number or of text with a unit."""
        context = info.context if isinstance(info.context, dict) else {}
        units: FileUnits = context.get("units") or FileUnits()
        unit = self.bare_unit(units)
        if isinstance(value, str):
            number, written = self._parse(value, units)
            unit = written or unit
        elif isinstance(value, bool) or not isinstance(value, int | float):
            raise self._refusal(f"{shown_value(value)} is not {self.kind}", units)
        elif isinstance(value, float) and not math.isfinite(value):
            raise self._refusal(f"{value} is not a number one can use", units)
        elif abs(value) > _LARGEST:
            raise self._refusal(f"{shown_value(value)} is too large", units)
        else:
            # A float's shortest spelling is what the author typed: 12.7 mm is exactly 0.0127 m.
            number = Fraction(repr(value))
        exact = number * (_factor(unit) if unit else 1)
        self._check_range(value, exact, units)
        return float(exact)

    def bare_unit(self, units: FileUnits) -> str:
        """Return the unit of a bare number in a file."""
        word, power = self.bare.rstrip("23"), self.bare[len(self.bare.rstrip("23")) :]
        if word in ("length", "mass", "angle"):
            return f"{getattr(units, word)}{power}"
        return self.bare

    def allowed(self, units: FileUnits | None = None) -> str:
        """Return what may stand there, in words; without units, for any file."""
        bare = self.bare_unit(units) if units else _ANY_FILE.get(self.bare, self.bare)
        with_units = [unit for unit in _UNITS[self.kind] if unit in _COMMON]
        if self.least == "0 %":
            return f"{self.kind} from 0 to 1, or from 0 % to {self.most}"
        limits = f"up to {self.most}"
        if self.least:
            limits = f"from {self.least} {limits}" + (", or 0" if self.zero else "")
        return f"{self.kind} {limits}, as a number in {bare} or with {_one_of(with_units)}"

    def _parse(self, text: str, units: FileUnits) -> tuple[Fraction, str]:
        """Return the number in a text and its unit, empty if it has none."""
        shown = shown_value(text)
        if len(text) > _LONGEST:
            raise self._refusal(f"{shown} is too long for a number and its unit", units)
        found = _TEXT.fullmatch(text.strip().replace("−", "-"))
        if found is None:
            wrong = f"{shown} is not a number with a unit"
            if re.search(r"[0-9],[0-9]", text):
                wrong += "; write a point for the decimals, not a comma"
            raise self._refusal(wrong, units)
        if found["under"] is None:
            number = Fraction(found["number"])
        elif int(found["under"]) == 0:
            raise self._refusal(f"{shown} divides by nothing", units)
        else:
            number = int(found["whole"] or 0) + Fraction(int(found["over"]), int(found["under"]))
        unit = _plain_unit(found["unit"] or "")
        if unit:
            self._check_unit(unit, shown, units)
        return (-number if found["sign"] == "-" else number), unit

    def _check_unit(self, unit: str, shown: str, units: FileUnits) -> None:
        kind = _KIND_OF.get(unit)
        if kind == self.kind:
            return
        if kind is not None:
            raise self._refusal(f"{shown} is {kind}, not {self.kind}", units)
        known = _UNITS[self.kind]
        close = nearest_name(unit, known) or nearest_name(unit.lower(), known)
        raise self._refusal(f"{shown} has the unknown unit {shown_value(unit)}", units, close)

    def _check_range(self, value: Any, exact: Fraction, units: FileUnits) -> None:
        shown = shown_value(value)
        most = _limit(self.most)
        least = _limit(self.least) if self.least else -most
        if self.kind == "a share" and exact > most:
            wrong = f"{shown} is more than {self.most}"
            if not isinstance(value, str) and 1 < value <= 100:
                wrong = f"{shown} is more than the whole; write {value:g} % or {value / 100:g}"
            raise self._refusal(wrong, units)
        if exact > most:
            raise self._refusal(f"{shown} is too large", units)
        if self.zero and exact == 0:
            return
        if exact < least:
            wrong = "is negative" if exact < 0 else "is zero" if exact == 0 else "is too small"
            raise self._refusal(f"{shown} {wrong if self.least else 'is too large'}", units)

    def _refusal(self, wrong: str, units: FileUnits, nearest: str = "") -> PydanticCustomError:
        """Return the error whose context carries the parts of a problem."""
        context = {"wrong": wrong, "allowed": self.allowed(units), "nearest": nearest}
        return PydanticCustomError("measure", "{wrong}; allowed: {allowed}", context)

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Read before the float check."""
        return core_schema.with_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(
        self, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Describe the value as a person writes it in the file."""
        schema: JsonSchemaValue = {
            "type": ["number", "string"],
            "description": f"{self.kind[0].upper()}{self.allowed()[1:]}.",
            "examples": list(self.examples),
            "x-allowed": self.allowed(),
        }
        if self.least:
            schema["minimum" if self.zero or self.least == "0 %" else "exclusiveMinimum"] = 0
        return schema


# Units offered in messages; the allow list takes more.
_COMMON = frozenset(
    {"mm", "cm", "m", "in", "ft", "g", "kg", "oz", "lb", "deg", "rad"}
    | {"mm2", "cm2", "dm2", "m2", "in2", "ft2", "cm3", "ml", "in3"}
    | {"g/m2", "kg/m2", "oz/yd2", "oz/ft2", "g/m", "kg/m", "oz/ft", "kg/m3", "g/cm3", "lb/ft3"}
    | {"m/s", "km/h", "mph", "kt", "ft/s", "mAh", "Ah", "V", "mV", "A", "mA"}
)


def _one_of(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


_ANY_FILE = {
    "length": "the file's unit",
    "mass": "the file's unit",
    "angle": "the file's unit",
    "length2": "the file's unit of length, squared,",
    "length3": "the file's unit of length, cubed,",
}


@cache
def _limit(text: str) -> Fraction:
    number, unit = text.split(" ", 1)
    return Fraction(number) * _factor(unit)


# Above 25 kg many local rules no longer count an aircraft as a model (common practice, no source);
# the other limits only catch slips of the pen.
Length = Annotated[
    float, Measure("a length", "length", "100 m", examples=(120, "12 mm", "8 in", "1 1/2 in"))
]
PositiveLength = Annotated[
    float, Measure("a length", "length", "100 m", "0.001 mm", examples=(120, "12 mm", "3/8 in"))
]
NonNegativeLength = Annotated[
    float, Measure("a length", "length", "100 m", "0.001 mm", True, (0, 120, "8 in"))
]
Mass = Annotated[float, Measure("a mass", "mass", "25 kg", "0.001 g", examples=(40, "1.5 oz"))]
NonNegativeMass = Annotated[
    float, Measure("a mass", "mass", "25 kg", "0.001 g", True, (0, 40, "1.5 oz"))
]
Angle = Annotated[float, Measure("an angle", "angle", "360 deg", examples=(3, "-2.5 deg"))]
Area = Annotated[float, Measure("an area", "length2", "100 m2", "1 mm2", examples=("12 dm2",))]
Volume = Annotated[
    float, Measure("a volume", "length3", "10 m3", "1 mm3", examples=("250 ml", "12 in3"))
]
ArealDensity = Annotated[
    float,
    Measure("a mass per area", "g/m2", "200 kg/m2", "0.1 g/m2", examples=(430, "8 oz/yd2")),
]
LinearDensity = Annotated[
    float, Measure("a mass per length", "g/m", "50 kg/m", "0.001 g/m", examples=(12, "0.5 oz/ft"))
]
Density = Annotated[
    float, Measure("a density", "kg/m3", "25000 kg/m3", "0.1 kg/m3", examples=(160, "0.16 g/cm3"))
]
Share = Annotated[float, Measure("a share", "", "100 %", "0 %", examples=(0.08, "8 %"))]
ChordShare = Annotated[float, Measure("a share", "", "100 %", "0 %", examples=(0.25, "25 %"))]
Speed = Annotated[float, Measure("a speed", "m/s", "200 m/s", "0.001 m/s", True, (9, "30 km/h"))]
Charge = Annotated[float, Measure("a charge", "mAh", "100 Ah", "1 mAh", examples=(1500, "1.5 Ah"))]
Voltage = Annotated[float, Measure("a voltage", "V", "1000 V", "0.001 V", examples=(11.1, "3.7 V"))]
Current = Annotated[float, Measure("a current", "A", "1000 A", "0.001 A", True, (20, "500 mA"))]
