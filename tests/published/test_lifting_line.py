"""Lifting-line theory: H. Glauert, *The Elements of Aerofoil and Airscrew Theory* (1926), ch. XI.

The theory is solved here with 200 terms; Glauert's printed table (from memory: A/a₀ = 1 gives τ
0.17, δ 0.049) used four. A lattice sees the chord as well, so its lift lies below the line's and
its load is fuller at the tips of short wings; both come together as the aspect ratio grows.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from plansgen.airframe.build import LiftingSurface
from plansgen.flight.derivatives import work_out_derivatives
from plansgen.flight.lattice import Flow, Lattice, Scale
from plansgen.published.lifting_line import SLOPE, TERMS, lifting_line
from tests.flight.shapes import (
    SMALL,
    chain,
    ellipse,
    lift_slope,
    loads_of,
    scale_for,
    station,
    trapezium,
)

Array = NDArray[np.float64]


def factors(aspect: float, taper: float) -> tuple[float, float]:
    """τ and δ."""
    series = lifting_line(aspect, taper, np.ones_like)
    slope = math.pi * aspect * series[0]
    tau = (SLOPE / slope - 1) * math.pi * aspect / SLOPE - 1
    n = np.arange(1, TERMS + 1)
    return float(tau), float((n * series**2).sum() / series[0] ** 2 - 1)


@pytest.mark.parametrize(
    ("ratio", "tau", "delta"),
    [
        (0.25, 0.0553, 0.0068),
        (0.5, 0.0990, 0.0202),
        (0.75, 0.1351, 0.0355),
        (1.0, 0.1659, 0.0511),
        (1.25, 0.1928, 0.0662),
        (1.5, 0.2168, 0.0808),
        (1.75, 0.2384, 0.0946),
    ],
)
def test_the_yardstick_itself(ratio: float, tau: float, delta: float) -> None:
    """The series above gives Glauert's rectangular-wing factors, recomputed elsewhere: 0.001."""
    assert factors(ratio * SLOPE, 1.0) == pytest.approx((tau, delta), abs=0.001)


TAPERS = [
    (0.0, 0.1293),
    (0.2, 0.0185),
    (0.3, 0.0099),
    (0.4, 0.0088),
    (0.5, 0.0117),
    (0.6, 0.0169),
    (0.8, 0.0313),
    (1.0, 0.0483),
]


@pytest.mark.parametrize(("taper", "delta"), TAPERS)
def test_trefftz_plane_on_lifting_line_loads(taper: float, delta: float) -> None:
    """Induced drag of the lifting line's own load must be CL²(1 + δ)/(πA).

    Aspect ratio 6. The load goes in strip by strip: 0.001, half of that the strips' CL.
    """
    series = lifting_line(6.0, taper, np.ones_like)
    lattice = Lattice([trapezium(6.0, taper=taper)])
    (sheet,) = lattice.sheets
    theta = np.arccos(-2 * sheet.mid_edges[:, 1])
    load = 2 * np.sin(np.outer(theta, np.arange(1, TERMS + 1))) @ series
    area = 1 / 6
    lift = 2 * float(load @ sheet.widths) / area
    drag = 2 * lattice.trefftz.drag(load) / area
    assert drag * math.pi * 6 / lift**2 - 1 == pytest.approx(delta, abs=0.001)


def test_elliptical_load_has_even_downwash() -> None:
    """Γ as an ellipse turns the flow evenly, 2 CL/(πA) far behind, and has the least drag.

    Away from the last strips, where the square root ends: 1 %.
    """
    lattice = Lattice([trapezium(6.0)])
    (sheet,) = lattice.sheets
    load = np.sqrt(1 - (2 * sheet.mid_edges[:, 1]) ** 2)
    lift = 2 * float(load @ sheet.widths) * 6
    wash = -lattice.trefftz.normalwash(load)
    inner = np.abs(sheet.mid_edges[:, 1]) < 0.45
    assert wash[inner] == pytest.approx(2 * lift / (math.pi * 6), rel=0.01)
    assert 2 * lattice.trefftz.drag(load) * 6 == pytest.approx(lift**2 / (6 * math.pi), rel=0.002)


