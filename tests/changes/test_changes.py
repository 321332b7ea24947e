"""What changed between two revisions: checked against hand calculation on small designs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from plansgen.changes.numbers import _ROWS, _change
from plansgen.changes.parts import apart, part_changes, shape_hash, sheet_changes
from plansgen.changes.result import Changes, WorkedOut, changes, finding_changes
from plansgen.changes.steps import step_changes
from plansgen.library.design import Step
from plansgen.library.models import StepHead
from plansgen.library.units import FileUnits
from plansgen.patterns.flat import FlatPart, PatternLine, placed
from plansgen.review.finding import Finding, Severity
from tests.designs import Raw, design_of, glider

SQUARE = FlatPart("a", "square", "board", 0.005, ((0, 0), (0.1, 0), (0.1, 0.1), (0, 0.1)))


def worked(change: Callable[[Raw], None] | None = None) -> WorkedOut:
    """A glider of board that there are sheets of, after a change."""
    raw = glider()
    for surface in raw["surfaces"].values():
        for part in surface["parts"]:
            part["material"] = "foam-board-5mm"
    if change is not None:
        change(raw)
    return WorkedOut.of(design_of(raw))


@pytest.fixture(scope="module")
def before() -> WorkedOut:
    return worked()


def numbers(found: Changes) -> dict[str, str]:
    return {one.key: one.words for one in found.numbers}


def _read(shown: str) -> float:
    return float(shown.split()[0].replace("\N{MINUS SIGN}", "-"))


# --- whole designs -----------------------------------------------------------------------------


def test_a_design_against_itself(before: WorkedOut) -> None:
    found = changes(before, before)
    assert found.nothing
    assert found.numbers == found.parts == found.steps == found.findings == ()
    assert [(sheet.again, sheet.was) for sheet in found.sheets] == [
        (False, number) for number in range(1, len(found.sheets) + 1)
    ]


def test_more_nose_weight(before: WorkedOut) -> None:
    """By hand: m grams more at x = 10 mm move the balance point by (10 - x) m / (M + m)."""

    def heavier(raw: Raw) -> None:
        raw["revision"] = "B"
        raw["items"][0]["mass"] = 60

    after = worked(heavier)
    found = changes(before, after)
    told = numbers(found)
    assert (found.was, found.now) == ("A", "B")
    assert told["mass"] == "heavier by 20 g"
    assert before.dossier.balance.ready is not None
    state = before.dossier.balance.ready.state
    moved = (state.x - 0.010) * 0.020 / (state.mass + 0.020)
    assert told["balance"] == f"balance point moved forward by {moved * 1000:.0f} mm"
    chord = before.dossier.airframe.reference.mac
    margin = next(one for one in found.numbers if one.key == "static-margin")
    assert margin.old is not None
    assert margin.new is not None
    flights = before.dossier.flight, after.dossier.flight
    # The neutral point itself goes a little with the lift that is flown at.
    neutral = [flight.neutral_from_root for flight in flights if flight is not None]
    gained = (moved + neutral[1] - neutral[0]) / chord
    assert margin.new - margin.old == pytest.approx(gained)
    # The difference is that of the values as shown.
    shown = _read(margin.now) - _read(margin.was)
    assert margin.words.startswith(f"greater by {shown:.1f} % of the mean chord")
    assert "more stable in pitch" in margin.words
    assert "area" not in told
    assert "neutral-point" not in told
    assert found.parts == ()
    assert found.print_again == ()
    back = numbers(changes(after, before))
    assert back["mass"] == "lighter by 20 g"
    assert back["balance"] == told["balance"].replace("forward", "aft")


def test_a_longer_fin_is_cut_and_printed_again(before: WorkedOut) -> None:
    def taller(raw: Raw) -> None:
        raw["surfaces"]["fin"]["stations"][1]["z"] = 135

    found = changes(before, worked(taller))
    (part,) = found.parts
    assert (part.kind, part.key.split("-")[0]) == ("changed", "fin")
    assert part.distance == pytest.approx(0.015, abs=1e-6)
    assert part.what == ("outline by up to 15.0 mm",)
    assert found.print_again
    assert all(sheet.keys == (part.key,) for sheet in found.print_again)


def test_travels(before: WorkedOut) -> None:
    def control(travel: float) -> Callable[[Raw], None]:
        def change(raw: Raw) -> None:
            entry = {"kind": "elevator", "from": 10, "to": 170, "chord": 0.3, "travel": travel}
            raw["surfaces"]["tailplane"]["controls"] = {"elevator": entry}

        return change

    found = changes(worked(control(20)), worked(control(16)))
    assert numbers(found)["travel-tailplane.elevator"] == "4.0° less"


def test_a_design_that_lost_its_masses(before: WorkedOut) -> None:
    def bare(raw: Raw) -> None:
        raw["items"] = []
        for surface in raw["surfaces"].values():
            surface["parts"] = []

    found = changes(before, worked(bare))
    told = {one.key: one for one in found.numbers}
    assert told["mass"].words == "cannot be worked out any more"
    assert told["mass"].now == ""
    assert {part.kind for part in found.parts} == {"removed"}
    assert found.sheets == ()


# --- parts -------------------------------------------------------------------------------------


def test_a_shape_is_the_same_wherever_it_lies_and_begins() -> None:
    turned = replace(SQUARE, outline=(*SQUARE.outline[2:], *SQUARE.outline[:2]))
    moved = replace(SQUARE, outline=placed(SQUARE.outline, x=0.3, y=-0.2))
    assert shape_hash(SQUARE) == shape_hash(turned) == shape_hash(moved)
    assert apart(SQUARE, moved) == pytest.approx(0.0, abs=1e-12)
    larger = replace(SQUARE, outline=((0, 0), (0.1, 0), (0.1, 0.1002), (0, 0.1)))
    assert shape_hash(SQUARE) != shape_hash(larger)


def test_distance_of_outlines() -> None:
    """Plane geometry: by the difference of two radii; by a corner's distance from its cut."""

    def circle(radius: float) -> FlatPart:
        angles = [2 * math.pi * n / 360 for n in range(360)]
        points = tuple((radius * math.cos(a), radius * math.sin(a)) for a in angles)
        return replace(SQUARE, outline=points)

    assert apart(circle(0.05), circle(0.06)) == pytest.approx(0.010, rel=1e-3)
    cut = replace(SQUARE, outline=((0, 0), (0.1, 0), (0.1, 0.08), (0.08, 0.1), (0, 0.1)))
    assert apart(SQUARE, cut) == pytest.approx(0.02 / math.sqrt(2), rel=1e-6)
    assert apart(SQUARE, cut) == apart(cut, SQUARE)


