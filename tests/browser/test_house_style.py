"""The moving parts of the house style: filters, colours, search, paper."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Site


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(color_scheme="dark", viewport={"width": 1280, "height": 800})
    yield context.new_page()
    context.close()


def scheme(page: Page) -> str | None:
    return page.locator("body").get_attribute("data-md-color-scheme")


def test_filters_hide_cards_say_how_many_and_stay_in_the_address(
    page: Page, components: Site
) -> None:
    page.goto(components.url("index.html"))
    status = page.get_by_role("status")
    expect(status).to_have_text("4 of 4 designs")
    page.get_by_label("Material").select_option("card")
    expect(status).to_have_text("2 of 4 designs")
    page.get_by_label("Span").select_option("2000-")
    expect(status).to_have_text("1 of 4 designs")
    assert page.locator(".pg-card:visible h2").all_inner_texts() == ["Turnstone"]
    page.reload()
    expect(status).to_have_text("1 of 4 designs")
    assert "material=card" in page.url
    page.get_by_role("button", name="Show all").click()
    expect(status).to_have_text("4 of 4 designs")
    assert "?" not in page.url
    page.get_by_label("Words").fill("WHIM")
    assert page.locator(".pg-card:visible h2").all_inner_texts() == ["Whimbrel"]


def test_range_ends_belong_to_one_choice_only(page: Page, components: Site) -> None:
    page.goto(components.url("index.html"))
    shown = {}
    for value in ("-1200", "1200-2000", "2000-"):
        page.get_by_label("Span").select_option(value)
        shown[value] = page.locator(".pg-card:visible h2").all_inner_texts()
    assert shown == {
        "-1200": ["Whimbrel"],
        "1200-2000": ["Dunlin", "Shelduck"],
        "2000-": ["Turnstone"],
    }


def test_a_stale_address_shows_every_card(page: Page, components: Site) -> None:
    page.goto(components.url("index.html?material=unheard-of"))
    expect(page.get_by_role("status")).to_have_text("4 of 4 designs")


def test_without_scripts_every_card_is_there_and_no_filter(
    browser: Browser, components: Site
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(components.url("index.html"))
    expect(page.locator(".pg-card:visible")).to_have_count(4)
    expect(page.locator(".pg-filters")).to_be_hidden()
    context.close()


def test_dark_is_set_before_the_theme_program_runs(page: Page, components: Site) -> None:
    page.route(re.compile("bundle"), lambda route: route.abort())
    page.goto(components.url("index.html"))
    assert scheme(page) == "slate"


def test_toggle_goes_round_and_is_remembered(page: Page, components: Site) -> None:
    page.goto(components.url("index.html"))
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    page.get_by_title("Switch to light").click()
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "default")
    page.goto(components.url("methods.html"))
    assert scheme(page) == "default"
    page.get_by_title("Switch to dark").click()
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")


def test_search_finds_a_page(page: Page, components: Site) -> None:
    fetched: list[str] = []
    page.on("request", lambda request: fetched.append(request.url.rpartition("/")[2]))
    page.goto(components.url("methods.html"), wait_until="networkidle")
    assert not [name for name in fetched if "search_index" in name]  # large: only when wanted
    page.get_by_role("button", name="Search").click()
    page.get_by_role("searchbox", name="Search").fill("trapezium")
    result = page.locator(".pg-find li a").first
    expect(result).to_contain_text("Dunlin")
    result.click()
    expect(page).to_have_url(re.compile("designs/dunlin/index.html"))


def test_search_opens_by_keyboard(page: Page, components: Site) -> None:
    page.set_viewport_size({"width": 820, "height": 1180})
    page.goto(components.url("methods.html"), wait_until="networkidle")
    field = page.get_by_role("searchbox", name="Search")
    page.get_by_role("button", name="Search").focus()
    page.keyboard.press("Enter")
    expect(field).to_be_focused()
    page.keyboard.press("Escape")
    expect(field).to_be_hidden()
    page.keyboard.press("/")
    expect(field).to_be_focused()


def test_only_the_drawing_of_the_scheme_is_fetched(page: Page, components: Site) -> None:
    fetched: list[str] = []
    page.on("request", lambda request: fetched.append(request.url.rpartition("/")[2]))
    page.goto(components.url("designs/dunlin/index.html"), wait_until="networkidle")
    assert "plan-dark.svg" in fetched
    assert "plan-light.svg" not in fetched


def test_pictures_do_not_move_the_page(page: Page, components: Site) -> None:
    page.goto(components.url("designs/dunlin/index.html"), wait_until="networkidle")
    shift = page.evaluate(
        """() => new Promise((done) => new PerformanceObserver((list) =>
             done(list.getEntries().reduce((sum, entry) => sum + entry.value, 0))
           ).observe({ type: "layout-shift", buffered: true }) ?? setTimeout(() => done(0), 500))"""
    )
    # web.dev/articles/cls: good is at most 0.1; ours has no reason to move at all
    assert shift < 0.01


def test_paper_shows_light_drawings_and_no_frame(page: Page, components: Site) -> None:
    page.goto(components.url("designs/dunlin/index.html"))
    page.emulate_media(media="print")
    for hidden in (".pg-header", ".pg-tabs", ".pg-figure .pg-dark", ".pg-button"):
        expect(page.locator(hidden).first).to_be_hidden()
    for shown in ("h1", ".pg-figure .pg-light", ".pg-num summary", ".pg-caution"):
        expect(page.locator(shown).first).to_be_visible()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"


def test_skip_link_goes_to_the_content(page: Page, components: Site) -> None:
    page.goto(components.url("designs/dunlin/index.html"))
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to content")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#pg-content")).to_be_focused()
