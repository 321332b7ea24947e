"""The pages of one design: numbers explained, gaps said, tables and pictures named."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from plansgen.dossier import Dossier, work_out
from plansgen.figures.all import draw_all
from plansgen.library.design import Design
from plansgen.library.folder import design_slugs, read_design
from plansgen.library.tables import methods
from plansgen.quantity import quantities
from plansgen.site.design_pages import (
    INERTIA_FIELDS,
    PLANFORM_FIELDS,
    REFERENCE_FIELDS,
    STATE_FIELDS,
    design_files,
)
from plansgen.site.environment import make_environment
from plansgen.site.format import show
from plansgen.site.overlay import template_roots
from tests.designs import Raw, bare, design_of, glider, surface, tailless, trainer

REPOSITORY = Path(__file__).resolve().parents[2]
DEMO = design_slugs(REPOSITORY)
_VOID = frozenset({"img", "br", "hr", "input", "meta", "link"})


@dataclass
class Node:
    """An element of a page."""

    tag: str
    attributes: Mapping[str, str]
    children: list[Node | str] = field(default_factory=list)

    def all(self, tag: str, style: str = "") -> list[Node]:
        """Every element below with that tag, and class if given."""
        found: list[Node] = []
        for child in self.children:
            if isinstance(child, Node):
                if child.tag == tag and style in ("", *child.attributes.get("class", "").split()):
                    found.append(child)
                found += child.all(tag, style)
        return found

    @property
    def words(self) -> str:
        """All text below, on one line."""
        parts = [child if isinstance(child, str) else child.words for child in self.children]
        line = " ".join(" ".join(parts).split(" ")).strip()
        return re.sub(r" (?=[.,;:)])", "", line)  # a linked word ends before the full stop


class _Tree(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.root = Node("page", {})
        self.open = [self.root]
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(node)
        if tag not in _VOID:
            self.open.append(node)

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(data)


@dataclass(frozen=True)
class Pages:
    """The pages of a design by name, and the numbers behind them."""

    dossier: Dossier
    texts: Mapping[str, str]

    def tree(self, name: str) -> Node:
        return _Tree(self.texts[name].split("---", 2)[2]).root

    def words(self, name: str) -> str:
        return " ".join(self.tree(name).words.split())


def pages_of(design: Design) -> Pages:
    """Every page of a design as its templates make it."""
    dossier = work_out(design)
    environment = make_environment(template_roots(REPOSITORY))
    files = design_files(environment, design, dossier, draw_all(design, dossier))
    texts = {Path(path).stem: data.decode() for path, data in files.items() if path.endswith(".md")}
    return Pages(dossier, texts)


@cache
def demo(slug: str) -> Pages:
    """The pages of a demo design."""
    return pages_of(read_design(REPOSITORY, slug))


def shown_fields(owner: Any, names: Iterable[str]) -> set[str]:
    marks = quantities(owner.__class__)
    return {
        show(getattr(owner, name), marks[name].shown or marks[name].unit).metric for name in names
    }


def opened(page: Node) -> set[str]:
    return {
        value.words
        for number in page.all("details")
        for value in number.all("span", "pg-num-value")
    }


@pytest.mark.parametrize("slug", DEMO)
def test_every_number_opens_to_its_method_its_source_and_its_limits(slug: str) -> None:
    seen = 0
    for name in demo(slug).texts:
        for number in demo(slug).tree(name).all("details", "pg-num"):
            names = [term.words for term in number.all("dt")]
            answers = [answer.words for answer in number.all("dd")]
            told = dict(zip(names, answers, strict=True))
            assert {"Method", "Formula", "Limits", "Source"} <= set(told)
            assert all(told.values())
            (link,) = number.all("a")
            page, _, key = link.attributes["href"].partition("#")
            assert page == "../../methods.html"
            assert methods()[key].source in told["Source"]
            assert re.search(r"\d", number.all("summary")[0].words)
            seen += 1
    assert seen > 100


@pytest.mark.parametrize("slug", DEMO)
def test_no_number_of_the_geometry_and_the_balance_is_left_out(slug: str) -> None:
    pages = demo(slug)
    airframe, balance = pages.dossier.airframe, pages.dossier.balance
    overview, bench = opened(pages.tree("index")), opened(pages.tree("balance"))
    for part in airframe.surfaces:
        assert shown_fields(part.planform, PLANFORM_FIELDS) <= overview
    assert shown_fields(airframe.reference, REFERENCE_FIELDS) <= overview
    for loading in balance.loadings:
        assert shown_fields(loading.state, STATE_FIELDS + INERTIA_FIELDS) <= bench
    for line in balance.lines:
        assert shown_fields(line, ["mass"]) <= bench


@pytest.mark.parametrize("slug", DEMO)
def test_tables_and_pictures_have_names(slug: str) -> None:
    for name in demo(slug).texts:
        page = demo(slug).tree(name)
        for region in page.all("div", "pg-scroll"):
            assert region.attributes["aria-label"]
            assert region.attributes["tabindex"] == "0"
        for table in page.all("table", "pg-table"):
            assert table.all("caption"), f"a table of {name} has no caption"
            assert all(head.attributes.get("scope") for head in table.all("th"))
        for picture in page.all("img"):
            assert len(picture.attributes["alt"]) > 20
            assert picture.attributes["width"].isdigit()
            assert picture.attributes["height"].isdigit()


@pytest.mark.parametrize("slug", DEMO)
def test_a_caution_stands_in_full_once_and_is_named_after_that(slug: str) -> None:
    design, page = read_design(REPOSITORY, slug), demo(slug).tree("build")
    sections = page.all("section", "pg-step")
    assert len(sections) == len(design.steps)
    full: dict[str, int] = {}
    for number, section in enumerate(sections, 1):
        here = [box.attributes["id"] for box in section.all("div", "pg-caution")]
        assert not set(here) & set(full)
        full |= dict.fromkeys(here, number)
        for line in section.all("p", "pg-again"):
            links = [link.attributes["href"].removeprefix("#") for link in line.all("a")]
            steps = [int(step) for step in re.findall(r"\(step (\d+)\)", line.words)]
            assert steps == [full[link] for link in links]
            assert all(step < number for step in steps)
    assert full


@pytest.mark.parametrize(("lead", "way"), [(1, "forward"), (400, "aft")])
def test_the_first_screen_of_the_balance_page_says_what_to_move(lead: float, way: str) -> None:
    """Law of the lever: what is too heavy in the tail wants its battery forward, and back."""
    raw = trainer()
    raw["items"].append({"name": "lead", "mass": lead, "at": {"x": 0}})
    pages = pages_of(design_of(raw))
    ready, target = pages.dossier.balance.ready, pages.dossier.balance.target
    assert ready is not None
    assert target is not None
    assert (ready.state.x > target.x) == (way == "forward")
    facts = pages.tree("balance").all("dl", "pg-keyfacts")[0]
    terms = " | ".join(term.words for term in facts.all("dt"))
    assert terms.startswith("Must balance, behind the wing's root leading edge")
    assert "Does balance, ready to fly with the three cells" in terms
    assert f"Slide the battery {way}" in terms


# --- designs that leave something out ---------------------------------------------------------


def weightless() -> Raw:
    """A glider without parts and items."""
    rows = {"wing": [(0, 0, 200), (500, 0, 200)], "tailplane": [(0, 500, 120), (180, 500, 100)]}
    return bare({role: surface(role, stations) for role, stations in rows.items()})


def test_a_design_without_masses_says_so() -> None:
    pages = pages_of(design_of(weightless()))
    assert pages.dossier.balance.ready is None
    assert "gives no masses" in pages.words("balance")
    assert "Where it does balance" not in pages.words("balance")
    assert not pages.tree("balance").all("img")


def test_a_design_without_steps_has_no_build_page() -> None:
    pages = pages_of(design_of(glider()))
    assert "build" not in pages.texts
    assert "Build" not in [link.words for link in pages.tree("index").all("nav")[0].all("a")]


def test_a_glider_has_no_battery_to_slide() -> None:
    words = pages_of(design_of(glider())).words("balance")
    assert "Does balance, ready to fly" in words
    assert "lide the battery" not in words.split("All methods")[0]
    assert "usual battery" not in words
    assert "ready to fly with the" not in words


def test_a_tailless_design_without_target_gets_no_rule() -> None:
    pages = pages_of(design_of(tailless()))
    assert pages.dossier.balance.target is None
    words = pages.words("balance")
    assert "No balance target" in words
    assert "Do not fly it before a balance point has been found" in words
    assert "Must balance" not in words


def test_what_was_weighed_is_marked() -> None:
    page = pages_of(design_of(trainer())).tree("balance")
    rows = {
        row.all("th")[0].words.split("  ")[0].split("\n")[0]: row.words
        for row in page.all("tr")
        if row.all("th") and row.all("details")
    }
    servo = next(words for name, words in rows.items() if name.startswith("servo"))
    motor = next(words for name, words in rows.items() if name.startswith("motor"))
    assert "weighed" in servo
    assert "weighed" not in motor


def test_the_first_flights_say_what_forbids_flying() -> None:
    """Whoever prints that page alone must not miss a severe finding."""
    raw = trainer()
    raw["surfaces"].pop("fin")
    pages = pages_of(design_of(raw))
    severe = [f.title for f in pages.dossier.findings if f.severity == "severe"]
    assert any("wind" in title for title in severe)
    for title in severe:
        assert title in pages.words("first-flights")


def test_flaps_are_never_told_to_go_up() -> None:
    words = demo("turnstone").words("first-flights")
    assert "Flaps go down only" in words
    assert "down only" in demo("turnstone").tree("first-flights").all("table")[0].words


def test_a_glider_is_not_told_to_throttle_back() -> None:
    words = pages_of(design_of(glider())).words("first-flights").lower()
    assert "throttle" not in words
    assert "motor" not in words
    assert "half the battery" not in words
