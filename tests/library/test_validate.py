"""Errors of the models in plain words, each with its file, line, field, range and near name."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Annotated, Any, Literal, Self

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints
from pydantic import model_validator as check

from plansgen.library import allowed
from plansgen.library.models import DesignFile, FlightLog, NotesHead, StepHead
from plansgen.library.source import parse_yaml
from plansgen.library.units import FileUnits, Length, Mass, PositiveLength, Share
from plansgen.library.validate import validated
from plansgen.problems import BadInput, Problem

SHOWN = "designs/dunlin/design.yaml"
Key = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]{0,30}$")]


class Model(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


def _from_word(value: Any) -> Any:
    return {"kind": value} if isinstance(value, str) else value


class Section(Model):
    kind: Literal["plate", "naca"] = Field(description="Kind of section.")


class Station(Model):
    chord: PositiveLength = Field(description="Chord of the rib.")
    x: Length = Field(0.0, description="Leading edge.")
    from_: Length | None = Field(None, alias="from", description="Inboard end.")
    section: Annotated[Section, BeforeValidator(_from_word)] | None = None


class Wing(Model):
    role: Literal["wing", "fin"]
    stations: tuple[Station, ...] = Field(min_length=2, max_length=3)
    mirror: bool = Field(True, strict=True)

    @check(mode="after")
    def _in_order(self) -> Self:
        if self.stations[1].x < self.stations[0].x:
            raise ValueError("stations[1].x must lie aft of the one before")
        if self.stations[0].x < 0:
            raise ValueError("a wing begins at its datum")
        if self.stations[0].x > 1:
            raise ValueError("stations[0].x runs too far: at most 1000 mm")
        if self.role == "fin":
            raise ValueError("role and mirror do not go together")
        return self


class File(Model):
    version: Literal[1]
    name: Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=12)]
    surfaces: dict[Key, Wing] = Field(min_length=1)
    count: Annotated[int, Field(ge=1, le=500, strict=True)] = 1
    date: datetime.date | None = None
    digits: Annotated[str, StringConstraints(pattern=r"^\d{4}$")] | None = None
    share: Share = 0.5
    mass: Mass | None = None
    tags: tuple[Literal["built", "flown"], ...] = ()
    at: tuple[Length, Length] | None = None
    either: Section | tuple[int, ...] | None = None
    units: FileUnits = FileUnits()


GOOD = """\
version: 1
name: Dunlin
surfaces:
  wing:
    role: wing
    stations:
      - chord: 200
      - {chord: 8 in, x: 1 cm, from: 3, section: plate}
