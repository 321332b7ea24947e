"""Derivatives: signs, symmetry, identities, and that the grid has converged."""

from __future__ import annotations

import math

import numpy as np
import pytest

from plansgen.flight.controls import control_modes
from plansgen.flight.derivatives import Derivatives, derivatives_of, scale_of, work_out_derivatives
from plansgen.flight.lattice import Flow, Lattice, Scale
from tests.designs import EVERY_LAYOUT, airframe_of, trainer
from tests.flight.shapes import SMALL, chain, control, loads_of, scale_for, station, trapezium

ORIGIN = (0.0, 0.0, 0.0)


def of_layout(name: str, **grid: int) -> Derivatives:
    frame = airframe_of(EVERY_LAYOUT[name]())
    point = (frame.reference.quarter_chord_x, 0.0, frame.reference.mac_z)
    lattice = Lattice(frame.surfaces, **grid) if grid else None
    return derivatives_of(frame, point=point, alpha=0.05, lattice=lattice)


@pytest.mark.parametrize("name", ["glider", "tailless", "canard", "tandem", "twin_fins"])
def test_halving_the_panels_moves_the_neutral_point_by_less_than_half_a_percent(name: str) -> None:
    """Of the mean aerodynamic chord; the lift slope by less than 1 %.

    The canard and the tandem, where a wing stands in another's wake, are the hardest.
    """
    usual, halved = of_layout(name), of_layout(name, rows=10, strips=36)
    chord = airframe_of(EVERY_LAYOUT[name]()).reference.mac
    assert usual.neutral_point == pytest.approx(halved.neutral_point, abs=0.005 * chord)
    assert usual.alpha.lift == pytest.approx(halved.alpha.lift, rel=0.01)


@pytest.mark.parametrize("name", sorted(EVERY_LAYOUT))
def test_every_layout_flies_by_the_textbook(name: str) -> None:
    """Signs that every aeroplane with some dihedral and fin has (Etkin, *Dynamics of Flight*)."""
    d = of_layout(name)
    assert 2.5 < d.alpha.lift < 6.5
    assert d.p.roll < 0.0  # rolling is damped
    assert d.q.pitch < 0.0  # so is pitching
    assert d.r.yaw < 0.0  # and yawing
    assert d.r.roll > 0.0  # the faster wing rises
    assert d.p.yaw < 0.0  # adverse yaw of a rolling wing with lift
    assert d.beta.side < 0.0
    for symmetric in (d.alpha, d.q):
        assert (symmetric.side, symmetric.roll, symmetric.yaw) == pytest.approx((0, 0, 0), abs=1e-9)
    for lateral in (d.beta, d.p, d.r):
        assert (lateral.lift, lateral.pitch) == pytest.approx((0, 0), abs=1e-6)


def test_neutral_point_is_where_the_moment_does_not_change() -> None:
    """By its definition: taken about it, Cm_α vanishes."""
    frame = airframe_of(EVERY_LAYOUT["glider"]())
    first = derivatives_of(frame, point=(0.1, 0.0, 0.0), alpha=0.05)
    there = derivatives_of(frame, point=(first.neutral_point, 0.0, 0.0), alpha=0.05)
    assert there.alpha.pitch == pytest.approx(0.0, abs=0.01 * there.alpha.lift)
    assert there.static_margin == pytest.approx(0.0, abs=0.01)


def test_derivatives_are_what_two_flows_differ_by() -> None:
    """Against differences of whole solutions with a step a hundred times as long."""
    wing = trapezium(6.0, sweep=20.0, digits="2412")
    lattice, scale = Lattice([wing]), scale_for(wing)
    d = work_out_derivatives(lattice, flow=Flow(alpha=0.05), point=ORIGIN, scale=scale)
    one, two = (loads_of(lattice, Flow(alpha=0.05 + step), scale) for step in (0.01, -0.01))
    assert d.alpha.lift == pytest.approx((one.lift - two.lift) / 0.02, rel=1e-3)
    assert d.alpha.induced_drag == pytest.approx(
        (one.induced_drag - two.induced_drag) / 0.02, rel=1e-3
    )


def test_moments_move_with_their_point() -> None:
    """M about a second point differs by arm × force. Statics."""
    wing = trapezium(6.0, digits="4412")
    lattice, scale = Lattice([wing]), scale_for(wing)
    flow = Flow(alpha=0.06, beta=0.03)
    fx, fy, fz, roll, pitch, yaw, _ = lattice.coefficients(flow, point=ORIGIN, scale=scale)
    arm = np.array([0.3, 0.1, -0.2])
    moved = lattice.coefficients(flow, point=(0.3, 0.1, -0.2), scale=scale)
    turned = np.cross(arm, [fx, fy, fz]) * [-1, 1, -1] / [scale.span, scale.chord, scale.span]
    assert moved[3:6] == pytest.approx(np.array([roll, pitch, yaw]) - turned, abs=1e-12)
    assert moved[:3] == pytest.approx([fx, fy, fz], abs=1e-12)


