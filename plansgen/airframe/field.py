"""The air that a design flies in: its field's height and the temperature it names."""

from __future__ import annotations

from plansgen.atmosphere import Air, air
from plansgen.library.models import DesignFile

CELSIUS = 273.15


def field_air(design: DesignFile) -> Air:
    """The air at the design's field."""
    aims = design.flight
    kelvin = None if aims.temperature is None else aims.temperature + CELSIUS
    return air(aims.field_height, kelvin)
