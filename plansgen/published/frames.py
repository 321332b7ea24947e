"""Trusses, braced beams, glued joints and wires against the texts of statics and strength."""

from __future__ import annotations

from functools import partial

from plansgen.library.models.parts import StickSize
from plansgen.published.case import Case
from plansgen.structure.braces import Brace, areas_of
from plansgen.structure.frame import (
    CLAMPED,
    Bar,
    Beam,
    Frame,
    FrameAnswer,
    Node,
    NodeLoad,
    solve_frame,
)
from plansgen.structure.glue import glue_stress

ROOM = "Frames, joints and wires"

_case = partial(Case, room=ROOM, relative=True, mark="derived")
_exact = partial(_case, tolerance=1e-6, why="Closed form, six digits.")
_JOINTS = "Beer & Johnston, Vector Mechanics for Engineers: Statics, truss by the method of joints"
_ROARK = "Roark's Formulas for Stress and Strain, table of beams"


def _truss() -> FrameAnswer:
    """A cantilever truss of seven bars, loads of 2000 and 1000 at its free end."""
    places = {
        "A": (0.0, 8.0),
        "B": (12.0, 8.0),
        "C": (24.0, 8.0),
        "D": (6.0, 0.0),
        "E": (18.0, 0.0),
    }
    held = {"C": (True, True), "E": (False, True)}
    nodes = tuple(
        Node(name, (*place, 0.0), (*held.get(name, (False, False)), *[True] * 4))
        for name, place in places.items()
    )
    pairs = ("AB", "AD", "DB", "DE", "BE", "BC", "CE")
    bars = tuple(Bar(pair, pair[0], pair[1], 1e6) for pair in pairs)
    loads = [NodeLoad("A", (0.0, -2000.0, 0.0)), NodeLoad("B", (0.0, -1000.0, 0.0))]
    return solve_frame(Frame(nodes, bars=bars), loads)


def _three_bars() -> FrameAnswer:
    """Three like bars on one pin, the outer ones at 45°, pulled by 1000 N."""
    nodes = (
        Node("pin", (0.0, 0.0, 0.0), (False, False, True, True, True, True)),
        *(Node(name, (x, 1.0, 0.0), CLAMPED) for name, x in (("l", -1.0), ("m", 0.0), ("r", 1.0))),
    )
    bars = tuple(Bar(f"to {name}", name, "pin", 5000.0) for name in "lmr")
    return solve_frame(Frame(nodes, bars=bars), [NodeLoad("pin", (0.0, -1000.0, 0.0))])


def _wing(*nodes: Node, bars: tuple[Bar, ...] = (), load: float) -> FrameAnswer:
    """A clamped spar of 500 mm, EI 2 N m², 10 N at 300 mm or at its tip."""
    spar = partial(Beam, axial=4e4, bending=2.0, side_bending=7.0, torsion=1.3)
    row = (Node("root", (0.0, 0.0, 0.0), CLAMPED), Node("middle", (0.0, 0.25, 0.0)), *nodes)
    beams = (spar("in", "root", "middle"), spar("out", "middle", "tip"))
    at = "middle" if any(node.name == "tip" and any(node.held) for node in nodes) else "tip"
    return solve_frame(Frame(row, beams, bars), [NodeLoad(at, (0.0, 0.0, load))])


def _two_wires(load: float) -> FrameAnswer:
    """A fitting between two like wires in line, both set to 10 N."""
    nodes = (
        Node("a", (0.0, 0.0, 0.0), CLAMPED),
        Node("fitting", (1.0, 0.0, 0.0), (False, *[True] * 5)),
        Node("b", (2.0, 0.0, 0.0), CLAMPED),
    )
    bars = tuple(
        Bar(name, start, end, 500.0, only_pulls=True, tension=10.0)
        for name, start, end in (("left", "a", "fitting"), ("right", "fitting", "b"))
    )
    return solve_frame(Frame(nodes, bars=bars), [NodeLoad("fitting", (load, 0.0, 0.0))])


def _strut(size: StickSize) -> Brace:
    """300 mm of a strut of 10 GPa that crushes at 40 MPa, far beyond where it bows."""
    area, second = areas_of(size)
    return Brace(
        part="strut",
        name="strut",
        kind="strut",
        material="any",
        start=(0.0, 0.0, 0.0),
        end=(0.0, 0.3, 0.0),
        ends=(None, None),
        count=1,
        area=area,
        second_moment=second,
        modulus=1e10,
        tension=6e7,
        compression=4e7,
        preload=None,
        diameter=None,
    )


