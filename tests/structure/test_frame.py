"""The frame against trusses worked by hand, closed forms and a general-purpose frame library."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from Pynite import FEModel3D

from plansgen.structure.frame import (
    CLAMPED,
    PINNED,
    Bar,
    Beam,
    Frame,
    Node,
    NodeLoad,
    UnstableFrame,
    rigged,
    solve_frame,
)

FLAT = (False, False, True, True, True, False)  # a node of a frame in the x–y plane
EXACT = 1e-9


def test_cantilever_truss_by_the_method_of_joints() -> None:
    """Beer & Johnston, Vector Mechanics: Statics, sample problem 6.1, from memory; by hand again.

    A: AD = 2000/0.8 pushes, AB = 0.6 AD. D: DB = AD pulls, DE = 2 × 0.6 AD. B: BE carries
    1000 + 0.8 DB over 0.8; BC = AB + 0.6 (DB + BE). E: CE from EC_x = DE + 0.6 BE over 0.6.
    """
    places = {"A": (0, 8), "B": (12, 8), "C": (24, 8), "D": (6, 0), "E": (18, 0)}
    held = {"C": (True, True, True), "E": (False, True, True)}
    nodes = tuple(
        Node(name, (float(x), float(y), 0.0), (*held.get(name, (False, False, True)), *[True] * 3))
        for name, (x, y) in places.items()
    )
    bars = tuple(
        Bar(pair, pair[0], pair[1], 1e6) for pair in ("AB", "AD", "DB", "DE", "BE", "BC", "CE")
    )
    loads = [NodeLoad("A", (0, -2000, 0)), NodeLoad("B", (0, -1000, 0))]
    answer = solve_frame(Frame(nodes, bars=bars), loads)
    by_hand = {
        "AB": 1500,
        "AD": -2500,
        "DB": 2500,
        "DE": -3000,
        "BE": -3750,
        "BC": 5250,
        "CE": -8750,
    }
    assert dict(answer.tension) == pytest.approx(by_hand)
    assert answer.reactions["E"][1] == pytest.approx(10000)
    assert answer.reactions["C"][:2] == pytest.approx((0, -7000), abs=1e-6)


@pytest.mark.parametrize("angle", [20, 45, 70])
def test_three_bars_on_one_pin(angle: float) -> None:
    """Timoshenko, Strength of Materials I, statically indeterminate systems: P/(1 + 2 cos³α)."""
    a = math.radians(angle)
    nodes = (
        Node("pin", (0, 0, 0), (False, False, True, True, True, True)),
        Node("left", (-math.tan(a), 1, 0), CLAMPED),
        Node("middle", (0, 1, 0), CLAMPED),
        Node("right", (math.tan(a), 1, 0), CLAMPED),
    )
    bars = tuple(Bar(f"to {n.name}", n.name, "pin", 5e3) for n in nodes[1:])
    answer = solve_frame(Frame(nodes, bars=bars), [NodeLoad("pin", (0, -100, 0))])
    middle = 100 / (1 + 2 * math.cos(a) ** 3)
    assert answer.tension["to middle"] == pytest.approx(middle, rel=EXACT)
    assert answer.tension["to left"] == pytest.approx(middle * math.cos(a) ** 2, rel=EXACT)
    assert answer.moved["pin"][1] == pytest.approx(-middle / 5e3, rel=EXACT)


def beam(name: str, start: str, end: str, **given: float) -> Beam:
    stiff = {"axial": 4e4, "bending": 2.0, "side_bending": 7.0, "torsion": 1.3} | given
    return Beam(name, start, end, **stiff)  # type: ignore[arg-type]


def test_cantilever_tip() -> None:
    """P L³/3EI about either axis, T L/GJ, P L/EA (any text of strength of materials)."""
    frame = Frame(
        (Node("wall", (0, 0, 0), CLAMPED), Node("tip", (0, 0.5, 0))), (beam("b", "wall", "tip"),)
    )
    moved = solve_frame(frame, [NodeLoad("tip", (2, 3, 4), (0, 0.1, 0))]).moved["tip"]
    assert moved[2] == pytest.approx(4 * 0.125 / 3 / 2.0, rel=EXACT)
    assert moved[0] == pytest.approx(2 * 0.125 / 3 / 7.0, rel=EXACT)
    assert moved[1] == pytest.approx(3 * 0.5 / 4e4, rel=EXACT)
    assert moved[4] == pytest.approx(0.1 * 0.5 / 1.3, rel=EXACT)
    assert moved[3] == pytest.approx(4 * 0.25 / 2 / 2.0, rel=EXACT)


def test_propped_cantilever_with_a_load_in_the_middle() -> None:
    """Prop 5P/16, moment at the wall 3PL/16 (Roark, table of beams, case 1c)."""
    nodes = (
        Node("wall", (0, 0, 0), CLAMPED),
        Node("middle", (0.5, 0, 0)),
        Node("prop", (1, 0, 0), (False, False, True, False, False, False)),
    )
    beams = (beam("a", "wall", "middle"), beam("b", "middle", "prop"))
    answer = solve_frame(Frame(nodes, beams), [NodeLoad("middle", (0, 0, -16))])
    assert answer.reactions["prop"][2] == pytest.approx(5, rel=EXACT)
    assert answer.reactions["wall"][4] == pytest.approx(-3, rel=EXACT)
    assert answer.ends["a"][4] == pytest.approx(-3, rel=EXACT)


def test_propped_cantilever_under_an_even_load() -> None:
    """Prop 3wL/8 (Roark, case 2c), with the load on 20 pieces as its fixed-end forces."""
    count, load = 20, 8.0
    piece = 1 / count
    nodes = [Node("n0", (0, 0, 0), CLAMPED)]
    nodes += [Node(f"n{i}", (i * piece, 0, 0)) for i in range(1, count)]
    nodes += [Node(f"n{count}", (1, 0, 0), (False, False, True, False, False, False))]
    beams = tuple(beam(f"b{i}", f"n{i}", f"n{i + 1}") for i in range(count))
    half, turn = load * piece / 2, load * piece**2 / 12
    loads = [
        NodeLoad(f"n{i + at}", (0, 0, -half), (0, turn * sign, 0))
        for i in range(count)
        for at, sign in ((0, 1), (1, -1))
    ]
    answer = solve_frame(Frame(tuple(nodes), beams), loads)
    assert answer.reactions[f"n{count}"][2] == pytest.approx(3, rel=1e-8)


def braced(*, only_pulls: bool = True, tension: float = 0.0, below: float = -0.4) -> Frame:
    """A cantilever of 1 m along y, held at its tip by a wire from the wall below."""
    nodes = (
        Node("wall", (0, 0, 0), CLAMPED),
        Node("foot", (0, 0, below), PINNED),
        Node("tip", (0, 1, 0)),
    )
    wire = Bar("wire", "foot", "tip", 900.0, only_pulls=only_pulls, tension=tension)
    return Frame(nodes, (beam("b", "wall", "tip"),), (wire,))


def by_the_force_method(load: float, below: float) -> float:
    """X (L_w/EA_w + sin² L³/3EI + cos² L/EA) = P sin L³/3EI: the wire's force, cut and closed."""
    length = math.hypot(1, below)
    sin, cos = -below / length, 1 / length
    give = length / 900 + sin**2 / 3 / 2.0 + cos**2 / 4e4
    return load * sin / 3 / 2.0 / give


