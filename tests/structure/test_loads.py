"""Masses along the span, and shear, bending and torsion that follow from them and from the air.

Outside checks (half an ellipse, inertia relief, Schrenk) stand in ``plansgen.published.loads``;
here are statics by hand and identities that any load must keep.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plansgen.airframe.build import LiftingSurface
from plansgen.atmosphere import GRAVITY
from plansgen.published.shapes import chain, station, trapezium
from plansgen.structure.along import Forces
from plansgen.structure.body_loads import beams_of, body_load
from plansgen.structure.grains import grains_of, total_mass
from plansgen.structure.masses import Holders
from plansgen.structure.span_loads import Loader, SpanLoad, span_load_of
from tests import designs
from tests.structure.loaded import Loaded, flying, loaded

ENTRIES = ("shear", "bending", "torque", "chord_shear", "chord_bending", "axial")


def point(
    place: tuple[float, float, float], force: tuple[float, float, float], span: float
) -> Forces:
    return Forces.points(np.array([place]), np.array([force]), np.array([span]))


def root(load: SpanLoad) -> list[float]:
    return [getattr(load, name)[0] for name in ENTRIES]


def tilted(dihedral: float) -> LiftingSurface:
    """Half a metre of straight wing, 200 mm of chord."""
    out, up = 0.5 * math.cos(dihedral), 0.5 * math.sin(dihedral)
    return chain([station(0.0, chord=0.2), station(0.5, y=out, z=up, chord=0.2)])


# --- statics by hand -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("place", "force", "wanted"),
    [
        ((0.05, 0.4, 0.0), (0.0, 0.0, 10.0), (10.0, 4.0, 0.0, 0.0, 0.0, 0.0)),
        ((0.00, 0.4, 0.0), (0.0, 0.0, 10.0), (10.0, 4.0, 0.5, 0.0, 0.0, 0.0)),
        ((0.05, 0.4, 0.0), (2.0, 0.0, 0.0), (0.0, 0.0, 0.0, 2.0, 0.8, 0.0)),
        ((0.05, 0.4, -0.1), (2.0, 0.0, 0.0), (0.0, 0.0, -0.2, 2.0, 0.8, 0.0)),
        ((0.05, 0.4, 0.0), (0.0, 3.0, 0.0), (0.0, 0.0, 0.0, 0.0, 0.0, 3.0)),
    ],
)
def test_signs_of_one_force_on_a_flat_half(
    place: tuple[float, float, float],
    force: tuple[float, float, float],
    wanted: tuple[float, ...],
) -> None:
    """Levers by hand: up bends the tip up, ahead of the axis turns the nose up, aft bends aft."""
    load = span_load_of(tilted(0.0), point(place, force, 0.4), case="c", axis=0.25)
    assert root(load) == pytest.approx(wanted, abs=1e-12)


def test_a_force_square_to_a_panel_with_dihedral_does_not_pull_along_it() -> None:
    """By hand: at 30° a force along the panel's normal is all shear, an upright one is not."""
    panel = tilted(math.radians(30))
    place = (0.05, 0.4 * math.cos(math.radians(30)), 0.2)
    square = span_load_of(
        panel, point(place, (0.0, -5.0, 5 * math.sqrt(3)), 0.4), case="c", axis=0.25
    )
    assert root(square) == pytest.approx((10.0, 4.0, 0.0, 0.0, 0.0, 0.0), abs=1e-12)
    upright = span_load_of(panel, point(place, (0.0, 0.0, 10.0), 0.4), case="c", axis=0.25)
    assert upright.shear[0] == pytest.approx(10 * math.cos(math.radians(30)))
    assert upright.axial[0] == pytest.approx(5.0)


def test_an_even_load_by_the_formula() -> None:
    """w (L − s) and w (L − s)²/2, J. M. Gere & S. P. Timoshenko, Mechanics of Materials."""
    edges = np.linspace(0.0, 0.5, 21)
    middles = (edges[1:] + edges[:-1]) / 2
    zero = np.zeros(20)
    forces = Forces(
        np.column_stack([zero + 0.05, middles, zero]),
        np.column_stack([zero, zero, zero + 0.5]),
        edges[:-1],
        edges[1:],
        np.tile([0.0, 1.0, 0.0], (20, 1)),
    )
    load = span_load_of(tilted(0.0), forces, case="c", axis=0.25)
    left = 0.5 - np.array(load.spans)
    assert load.shear == pytest.approx(20 * left, abs=1e-12)
    assert load.bending == pytest.approx(20 * left**2 / 2, abs=1e-12)