@pytest.mark.parametrize("aspect", [4.0, 6.0, 10.0, 20.0])
def test_elliptical_wing(aspect: float) -> None:
    """Lifting line 2πA/(A + 2); with the chord's own effect 2πA/(AE + 2).

    E is half the rim over the span (R. T. Jones, NACA TN 817 (1941), from memory), itself an
    estimate: lifting-surface answers lie up to 5 % below at A = 4 and tend to it. Span efficiency 1
    within 0.5 %.
    """
    wing = ellipse(aspect)
    slope = lift_slope(wing, strips=24)
    line = SLOPE * aspect / (aspect + 2)
    turn = np.linspace(0, 2 * math.pi, 4001)
    rim = np.trapezoid(np.hypot(np.sin(turn), 4 / (math.pi * aspect) * np.cos(turn)), turn) / 4
    jones = SLOPE * aspect / (aspect * rim + 2)
    assert slope < line
    assert slope == pytest.approx(jones, rel=0.2 / aspect)
    loads = loads_of(Lattice([wing], strips=24), Flow(alpha=SMALL), scale_for(wing))
    assert loads.efficiency(area=wing.planform.area, span=1.0) == pytest.approx(1.0, abs=0.005)


def test_lifting_line_is_the_limit_of_long_wings() -> None:
    """Rectangles of aspect ratio 6, 20 and 60: the line's excess falls at least as 1/A^0.8."""
    excess = []
    for aspect in (6.0, 20.0, 60.0):
        slope = math.pi * aspect * lifting_line(aspect, 1.0, np.ones_like)[0]
        excess.append(float(slope / lift_slope(trapezium(aspect)) - 1))
    assert 0 < excess[2] < excess[1] < excess[0] < 0.08
    assert excess[1] < excess[0] * (6 / 20) ** 0.8
    assert excess[2] < excess[1] * (20 / 60) ** 0.8


def test_taper_of_least_drag() -> None:
    """Lifting line: least at a taper of 0.36 to 0.40. A lattice's tips are fuller: 0.3 to 0.6."""
    drags = {}
    for taper in (0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0):
        wing = trapezium(6.0, taper=taper)
        loads = loads_of(Lattice([wing]), Flow(alpha=SMALL), scale_for(wing))
        drags[taper] = 1 / loads.efficiency(area=wing.planform.area, span=1.0) - 1
        assert 0 < drags[taper] <= factors(6.0, taper)[1]
    assert 0.3 <= min(drags, key=drags.__getitem__) <= 0.6


# --- dihedral ------------------------------------------------------------------------------------


def bent(aspect: float, bends: tuple[tuple[float, float], ...]) -> LiftingSurface:
    """A wing of constant chord from (end of the panel as a share of the half span, degrees)."""
    row, y, z, before = [station(0.0, chord=1 / aspect)], 0.0, 0.0, 0.0
    for share, degrees in bends:
        width, angle = (share - before) / 2, math.radians(degrees)
        y, z, before = y + width * math.cos(angle), z + width * math.sin(angle), share
        row.append(station(share / 2, y=y, z=z, chord=1 / aspect))
    return chain(row)


def roll_for_sideslip(wing: LiftingSurface, aspect: float) -> float:
    lattice = Lattice([wing])
    scale = Scale(1 / aspect, 1.0, 1 / aspect)
    ahead, behind = (loads_of(lattice, Flow(beta=s), scale).roll for s in (SMALL, -SMALL))
    return (ahead - behind) / (2 * SMALL)


DIHEDRALS = [
    # panels (end as a share, degrees), strip theory's equivalent dihedral
    (((0.5, 0.0), (1.0, 10.0)), 7.50),
    (((0.4, 8.0), (1.0, 0.0)), 1.28),
    (((0.6, 4.0), (1.0, 12.0)), 9.12),
]