def test_a_hole_counts() -> None:
    hole = ((0.04, 0.04), (0.06, 0.04), (0.06, 0.06), (0.04, 0.06))
    holed = replace(SQUARE, holes=(hole,))
    assert apart(SQUARE, holed) == pytest.approx(0.04)


def patterns(before: WorkedOut, *parts: FlatPart) -> WorkedOut:
    assert before.patterns is not None
    return replace(before, patterns=replace(before.patterns, parts=parts, cut_list=()))


def kinds(before: WorkedOut, old: list[FlatPart], new: list[FlatPart]) -> list[tuple[str, ...]]:
    found = part_changes(patterns(before, *old).patterns, patterns(before, *new).patterns)
    return [(one.kind, one.key, *one.what) for one in found]


def test_what_is_told_of_parts(before: WorkedOut) -> None:
    other = replace(SQUARE, key="b", outline=((0, 0), (0.2, 0), (0.2, 0.1)))
    named = replace(SQUARE, key="c", name="plate")
    assert kinds(before, [SQUARE], [SQUARE, other]) == [("added", "b")]
    assert kinds(before, [SQUARE, other], [SQUARE]) == [("removed", "b")]
    assert kinds(before, [SQUARE], [named]) == [("renamed", "c", "called square before")]
    twins = [replace(SQUARE, key=key) for key in "xy"]
    assert [one[0] for one in kinds(before, [SQUARE, named], twins)] == ["renamed", "renamed"]
    assert [one[0] for one in kinds(before, [SQUARE], twins)] == ["renamed", "added"]


@pytest.mark.parametrize(
    ("new", "words"),
    [
        ({"material": "pine"}, "of pine, not board"),
        ({"thickness": 0.003}, "3 mm thick, not 5 mm"),
        ({"mirrored": 1}, "2 pieces, not 1"),
        ({"grain": math.pi / 2}, "grain at 90°, not either way"),
        ({"lines": (PatternLine("score", ((0, 0.05), (0.1, 0.05))),)}, "folds, scores or marks"),
    ],
)
def test_what_else_changes_a_part(before: WorkedOut, new: dict[str, object], words: str) -> None:
    ((kind, _, told),) = kinds(before, [SQUARE], [replace(SQUARE, **new)])  # type: ignore[arg-type]
    assert kind == "changed"
    assert told.startswith(words)


