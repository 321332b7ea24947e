"""The site of a design whose every text field is an attack, opened in a real browser."""

from __future__ import annotations

import json
import shutil
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NoReturn

import pytest
import yaml
from PIL import Image
from playwright.sync_api import Browser, Page, Request

from plansgen.site.build import build_site
from tests import designs
from tests.browser.conftest import REPOSITORY, Site, serve

# What the OWASP Cross-Site Scripting Prevention Cheat Sheet warns of, and the marks of Markdown,
# its extensions and template languages.
ATTACKS = (
    "<script>alert(1)</script>",
    "</title></svg><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    '"><svg onload=alert(1)>',
    "' onmouseover='alert(1)",
    "]]>&\"'`",
    "{{ 7*7 }}{% for x in y %}{# c",
    "![x](http://elsewhere.example/x.png)",
    "[x](javascript:alert(1))",
    "<javascript:alert(1)>",
    "data:text/html,<script>alert(1)</script>",
    "x {: onclick=alert(1) style=color:red }",
    "x {#pg-content onclick=alert(1)}",
    "[TOC]",
    '--8<-- "/etc/passwd"',
    '!!! note "x"',
    "&#60;script&#62;alert(1)&#60;/script&#62;",
    "</p></div></section></article><h1>h",
    "<!-- x",
    "<![CDATA[ x",
    "<details open ontoggle=alert(1)>",
    "*[HTML]: x",
    "[x]: http://elsewhere.example/x",
    "a\n```\nb",
    "a\n~~~\nb",
    "a\n\n    b\n\n</div>",
    "שלום مرحبا",
    "e\u0301\u0302\u0303\u0304" * 12,
    "👩‍👩‍👧‍👦 🏴‍☠️",
    "$x^2$ \\frac{1}{2} $$",
    "W" * 119,
    "key: [value",
)
NAMES = ("Dunlin ) $x$ 'y'", "שלום مرحبا", "W" * 60, "1. ~~~ !!! é\u0301")
PICTURE = "photos/a b (é).png"


def _hostile(turn: int) -> dict[str, Any]:
    """A trainer with an attack in every text; turn: which attack comes first."""
    raw = designs.trainer()
    texts = (ATTACKS[(turn + number) % len(ATTACKS)] for number in range(1000))
    raw |= {
        "name": NAMES[turn % len(NAMES)],
        "summary": "\n\n".join(ATTACKS),
        "credits": {key: next(texts) for key in ("designer", "approved", "owner", "licence")},
        "datum": next(texts),
        "balance": {"target": {"mac": 0.27}, "why": "\n\n".join(ATTACKS)},
    }
    raw["credits"]["thanks"] = [next(texts), next(texts)]
    for group in (raw["surfaces"], raw["bodies"]):
        for component in group.values():
            component["title"] = next(texts)
            for part in component["parts"]:
                part["name"] = next(texts)
    for thing in (*raw["items"], *raw["batteries"], *raw["parts"], raw["materials"]["board"]):
        thing["name"] = next(texts)
    raw["materials"]["board"] |= {"source": next(texts), "note": next(texts)}
    return raw


def _front_matter(turn: int) -> dict[str, Any]:
    texts = (ATTACKS[(turn + number) % len(ATTACKS)] for number in range(1000))
    pictures = [{"file": PICTURE, "alt": next(texts), "caption": next(texts)} for _ in range(2)]
    return {
        "title": next(texts),
        "minutes": 5,
        "parts": [next(texts), next(texts)],
        "tools": [next(texts), next(texts)],
        "wait": {"minutes": 5, "for": next(texts)},
        "pictures": pictures,
    }


def _write(folder: Path, turn: int) -> None:
    (folder / "steps").mkdir(parents=True)
    (folder / "photos").mkdir()
    Image.new("RGB", (32, 24)).save(folder / PICTURE)
    _yaml(folder / "design.yaml", _hostile(turn))
    prose = "\n\n".join((*ATTACKS, "~~~~~", "```", "</section>", "```", "~~~~~"))
    for number in (1, 2):
        head = yaml.safe_dump(_front_matter(turn + 16 * number), allow_unicode=True)
        path = folder / "steps" / f"{number:03}-x.md"
        path.write_text(f"---\n{head}---\n{prose}\n", encoding="utf-8")
    notes = yaml.safe_dump({"fitting": list(ATTACKS), "problems": list(ATTACKS)})
    (folder / "notes.md").write_text(f"---\n{notes}---\n{prose}\n", encoding="utf-8")
    flights = [
        {"date": "2026-05-30", "conditions": text, "battery": text, "happened": text}
        for text in ATTACKS
    ]
    _yaml(folder / "log.yaml", {"flights": flights})


