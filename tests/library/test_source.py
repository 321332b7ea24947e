"""Reading untrusted YAML: every nasty file is told, none gets through, none raises otherwise.

What plain scalars mean: YAML 1.2.2, section 10.3.2, "Tag Resolution" of the core schema.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from plansgen.library import source
from plansgen.library.source import LIMITS, Limits, Source, parse_yaml, read_text, read_yaml
from plansgen.library.text import dotted, shown_value
from plansgen.problems import BadInput, Problem

SHOWN = "designs/dunlin/design.yaml"


@pytest.fixture(autouse=True, params=["CSafeLoader", "SafeLoader"], scope="module")
def parser(request: pytest.FixtureRequest) -> Iterator[None]:
    """Everything holds with the fast parser and with the one that every install has."""
    if not hasattr(yaml, request.param):
        pytest.skip("this install lacks it")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(source, "_Loader", getattr(yaml, request.param))
        yield


def problems_of(text: str, **kwargs: Any) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as caught:
        parse_yaml(text, shown=SHOWN, **kwargs)
    assert all(problem.file == SHOWN for problem in caught.value.problems)
    return caught.value.problems


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("on", "on"),
        ("no", "no"),
        ("Yes", "Yes"),
        ("1:30", "1:30"),
        ("2026-05-30", "2026-05-30"),
        ("010", 10),
        ("0o17", 15),
        ("0xFF", 255),
        ("1_000", "1_000"),
        ("-12", -12),
        ("+12", 12),
        ("1.", 1.0),
        (".5", 0.5),
        ("1e3", 1000.0),
        ("1.5E-3", 0.0015),
        ("0.", 0.0),
        ("true", True),
        ("False", False),
        ("tRue", "tRue"),
        ("null", None),
        ("~", None),
        ("", None),
        ("'12'", "12"),
        ('"true"', "true"),
        ("=", "="),
        ("12 mm", "12 mm"),
        ("[1, [2]]", [1, [2]]),
        ("{a: {b: no}}", {"a": {"b": "no"}}),
    ],
)
def test_core_schema(written: str, value: Any) -> None:
    found = parse_yaml(f"key: {written}\n", shown=SHOWN).data["key"]
    assert found == value
    assert type(found) is type(value)


def test_every_value_has_its_line() -> None:
    text = "a: 1\n\nb:\n  # why\n  - x: 2\n    y: 3\n  -\n    x: 4\nc: &s {d: 5}\ne: *s\n"
    read = parse_yaml(text, shown=SHOWN)
    assert read.data == {
        "a": 1,
        "b": [{"x": 2, "y": 3}, {"x": 4}],
        "c": {"d": 5},
        "e": {"d": 5},
    }
    assert read.line(("a",)) == 1
    assert read.line(("b", 0, "y")) == 6
    assert read.line(("b", 1, "x")) == 8
    assert read.line(("b", 1, "unknown", 3)) in (7, 8)
    assert read.line(("e", "d")) == 10
    assert read.line(("nowhere",)) == 1


def test_front_matter_counts_lines_of_its_file() -> None:
    assert parse_yaml("a: 1\nb: 2\n", shown=SHOWN, first_line=2).line(("b",)) == 3
    assert problems_of("a: 1\na: 2\n", first_line=2)[0].line == 3
    assert problems_of("a: 1\nb: \x07\n", first_line=2)[0].line == 3


BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{name}: &{name} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)

NASTY: list[tuple[str, int, str, str]] = [
    # text, line, field, words
    ("a: 1\nb: 2\na: 3\n", 3, "a", "given twice, first on line 1"),
    ("w:\n  c: 1\n  c: 2\n", 3, "w.c", "given twice, first on line 2"),
    ("a: 1\n'a': 3\n", 2, "a", "given twice"),
    ("1: x\n", 1, "", 'the key "1" is not text'),
    ("true: x\n", 1, "", 'the key "true" is not text'),
    ("~: x\n", 1, "", 'the key "~" is not text'),
    ("[a]: x\n", 1, "", "a key is a list"),
    ("? {a: 1}\n: x\n", 1, "", "a key is a list, a group"),
    ("a: &a x\n*a : 2\n", 2, "", "a key is a list, a group or an alias"),
    ("a: !!python/object/apply:os.system ['x']\n", 1, "a", "tag"),
    ("a: !!str 12\n", 1, "a", "tag"),
    ("a: !mine x\n", 1, "a", "tag"),
    ("a: ! x\n", 1, "a", "tag"),
    ("!!map\na: 1\n", 1, "", "tag"),
    ("a: &a {x: 1}\nb:\n  <<: *a\n", 3, "b", "merge key <<"),
    ("a: *b\n", 1, "", 'alias "b" has no anchor'),
    ("a: &a [*a]\n", 1, "", "inside its own anchor"),
    (BOMB, 5, "", "too many values"),
    ("a: &a 1\nb: [" + "*a, " * 101 + "]\n", 2, "", "too many aliases"),
    ("a: " + "[" * 21 + "]" * 21, 1, "", "nested too deep"),
    ("a: " + "[" * 100_000, 1, "", "nested too deep"),
    ("a: " + "{a: " * 100_000, 1, "", "nested too deep"),
    ("- " * 100_000, 1, "", "nested too deep"),
    ("? " * 100_000, 1, "", "nested too deep"),
    ("a: &a [[[[[[[[[[1]]]]]]]]]]\nb: [[[[[[[[[[[*a]]]]]]]]]]]\n", 2, "", "nested too deep"),
    ("a: [" + "1, " * 20_001 + "]\n", 1, "", "too many values"),
    ("a: .nan\n", 1, "a", ".nan is not a number one can use"),
    ("a: [-.INF]\n", 1, "a[0]", "-.INF is not a number one can use"),
    ("a: 1e999\n", 1, "a", "1e999 is too large a number"),
    ("a: 1234567890123456\n", 1, "a", "has 16 digits"),
    ("a: " + "9" * 10_000 + "\n", 1, "a", "has 10000 digits"),
    ("a: 0x12345678901234567\n", 1, "a", "has 17 digits"),
    ("a: 1\nb: x\x00y\n", 2, "", "U+0000 does not show"),
    ("a: \x1b[31m\n", 1, "", "U+001B does not show"),
    ('a: "\\0"\n', 1, "a", "U+0000 does not show"),
    ("a: \u202egpj\n", 1, "", "U+202E turns the direction"),
    ("a: \u2066x\n", 1, "", "U+2066 turns the direction"),
    ('a: "\\u202e"\n', 1, "a", "U+202E turns the direction"),
    ("a: 1\u2028b: 2\n", 1, "", "U+2028"),
    ("a: x\ufeff\n", 1, "", "U+FEFF"),
    ("a: 1\n---\nb: 2\n", 2, "", "second document"),
    ("", 1, "", "the file is empty"),
    ("# nothing yet\n", 1, "", "the file is empty"),
    ("~\n", 1, "", "the file is empty"),
    ("- a\n- b\n", 1, "", "does not begin with a key"),
    ("just words\n", 1, "", "does not begin with a key"),
    ("a: b: c\n", 1, "", "not YAML"),
    ("a: [1, 2\nb: 3\n", 2, "", "not YAML"),
    ("a: 'open\n", 2, "", "not YAML: a quotation mark or bracket is never closed"),
    ("a:\n\t- 1\n", 2, "", "a tab"),
    ("a: 1\n b: 2\n", 2, "", "not YAML"),
    ("a: @x\n", 1, "", "not YAML"),
    ('a: "\\U00110000"\n', 1, "", "not YAML"),
    ("%YAML 9.9\n---\na: 1\n", 1, "", "not YAML"),
]


@pytest.mark.parametrize(("text", "line", "field", "words"), NASTY)
def test_nasty_text(text: str, line: int, field: str, words: str) -> None:
    begun = time.process_time()
    problems = problems_of(text)
    assert time.process_time() - begun < 2.0
    assert any(
        words in problem.wrong and problem.field == field and problem.line == line
        for problem in problems
    ), problems
    assert all(len(str(problem)) < 300 and "\n" not in str(problem) for problem in problems)


def test_all_problems_are_told_in_one_go() -> None:
    problems = problems_of("a: .nan\nb: 1\nb: 2\nc: !x y\n4: d\ne: [1, *f]\ng: [\n")
    assert [problem.line for problem in problems][:6] == [1, 3, 4, 5, 6, 8]


def test_problems_are_not_told_without_end() -> None:
    assert len(problems_of("".join(f"{number}: x\n" for number in range(5000)))) == LIMITS.problems


def test_limits_can_be_drawn_tighter() -> None:
    assert "at most 3" in problems_of("a: [1, 2, 3]\n", limits=Limits(nodes=3))[0].allowed


# ---------------------------------------------------------------- files


def file_problem(path: Path) -> Problem:
    with pytest.raises(BadInput) as caught:
        read_yaml(path, shown=SHOWN)
    (problem,) = caught.value.problems
    assert problem.file == SHOWN
    return problem


@pytest.mark.parametrize(
    ("raw", "line", "words"),
    [
        (b"a: 1\nb: \xff\n", 2, "byte 8 (0xff) is not UTF-8"),
        (b"a: 1\r\nb: \xe9t\xe9\r\n", 2, "byte 9 (0xe9) is not UTF-8"),
        (b"\xef\xbb\xbfa: \xff", 1, "byte 6 (0xff) is not UTF-8"),
        (b"a: \xed\xa0\x80", 1, "is not UTF-8"),
        ("a: 1\n".encode("utf-16"), 1, "written in UTF-16"),
        (b"\xfe\xff\x00a", 1, "written in UTF-16"),
        (b"a: \x00\n", 1, "U+0000"),
        (b"", 1, "empty"),
    ],
)
def test_bytes_that_are_no_text(tmp_path: Path, raw: bytes, line: int, words: str) -> None:
    path = tmp_path / "design.yaml"
    path.write_bytes(raw)
    problem = file_problem(path)
    assert problem.line == line
    assert words in problem.wrong


def test_byte_order_mark_and_line_ends_are_accepted(tmp_path: Path) -> None:
    path = tmp_path / "design.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\r\nb: 2\rc: 3\n")
    read = read_yaml(path, shown=SHOWN)
    assert read.data == {"a": 1, "b": 2, "c": 3}
    assert read.line(("c",)) == 3
    assert read_text(path, shown=SHOWN) == "a: 1\nb: 2\nc: 3\n"


def test_a_huge_file_is_never_read(tmp_path: Path) -> None:
    path = tmp_path / "design.yaml"
    with path.open("wb") as stream:
        stream.truncate(200 * 2**20)
    begun = time.process_time()
    problem = file_problem(path)
    assert time.process_time() - begun < 1.0
    assert "too large: 200 MiB" in problem.wrong
    assert problem.allowed == "at most 1 MiB"


def test_what_is_no_file(tmp_path: Path) -> None:
    assert "missing" in file_problem(tmp_path / "design.yaml").wrong
    assert "folder" in file_problem(tmp_path).wrong
    (tmp_path / "ring").symlink_to("ring")
    assert "cannot be read" in file_problem(tmp_path / "ring").wrong


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this system")
def test_a_pipe_does_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert "not an ordinary file" in file_problem(tmp_path / "pipe").wrong


# ---------------------------------------------------------------- anything at all


def data_or_problems(reading: Callable[[], Source]) -> None:
    """Anything but data or BadInput fails the test by itself."""
    problems: tuple[Problem, ...] = ()
    data: Any = None
    try:
        data = reading().data
    except BadInput as bad:
        problems = bad.problems
    assert isinstance(data, dict) != bool(problems)


@given(st.binary(max_size=300))
def test_random_bytes(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "random.yaml"
    path.write_bytes(raw)
    data_or_problems(lambda: read_yaml(path, shown=SHOWN))


@given(
    st.text(alphabet=st.sampled_from("ab10.:-?&*!|>%@'\"[]{},#~<\\x \n\t\u202e\x00é"), max_size=80)
)
def test_random_yaml(text: str) -> None:
    data_or_problems(lambda: parse_yaml(text, shown=SHOWN))


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("x" * 50, '"' + "x" * 39 + '…"'),
        ("a\x1b[31m\nb\u202e", '"a\\x1b[31m\\x0ab\\u202e"'),
        (True, "true"),
        (None, "nothing"),
        (1.5, "1.5"),
        ([1, 2], "a list of 2"),
        ({}, "a group of keys"),
    ],
)
def test_values_are_shown_harmlessly(value: Any, shown: str) -> None:
    assert shown_value(value) == shown


def test_paths_are_written_as_people_write_them() -> None:
    assert dotted(("surfaces", "wing", "stations", 2, "chord")) == "surfaces.wing.stations[2].chord"
