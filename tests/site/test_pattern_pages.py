"""Pages of parts and sheets, and the files to print and to cut from."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from xml.etree import ElementTree

import ezdxf
import pytest
from pypdf import PdfReader

from plansgen.dossier import Dossier, work_out_all
from plansgen.figures.all import draw_all
from plansgen.figures.save import Drawing
from plansgen.library.design import Design
from plansgen.library.folder import read_design
from plansgen.library.markdown import plain_blocks
from plansgen.library.tables import paper_sizes
from plansgen.patterns.result import PatternSet
from plansgen.site.design_pages import design_files
from plansgen.site.environment import make_environment
from plansgen.site.overlay import template_roots
from tests.designs import design_of, glider
from tests.site.test_pages import REPOSITORY, Node, _Tree

SVG = "{http://www.w3.org/2000/svg}"
PT_PER_M = 72 / 0.0254


@dataclass(frozen=True)
class Made:
    """Every file of one design by its name in the design's folder."""

    design: Design
    dossier: Dossier
    figures: Mapping[str, Drawing]
    patterns: PatternSet
    files: Mapping[str, bytes]

    def tree(self, name: str) -> Node:
        return _Tree(self.files[f"{name}.md"].decode().split("---", 2)[2]).root

    def words(self, name: str) -> str:
        return " ".join(self.tree(name).words.split())


def made_of(design: Design) -> Made:
    dossier, patterns = work_out_all(design)
    assert patterns is not None
    figures = draw_all(design, dossier)
    return Made(design, dossier, figures, patterns, files_of(design, dossier, figures, patterns))


def files_of(
    design: Design,
    dossier: Dossier,
    figures: Mapping[str, Drawing],
    patterns: PatternSet | None,
) -> dict[str, bytes]:
    environment = make_environment(template_roots(REPOSITORY))
    files = design_files(environment, design, dossier, figures, patterns)
    base = f"designs/{design.slug}/"
    return {path.removeprefix(base): data for path, data in files.items()}


@cache
def dunlin() -> Made:
    return made_of(read_design(REPOSITORY, "dunlin"))


HOSTILE = '"><script>x</script>&{% x %}'


@cache
def small() -> Made:
    """A glider of one plate a surface, the wing's with a hostile name."""
    raw = glider()
    raw["surfaces"]["wing"]["parts"][0]["name"] = HOSTILE
    raw["stock"] = [{"name": "board, whole", "material": "board", "width": 1200, "height": 600}]
    return made_of(design_of(raw))


# --- pages ---------------------------------------------------------------------------------------


def test_every_part_has_a_picture_its_numbers_and_a_way_to_sheet_and_step() -> None:
    page = dunlin().tree("parts")
    sections = {s.attributes["id"]: s for s in page.all("section", "pg-part")}
    assert list(sections) == [f"part-{part.key}" for part in dunlin().patterns.parts]
    steps = {step.key for step in dunlin().design.steps}
    for part in dunlin().patterns.parts:
        section = sections[f"part-{part.key}"]
        pictures = [*section.all("svg"), *section.all("img")]
        assert pictures
        for picture in pictures:
            alt = picture.attributes.get("alt") or picture.attributes["aria-label"]
            assert part.name in alt
        told = {term.words for term in section.all("dt")}
        assert {"How many", "Material", "Size", "Area of one", "Mass", "Grain or flutes"} <= told
        links = [link.attributes["href"] for link in section.all("a")]
        assert any(link.startswith("sheets.html#sheet-") for link in links)
        assert part.step in ("", *steps)
        assert (f"build.html#step-{part.step}" in links) == bool(part.step)


def test_sticks_seams_and_known_hand_work_are_listed() -> None:
    words, patterns = dunlin().words("parts"), dunlin().patterns
    for piece in patterns.cut_list:
        assert piece.name in words
    rows = [row for table in dunlin().tree("parts").all("table") for row in table.all("tr")]
    for seam in patterns.fit.seams:
        assert any(seam.seam.name in row.words for row in rows)
    notes = dunlin().design.notes
    assert notes is not None
    for line in notes.head.fitting:
        assert " ".join(line.split()) in words
    for line in patterns.not_drawn:
        assert " ".join(line.split()) in words


def test_every_piece_on_a_sheet_leads_to_its_part() -> None:
    page, parts = dunlin().tree("sheets"), dunlin().files["parts.md"].decode()
    pictures = page.all("svg", "pg-sheet")
    assert len(pictures) == len(dunlin().patterns.nesting.sheets)
    for picture, sheet in zip(pictures, dunlin().patterns.nesting.sheets, strict=True):
        links = [link.attributes["href"] for link in picture.all("a")]
        assert len(links) == len(sheet.placements)
        for link in links:
            assert f'id="{link.removeprefix("parts.html#")}"' in parts
    words = dunlin().words("sheets")
    for line in dunlin().patterns.shopping.purchases:
        assert line.name in words


