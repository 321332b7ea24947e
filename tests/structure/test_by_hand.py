"""The trainer of the demo library against sums that a careful builder does on paper.

Nothing of the program is used for the sums but the numbers of its design file, written out here.
Formulas: transformed section (Gere & Timoshenko); O. Schrenk, NACA TM 948 (1940); lift slope of a
low wing, 2 π A/(2 + √(4 + A²)) (H. B. Helmbold 1942, from memory); flap effectiveness (H. Glauert);
K. G. Pratt, NACA Report 1206 (from memory).
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from plansgen.airframe.build import build_airframe
from plansgen.balance.result import work_out_balance
from plansgen.flight.result import work_out_flight
from plansgen.library.folder import read_design
from plansgen.structure.cases import cases_of
from plansgen.structure.margins import Build
from plansgen.structure.section import properties
from plansgen.structure.span_loads import Loader
from tests.structure.loaded import Loaded

G, RHO = 9.80665, 1.2245
MASS, WING_MASS, HALF_SPAN, AREA, MEAN_CHORD = 0.777, 0.308, 0.5943, 0.2379, 0.2013
TAIL_AREA, TAIL_SPAN = 0.0561, 0.44


@cache
def dunlin() -> tuple[Loaded, Build]:
    design = read_design(Path(__file__).parents[2], "dunlin")
    file, stock = design.file, design.materials
    airframe = build_airframe(file, design.section_points)
    balance = work_out_balance(file, airframe, stock)
    flight = work_out_flight(file, airframe, balance)
    assert flight is not None
    cases = {case.key: case for case in cases_of(file, airframe, balance, flight)}
    loader = Loader(file, airframe, balance, flight, stock)
    build = Build(airframe.surface("wing"), file.surfaces["wing"].parts, stock)
    return Loaded(file, airframe, balance, flight, loader, cases), build


def slope(area: float, span: float) -> float:
    aspect = span**2 / area
    return 2 * math.pi * aspect / (2 + math.sqrt(4 + aspect**2))


def folded_section(*sticks: tuple[float, float, float, float]) -> float:
    """EI of the folded section in N m²; sticks: modulus, width, height, middle above the table.

    Outline in mm: flat underneath, 5 high at nose and tail, 22 over the spar at 63 of 210. Paper
    0.2 mm of 5 GPa on both faces of 4.6 mm of foam of 12 MPa.
    """
    rows = []
    for (x0, z0), (x1, z1) in (((0, 5), (63, 22)), ((63, 22), (210, 5))):
        length, steep = math.hypot(x1 - x0, z1 - z0), math.hypot(x1 - x0, z1 - z0) / (x1 - x0)
        for k in range(200):
            z = z0 + (z1 - z0) * (k + 0.5) / 200
            for modulus, thick, deep in ((5e9, 0.2, 0.1), (12e6, 4.6, 2.5), (5e9, 0.2, 4.9)):
                rows.append((modulus * thick * length / 200, z - deep * steep, 0.0))
    rows += [
        (modulus * thick * 205, high, 0.0)
        for modulus, thick, high in ((5e9, 0.2, 0.1), (12e6, 4.6, 2.5), (5e9, 0.2, 4.9))
    ]
    rows += [(e * b * h, z, e * b * h**3 / 12) for e, b, h, z in sticks]
    pull, high, own = (np.array(column) for column in zip(*rows, strict=True))
    middle = (pull @ high) / pull.sum()
    return float((pull * (high - middle) ** 2 + own).sum()) * 1e-12


CAPS = ((8.5e9, 10, 3, 6.5), (8.5e9, 10, 3, 22 - 5 * math.hypot(63, 17) / 63 - 1.5))
BRACES = (8.23e9, 9, 12, 10.9)  # three of birch plywood, two veneers of three along


@pytest.mark.parametrize(("at", "sticks"), [(0.035, (*CAPS, BRACES)), (0.3, CAPS)])
def test_bending_stiffness(
    at: float, sticks: tuple[tuple[float, float, float, float], ...]
) -> None:
    found = properties(dunlin()[1].half().cut(at)).bending
    assert found == pytest.approx(folded_section(*sticks), rel=0.03)


def test_root_bending_lies_between_ellipse_and_schrenk() -> None:
    """Four times the weight, less the wing's own, which lies as its chord does."""
    y = np.linspace(0.0, HALF_SPAN, 2001)
    chord = np.interp(y, [0.0, 0.3595, HALF_SPAN], [0.21, 0.21, 0.16])
    ellipse = np.sqrt(1 - (y / HALF_SPAN) ** 2)
    ellipse *= chord.sum() / ellipse.sum()

    def arm(load: np.ndarray) -> float:
        return float(load @ y / load.sum())

    relief = 4 * G * WING_MASS / 2 * arm(chord)
    low, high = (2 * G * MASS * arm(load) - relief for load in (ellipse, (ellipse + chord) / 2))
    model, _ = dunlin()
    found = model.loader.span_load(model.cases["pull-up"], "wing", axis=0.3).bending[0]
    assert low < found < high


def test_gust() -> None:
    model, _ = dunlin()
    case = model.cases["gust-up"]
    wing, tail = slope(AREA, 2 * HALF_SPAN), slope(TAIL_AREA, TAIL_SPAN)
    wash = 2 * wing * AREA / (math.pi * (2 * HALF_SPAN) ** 2)
    whole = wing + tail * TAIL_AREA / AREA * (1 - wash)
    loading = MASS * G / AREA
    ratio = 2 * loading / (RHO * G * MEAN_CHORD * whole)
    added = 0.88 * ratio / (5.3 + ratio) * RHO * 4.0 * case.speed * whole / (2 * loading)
    assert case.load_factor - 1 == pytest.approx(added, rel=0.1)


def test_full_elevator() -> None:
    """Half of what the tail's push changes from one stop to the other; 30 % flap."""
    model, _ = dunlin()
    cases = [model.cases[f"elevator-nose-{way}"] for way in ("up", "down")]
    turn = abs(cases[0].deflections["tailplane.elevator.pitch"])
    pushes = [float(model.loader.in_air(case)[1]["tailplane"].forces[:, 2].sum()) for case in cases]
    angle = math.acos(2 * 0.3 - 1)
    share = 1 - (angle - math.sin(angle)) / math.pi
    pressure = RHO / 2 * cases[0].speed ** 2
    by_hand = pressure * TAIL_AREA / 2 * slope(TAIL_AREA, TAIL_SPAN) * share * turn
    assert (pushes[1] - pushes[0]) / 2 == pytest.approx(by_hand, rel=0.1)
