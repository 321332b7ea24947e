"""The lattice against a textbook's worked example, limits of theory and wind-tunnel slopes."""

from __future__ import annotations

import math

import pytest

from plansgen.flight.lattice import Flow, Lattice
from tests.flight.shapes import (
    SMALL,
    aerodynamic_centre,
    ellipse,
    lift_slope,
    loads_of,
    scale_for,
    trapezium,
)


def test_bertin_and_smith_example() -> None:
    """Bertin & Smith, *Aerodynamics for Engineers*, ex. 7.2: aspect ratio 5, swept 45°.

    One row of four even panels a side. The book's circulations Γ/(4πbUα), 0.0273, 0.0287, 0.0286
    and 0.0250 from root to tip, and its slope 3.443 are from memory; an independent lattice gives
    0.027302, 0.028733, 0.028636, 0.024962, slope 3.4442, centre 0.29594 b. The same algebra, so
    all printed digits must come out.
    """
    wing = trapezium(5.0, sweep=45.0)
    lattice = Lattice([wing], rows=1, strips=4, spacing="uniform")
    loads = loads_of(lattice, Flow(alpha=SMALL), scale_for(wing))
    starboard = [s.circulation / (4 * math.pi * SMALL) for s in loads.strips if s.y > 0]
    assert starboard == pytest.approx([0.0273, 0.0287, 0.0286, 0.0250], abs=5e-5)
    assert starboard == pytest.approx([0.027302, 0.028733, 0.028636, 0.024962], abs=1e-6)
    assert loads.lift / SMALL == pytest.approx(3.443, rel=0.002)
    assert loads.lift / SMALL == pytest.approx(3.4442, abs=1e-4)
    assert -loads.pitch / loads.lift * wing.planform.mac == pytest.approx(0.29594, abs=1e-5)


@pytest.mark.parametrize(
    ("aspect", "even", "converged"),
    [
        (2.0, {10: 2.5722, 20: 2.5220}, 2.471),
        (6.0, {10: 4.3456, 20: 4.2808}, 4.213),
    ],
)
def test_rectangular_plates(aspect: float, even: dict[int, float], converged: float) -> None:
    """Rectangular flat plates by an independent lattice of even panels, four rows.

    Even strips converge with the first order; their Richardson limit is ``converged``. The same
    even lattice gives the same digits; ours of cosine strips must meet the limit within 0.5 %.
    """
    wing = trapezium(aspect)
    for strips, slope in even.items():
        ours = lift_slope(wing, rows=4, strips=strips, spacing="uniform")
        assert ours == pytest.approx(slope, abs=1e-4)
    assert lift_slope(wing) == pytest.approx(converged, rel=0.005)


@pytest.mark.parametrize(
    ("aspect", "helmbold"),
    [
        (0.5, 0.7735),
        (1.0, 1.4833),
        (2.0, 2.6026),
        (4.0, 3.8832),
        (6.0, 4.5287),
        (8.0, 4.9058),
        (10.0, 5.1510),
    ],
)
def test_helmbold(aspect: float, helmbold: float) -> None:
    """Helmbold's formula (J. D. Anderson, *Aircraft Performance and Design*, eq. 2.18a).

    It is fitted to elliptical loads, so a rectangle lies below it at all but the least aspect
    ratios: by up to 7.5 %, and never above by more than 0.5 %.
    """
    ratio = lift_slope(trapezium(aspect)) / helmbold
    assert 0.925 < ratio < 1.005


@pytest.mark.parametrize("aspect", [0.02, 0.05, 0.1])
def test_low_aspect_ratio_limit(aspect: float) -> None:
    """Lift slope tends to πA/2 (R. T. Jones, NACA Report 835 (1946), from memory).

    Helmbold's formula puts the next term at A/4 of it squared: below 0.3 % up to A = 0.1.
    """
    assert lift_slope(trapezium(aspect)) == pytest.approx(math.pi * aspect / 2, rel=0.003)


