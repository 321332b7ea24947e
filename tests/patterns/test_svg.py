"""Sheets as SVG: true size, a layer an operation, nothing that runs."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest
from shapely import Polygon

from plansgen.patterns.looks import LOOKS
from plansgen.patterns.sheets import Sheet, sheet_of_part
from plansgen.patterns.svg import part_svg, sheet_svg
from tests.patterns.sample_sheets import HOSTILE, box, part, sheets, wing_skin

SVG = "{http://www.w3.org/2000/svg}"


def read(sheet: Sheet) -> ET.Element:
    return ET.fromstring(sheet_svg(sheet, title=sheet.name))


def groups(root: ET.Element) -> dict[str, ET.Element]:
    return {group.attrib["id"]: group for group in root.iter(f"{SVG}g")}


def points(path: ET.Element) -> list[tuple[float, float]]:
    pairs = re.findall(r"(-?[\d.]+),(-?[\d.]+)", path.attrib["d"])
    return [(float(x), float(y)) for x, y in pairs]


def test_a_sheet_is_in_millimetres() -> None:
    root = read(sheets()[2])
    assert (root.attrib["width"], root.attrib["height"]) == ("762mm", "508mm")
    assert root.attrib["viewBox"] == "0 0 762 508"


def test_outlines_are_true_to_size_and_place() -> None:
    """Areas and corners against the parts themselves, by shapely; y runs down in SVG."""
    sheet = sheets()[2]
    paths = groups(read(sheet))["cut"].findall(f"{SVG}path")
    closed = [Polygon(points(p)) for p in paths if p.attrib["d"].endswith("Z")]
    for piece in sheet.pieces:
        outline = Polygon([(1000 * x, 508 - 1000 * y) for x, y in piece.part.outline])
        assert any(outline.hausdorff_distance(shape) < 1e-3 for shape in closed)
    assert len(closed) == sum(1 + len(piece.part.holes) for piece in sheet.pieces)


def test_holes_are_cut_before_the_part_comes_loose() -> None:
    sheet = sheet_of_part(part("tray", box(0.1, 0.05), holes=(box(0.02, 0.01, 0.01, 0.01),)))
    first, second = groups(read(sheet))["cut"].findall(f"{SVG}path")
    assert Polygon(points(first)).area < Polygon(points(second)).area


def test_each_operation_has_its_layer_and_its_own_dashes() -> None:
    found = groups(read(sheet_of_part(wing_skin())))
    assert set(found) == {"sheet", "words", *(look.layer for look in LOOKS.values())}
    looks = [(look.width, look.dash, look.ticks, look.crosses) for look in LOOKS.values()]
    assert len(set(looks)) == len(looks)
    for look in LOOKS.values():
        dash = found[look.layer].get("stroke-dasharray", "")
        assert tuple(map(float, dash.split())) == look.dash


def test_line_widths_are_of_the_standard_row() -> None:
    """ISO 128-2 (from memory): 0.13 0.18 0.25 0.35 0.5 0.7 1 1.4 2 mm; wide is twice narrow."""
    widths = {look.width for look in LOOKS.values()}
    assert widths <= {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0}
    assert max(widths) / min(widths) == pytest.approx(2.0, rel=0.05)


@pytest.mark.parametrize("words", [True, False])
def test_nothing_runs_and_names_are_only_words(words: bool) -> None:
    for sheet in sheets():
        data = sheet_svg(sheet, title=HOSTILE, words=words)
        root = ET.fromstring(data)
        tags = {element.tag.removeprefix(SVG) for element in root.iter()}
        assert tags <= {"svg", "title", "desc", "g", "rect", "path", "text"}
        assert not any(name.startswith("on") for e in root.iter() for name in e.attrib)
        assert b"href" not in data
        assert ("words" in groups(root)) == words
    assert root.find(f"{SVG}title").text.startswith("Brace <script>alert(1)</script> &")


def test_a_part_for_the_page_is_light_and_says_what_it_is() -> None:
    flat = wing_skin()
    text = part_svg(flat, alt=f'Wing skin, 600 × 420 mm, "{HOSTILE}"')
    root = ET.fromstring(text)
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-label"].startswith("Wing skin, 600 × 420 mm, ")
    assert len(text) < 6000
    west, south, wide, high = map(float, root.attrib["viewBox"].split())
    for path in root.iter(f"{SVG}path"):
        assert all(west <= x <= west + wide and south <= y <= south + high for x, y in points(path))
    assert {path.attrib["class"] for path in root.iter(f"{SVG}path")} == {
        look.layer for look in LOOKS.values()
    }


def test_lines_of_a_part_on_the_page_differ_without_colour() -> None:
    """Ticks, crosses or hatching beside the dashes: no two kinds are drawn alike."""
    root = ET.fromstring(part_svg(wing_skin(), alt="Wing skin"))
    looks: dict[str, list[tuple[str, str]]] = {}
    for path in root.iter(f"{SVG}path"):
        look = (path.attrib["stroke-width"], path.get("stroke-dasharray", ""))
        looks.setdefault(path.attrib["class"], []).append(look)
    assert len(looks["bevel"]) == len(looks["mark"]) == len(looks["glue"]) == 2
    plain = [tuple(look) for name, look in looks.items() if name not in ("bevel", "mark")]
    assert len(set(plain)) == len(plain)


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert sheet_svg(sheets()[2], title="s") == sheet_svg(sheets()[2], title="s")