def test_both_sides_of_a_point_force_are_cut() -> None:
    load = span_load_of(tilted(0.0), point((0.05, 0.3, 0), (0, 0, 6.0), 0.3), case="c", axis=0.25)
    near = [(s, v) for s, v in zip(load.spans, load.shear, strict=True) if abs(s - 0.3) < 1e-5]
    assert min(near)[1] == pytest.approx(6.0)
    assert max(near)[1] == 0.0


def test_an_axis_outside_the_chord_is_refused() -> None:
    with pytest.raises(ValueError, match="within it"):
        span_load_of(tilted(0.0), Forces.none(), case="c", axis=1.2)


@settings(max_examples=30, deadline=None)
@given(
    dihedral=st.floats(-1.2, 1.2),
    span=st.floats(0.01, 0.49),
    force=st.tuples(*[st.floats(-20, 20)] * 3),
    share=st.floats(0.0, 1.0),
)
def test_a_cut_carries_the_whole_force_whatever_the_tilt(
    dihedral: float, span: float, force: tuple[float, float, float], share: float
) -> None:
    """Statics: the three forces at the root are the force itself, resolved along square axes."""
    panel = tilted(dihedral)
    place = (0.2 * share, span * math.cos(dihedral), span * math.sin(dihedral))
    load = span_load_of(panel, point(place, force, span), case="c", axis=0.25)
    found = math.hypot(load.shear[0], load.chord_shear[0], load.axial[0])
    assert found == pytest.approx(math.hypot(*force), abs=1e-9)
    assert [getattr(load, name)[-1] for name in ENTRIES] == [0.0] * 6


# --- masses --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "make", [flying, designs.tailless, designs.canard, designs.vee_tail, designs.gull]
)
def test_the_grains_are_the_balance(make: Callable[[], designs.Raw]) -> None:
    """Mass to the last digit, the balance point to a millimetre: it takes exact moments instead."""
    file = designs.file_of(make())
    balance = designs.balance_of(make())
    assert balance.ready is not None
    state = balance.ready.state
    grains = grains_of(file, designs.airframe_of(make()), balance, designs.stock(file))
    assert total_mass(grains) == pytest.approx(state.mass, rel=1e-12)
    assert sum(g.total * g.place[0] for g in grains) / state.mass == pytest.approx(
        state.x, abs=1e-3
    )
    roll = sum(g.total * (g.place[1] ** 2 + (g.place[2] - state.z) ** 2) for g in grains)
    assert roll == pytest.approx(state.ixx, rel=0.03)


def test_a_weighed_wing_keeps_its_weight() -> None:
    raw = flying()
    raw["surfaces"]["wing"]["measured"] = 400
    file = designs.file_of(raw)
    airframe = designs.airframe_of(raw)
    model = loaded()
    loader = Loader(file, airframe, designs.balance_of(raw), model.flight, designs.stock(file))
    own = [g for g in loader.grains if g.owner == "wing" and g.name not in ("glue", "paint")]
    assert total_mass(own) == pytest.approx(0.4, rel=1e-12)


def test_what_hangs_on_a_wing() -> None:
    """Nacelle and its motor hang on the wing where they sit; wheels and servo do not."""
    model = loaded()
    wing = model.airframe.surface("wing")
    carried = model.loader.holders.carried(wing, model.loader.grains)
    hung = {c.grain.owner or c.grain.name for c in carried if c.grain.owner != "wing"}
    assert hung == {"nacelle", "side motor"}
    spans = [c.span for c in carried if c.grain.name == "side motor"]
    assert spans == pytest.approx([0.2], abs=0.002)
    half = model.loader.carried_mass("wing")
    assert model.loader.whole_mass("wing") == pytest.approx(2 * half)


def test_fins_at_the_tips_hang_on_the_wing() -> None:
    raw = designs.tailless()
    airframe, file = designs.airframe_of(raw), designs.file_of(raw)
    grains = grains_of(file, airframe, designs.balance_of(raw), designs.stock(file))
    wing = airframe.surface("wing")
    carried = Holders(airframe).carried(wing, grains)
    spans = {c.span for c in carried if c.grain.owner == "fins"}
    assert sorted(spans) == pytest.approx([wing.stations[-1].span], abs=1e-3)


def test_a_tail_between_booms_hangs_on_the_wing_and_one_on_a_body_does_not() -> None:
    raw = designs.glider()
    frames = [{"x": 0, "width": 20, "height": 20}, {"x": 600, "width": 20, "height": 20}]
    boom = {"role": "boom", "at": {"x": 200, "y": 150}, "mirror": True, "stations": frames}
    raw["bodies"] = {"booms": boom}
    holders = Holders(designs.airframe_of(raw))
    assert list(holders.chain("tailplane")) == ["tailplane", "booms", "wing"]
    del boom["mirror"], boom["at"]["y"]
    holders = Holders(designs.airframe_of(raw))
    assert list(holders.chain("tailplane")) == ["tailplane"]


