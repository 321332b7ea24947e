"""The pages on materials: each strength told with its source, and a worked example that is true."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest
import yaml

from plansgen.library.stock import stock_with
from plansgen.library.tables import Material, materials
from plansgen.library.units import FileUnits
from plansgen.site.environment import make_environment
from plansgen.site.library_pages import library_files
from plansgen.site.sheet_page import (
    joined,
    pressure,
    sheet_example,
    strength_rows,
    strength_sources,
)
from plansgen.structure.elastic import sheet_of

TEMPLATES = Path(__file__).resolve().parents[2] / "site_templates"


def page(name: str) -> str:
    files = library_files(make_environment([TEMPLATES]), [], site_name="Saltmarsh")
    return html.unescape(files[name].decode()).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (10.1e9, "10.1 GPa"),
        (5e9, "5 GPa"),
        (207e9, "207 GPa"),
        (14.9e6, "14.9 MPa"),
        (1e6, "1 MPa"),
        (104e3, "104 kPa"),
        (0.0, "none"),
    ],
)
def test_a_pressure_as_shown(value: float, text: str) -> None:
    assert pressure(value).replace("\N{NO-BREAK SPACE}", " ") == text


def test_names_in_common_are_told_once() -> None:
    assert joined(["Balsa sheet, 2 mm", "Balsa sheet, 3 mm"]) == "Balsa sheet, 2 mm, 3 mm"
    assert joined(["Balsa stick", "Ply, 1 mm"]) == "Balsa stick; Ply, 1 mm"


def test_every_strength_stands_on_the_page_with_its_source() -> None:
    text = page("materials.md")
    rows = strength_rows(materials())
    for row in rows:
        assert row.name in text
        assert row.spread.replace("\N{NO-BREAK SPACE}", " ") in text
    told = strength_sources(rows)
    assert {source for _, source in told} == {row.source for row in rows}
    for _, source in told:
        assert source in text
    for name, material in materials().items():
        if material.mechanics is not None:
            start = material.name.rpartition(", ")[0] or material.name
            assert any(start in row.name for row in rows), name


def test_what_is_published_is_told_by_name() -> None:
    rows = {row.name: row for row in strength_rows(materials())}
    assert "modulus, compression, shear published" in rows["Basswood (lime) stick"].source


def test_the_worked_example_is_what_its_own_lines_give() -> None:
    """Read the shown design lines like a design file: D = P L³ / (48 w s), by hand beside it."""
    example = sheet_example()
    raw = yaml.safe_load(example.design)["materials"]
    own = Material.model_validate(raw["my-board"], context={"units": FileUnits()})
    sheet = sheet_of(stock_with({"my-board": own})["my-board"])
    assert sheet is not None
    by_hand = 0.12 * 9.80665 * 0.6**3 / (48 * 0.06 * 0.008)
    assert sheet.bending == pytest.approx(by_hand)
    assert example.stiffness.startswith(f"{by_hand:.1f}")
    assert example.areal.startswith(f"{164 / (0.7 * 0.5):.0f}")


def test_the_page_shows_the_example_and_links_both_ways() -> None:
    text = page("measure-your-sheet.md")
    example = sheet_example()
    shown = (example.stiffness, example.modulus, example.areal, example.shear_share)
    for value in (*shown, example.design):
        assert value.replace("\N{NO-BREAK SPACE}", " ") in text
    assert 'href="materials.html"' in text
    assert 'href="measure-your-sheet.html"' in page("materials.md")
    assert re.search(r"no(t a)? proof|not a proof", text)


def test_the_drawing_is_there_for_light_and_dark() -> None:
    files = library_files(make_environment([TEMPLATES]), [], site_name="Saltmarsh")
    assert {"figures/bend-over-two-books.svg", "figures/bend-over-two-books-dark.svg"} <= set(files)