@pytest.mark.parametrize("below", [-0.4, -0.1, 0.3])
def test_braced_beam_by_the_force_method(below: float) -> None:
    answer = solve_frame(braced(only_pulls=False, below=below), [NodeLoad("tip", (0, 0, 10))])
    assert answer.tension["wire"] == pytest.approx(by_the_force_method(10, below), rel=EXACT)


def test_a_wire_goes_slack_when_pushed_and_the_beam_is_alone() -> None:
    answer = solve_frame(braced(), [NodeLoad("tip", (0, 0, -10))])
    assert answer.slack == ("wire",)
    assert answer.tension["wire"] == 0
    assert answer.moved["tip"][2] == pytest.approx(-10 / 3 / 2.0, rel=EXACT)


def strung(load: float) -> dict[str, float]:
    """A bead between two like wires set to 10 N, pushed along them."""
    nodes = (
        Node("a", (0, 0, 0), CLAMPED),
        Node("bead", (1, 0, 0), (False, True, True, True, True, True)),
        Node("b", (2, 0, 0), CLAMPED),
    )
    bars = tuple(
        Bar(name, start, end, 500.0, only_pulls=True, tension=10.0)
        for name, start, end in (("left", "a", "bead"), ("right", "bead", "b"))
    )
    return dict(solve_frame(Frame(nodes, bars=bars), [NodeLoad("bead", (load, 0, 0))]).tension)


