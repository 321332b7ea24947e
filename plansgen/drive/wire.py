"""Copper wire: diameter of a gauge, resistance, voltage lost on the way, and what it may carry.

Sources: ASTM B258 for the gauge, IEC 60028 for the resistance of annealed copper. What a wire may
carry is common practice: no standard knows a bundle of short leads in the wind of a propeller, and
the maker of a lead knows it better.
"""

from __future__ import annotations

import math

GAUGES = range(4, 27)  # what shops keep for models
RESISTIVITY = 1.7241e-8  # ohm m at 20 °C; IEC 60028, annealed copper
WARMER = 3.93e-3  # 1/K, about 20 °C; IEC 60028, annealed copper
STRANDED = 1.03  # strands are longer than the wire they lie in: 2 to 4 % (common practice)
WARM = 333.15  # K; a lead that carries what is advised (estimate)
COLD = 293.15  # K; of IEC 60028
DENSITY_ADVISED = 15e6  # A/m²; short leads in moving air (common practice, no source)
DENSITY_MOST = 30e6  # A/m²; soft insulation melts, solder may go (common practice, no source)

_THINNEST, _STEPS, _RATIO = 36, 39, 92.0
_DIAMETER_36 = 0.127e-3  # m, five thousandths of an inch


def diameter_of(gauge: float) -> float:
    """Diameter of solid wire of an American gauge, d = 0.127 mm × 92^((36 − n)/39). [m]

    Source: ASTM B258, the ratio of 39 equal steps from gauge 36 to 0000 (which is −3 here).
    """
    return float(_DIAMETER_36 * _RATIO ** ((_THINNEST - gauge) / _STEPS))


def area_of(gauge: float) -> float:
    """Copper cross-section of a gauge. [m²]"""
    return math.pi / 4 * diameter_of(gauge) ** 2


def gauge_of(area: float) -> float:
    """The gauge, seldom whole, of a cross-section in m².

    Raises:
        ValueError: the cross-section is not above 0.
    """
    if not area > 0.0:
        raise ValueError(f"cross-section is {area:g} m², but must be above 0")
    diameter = math.sqrt(4 * area / math.pi)
    return _THINNEST - _STEPS * math.log(diameter / _DIAMETER_36) / math.log(_RATIO)


def resistance_of(
    *, area: float, length: float, temperature: float = COLD, stranded: bool = False
) -> float:
    """Resistance of one copper conductor. [ohm]

    Args:
        area: of the copper, m².
        length: one way, m.
        temperature: K.
        stranded: the strands are twisted, so that they are a little longer than the lead.

    Source: IEC 60028, resistivity and temperature coefficient of annealed copper.
    """
    resistivity = RESISTIVITY * (1.0 + WARMER * (temperature - COLD))
    return resistivity * length / area * (STRANDED if stranded else 1.0)


def advised_current(area: float) -> float:
    """What a short lead may carry all the time: 15 A for every mm². [A]

    Common practice for soft leads in moving air, no source; the maker's figure comes first.
    """
    return DENSITY_ADVISED * area


def most_current(area: float) -> float:
    """Above this it gets too hot to touch within a flight: 30 A for every mm². [A]

    Common practice, no source.
    """
    return DENSITY_MOST * area


def gauge_for(current: float) -> int | None:
    """The thinnest even gauge advised for a current in A; None when no usual one is thick enough.

    Even numbers are what shops keep.
    """
    even = [gauge for gauge in GAUGES if gauge % 2 == 0]
    enough = [gauge for gauge in even if advised_current(area_of(gauge)) >= current]
    return max(enough, default=None)