def test_roll_is_a_linear_twist() -> None:
    """A rolling flat wing meets the air at an angle that grows with the distance out, py/V.

    So its moment lies between that of full-chord ailerons turned by the tip's angle and by half of
    it: strip theory puts it at two thirds.
    """
    whole = control("aileron", 0.0, 0.5, 1.0)
    wing = trapezium(8.0, controls=(whole,))
    lattice, scale = Lattice([wing], strips=12), scale_for(wing)
    rolling = lattice.solve(Flow(p=0.01), point=ORIGIN, scale=scale)
    deflected = {"wing.control.roll": 0.01}
    full = lattice.solve(Flow(deflections=deflected), point=ORIGIN, scale=scale)
    assert full.roll < rolling.roll < full.roll / 2 < 0.0


def test_pitching_is_a_curved_mean_line() -> None:
    """Slow pitching of a long wing about its three-quarter point gives no circulation.

    Thin-airfoil theory (Glauert): a flat plate's circulation is that of the flow at 3/4 chord.
    """
    wing = trapezium(60.0)
    lattice, scale = Lattice([wing], strips=12), scale_for(wing)
    chord = 1 / 60
    still = lattice.circulations(Flow(q=0.1), point=(0.75 * chord, 0.0, 0.0), scale=scale)
    about_nose = lattice.circulations(Flow(q=0.1), point=ORIGIN, scale=scale)
    assert abs(still.sum()) < 0.01 * abs(about_nose.sum())


def test_induced_drag_near_and_far() -> None:
    """Munk: forces on the panels and the wake's energy are one drag.

    The panels leave out the suction on the legs at the tips, the width of half a strip, so their
    drag is a few per cent short and comes closer with ever narrower strips. Results use the wake's.
    """
    wing = trapezium(6.0, digits="2412")
    short = []
    for strips in (18, 40, 80):
        loads = loads_of(Lattice([wing], rows=4, strips=strips), Flow(alpha=0.1), scale_for(wing))
        short.append(1 - loads.near_field_drag / loads.induced_drag)
    assert 0 < short[2] < short[1] < short[0] < 0.06
    assert short[2] < short[0] / 2.5


def test_strips_add_up_to_the_lift() -> None:
    """Σ c_l c Δy = CL S for a flat wing, to the cosine of its angle."""
    wing = trapezium(6.0, taper=0.5)
    loads = loads_of(Lattice([wing]), Flow(alpha=0.02), scale_for(wing))
    total = sum(s.lift * s.chord * s.width for s in loads.strips)
    assert total / wing.planform.area == pytest.approx(loads.lift, rel=1e-3)
    for strip in loads.strips:
        assert strip.effective_angle == pytest.approx(strip.lift / (2 * math.pi))


# --- washes ----------------------------------------------------------------------------------


def test_a_wash_over_everything_is_more_speed() -> None:
    """Air faster by a fifth along x gives 1.44 times the force of a twisted wing. ½ρV²."""

    def along(points: np.ndarray) -> np.ndarray:
        return np.tile([1.0, 0.0, 0.0], (len(points), 1))

    wing = trapezium(6.0, twist=0.05, digits="2412")
    lattice, scale = Lattice([wing], washes={"propeller": along}), scale_for(wing)
    still = loads_of(lattice, Flow(), scale)
    fast = loads_of(lattice, Flow(washes={"propeller": 0.2}), scale)
    assert fast.lift == pytest.approx(1.44 * still.lift)
    assert fast.pitch == pytest.approx(1.44 * still.pitch)
    for one, two in zip(still.strips, fast.strips, strict=True):
        assert two.speed == pytest.approx(1.2)
        assert two.lift == pytest.approx(one.lift)  # the section works at the same angle


def test_a_wash_over_a_part_acts_there() -> None:
    """A jet over the middle lifts the middle, the tips but little; rolls nothing."""

    def jet(points: np.ndarray) -> np.ndarray:
        inside = np.abs(points[:, 1]) < 0.1
        return np.outer(inside, [1.0, 0.0, 0.0])

    wing = trapezium(6.0, twist=0.05)
    lattice, scale = Lattice([wing], washes={"propeller": jet}), scale_for(wing)
    still = loads_of(lattice, Flow(), scale)
    fast = loads_of(lattice, Flow(washes={"propeller": 0.3}), scale)
    gains = [b.circulation / a.circulation for a, b in zip(still.strips, fast.strips, strict=True)]
    middle = [g for g, s in zip(gains, fast.strips, strict=True) if abs(s.y) < 0.1]
    tips = [g for g, s in zip(gains, fast.strips, strict=True) if abs(s.y) > 0.3]
    assert min(middle) > 1.1 > 1.03 > max(tips) > 1.0
    assert still.lift < fast.lift < 1.69 * still.lift
    assert fast.roll == pytest.approx(0.0, abs=1e-9)


# --- controls --------------------------------------------------------------------------------


