"""Drag part by part."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from plansgen.airframe.build import Propeller
from plansgen.atmosphere import air
from plansgen.flight.drag import (
    CYLINDER,
    DragModel,
    Rod,
    body_drag_area,
    form_factor,
    rods_of,
)
from plansgen.flight.pitching import PitchModel
from plansgen.flight.polars import turbulent_friction
from tests.designs import Raw, airframe_of, file_of
from tests.designs import trainer as trainer_file
from tests.flight.models import airframe, trainer

AIR = air()


def with_wire(*points: tuple[float, float, float]) -> Raw:
    raw = trainer_file()
    line = [dict(zip("xyz", point, strict=True)) for point in points]
    raw["materials"]["wire"] = {"name": "wire", "kind": "wire", "density": 7850}
    raw.setdefault("parts", []).append(
        {"name": "test wire", "material": "wire", "size": {"diameter": 2}, "line": line}
    )
    return raw


def exposed(*points: tuple[float, float, float]) -> float:
    raw = with_wire(*points)
    rods = rods_of(file_of(raw), airframe_of(raw))
    return sum(rod.exposed for rod in rods if rod.name == "test wire")


def test_rods_count_across_the_wind() -> None:
    """Hoerner's cross-flow rule: a rod at an angle to the wind has sin³ of its drag across it."""
    far = 5000.0  # mm below everything
    assert exposed((0, 0, -far), (0, 100, -far)) == pytest.approx(0.1)
    assert exposed((0, 0, -far), (100, 0, -far)) == pytest.approx(0.0, abs=1e-12)
    slanted = exposed((0, 0, -far), (100, 100, -far))
    assert slanted == pytest.approx(0.1 * math.sqrt(2) * math.sin(math.pi / 4) ** 3)


def test_what_lies_inside_a_body_has_no_drag() -> None:
    raw = trainer_file()
    body = airframe_of(raw).bodies[0]
    fore, aft = body.frames[0], body.frames[-1]
    middle = (fore.x + aft.x) / 2 * 1000
    height = (fore.z + aft.z) / 2 * 1000
    assert exposed((middle, -1, height), (middle, 1, height)) == 0.0


def test_what_lies_inside_a_wing_has_no_drag() -> None:
    raw = trainer_file()
    root, tip = airframe_of(raw).surface("wing").stations[:2]
    x, z = (root.x + root.chord / 3) * 1000, root.z * 1000
    out = (root.y + (tip.y - root.y) * 0.9) * 1000
    level = abs(tip.z - root.z) < 1e-9
    high = z if level else z + (tip.z - root.z) * 900
    assert exposed((x, 0.1 * out, z if level else z + (tip.z - root.z) * 90), (x, out, high)) == 0.0
    assert exposed((x, 0.0, z + 900), (x, out, z + 900)) == pytest.approx(out / 1000)


def test_bodies_approach_a_plate_when_slender() -> None:
    """Raymer's factor (from memory) is 1.29 at fineness 6 and goes to 1 for slender bodies."""
    assert form_factor(6.0) == pytest.approx(1.293, abs=1e-3)
    assert form_factor(12.0) < 1.07
    assert form_factor(0.5) == form_factor(2.0)


def test_a_body_has_more_drag_than_its_skin_friction() -> None:
    body = airframe_of(trainer_file()).bodies[0]
    skin = turbulent_friction(AIR.reynolds(speed=10.0, length=body.measures.length))
    area = body_drag_area(body, speed=10.0, air=AIR)
    assert 1.3 * skin * body.measures.wetted < area < 5 * skin * body.measures.wetted
    pair = replace(
        body, mirrored=True, measures=replace(body.measures, wetted=2 * body.measures.wetted)
    )
    assert body_drag_area(pair, speed=10.0, air=AIR) == pytest.approx(2 * area)


def test_parts_add_up_and_agree_with_the_polar() -> None:
    model = trainer()
    drag = DragModel(model, air=AIR, rods=(Rod("strut", 0.3, 0.004),))
    line = model.trimmed_line
    one = drag.breakdown(lift=0.5, speed=9.8, line=line)
    assert sum(p.coefficient for p in one.parts) == pytest.approx(one.coefficient, rel=1e-12)
    (many,) = drag.coefficients(lifts=np.array([0.5]), speeds=np.array([9.8]), line=line)
    assert many == pytest.approx(one.coefficient, rel=1e-12)
    strut = next(p for p in one.parts if p.kind == "rod")
    assert strut.area == pytest.approx(CYLINDER * 0.3 * 0.004)
    assert {p.kind for p in one.parts} == {"surface", "rod", "allowance", "induced"}
    assert 0.05 < one.spread < 0.3
    with pytest.raises(ValueError, match="out of reach"):
        drag.breakdown(lift=9.0, speed=9.8, line=line)


def test_induced_drag_is_the_ellipse_over_an_efficiency_below_one() -> None:
    """Prandtl: no flat wing has less than CL²/(π A); a straight one has some 5 % more."""
    model = trainer(x=0.15)
    line = model.trimmed_line
    induced = float(line.at(line.induced, 0.7))
    assert 0.85 < 0.7**2 / (math.pi * 6 * induced) < 1.0


def test_a_stopped_propeller_drags_and_none_does_not() -> None:
    still = airframe(*trainer().airframe.surfaces)
    turning = replace(still, propellers=(Propeller(0.0, 0.0, 0.0, 0.2, mirrored=False),))
    lattice = trainer().lattice
    found = []
    for stopped in (False, True):
        model = PitchModel(turning, lattice=lattice, point=(0.05, 0.0, 0.0))
        drag = DragModel(model, air=AIR, stopped_propellers=stopped)
        found.append(drag.breakdown(lift=0.5, speed=10.0, line=model.trimmed_line))
    extra = (found[1].coefficient - found[0].coefficient) / 6  # m²
    assert extra == pytest.approx(1.15 * 0.064 * math.pi / 4 * 0.2**2, rel=1e-6)