@pytest.mark.parametrize(("bends", "strip"), DIHEDRALS)
def test_equivalent_dihedral(bends: tuple[tuple[float, float], ...], strip: float) -> None:
    """Rolling moment for sideslip against a wing of even dihedral.

    Strip theory, ∫Γ y dy/∫y dy, holds for long wings only: at A = 60 within 3 % of the largest
    angle. At A = 6 lifting-line theory with the same steps must agree within 3 % of the largest
    angle; strip theory is off by up to 8 % of it. Angles are a tenth, so that all is linear.
    """
    largest = max(degrees for _, degrees in bends)

    def steps(y: Array) -> Array:
        ends = np.array([end for end, _ in bends])
        angles = np.array([degrees for _, degrees in bends])
        which = np.minimum(np.searchsorted(ends, np.abs(2 * y)), len(ends) - 1)
        return np.sign(y) * angles[which]

    tenth = tuple((end, degrees / 10) for end, degrees in bends)

    def ours(aspect: float) -> float:
        even = roll_for_sideslip(bent(aspect, ((1.0, 1.0),)), aspect)
        return 10 * roll_for_sideslip(bent(aspect, tenth), aspect) / even

    line = lifting_line(6.0, 1.0, steps)[1] / lifting_line(6.0, 1.0, np.sign)[1]
    assert ours(60.0) == pytest.approx(strip, abs=0.03 * largest)
    assert ours(6.0) == pytest.approx(line, abs=0.03 * largest)
    assert ours(6.0) == pytest.approx(strip, abs=0.08 * largest)


def test_roll_for_sideslip_of_a_long_wing() -> None:
    """Strip theory: −a/4 per radian of dihedral (Perkins & Hage), for a lift slope that is even.

    A lifting line of A = 60 with even dihedral gives 1.4216, and the lattice must lie below that
    (the chord's effect) and within 2 %.
    """
    line = -math.pi * 60 * lifting_line(60.0, 1.0, np.sign)[1] / 4
    ours = -roll_for_sideslip(bent(60.0, ((1.0, 1.0),)), 60.0) / math.radians(1.0)
    assert ours < line < SLOPE / 4
    assert ours == pytest.approx(line, rel=0.02)


# --- rolling and yawing --------------------------------------------------------------------------


def rolling_moment(series: Array, speed: Callable[[Array], Array], aspect: float) -> float:
    """−∫ y (speed) Γ dy over ½S b for Γ = 2 Σ Aₙ sin nθ, span 1."""
    theta = (np.arange(2000) + 0.5) * math.pi / 2000
    y = -np.cos(theta) / 2
    load = 2 * np.sin(np.outer(theta, np.arange(1, TERMS + 1))) @ series * speed(y)
    return -2 * aspect * float((y * load * np.sin(theta)).sum()) * math.pi / 2000 / 2


@pytest.mark.parametrize("aspect", [10.0, 20.0, 40.0])
def test_rolling_and_yawing_of_a_plain_wing(aspect: float) -> None:
    """Damping in roll, rolling for yawing, against lifting-line theory with the same flow.

    Rolling at pb/2V = 1 adds the angle 2y; yawing at rb/2V = 1 takes the share 2y of the speed off,
    of the wing's own load and of what it meets. The chord's effect on an antisymmetric load is that
    on a wing of half the span: within 1.3/A, and always below the line.
    """
    alpha = 0.05
    wing = trapezium(aspect)
    quarter = (wing.planform.quarter_chord_x, 0.0, 0.0)
    ours = work_out_derivatives(
        Lattice([wing]), flow=Flow(alpha=alpha), point=quarter, scale=scale_for(wing)
    )
    twist = lifting_line(aspect, 1.0, lambda y: 2 * y)
    still = alpha * lifting_line(aspect, 1.0, np.ones_like)
    damping = rolling_moment(twist, np.ones_like, aspect)
    slower = rolling_moment(-alpha * twist, np.ones_like, aspect)
    slower += rolling_moment(still, lambda y: -2 * y, aspect)
    assert damping < ours.p.roll < 0.0 < ours.r.roll < slower
    assert ours.p.roll == pytest.approx(damping, rel=1.3 / aspect)
    assert ours.r.roll == pytest.approx(slower, rel=1.3 / aspect)
