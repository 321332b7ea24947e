"""Parts, materials and loads that nobody builds: told in words, or worked out in finite numbers."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from plansgen.dossier import to_json, work_out
from plansgen.library.folder import read_design
from plansgen.problems import BadInput
from tests import designs
from tests.designs import Raw
from tests.random_designs import not_finite
from tests.site.test_pages import pages_of

SHEET: Raw = {
    "solid": {
        "modulus": "3 GPa",
        "shear_modulus": "1 GPa",
        "tension": "30 MPa",
        "compression": "20 MPa",
        "shear": "5 MPa",
        "spread": 0.2,
    }
}


def built() -> Raw:
    """A powered model whose strength is known."""
    raw = designs.trainer()
    raw["materials"]["board"]["like"] = "foam-board-5mm"
    raw["materials"]["pine"]["like"] = "pine"
    return raw


def stick(**more: Any) -> Raw:
    run = {"from": 0, "to": 500}
    return {"name": "stick", "material": "pine", "run": run, "size": _flat(5, 10), **more}


def _flat(width: float, height: float) -> Raw:
    return {"width": width, "height": height}


def wire(start: tuple[float, ...], end: tuple[float, ...], **more: Any) -> Raw:
    line = [dict(zip("xyz", place, strict=True)) for place in (start, end)]
    size = {"diameter": 1}
    return {"name": "wire", "material": "steel-wire", "braces": "wire", "size": size} | {
        "line": line,
        **more,
    }


def with_parts(*parts: Raw) -> Raw:
    raw = built()
    raw["surfaces"]["wing"]["parts"] += parts
    return raw


def with_wires(*wires: Raw) -> Raw:
    raw = built()
    raw["parts"] += wires
    return raw


def with_board(**more: Any) -> Raw:
    raw = built()
    raw["materials"]["board"] |= more
    return raw


def with_mechanics(**more: Any) -> Raw:
    raw = with_board(mechanics={"solid": {**SHEET["solid"], **more}})
    del raw["materials"]["board"]["like"]
    return raw


def standing(**more: Any) -> Raw:
    return built() | {"structure": more}


def message_of(raw: Raw, tmp_path: Path) -> str:
    """What the reader says of a design file."""
    folder = tmp_path / "designs" / "sanderling"
    folder.mkdir(parents=True)
    (folder / "design.yaml").write_text(yaml.safe_dump(raw, allow_unicode=True))
    with pytest.raises(BadInput) as told:
        read_design(tmp_path, "sanderling")
    return str(told.value)


BENT = {"direction": "along", "span": 600, "width": 60, "load": 120, "sag": 8}

REFUSED: dict[str, tuple[Callable[[], Raw], str]] = {
    "tapers to nothing": (
        lambda: with_parts(stick(size_out=_flat(1e-6, 1))),
        "size_out.width: 1e-06 is too small",
    ),
    "runs past the tip": (
        lambda: with_parts(stick(run={"from": 450, "to": 5000})),
        "but the surface only from 0 to 500 mm",
    ),
    "a skin as narrow as a hair": (
        lambda: with_parts(designs.skin("top skin", over={"from": 0.5, "to": 0.500001})),
        "over.to: must lie aft of from, by 0.005 of the chord or more",
    ),
    "glued with board": (
        lambda: with_parts(stick(joins=0, glue="board")),
        'no glue "board"',
    ),
    "preloaded with a lorry": (
        lambda: with_wires(wire((210, 0, -60), (210, 400, 0), preload=1e9)),
        "preload: 1000000000.0 is too large",
    ),
    "like itself": (lambda: with_board(like="board"), '"board" is no packaged material'),
    "a sheet like a glue": (lambda: with_board(like="epoxy-joint"), "is of kind glue"),
    "bent by nothing": (
        lambda: with_board(bend_tests=[BENT | {"sag": 50}]),
        "check span, width, load and sag",
    ),
    "no modulus": (lambda: with_mechanics(modulus=float("nan")), "not a number one can use"),
    "nothing left when damp": (
        lambda: with_mechanics(damp={"stiffness": 0, "strength": 0.5}),
        "damp.stiffness",
    ),
    "held by a misspelt bolt": (
        lambda: standing(hold_down=[{"fastener": "nylon-blot-m5", "count": 2}]),
        'no fastener "nylon-blot-m5"',
    ),
    "a mount for a servo": (
        lambda: standing(
            mounts=[{"item": "servo", "glue": "epoxy-joint", "area": 400, "to": "board"}]
        ),
        'no motor "servo"',
    ),
    "a load in words": (lambda: standing(limit_load="lots"), "structure.limit_load"),
    "a load that is true": (lambda: standing(limit_load=True), "structure.limit_load"),
    "a load beyond any": (lambda: standing(limit_load=1e9), "structure.limit_load"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_it_is_told_in_one_message(what: str, tmp_path: Path) -> None:
    make, words = REFUSED[what]
    assert words in message_of(make(), tmp_path)


WORKED_OUT: dict[str, Callable[[], Raw]] = {
    "a brace that ends at the tip it joins": lambda: with_parts(
        stick(joins=500, glue="epoxy-joint", lies="between")
    ),
    "wires to nowhere, of no length and along the wing": lambda: with_wires(
        wire((5000, 5000, 5000), (6000, 5000, 5000)),
        wire((210, 300, 3), (210, 300, -3)),
        wire((210, 50, 0), (210, 450, 0), braces="strut"),
    ),
    "a board of rubber": lambda: with_mechanics(modulus="1 Pa"),
    "a stick larger than the wing": lambda: with_parts(
        stick(lies="top", size=_flat(5000, 9000), size_out=_flat(1, 1))
    ),
}


@pytest.mark.parametrize("what", WORKED_OUT)
def test_its_numbers_are_finite(what: str) -> None:
    dossier = work_out(designs.design_of(WORKED_OUT[what]()))
    assert dossier.structure is not None
    assert not_finite(json.loads(to_json(dossier))) == []


def test_hundreds_of_sticks_are_told() -> None:
    """They must not be placed one by one in every cut: that took minutes."""
    dossier = work_out(designs.design_of(with_parts(stick(count=500, lies="top and bottom"))))
    assert dossier.structure is None
    assert "501 sticks run along each half of the wing" in dossier.structure_refusal


def test_hundreds_of_wires_are_left_out() -> None:
    wires = [wire((210, 0, -60 - k), (210, 50 + 10 * k, 0), name=f"w{k}") for k in range(40)]
    dossier = work_out(designs.design_of(with_wires(*wires)))
    assert dossier.structure is not None
    assert dossier.structure.bracing is None
    assert any("are too many to work out" in note for note in dossier.structure.notes)


@pytest.mark.long
def test_names_of_parts_and_materials_stay_text() -> None:
    """HTML 13.2.5: a tag opens with < and a letter, so that none of a name's may reach a page."""
    evil = "<b onmouseover=alert(1)>&\"'</b> {{ 7 * 7 }}"
    raw = with_wires(wire((210, 20, -60), (210, 400, 0), name=evil))
    raw["surfaces"]["wing"]["title"] = raw["materials"]["pine"]["name"] = evil
    joiner = stick(joins=0, glue="epoxy-joint", run={"from": 0, "to": 90}, name=evil)
    for part in (*raw["surfaces"]["wing"]["parts"], joiner):
        part["name"] = evil
    raw["surfaces"]["wing"]["parts"].append(joiner)
    pages = pages_of(designs.design_of(raw))
    assert pages.dossier.structure is not None
    assert pages.dossier.structure.joints
    assert pages.dossier.structure.bracing is not None
    for text in pages.texts.values():
        assert not re.search("<b [^>]*onmouseover", text)