def test_every_file_that_a_page_offers_is_there() -> None:
    for name in ("parts", "sheets", "build"):
        page = dunlin().tree(name)
        wanted = [link.attributes["href"] for link in page.all("a")]
        wanted += [picture.attributes["src"] for picture in page.all("img")]
        for path in wanted:
            if path.startswith("patterns/"):
                assert path in dunlin().files


def test_a_build_step_lists_its_parts() -> None:
    page = dunlin().tree("build")
    found = [
        link.attributes["href"].removeprefix("parts.html#part-")
        for listed in page.all("ul", "pg-step-parts")
        for link in listed.all("a")
    ]
    wanted = [part.key for part in dunlin().patterns.parts if part.step]
    wanted += [key for key, _ in dunlin().patterns.steps]
    assert sorted(found) == sorted(wanted)
    assert found


def test_nothing_on_the_pages_needs_a_style_of_its_own() -> None:
    """The pages' policy lets no style attribute and no script through."""
    for name in ("parts.md", "sheets.md"):
        text = dunlin().files[name].decode()
        assert not re.search(r"\sstyle=|<style|<script|\son[a-z]+=", text)


def test_a_hostile_name_stays_a_name() -> None:
    made = small()
    assert len(made.patterns.nesting.sheets) == 1
    for name in ("parts", "sheets"):
        assert "<script" not in made.files[f"{name}.md"].decode()
        assert HOSTILE in made.words(name)
    for path, data in made.files.items():
        if path.endswith(".svg"):
            assert not ElementTree.fromstring(data).findall(f".//{SVG}script")


def test_a_design_without_patterns_has_neither_page() -> None:
    files = files_of(small().design, small().dossier, small().figures, None)
    assert not [path for path in files if "patterns/" in path or path == "sheets.md"]


# --- files ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["a4", "letter", "a3"])
def test_print_sets_are_on_their_paper_and_as_long_as_told(paper: str) -> None:
    """Sizes: ISO 216 and ANSI/ASME Y14.1, as in the packaged table."""
    pages = PdfReader(io.BytesIO(dunlin().files[f"patterns/{paper}.pdf"])).pages
    size = paper_sizes()[paper]
    sides = sorted((size.width * PT_PER_M, size.height * PT_PER_M))
    for page in pages:
        found = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        assert found == pytest.approx(sides, abs=0.05)
    buttons = [
        link.words
        for link in dunlin().tree("sheets").all("a", "pg-button")
        if link.attributes["href"] == f"patterns/{paper}.pdf"
    ]
    assert len(buttons) == 1
    assert f"{len(pages)} pages" in buttons[0]


def test_the_plan_set_has_everything_in_one_file() -> None:
    reader = PdfReader(io.BytesIO(dunlin().files["patterns/plans.pdf"]))
    names = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert names == [
        *("Cover", "Plan view", "Side view", "Front view", "Patterns", "Build steps", "Cautions")
    ]
    texts = [page.extract_text() for page in reader.pages]
    whole = " ".join(" ".join(texts).split())
    assert dunlin().dossier.name in texts[0]
    for step in dunlin().design.steps:
        assert " ".join(step.head.title.split()[:3]) in whole
    # Drawings are lines and letters, not pictures of them.
    assert not any(page.images for page in reader.pages)
    a4 = len(PdfReader(io.BytesIO(dunlin().files["patterns/a4.pdf"])).pages)
    first = {
        entry.title: reader.get_destination_page_number(entry) or 0
        for entry in reader.outline
        if not isinstance(entry, list)
    }
    assert first["Build steps"] - first["Patterns"] == a4


def test_files_for_cutters_are_as_large_as_their_sheet() -> None:
    for number, sheet in enumerate(dunlin().patterns.nesting.sheets, 1):
        root = ElementTree.fromstring(dunlin().files[f"patterns/sheet-{number}.svg"])
        assert root.get("width") == f"{1000 * sheet.stock.width:g}mm"
        assert root.get("height") == f"{1000 * sheet.stock.height:g}mm"
        text = dunlin().files[f"patterns/sheet-{number}.dxf"].decode()
        drawing = ezdxf.read(io.StringIO(text))  # type: ignore[attr-defined]
        closed = [
            line
            for line in drawing.modelspace().query("POLYLINE")
            if line.dxf.layer == "cut" and line.dxf.flags & 1
        ]
        assert len(closed) >= len(sheet.placements)


def test_the_same_design_gives_the_same_files() -> None:
    made = small()
    assert files_of(made.design, made.dossier, made.figures, made.patterns) == made.files


# --- plain text ----------------------------------------------------------------------------------


def test_plain_blocks_keep_the_words_and_leave_the_marks() -> None:
    text = (
        "# Head\n\nSome *words* and\nmore.\n\n- one\n- two\n  - inner\n\n1. first\n\n"
        "| a | b |\n|---|---|\n| c | **d** |\n\nEnd."
    )
    found = [(block.kind, block.lines) for block in plain_blocks(text)]
    assert found == [
        ("heading", ("Head",)),
        ("paragraph", ("Some words and more.",)),
        ("bullets", ("one", "two", "inner")),
        ("numbered", ("first",)),
        ("bullets", ("a, b", "c, d")),
        ("paragraph", ("End.",)),
    ]
