"""Copper wire against the printed table of the American gauge."""

from __future__ import annotations

from functools import partial

from plansgen.drive.wire import area_of, diameter_of, resistance_of
from plansgen.published.case import Case

ROOM = "Wire"
# Gauge, diameter in mm, ohm a kilometre at 20 °C, as printed.
PRINTED = (
    (10, 2.5883, 3.28),
    (14, 1.6281, 8.28),
    (18, 1.0236, 20.94),
    (22, 0.6452, 52.94),
    (26, 0.4039, 133.86),
)
COPPER_RATIO = 1000 / 58  # ohm mm²/km: IEC 60028 defines 1/58 ohm for 1 m of 1 mm² at 20 °C

_printed = partial(
    Case,
    room=ROOM,
    tolerance=0.003,
    relative=True,
    why="The table is rounded to tenths of a thousandth of an inch, up to 0.3 % on a thin wire.",
    source="ASTM B258, table of diameters, and its usual companion for solid copper at 20 °C",
    mark="published",
)
_defined = partial(Case, room=ROOM, relative=True, mark="derived")


def cases() -> tuple[Case, ...]:
    """Diameters and resistances as printed, and the two ends that define the gauge."""
    diameters = tuple(
        _printed(
            key=f"wire-diameter-{gauge}",
            title=f"Diameter of solid wire, gauge {gauge}",
            published=diameter,
            ours=diameter_of(gauge) * 1e3,
            unit="mm",
        )
        for gauge, diameter, _ in PRINTED
    )
    resistances = tuple(
        _printed(
            key=f"wire-resistance-{gauge}",
            title=f"Resistance of solid copper, gauge {gauge}",
            published=resistance,
            ours=resistance_of(area=area_of(gauge), length=1000.0),
            unit="Ω/km",
        )
        for gauge, _, resistance in PRINTED
    )
    return (
        *diameters,
        *resistances,
        _defined(
            key="wire-thickest",
            title="Gauge 0000 is 0.46 inch",
            published=11.684,
            ours=diameter_of(-3) * 1e3,
            unit="mm",
            tolerance=1e-9,
            why="It defines the gauge.",
            source="ASTM B258, definition of the gauge",
        ),
        _defined(
            key="copper",
            title="1 km of copper, 1 mm², at 20 °C",
            published=COPPER_RATIO,
            ours=resistance_of(area=1e-6, length=1000.0),
            unit="Ω",
            tolerance=1e-4,
            why="1/58 rounded to five digits in the data.",
            source="IEC 60028, resistance of copper",
        ),
        _defined(
            key="warm-copper",
            title="The same at 60 °C: 1 + 0.00393 × 40 times as much",
            published=COPPER_RATIO * 1.1572,
            ours=resistance_of(area=1e-6, length=1000.0, temperature=333.15),
            unit="Ω",
            tolerance=1e-4,
            why="1/58 rounded to five digits in the data.",
            source="IEC 60028, resistance of copper",
        ),
    )
