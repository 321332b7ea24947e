"""The browser's balance is Python's, to nine digits; and the page keeps what is put in."""

from __future__ import annotations

import dataclasses
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from plansgen.airframe.layout import Reference
from plansgen.atmosphere import air
from plansgen.balance.advice import BallastPlaces, BatteryPlace
from plansgen.balance.bench import BenchModel, Thing, bench_answer
from plansgen.balance.target import Target
from plansgen.site.bench_page import model_data
from plansgen.site.format import show
from tests.browser.conftest import Site, serve

ASSETS = Path(__file__).resolve().parents[2] / "site_templates" / "theme" / "assets"
VECTORS = 150


def random_model(dice: random.Random) -> BenchModel:
    mac, span = dice.uniform(0.05, 0.6), dice.uniform(0.3, 4.0)
    mac_x = dice.uniform(-0.5, 1.0)
    reference = Reference(
        area=mac * span,
        span=span,
        mac=mac,
        mac_x=mac_x,
        mac_y=span / 5,
        mac_z=0.0,
        root_x=mac_x - dice.uniform(0.0, 0.1),
        aspect_ratio=span / mac,
        wings=("wing",),
    )
    shares = sorted(dice.uniform(0.0, 0.6) for _ in range(3))
    places = [reference.x_of_share(share) for share in shares]
    target = Target(
        origin="own",
        limits="own",
        x=places[1],
        share=shares[1],
        from_root=places[1] - reference.root_x,
        forward_x=places[0],
        forward_share=shares[0],
        aft_x=places[2],
        aft_share=shares[2],
    )
    flies = dice.random() < 0.8
    return BenchModel(
        reference=reference,
        target=target if dice.random() < 0.9 else None,
        places=BallastPlaces(mac_x - dice.uniform(0.0, 0.5), mac_x + dice.uniform(0.0, 1.5)),
        neutral_x=mac_x + dice.uniform(0.1, 0.7) * mac if flies else None,
        lift_max=dice.uniform(0.5, 1.5) if flies else None,
        air=air(dice.uniform(0, 3000)) if flies else None,
    )


def vectors() -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """What the browser is asked, and Python's answer."""
    dice = random.Random(20260530)
    for _ in range(VECTORS):
        model = random_model(dice)

        def place(dice: random.Random = dice) -> tuple[float, float, float]:
            return dice.uniform(-0.5, 2.0), dice.uniform(-0.3, 0.3), dice.uniform(-0.2, 0.2)

        things = [
            Thing(dice.choice([0.0, dice.uniform(0.0005, 0.4)]), place())
            for _ in range(dice.randint(1, 30))
        ]
        things.append(Thing(0.01, place()))
        battery, at = None, place()
        if dice.random() < 0.8:
            low, high = sorted(dice.uniform(-0.5, 1.0) for _ in range(2))
            battery = BatteryPlace(
                dice.choice([0.0, 0.03, 0.3]), dice.uniform(low, high), low, high
            )
            at = (battery.x, at[1], at[2])
        answer = bench_answer(model, things, battery, at)
        asked = {
            "model": model_data(model),
            "things": [dict(zip("xyz", t.at, strict=True)) | {"mass": t.mass} for t in things],
            "battery": battery
            and dict(zip("xyz", at, strict=True))
            | {"mass": battery.mass, "foremost": battery.foremost, "aftmost": battery.aftmost},
        }
        yield json.loads(json.dumps(asked)), dataclasses.asdict(answer)


@pytest.fixture(scope="module")
def core(browser: Browser) -> Iterator[Page]:
    page = browser.new_page()
    page.goto("about:blank")
    page.add_script_tag(
        content=(ASSETS / "balance-core.js").read_text() + "window.core=balanceCore;"
    )
    yield page
    page.close()


def test_the_browser_gives_the_answers_of_the_build(core: Page) -> None:
    pairs = list(vectors())
    found = core.evaluate(
        "(all) => all.map((one) => core.answer(one.model, one.things, one.battery))",
        [asked for asked, _ in pairs],
    )
    for (_, wanted), got in zip(pairs, found, strict=True):
        assert got.keys() == wanted.keys()
        for name, value in wanted.items():
            if value is None or isinstance(value, bool):
                assert got[name] is value, name
            else:
                assert got[name] == pytest.approx(value, rel=1e-9, abs=1e-13), name


def test_nothing_weighs_nothing(core: Page) -> None:
    assert core.evaluate("core.answer({}, [{mass: 0, x: 1, y: 0, z: 0}], null)") is None


# --- the page --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def demo(demo_site: Path) -> Iterator[Site]:
    with serve(demo_site) as site:
        yield site


@pytest.fixture
def bench(browser: Browser, demo: Site) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 820, "height": 1180})
    page = context.new_page()
    page.goto(demo.url("designs/dunlin/your-model.html"))
    yield page
    context.close()


def fact(page: Page, title: str) -> str:
    return page.locator(f'.pg-bench-answers div:has(> dt:text-is("{title}")) dd').inner_text()


def test_masses_move_the_answer_and_stay(bench: Page) -> None:
    before = fact(bench, "Ready to fly")
    field = bench.locator(".pg-bench-things tbody tr").first.locator("input.pg-bench-number").first
    field.fill(str(float(field.input_value()) + 100))
    after = fact(bench, "Ready to fly")
    grams = [float(text.replace("\u00a0g", "")) for text in (before, after)]
    assert grams[1] - grams[0] == pytest.approx(100, abs=0.11)
    bench.reload()
    assert fact(bench, "Ready to fly") == after
    bench.get_by_role("button", name="Back to the plan's figures").click()
    assert fact(bench, "Ready to fly") == before


