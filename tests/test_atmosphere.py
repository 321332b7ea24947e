"""What the atmosphere refuses, and how its numbers hang together."""

from __future__ import annotations

import math

import pytest

from plansgen.atmosphere import air


@pytest.mark.parametrize("height", [-2000.0, 12000.0, math.nan])
def test_heights_no_model_flies_at(height: float) -> None:
    with pytest.raises(ValueError, match="height"):
        air(height)


@pytest.mark.parametrize("kelvin", [20.0, 400.0, math.nan])
def test_celsius_given_as_kelvin_is_noticed(kelvin: float) -> None:
    with pytest.raises(ValueError, match="temperature"):
        air(0.0, kelvin)


def test_dynamic_pressure_and_reynolds_number() -> None:
    """By their definitions."""
    here = air(0.0)
    assert here.dynamic_pressure(10.0) == pytest.approx(0.5 * 1.225 * 100, rel=1e-4)
    reynolds = here.reynolds(speed=10.0, length=0.2)
    assert reynolds == pytest.approx(here.density * 10 * 0.2 / here.viscosity)
