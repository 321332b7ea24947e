"""Glide, sink, power, stall and trim against textbooks and wind tunnels."""

from __future__ import annotations

import math

import numpy as np
import pytest

from plansgen.atmosphere import air
from plansgen.flight.performance import glide_points
from plansgen.flight.stall import work_out_stall
from tests.flight.models import model
from tests.flight.shapes import trapezium


@pytest.mark.parametrize(("base", "growth"), [(0.02, 0.04), (0.03, 0.05), (0.015, 0.02)])
def test_best_glide_and_least_sink_of_a_parabola(base: float, growth: float) -> None:
    """J. D. Anderson, *Aircraft Performance and Design*.

    Best glide at CL = √(CD0/k) with L/D = 1/(2 √(CD0 k)); least power at CL = √(3 CD0/k), where L/D
    is √3/2 of the best and the speed 3^−¼ of its. The book takes γ small. Ours keeps cos γ, which
    moves the least sink by γ² (0.8 % at 1 : 11), and reads between 400 speeds.
    """
    speeds = np.geomspace(5.0, 40.0, 400)
    lifts = 2.2 * (5.0 / speeds) ** 2
    drags = base + growth * lifts**2
    best, least = glide_points(speeds=speeds.tolist(), lifts=lifts.tolist(), drags=drags.tolist())
    ratio = 1 / (2 * math.sqrt(base * growth))
    assert best.ratio == pytest.approx(ratio, rel=1e-3)
    assert best.lift == pytest.approx(math.sqrt(base / growth), rel=1e-3)
    assert least.lift == pytest.approx(math.sqrt(3 * base / growth), rel=0.02)
    assert least.ratio == pytest.approx(math.sqrt(3) / 2 * ratio, rel=0.01)
    assert least.speed / best.speed == pytest.approx(3**-0.25, rel=0.01)
    assert best.sink == pytest.approx(best.speed / ratio, rel=0.01)
    assert not best.at_stall
    assert not least.at_stall


def test_low_aspect_ratio_plates_stall_later_than_ours() -> None:
    """Pelletier & Mueller, J. Aircraft 37(5), 2000: flat plate, aspect ratio 3, Re about 100 000.

    CLmax 0.75 to 0.80 at 14° to 16° (from memory, read from figures, ±10 %). Ours is off: the
    critical section takes no account of the side edges' vortices, which hold the flow on a broad
    plate. It reads a quarter low, on the safe side, and must not read high.
    """
    stall = work_out_stall(model(trapezium(3.0, span=0.6)), mass=0.25, air=air())
    assert 60_000 < stall.strips[0].reynolds < 200_000
    assert 0.7 * 0.775 <= stall.lift_max <= 0.775 * 1.1
    assert math.degrees(stall.angle) < 16.0


@pytest.mark.parametrize(("bank", "load"), [(30.0, 1.15470), (45.0, 1.41421), (60.0, 2.0)])
def test_load_factor_in_a_turn(bank: float, load: float) -> None:
    """Statics, in every textbook of flight: n = 1/cos φ."""
    stall = work_out_stall(model(trapezium(6.0)), mass=0.3, air=air(), banks=(math.radians(bank),))
    assert stall.turns[0].load_factor == pytest.approx(load, abs=5e-6)
