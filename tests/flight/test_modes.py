"""Motions: degenerate cases, inertia, readings, whole models."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plansgen.balance.centre import MassState
from plansgen.flight.derivatives import derivatives_of, scale_of
from plansgen.flight.lattice import Lattice
from plansgen.flight.mode_rules import (
    downwash_lag,
    effective_dihedral,
    mode_rules,
    phugoid_rule,
    read_motions,
    roll_time,
    spiral_product,
)
from plansgen.flight.modes import (
    Inertia,
    Mode,
    Motions,
    inertia_of,
    lateral_modes,
    longitudinal_modes,
    mode_of,
    motions_of,
)
from tests.designs import EVERY_LAYOUT, airframe_of, balance_of, bent, glider, skin
from tests.flight.flyers import derivatives_with

AIR = 1.225


def state_of(name: str) -> MassState:
    ready = balance_of(EVERY_LAYOUT[name]()).ready
    assert ready is not None
    return ready.state


def motions_for(name: str, *, speed: float = 9.0) -> Motions:
    frame, state = airframe_of(EVERY_LAYOUT[name]()), state_of(name)
    d = derivatives_of(frame, point=(state.x, 0.0, state.z), alpha=0.05)
    return motions_of(
        derivatives=d,
        state=state,
        scale=scale_of(frame.reference),
        speed=speed,
        density=AIR,
        lift=0.5,
        drag=0.06,
    )


def numbers(motions: Motions) -> list[float]:
    found = []
    for mode in dataclasses.astuple(motions):
        for value in mode if isinstance(mode, tuple) else [mode]:
            found += list(value) if isinstance(value, tuple) else [value]
    return [value for value in found if value is not None]


@pytest.mark.parametrize("name", sorted(EVERY_LAYOUT))
def test_every_layout_gives_numbers_or_none(name: str) -> None:
    found = motions_for(name)
    assert np.isfinite(numbers(found)).all()
    assert found.roll is not None
    assert found.roll.stable
    assert read_motions(found).roll == "quick"


def test_a_stable_glider_has_all_five() -> None:
    raw = glider()
    raw["surfaces"]["wing"] = bent(
        "wing", [(0, 5, 200), (500, 5, 200)], at={"x": 150}, parts=[skin()]
    )
    raw["items"][0]["mass"] = 150
    frame = airframe_of(raw)
    ready = balance_of(raw).ready
    assert ready is not None
    d = derivatives_of(frame, point=(ready.state.x, 0.0, ready.state.z), alpha=0.05)
    assert d.static_margin > 0.05
    found = motions_of(
        derivatives=d,
        state=ready.state,
        scale=scale_of(frame.reference),
        speed=8.0,
        density=AIR,
        lift=0.5,
        drag=0.06,
    )
    assert found.short_period is not None
    assert found.phugoid is not None
    assert found.dutch_roll is not None
    assert found.spiral is not None
    assert found.others == ()
    assert found.coupled is None
    # The short period is over long before the phugoid has turned (Nelson, ch. 4).
    assert found.phugoid.period is not None
    assert found.short_period.half is not None
    assert found.short_period.half < found.phugoid.period / 10


def test_a_model_behind_its_neutral_point_diverges() -> None:
    """Nelson, ch. 2: with Cm_α > 0 a disturbance grows."""
    frame, state = airframe_of(glider()), state_of("glider")
    d = derivatives_of(frame, point=(state.x + 0.2, 0.0, state.z), alpha=0.05)
    assert d.static_margin < 0.0
    found = motions_of(
        derivatives=d,
        state=state,
        scale=scale_of(frame.reference),
        speed=9.0,
        density=AIR,
        lift=0.5,
        drag=0.06,
    )
    modes = [found.short_period, found.phugoid, *found.others]
    assert any(mode is not None and mode.double is not None for mode in modes)


def companion(*roots: complex) -> np.ndarray:  # type: ignore[type-arg]
    """A matrix with those roots."""
    coefficients = np.real(np.poly(np.array(roots)))
    matrix = np.zeros((4, 4))
    matrix[0] = -coefficients[1:]
    matrix[1:, :3] = np.eye(3)
    return matrix


def test_two_pairs() -> None:
    short, slow, others = longitudinal_modes(companion(-3 + 4j, -3 - 4j, -0.1 + 1j, -0.1 - 1j))
    assert others == ()
    assert short is not None
    assert slow is not None
    assert short.damping == pytest.approx(0.6)  # −3 over |−3 + 4i|
    assert short.period == pytest.approx(2 * math.pi / 4)
    assert slow.half == pytest.approx(math.log(2) / 0.1)
    assert slow.double is None


def test_an_overdamped_short_period() -> None:
    short, slow, _ = longitudinal_modes(companion(-9, -4, -0.1 + 1j, -0.1 - 1j))
    assert short is not None
    assert slow is not None
    assert short.period is None
    assert short.damping == pytest.approx(13 / 12)  # (9 + 4)/(2 √36)
    assert short.real == pytest.approx(-4.0)
    assert slow.period is not None


def test_a_phugoid_that_has_come_apart() -> None:
    short, slow, _ = longitudinal_modes(companion(-3 + 4j, -3 - 4j, -0.4, 0.2))
    assert short is not None
    assert short.period is not None
    assert slow is not None
    assert (slow.period, slow.damping, slow.half) == (None, None, None)
    assert slow.double == pytest.approx(math.log(2) / 0.2)


def test_neither_short_period_nor_phugoid() -> None:
    """Nelson: unstable in angle of attack, a third oscillation stands between two real roots."""
    short, slow, others = longitudinal_modes(companion(-9, 2, -0.3 + 1j, -0.3 - 1j))
    assert (short, slow) == (None, None)
    assert [mode.double is not None for mode in others] == [False, False, True]
    _, _, alone = longitudinal_modes(companion(-9, 5, -0.3, 0.1))
    assert len(alone) == 4


def test_roll_and_spiral_in_one() -> None:
    roll, spiral, dutch, coupled, _ = lateral_modes(
        companion(-0.4 + 3j, -0.4 - 3j, -1 + 0.5j, -1 - 0.5j)
    )
    assert (roll, spiral) == (None, None)
    assert dutch is not None
    assert dutch.imaginary == pytest.approx(3.0)
    assert coupled is not None
    assert coupled.imaginary == pytest.approx(0.5)


def test_no_dutch_roll_without_weathercock() -> None:
    roll, spiral, dutch, _, others = lateral_modes(companion(-8, -1, 0.5, 0.05))
    assert dutch is None
    assert roll is not None
    assert roll.real == pytest.approx(-8)
    assert spiral is not None
    assert spiral.real == pytest.approx(0.05)
    assert len(others) == 2


def test_a_root_of_nought_is_neither_half_nor_double() -> None:
    mode = mode_of([0j])
    assert (mode.period, mode.damping, mode.half, mode.double) == (None,) * 4
    _, spiral, _, _, _ = lateral_modes(np.diag([-8.0, -2.0, -1.0, 0.0]))
    assert spiral is not None
    assert spiral.real == 0.0


@given(st.lists(st.floats(-50, 50), min_size=16, max_size=16))
def test_any_matrix_gives_numbers_or_none(values: list[float]) -> None:
    matrix = np.array(values).reshape(4, 4)
    modes = [*longitudinal_modes(matrix)[:2], *lateral_modes(matrix)[:4]]
    modes += [*longitudinal_modes(matrix)[2], *lateral_modes(matrix)[4]]
    for mode in modes:
        assert mode is None or all(
            value is None or math.isfinite(value) for value in dataclasses.astuple(mode)
        )


def test_inertia_turns_like_the_masses() -> None:
    """Against masses at points, turned one by one."""
    rng = np.random.default_rng(3)
    forward, down, side = rng.normal(size=(3, 20))
    alpha = 0.3

    def matrix(x: np.ndarray, z: np.ndarray) -> tuple[float, float, float, float]:  # type: ignore[type-arg]
        y = side
        return (
            float((y**2 + z**2).sum()),
            float((x**2 + z**2).sum()),
            float((x**2 + y**2).sum()),
            float((x * z).sum()),
        )

    ixx, iyy, izz, ixz = matrix(forward, down)
    base = state_of("glider")
    state = dataclasses.replace(base, mass=20.0, ixx=ixx, iyy=iyy, izz=izz, ixz=ixz)
    found = inertia_of(state, alpha=alpha)
    turned = matrix(
        forward * math.cos(alpha) + down * math.sin(alpha),
        down * math.cos(alpha) - forward * math.sin(alpha),
    )
    assert (found.roll, found.pitch, found.yaw, found.product) == pytest.approx(turned)


@pytest.mark.parametrize("tip", [200, 100])
@pytest.mark.parametrize("angle", [3, 6, 10])
def test_effective_dihedral_of_a_straight_wing(tip: float, angle: float) -> None:
    """By its meaning that wing's own, with no fin. The ratio of strip values is good to 15 %."""
    raw = glider()
    raw["surfaces"]["wing"] = bent("wing", [(0, angle, 200), (500, angle, tip)], at={"x": 150})
    del raw["surfaces"]["fin"]
    frame = airframe_of(raw)
    d = derivatives_of(frame, point=(0.2, 0.0, 0.0), alpha=0.0)
    assert effective_dihedral(frame, d) == pytest.approx(math.radians(angle), rel=0.15)


