"""The dossier is data: complete, finite, honest, and the same after a journey through JSON."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from jsonschema import Draft202012Validator

from plansgen.dossier import from_json, json_schema, to_json
from tests.designs import (
    EVERY_LAYOUT,
    Raw,
    battery,
    design_of,
    dossier_of,
    glider,
    item,
    skin,
    surface,
    trainer,
)
from tests.random_designs import designs, not_finite


@settings(max_examples=8, deadline=None)  # each works out a whole flight
@given(designs())
def test_json_loses_nothing(raw: Raw) -> None:
    dossier = dossier_of(raw)
    text = to_json(dossier)
    assert from_json(text) == dossier
    assert to_json(from_json(text)) == text
    assert not_finite(dossier) == []
    assert b"NaN" not in text
    assert b"Infinity" not in text


@pytest.mark.parametrize("build", EVERY_LAYOUT.values(), ids=EVERY_LAYOUT)
def test_every_layout_works_out(build: Any) -> None:
    dossier = dossier_of(build())
    assert not_finite(dossier) == []
    assert dossier.balance.ready is not None
    assert from_json(to_json(dossier)) == dossier


def test_json_fits_its_own_schema() -> None:
    """Reference: jsonschema, an independent implementation of JSON Schema 2020-12."""
    schema = json_schema()
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    for build in (glider, trainer):
        assert list(validator.iter_errors(json.loads(to_json(dossier_of(build()))))) == []


def test_schema_names_units_and_methods() -> None:
    mass = json_schema()["$defs"]["MassState"]["properties"]["mass"]
    assert (mass["unit"], mass["title"]) == ("kg", "Mass")
    assert mass["method"] == "centre-of-gravity"


def test_same_design_same_bytes() -> None:
    assert to_json(dossier_of(trainer())) == to_json(dossier_of(trainer()))


def test_structure_or_why_not() -> None:
    """Board and pine of the tests have a mass but no strength; packaged ones have."""
    unknown = dossier_of(glider())
    assert unknown.structure is None
    assert "known strength" in unknown.structure_refusal
    raw = glider()
    raw["surfaces"]["wing"]["parts"] = [skin() | {"material": "foam-board-5mm"}]
    known = dossier_of(raw)
    assert known.structure is not None
    assert known.structure_refusal == ""
    assert [s.surface for s in known.structure.surfaces] == ["wing"]
    assert any("fin" in note for note in known.structure.notes)


def test_head_is_the_file() -> None:
    dossier = dossier_of(glider())
    assert (dossier.name, dossier.revision, dossier.skill) == ("Sanderling", "A", "first build")
    assert dossier.slug == "sanderling"
    assert dossier.program.startswith("plansgen ")


# --- assumptions -----------------------------------------------------------------------------


def assumed(raw: Raw) -> dict[str, str]:
    return {entry.where: entry.words for entry in dossier_of(raw).assumptions}


def test_what_was_left_out_is_said() -> None:
    found = assumed(glider())
    assert found == {
        "datum": "the datum is the foremost point of the body",
        "launches": "hand launch",
        "surfaces.wing.incidence": "no incidence",
        "surfaces.tailplane.incidence": "no incidence",
        "surfaces.fin.incidence": "no incidence",
        "allowance.glue": "glue is 8 % of the worked-out parts (estimate)",
        "allowance.paint": "no paint",
        "flight.field_height": "the field lies at sea level",
        "flight.temperature": "the standard temperature of the field's height (ISO 2533)",
        "flight.least_margin": "a least static margin of 5 % of the mean chord "
        "(common practice, no source)",
        "structure.limit_load": "a limit load factor of 4 "
        "(estimate: lively turns and a firm pull-out)",
        "structure.inverted_load": "half the limit load factor when pushed the other "
        "way (estimate)",
        "structure.top_speed": "the level top speed at full throttle, or three times the "
        "stall speed (estimate)",
        "structure.gust": "a gust of 4 m/s (estimate: a fresh day)",
        "structure.sink": "a hard landing at 1.5 m/s of sink (estimate)",
        "structure.reserve": "a reserve factor of 2 wanted (common practice, no source)",
        "nesting.gap": "2 mm between parts on a sheet (common practice, no source)",
        "nesting.margin": "5 mm between parts and the edge of a sheet (common practice, no source)",
        "nesting.kerf": "a saw cut 1 mm wide through sticks (common practice, no source)",
    }


def test_what_was_given_is_not() -> None:
    raw = glider() | {
        "datum": "the nose",
        "launches": ["hand"],
        "allowance": {"glue": 0.08},
        "batteries": [battery(chemistry="lithium polymer")],
        "bay": {"from": 0, "to": 10, "z": 3},
        "flight": {"field_height": 20, "temperature": 12, "least_margin": 0.06},
        "structure": {
            "limit_load": 5,
            "inverted_load": 2,
            "top_speed": 20,
            "gust": 3,
            "sink": 1,
            "reserve": 2.5,
        },
        "nesting": {"gap": 3, "margin": 6, "kerf": 1.2},
    }
    for each in raw["surfaces"].values():
        each["incidence"] = 0
    assert set(assumed(raw)) == {"allowance.paint", "bay.x", "bay.y"}


# --- facts that choose the safety notes ------------------------------------------------------


def facts(raw: Raw, **more: Any) -> set[str]:
    return set(dossier_of(raw, **more).facts)


def test_facts_of_a_glider() -> None:
    found = facts(glider())
    assert {"always", "first_flight", "weather", "radio_failsafe", "hand_launch"} <= found
    assert not found & {"propeller", "lithium_battery", "several_motors", "heavy", "large_span"}


def test_facts_of_power() -> None:
    found = facts(trainer())
    assert {"propeller", "lithium_battery", "charging", "heavy"} <= found
    assert "several_motors" not in found


@pytest.mark.parametrize(("mirror", "fires"), [(False, False), (True, True)])
def test_two_motors(mirror: bool, fires: bool) -> None:
    raw = glider()
    raw["items"].append(item("motor", 30, x=100, y=120, mirror=mirror, kind="motor"))
    assert ("several_motors" in facts(raw)) is fires


def test_material_brings_its_dangers() -> None:
    raw = glider()
    raw["materials"]["board"]["hazards"] = ["sanding_dust"]
    raw["materials"]["pine"]["hazards"] = ["carbon_dust"]  # not used: no danger
    assert "sanding_dust" in facts(raw)
    assert "carbon_dust" not in facts(raw)


def test_steps_and_designer_bring_theirs() -> None:
    raw = glider() | {"hazards": ["magnets"], "launches": ["water", "winch"]}
    step = {"title": "Glue", "minutes": 5, "cautions": ["hot_glue"]}
    found = facts(raw, steps=[step])
    assert {"magnets", "hot_glue", "water_flying", "bungee_or_winch"} <= found
    assert "hand_launch" not in found


@pytest.mark.parametrize(("extra", "heavy"), [(0, False), (90, True)])
def test_heavy_with_any_battery(extra: float, heavy: bool) -> None:
    """250 g is where many local rules begin (common practice, no source)."""
    raw = glider() | {"batteries": [battery("small", 20)], "bay": {"from": 0, "to": 100}}
    raw["batteries"].append(battery("other", 20 + extra))
    assert ("heavy" in facts(raw)) is heavy


@pytest.mark.parametrize(("half", "large"), [(990, False), (1000, True)])
def test_large_span(half: float, large: bool) -> None:
    raw = glider()
    raw["surfaces"]["wing"] = surface(
        "wing", [(0, 0, 200), (half, 0, 200)], at={"x": 150}, parts=[skin()]
    )
    assert ("large_span" in facts(raw)) is large


def test_fingerprint_is_the_readers() -> None:
    assert dossier_of(glider()).fingerprint == design_of(glider()).fingerprint


def test_parts_that_cannot_be_drawn_are_estimated(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = dossier_of(trainer())
    assert "part-mass-drawn" in {line.method for line in drawn.balance.lines}

    def refuse(*_: object) -> None:
        raise ValueError("the rails meet between their ends")

    monkeypatch.setattr("plansgen.dossier.cut_parts", refuse)
    found = dossier_of(trainer())
    assert found.patterns is None
    assert found.patterns_refusal == "the rails meet between their ends"
    methods = {line.method for line in found.balance.lines}
    assert "part-mass-sheet" in methods
    assert "part-mass-drawn" not in methods
