"""The site opened from a folder or a memory stick, where a page may ask for nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect


@pytest.fixture
def page(browser: Browser) -> Page:
    context = browser.new_context(viewport={"width": 820, "height": 1180})
    return context.new_page()


def test_search_finds_and_opens_a_section(page: Page, components_site: Path) -> None:
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.goto((components_site / "designs/dunlin/steps.html").as_uri())
    page.get_by_role("button", name="Search").click()
    field = page.get_by_role("searchbox", name="Search")
    expect(field).to_be_focused()
    field.fill("trapez")
    first = page.locator(".pg-find li a").first
    expect(first).to_contain_text("trapezium")
    field.fill("trapezium (unheard-of")
    expect(page.locator(".pg-find [role=status]")).to_have_text("Nothing found.")
    field.fill("apezium")  # only what begins a word
    expect(page.locator(".pg-find [role=status]")).to_have_text("Nothing found.")
    field.fill("Proportions")
    first.click()
    expect(page).to_have_url(
        (components_site / "designs/dunlin/index.html").as_uri() + "#proportions"
    )
    assert wrong == []


def test_the_theme_search_stays_away_and_escape_closes(page: Page, components_site: Path) -> None:
    page.goto((components_site / "index.html").as_uri())
    expect(page.locator(".md-search")).to_be_hidden()
    opener = page.get_by_role("button", name="Search")
    opener.click()
    page.keyboard.press("Escape")
    expect(page.locator(".pg-find")).to_be_hidden()
    expect(opener).to_be_focused()