def test_downwash_lag_against_the_textbook() -> None:
    """Nelson, ch. 3: Cm_α̇ = −2 a_t V_H (l_t/c) dε/dα, and Cm_q of the tail the same without dε/dα.

    So their ratio lies near dε/dα, a third to a half; Cm_q has the wing's part besides.
    """
    frame = airframe_of(glider())
    point = (frame.reference.quarter_chord_x, 0.0, 0.0)
    lattice = Lattice(frame.surfaces)
    lag = downwash_lag(frame, lattice=lattice, point=point, alpha=0.03)
    d = derivatives_of(frame, point=point, alpha=0.03, lattice=lattice)
    assert 0.25 < lag / d.q.pitch < 0.5


def test_no_tail_no_lag() -> None:
    for name in ("tailless", "canard", "tandem"):
        frame = airframe_of(EVERY_LAYOUT[name]())
        lattice = Lattice(frame.surfaces)
        assert downwash_lag(frame, lattice=lattice, point=(0.2, 0.0, 0.0), alpha=0.0) == 0.0


def test_rules_that_do_not_apply_are_none() -> None:
    scale = scale_of(airframe_of(glider()).reference)
    inertia = Inertia(1.0, 0.01, 0.01, 0.01, 0.0)
    nothing = derivatives_with()
    assert spiral_product(nothing) is None
    assert (
        roll_time(derivatives=nothing, inertia=inertia, scale=scale, speed=9.0, density=AIR) is None
    )
    with pytest.raises(ValueError, match="lift over drag"):
        phugoid_rule(speed=9.0, lift_to_drag=0.0)


