"""What must hold on every page of a site, whatever it shows."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Request, Response

from tests.browser.conftest import Site, context_name

# Web Content Accessibility Guidelines 2.2, levels A and AA, and what they took over from 2.0
# and 2.1; axe-core names its rules after them.
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]

# WCAG 2.2, 2.5.5 target size (enhanced).
TARGET = 44

TARGETS = ".pg-tabs a, summary, button, .pg-sitenav a, .pg-brand, .pg-filters select"


class Watcher:
    """Notes everything on a page that should not happen."""

    def __init__(self, page: Page, site: Site) -> None:
        self.site = site
        self.seen: list[str] = []
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.seen.append(f"{page.url}: {error}"))
        page.on("request", self._request)
        page.on("requestfailed", self._failed)
        page.on("response", self._response)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.seen.append(f"{message.page.url if message.page else ''}: {message.text}")

    def _failed(self, request: Request) -> None:
        # Aborted: the visit went on to the next page while a background request was under way.
        if request.failure != "net::ERR_ABORTED":
            self.seen.append(f"failed: {request.url}: {request.failure}")

    def _request(self, request: Request) -> None:
        if not request.url.startswith((self.site.address + "/", "data:")):
            self.seen.append(f"another host: {request.url}")

    def _response(self, response: Response) -> None:
        if response.status >= 400:
            self.seen.append(f"{response.status}: {response.url}")


def test_pages_are_quiet_accessible_and_sized_for_fingers(
    context: BrowserContext, site: Site
) -> None:
    """One visit of each page serves all checks: the visits are what takes the time."""
    page = context.new_page()
    watcher = Watcher(page, site)
    wrong: list[str] = []
    told = _one_of_each_template(site.pages, context)
    for name in _on_both_screens(site.pages, context):
        page.goto(site.url(name), wait_until="load")
        checks = (*_shape(page), *_small_targets(page))
        if name in told:
            checks = (*checks, *_undrawn_pictures(page), *_axe(page))
        wrong += [f"{name}: {problem}" for problem in checks]
    problems = wrong + watcher.seen
    assert not problems, "\n".join(problems)


VISITS = ("desktop light", "desktop dark", "tablet light", "tablet dark")


def _designs(pages: list[str]) -> list[str]:
    return sorted({page.split("/")[1] for page in pages if page.startswith("designs/")})


def _on_both_screens(pages: list[str], context: BrowserContext) -> list[str]:
    """Every page in two visits: one of the usual two, and one of the long ones."""
    turn = VISITS.index(context_name(context))
    pair = (0, 1) if turn in (0, 1) else (2, 3)
    designs = _designs(pages)
    if len(designs) < len(VISITS):
        return pages  # the small tree of components
    other = tuple(f"designs/{slug}/" for n, slug in enumerate(designs) if n % 4 not in pair)
    return [page for page in pages if not page.startswith(other)]


def _one_of_each_template(pages: list[str], context: BrowserContext) -> set[str]:
    """Pages looked at closely: every page over the visits, every template of designs in each.

    Designs share their templates; axe takes seconds a page, so each visit takes other designs. The
    library's own pages are looked at on both screens and in both colour schemes, in two visits.
    """
    turn = VISITS.index(context_name(context))
    designs = _designs(pages)
    mine = tuple(f"designs/{slug}/" for slug in designs[turn :: len(VISITS)] or designs[:1])
    own = {page for page in pages if not page.startswith("designs/")}
    return {page for page in pages if page.startswith(mine)} | (own if turn in (0, 3) else set())


def _shape(page: Page) -> Iterator[str]:
    headings = page.locator("h1").count()
    if headings != 1:
        yield f"{headings} h1"
    wide, screen = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    if wide > screen:
        yield f"{wide} px wide on a screen of {screen}"


def _small_targets(page: Page) -> Iterator[str]:
    found = page.evaluate(
        """([targets, least]) => [...document.querySelectorAll(targets)]
             .filter((e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
             .map((e) => [e.getBoundingClientRect().height, e.outerHTML.slice(0, 80)])
             .filter(([height]) => height < least)""",
        [TARGETS, TARGET],
    )
    return (f"{height:g} px high: {html}" for height, html in found)


def _undrawn_pictures(page: Page) -> Iterator[str]:
    """Bring every lazy picture into view and wait for it."""
    found = page.evaluate(
        """async () => {
             const pictures = [...document.querySelectorAll("article img")];
             const shown = pictures.filter((i) => i.checkVisibility());
             for (const picture of shown) {
               picture.scrollIntoView();
               await picture.decode().catch(() => {});
             }
             return shown.filter((i) => !i.naturalWidth).map((i) => i.src);
           }"""
    )
    return (f"picture not drawn: {source}" for source in found)


# With one <details> of each kind open: hundreds look alike.
OPEN_ONE = """() => {
  const seen = new Set();
  for (const details of document.querySelectorAll("details")) {
    const kind = details.className + " in " + details.parentElement.tagName;
    details.open = !seen.has(kind);
    seen.add(kind);
  }
}"""

# Contrast is four fifths of the time, and rows made of the same elements and classes have the same
# colours: three of each kind are looked at.
HIDE_ALIKE = """() => {
  const name = (e) => e.tagName + "." + (e.getAttribute("class") ?? "");
  const kind = (e) => [name(e), ...new Set([...e.querySelectorAll("*")].map(name))].join();
  for (const parent of document.querySelectorAll("article, article *:not(svg *)")) {
    const seen = {};
    for (const child of parent.children) {
      const its = kind(child);
      seen[its] = (seen[its] ?? 0) + 1;
      if (seen[its] > 3) child.style.setProperty("display", "none", "important");
    }
  }
}"""


def _axe(page: Page) -> Iterator[str]:
    """All rules on the whole page but for contrast, which follows on some of what looks alike."""
    page.evaluate(OPEN_ONE)
    tags = {"runOnly": {"type": "tag", "values": WCAG}}
    yield from _violations(page, {**tags, "rules": {"color-contrast": {"enabled": False}}})
    page.evaluate(HIDE_ALIKE)
    yield from _violations(page, {"runOnly": {"type": "rule", "values": ["color-contrast"]}})


def _violations(page: Page, options: dict[str, Any]) -> Iterator[str]:
    results = Axe().run(page, options={**options, "resultTypes": ["violations"]}).response
    assert results["passes"], "axe checked nothing"
    for violation in results["violations"]:
        for node in violation["nodes"]:
            yield f"{violation['id']}: {node['html']}"


def test_links_lead_somewhere(site: Site) -> None:
    ids: dict[str, set[str]] = {}
    links: list[tuple[str, str]] = []
    for name in site.pages:
        html = (site.folder / name).read_text("utf-8")
        ids["/" + name] = set(re.findall(r'\sid="([^"]+)"', html))
        links += [(name, link) for link in re.findall(r'\s(?:href|src)="([^"]*)"', html)]
    broken = [
        f"{page}: {link}" for page, link in links if not _leads_somewhere(site, page, link, ids)
    ]
    assert links
    assert not broken, "\n".join(broken)


def _leads_somewhere(site: Site, page: str, link: str, ids: dict[str, set[str]]) -> bool:
    if link.startswith(("https://", "http://", "mailto:")):
        return True  # followed by people only: the reader's choice, not a request of the page
    address, anchor = urldefrag(urljoin(site.url(page), link.replace("&amp;", "&")))
    path = unquote(urlsplit(address).path)
    if path.endswith("/"):
        path += "index.html"
    if not (site.folder / path.lstrip("/")).is_file():
        return False
    return not anchor or path not in ids or unquote(anchor) in ids[path]


def test_pages_carry_a_policy_and_nothing_inline(site: Site) -> None:
    for name in site.pages:
        html = (site.folder / name).read_text("utf-8")
        policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', html)
        assert policy, name
        assert "default-src 'none'" in policy[1], name
        assert "unsafe" not in policy[1], name
        assert html.index("Content-Security-Policy") < html.index("<script"), name
        for attributes, body in re.findall(r"<script([^>]*)>(.*?)</script>", html, re.DOTALL):
            assert not body.strip() or 'type="application/json"' in attributes, name
        assert not re.search(r"<[^>]*\s(style|on[a-z]+)=", html), name
        assert "<style" not in html, name
        assert "javascript:" not in html, name


def test_names_on_a_page_are_unique(site: Site) -> None:
    """HTML Living Standard, 3.2.6: an id is used once in its document."""
    for name in site.pages:
        names = re.findall(r'\sid="([^"]+)"', (site.folder / name).read_text("utf-8"))
        assert len(names) == len(set(names)), (
            f"{name}: {sorted(n for n in names if names.count(n) > 1)}"
        )