def cases() -> tuple[Case, ...]:
    """Truss, three bars, propped and braced beam, preloaded wires, glue, tube and strip."""
    return (*_trusses(), *_beams(), *_wires(), *_sections())


def _trusses() -> tuple[Case, ...]:
    truss, pin = _truss(), _three_bars()
    return (
        _exact(
            key="truss-bc",
            title="Cantilever truss of seven bars, top bar at the wall",
            published=5250.0,
            ours=truss.tension["BC"],
            unit="lb",
            source=_JOINTS,
            mark="from memory",
        ),
        _exact(
            key="truss-ce",
            title="The same truss, pushed bar at the wall",
            published=-8750.0,
            ours=truss.tension["CE"],
            unit="lb",
            source=_JOINTS,
            mark="from memory",
        ),
        _exact(
            key="three-bars",
            title="Three like bars on one pin, outer ones at 45°, 1000 N: P/(1 + 2 cos³ 45°)",
            published=585.78644,
            ours=pin.tension["to m"],
            unit="N",
            source="S. Timoshenko, Strength of Materials I, statically indeterminate systems",
        ),
    )


def _beams() -> tuple[Case, ...]:
    free = _wing(Node("tip", (0.0, 0.5, 0.0)), load=10.0)
    held = (False, False, True, False, False, False)
    propped = _wing(Node("tip", (0.0, 0.5, 0.0), held), load=-16.0)
    foot = Node("foot", (0.0, 0.0, -0.2), CLAMPED)
    wire = Bar("wire", "foot", "tip", 900.0, only_pulls=True)
    braced = _wing(Node("tip", (0.0, 0.5, 0.0)), foot, bars=(wire,), load=10.0)
    return (
        _exact(
            key="cantilever-tip",
            title="Clamped spar of 500 mm, EI 2 N m², 10 N at its tip: P L³/3EI",
            published=208.33333,
            ours=free.moved["tip"][2] * 1000,
            unit="mm",
            source=_ROARK,
        ),
        _exact(
            key="propped-cantilever",
            title="Propped cantilever, 16 N in the middle: 5 P/16 on the prop",
            published=5.0,
            ours=propped.reactions["tip"][2],
            unit="N",
            source=_ROARK,
        ),
        _exact(
            key="braced-spar",
            title="The same spar with a lift wire (EA 900 N) from 200 mm below its root to its tip",
            published=22.216460,
            ours=braced.tension["wire"],
            unit="N",
            source="Force method: X (L_w/EA_w + sin² L³/3EI + cos² L/EA) = P sin L³/3EI",
        ),
    )


def _wires() -> tuple[Case, ...]:
    tight, loose = _two_wires(12.0), _two_wires(30.0)
    source = "J. E. Shigley, Mechanical Engineering Design, preloaded joint; in line, T ± F/2"
    return (
        _exact(
            key="preload-tight",
            title="Two like wires set to 10 N, 12 N on their fitting: the one that is relieved",
            published=4.0,
            ours=tight.tension["right"],
            unit="N",
            source=source,
        ),
        _exact(
            key="preload-used-up",
            title="The same wires under 30 N: one is slack, the other carries all",
            published=30.0,
            ours=loose.tension["left"],
            unit="N",
            source=source,
        ),
    )


def _sections() -> tuple[Case, ...]:
    tube = StickSize.model_validate({"diameter": "6 mm", "bore": "4 mm"})
    strip = StickSize.model_validate({"width": "10 mm", "height": "2 mm"})
    return (
        _exact(
            key="tube-second-moment",
            title="Tube 6 × 4 mm: π (D⁴ − d⁴)/64",
            published=51.050881,
            ours=areas_of(tube)[1] * 1e12,
            unit="mm⁴",
            source="Any handbook of sections",
        ),
        _case(
            key="euler-strip",
            title="Strut of a wing, 10 × 2 mm, 300 mm long, E 10 GPa, hinged: greatest push",
            published=7.311,
            ours=_strut(strip).push_strength,
            unit="N",
            tolerance=2e-4,
            why="The value is rounded to four digits.",
            source="L. Euler; S. Timoshenko & J. Gere, Theory of Elastic Stability",
        ),
        _exact(
            key="glue-patch",
            title="Glued face 80 × 12 mm under 2 N m and 10 N: T r/J + V/A",
            published=0.16493797,
            ours=glue_stress(moment=2.0, shear=10.0, length=0.08, height=0.012) / 1e6,
            unit="MPa",
            source="J. E. Shigley, Mechanical Engineering Design, eccentric loading of joints",
        ),
    )