@pytest.mark.parametrize("name", sorted(EVERY_LAYOUT))
def test_rules_for_every_layout(name: str) -> None:
    frame, state = airframe_of(EVERY_LAYOUT[name]()), state_of(name)
    d = derivatives_of(frame, point=(state.x, 0.0, state.z), alpha=0.05)
    rules = mode_rules(
        frame,
        derivatives=d,
        inertia=inertia_of(state, alpha=0.05),
        speed=9.0,
        density=AIR,
        lift=0.5,
        drag=0.06,
    )
    values = [value for value in dataclasses.astuple(rules) if value is not None]
    assert np.isfinite(values).all()
    found = motions_for(name)
    if found.roll is not None and rules.roll_time is not None:
        # The matrix couples a little yaw into it: within a third.
        assert -1 / found.roll.real == pytest.approx(rules.roll_time, rel=0.33)


def test_words() -> None:
    def swing(damping: float) -> Mode:
        return Mode(-damping, 1.0, 6.0, damping, 1.0, None)

    grows = Mode(0.3, 0.0, None, None, None, math.log(2) / 0.3)
    given = Motions(
        9.0,
        swing(0.1),
        swing(0.01),
        Mode(-0.5, 0, None, None, 1, None),
        grows,
        swing(0.2),
        None,
        (),
    )
    reading = read_motions(given)
    assert reading.short_period == "lightly damped"
    assert reading.phugoid == "lightly damped"
    assert reading.roll == "slow"
    assert reading.spiral == "tight"
    assert reading.dutch_roll == "good"
    empty = Motions(9.0, None, None, None, None, None, None, ())
    assert set(dataclasses.astuple(read_motions(empty))) == {"none"}


@pytest.mark.parametrize("wrong", ["speed", "density"])
def test_refuses_in_words(wrong: str) -> None:
    frame, state = airframe_of(glider()), state_of("glider")
    given = {"speed": 9.0, "density": AIR, wrong: 0.0}
    with pytest.raises(ValueError, match=wrong):
        motions_of(
            derivatives=derivatives_with(),
            state=state,
            scale=scale_of(frame.reference),
            lift=0.5,
            drag=0.05,
            **given,
        )