def test_preload_is_used_up_before_a_wire_goes_slack() -> None:
    """As in a bolted joint: T ± F/2 while both pull, then one carries all (closed form)."""
    assert strung(12.0) == pytest.approx({"left": 16.0, "right": 4.0})
    assert strung(19.9) == pytest.approx({"left": 19.95, "right": 0.05})
    assert strung(30.0) == pytest.approx({"left": 30.0, "right": 0.0})
    assert strung(-30.0) == pytest.approx({"left": 0.0, "right": 30.0})


def test_springs_carry_their_share() -> None:
    """A clamped beam and a spring at its tip: in proportion to their stiffness."""
    tip = Node("tip", (0, 1, 0), springs=(0, 0, 18.0, 0, 0, 0))
    frame = Frame((Node("wall", (0, 0, 0), CLAMPED), tip), (beam("b", "wall", "tip"),))
    answer = solve_frame(frame, [NodeLoad("tip", (0, 0, 24))])
    assert answer.moved["tip"][2] == pytest.approx(1.0, rel=EXACT)  # 3EI/L³ = 6 N/m and 18 N/m
    assert answer.reactions["tip"][2] == pytest.approx(-18.0, rel=EXACT)


# --- against the general-purpose frame library PyNite 3.2 -----------------------------------------

E, G = 1.0, 0.4
SECTION = {"axial": 4e4, "bending": 2.0, "side_bending": 7.0, "torsion": 1.3}


def peer(frame: Frame, loads: list[NodeLoad]) -> FEModel3D:
    """The same frame there: wire ends off the node sit on links a million times stiffer.

    Its y is up where ours is z, so x, y, z become z, x, y.
    """
    model = FEModel3D()
    model.add_material("m", E, G, 0.25, 0.0)
    link = 1e6
    model.add_section("link", link, link, link, link)
    for node in frame.nodes:
        model.add_node(node.name, *turned(node.place))
        held = dict(zip(("DX", "DY", "DZ", "RX", "RY", "RZ"), turned_flags(node.held), strict=True))
        model.def_support(node.name, **{f"support_{key}": on for key, on in held.items()})
    for part in frame.beams:
        # Ours along y lies there along x, with y up: their Iz resists loads along up.
        model.add_section(part.name, part.axial, part.side_bending, part.bending, part.torsion / G)
        model.add_member(part.name, part.start, part.end, "m", part.name)
    for bar in frame.bars:
        ends = []
        for name, arm in ((bar.start, bar.start_offset), (bar.end, bar.end_offset)):
            if not any(arm):
                ends.append(name)
                continue
            place = next(node.place for node in frame.nodes if node.name == name)
            post = f"{bar.name} post {name}"
            there = tuple(p + a for p, a in zip(place, arm, strict=True))
            model.add_node(post, *turned(there))
            model.add_member(f"link {post}", name, post, "m", "link")
            ends.append(post)
        a, b = (np.array([model.nodes[e].X, model.nodes[e].Y, model.nodes[e].Z]) for e in ends)
        stiffness = bar.stiffness / float(np.linalg.norm(b - a))
        model.add_spring(bar.name, *ends, stiffness, tension_only=bar.only_pulls)
    for load in loads:
        for direction, value in zip(("FX", "FY", "FZ"), turned(load.force), strict=True):
            model.add_node_load(load.node, direction, value)
        for direction, value in zip(("MX", "MY", "MZ"), turned(load.moment), strict=True):
            model.add_node_load(load.node, direction, value)
    model.analyze(check_stability=False)
    return model