def moved(kind: str, *, role: str = "wing", dihedral: float = 0.0) -> Derivatives:
    angle = math.radians(dihedral)
    y, z = 0.5 * math.cos(angle), 0.5 * math.sin(angle)
    surface = chain(
        [station(0.0, chord=1 / 6), station(0.5, y=y, z=z, chord=1 / 6)],
        role=role,  # type: ignore[arg-type]
        controls=(control(kind, 0.25, 0.45, 0.25),),  # type: ignore[arg-type]
    )
    lattice = Lattice([surface])
    return work_out_derivatives(
        lattice, flow=Flow(), point=(-1.0, 0.0, 0.0), scale=Scale(1 / 6, 1.0, 1 / 6)
    )


def test_positive_deflections_give_negative_moments() -> None:
    """Etkin's convention, for a surface behind the point that moments are taken about."""
    assert moved("elevator").control("wing.control.pitch").pitch < 0.0
    assert moved("aileron").control("wing.control.roll").roll < 0.0
    elevon = moved("elevon")
    assert elevon.control("wing.control.pitch").pitch < 0.0
    assert elevon.control("wing.control.roll").roll < 0.0
    vee = moved("ruddervator", dihedral=35.0)
    assert vee.control("wing.control.pitch").pitch < 0.0
    assert vee.control("wing.control.yaw").yaw < 0.0
    assert vee.control("wing.control.yaw").side > 0.0
    assert moved("flap").control("wing.control.flap").lift > 0.0


def test_fins_turn_the_same_way_up_down_and_on_both_sides() -> None:
    """A rudder pushes the tail to starboard whether its fin stands up, hangs down or is a pair."""
    for z, y in ((0.3, 0.0), (-0.3, 0.0), (0.3, 0.2)):
        fin = chain(
            [station(0.0, y=y, chord=0.2), station(0.3, y=y, z=z, chord=0.15)],
            key="fin",
            role="fin",
            mirrored=y > 0.0,
            controls=(control("rudder", 0.0, 0.3, 0.4, "rudder"),),
        )
        lattice = Lattice([fin, trapezium(6.0, x=-1.0)])
        d = work_out_derivatives(
            lattice, flow=Flow(), point=(-1.0, 0.0, 0.0), scale=Scale(1 / 6, 1.0, 1 / 6)
        )
        assert d.control("fin.rudder.yaw").side > 0.0
        assert d.control("fin.rudder.yaw").yaw < 0.0


def test_a_full_span_flap_of_a_long_wing_is_glauerts() -> None:
    """Effectiveness 0.609 for a quarter chord (Glauert, ARC R&M 1095): lift for flap over lift for
    angle. In three dimensions the aft load makes a little more of it, by chord over span: 1/(2A).
    """
    for aspect in (10.0, 40.0):
        wing = trapezium(aspect, controls=(control("flap", 0.0, 0.5, 0.25),))
        lattice, scale = Lattice([wing], strips=12), scale_for(wing)
        d = work_out_derivatives(lattice, flow=Flow(), point=ORIGIN, scale=scale)
        ratio = d.control("wing.control.flap").lift / d.alpha.lift
        assert ratio == pytest.approx(0.6090, rel=0.5 / aspect)


def test_unknown_controls_and_states_are_refused() -> None:
    wing = trapezium(6.0)
    lattice, scale = Lattice([wing]), scale_for(wing)
    with pytest.raises(ValueError, match="no control mode 'rudder'"):
        loads_of(lattice, Flow(deflections={"rudder": 0.1}), scale)
    with pytest.raises(ValueError, match="no wash 'propeller'"):
        loads_of(lattice, Flow(washes={"propeller": 0.1}), scale)
    with pytest.raises(ValueError, match="not a number"):
        loads_of(lattice, Flow(alpha=math.nan), scale)
    with pytest.raises(ValueError, match="reference area"):
        Scale(area=0.0, span=1.0, chord=1.0)
    with pytest.raises(ValueError, match="rows and strips"):
        Lattice([wing], rows=0)
    with pytest.raises(ValueError, match="panels are more"):
        Lattice([wing], rows=50, strips=100)


def test_a_fin_alone_has_no_neutral_point() -> None:
    fin = chain(
        [station(0.0, chord=0.2), station(0.3, z=0.3, chord=0.2)], role="fin", mirrored=False
    )
    with pytest.raises(ValueError, match="no neutral point"):
        work_out_derivatives(Lattice([fin]), flow=Flow(), point=ORIGIN, scale=Scale(0.06, 0.3, 0.2))


def test_modes_are_named_by_surface_control_and_motion() -> None:
    frame = airframe_of(trainer())
    names = [mode.name for mode in control_modes(frame.surfaces)]
    assert "wing.ailerons.roll" in names
    assert scale_of(frame.reference).area == frame.reference.area


def test_small_step() -> None:
    """Lift is zero at zero for a flat wing and odd in the angle."""
    wing = trapezium(6.0)
    lattice, scale = Lattice([wing]), scale_for(wing)
    up, down = (loads_of(lattice, Flow(alpha=a), scale).lift for a in (SMALL, -SMALL))
    assert up == pytest.approx(-down)
    assert loads_of(lattice, Flow(), scale).lift == 0.0