def _yaml(path: Path, data: Any) -> None:
    path.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), encoding="utf-8")


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The site of two such designs, in folders named like the site's own."""
    library = tmp_path_factory.mktemp("hostile")
    shutil.copy(REPOSITORY / "mkdocs.yml", library)
    for turn, slug in enumerate(("assets", "null")):
        _write(library / "designs" / slug, turn * 2 + 1)
    build_site(library, site=library / "site", workers=2)
    with serve(library / "site") as site:
        yield site


# Run before the page's own scripts: what a browser blocks or misses is counted.
WATCH = """
window.alert = () => { throw new Error("a script of the design ran"); };
addEventListener("securitypolicyviolation", (e) => console.error("blocked: " + e.blockedURI));
"""

FORBIDDEN = """() => {
  const found = [];
  for (const e of document.querySelectorAll("article, article *, title, header *, footer *")) {
    for (const { name, value } of e.attributes) {
      if (/^on/.test(name) || /^\\s*(javascript|data|vbscript):/i.test(value)) found.push(e);
    }
    if (/^(script|style|iframe|object|embed|base|meta|link)$/i.test(e.tagName)) found.push(e);
  }
  return found.map((e) => e.outerHTML.slice(0, 120));
}"""

SHAPE = """() => ({
  h1: document.querySelectorAll("h1").length,
  steps: document.querySelectorAll("article > section.pg-step").length,
  figures: document.querySelectorAll("article figure img").length,
  pictures: document.querySelectorAll("article > section.pg-step > figure").length,
  footer: document.querySelector("body footer")?.closest("article, section, pre") === null,
  wide: document.documentElement.scrollWidth > innerWidth,
})"""


def _watched(page: Page, site: Site) -> list[str]:
    seen: list[str] = []

    def request(asked: Request) -> None:
        if not asked.url.startswith(site.address + "/"):
            seen.append(f"another host: {asked.url}")

    page.add_init_script(WATCH)
    page.on("request", request)
    page.on("console", lambda m: seen.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: seen.append(str(error)))
    page.on("dialog", lambda dialog: (seen.append(dialog.message), dialog.dismiss()))
    page.on("response", lambda r: seen.append(f"{r.status}: {r.url}") if r.status > 399 else None)
    return seen


def test_nothing_of_a_design_runs_or_is_fetched(browser: Browser, hostile: Site) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    seen = _watched(page, hostile)
    wrong: list[str] = []
    for name in hostile.pages:
        page.goto(hostile.url(name), wait_until="load")
        wrong += [f"{name}: {html}" for html in page.evaluate(FORBIDDEN)]
        shape = page.evaluate(SHAPE)
        if (shape["h1"], shape["footer"], shape["wide"]) != (1, True, False):
            wrong.append(f"{name}: {shape}")
        if name.endswith("build.html") and (shape["steps"], shape["pictures"]) != (2, 4):
            wrong.append(f"{name}: {shape}")
    context.close()
    assert not wrong, "\n".join(wrong)
    assert not seen, "\n".join(seen)


def test_the_words_are_shown_as_they_were_typed(browser: Browser, hostile: Site) -> None:
    page = browser.new_page()
    page.goto(hostile.url("designs/null/index.html"))
    listed = page.locator("article li").all_inner_texts()
    page.close()
    assert [text for text in ATTACKS if " ".join(text.split()) not in map(_flat, listed)] == []


def _flat(text: str) -> str:
    return " ".join(text.split())


def test_drawings_and_data_are_whole(browser: Browser, hostile: Site) -> None:
    """A standard parser reads them; XML 1.0 and RFC 8259, which has no NaN."""
    drawings = sorted((hostile.folder / "designs").rglob("figures/*.svg"))
    assert len(drawings) >= 20
    for drawing in drawings:
        tags = {element.tag.rsplit("}", 1)[-1] for element in ET.parse(drawing).iter()}
        assert not tags & {"script", "foreignObject", "image", "a"}, drawing
    for data in (hostile.folder / "designs").rglob("*.json"):
        json.loads(data.read_text("utf-8"), parse_constant=_refuse)


def _refuse(constant: str) -> NoReturn:
    raise ValueError(constant)
