"""Air against the standard atmosphere and a handbook's table of it."""

from __future__ import annotations

from functools import partial

from plansgen.atmosphere import air
from plansgen.published.case import Case

ROOM = "Air"
STANDARD = "ISO 2533:1975, Standard Atmosphere"
HANDBOOK = "Mechanical Engineers' Handbook, table of the U.S. Standard Atmosphere"
GEOMETRIC_1500 = 1500.3540  # m above sea level, where ISO 2533's geopotential height is 1500 m

_iso = partial(Case, room=ROOM, relative=True, source=STANDARD, mark="derived")
_handbook = partial(
    Case,
    room=ROOM,
    unit="kg/m³",
    tolerance=1e-4,
    relative=False,
    why="The last printed digit, and the handbook's own rounding.",
    source=HANDBOOK,
    mark="published",
)


def cases() -> tuple[Case, ...]:
    """Pressure, density, viscosity and speed of sound."""
    high = air(GEOMETRIC_1500)
    return (
        _handbook(
            key="density-0", title="Density at sea level", published=1.225, ours=air().density
        ),
        _handbook(
            key="density-1000", title="Density at 1000 m", published=1.1117, ours=air(1000).density
        ),
        _handbook(
            key="density-2000", title="Density at 2000 m", published=1.0066, ours=air(2000).density
        ),
        _handbook(
            key="density-3000", title="Density at 3000 m", published=0.9093, ours=air(3000).density
        ),
        Case(
            key="sound",
            room=ROOM,
            title="Speed of sound at sea level",
            published=340.3,
            ours=air().speed_of_sound,
            unit="m/s",
            tolerance=0.05,
            relative=False,
            why="Half of the last printed digit.",
            source=HANDBOOK,
            mark="published",
        ),
        _iso(
            key="pressure-1500",
            title="Pressure at 1500 m (geopotential)",
            published=84556.0,
            ours=high.pressure,
            unit="Pa",
            tolerance=1e-5,
            why="Five digits.",
        ),
        _iso(
            key="density-1500",
            title="Density at 1500 m (geopotential) and 30 °C",
            published=0.9717,
            ours=air(GEOMETRIC_1500, 303.15).density,
            unit="kg/m³",
            tolerance=1e-4,
            why="Four digits.",
        ),
        _iso(
            key="viscosity-15",
            title="Viscosity at 15 °C",
            published=17.894,
            ours=air().viscosity * 1e6,
            unit="µPa s",
            tolerance=5e-5,
            why="Five digits of Sutherland's formula.",
        ),
        _iso(
            key="kinematic-30",
            title="Kinematic viscosity at 30 °C",
            published=15.982,
            ours=air(0.0, 303.15).kinematic_viscosity * 1e6,
            unit="mm²/s",
            tolerance=5e-5,
            why="Five digits of Sutherland's formula.",
        ),
    )
