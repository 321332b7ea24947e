"""Air against ISO 2533:1975 and a handbook's table of the U.S. Standard Atmosphere.

The standard's own tables are against geopotential height H; a field's height Z is geometric,
H = r Z/(r + Z) with r = 6 356 766 m.
"""

from __future__ import annotations

import pytest

from plansgen.atmosphere import air

RADIUS = 6_356_766.0


def geometric(geopotential: float) -> float:
    return RADIUS * geopotential / (RADIUS - geopotential)


@pytest.mark.parametrize(
    ("height", "temperature", "pressure", "density"),
    [
        (0.0, 288.15, 101325.0, 1.2250),
        (500.0, 284.90, 95460.8, 1.16727),
        (1000.0, 281.65, 89874.6, 1.11164),
        (1500.0, 278.40, 84556.0, 1.05807),
        (2000.0, 275.15, 79495.2, 1.00649),
    ],
)
def test_iso_2533_rows(height: float, temperature: float, pressure: float, density: float) -> None:
    """ISO 2533 by geopotential height, five or six digits printed."""
    here = air(geometric(height))
    assert here.temperature == pytest.approx(temperature, abs=0.005)
    assert here.pressure == pytest.approx(pressure, rel=1e-5)
    assert here.density == pytest.approx(density, rel=1e-5)


@pytest.mark.parametrize(
    ("height", "temperature", "pressure", "density"),
    [
        (1000.0, 281.65, 0.8988e5, 1.1117),
        (2000.0, 275.15, 0.7950e5, 1.0066),
        (3000.0, 268.66, 0.7012e5, 0.9093),
    ],
)
def test_handbook_rows(height: float, temperature: float, pressure: float, density: float) -> None:
    """*Mechanical Engineers' Handbook*, table of the U.S. Standard Atmosphere, geometric height.

    Half of the last printed digit, and as much again for the handbook's own rounding.
    """
    here = air(height)
    assert here.temperature == pytest.approx(temperature, abs=0.01)
    assert here.pressure == pytest.approx(pressure, abs=10.0)
    assert here.density == pytest.approx(density, abs=1e-4)


def test_speed_of_sound_at_sea_level() -> None:
    """340.3 m/s: *Mechanical Engineers' Handbook*, same table."""
    assert air().speed_of_sound == pytest.approx(340.3, abs=0.05)


@pytest.mark.parametrize(
    ("celsius", "density", "viscosity", "kinematic"),
    [
        (-10, 1.3414, 1.6661e-5, 1.2421e-5),
        (0, 1.2923, 1.7161e-5, 1.3280e-5),
        (15, 1.2250, 1.7894e-5, 1.4607e-5),
        (20, 1.2041, 1.8134e-5, 1.5060e-5),
        (30, 1.1644, 1.8609e-5, 1.5982e-5),
    ],
)
def test_dry_air_at_sea_level_pressure(
    celsius: float, density: float, viscosity: float, kinematic: float
) -> None:
    """Gas law and Sutherland's formula with the constants of ISO 2533, five digits."""
    here = air(0.0, celsius + 273.15)
    assert here.density == pytest.approx(density, rel=5e-5)
    assert here.viscosity == pytest.approx(viscosity, rel=5e-5)
    assert here.kinematic_viscosity == pytest.approx(kinematic, rel=5e-5)


@pytest.mark.parametrize(
    ("celsius", "density"), [(-10, 1.1194), (0, 1.0784), (15, 1.0223), (30, 0.9717)]
)
def test_a_warm_field_at_1500_m_keeps_its_pressure(celsius: float, density: float) -> None:
    """Gas law at 84 556 Pa, the pressure of ISO 2533 at 1500 m."""
    assert air(geometric(1500.0), celsius + 273.15).density == pytest.approx(density, abs=5e-5)
