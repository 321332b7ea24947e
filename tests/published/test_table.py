"""The table of checks from outside: every case holds, hangs on the program, and is shown."""

from __future__ import annotations

import html
import inspect
import math
import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from types import ModuleType
from typing import Any, get_args

import numpy as np
import pytest

import plansgen.site.library_pages as library_pages
from plansgen.controls.linkage import Linkage
from plansgen.flight.lattice import Lattice
from plansgen.flight.loads import TrefftzPlane
from plansgen.library.tables import Mark
from plansgen.published import shapes, table
from plansgen.published.case import Case
from plansgen.site.check_table import check_rooms
from plansgen.site.environment import make_environment

TEMPLATES = Path(__file__).resolve().parents[2] / "site_templates"


@pytest.mark.parametrize("case", table.cases(), ids=lambda case: case.key)
def test_within_its_tolerance(case: Case) -> None:
    """The source and the reason for the tolerance stand in the case itself."""
    assert case.holds, f"{case.title}: {case.ours} for {case.published}, {case.difference:+.3g}"


def test_every_case_says_all_there_is_to_say() -> None:
    keys = [case.key for case in table.cases()]
    assert len(set(keys)) == len(keys)
    for case in table.cases():
        assert case.title
        assert len(case.source) > 10
        assert case.why.endswith(".")
        assert case.mark in get_args(Mark)
        assert case.tolerance > 0
        assert not case.note or case.note.endswith(".")


def test_what_parts_visibly_has_a_remark() -> None:
    """More than 3 % of a published value, or 0.03 of the chord, is told in words."""
    for case in table.cases():
        if abs(case.difference) > 0.03 and (case.relative or case.unit == "c"):
            told = case.note or "rounds its dimensional" in case.why or "like products" in case.why
            assert told, case.key


def case_with(published: float, ours: float, *, relative: bool) -> Case:
    return Case("k", "Room", "Title", published, ours, "", 0.1, relative, "Why.", "S", "derived")


@pytest.mark.parametrize(
    ("published", "ours", "relative", "holds"),
    [
        (2.0, 2.19, True, True),
        (2.0, 2.21, True, False),
        (-2.0, -2.21, True, False),
        (2.0, 2.11, False, False),
        (0.0, 0.09, False, True),
        (2.0, math.nan, True, False),
    ],
)
def test_what_holds(published: float, ours: float, relative: bool, holds: bool) -> None:
    assert case_with(published, ours, relative=relative).holds == holds


# --- no case passes by construction --------------------------------------------------------------


def off(value: Any) -> Any:
    """The same thing with every float in it wrong, by 3 % and a bit."""
    if isinstance(value, float):
        return value * 1.03 + 0.01
    if isinstance(value, np.ndarray) and value.dtype.kind == "f":
        return value * 1.03 + 0.01
    if isinstance(value, tuple | list):
        return tuple(off(part) for part in value)
    if isinstance(value, Mapping):
        return {name: off(part) for name, part in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        wrong = {f.name: off(getattr(value, f.name)) for f in fields(value) if f.init}
        return replace(value, **wrong)
    return value


def spoil(monkeypatch: pytest.MonkeyPatch, owner: Any, name: str) -> None:
    right = getattr(owner, name)
    monkeypatch.setattr(owner, name, lambda *args, **given: off(right(*args, **given)))


def borrowed(module: ModuleType) -> list[str]:
    """Functions of the other rooms that a module uses."""
    return [
        name
        for name, thing in vars(module).items()
        if callable(thing)
        and not inspect.isclass(thing)
        and re.match(r"plansgen\.(?!published)", getattr(thing, "__module__", ""))
    ]


@pytest.mark.parametrize("room", table.ROOMS, ids=lambda room: room.__name__.split(".")[-1])
def test_ours_hangs_on_the_program_and_the_published_value_does_not(
    room: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = {case.key: case for case in table.cases()}
    for name in borrowed(room):
        spoil(monkeypatch, room, name)
    spoil(monkeypatch, shapes, "work_out_planform")
    spoil(monkeypatch, Lattice, "solve")
    spoil(monkeypatch, TrefftzPlane, "drag")
    spoil(monkeypatch, Linkage, "swing")
    for case in room.cases():
        assert case.published == before[case.key].published
        assert case.ours != pytest.approx(before[case.key].ours, rel=1e-6), case.key


# --- the page ------------------------------------------------------------------------------------


def methods_page() -> str:
    environment = make_environment([TEMPLATES])
    files = library_pages.library_files(environment, [], site_name="Saltmarsh")
    return html.unescape(files["methods.md"].decode())


def test_the_page_shows_every_case() -> None:
    page = methods_page()
    part = page[page.index("{#checks-from-outside}") :]
    rows = re.findall(r'<tr><th scope="row">(.*?)</th>(.*?)</tr>', part)
    shown = [row for room in check_rooms(table.cases_by_room()) for row in room.rows]
    assert len(rows) == len(shown) == len(table.cases())
    for (title, cells), row in zip(rows, shown, strict=True):
        assert title == row.title
        for text in (row.published, row.ours, row.difference, row.allowed, row.why, row.source):
            assert text in cells
    for case in table.cases():
        assert case.note in part
    assert f"All {len(rows)} lie within" in part
    assert part.count("<caption>") == len(table.ROOMS)
    assert part.count('role="region"') == len(table.ROOMS)


def test_the_page_tells_what_does_not_hold(monkeypatch: pytest.MonkeyPatch) -> None:
    wrong = {"Room": (case_with(2.0, 2.3, relative=True), case_with(2.0, 2.1, relative=True))}
    monkeypatch.setattr(library_pages, "cases_by_room", lambda: wrong)
    page = methods_page()
    assert "1 of 2 lie outside" in page
    assert page.count("<strong>outside</strong>") == 1
    assert "+15.0" in page


@pytest.mark.parametrize(
    ("published", "ours", "relative", "texts"),
    [
        (311.1111, 311.11112, False, ("311.1111", "311.1111", "0.00", "± 0.1")),
        (-2.0, -2.0772, True, ("−2", "−2.08", "+3.9 %", "± 10 %")),
        (1.0, 1.0, True, ("1", "1.00", "0.0 %", "± 10 %")),
    ],
)
def test_numbers_as_shown(
    published: float, ours: float, relative: bool, texts: tuple[str, ...]
) -> None:
    """Ours to a tenth of the tolerance, with a true minus; the difference with its sign."""
    ((row,),) = [
        room.rows for room in check_rooms({"R": [case_with(published, ours, relative=relative)]})
    ]
    shown = (row.published, row.ours, row.difference, row.allowed)
    assert tuple(text.replace("\N{NO-BREAK SPACE}", " ") for text in shown) == texts
