"""Builders' units at the edge: a bare number or text with a unit becomes an SI float.

The field types below (:data:`Length`, :data:`Mass`, …) are for pydantic models. A bare number is in
the unit that the file declares, found in the validation context under ``"units"``. Text is one
number or fraction and one unit of a fixed list; nothing else is ever parsed.
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
from plansgen.library.unit_list import COMMON, KIND_OF, UNITS, factor, plain_unit
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


_LONGEST = 60  # characters of text
_LARGEST = 1e15  # of any bare number, whatever its unit
# In SI units, of anything but zero: far below the least thing that can be built, far above what
# vanishes when it is squared.
_SMALLEST = Fraction(1, 10**12)
# One number (12, -3.5, .5, 1e-3), one fraction (3/8), or both (1 1/2, 1-1/2); then a unit.
_TEXT = re.compile(
    r"(?P<sign>[-+]?)"
    r"(?:(?:(?P<whole>[0-9]{1,6})(?: +|-))?(?P<over>[0-9]{1,6})/(?P<under>[0-9]{1,6})"
    r"|(?P<number>(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})(?:[eE][-+]?[0-9]{1,2})?))"
    r" *(?P<unit>[^\s0-9.,+/-][^,]*)?"
)


@dataclass(frozen=True)
class Measure:
    """Marks a float field as a quantity: what it is, its bare unit, and its range.

    kind: key of the allow list, with its article.
    bare: unit of a bare number; ``length``, ``mass``, ``angle`` are the file's, ``length2`` and
        ``length3`` its square and cube, empty for a pure number.
    least, most: range, as text with a unit.
    zero: whether zero may stand although ``least`` is above it.
    kept: unit that the value is kept in, where that is not the SI unit.
    """

    kind: str
    bare: str
    most: str
    least: str = ""
    zero: bool = False
    examples: tuple[float | str, ...] = ()
    kept: str = ""

    def read(self, value: Any, info: ValidationInfo) -> float:
        """Return the value of a bare number or of text with a unit: SI, unless ``kept``."""
        context = info.context if isinstance(info.context, dict) else {}
        units: FileUnits = context.get("units") or FileUnits()
        unit = self.bare_unit(units)
        if isinstance(value, str):
            number, written = self._parse(value, units)
            unit = written or unit
        elif value is None:
            raise self._refusal("has no value", units)
        elif isinstance(value, bool) or not isinstance(value, int | float):
            raise self._refusal(f"{shown_value(value)} is not {self.kind}", units)
        elif isinstance(value, float) and not math.isfinite(value):
            raise self._refusal(f"{value} is not a number one can use", units)
        elif abs(value) > _LARGEST:
            raise self._refusal(f"{shown_value(value)} is too large", units)
        else:
            # A float's shortest spelling is what the author typed: 12.7 mm is exactly 0.0127 m.
            number = Fraction(repr(value))
        exact = number * (factor(unit) if unit else 1)
        self._check_range(value, exact, units)
        return float(exact / factor(self.kept)) if self.kept else float(exact)

    def bare_unit(self, units: FileUnits) -> str:
        """Return the unit of a bare number in a file."""
        word, power = self.bare.rstrip("23"), self.bare[len(self.bare.rstrip("23")) :]
        if word in ("length", "mass", "angle"):
            return f"{getattr(units, word)}{power}"
        return self.bare

    def allowed(self, units: FileUnits | None = None) -> str:
        """Return what may stand there, in words; without units, for any file."""
        bare = self.bare_unit(units) if units else _ANY_FILE.get(self.bare, self.bare)
        with_units = [unit for unit in UNITS[self.kind] if unit in COMMON]
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
        unit = plain_unit(found["unit"] or "")
        if unit:
            self._check_unit(unit, shown, units)
        return (-number if found["sign"] == "-" else number), unit

    def _check_unit(self, unit: str, shown: str, units: FileUnits) -> None:
        kind = KIND_OF.get(unit)
        if kind == self.kind:
            return
        if kind is not None:
            raise self._refusal(f"{shown} is {kind}, not {self.kind}", units)
        known = UNITS[self.kind]
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
        if 0 < abs(exact) < _SMALLEST:
            raise self._refusal(f"{shown} is too small", units)
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
    return Fraction(number) * factor(unit)


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
Height = Annotated[float, Measure("a length", "m", "5000 m", examples=(12, "120 m", "400 ft"))]
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
Pressure = Annotated[
    float, Measure("a pressure", "MPa", "2000 GPa", "1 Pa", examples=("10 GPa", "60 MPa"))
]
# Electric drives and controls; the limits again catch slips of the pen only.
Power = Annotated[float, Measure("a power", "W", "20 kW", "0.01 W", examples=(200, "1.2 kW"))]
Resistance = Annotated[
    float, Measure("a resistance", "ohm", "100 ohm", "0.01 mohm", examples=(0.11, "25 mohm"))
]
MotorConstant = Annotated[
    float,
    Measure("a motor constant", "rpm/V", "20000 rpm/V", "10 rpm/V", examples=(1000,), kept="rpm/V"),
]
DischargeRate = Annotated[
    float, Measure("a discharge rate", "C", "300 C", "0.1 C", examples=(25, "25 C"), kept="C")
]
Time = Annotated[float, Measure("a time", "s", "60 s", "0.001 s", examples=(0.12, "0.12 s"))]
Torque = Annotated[
    float, Measure("a torque", "kg cm", "500 kg cm", "0.01 kg cm", examples=(1.3, "18 oz in"))
]
Throw = Annotated[
    float, Measure("an angle", "angle", "180 deg", "0.001 deg", True, (15, "0.25 rad"))
]
WireArea = Annotated[
    float, Measure("an area", "mm2", "200 mm2", "0.005 mm2", examples=(1.5, "2.5 mm2"))
]
