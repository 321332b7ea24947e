"""Material densities, stiffness and strength against the sources they are quoted from."""

from __future__ import annotations

import math

import pytest

from plansgen.library.tables import Material, StockMaterial, materials
from plansgen.library.unit_list import factor
from plansgen.structure.elastic import Sheet, Solid, sheet_of, solid_of

WOOD_HANDBOOK = {
    # USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190, FPL-GTR-282), tables 5-3 and 5-5:
    # specific gravity, oven-dry mass over the volume at 12 % moisture, printed to two decimals.
    "basswood": 0.37,  # American basswood
    "yellow-birch": 0.62,
    "paper-birch": 0.55,
    "balsa": 0.16,
    "balsa-sheet-3mm": 0.16,
    "spruce": 0.40,  # Sitka spruce, from memory
    "hardwood-dowel": 0.64,  # American beech, from memory
}

ASTM_C578_MINIMA = {
    # ASTM C578-10, table 1: least density [kg/m³] of rigid cellular polystyrene.
    "expanded-polystyrene-block": 15.0,  # type I, expanded
    "polystyrene-board-type-x": 21.0,  # type X, extruded
    "polystyrene-board-type-iv": 25.0,  # type IV, extruded
}
C578_TYPE_X, C578_TYPE_VII = 21.0, 35.0

HANDBOOK_SOLIDS = {
    # Densities [kg/m³] as handbooks print them (ASM Handbook vol. 1 and 2; polymers from memory).
    "steel-wire": (7850.0, 7850.0),  # carbon steel, as ASTM A228 music wire is reckoned
    "aluminium-tube": (2700.0, 2710.0),  # alloys 6061 and 6063: 2700; 1100: 2710
    "brass-tube": (8490.0, 8530.0),  # free-cutting C360, cartridge C260
    "polycarbonate-0.5mm": (1190.0, 1220.0),
    "polyester-film-0.25mm": (1380.0, 1400.0),
    "carbon-tube": (1500.0, 1600.0),  # pultruded, 60 % fibre
}


def stock(name: str) -> StockMaterial:
    material: Material = materials()[name]
    assert isinstance(material, StockMaterial)
    return material


@pytest.mark.parametrize(("name", "specific_gravity"), sorted(WOOD_HANDBOOK.items()))
def test_wood_at_12_per_cent_moisture(name: str, specific_gravity: float) -> None:
    """Mass at 12 % moisture is 1.12 × the oven-dry mass; water weighs 1000 kg/m³."""
    wanted = specific_gravity * 1000 * (1 + 0.12)
    assert stock(name).density == pytest.approx(wanted, abs=0.5)  # kept to whole kg/m³


def test_clear_wood_spread() -> None:
    """Wood Handbook, table 5-6, from memory: specific gravity varies by 10 % (one sigma)."""
    assert stock("basswood").spread == stock("yellow-birch").spread == 0.10
    assert (stock("balsa").spread or 0) > 0.10, "balsa scatters more than any other wood"


@pytest.mark.parametrize(("name", "least"), sorted(ASTM_C578_MINIMA.items()))
def test_polystyrene_board_is_the_standard_minimum(name: str, least: float) -> None:
    assert stock(name).density == least  # a specification limit: exact


def test_thin_polystyrene_lies_within_the_standard_types() -> None:
    for name in ("polystyrene-sheet-3mm", "polystyrene-sheet-6mm"):
        assert C578_TYPE_X < (stock(name).density or 0) < C578_TYPE_VII


@pytest.mark.parametrize(("name", "limits"), sorted(HANDBOOK_SOLIDS.items()))
def test_solids_lie_where_handbooks_print_them(name: str, limits: tuple[float, float]) -> None:
    least, most = limits
    assert least <= (stock(name).density or 0) <= most


