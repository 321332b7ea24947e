"""A tail in the wing's wake."""

from __future__ import annotations

import math

import pytest

from plansgen.airframe.build import Airframe
from plansgen.flight.wake import STALLED_DRAG, near_stall, tail_wakes, wake_at
from tests.designs import airframe_of, canard, glider, tailless

ALPHAS = [math.radians(a) for a in (-4, 0, 4, 8, 12)]
DRAGS = [0.03] * len(ALPHAS)


def with_tail_at(height: float) -> Airframe:
    raw = glider()
    raw["surfaces"]["tailplane"]["at"]["z"] = height
    return airframe_of(raw)


def ratios(frame: Airframe, key: str = "tailplane", drags: list[float] = DRAGS) -> list[float]:
    return [w.ratio for w in tail_wakes(frame, frame.surface(key), alphas=ALPHAS, drags=drags)]


def test_loss_is_greatest_in_the_middle_and_ends_at_the_edge() -> None:
    wake = wake_at(distance=0.4, chord=0.2, drag=0.02)
    assert wake.loss_at(0.0) == wake.loss
    assert wake.loss_at(wake.half_width / 2) == pytest.approx(wake.loss / 2)  # cos² 45°
    assert wake.loss_at(wake.half_width) == wake.loss_at(-2 * wake.half_width) == 0.0


def test_a_tail_well_above_the_wing_is_out_of_it() -> None:
    assert ratios(with_tail_at(250)) == [1.0] * len(ALPHAS)


def test_the_wake_sinks_with_the_downwash() -> None:
    """The flow's rise over the datum is less than the angle of attack: downwash is taken off it."""
    frame = with_tail_at(0)
    found = tail_wakes(frame, frame.surface("tailplane"), alphas=ALPHAS, drags=DRAGS)
    distance = frame.surface("tailplane").planform.quarter_chord_x - 0.35
    free = distance * math.tan(ALPHAS[3] - ALPHAS[1])
    rise = found[1].offset - found[3].offset
    assert 0.3 * free < rise < 0.8 * free


def test_a_low_tail_leaves_the_wake_as_the_nose_rises() -> None:
    """Body axes: the wake climbs past a tail level with the wing."""
    low = ratios(with_tail_at(0))
    assert low[1] < 0.95
    assert low[-1] > low[1]


def test_more_drag_more_loss() -> None:
    frame = with_tail_at(0)
    thin, thick = ratios(frame, drags=[0.01] * 5), ratios(frame, drags=[0.08] * 5)
    assert all(b <= a for a, b in zip(thin, thick, strict=True))
    assert thick[1] < thin[1] - 0.05


def test_surfaces_ahead_and_wings_keep_all() -> None:
    frame = airframe_of(canard())
    assert ratios(frame, "foreplane") == ratios(frame, "wing") == [1.0] * 5
    flying_wing = airframe_of(tailless())
    assert ratios(flying_wing, "fins") == [1.0] * 5


def test_drag_rises_to_the_stalled_plate() -> None:
    assert near_stall(drag=0.02, lift=0.5, lift_max=1.0) == 0.02
    assert near_stall(drag=0.02, lift=1.0, lift_max=1.0) == pytest.approx(STALLED_DRAG)
    middle = near_stall(drag=0.02, lift=0.9, lift_max=1.0)
    assert middle == pytest.approx(0.02 + (STALLED_DRAG - 0.02) / 4)
    assert near_stall(drag=0.2, lift=1.0, lift_max=1.0) == 0.2  # never less than without the rise


def test_refuses_in_words() -> None:
    with pytest.raises(ValueError, match="chord"):
        wake_at(distance=0.1, chord=0.0, drag=0.02)
    with pytest.raises(ValueError, match="drag"):
        wake_at(distance=0.1, chord=0.2, drag=math.nan)
    with pytest.raises(ValueError, match="greatest lift"):
        near_stall(drag=0.02, lift=0.5, lift_max=0.0)
    frame = airframe_of(glider())
    with pytest.raises(ValueError, match="5 angles but 1 drags"):
        tail_wakes(frame, frame.surface("tailplane"), alphas=ALPHAS, drags=[0.1])


def test_no_drag_no_wake() -> None:
    assert ratios(with_tail_at(0), drags=[0.0] * 5) == pytest.approx([1.0] * 5)
