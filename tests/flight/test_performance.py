"""Glide and level flight."""

from __future__ import annotations

import math
from typing import get_type_hints

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from pydantic import TypeAdapter

from plansgen.atmosphere import GRAVITY, air
from plansgen.flight.derivatives import derivatives_of
from plansgen.flight.drag import Drag, DragPart, Rod, rods_of
from plansgen.flight.lattice import Lattice
from plansgen.flight.limits import ForwardLimit, Limits, work_out_limits
from plansgen.flight.performance import (
    GlidePoint,
    Performance,
    glide_points,
    work_out_performance,
)
from plansgen.flight.pitching import PitchModel
from plansgen.flight.polars import SectionPolar
from plansgen.flight.stall import Stall, StripMargin, TurnStall, work_out_stall
from plansgen.flight.trim import Trim, TrimPoint, work_out_trim
from plansgen.library.tables import methods
from plansgen.quantity import quantities
from tests.designs import Raw, airframe_of, file_of
from tests.flight.models import trainer
from tests.random_designs import designs, not_finite

AIR = air()


def test_a_whole_model() -> None:
    model = trainer()
    stall = work_out_stall(model, mass=0.5, air=AIR)
    found = work_out_performance(model, mass=0.5, air=AIR, lift_max=stall.lift_max)
    speeds, lifts, drags = (np.array(v) for v in (found.speeds, found.lifts, found.drags))
    assert speeds[0] == pytest.approx(stall.speed, rel=1e-9)
    weight = 0.5 * AIR.density * speeds**2 * lifts / 6
    assert weight == pytest.approx(0.5 * GRAVITY, rel=1e-9)
    power = 0.5 * AIR.density * speeds**3 * drags / 6
    assert np.array(found.powers) == pytest.approx(power, rel=1e-9)
    assert found.least_power <= power.min() * 1.001
    assert found.best_glide.ratio >= (lifts / drags).max() * 0.999
    assert found.least_sink.speed <= found.best_glide.speed
    assert found.least_sink.sink <= found.best_glide.sink
    assert 5.0 < found.best_glide.ratio < 25.0
    glide, sinks = np.array(found.glide_speeds), np.array(found.sinks)
    assert sinks / np.sqrt(glide**2 - sinks**2) == pytest.approx(drags / lifts, rel=1e-9)


def test_thin_warm_air_is_faster_air() -> None:
    """Anderson, *Aircraft Performance and Design*: at one CL the speed goes with 1/√ρ.

    Reynolds number falls with height, so the glide ratio falls too.
    """
    found = []
    for field in (air(), air(1500.0, 303.15)):
        model = trainer()
        stall = work_out_stall(model, mass=0.5, air=field)
        found.append(work_out_performance(model, mass=0.5, air=field, lift_max=stall.lift_max))
    low, high = found
    assert high.best_glide.speed > 1.08 * low.best_glide.speed
    assert high.best_glide.ratio < low.best_glide.ratio


def test_a_best_below_the_stall_is_said_to_be_at_the_stall() -> None:
    speeds = np.linspace(8.0, 20.0, 30)
    lifts = 0.6 * (8.0 / speeds) ** 2
    drags = 0.08 + 0.05 * lifts**2  # best glide would want CL 1.26
    best, least = glide_points(speeds=speeds.tolist(), lifts=lifts.tolist(), drags=drags.tolist())
    assert best.at_stall
    assert least.at_stall
    assert best.lift == pytest.approx(0.6)
    assert best.ratio == pytest.approx(0.6 / (0.08 + 0.05 * 0.36))
    assert best.sink / best.speed == pytest.approx(math.sin(math.atan(1 / best.ratio)))


RESULTS = (
    *(Stall, StripMargin, TurnStall, Drag, DragPart, Rod, GlidePoint, Performance),
    *(Trim, TrimPoint, Limits, ForwardLimit, SectionPolar),
)


@pytest.mark.parametrize("kind", RESULTS)
def test_every_number_names_its_unit_and_a_known_method(kind: type) -> None:
    numbers = {name for name, hint in get_type_hints(kind).items() if hint in (float, float | None)}
    assert numbers <= set(quantities(kind))
    for mark in quantities(kind).values():
        assert mark.method in methods()
        assert mark.unit in ("1", "1/rad", "m", "m/s", "m²", "rad", "W")


def test_results_survive_the_journey_through_json() -> None:
    model = trainer()
    stall = work_out_stall(model, mass=0.5, air=AIR)
    results = (
        stall,
        work_out_performance(model, mass=0.5, air=AIR, lift_max=stall.lift_max),
        work_out_trim(model, mass=0.5, air=AIR, lift_max=stall.lift_max, speeds=(8.0, 12.0)),
        work_out_limits(model, mass=0.5, air=AIR, neutral_point=0.1),
    )
    for result in results:
        adapter = TypeAdapter(type(result))
        text = adapter.dump_json(result)
        assert adapter.validate_json(text) == result
        assert b"NaN" not in text
        assert adapter.dump_json(adapter.validate_json(text)) == text


@pytest.mark.parametrize("count", [0, 2])
def test_refuses_too_little(count: int) -> None:
    row = [1.0, 2.0, 3.0][:count]
    with pytest.raises(ValueError, match="three or more"):
        glide_points(speeds=row, lifts=row, drags=row)


def test_refuses_lift_out_of_reach() -> None:
    with pytest.raises(ValueError, match="out of reach"):
        work_out_performance(trainer(), mass=0.5, air=AIR, lift_max=9.0)


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(designs())
def test_any_aeroplane_gives_numbers(raw: Raw) -> None:
    frame = airframe_of(raw)
    lattice = Lattice(frame.surfaces)
    found = derivatives_of(frame, point=(0.0, 0.0, 0.0), lattice=lattice)
    x = found.neutral_point - 0.1 * frame.reference.mac
    model = PitchModel(frame, lattice=lattice, point=(x, 0.0, 0.0))
    stall = work_out_stall(model, mass=0.5, air=AIR)
    speeds = work_out_performance(
        model, mass=0.5, air=AIR, lift_max=stall.lift_max, rods=rods_of(file_of(raw), frame)
    )
    trim = work_out_trim(model, mass=0.5, air=AIR, lift_max=stall.lift_max, speeds=speeds.speeds)
    limits = work_out_limits(model, mass=0.5, air=AIR, neutral_point=found.neutral_point)
    assert not_finite((stall, speeds, trim, limits)) == []
    assert speeds.best_glide.ratio > 0.0
    assert stall.speed > 0.0
