"""The page on power: what a builder must find there, and what a glider's says."""

from __future__ import annotations

import pytest

from plansgen.flight.powered import FlightTime, MixedPart, StaticThrust
from plansgen.flight.thrust_line import ThrustLine
from plansgen.site.format import show
from plansgen.site.power_page import (
    OUT_OF_SCOPE,
    lead_rows,
    line_words,
    measured_words,
    reading_of,
    speed_rows,
    time_words,
)
from tests.designs import design_of, glider
from tests.drive.test_wiring import electric, wired
from tests.site.test_pages import DEMO, demo, pages_of


@pytest.mark.parametrize("slug", DEMO)
def test_the_page_tells_the_numbers_and_where_they_are_from(slug: str) -> None:
    dossier = demo(slug).dossier
    words, page = demo(slug).words("power"), demo(slug).tree("power")
    flight, drive = dossier.flight, dossier.drive
    assert flight is not None
    assert drive is not None
    powered = flight.powered
    assert powered is not None
    for text in reading_of(powered):
        assert " ".join(text.split()) in words
    for value, unit in (
        (powered.static.used, "N"),
        (drive.static.current, "A"),
        (powered.time.mixed, "s"),
    ):
        assert " ".join(show(value, unit).metric.split()) in words
    for heading in ("What drives it", "Over speed", "How long it flies", "Wiring", "Cautions"):
        assert heading in words
    assert OUT_OF_SCOPE in words
    for choice in dossier.choices:
        assert choice.name.lower() in words.lower()
    assert {"figures/power.svg", "figures/wiring.svg", "figures/alternatives.svg"} <= {
        image.attributes["src"] for image in page.all("img")
    }


@pytest.mark.parametrize("slug", DEMO)
def test_propeller_and_battery_cautions_are_repeated(slug: str) -> None:
    words = demo(slug).words("power")
    for title in ("Propellers cut", "Treat it as running", "Power leads", "Lithium batteries burn"):
        assert title in words


def test_only_the_twin_is_told_of_a_stopped_motor() -> None:
    told = {slug for slug in DEMO if "One motor stopped" in demo(slug).words("power")}
    twins = {
        slug
        for slug in DEMO
        if any(propeller.mirrored for propeller in demo(slug).dossier.airframe.propellers)
    }
    assert told == twins != set()


def test_a_glider_is_told_that_it_has_no_drive() -> None:
    words = pages_of(design_of(glider())).words("power")
    assert "There is no drive" in words
    assert OUT_OF_SCOPE in words
    assert "What drives it" not in words


def test_a_motor_that_nobody_described_is_told_what_is_missing() -> None:
    raw = electric()
    del raw["power"]
    words = pages_of(design_of(raw)).words("power")
    assert "has a motor, but nothing is worked out" in words
    assert "no-load current and resistance" in words


def test_thrust_in_the_table_is_the_one_that_is_used() -> None:
    dossier = demo("dunlin").dossier
    assert dossier.flight is not None
    assert dossier.drive is not None
    assert dossier.flight.powered is not None
    rows = speed_rows(dossier.drive, dossier.flight.powered)
    assert rows[0].state.speed == 0.0
    assert rows[0].state.thrust == pytest.approx(dossier.flight.powered.static.used)
    speeds = [row.state.speed for row in rows]
    assert speeds == sorted(speeds)


def test_a_far_off_measurement_is_doubted() -> None:
    near, far = (
        StaticThrust(
            used=10.0, worked_out=10.0 * (1 + apart), measured=10.0, apart=apart, spread=0.1
        )
        for apart in (0.1, 0.4)
    )
    assert "as near as" in " ".join(measured_words(near))
    assert "further apart" in " ".join(measured_words(far))


def test_an_unmeasured_thrust_asks_for_a_scale() -> None:
    static = StaticThrust(used=10.0, worked_out=10.0, measured=None, apart=None, spread=0.14)
    assert "luggage scale" in " ".join(measured_words(static))


def test_the_first_timer_is_half_the_time() -> None:
    """Common practice, no source: set the timer short and lengthen it by what the charger says."""
    part = MixedPart(throttle="level", share=1.0, current=5.0)
    time = FlightTime(parts=(part,), current=5.0, mixed=1200.0, level=1200.0, full=300.0)
    assert "10\N{NO-BREAK SPACE}min" in time_words(time)


@pytest.mark.parametrize(("moment", "way"), [(0.05, "nose up"), (-0.05, "nose down")])
def test_what_the_throttle_does_to_the_trim(moment: float, way: str) -> None:
    """Statics: thrust above the balance point pushes the nose down."""
    line = ThrustLine("propeller", 0.0, 0.0, -0.02 if moment > 0 else 0.02, None, moment, 0.0)
    words = " ".join(line_words(line))
    assert way in words
    assert ("below" if moment > 0 else "above") in words


def test_leads_of_both_sides_share_a_row() -> None:
    rows = lead_rows(wired(electric(mirror=True, servos=0)))
    titles = [row.title for row in rows]
    assert len(titles) == len(set(titles))
    assert any("2\N{NO-BREAK SPACE}×" in title for title in titles)
