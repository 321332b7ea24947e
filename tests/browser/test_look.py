"""Drawings full screen, designs beside each other and in order, the way to a page."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Site


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 820, "height": 1180})
    yield context.new_page()
    context.close()


def box(page: Page) -> dict[str, float]:
    found: dict[str, float] = page.evaluate(
        "document.querySelector('.pg-look-sheet').getBoundingClientRect().toJSON()"
    )
    return found


def test_a_drawing_fills_the_screen_and_zooms_by_keys_wheel_and_buttons(
    page: Page, components: Site
) -> None:
    page.goto(components.url("designs/dunlin/index.html"))
    opener = page.get_by_role("button", name="Full screen").first
    opener.click()
    stage = page.locator(".pg-look-stage")
    expect(stage).to_be_focused()
    whole = box(page)
    assert whole["width"] == pytest.approx(820, abs=1)
    assert whole["width"] / whole["height"] == pytest.approx(2.0, rel=1e-3)
    page.keyboard.press("+")
    assert box(page)["width"] == pytest.approx(820 * 1.4, rel=1e-3)
    before = box(page)["left"]
    page.keyboard.press("ArrowRight")
    assert box(page)["left"] == pytest.approx(before - 60, abs=0.5)
    page.keyboard.press("0")
    assert box(page) == whole
    x, y = 200.0, whole["top"] + 100.0
    page.mouse.move(x, y)
    page.mouse.wheel(0, -300)  # twice as large, about the pointer
    page.wait_for_function("document.querySelector('.pg-look-sheet').clientWidth > 1600")
    after = box(page)
    assert (x - after["left"]) / after["width"] == pytest.approx(x / 820, abs=2e-3)
    page.mouse.down()
    page.mouse.move(x - 50, y)
    page.mouse.up()
    assert box(page)["left"] == pytest.approx(after["left"] - 50, abs=0.5)
    page.keyboard.press("Escape")
    expect(page.locator(".pg-look")).to_be_hidden()
    expect(opener).to_be_focused()


def test_two_fingers_spread_a_drawing(page: Page, components: Site) -> None:
    page.goto(components.url("designs/dunlin/index.html"))
    page.get_by_role("button", name="Full screen").first.click()
    width = box(page)["width"]
    page.evaluate(
        """() => {
             const stage = document.querySelector(".pg-look-stage");
             stage.setPointerCapture = () => {};
             const send = (type, pointerId, clientX) =>
               stage.dispatchEvent(new PointerEvent(type, { pointerId, clientX, clientY: 600 }));
             send("pointerdown", 1, 300);
             send("pointerdown", 2, 400);
             send("pointermove", 2, 600);
             send("pointerup", 1, 300);
             send("pointerup", 2, 600);
           }"""
    )
    assert box(page)["width"] == pytest.approx(3 * width, rel=1e-3)


def test_layers_are_laid_over_the_drawing_and_told_in_words(page: Page, components: Site) -> None:
    page.goto(components.url("designs/dunlin/index.html"))
    page.get_by_role("button", name="Full screen, with layers").click()
    masses = page.get_by_role("button", name="Masses")
    layer = page.locator(".pg-look-sheet img").nth(1)
    expect(layer).to_be_hidden()
    masses.click()
    expect(masses).to_have_attribute("aria-pressed", "true")
    expect(layer).to_be_visible()
    expect(page.get_by_text("battery 180 g")).to_be_visible()
    same = """() => {
      const [one, two] = [...document.querySelectorAll(".pg-look-sheet img")]
        .map((image) => JSON.stringify(image.getBoundingClientRect()));
      return one === two && document.querySelectorAll(".pg-look-sheet img")[1].naturalWidth > 0;
    }"""
    page.wait_for_function(same)


def test_designs_stand_beside_each_other_and_in_the_address(page: Page, components: Site) -> None:
    page.goto(components.url("compare.html?with=knot,nobody,whimbrel"))
    beside = page.locator(".pg-compare-beside")
    expect(beside.locator("thead a")).to_have_text(["Knot", "Whimbrel"])
    expect(beside.locator("tbody tr").first).to_have_class("pg-compare-same")  # both are built
    for name in ("Dunlin", "Turnstone"):
        page.get_by_label(name).check()
    expect(page.get_by_label("Shelduck")).to_be_disabled()
    page.get_by_label("Knot").uncheck()
    assert page.url.endswith("?with=dunlin%2Cturnstone%2Cwhimbrel")
    page.reload()
    expect(beside.locator("thead a")).to_have_text(["Dunlin", "Turnstone", "Whimbrel"])
    spans = beside.locator("tbody tr").nth(1).locator("td")
    expect(spans).to_have_text(["1200\u00a0mm", "2400\u00a0mm", "1100\u00a0mm"])


def test_cards_stand_in_the_order_asked_for(page: Page, components: Site) -> None:
    page.goto(components.url("index.html"))
    names = page.locator(".pg-card h2")
    page.get_by_label("Order").select_option("-span")
    expect(names).to_have_text(["Turnstone", "Shelduck", "Dunlin", "Whimbrel"])
    page.get_by_label("Order").select_option("minutes")  # those without come last
    expect(names).to_have_text(["Turnstone", "Whimbrel", "Dunlin", "Shelduck"])
    page.reload()
    expect(names.first).to_have_text("Turnstone")
    page.get_by_role("button", name="Show all").click()
    expect(names).to_have_text(["Dunlin", "Whimbrel", "Turnstone", "Shelduck"])


def test_the_way_to_a_page_leads_back(page: Page, components: Site) -> None:
    page.goto(components.url("designs/dunlin/balance.html"))
    way = page.get_by_role("navigation", name="Where this page is")
    expect(way.locator("[aria-current=page]")).to_have_count(1)
    way.get_by_role("link", name="Designs").click()
    expect(page).to_have_url(components.url("index.html"))