def test_less_than_can_be_cut_is_no_change(before: WorkedOut) -> None:
    nearly = replace(SQUARE, outline=((0, 0), (0.1, 0), (0.1, 0.10005), (0, 0.1)))
    assert kinds(before, [SQUARE], [nearly]) == []


def test_a_fold_that_moved(before: WorkedOut) -> None:
    def folded(y: float, label: str = "") -> FlatPart:
        return replace(SQUARE, lines=(PatternLine("score", ((0, y), (0.1, y)), label=label),))

    told = [("changed", "a", "folds, scores or marks inside it by up to 3.0 mm")]
    assert kinds(before, [folded(0.05)], [folded(0.053)]) == told
    assert kinds(before, [folded(0.05)], [folded(0.05005)]) == []
    ((_, _, words),) = kinds(before, [folded(0.05)], [folded(0.05, "fold")])
    assert words == 'marked "fold", not nothing'
    ((_, _, words),) = kinds(before, [folded(0.05, "balance 61")], [folded(0.05, "balance 60")])
    assert words == 'marked "balance 60", not "balance 61"'
    bare = replace(SQUARE, lines=())
    ((_, _, words),) = kinds(before, [folded(0.05)], [bare])
    assert words == "folds, scores or marks inside it"


def test_a_change_that_does_not_show_is_none() -> None:
    row = next(row for row in _ROWS if row.key == "mass")
    assert _change(row, 0.2154, 0.2156) is None  # 215 and 216 g, but 0.2 g apart
    assert _change(row, 0.2151, 0.2154) is None
    found = _change(row, 0.2148, 0.2154)
    assert found is None  # both shown as 215 g
    found = _change(row, 0.2144, 0.2152)
    assert found is not None
    assert (found.was, found.now, found.words) == ("214 g", "215 g", "heavier by 1 g")


def test_a_sheet_whose_parts_only_moved_is_not_printed_again(before: WorkedOut) -> None:
    old = before.patterns
    assert old is not None
    nesting = old.nesting
    sheet = nesting.sheets[0]
    moved = tuple(replace(place, x=place.x + 0.001) for place in sheet.placements)
    new = replace(old, nesting=replace(nesting, sheets=(replace(sheet, placements=moved),)))
    (found,) = sheet_changes(old, new, [])
    assert (found.again, found.was, found.keys) == (False, None, ())


# --- steps and findings ------------------------------------------------------------------------


def step(key: str, title: str = "Cut", text: str = "Cut it.\nLook.", **more: object) -> Step:
    head = {"title": title, "minutes": 5, **more}
    return Step(key, StepHead.model_validate(head, context={"units": FileUnits()}), text)


def test_steps() -> None:
    old = [step("010-cut"), step("020-glue", "Glue"), step("030-sand", "Sand")]
    new = [
        step("010-cut", text="Cut it.\nLook twice.", minutes=8, tools=["blade"]),
        step("025-glue", "Glue"),
        step("040-paint", "Paint"),
    ]
    found = step_changes(old, new)
    assert [(one.kind, one.key) for one in found] == [
        ("changed", "010-cut"),
        ("moved", "025-glue"),
        ("added", "040-paint"),
        ("removed", "030-sand"),
    ]
    assert found[0].what == ("working time", "tools", "text")
    assert (found[0].gone, found[0].come) == (("Look.",), ("Look twice.",))
    assert found[1].was == "020-glue"
    assert step_changes(old, old) == ()


def finding(rule: str, severity: Severity = "caution", title: str = "") -> Finding:
    return Finding(
        rule=rule,
        severity=severity,
        title=title or rule,
        number="1",
        limit="2",
        why="",
        do="",
        source="",
    )


def test_findings() -> None:
    old = [finding("a"), finding("b"), finding("c", "note"), finding("d", "severe"), finding("e")]
    new = [finding("a"), finding("c", "severe"), finding("d", "note"), finding("f"), finding("e")]
    found = finding_changes(old, new)
    assert [(one.kind, one.finding.rule, one.was) for one in found] == [
        ("graver", "c", "note"),
        ("milder", "d", "severe"),
        ("opened", "f", ""),
        ("closed", "b", "caution"),
    ]
    twice = [finding("a", title="x"), finding("a", title="x")]
    assert [one.kind for one in finding_changes(twice, twice[:1])] == ["closed"]
