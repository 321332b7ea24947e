"""SI numbers to what a builder reads: millimetres and grams first, inches and ounces beside them.

Conversion factors are those of NIST SP 811, appendix B.8: exact ones for the inch, the foot and the
avoirdupois ounce, the rest follow.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

INCH = 0.0254
FOOT = 0.3048
OUNCE = 0.028349523125
ZERO_CELSIUS = 273.15
MILE = 1609.344
POUND_FORCE = 4.4482216152605
KILOGRAM_FORCE = 9.80665
THIN = "\N{NARROW NO-BREAK SPACE}"
GAP = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot stand on a page")
    return float(value)


def plain(value: float, decimals: int) -> str:
    """A number with fixed decimals, thousands set apart, and a true minus sign."""
    text = f"{abs(_finite(value)):,.{decimals}f}".replace(",", THIN)
    negative = value < 0 and any(digit in "123456789" for digit in text)
    return f"{MINUS}{text}" if negative else text


def significant(value: float, digits: int = 3) -> str:
    """A number with so many significant digits and no exponent."""
    if value == 0.0:
        return "0"
    decimals = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, decimals)  # which may have come up to the next power of ten
    decimals = digits - 1 - math.floor(math.log10(abs(rounded)))
    return plain(rounded, max(decimals, 0))


@dataclass(frozen=True)
class Shown:
    """A number as shown: metric, and inch and ounce where they differ (else empty)."""

    metric: str
    imperial: str = ""


def _length(value: float) -> Shown:
    mm = value * 1000
    metric = plain(mm, 0 if abs(mm) >= 999.5 or abs(mm - round(mm)) < 0.05 else 1)
    return Shown(f"{metric}{GAP}mm", f"{plain(value / INCH, 2)}{GAP}in")


def _fine_length(value: float) -> Shown:
    """Lengths of which hundredths of a millimetre are told."""
    return Shown(f"{plain(value * 1000, 2)}{GAP}mm", f"{plain(value / INCH, 3)}{GAP}in")


def _area(value: float) -> Shown:
    return Shown(f"{significant(value * 100)}{GAP}dm²", f"{significant(value / INCH**2)}{GAP}in²")


def _volume(value: float) -> Shown:
    return Shown(f"{significant(value * 1000)}{GAP}dm³", f"{significant(value / INCH**3)}{GAP}in³")


def _mass(value: float) -> Shown:
    grams = value * 1000
    metric = plain(grams, 0 if abs(grams) >= 9.95 or grams == round(grams) else 1)
    return Shown(f"{metric}{GAP}g", f"{plain(value / OUNCE, 2)}{GAP}oz")


def _angle(value: float) -> Shown:
    degrees = round(math.degrees(value), 1) + 0.0
    return Shown(f"{plain(degrees, 0 if degrees == round(degrees) else 1)}°")


def _wing_loading(value: float) -> Shown:
    return Shown(
        f"{plain(value * 10, 1)}{GAP}g/dm²", f"{plain(value / OUNCE * FOOT**2, 1)}{GAP}oz/ft²"
    )


def _cubic_loading(value: float) -> Shown:
    return Shown(
        f"{significant(value)}{GAP}kg/m³", f"{plain(value / OUNCE * FOOT**3, 1)}{GAP}oz/ft³"
    )


def _inertia(value: float) -> Shown:
    return Shown(
        f"{significant(value * 1000)}{GAP}g{GAP}m²",
        f"{significant(value / OUNCE / INCH**2)}{GAP}oz{GAP}in²",
    )


def _speed(value: float) -> Shown:
    """Sink is read in metres and feet a second, flight in kilometres and miles an hour too."""
    metric = f"{significant(value, 3 if abs(value) >= 10 else 2)}{GAP}m/s"
    if abs(value) < 3.0:
        return Shown(metric, f"{significant(value / FOOT, 2)}{GAP}ft/s")
    return Shown(
        f"{metric} ({plain(value * 3.6, 0)}{GAP}km/h)", f"{plain(value / MILE * 3600, 0)}{GAP}mph"
    )


def _force(value: float) -> Shown:
    return Shown(f"{significant(value)}{GAP}N", f"{significant(value / POUND_FORCE * 16)}{GAP}ozf")


def _torque(value: float) -> Shown:
    ounces = value / POUND_FORCE * 16 / INCH
    return Shown(f"{significant(value)}{GAP}N{GAP}m", f"{significant(ounces)}{GAP}ozf{GAP}in")


def _servo_torque(value: float) -> Shown:
    """Torque as it stands on servos."""
    ounces = value / POUND_FORCE * 16 / INCH
    kilograms = significant(value / KILOGRAM_FORCE * 100, 2)
    return Shown(
        f"{significant(value * 100, 2)}{GAP}N{GAP}cm ({kilograms}{GAP}kg{GAP}cm)",
        f"{significant(ounces, 2)}{GAP}ozf{GAP}in",
    )


def _stiffness(value: float) -> Shown:
    pounds = value / POUND_FORCE / INCH**2
    return Shown(f"{significant(value)}{GAP}N{GAP}m²", f"{significant(pounds)}{GAP}lbf{GAP}in²")


def _pressure(value: float) -> Shown:
    """Stress and modulus, which span nine decades, with the prefix that leaves few digits."""
    steps = ((1e9, "GPa"), (1e6, "MPa"), (1e3, "kPa"))
    size, unit = next(((s, u) for s, u in steps if abs(value) >= s * 0.9995), (1.0, "Pa"))
    pounds = value / POUND_FORCE * INCH**2
    return Shown(f"{significant(value / size)}{GAP}{unit}", f"{significant(pounds)}{GAP}psi")


def _acceleration(value: float) -> Shown:
    return Shown(f"{significant(value)}{GAP}m/s²", f"{significant(value / FOOT)}{GAP}ft/s²")


def _time(value: float) -> Shown:
    if 0.0 < abs(value) < 60.0:
        return Shown(f"{significant(value, 2)}{GAP}s")
    minutes = round(value / 60)
    hours, rest = divmod(minutes, 60)
    if not hours:
        return Shown(f"{rest}{GAP}min")
    return Shown(f"{hours}{GAP}h {rest}{GAP}min" if rest else f"{hours}{GAP}h")


_SHOW: dict[str, Callable[[float], Shown]] = {
    "m": _length,
    "mm": _fine_length,
    "m²": _area,
    "m³": _volume,
    "kg": _mass,
    "rad": _angle,
    "kg/m²": _wing_loading,
    "kg/m³": _cubic_loading,
    "kg m²": _inertia,
    "s": _time,
    "m/s": _speed,
    "N": _force,
    "N m": _torque,
    "N cm": _servo_torque,
    "A": lambda value: Shown(f"{significant(value, 3 if abs(value) >= 10 else 2)}{GAP}A"),
    "C": lambda value: Shown(f"{plain(value / 3.6, 0)}{GAP}mAh"),
    "1/min": lambda value: Shown(f"{plain(round(value, -1), 0)} a minute"),
    "V": lambda value: Shown(f"{significant(value, 3 if abs(value) >= 1 else 2)}{GAP}V"),
    "ohm": lambda value: Shown(f"{significant(value * 1000)}{GAP}mΩ"),
    "mm²": lambda value: Shown(f"{significant(value * 1e6, 2)}{GAP}mm²"),
    "W": lambda value: Shown(f"{significant(value)}{GAP}W"),
    "Hz": lambda value: Shown(f"{significant(value)}{GAP}Hz"),
    "N m²": _stiffness,
    "Pa": _pressure,
    "m/s²": _acceleration,
    "K": lambda value: Shown(f"{plain(value - ZERO_CELSIUS, 1)}{GAP}°C"),
    "rad/s": lambda value: Shown(f"{plain(math.degrees(value), 0)}{GAP}°/s"),
    "rad/s²": lambda value: Shown(f"{plain(math.degrees(value), 0)}{GAP}°/s²"),
    "Pa s": lambda value: Shown(f"{significant(value * 1e6)}{GAP}µPa{GAP}s"),
    "m²/s": lambda value: Shown(f"{significant(value * 1e6)}{GAP}mm²/s"),
    "1/s": lambda value: Shown(f"{significant(value)} per second"),
    "1/rad": lambda value: Shown(f"{significant(value)} per{GAP}radian"),
    "1": lambda value: Shown(significant(value)),
    "%": lambda value: Shown(f"{plain(value * 100, 1)}{GAP}%"),
}


def show(value: float, unit: str) -> Shown:
    """Format an SI number by its unit.

    Raises:
        ValueError: the number is not finite. KeyError: the unit is unknown.
    """
    return _SHOW[unit](_finite(value))