def test_carbon_by_the_rule_of_mixtures() -> None:
    """60 % fibre at 1800 and 40 % epoxy at 1200 kg/m³ (Jones, Mechanics of Composite Materials)."""
    mixed = 0.6 * 1800 + 0.4 * 1200
    assert stock("carbon-rod").density == pytest.approx(mixed, rel=0.01)


@pytest.mark.parametrize(
    ("name", "liner", "medium", "take_up", "grammage"),
    [
        # liners + take-up × medium + glue [g/m²]; take-up factors from memory of Twede, Selke,
        # Kamdem & Shires, Cartons, Crates and Corrugated Board, 2nd ed. 2015.
        ("cardboard-e-flute", 125, 105, 1.27, 392.35),
        ("cardboard-b-flute", 140, 112, 1.32, 436.84),
        ("cardboard-c-flute", 140, 112, 1.43, 449.16),
    ],
)
def test_corrugated_grammage_identity(
    name: str, liner: float, medium: float, take_up: float, grammage: float
) -> None:
    board = stock(name)
    assert 2 * liner + take_up * medium + 9 == pytest.approx(grammage)
    assert board.areal_density == pytest.approx(grammage / 1000, rel=1e-5)


@pytest.mark.parametrize(
    ("name", "thickness"),
    [
        ("cardboard-e-flute", (1.1, 1.8)),
        ("cardboard-b-flute", (2.5, 3.0)),
        ("cardboard-c-flute", (3.6, 4.0)),
    ],
)
def test_flute_thickness(name: str, thickness: tuple[float, float]) -> None:
    """Usual board thickness by flute [mm], from memory of the same book."""
    least, most = thickness
    assert least <= (stock(name).thickness or 0) * 1000 <= most


def test_foam_board_is_where_builders_find_it() -> None:
    """5 mm paper-faced board weighs 0.45 to 0.55 kg/m² (common practice, no source)."""
    assert 0.45 <= (stock("foam-board-5mm").areal_density or 0) <= 0.55


def test_kraft_paper_has_the_grammage_it_is_sold_by() -> None:
    """ISO 536: grammage is mass over area."""
    assert stock("kraft-paper-80").areal_density == pytest.approx(0.080)


@pytest.mark.parametrize(("name", "width"), [("packing-tape", 0.048), ("glass-fibre-tape", 0.025)])
def test_tape_per_length_and_per_area_agree(name: str, width: float) -> None:
    tape = stock(name)
    assert tape.linear_density == pytest.approx((tape.areal_density or 0) * width, rel=0.005)


# --- stiffness and strength ------------------------------------------------------------------


def solid(name: str, **how: bool) -> Solid:
    found = solid_of(materials()[name], **how)
    assert found is not None
    return found


def board(name: str, *, across: bool = False) -> Sheet:
    found = sheet_of(materials()[name], across=across)
    assert found is not None
    return found


def psi(value: float) -> float:
    """Pounds per square inch to pascal, NIST SP 811, appendix B."""
    return value * float(factor("psi"))


@pytest.mark.parametrize(
    ("name", "elasticity", "compression", "shear"),
    [
        # USDA Wood Handbook, table 5-3 (inch-pound), 12 % moisture: modulus of elasticity [10⁶
        # psi], compression and shear parallel to the grain [psi].
        ("basswood", 1.46, 4730, 990),
        ("yellow-birch", 2.01, 8170, 1880),
        ("paper-birch", 1.59, 5690, 1210),
        ("spruce", 1.57, 5610, 1150),  # Sitka spruce, from memory
    ],
)
def test_wood_is_as_the_handbook_prints_it(
    name: str, elasticity: float, compression: float, shear: float
) -> None:
    found = solid(name)
    assert found.modulus == pytest.approx(psi(elasticity * 1e6), rel=0.006)  # to three digits
    assert found.compression == pytest.approx(psi(compression), rel=0.006)
    assert found.shear == pytest.approx(psi(shear), rel=0.006)