def test_what_is_no_number_is_told_and_changes_nothing(bench: Page) -> None:
    before = fact(bench, "Ready to fly")
    field = bench.locator(".pg-bench-things input.pg-bench-number").first
    field.fill("heavy")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(bench.get_by_role("status")).to_contain_text("a number of g")
    assert fact(bench, "Ready to fly") == before


def test_a_link_carries_the_model_to_another_device(bench: Page, browser: Browser) -> None:
    bench.get_by_role("button", name="Add a thing").click()
    row = bench.locator(".pg-bench-things tbody tr").last
    row.locator("input").first.fill("<b>camera</b>")
    row.locator("input.pg-bench-number").first.fill("55")
    wanted = fact(bench, "Ready to fly")
    bench.evaluate("void (navigator.clipboard.writeText = () => Promise.reject(new Error()))")
    bench.get_by_role("button", name="Copy a link").click()
    expect(bench.get_by_role("status")).to_contain_text("address bar")
    other = browser.new_page()
    other.goto(bench.url)
    assert fact(other, "Ready to fly") == wanted
    name = other.locator(".pg-bench-things tbody tr").last.locator("input").first
    assert name.input_value() == "<b>camera</b>"
    other.close()


@pytest.mark.parametrize("text", ["AAAA", "bnVsbA", "eyJleHRyYSI6W251bGxdfQ", "W10"])
def test_a_damaged_link_shows_the_plan(bench: Page, browser: Browser, text: str) -> None:
    wanted = fact(bench, "Balances, behind the wing's root leading edge")
    page = browser.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(f"{bench.url}#model={text}")
    assert fact(page, "Balances, behind the wing's root leading edge") == wanted
    assert errors == []
    page.close()


def test_a_file_carries_it_too(bench: Page, tmp_path: Path) -> None:
    bench.get_by_label("I have weighed and balanced").check()
    bench.get_by_label("Mass of the finished model").fill("700")
    wanted = fact(bench, "Ready to fly")
    with bench.expect_download() as saved:
        bench.get_by_role("button", name="Save a file").click()
    path = tmp_path / "model.json"
    saved.value.save_as(path)
    bench.get_by_role("button", name="Back to the plan's figures").click()
    assert fact(bench, "Ready to fly") != wanted
    bench.locator("input[type=file]").set_input_files(path)
    expect(bench.get_by_role("status")).to_contain_text("Read.")
    assert fact(bench, "Ready to fly") == wanted
    path.write_text('{"plansgen_bench": 1, "design": "another"}')
    bench.locator("input[type=file]").set_input_files(path)
    expect(bench.get_by_role("status")).to_contain_text("not read")


def test_inches_everywhere(bench: Page) -> None:
    bench.get_by_role("button", name="in, oz").click()
    assert fact(bench, "Ready to fly").endswith("oz")
    expect(bench.locator(".pg-bench-unit").first).to_have_text("oz")
    bench.reload()
    assert fact(bench, "Ready to fly").endswith("oz")


# --- units -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def units(browser: Browser) -> Iterator[Page]:
    page = browser.new_page()
    page.goto("about:blank")
    first = "const __md_get=()=>null,__md_set=()=>{};"
    page.add_script_tag(content=first + (ASSETS / "units.js").read_text() + "window.units=pgUnits;")
    yield page
    page.close()


VALUES = {
    "m": (0.2, 1.2, 0.0127, -0.035, 12.5),
    "mm": (0.00254, 0.0001),
    "m²": (0.25, 0.00031),
    "m³": (0.0021,),
    "kg": (0.457, 0.0042, 1.2),
    "kg/m²": (2.8, 11.0),
    "kg/m³": (6.1,),
    "N": (3.21, 64.0),
    "N m": (2.31,),
    "N m²": (60.7,),
    "Pa": (2.5e9, 12e6, 3400.0),
}


@pytest.mark.parametrize("unit", VALUES)
def test_inches_are_those_of_the_build(units: Page, unit: str) -> None:
    """As far as the rounding of the metric text lets them be."""
    for value in VALUES[unit]:
        shown = show(value, unit)
        got = units.evaluate("(text) => units.inInches(text)", shown.metric)
        number = lambda text: float(  # noqa: E731
            text.split("\u00a0")[0].replace("\u202f", "").replace("\u2212", "-")
        )
        assert got.split("\u00a0", 1)[1] == shown.imperial.split("\u00a0", 1)[1]
        assert number(got) == pytest.approx(number(shown.imperial), rel=6e-3, abs=0.006)


@pytest.mark.parametrize(
    ("metric", "inches"),
    [
        ("from 72 to 94 mm", "from 2.83 to 3.70 in"),
        ("841 x 594 mm sheet", "33.11 x 23.39 in sheet"),
        ("12 ± 2 g", "0.42 ± 0.07 oz"),
        ("an M3 bolt, 10 x 3 pine", "an M3 bolt, 10 x 3 pine"),
        ("1300 mAh, 30 A, 3 cells", "1300 mAh, 30 A, 3 cells"),
        ("step 3 glue it", "step 3 glue it"),
        ("7.6\u00a0m/s (27\u00a0km/h)", "25\u00a0ft/s (17\u00a0mph)"),
        ("A4, 25 mm", "A4, 0.98 in"),
    ],
)
def test_only_quantities_change(units: Page, metric: str, inches: str) -> None:
    assert units.evaluate("(text) => units.inInches(text)", metric) == inches