def test_circular_wing() -> None:
    """The exact lifting-surface answer for a circle, 1.790.

    W. Kinner, *Ingenieur-Archiv* 8 (1937), refined by P. F. Jordan (1971), both from memory. The
    polygon of 48 sides is off a circle by 0.1 %, the lattice by as much: 0.3 %.
    """
    circle = ellipse(4 / math.pi, line=0.5)
    assert lift_slope(circle, rows=8, strips=24) == pytest.approx(1.790, rel=0.003)


SWEPT = [
    # sweep, taper, lift slope, (centre − c/4 of the mean chord)/mean chord
    (0, 1.0, 4.271, -0.011),
    (0, 0.5, 4.391, -0.009),
    (0, 0.3, 4.397, -0.010),
    (15, 1.0, 4.183, -0.046),
    (15, 0.5, 4.339, -0.009),
    (15, 0.3, 4.367, 0.010),
    (30, 1.0, 3.899, -0.064),
    (30, 0.5, 4.080, 0.008),
    (30, 0.3, 4.131, 0.047),
    (45, 1.0, 3.372, -0.059),
    (45, 0.5, 3.551, 0.050),
    (45, 0.3, 3.614, 0.107),
]


@pytest.mark.parametrize(("sweep", "taper", "slope", "centre"), SWEPT)
def test_swept_wings_by_an_even_lattice(
    sweep: float, taper: float, slope: float, centre: float
) -> None:
    """Aspect ratio 6, straight quarter line: an independent lattice of 24 × 6 even panels a side.

    The same lattice: all digits. Default strips: 2 % on the slope, the even lattice's own bias
    being 1.3 to 1.5 %; 0.01 of the mean chord on the centre. At 45° that bias alone is more, so
    the next test takes it off first.
    """
    wing = trapezium(6.0, taper=taper, sweep=sweep)
    mac, quarter = wing.planform.mac, wing.planform.quarter_chord_x
    same = {"rows": 6, "strips": 24, "spacing": "uniform"}
    assert lift_slope(wing, **same) == pytest.approx(slope, abs=6e-4)
    assert (aerodynamic_centre(wing, **same) - quarter) / mac == pytest.approx(centre, abs=6e-4)
    assert lift_slope(wing) == pytest.approx(slope, rel=0.02)
    if sweep < 45:
        assert (aerodynamic_centre(wing) - quarter) / mac == pytest.approx(centre, abs=0.01)


@pytest.mark.parametrize("taper", [1.0, 0.5, 0.3])
def test_even_strips_tend_to_the_cosine_ones_at_45_degrees(taper: float) -> None:
    """The same wings at 45°: the limit of ever more even strips is where the default must be.

    Their error is of the first order, so the limit is twice the finer less the coarser; what is
    left of it is a quarter of the step between them or less: 0.003 of the chord, and as much for
    the default's own.
    """
    wing = trapezium(6.0, taper=taper, sweep=45.0)
    coarse, fine = (
        aerodynamic_centre(wing, rows=5, strips=strips, spacing="uniform") for strips in (24, 48)
    )
    ours = aerodynamic_centre(wing)
    assert ours == pytest.approx(2 * fine - coarse, abs=0.006 * wing.planform.mac)


@pytest.mark.parametrize(("digits", "theory"), [("2412", -2.0772), ("4412", -4.1545)])
@pytest.mark.parametrize("aspect", [8.0, 20.0, 60.0])
def test_zero_lift_angle_of_a_cambered_wing(digits: str, theory: float, aspect: float) -> None:
    """A long untwisted wing lifts nothing where its section does (Glauert, ch. XI).

    A short one's camber works in a flow that curves along the chord, which the line leaves out: an
    effect of chord over span, so within 1/(4A).
    """
    wing = trapezium(aspect, digits=digits)
    lattice = Lattice([wing], strips=12)
    zero = loads_of(lattice, Flow(), scale_for(wing)).lift
    slope = (loads_of(lattice, Flow(alpha=SMALL), scale_for(wing)).lift - zero) / SMALL
    assert math.degrees(-zero / slope) == pytest.approx(theory, rel=0.25 / aspect)
