"""Materials against the tables they are quoted from, and the bending of layered strips."""

from __future__ import annotations

from functools import partial

from plansgen.library.bending import GRAVITY, measured_stiffness, outer_modulus, stiffness_of
from plansgen.library.tables import materials
from plansgen.published.case import Case
from plansgen.structure.elastic import solid_of

ROOM = "Materials"

PSI = 6894.757293168  # Pa, NIST SP 811, appendix B.8

_case = partial(Case, room=ROOM, relative=True)
_sandwich = partial(
    _case,
    tolerance=1e-6,
    why="Closed form, six digits.",
    source="Allen, Analysis and Design of Structural Sandwich Panels, 1969, from memory",
    mark="derived",
)
_wood = partial(
    _case,
    unit="psi",
    tolerance=0.006,
    why="Kept to three digits in SI units.",
    source="USDA Forest Products Laboratory, Wood Handbook, table 5-3, at 12 % moisture",
    mark="published",
)
_foam = partial(
    _case,
    unit="kPa",
    tolerance=1e-9,
    why="A specification limit: exact.",
    source="ASTM C578-10, table 1, as printed in a maker's bulletin",
    mark="published",
)

# Wood, what it is called, and as printed: modulus, compression along the grain, shear. [psi]
_WOODS = (
    ("basswood", "American basswood", 1.46e6, 4730.0, 990.0),
    ("yellow-birch", "Yellow birch", 2.01e6, 8170.0, 1880.0),
    ("paper-birch", "Paper birch", 1.59e6, 5690.0, 1210.0),
)
# Board, type, least compressive strength. [kPa]
_FOAMS = (
    ("expanded-polystyrene-block", "I, expanded", 69.0),
    ("polystyrene-board-type-x", "X, extruded", 104.0),
    ("polystyrene-board-type-iv", "IV, extruded", 173.0),
)


def _strip_cases() -> tuple[Case, ...]:
    """A sandwich of paper on foam, and a strip over two supports."""
    plies = ((3e9, 0.2e-3), (10e6, 5e-3), (3e9, 0.2e-3))
    modulus = outer_modulus(8.2201667, face=0.2e-3, sides=2, core=10e6, core_thickness=5e-3)
    sagged = measured_stiffness(load=1 / GRAVITY, span=0.5, width=0.01, sag=1.5625e-3)
    return (
        _sandwich(
            key="sandwich-stiffness",
            title="Faces 0.2 mm of 3000 MPa on 5 mm of 10 MPa: bending stiffness per width",
            published=8220.1667,
            ours=stiffness_of(plies) * 1000,
            unit="N mm",
        ),
        _sandwich(
            key="sandwich-faces",
            title="The same, back from its stiffness to the modulus of the faces",
            published=3000.0,
            ours=modulus / 1e6,
            unit="MPa",
        ),
        _case(
            key="bend-over-two-supports",
            title="Strip of E I 1.6667 N m² that sinks 1.5625 mm under 1 N on a span of 500 mm",
            published=1.6666667,
            ours=sagged * 0.01,
            unit="N m²",
            tolerance=1e-6,
            why="Closed form, six digits.",
            source="Roark's Formulas for Stress and Strain: load at mid-span, P L³ / 48 E I",
            mark="derived",
        ),
    )


def _wood_cases(key: str, name: str, *printed: float) -> tuple[Case, ...]:
    solid = solid_of(materials()[key])
    if solid is None:
        return ()
    ours = (solid.modulus / PSI, solid.compression / PSI, solid.shear / PSI)
    words = ("modulus of elasticity", "compression along the grain", "shear along the grain")
    return tuple(
        _wood(key=f"{key}-{word.split()[0]}", title=f"{name}: {word}", published=value, ours=our)
        for word, value, our in zip(words, printed, ours, strict=True)
    )


def cases() -> tuple[Case, ...]:
    """Layered strips, wood, foam board for insulation, and music wire."""
    wood = [case for row in _WOODS for case in _wood_cases(*row)]
    foams = [(name, least, solid_of(materials()[key])) for key, name, least in _FOAMS]
    foam = [
        _foam(
            key=f"c578-{name.split(',')[0].lower()}",
            title=f"Polystyrene board type {name}: least compressive strength",
            published=least,
            ours=solid.compression / 1000,
        )
        for name, least, solid in foams
        if solid is not None
    ]
    wire = solid_of(materials()["steel-wire"])
    steel = _case(
        key="music-wire",
        title="Music wire of 2 mm: breaking strength",
        published=2211 / 2**0.145,
        ours=wire.tension / 1e6 if wire else 0.0,
        unit="MPa",
        tolerance=0.03,
        why="The standard allows some 10 % from the least to the greatest strength of one size.",
        source="ASTM A228 as fitted in Shigley, Mechanical Engineering Design: 2211 / d^0.145",
        mark="from memory",
    )
    return (*_strip_cases(), *wood, *foam, steel)