def turned(v: tuple[float, ...]) -> tuple[float, float, float]:
    return (v[1], v[2], v[0])


def turned_flags(held: tuple[bool, ...]) -> tuple[bool, ...]:
    return (held[1], held[2], held[0], held[4], held[5], held[3])


def braced_wing() -> tuple[Frame, list[NodeLoad]]:
    """A half wing of six pieces with a lift wire, a landing wire, a drag and an anti-drag wire."""
    nodes = [Node("n0", (0, 0, 0), CLAMPED)]
    nodes += [Node(f"n{i}", (0, 0.1 * i, 0)) for i in range(1, 7)]
    nodes += [
        Node("keel", (0.02, 0, -0.12), CLAMPED),
        Node("mast", (0, 0, 0.1), CLAMPED),
        Node("nose", (-0.2, 0, 0), CLAMPED),
        Node("tail", (0.25, 0, 0.01), CLAMPED),
    ]
    beams = tuple(
        Beam(f"b{i}", f"n{i}", f"n{i + 1}", **SECTION)  # type: ignore[arg-type]
        for i in range(6)
    )
    wires = (
        Bar("lift", "keel", "n4", 1200.0, True, end_offset=(0.01, 0, -0.015)),
        Bar("landing", "mast", "n4", 1200.0, True, end_offset=(0.01, 0, 0.015)),
        Bar("anti-drag", "nose", "n4", 800.0, True, end_offset=(-0.06, 0, 0)),
        Bar("drag", "tail", "n3", 800.0, True, end_offset=(0.1, 0, 0.0)),
    )
    loads = [NodeLoad(f"n{i}", (0.2 * i, 0.1, 3.0 - 0.2 * i), (0, 0.05, 0)) for i in range(1, 7)]
    return Frame(tuple(nodes), beams, wires), loads


@pytest.mark.parametrize("slack", [False, True], ids=["all hold", "wires may go slack"])
@pytest.mark.parametrize("sign", [1, -1], ids=["pull-up", "pushed"])
def test_braced_wing_like_the_reference_library(slack: bool, sign: int) -> None:
    """Their links have some give, so 1 part in 10,000."""
    frame, loads = braced_wing()
    frame = replace(frame, bars=tuple(replace(bar, only_pulls=slack) for bar in frame.bars))
    loads = [
        replace(load, force=tuple(sign * f for f in load.force))  # type: ignore[arg-type]
        for load in loads
    ]
    ours, theirs = solve_frame(frame, loads), peer(frame, loads)
    for bar in frame.bars:
        there = theirs.springs[bar.name]
        force = there.axial() if there.active["Combo 1"] else 0.0
        assert abs(ours.tension[bar.name]) == pytest.approx(abs(force), rel=1e-4, abs=1e-6)
    for node in frame.nodes:
        there = theirs.nodes[node.name]
        moves = (there.DZ["Combo 1"], there.DX["Combo 1"], there.DY["Combo 1"])
        turns = (there.RZ["Combo 1"], there.RX["Combo 1"], there.RY["Combo 1"])
        assert ours.moved[node.name] == pytest.approx((*moves, *turns), rel=1e-4, abs=1e-7)
    if slack:
        upright = "landing" if sign > 0 else "lift"
        assert upright in ours.slack
        assert {"drag", "anti-drag"} & set(ours.slack)


# --- what must hold of any frame ------------------------------------------------------------------


def test_forces_and_moments_add_up_to_nothing() -> None:
    frame, loads = braced_wing()
    answer = solve_frame(frame, loads)
    total = np.zeros(6)
    places = {node.name: np.array(node.place) for node in frame.nodes}
    outside = [(load.node, load.force, load.moment) for load in loads]
    outside += [(name, r[:3], r[3:]) for name, r in answer.reactions.items()]
    for name, force, moment in outside:
        total[:3] += force
        total[3:] += np.cross(places[name], force) + moment
    assert total == pytest.approx(np.zeros(6), abs=1e-8)