def test_a_thing_on_one_side_relieves_nothing() -> None:
    raw = flying()
    raw["items"] += [designs.item("lone camera", 50, x=200, y=300, z=20)]
    file = designs.file_of(raw)
    model = loaded()
    stock = designs.stock(file)
    loader = Loader(file, model.airframe, designs.balance_of(raw), model.flight, stock)
    assert loader.carried_mass("wing") == pytest.approx(model.loader.carried_mass("wing"))


# --- the air -------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["pull-up", "full-pull", "push", "gust-up", "gust-down"])
def test_the_air_lifts_what_the_case_says(key: str) -> None:
    """L = n W: both halves of every surface and what the body carries across, to a per cent."""
    model = loaded()
    case = model.cases[key]
    alpha, halves = model.loader.in_air(case)
    lift = 0.0
    for name, half in halves.items():
        upright = half.forces[:, 2] * math.cos(alpha) - half.forces[:, 0] * math.sin(alpha)
        lift += float(upright.sum()) * (2 if model.airframe.surface(name).mirrored else 1)
    weight = model.loader.state.mass * GRAVITY
    assert lift == pytest.approx(case.load_factor * weight, rel=0.01)


@pytest.mark.parametrize("key", ["pull-up", "elevator-nose-down"])
def test_both_halves_carry_the_same_in_straight_flight(key: str) -> None:
    """Symmetry of a symmetrical model in a symmetrical flow."""
    model = loaded()
    case = model.cases[key]
    (_, starboard), (_, port) = (
        model.loader.air.on_halves(case, port=side) for side in (False, True)
    )
    for surface in ("wing", "tailplane"):
        mirrored = port[surface].forces.sum(axis=0) * [1.0, -1.0, 1.0]
        assert starboard[surface].forces.sum(axis=0) == pytest.approx(mirrored, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("key", ["pull-up", "push", "gust-up", "hand-launch", "nose", "bench"])
@pytest.mark.parametrize("surface", ["wing", "tailplane"])
def test_the_lumps_are_the_load(key: str, surface: str) -> None:
    """The frame of a braced wing gets the same total force as the root of a free one."""
    model = loaded()
    load = model.loader.span_load(model.cases[key], surface, axis=0.3)
    total = np.sum([lump.force for lump in load.lumps], axis=0)
    carried = math.hypot(load.shear[0], load.chord_shear[0], load.axial[0])
    assert carried == pytest.approx(float(np.linalg.norm(total)), abs=1e-9)


@pytest.mark.parametrize("key", ["pull-up", "gust-down", "bench", "hand-launch"])
def test_bending_is_the_sum_of_shear(key: str) -> None:
    """dM/ds = −V between point forces, J. M. Gere & S. P. Timoshenko."""
    load = loaded().loader.span_load(loaded().cases[key], "wing", axis=0.3)
    both = [(load.shear, load.bending)]
    if key == "hand-launch":  # elsewhere what pulls along the panel ahead of the axis bends, too
        both.append((load.chord_shear, load.chord_bending))
    for shear, moment in both:
        area = np.concatenate(
            [[0.0], np.cumsum(np.diff(load.spans) * (np.add(shear[1:], shear[:-1]) / 2))]
        )
        assert moment[0] - np.array(moment) == pytest.approx(area, abs=0.01 * max(map(abs, moment)))


@pytest.mark.parametrize("key", ["pull-up", "push", "gust-up", "nose", "wing-tip", "bench"])
def test_the_tip_is_free(key: str) -> None:
    model = loaded()
    for surface in ("wing", "tailplane"):
        load = model.loader.span_load(model.cases[key], surface, axis=0.3)
        assert [getattr(load, name)[-1] for name in ENTRIES] == pytest.approx([0.0] * 6, abs=1e-9)
        assert load.spans[0] == 0.0
        assert len(load.spans) >= 61


def test_a_wing_pulls_its_own_weight_up_n_times() -> None:
    """By hand: root shear is half the lift of the wing less n times the half wing's weight."""
    model = loaded()
    case = model.cases["pull-up"]
    load = model.loader.span_load(case, "wing", axis=0.3)
    alpha, halves = model.loader.in_air(case)
    air = halves["wing"].forces.sum(axis=0)
    pull = case.load_factor * GRAVITY * model.loader.carried_mass("wing")
    up = float(air[2]) - pull * math.cos(alpha)
    aft = float(air[0]) + pull * math.sin(alpha)
    tilt = math.atan2(0.04, 0.5)
    side = float(air[1])
    assert load.shear[0] == pytest.approx(up * math.cos(tilt) - side * math.sin(tilt), rel=1e-9)
    assert load.chord_shear[0] == pytest.approx(aft, rel=1e-9)


def test_lift_leans_forward_when_the_wing_pulls_hard() -> None:
    """L sin α forward is more than the drag near the stall of any good wing."""
    load = loaded().loader.span_load(loaded().cases["pull-up"], "wing", axis=0.3)
    slow = loaded().loader.span_load(loaded().cases["push"], "wing", axis=0.3)
    assert load.chord_shear[0] < slow.chord_shear[0]


def test_up_elevator_pushes_the_tail_down_and_turns_its_nose_up() -> None:
    model = loaded()
    up = model.loader.span_load(model.cases["elevator-nose-up"], "tailplane", axis=0.3)
    down = model.loader.span_load(model.cases["elevator-nose-down"], "tailplane", axis=0.3)
    assert up.bending[0] < 0.0 < down.bending[0]
    assert up.torque[0] > 0.0 > down.torque[0]


def elevons() -> designs.Raw:
    raw = designs.tailless()
    raw["surfaces"]["wing"]["controls"] = {
        "elevon": {"kind": "elevon", "from": 200, "to": 480, "chord": 0.25}
    }
    return raw


@pytest.mark.parametrize("make", [flying, elevons])
@pytest.mark.parametrize("way", ["up", "down"])
def test_a_model_heaves_at_once_under_a_control_thrown_over(
    make: Callable[[], designs.Raw], way: str
) -> None:
    """Newton: what the air pushes along the lift is n times the weight, no more and no less."""
    model = loaded(make)
    case = model.cases[f"elevator-nose-{way}"]
    alpha, halves = model.loader.in_air(case)
    up = np.array([-math.sin(alpha), 0.0, math.cos(alpha)])
    lift = 0.0
    for name, half in halves.items():
        lift += float(half.forces.sum(axis=0) @ up) * (
            2 if model.airframe.surface(name).mirrored else 1
        )
    felt = model.loader.field(case, np.zeros((1, 3)))[0]
    assert lift == pytest.approx(-float(felt @ up) * model.loader.state.mass, rel=0.02)
    factor = model.loader.air.load_factor(case)
    assert (factor < 1.0) == (way == "up")  # a tail or elevon that lifts the nose pushes down


def test_the_rudder_hardly_lifts() -> None:
    model = loaded()
    assert model.loader.air.load_factor(model.cases["rudder-one-way"]) == pytest.approx(1, abs=0.05)


def test_air_from_starboard_pushes_the_fin_to_port() -> None:
    """On a fin, up is to port."""
    load = loaded().loader.span_load(loaded().cases["side-gust"], "fin", axis=0.3)
    assert load.shear[0] > 0.0
    assert load.bending[0] > 0.0


# --- on the ground -------------------------------------------------------------------------------


def test_a_throw_leaves_the_wing_behind() -> None:
    """F = m a, by hand."""
    model = loaded()
    case = model.cases["hand-launch"]
    load = model.loader.span_load(case, "wing", axis=0.3)
    assert load.chord_shear[0] == pytest.approx(model.loader.carried_mass("wing") * case.along)
    assert load.bending[0] < 0.0


def test_the_bench_holds_half_the_wing_at_each_tip() -> None:
    """Two supports at the tips: no shear in the middle, bending up (Gere & Timoshenko)."""
    model = loaded()
    load = model.loader.span_load(model.cases["bench"], "wing", axis=0.3)
    assert load.shear[0] == pytest.approx(0.0, abs=1e-9)
    assert load.torque[0] == pytest.approx(0.0, abs=1e-3)
    weight = model.loader.carried_mass("wing") * GRAVITY
    carried = model.loader.holders.carried(model.airframe.surface("wing"), model.loader.grains)
    arm = sum(c.grain.mass * c.span for c in carried) * GRAVITY
    length = model.airframe.surface("wing").stations[-1].span
    flat = math.cos(math.atan2(0.04, 0.5))
    assert load.bending[0] == pytest.approx((weight * length - arm) * flat, rel=0.01)


def test_a_struck_tip_accelerates_the_rest() -> None:
    """Newton: with both halves the forces of the free model add up to nothing."""
    model = loaded()
    case = model.cases["wing-tip"]
    grains = model.loader.grains
    starboard = np.array([g.place for g in grains])
    mirror = starboard * [1.0, -1.0, 1.0]
    mass = np.array([g.mass for g in grains])
    pair = np.array([g.pair for g in grains])
    push = mass @ model.loader.field(case, starboard) + (mass * pair) @ model.loader.field(
        case, mirror
    )
    assert push[2] == pytest.approx(-case.force, rel=0.01)
    load = model.loader.span_load(case, "wing", axis=0.3)
    assert load.bending[0] > 0.0


# --- bodies --------------------------------------------------------------------------------------


def fuselage(model: Loaded) -> designs.Any:
    return next(b for b in model.airframe.bodies if b.key == "fuselage")


def test_the_tail_bends_the_body() -> None:
    """By hand: the tail's air force less what it weighs n times, at its lever."""
    model = loaded()
    case = model.cases["elevator-nose-up"]
    load = body_load(model.loader, case, fuselage(model))
    assert load is not None
    assert load.bending[0] < 0.0
    _, halves = model.loader.in_air(case)
    air = 2 * float(halves["tailplane"].forces[:, 2].sum()) + float(
        halves["fin"].forces[:, 2].sum()
    )
    aft = sum(
        g.total
        for g in model.loader.grains
        if g.place[0] > load.xs[0] and g.owner not in ("wing", "nacelle")
    )
    alpha, _ = model.loader.in_air(case)
    felt = model.loader.air.load_factor(case) * GRAVITY  # the tail pushes the whole model down
    assert load.shear[0] == pytest.approx(air - aft * felt * math.cos(alpha), rel=1e-6)
    assert load.side_bending[0] == pytest.approx(0.0, abs=1e-9)


def test_the_fin_bends_and_twists_the_body() -> None:
    model = loaded()
    load = body_load(model.loader, model.cases["side-gust"], fuselage(model))
    assert load is not None
    assert load.side_shear[0] < 0.0  # air from starboard pushes to port
    assert load.side_bending[0] < 0.0
    air = model.loader.air.on_halves(model.cases["side-gust"])[1]
    other = model.loader.air.on_halves(model.cases["side-gust"], port=True)[1]["tailplane"]
    height = np.interp(load.xs[0], [f.x for f in fuselage(model).frames], [0.0, 0.0, 0.01])
    twist = 0.0
    for half in (air["fin"], air["tailplane"], other):
        arm, force = half.places - [0.0, 0.0, height], half.forces
        twist += float((arm[:, 1] * force[:, 2] - arm[:, 2] * force[:, 1]).sum())
    assert load.torque[0] == pytest.approx(twist, abs=1e-6)


def test_the_nose_carries_what_stops_the_model() -> None:
    """Newton: behind the nose, the ground's push less what stops the part ahead."""
    model = loaded()
    case = model.cases["nose"]
    load = body_load(model.loader, case, fuselage(model), end="nose")
    assert load is not None
    ahead = sum(
        g.total
        for g in model.loader.grains
        if g.place[0] < load.xs[0] and g.owner not in ("wing", "nacelle") and g.name != "side motor"
    )
    push = -case.along * (model.loader.state.mass - ahead)
    assert load.axial[0] == pytest.approx(-push, rel=1e-6)


def test_a_nacelle_hangs_forward_of_the_wing() -> None:
    model = loaded()
    nacelle = next(b for b in model.airframe.bodies if b.key == "nacelle")
    assert nacelle in beams_of(model.loader)
    load = body_load(model.loader, model.cases["pull-up"], nacelle, end="nose")
    assert load is not None
    assert load.bending[0] < 0.0


def test_a_straight_wing_is_the_same_wherever_it_is_cut() -> None:
    """Torque about another axis differs by shear times the way between: statics."""
    model = loaded()
    case = model.cases["full-pull"]
    one, two = (model.loader.span_load(case, "wing", axis=a) for a in (0.25, 0.35))
    assert one.bending == pytest.approx(two.bending)
    step = 0.1 * 0.2
    moved = np.array(one.torque) + step * np.array(one.shear)
    assert two.torque == pytest.approx(moved, abs=1e-9)


def test_more_load_bends_more() -> None:
    """All but linear in n: within a few per cent, as angle and trim change with it."""
    model = loaded()
    pull, full = model.cases["pull-up"], model.cases["full-pull"]
    one, two = (model.loader.span_load(c, "wing", axis=0.3).bending[0] for c in (pull, full))
    assert two / one == pytest.approx(full.load_factor / pull.load_factor, rel=0.05)


def test_aspect_of_the_published_wing() -> None:
    """The wing of the checks from outside has the span that they are stated for."""
    assert trapezium(6.0).stations[-1].span == 0.5
