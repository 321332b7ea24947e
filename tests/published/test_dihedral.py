"""Dihedral: projection, and the one angle that a bent wing is worth."""

from __future__ import annotations

import math

import pytest

from tests.designs import Raw, airframe_of, bare, bent


def wing_of(panels: list[tuple[float, float]]) -> Raw:
    """Rows of developed distance out and dihedral of the panel that ends there, chord 200."""
    rows = [(0.0, 0.0, 200.0), *((span, angle, 200.0) for span, angle in panels)]
    return bare({"wing": bent("wing", rows)})


@pytest.mark.parametrize(
    ("panels", "degrees"),
    [
        ([(500, 0), (1000, 10)], 7.50),  # flat to the half, then 10°; not the mean of 5°
        ([(400, 8), (1000, 0)], 1.28),  # a gull
        ([(600, 4), (1000, 12)], 9.12),
        ([(300, 5), (700, 5), (1000, 5)], 5.00),
    ],
)
def test_equivalent_dihedral(panels: list[tuple[float, float]], degrees: float) -> None:
    """Strip theory, Perkins & Hage, *Airplane Performance, Stability and Control*, lateral
    stability: Γ_e = ∫ Γ c y dy / ∫ c y dy, which for a constant chord is Σ Γ (y₂² - y₁²)/(b/2)².
    """
    wing = airframe_of(wing_of(panels)).surface("wing").planform
    assert math.degrees(wing.equivalent_dihedral) == pytest.approx(degrees, abs=1e-9)


def test_equivalent_dihedral_of_a_tapered_wing() -> None:
    """The same integral with c = 1 - y/2 done by hand: flat to the half, then 10°.

    ∫ y (1 - y/2) dy is y²/2 - y³/6: 0.104167 to the half and 0.333333 to the tip.
    """
    rows = [(0, 0, 200), (500, 0, 150), (1000, 10, 100)]
    wing = airframe_of(bare({"wing": bent("wing", rows)})).surface("wing").planform
    whole, inner = 1 / 2 - 1 / 6, 1 / 8 - 1 / 48
    assert math.degrees(wing.equivalent_dihedral) == pytest.approx(10 * (whole - inner) / whole)


@pytest.mark.parametrize(
    ("degrees", "cosine"), [(3, 0.998630), (5, 0.996195), (8, 0.990268), (10, 0.984808)]
)
def test_projected_span_and_area(degrees: float, cosine: float) -> None:
    """Trigonometry: projected is developed times cos Γ; cosines from any table of them."""
    wing = airframe_of(wing_of([(600, degrees)])).surface("wing").planform
    assert wing.span / wing.span_flat == pytest.approx(cosine, abs=1e-6)
    assert wing.area / wing.area_developed == pytest.approx(cosine, abs=1e-6)
    assert math.degrees(wing.dihedral) == pytest.approx(degrees)


def test_heights_on_the_drawing_are_the_same_wing() -> None:
    """Pythagoras: 300 out and 40 up, as y and z or as span and dihedral."""
    drawn = bare(
        {
            "wing": {
                "role": "wing",
                "section": "NACA 0012",
                "stations": [{"y": 0, "chord": 200}, {"y": 300, "z": 40, "chord": 150}],
            }
        }
    )
    span, angle = math.hypot(300, 40), math.degrees(math.atan2(40, 300))
    laid = bare({"wing": bent("wing", [(0, 0, 200), (span, angle, 150)])})
    laid["surfaces"]["wing"]["section"] = "NACA 0012"
    one = airframe_of(drawn).surface("wing").planform
    two = airframe_of(laid).surface("wing").planform
    for name in ("span", "span_flat", "area", "mac", "mac_y", "mac_z", "dihedral", "wetted"):
        assert getattr(one, name) == pytest.approx(getattr(two, name), rel=1e-12), name


def test_a_panel_keeps_the_dihedral_of_the_one_before() -> None:
    """What the format says: dihedral left out is that of the panel before."""
    raw = wing_of([(300, 6), (600, 6)])
    del raw["surfaces"]["wing"]["stations"][2]["dihedral"]
    wing = airframe_of(raw).surface("wing").planform
    assert math.degrees(wing.dihedral) == pytest.approx(6)
