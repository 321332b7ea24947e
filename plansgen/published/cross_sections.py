"""Cuts through hollow boxes, strips and tubes against closed forms and other programs."""

from __future__ import annotations

from functools import partial

from plansgen.published.case import Case
from plansgen.structure.buckling import column_load
from plansgen.structure.builder import Builder
from plansgen.structure.comparison import stick_on_edge_against_flat
from plansgen.structure.elastic import Solid
from plansgen.structure.section import Cut, CutProperties, Piece, Place, properties
from plansgen.structure.strips import rectangle_torsion

ROOM = "Cross-sections"

_GERE = "J. M. Gere & S. P. Timoshenko, Mechanics of Materials, closed form worked out"
_FINITE = "Finite elements: sectionproperties 3.10.2, triangle mesh of the whole wall"
_EXACT = "Closed form, six digits."

_case = partial(Case, room=ROOM, unit="mm⁴", relative=True, mark="derived")
_exact = partial(_case, source=_GERE, tolerance=2e-6, why=_EXACT)

_ONE = Solid("one", 1.0, 1.0, 1.0, 1.0, 1.0, 0.0)
_STIFF = Solid("stiff", 500.0, 1.0, 1.0, 1.0, 1.0, 0.0)


def _of(*pieces: Piece) -> CutProperties:
    return properties(Cut(0.0, pieces))


def _strip(start: Place, end: Place, thickness: float, solid: Solid = _ONE) -> Piece:
    return Piece("strip", solid, start, end, thickness)


def _box() -> tuple[Piece, ...]:
    """60 wide, 40 high, wall 5, with the whole of its corners."""
    return (
        _strip((-30, 17.5), (30, 17.5), 5),
        _strip((-30, -17.5), (30, -17.5), 5),
        _strip((-27.5, -15), (-27.5, 15), 5),
        _strip((27.5, -15), (27.5, 15), 5),
    )


def _middle_lines() -> tuple[Piece, ...]:
    """The same box by its middle lines, joined at the corners, as torsion needs it."""
    corners = ((27.5, 17.5), (27.5, -17.5), (-27.5, -17.5), (-27.5, 17.5))
    ends = zip(corners, (*corners[1:], corners[0]), strict=True)
    return tuple(_strip(a, b, 5) for a, b in ends)


def _tube(diameter: float, bore: float) -> CutProperties:
    builder = Builder()
    builder.ring("tube", _ONE, (0.0, 0.0), diameter=diameter, bore=bore)
    return properties(builder.cut(0.0, axis=None))


def _boxes() -> tuple[Case, ...]:
    caps = (_strip((-5, 21), (5, 21), 2, _STIFF), _strip((-5, -21), (5, -21), 2, _STIFF))
    plain, one = _of(*_box()), _of(*_box(), caps[0])
    return (
        _exact(
            key="box-area",
            title="Hollow box 60 × 40 × 5: area",
            published=900.0,
            ours=plain.axial,
            unit="mm²",
        ),
        _exact(
            key="box-flat", title="The same: I, bent up", published=207500.0, ours=plain.bending
        ),
        _exact(
            key="box-aft",
            title="The same: I, bent aft",
            published=407500.0,
            ours=plain.chord_bending,
        ),
        _exact(
            key="box-capped",
            title="The same with caps 10 × 2 of 500 times the modulus on top and bottom: "
            "transformed I",
            published=9034166.7,
            ours=_of(*_box(), *caps).bending,
        ),
        _exact(
            key="box-one-cap",
            title="With the top cap alone: transformed I, a sixteenth",
            published=574961.8,
            ours=one.bending,
        ),
        _exact(
            key="box-neutral",
            title="With the top cap alone: neutral axis above the middle",
            published=19.2661,
            ours=one.centre[1],
            unit="mm",
            tolerance=5e-6,
            why="Printed to four decimals.",
        ),
    )


def _torsion() -> tuple[Case, ...]:
    whole = _of(*_middle_lines()).torsion
    own = 2 * (55 + 35) * 5**3 / 3
    return (
        _exact(
            key="bredt",
            title="Hollow box 60 × 40 × 5: Bredt's torsion constant 4 A² t/s",
            published=411736.1,
            ours=whole - own,
            source="R. Bredt (1896), closed form worked out",
        ),
        _case(
            key="box-torsion",
            title="The same with the walls' own torsion, against the whole wall",
            published=436567.0,
            ours=whole,
            tolerance=0.05,
            why="Thin-wall theory leaves the corners out; walls are an eighth of the height.",
            source=_FINITE,
            note="A thick-walled box is a little stiffer than this program says.",
        ),
        _case(
            key="strip-torsion",
            title="Flat strip 10 × 2: torsion constant",
            published=23.3066,
            ours=rectangle_torsion(10, 2),
            tolerance=1e-3,
            why="The closed form is good to a thousandth.",
            source=_FINITE,
        ),
    )


def _sticks() -> tuple[Case, ...]:
    strip = stick_on_edge_against_flat(width=10, height=2, modulus=1.0)
    tubes = tuple(
        _exact(
            key=f"tube-{diameter}-{bore}",
            title=f"Tube {diameter} / {bore}: I" if bore else f"Rod {diameter}: I",
            published=inertia,
            ours=_tube(diameter, bore).bending,
            tolerance=1e-5,
            why="Sixteen straight strips with the tube's own area and inertia; six digits.",
        )
        for diameter, bore, inertia in (
            (6, 4, 51.0509),
            (5, 3, 26.7035),
            (4, 2, 11.7810),
            (3, 0, 3.9761),
        )
    )
    return (
        _exact(
            key="on-edge",
            title="Stick 10 × 2: times stiffer on edge than flat",
            published=25.0,
            ours=strip.ratio,
            unit="",
        ),
        *tubes,
        _case(
            key="euler",
            title="Strut 10 × 2 × 300 of E 10 GPa, pinned: buckling load, flat",
            published=7.311,
            ours=column_load(bending=10e9 * strip.flat * 1e-12, length=0.3),
            unit="N",
            tolerance=1e-4,
            why="Printed to four digits.",
            source="Euler, closed form worked out",
        ),
    )


def cases() -> tuple[Case, ...]:
    """Boxes, torsion, sticks and tubes."""
    return (*_boxes(), *_torsion(), *_sticks())