def test_one_place_moves_under_a_load_at_the_other_as_the_other_does() -> None:
    """Maxwell's theorem of reciprocal deflections; with every wire holding."""
    frame, _ = braced_wing()
    frame = replace(frame, bars=tuple(replace(bar, only_pulls=False) for bar in frame.bars))
    here = solve_frame(frame, [NodeLoad("n2", (0, 0, 1.0))]).moved["n6"]
    there = solve_frame(frame, [NodeLoad("n6", (0, 1.0, 0), (0, 2.0, 0))]).moved["n2"]
    assert here[1] + 2.0 * here[4] == pytest.approx(there[2], rel=1e-9)


def test_wires_are_set_to_what_was_asked() -> None:
    frame, _ = braced_wing()
    wanted = {"lift": 5.0, "landing": 6.0, "anti-drag": 3.0, "drag": 2.0}
    set_up = rigged(frame, wanted)
    assert set_up is not None
    assert dict(solve_frame(set_up).tension) == pytest.approx(wanted)


def test_a_wire_with_nothing_to_pull_against_cannot_be_set() -> None:
    nodes = (
        Node("a", (0, 0, 0), CLAMPED),
        Node("end", (0, 1, 0), (True, False, True, True, True, True)),
    )
    assert rigged(Frame(nodes, bars=(Bar("wire", "a", "end", 100.0, True),)), {"wire": 5.0}) is None


def test_same_input_same_output() -> None:
    frame, loads = braced_wing()
    assert solve_frame(frame, loads) == solve_frame(frame, loads)


@pytest.mark.parametrize(
    ("frame", "loads", "told"),
    [
        (
            Frame((Node("a", (0, 0, 0)), Node("b", (0, 1, 0))), (beam("b1", "a", "b"),)),
            [],
            "without resistance",
        ),
        (
            Frame(
                (Node("a", (0, 0, 0), CLAMPED), Node("tip", (1, 0, 0))),
                bars=(Bar("w", "a", "tip", 5.0),),
            ),
            [],
            "tip moves along y without resistance",
        ),
        (
            Frame(
                (Node("a", (0, 0, 0), CLAMPED), Node("tip", (1, 0, 0), (False, *[True] * 5))),
                bars=(Bar("w", "a", "tip", 5.0, True),),
            ),
            [NodeLoad("tip", (-1, 0, 0))],
            "tip moves along x without resistance",
        ),
        (
            Frame(
                (Node("a", (0, 0, 0), CLAMPED), Node("tip", (1, 0, 0), PINNED)),
                bars=(Bar("w", "a", "tip", 5.0),),
            ),
            [NodeLoad("tip", moment=(1, 0, 0))],
            "only hinged bars meet",
        ),
        (Frame((Node("a", (0, 0, 0), CLAMPED),)), [NodeLoad("b")], "there is no node b"),
        (
            Frame((Node("a", (0, 0, 0)), Node("b", (0, 0, 0))), (beam("c", "a", "b"),)),
            [],
            "c has no length",
        ),
        (
            Frame((Node("a", (0, 0, 0)), Node("b", (0, 0, 1))), (beam("c", "a", "b"),)),
            [],
            "c runs along its up direction",
        ),
        (
            Frame((Node("a", (0, 0, 0)), Node("b", (0, 0, 0))), bars=(Bar("c", "a", "b", 1.0),)),
            [],
            "c has no length",
        ),
        (Frame((Node("a", (0, 0, 0)), Node("a", (0, 0, 1)))), [], "same name"),
    ],
)
def test_what_cannot_stand_is_refused(frame: Frame, loads: list[NodeLoad], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        solve_frame(frame, loads)


def test_a_hinge_that_two_beams_make_is_told_with_its_node() -> None:
    """Two bars in one line, the middle free to move aside."""
    nodes = (
        Node("a", (0, 0, 0), CLAMPED),
        Node("middle", (0, 1, 0)),
        Node("b", (0, 2, 0), CLAMPED),
    )
    bars = (Bar("1", "a", "middle", 5.0), Bar("2", "middle", "b", 5.0))
    with pytest.raises(UnstableFrame, match="middle moves along x"):
        solve_frame(Frame(nodes, bars=bars))
    with pytest.raises(ValueError, match="there is no bar 3"):
        rigged(Frame(nodes, bars=bars), {"3": 1.0})
