"""Building step by step on a tablet: ticks, waits, keys, fingers, sun and paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Route, expect

from tests.browser.conftest import Site, serve
from tests.browser.test_every_page import WCAG

BUILD = "designs/dunlin/build.html"
TABLET, LYING, PHONE = (820, 1180), (1180, 820), (390, 844)

# A gloved or gluey finger: more than WCAG 2.2, 2.5.5 (enhanced), asks for (44 px).
TARGET = 48


@pytest.fixture(scope="module")
def demo(demo_site: Path) -> Iterator[Site]:
    with serve(demo_site) as site:
        yield site


@pytest.fixture
def page(browser: Browser, demo: Site) -> Iterator[Page]:
    """The build page on a tablet, for the first time."""
    width, height = TABLET
    context = browser.new_context(viewport={"width": width, "height": height}, has_touch=True)
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(demo.url(BUILD))
    yield page
    context.close()
    assert errors == []


def enter(page: Page) -> None:
    page.locator(".pg-step-enter").click()


def shown(page: Page) -> list[int]:
    """Numbers of the steps that can be seen."""
    numbers: list[int] = page.evaluate(
        """() => [...document.querySelectorAll(".pg-step")]
             .filter((step) => step.checkVisibility()).map((step) => +step.dataset.number)"""
    )
    return numbers


def steps_of(page: Page) -> int:
    return page.locator(".pg-step").count()


# --- one step a screen -----------------------------------------------------------------------


def test_the_page_is_whole_until_asked(page: Page) -> None:
    every = list(range(1, steps_of(page) + 1))
    assert len(every) > 10
    assert shown(page) == every
    enter(page)
    assert shown(page) == [1]
    expect(page.locator(".pg-step-where")).to_have_text(f"Step 1 of {len(every)}")
    page.get_by_role("button", name="Whole page").click()
    assert shown(page) == every
    page.reload()
    assert shown(page) == every


def test_buttons_and_keys_go_from_step_to_step(page: Page) -> None:
    enter(page)
    page.get_by_role("button", name="Previous").click(force=True)  # told to be off
    assert shown(page) == [1]
    page.get_by_role("button", name="Next").click()
    assert shown(page) == [2]
    expect(page.locator(".pg-step-news")).to_contain_text(re.compile("^Step 2 of"))
    for key, wanted in (("ArrowRight", 3), ("ArrowLeft", 2), ("PageUp", 1), ("ArrowLeft", 1)):
        page.keyboard.press(key)
        assert shown(page) == [wanted], key
    page.keyboard.press("Control+ArrowRight")
    assert shown(page) == [1]


@pytest.mark.parametrize("key", [" ", "PageDown"])
def test_what_is_below_is_read_before_the_next_step(page: Page, key: str) -> None:
    enter(page)
    assert page.evaluate("document.documentElement.scrollHeight > innerHeight + 100")
    page.keyboard.press(key)
    assert shown(page) == [1]
    assert 0 < page.evaluate("scrollY") < TABLET[1] - 150  # nothing is skipped under the bars
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    page.keyboard.press(key)
    assert shown(page) == [2]
    assert page.evaluate("scrollY") == 0


def test_keys_for_a_control_stay_its_own(page: Page) -> None:
    enter(page)
    box = page.locator(".pg-current .pg-tick input").first
    box.focus()
    page.keyboard.press(" ")
    expect(box).to_be_checked()
    assert shown(page) == [1]


def drag(page: Page, *points: tuple[float, float], fingers: int = 1) -> None:
    """A real touch along some points; a second finger stays 80 px below the first."""
    session = page.context.new_cdp_session(page)

    def send(kind: str, at: tuple[float, float] | None) -> None:
        places = [] if at is None else [{"x": at[0], "y": at[1] + 80 * n} for n in range(fingers)]
        touch = [{**place, "id": n} for n, place in enumerate(places)]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touch})

    send("touchStart", points[0])
    for point in points[1:]:
        send("touchMove", point)
    send("touchEnd", None)
    session.detach()


def test_a_swipe_turns_over_and_nothing_else_does(page: Page) -> None:
    enter(page)
    drag(page, (600, 600), (500, 605), (400, 610))
    assert shown(page) == [2]
    drag(page, (200, 600), (300, 600), (400, 590))
    assert shown(page) == [1]
    for what, points, fingers in (
        ("too short", [(600, 600), (560, 600)], 1),
        ("scrolling", [(500, 700), (450, 600), (420, 400)], 1),
        ("the system's own, from the edge", [(815, 600), (700, 600), (500, 600)], 1),
        ("two fingers", [(600, 600), (500, 600), (400, 600)], 2),
    ):
        drag(page, *points, fingers=fingers)
        assert shown(page) == [1], what


def test_what_moves_sideways_is_moved_and_not_swiped(page: Page) -> None:
    """A wide table in a step scrolls under the finger."""
    enter(page)
    page.evaluate(
        """() => {
             const wide = document.createElement("div");
             wide.className = "pg-scroll wide";
             const row = document.createElement("p");
             row.textContent = "x ".repeat(900);
             row.style.cssText = "white-space: nowrap; max-width: none; font-size: 60px";
             wide.append(row);
             document.querySelector(".pg-current h2").after(wide);
           }"""
    )
    place = page.locator(".wide").bounding_box()
    assert place
    y = place["y"] + 30
    drag(page, (600, y), (500, y), (300, y))
    assert shown(page) == [1]
    assert page.evaluate("document.querySelector('.wide').scrollLeft") > 0


def test_an_address_opens_its_step(page: Page, demo: Site) -> None:
    keys = page.locator(".pg-step h2").evaluate_all("(all) => all.map((e) => e.id)")
    page.goto(demo.url(f"{BUILD}#{keys[4]}"))
    assert len(shown(page)) == len(keys)  # not in step mode
    enter(page)
    page.goto("about:blank")
    page.goto(demo.url(f"{BUILD}#{keys[4]}"))
    assert shown(page) == [5]
    page.evaluate(f"location.hash = '{keys[2]}'")
    page.wait_for_function("document.querySelector('.pg-current').dataset.number === '3'")
    page.goto("about:blank")
    page.goto(demo.url(BUILD))
    assert shown(page) == [3]  # where it was left
    page.evaluate("location.hash = '%E0%A4%A'")
    page.locator(".pg-step-where").click()
    page.get_by_role("button", name=re.compile(r"^7")).click()
    assert shown(page) == [7]
    assert page.url.endswith(f"#{keys[6]}")


def test_cautions_stand_before_the_work(page: Page) -> None:
    """Also one that an earlier step gives in full: it opens in its place."""
    order = page.evaluate(
        """() => [...document.querySelectorAll(".pg-step")].flatMap((step) => {
             const work = [...step.children].find((e) => e.matches("p:not(.pg-again), ol, table"));
             return [...step.querySelectorAll(".pg-caution, .pg-again")]
               .map((e) => !!(e.compareDocumentPosition(work) & Node.DOCUMENT_POSITION_FOLLOWING));
           })"""
    )
    assert len(order) > 10
    assert all(order)
    link = page.locator(".pg-again a").first
    number = int(link.evaluate("(e) => e.closest('.pg-step').dataset.number"))
    enter(page)
    for _ in range(number - 1):
        page.keyboard.press("ArrowRight")
    before = page.locator(".pg-current .pg-caution").count()
    link.click()
    assert shown(page) == [number]
    expect(page.locator(".pg-current .pg-caution")).to_have_count(before + 1)
    expect(link).to_have_attribute("aria-expanded", "true")
    link.click()
    expect(page.locator(".pg-current .pg-caution")).to_have_count(before)


# --- what is kept ----------------------------------------------------------------------------


def test_ticks_survive_closing_the_browser(browser: Browser, demo: Site, tmp_path: Path) -> None:
    def open_page() -> tuple[Any, Page]:
        context = browser.browser_type.launch_persistent_context(
            tmp_path, executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        page = context.new_page()
        page.goto(demo.url(BUILD))
        return context, page

    context, page = open_page()
    enter(page)
    page.locator(".pg-current .pg-tick input").nth(1).check()
    page.locator(".pg-current .pg-step-done input").check()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    context.close()
    context, page = open_page()
    assert shown(page) == [2]
    expect(page.locator(".pg-stepbar progress")).to_have_js_property("value", 1)
    ticked = page.locator(".pg-step").first.locator("input:checked")
    assert ticked.count() == 2
    context.close()


def test_each_revision_has_its_own_ticks(page: Page, demo: Site) -> None:
    def next_revision(route: Route) -> None:
        answer = route.fetch()
        text = answer.text()
        changed = re.sub(r'data-store="steps\.dunlin\.\w+"', 'data-store="steps.dunlin.ZZ"', text)
        assert changed != text
        route.fulfill(response=answer, body=changed)

    box = page.locator(".pg-step-done input").first
    box.check()
    page.route("**/build.html", next_revision)
    page.reload()
    expect(box).not_to_be_checked()
    page.unroute("**/build.html")
    page.reload()
    expect(box).to_be_checked()


def test_clearing_asks_first(page: Page) -> None:
    ticked = page.locator(".pg-step input:checked")
    page.locator(".pg-step-done input").nth(0).check()
    page.locator(".pg-step-done input").nth(3).check()
    expect(page.locator(".pg-step-sofar")).to_contain_text("2 of")
    page.get_by_role("button", name="Clear all ticks").click()
    page.get_by_role("button", name="Keep them").click()
    assert ticked.count() == 2
    page.get_by_role("button", name="Clear all ticks").click()
    page.get_by_role("button", name="Clear them").click()
    assert ticked.count() == 0
    page.reload()
    assert ticked.count() == 0


@pytest.mark.parametrize(
    "kept", ["null", "[]", '"x"', '{"ticks": [1], "waits": {"a": "b"}, "last": {}, "on": 3}', "{"]
)
def test_a_damaged_store_is_an_empty_one(page: Page, kept: str) -> None:
    page.locator(".pg-step-done input").first.check()
    page.evaluate(
        """(text) => {
             const key = Object.keys(localStorage).find((name) => name.includes("steps.dunlin"));
             localStorage[key] = text;
           }""",
        kept,
    )
    page.reload()
    assert page.locator(".pg-step input:checked").count() == 0
    assert len(shown(page)) == steps_of(page)


def test_without_a_store_ticks_last_for_the_page_and_the_page_says_so(page: Page) -> None:
    page.add_init_script("Storage.prototype.setItem = () => { throw new Error('refused'); };")
    page.reload()
    page.locator(".pg-step-done input").first.check()
    enter(page)
    expect(page.locator(".pg-step-done input").first).to_be_checked()
    page.locator(".pg-step-where").click()
    expect(page.get_by_role("dialog")).to_contain_text("This browser keeps nothing")


def test_a_wait_runs_on_over_other_pages(page: Page, demo: Site) -> None:
    page.clock.install()
    page.reload()
    step = page.locator(".pg-step[data-wait]").first
    minutes = int(step.get_attribute("data-wait") or 0)
    number = step.get_attribute("data-number")
    enter(page)
    act = step.locator(".pg-timer button")
    act.click()
    expect(act).to_have_text("Stop the timer")
    left = step.get_by_role("timer")
    first = left.inner_text()
    page.clock.fast_forward(61_000)
    assert left.inner_text() != first
    page.keyboard.press("ArrowRight")
    expect(page.locator(".pg-step-waiting")).to_contain_text(f"Step {number} waits: ")
    page.goto(demo.url("designs/dunlin/safety.html"))
    page.clock.fast_forward((minutes - 3) * 60_000)
    page.goto(demo.url(BUILD))
    alarm = page.get_by_role("alert")
    expect(page.locator(".pg-step-waiting")).to_contain_text(re.compile(r"1.min"))
    expect(alarm).to_be_hidden()
    page.clock.fast_forward(180_000)
    expect(alarm).to_contain_text(f"Step {number}: the wait is over")
    assert page.title().startswith("Wait over")
    alarm.get_by_role("link").click()
    expect(page.locator(".pg-current")).to_have_attribute("data-number", str(number))
    alarm.get_by_role("button").click()
    expect(alarm).to_be_hidden()
    page.reload()
    expect(alarm).to_be_hidden()


# --- the screen ------------------------------------------------------------------------------

LOCKS = """
window.locks = [];
let seen = "visible";
Object.defineProperty(document, "visibilityState", { get: () => seen });
window.look = (state) => {
  seen = state;
  if (state === "hidden") for (const lock of locks) lock.end(); // as browsers do
  document.dispatchEvent(new Event("visibilitychange"));
};
Object.defineProperty(navigator, "wakeLock", { value: { request: async () => {
  const lock = new EventTarget();
  lock.held = true;
  lock.end = () => {
    if (lock.held) lock.dispatchEvent(new Event("release"));
    lock.held = false;
  };
  lock.release = async () => lock.end();
  locks.push(lock);
  return lock;
} } });
"""


def test_the_screen_stays_on_in_step_mode_only(page: Page) -> None:
    """Screen Wake Lock API (W3C): a lock ends when the page is hidden, and is asked for again."""
    page.add_init_script(LOCKS)
    page.reload()
    held = "locks.filter((lock) => lock.held).length"
    assert page.evaluate(held) == 0
    enter(page)
    page.wait_for_function(f"{held} === 1")
    page.evaluate("look('hidden')")
    assert page.evaluate(held) == 0
    page.evaluate("look('visible')")
    page.wait_for_function(f"{held} === 1")
    page.get_by_role("button", name="Whole page").click()
    page.wait_for_function(f"{held} === 0")
    page.evaluate("look('visible')")
    assert page.evaluate(held) == 0


SMALL = """(least) => [...document.querySelectorAll(
    ".pg-current :is(a, button, label, summary), .pg-stepbar :is(a, button)," +
    ".pg-stepfoot button, dialog[open] button")]
  .filter((e) => e.checkVisibility())
  .filter((e) => !e.matches(".pg-current > :is(p:not(.pg-again, .pg-report), ul, ol) a")) // in text
  .map((e) => [e.getBoundingClientRect(), e.outerHTML.slice(0, 90)])
  .filter(([box]) => box.height < least || box.width < least)
  .map(([box, html]) => `${box.width} x ${box.height}: ${html}`)"""


@pytest.mark.parametrize("size", [TABLET, LYING, PHONE, (844, 390)])
def test_targets_are_for_gluey_fingers_and_nothing_is_cut_off(
    page: Page, size: tuple[int, int]
) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    enter(page)
    for _ in range(steps_of(page)):
        assert page.evaluate(SMALL, TARGET) == []
        wide, bars = page.evaluate(
            """[document.documentElement.scrollWidth, [".pg-stepbar", ".pg-stepfoot"]
                 .map((name) => document.querySelector(name).getBoundingClientRect())
                 .map((box) => [box.top, box.bottom])]"""
        )
        assert wide <= size[0]
        assert 0 <= bars[0][0] < bars[0][1] < bars[1][0] < bars[1][1] <= size[1] + 1
        assert bars[1][0] - bars[0][1] > size[1] * 0.5
        page.keyboard.press("ArrowRight")
    page.locator(".pg-step-where").click()
    assert page.evaluate(SMALL, TARGET) == []


def axe(page: Page) -> list[str]:
    only = {"type": "tag", "values": WCAG}
    found = Axe().run(page, options={"runOnly": only, "resultTypes": ["violations"]}).response
    return [f"{one['id']}: {n['html']}" for one in found["violations"] for n in one["nodes"]]


@pytest.mark.parametrize("scheme", ["light", "dark", "sun"])
def test_it_is_accessible_in_every_light(page: Page, scheme: str) -> None:
    page.emulate_media(color_scheme="dark" if scheme != "light" else "light")
    page.reload()
    enter(page)
    page.keyboard.press("ArrowRight")
    page.locator(".pg-current .pg-tick input").first.check()
    if scheme == "sun":
        page.locator(".pg-stepbar .pg-step-sun").click()
        page.reload()  # remembered
        colours = page.evaluate(
            "['color', 'backgroundColor'].map((name) => getComputedStyle(document.body)[name])"
        )
        assert colours == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
        assert page.locator(".pg-current .pg-dark:visible").count() == 0
    assert axe(page) == []
    page.locator(".pg-step-where").click()
    assert axe(page) == []


# --- paper, and no scripts -------------------------------------------------------------------


def test_paper_has_every_step_with_boxes_to_tick(page: Page) -> None:
    """Also from step mode, with every drawing that lay out of sight."""
    enter(page)
    page.locator(".pg-current .pg-step-done input").check()
    page.wait_for_load_state("networkidle")
    page.emulate_media(media="print")
    assert len(shown(page)) == steps_of(page)
    for hidden in (".pg-stepbar", ".pg-stepfoot", ".pg-stepmode", ".pg-timer", ".pg-report"):
        assert page.locator(f"{hidden}:visible").count() == 0, hidden
    boxes = page.evaluate(
        """() => [...document.querySelectorAll(".pg-step [data-tick] input")].map((e) => {
             const { width, height, borderTopWidth: line } = getComputedStyle(e);
             return Math.min(parseFloat(width), parseFloat(height), 10 * parseFloat(line));
           })"""
    )
    assert len(boxes) == page.locator("[data-tick]").count() > 100
    assert min(boxes) >= 10
    undrawn = page.evaluate(
        """() => [...document.querySelectorAll(".pg-step img")]
             .filter((e) => e.checkVisibility() && !e.naturalWidth).map((e) => e.src)"""
    )
    assert undrawn == []


def test_without_scripts_it_is_a_page_to_read(browser: Browser, demo: Site) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(demo.url(BUILD))
    every = page.locator(".pg-step")
    assert every.count() > 10
    for each in every.all():
        expect(each).to_be_visible()
    assert page.locator(".pg-stepmode:visible, .pg-step-done:visible, input:visible").count() == 0
    context.close()


def test_a_step_begins_a_letter(page: Page) -> None:
    """To the address of the demo library, which stands in a domain kept for examples (RFC 2606)."""
    links = page.locator(".pg-step .pg-report a")
    assert links.count() == steps_of(page)
    assert (links.nth(2).get_attribute("href") or "").startswith(
        "mailto:bench@example.org?subject="
    )
    expect(page.locator("article > .pg-report a")).to_have_count(1)