"""
RAW_WORDS = ("Input should", "Field required", "Extra inputs", "Value error", "valid", "pydantic")


def read(text: str, **units: Any) -> File:
    return validated(File, parse_yaml(text, shown=SHOWN), units=FileUnits(**units))


def problems_of(text: str, **units: Any) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as caught:
        read(text, **units)
    for problem in caught.value.problems:
        assert problem.file == SHOWN
        assert problem.line > 0
        assert not any(words in str(problem) for words in RAW_WORDS), problem
    return caught.value.problems


def test_a_good_file_is_si() -> None:
    file = read(GOOD)
    assert file.surfaces["wing"].stations[0].chord == 0.2
    assert file.surfaces["wing"].stations[1].chord == 0.2032
    assert file.surfaces["wing"].stations[1].from_ == 0.003
    assert read(GOOD, length="in").surfaces["wing"].stations[0].chord == 5.08


CASES: list[tuple[str, str, Problem]] = [
    # what is replaced, by what, and the whole problem
    (
        "name: Dunlin",
        "nmae: Dunlin",
        Problem(
            SHOWN,
            2,
            "nmae",
            "is an unknown key",
            "version, name, surfaces, count, date, digits, share, mass, tags, at, either, units",
            "name",
        ),
    ),
    (
        "{chord: 8 in,",
        "{chrod: 8 in,",
        Problem(
            SHOWN,
            8,
            "surfaces.wing.stations[1].chrod",
            "is an unknown key",
            "chord, x, from, section",
            "chord",
        ),
    ),
    (
        "from: 3",
        "from_: 3",
        Problem(
            SHOWN,
            8,
            "surfaces.wing.stations[1].from_",
            "is an unknown key",
            "chord, x, from, section",
            "from",
        ),
    ),
    (
        "chord: 200",
        "x: 0",
        Problem(
            SHOWN,
            7,
            "surfaces.wing.stations[0].chord",
            "is missing: Chord of the rib",
            "a length from 0.001 mm up to 100 m, as a number in the file's unit "
            "or with mm, cm, m, in or ft",
        ),
    ),
    (
        "chord: 200",
        "chord: 20 mmm",
        Problem(
            SHOWN,
            7,
            "surfaces.wing.stations[0].chord",
            '"20 mmm" has the unknown unit "mmm"',
            "a length from 0.001 mm up to 100 m, as a number in mm or with mm, cm, m, in or ft",
            "mm",
        ),
    ),
    (
        "role: wing",
        "role: wnig",
        Problem(
            SHOWN,
            5,
            "surfaces.wing.role",
            '"wnig" is not one of the choices',
            "wing, fin",
            "wing",
        ),
    ),
    (
        "role: wing",
        "role: 3",
        Problem(SHOWN, 5, "surfaces.wing.role", "3 cannot stand here", "wing, fin"),
    ),
    (
        "section: plate",
        "section: plaet",
        Problem(
            SHOWN,
            8,
            "surfaces.wing.stations[1].section.kind",
            '"plaet" is not one of the choices',
            "plate, naca",
            "plate",
        ),
    ),
    (
        "  wing:",
        "  Main wing:",
        Problem(
            SHOWN,
            4,
            "surfaces.Main wing",
            'the key "Main wing" cannot be used',
            "small letters, digits and _, beginning with a letter, at most 31",
            "main_wing",
        ),
    ),
    (
        "x: 1 cm",
        "x: -1",
        Problem(
            SHOWN,
            8,
            "surfaces.wing.stations[1].x",
            "must lie aft of the one before",
        ),
    ),
    (
        "- chord: 200",
        "- {chord: 200, x: -1}",
        Problem(SHOWN, 4, "surfaces.wing", "a wing begins at its datum"),
    ),
    (
        "- chord: 200\n      - {chord: 8 in, x: 1 cm,",
        "- {chord: 200, x: 2 m}\n      - {chord: 8 in, x: 3 m,",
        Problem(SHOWN, 7, "surfaces.wing.stations[0].x", "runs too far: at most 1000 mm"),
    ),
    (
        "role: wing",
        "role: fin",
        Problem(SHOWN, 4, "surfaces.wing", "role and mirror do not go together"),
    ),
]
ADDED: list[tuple[str, str, str, str, str]] = [
    # line added at the end (line 9), field, words, allowed, nearest
    ("count: 0", "count", "0 cannot stand here", "a whole number from 1 to 500", ""),
    ("count: 1.5", "count", "1.5 cannot stand here", "a whole number from 1 to 500", ""),
    ("count: true", "count", "true cannot stand here", "a whole number from 1 to 500", ""),
    ("count: many", "count", '"many" cannot stand here', "a whole number from 1 to 500", ""),
    ("count:", "count", "has no value", "a whole number from 1 to 500", ""),
    ("date: 2026-13-30", "date", "cannot stand here", "a date such as 2026-05-30", ""),
    ("date: [1]", "date", "a list of 1 cannot stand here", "a date such as 2026-05-30", ""),
    ("digits: 2412", "digits", "put it in quotes", 'four digits in quotes, such as "2412"', ""),
    ("digits: '24'", "digits", '"24" cannot stand here', "four digits in quotes", ""),
    ("share: 8", "share", "write 8 % or 0.08", "a share from 0 to 1", ""),
    ("mass: 0", "mass", "0 is zero", "up to 25 kg", ""),
    ("tags: [built, folwn]", "tags[1]", "not one of the choices", "built, flown", "flown"),
    ("tags: built", "tags", '"built" cannot stand here', "a list", ""),
    ("at: [1, x]", "at[1]", '"x" is not a number with a unit', "a length up to 100 m", ""),
    ("at: [1]", "at[1]", "is missing", "a length up to 100 m", ""),
    ("units: {lenght: mm}", "units.lenght", "unknown key", "length, mass, angle", "length"),
    ("units: {length: mmm}", "units.length", "not one of the choices", "mm, cm, m, in, ft", "mm"),
    ("units: 12", "units", "12 cannot stand here", "the keys length, mass, angle", ""),
    ("either: {kind: plaet}", "either.kind", "not one of the choices", "plate, naca", "plate"),
    ('"a\\tb": 1', "a\\x09b", "is an unknown key", "version", ""),
]


@pytest.mark.parametrize(("old", "new", "problem"), CASES)
def test_whole_problems(old: str, new: str, problem: Problem) -> None:
    assert problems_of(GOOD.replace(old, new)) == (problem,)


@pytest.mark.parametrize(("added", "field", "wrong", "may", "nearest"), ADDED)
def test_added_lines(added: str, field: str, wrong: str, may: str, nearest: str) -> None:
    problems = problems_of(f"{GOOD}{added}\n")
    assert any(
        problem.field == field
        and problem.line == 9
        and wrong in problem.wrong
        and may in problem.allowed
        and problem.nearest == nearest
        for problem in problems
    ), problems


@pytest.mark.parametrize("value", ["2", "'1'", "[]"])
def test_version(value: str) -> None:
    (problem,) = problems_of(GOOD.replace("version: 1", f"version: {value}"))
    assert (problem.line, problem.field, problem.allowed) == (1, "version", "1")


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("''", "is empty"),
        ("'  '", "is empty"),
        ("x" * 13, "is too long: 13 characters"),
        ("12", "12 cannot stand here; put it in quotes"),
        ("true", "true cannot stand here; put it in quotes"),
    ],
)
def test_text(name: str, wrong: str) -> None:
    (problem,) = problems_of(GOOD.replace("Dunlin", name))
    assert (problem.line, problem.field, problem.wrong) == (2, "name", wrong)
    assert problem.allowed == "text of 1 to 12 characters"


def test_lists_that_are_too_short_or_long() -> None:
    head = "version: 1\nname: x\nsurfaces:\n  wing:\n    role: wing\n    stations: "
    for entries in (0, 1, 4):
        (problem,) = problems_of(f"{head}[{'{chord: 1}, ' * entries}]\n")
        assert problem.field == "surfaces.wing.stations"
        assert problem.line == 6
        assert problem.wrong == f"has {entries} entries"
        assert problem.allowed == "a list of 2 to 3 entries"


def test_a_list_with_wrong_entries_is_not_also_too_short() -> None:
    fields = [problem.field for problem in problems_of(GOOD.replace("chord", "choord"))]
    assert fields == ["surfaces.wing.stations[0].choord", "surfaces.wing.stations[1].choord"]


def test_all_problems_in_file_order() -> None:
    text = GOOD.replace("Dunlin", "12").replace("wing\n    st", "wign\n    st") + "count: 0\n"
    assert [problem.line for problem in problems_of(text)] == [2, 5, 9]


@pytest.mark.parametrize("model", [DesignFile, StepHead, NotesHead, FlightLog])
def test_every_form_that_the_models_ask_for_has_words(model: type[BaseModel]) -> None:
    def patterns(schema: Any) -> Iterator[str]:
        if isinstance(schema, dict):
            if isinstance(schema.get("pattern"), str):
                yield schema["pattern"]
            yield from schema.get("patternProperties", {})
        inner = schema.values() if isinstance(schema, dict) else schema
        for part in inner if isinstance(schema, dict | list) else ():
            yield from patterns(part)

    assert set(patterns(model.model_json_schema())) <= set(allowed._FORMS)


def test_problems_are_not_told_without_end() -> None:
    source = parse_yaml(GOOD + "".join(f"x{number}: 1\n" for number in range(3000)), shown=SHOWN)
    with pytest.raises(BadInput) as caught:
        validated(File, source, units=FileUnits())
    assert len(caught.value.problems) == 101
    assert "2900 more problems" in caught.value.problems[0].wrong


def test_a_place_within_the_file() -> None:
    source = parse_yaml(GOOD + "units:\n  length: inch\n", shown=SHOWN)
    with pytest.raises(BadInput) as caught:
        validated(FileUnits, source, units=FileUnits(), at=("units",))
    (problem,) = caught.value.problems
    assert (problem.line, problem.field) == (10, "units.length")
    wing = validated(Wing, source, units=FileUnits(), at=("surfaces", "wing"))
    assert wing.role == "wing"
    for at in (("surfaces", "tail"), ("name", "x"), ("surfaces", "wing", "stations", 7)):
        with pytest.raises(BadInput, match="is missing"):
            validated(Wing, source, units=FileUnits(), at=at)


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=8,
)


@given(st.sampled_from(sorted(File.model_json_schema()["properties"])), VALUES)
@settings(max_examples=150)
def test_any_value_anywhere_is_taken_or_told(key: str, value: Any) -> None:
    source = parse_yaml(GOOD, shown=SHOWN)
    data = {**source.data, key: value, "surfaces": value if key == "surfaces" else {"w": value}}
    problems: tuple[Problem, ...] = ()
    try:
        validated(File, type(source)(SHOWN, data, source.lines), units=FileUnits())
    except BadInput as bad:
        problems = bad.problems
    assert problems  # a wing is never such a value
    assert not any(words in str(problem) for problem in problems for words in RAW_WORDS[:4])
