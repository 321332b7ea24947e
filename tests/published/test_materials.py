"""Material densities against the sources they are quoted from."""

from __future__ import annotations

import pytest

from plansgen.library.tables import Material, StockMaterial, materials

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