def test_balsa_lies_among_three_sets_of_tests() -> None:
    """Bending 2120 to 3300 psi, E 425 to 550 ksi, crushing 1300 to 2250 psi at 12 % moisture."""
    balsa = solid("balsa")
    assert psi(425e3) <= balsa.modulus <= psi(550e3)
    assert psi(2120) <= balsa.tension <= psi(3300)
    assert psi(1300) <= balsa.compression <= psi(2250)


def test_what_is_marked_published_and_what_is_not() -> None:
    assert solid("basswood").mark == "published"
    assert solid("spruce").mark == "from memory"
    assert solid("basswood", across=True).mark == "from memory"


@pytest.mark.parametrize(
    ("name", "compressive", "flexural"),
    [
        # ASTM C578-10, table 1: least compressive and flexural strength [kPa].
        ("expanded-polystyrene-block", 69, 173),
        ("polystyrene-board-type-x", 104, 276),
        ("polystyrene-board-type-iv", 173, 345),
    ],
)
def test_insulation_board_is_the_least_the_standard_allows(
    name: str, compressive: float, flexural: float
) -> None:
    found = solid(name)
    assert found.compression == pytest.approx(compressive * 1000)
    if name.startswith("expanded"):  # bead board pulls apart at 110 to 138 kPa, from memory
        assert 110e3 <= found.tension <= 138e3 < flexural * 1000
    else:
        assert found.tension == pytest.approx(flexural * 1000)
    # Extruded 5 to 20 MPa, expanded 2 to 8 MPa by density (from memory).
    least, most = (2e6, 8e6) if name.startswith("expanded") else (5e6, 20e6)
    assert least <= found.modulus <= most


def test_core_foam_shears_where_foams_do() -> None:
    """0.1 to 0.3 MPa (from memory)."""
    for name in ("foam-board-5mm", "foam-board-light-5mm", "foam-board-brown-5mm"):
        core = board(name).core
        assert core is not None
        assert 0.1e6 <= core.solid.shear <= 0.3e6


@pytest.mark.parametrize("name", ["foam-board-5mm", "foam-board-brown-5mm", "cardboard-c-flute"])
def test_facing_paper_is_paper(name: str) -> None:
    """Linerboard: density 650 to 800 kg/m³, E 5 to 8 GPa along the machine and 2 to 3.5 GPa across,
    tension 40 to 80 and 20 to 35 MPa (from memory)."""
    corrugated = name.startswith("cardboard")
    machine, cross = (board(name, across=a).faces[0] for a in (corrugated, not corrugated))
    grammage = stock(name).layers[0].areal_density or 0
    assert 650 <= grammage / machine.thickness <= 800
    assert 5e9 <= machine.solid.modulus <= 8e9
    assert 2e9 <= cross.solid.modulus <= 3.5e9
    assert 40e6 <= machine.solid.tension <= 80e6
    assert 20e6 <= cross.solid.tension <= 35e6


@pytest.mark.parametrize(
    ("name", "across", "least", "most"),
    [
        # Bending stiffness per width [N m], from memory; stiffest across the flutes, where the
        # machine direction of the liners runs.
        ("cardboard-c-flute", True, 10, 17),
        ("cardboard-b-flute", True, 4, 7),
        ("cardboard-e-flute", True, 1, 2),
        ("cardboard-b-flute", False, 2.5, 4),
    ],
)
def test_corrugated_bending_stiffness(
    name: str, least: float, most: float, *, across: bool
) -> None:
    assert least <= board(name, across=across).bending <= most


def test_edge_crush() -> None:
    """32 lb/in is 5.604 kN/m (NIST SP 811); that grade is heavier than this board of 449 g/m².

    Edge crush is the push along the flutes that the whole section stands (ISO 3037); the grade's
    own grammage is about 540 g/m² (from memory) and strength goes with the amount of paper.
    """
    grade = 32 * 4.4482216152605 / 0.0254
    assert grade == pytest.approx(5604, abs=0.5)
    c_flute = board("cardboard-c-flute")
    strain = min(ply.solid.compression / ply.solid.modulus for ply in c_flute.plies)
    stands = strain * c_flute.axial
    grammage = stock("cardboard-c-flute").areal_density or 0
    assert stands == pytest.approx(grade * grammage / 0.540, rel=0.05)


