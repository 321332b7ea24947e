"""A design kept on the device: whole or not at all, with the network off, from a sub-path."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from plansgen.site.offline import Revision, write_offline_lists
from tests.browser.conftest import Site, serve

KEEP = "Keep this design for reading without a network"
PAGE = "plans/designs/dunlin/index.html"


def publish(site: Site, revision: str, *, mark: str) -> None:
    """Another revision, which says so on its first page and in its style."""
    folder = site.folder / "plans"
    for name in ("designs/dunlin/index.html", "designs/dunlin/balance.html"):
        page = folder / name
        text = page.read_text("utf-8")
        page.write_text(text.replace("</article>", f"<p>{mark}</p></article>"), "utf-8")
    write_offline_lists(folder, [Revision("dunlin", "Dunlin", revision, "2026-05-30")])


@pytest.fixture
def site(components_site: Path, tmp_path: Path) -> Iterator[Site]:
    shutil.copytree(components_site, tmp_path / "plans")
    with serve(tmp_path) as served:
        publish(served, "A", mark="Mark one")
        yield served


@pytest.fixture
def visit(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport={"width": 820, "height": 1180})
    context.set_default_timeout(15000)
    yield context
    context.close()


@pytest.fixture
def page(visit: BrowserContext) -> Page:
    return visit.new_page()


def keep(page: Page, site: Site) -> None:
    page.goto(site.url(PAGE))
    expect(page.locator(".pg-offline p").first).to_contain_text("MB will be fetched")
    page.get_by_role("button", name=KEEP).click()
    expect(page.locator(".pg-offline")).to_contain_text("It opens without a network")


def stores(page: Page) -> int:
    count: int = page.evaluate("caches.keys().then((names) => names.length)")
    return count


def test_what_is_kept_opens_without_a_network_and_what_is_not_says_so(
    visit: BrowserContext, page: Page, site: Site
) -> None:
    keep(page, site)
    visit.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Dunlin")
    expect(page.get_by_text("Mark one")).to_be_visible()
    sized = "getComputedStyle(document.querySelector('.pg-tabs a')).minHeight"
    assert page.evaluate(sized) == "44px"  # the style is there too
    page.get_by_role("link", name="Balance", exact=True).click()
    expect(page).to_have_url(site.url("plans/designs/dunlin/balance.html"))
    expect(page.get_by_text("Mark one")).to_be_visible()
    page.goto(site.url("plans/designs/dunlin/"))
    expect(page.get_by_text("Mark one")).to_be_visible()
    page.goto(site.url("plans/index.html?find=dun"))
    expect(page.locator(".pg-card:visible")).to_have_count(1)
    expect(page.locator(".pg-card:visible")).to_contain_text("Kept on this device")
    page.get_by_role("button", name="Search").click()
    page.get_by_placeholder("Search").press_sequentially("trapezium")
    expect(page.locator(".md-search-result__item a").first).to_contain_text("Dunlin")
    page.goto(site.url("plans/designs/knot/index.html"))
    expect(page.get_by_role("heading", level=1)).to_have_text(
        "This page is not kept on this device"
    )
    page.get_by_role("link", name="Dunlin").click()
    expect(page.get_by_text("Mark one")).to_be_visible()


def test_a_newer_revision_is_told_and_replaces_the_old_as_a_whole_or_not_at_all(
    visit: BrowserContext, page: Page, site: Site
) -> None:
    keep(page, site)
    publish(site, "B", mark="Mark two")
    balance = site.folder / "plans/designs/dunlin/balance.html"
    good = balance.read_bytes()
    balance.write_bytes(good.replace(b"Mark two", b"Mark half"))  # as in the middle of an upload
    page.reload()
    news = page.locator(".pg-newer")
    expect(news).to_contain_text("A newer revision is there: B, 2026-05-30")
    expect(page.get_by_text("Mark two")).to_have_count(0)
    news.get_by_role("button").click()
    expect(news).to_contain_text("Nothing was kept or replaced")
    page.reload()
    expect(page.get_by_text("Mark two")).to_have_count(0)
    balance.write_bytes(good)
    news.get_by_role("button").click()
    expect(page.get_by_text("Mark two")).to_be_visible()
    expect(news).to_have_count(0)
    visit.set_offline(True)
    page.goto(site.url("plans/designs/dunlin/balance.html"))
    expect(page.get_by_text("Mark two")).to_be_visible()
    assert stores(page) == 2  # one design, one library: the old one has gone


def test_one_tap_removes_it(visit: BrowserContext, page: Page, site: Site) -> None:
    keep(page, site)
    page.get_by_role("button", name="Remove it").click()
    expect(page.get_by_role("button", name=KEEP)).to_be_focused()
    assert stores(page) == 0
    assert (
        page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => all.length)") == 0
    )


def test_a_device_that_refuses_is_told_in_words(page: Page, site: Site) -> None:
    page.goto(site.url(PAGE))
    page.evaluate(
        """() => {
             const full = new DOMException("", "QuotaExceededError");
             Cache.prototype.put = () => Promise.reject(full);
           }"""
    )
    page.get_by_role("button", name=KEEP).click()
    expect(page.locator(".pg-offline")).to_contain_text("no room for it")
    expect(page.get_by_role("button", name=KEEP)).to_be_enabled()
    assert stores(page) == 0


def test_a_lost_network_leaves_nothing_behind(page: Page, site: Site) -> None:
    page.goto(site.url(PAGE))
    page.evaluate(
        """() => {
             const ask = window.fetch;
             const lost = () => Promise.reject(new TypeError());
             window.fetch = (address, ...rest) =>
               `${address}`.includes("balance") ? lost() : ask(address, ...rest);
           }"""
    )
    page.get_by_role("button", name=KEEP).click()
    expect(page.locator(".pg-offline")).to_contain_text("The network was lost")
    assert stores(page) == 0


def test_a_browser_that_keeps_nothing_says_so(
    visit: BrowserContext, page: Page, site: Site
) -> None:
    visit.add_init_script("delete Navigator.prototype.serviceWorker")
    page.goto(site.url(PAGE))
    expect(page.locator(".pg-offline")).to_contain_text("keeps no pages from here")


def test_from_a_folder_it_says_that_no_network_is_needed(page: Page, components_site: Path) -> None:
    page.goto((components_site / "designs/dunlin/index.html").as_uri())
    expect(page.locator(".pg-offline")).to_contain_text("reading from a folder")
