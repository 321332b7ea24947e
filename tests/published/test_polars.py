"""Skin friction and sections against published values."""

from __future__ import annotations

import pytest

from plansgen.flight.polars import families, laminar_friction, turbulent_friction


@pytest.mark.parametrize(
    ("reynolds", "laminar", "turbulent"),
    [
        (4e4, 0.00664, 0.00886),
        (6e4, 0.00542, 0.00804),
        (1e5, 0.00420, 0.00716),
        (2e5, 0.00297, 0.00615),
        (5e5, 0.00188, 0.00511),
        (1e6, 0.00133, 0.00447),
    ],
)
def test_skin_friction(reynolds: float, laminar: float, turbulent: float) -> None:
    """H. Schlichting, *Boundary-Layer Theory*: Blasius, and Prandtl and Schlichting; one side.

    Worked out from the printed formulas, five decimals.
    """
    assert laminar_friction(reynolds) == pytest.approx(laminar, abs=5.1e-6)
    assert turbulent_friction(reynolds) == pytest.approx(turbulent, abs=5.1e-6)


@pytest.mark.parametrize("key", sorted(families()))
def test_no_section_has_less_drag_than_its_skin_laminar(key: str) -> None:
    """Blasius (1908): no attached layer rubs less than a laminar one on both sides.

    A section of sheet or wood made to be seen at these Reynolds numbers has 1.2 to 6 times that.
    """
    family = families()[key]
    for reynolds, drag in zip((4e4, 6e4, 1e5, 2e5, 5e5), family.drag_min.values, strict=True):
        assert 1.2 <= drag / (2 * laminar_friction(reynolds)) <= 6.0


def test_a_bent_plate_beats_a_flat_and_a_thick_section_below_100_000() -> None:
    """Pelletier & Mueller, J. Aircraft 37(5), 2000; Winslow et al., J. Aircraft 55, abstracts.

    Cambered plates carry more than flat ones, and below 100 000 more than thick sections do.
    """
    known = families()
    bent = known["cambered-plate"].lift_max.values
    for other in ("flat-plate", "naca-symmetric", "naca-camber-2", "naca-camber-4"):
        low = known[other].lift_max.values
        assert all(a > b for a, b in zip(bent[:3], low[:3], strict=True)), other


def test_thin_plates_hardly_notice_the_reynolds_number() -> None:
    """Winslow et al., J. Aircraft (10.2514/1.C034415), abstract: nearly the same at all of them."""

    def change(key: str) -> float:
        values = families()[key].lift_max.values
        return values[-1] / values[0]

    assert change("flat-plate") < 1.15
    assert change("flat-plate") < change("naca-symmetric") / 1.3
