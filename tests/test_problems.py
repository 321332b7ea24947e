"""What is wrong, where, and what may stand there instead."""

from __future__ import annotations

import pytest

from plansgen.problems import BadInput, Problem, nearest_name


@pytest.mark.parametrize(
    ("problem", "text"),
    [
        (Problem("designs/knot", 0, "", "is empty"), "designs/knot: is empty"),
        (Problem("a.yaml", 7, "", "is no list"), "a.yaml:7: is no list"),
        (
            Problem("a.yaml", 7, "wing.chord", "is zero", "above 0"),
            "a.yaml:7: wing.chord: is zero; allowed: above 0",
        ),
        (
            Problem("a.yaml", 7, "wing.cord", "is unknown", "chord", "chord"),
            'a.yaml:7: wing.cord: is unknown; allowed: chord; did you mean "chord"?',
        ),
    ],
)
def test_one_line_for_a_problem(problem: Problem, text: str) -> None:
    assert str(problem) == text


def test_problems_are_told_once_and_in_order() -> None:
    late, early = Problem("a.yaml", 10, "", "late"), Problem("a.yaml", 9, "", "early")
    other = Problem("b.yaml", 1, "", "other")
    bad = BadInput([other, late, early, late])
    assert bad.problems == (early, late, other)
    assert str(bad).splitlines() == [str(early), str(late), str(other)]


def test_problems_may_come_from_a_generator() -> None:
    bad = BadInput(Problem("a", line, "", "x") for line in (2, 1))
    assert [problem.line for problem in bad.problems] == [1, 2]


@pytest.mark.parametrize(
    ("name", "nearest"), [("chrod", "chord"), ("chord", "chord"), ("zzz", ""), ("", "")]
)
def test_nearest_name(name: str, nearest: str) -> None:
    assert nearest_name(name, ["span", "chord", "section"]) == nearest


def test_nearest_name_does_not_hang_on_order() -> None:
    known = ["ab1", "ab2", "ab3"]
    assert (
        nearest_name("ab", known)
        == nearest_name("ab", set(known))
        == nearest_name("ab", reversed(known))
    )