@pytest.mark.parametrize(("name", "least", "most"), [("birch-ply-1.5mm", 9e9, 12e9)])
def test_birch_plywood(name: str, least: float, most: float) -> None:
    """E 9 to 12 GPa bent along the outer grain (from memory)."""
    sheet = board(name)
    assert least <= 12 * sheet.bending / sheet.thickness**3 <= most
    ratio = solid(name, across=True).modulus / solid(name).modulus
    assert 0.4 <= ratio <= 0.6  # "half that across", pulled


def test_music_wire() -> None:
    """ASTM A228, from memory: E 207 GPa; 2060 to 2290 MPa at 1 mm, less when thicker.

    Shigley, Mechanical Engineering Design: 2211 MPa over d^0.145, d in mm from 0.1 to 6.5.
    """
    wire = solid("steel-wire")
    assert wire.modulus == pytest.approx(207e9, rel=0.02)
    assert wire.tension == pytest.approx(2211e6 / 2**0.145, rel=0.01)
    assert wire.tension <= 2060e6
    assert wire.tension * 0.7854e-6 == pytest.approx(1571, abs=1)  # of 1 mm wire [N]


def test_braided_line_breaks_where_it_is_sold() -> None:
    """A line of the 10 kg class, 0.25 mm: 98 N (common practice, no source)."""
    area = math.pi * 0.25e-3**2 / 4
    assert solid("braided-line").tension * area == pytest.approx(10 * 9.80665, rel=0.02)


def test_carbon_by_the_rule_of_mixtures_in_stiffness() -> None:
    """60 % fibre of 230 GPa in resin of 3 GPa (Jones): 139 GPa; makers print 110 to 135 GPa."""
    assert 110e9 <= solid("carbon-tube").modulus <= 135e9 < 0.6 * 230e9 + 0.4 * 3e9


def test_hot_melt_holds_what_hot_melt_holds() -> None:
    """Lap joints 1 to 4 MPa at 20 °C (from memory)."""
    assert 1e6 <= solid("hot-melt-bead").shear <= 4e6


@pytest.mark.parametrize(
    ("green", "dry", "kind"),
    [
        # USDA Wood Handbook, table 5-3, from memory, green against 12 % moisture [psi]: American
        # basswood, Sitka spruce, yellow birch.
        (2220, 4730, "strength"),
        (2670, 5610, "strength"),
        (1.04e6, 1.46e6, "stiffness"),
        (1.23e6, 1.57e6, "stiffness"),
        (1.50e6, 2.01e6, "stiffness"),
    ],
)
def test_damp_wood(green: float, dry: float, kind: str) -> None:
    """At 20 % moisture: P12 (P12/Pg)^((12-M)/(Mp-12)), Mp 25 % (Wood Handbook, chapter 5)."""
    left = (dry / green) ** ((12 - 20) / (25 - 12))
    wet, ordinary = solid("basswood", damp=True), solid("basswood")
    ours = {
        "strength": wet.compression / ordinary.compression,
        "stiffness": wet.modulus / ordinary.modulus,
    }
    assert ours[kind] == pytest.approx(left, abs=0.05)


def test_damp_paper_keeps_about_half() -> None:
    """Paper and board lose about half of their strength when damp (common practice, no source)."""
    wet = sheet_of(materials()["cardboard-b-flute"], damp=True)
    assert wet is not None
    dry = board("cardboard-b-flute").faces[0].solid
    assert wet.faces[0].solid.compression / dry.compression == pytest.approx(0.5, abs=0.1)
