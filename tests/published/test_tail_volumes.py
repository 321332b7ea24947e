"""Tail arms and volumes against textbook aeroplanes."""

from __future__ import annotations

import math
from typing import Any

import pytest

from plansgen.airframe.layout import TailVolume
from tests.designs import airframe_of, bare, bent, glider, plate, surface, vee_tail

FOOT = 304.8


def tails(raw: dict[str, Any]) -> dict[tuple[str, str], TailVolume]:
    return {(tail.surface, tail.direction): tail for tail in airframe_of(raw).tails}


def navion(share: float) -> dict[str, Any]:
    """A rectangular wing and tail of the book's areas, chord and arm, to a scale that fits."""
    unit = FOOT * share
    half_span = 184 / 5.7 / 2 * unit
    tail_chord, tail_half = 4.0 * unit, 43 / 4.0 / 2 * unit
    # The arm runs from quarter chord to quarter chord.
    tail_x = (16 + 5.7 / 4 - 4.0 / 4) * unit
    return bare(
        {
            "wing": surface("wing", [(0, 0, 5.7 * unit), (half_span, 0, 5.7 * unit)]),
            "tail": surface(
                "tailplane", [(0, 0, tail_chord), (tail_half, 0, tail_chord)], at={"x": tail_x}
            ),
        }
    )


@pytest.mark.parametrize("share", [1.0, 0.1])
def test_general_aviation_aeroplane(share: float) -> None:
    """R. C. Nelson, *Flight Stability and Automatic Control*, 2nd ed. 1998, example 2.2:
    l_t 16 ft, S_t 43 ft², S 184 ft², c̄ 5.7 ft give V_H = 0.656 (from memory; the book prints 0.66).
    """
    tail = tails(navion(share))["tail", "horizontal"]
    assert tail.volume == pytest.approx(16 * 43 / (184 * 5.7), rel=1e-9)
    assert tail.volume == pytest.approx(0.656, abs=5e-4)
    assert tail.arm == pytest.approx(16 * FOOT / 1000 * share)


def test_fin_volume_is_over_the_span() -> None:
    """Raymer, *Aircraft Design: A Conceptual Approach*, eq. 6.27: c_VT = l_VT S_VT / (b S)."""
    raw = bare(
        {
            "wing": surface("wing", [(0, 0, 200), (500, 0, 200)]),
            "fin": surface("fin", [(0, 0, 100), (150, 0, 100)], at={"x": 625}),
        }
    )
    fin = tails(raw)["fin", "vertical"]
    assert fin.area == pytest.approx(0.015)
    assert fin.arm == pytest.approx(0.625 + 0.025 - 0.05)
    assert fin.volume == pytest.approx(0.6 * 0.015 / (1.0 * 0.2))


@pytest.mark.parametrize("degrees", [20, 35, 45, 60])
def test_vee_tail_projection(degrees: float) -> None:
    """Purser & Campbell, NACA Report 823 (1945): a V-tail works by cos²Γ and sin²Γ of its area."""
    raw = vee_tail()
    raw["surfaces"]["tail"] = bent("vee-tail", [(0, 0, 120), (200, degrees, 90)], at={"x": 640})
    found, area = tails(raw), 2 * 0.2 * 0.105
    angle = math.radians(degrees)
    assert found["tail", "horizontal"].area == pytest.approx(area * math.cos(angle) ** 2)
    assert found["tail", "vertical"].area == pytest.approx(area * math.sin(angle) ** 2)
    assert sum(tail.area for tail in found.values()) == pytest.approx(area)


def test_bent_vee_tail_panel_by_panel() -> None:
    """NACA Report 823's projection holds for each panel by itself."""
    raw = vee_tail()
    raw["surfaces"]["tail"] = bent(
        "vee-tail", [(0, 0, 100), (100, 30, 100), (200, 60, 100)], at={"x": 640}
    )
    found = tails(raw)
    assert found["tail", "horizontal"].area == pytest.approx(0.02 * (0.75 + 0.25))
    assert found["tail", "vertical"].area == pytest.approx(0.02 * (0.25 + 0.75))


def test_canard_has_a_negative_volume() -> None:
    """Sign of the arm: aft is positive, so what lies ahead counts against stability."""
    raw = glider()
    raw["surfaces"]["foreplane"] = surface("canard", [(0, 0, 80), (150, 0, 80)], at={"x": -300})
    assert tails(raw)["foreplane", "horizontal"].volume < 0


def test_upright_panel_of_a_vee_tail_has_no_level_area() -> None:
    """cos² of a right angle is nought."""
    raw = vee_tail()
    raw["surfaces"]["tail"] = {
        "role": "vee-tail",
        "section": plate(),
        "at": {"x": 640},
        "stations": [
            {"y": 0, "chord": 100},
            {"y": 100, "z": 0, "chord": 100},
            {"y": 100, "z": 100, "chord": 100},
        ],
    }
    found = tails(raw)
    assert found["tail", "horizontal"].area == pytest.approx(0.02)
    assert found["tail", "vertical"].area == pytest.approx(0.02)
