"""Fasteners: what the table says, and that names in a design's structure must be known."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from pydantic import ValidationError

from plansgen.library.fasteners import Fastener, fasteners
from plansgen.library.folder import read_design
from plansgen.problems import BadInput, Problem

REPOSITORY = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize(
    ("pitch", "diameter", "name"),
    [
        (0.7, 4, "nylon-bolt-m4"),
        (0.8, 5, "nylon-bolt-m5"),
        (1.0, 6, "nylon-bolt-m6"),
        (1.25, 8, "nylon-bolt-m8"),
        (0.5, 3, "steel-bolt-m3"),
    ],
)
def test_tensile_stress_areas(pitch: float, diameter: float, name: str) -> None:
    """ISO 898-1: π/4 (d − 0.9382 P)², coarse pitches of ISO 261; the table is rounded."""
    area = 3.14159265 / 4 * (diameter - 0.9382 * pitch) ** 2
    found = fasteners()[name].area
    assert found is not None
    assert found * 1e6 == pytest.approx(area, rel=2e-3)


def test_what_one_holds() -> None:
    """Area times strength; a band with both strands."""
    assert fasteners()["nylon-bolt-m5"].pull == pytest.approx(14.2 * 50)
    assert fasteners()["rubber-band-6mm"].pull == pytest.approx(2 * 6 * 0.8)
    assert fasteners()["cable-tie-2.5mm"].pull == 80.0


def test_one_way_to_say_what_it_holds() -> None:
    given = fasteners()["cable-tie-2.5mm"].model_dump() | {"area": "3 mm2", "strength": "1 MPa"}
    with pytest.raises(ValidationError, match="give holds, or area and strength"):
        Fastener.model_validate(given)


def problems_with(tmp_path: Path, block: str, *swap: tuple[str, str]) -> list[Problem]:
    shutil.copytree(REPOSITORY / "designs" / "dunlin", tmp_path / "designs" / "dunlin")
    path = tmp_path / "designs" / "dunlin" / "design.yaml"
    text = path.read_text()
    head = text[: text.index("\nstructure:")] if "\nstructure:" in text else text
    for old, new in swap:
        assert old in head
        head = head.replace(old, new, 1)
    path.write_text(f"{head}\n{block}")
    with pytest.raises(BadInput) as caught:
        read_design(tmp_path, "dunlin")
    return list(caught.value.problems)


def test_unknown_names_are_told_with_the_nearest(tmp_path: Path) -> None:
    block = """
structure:
  hold_down:
    - {surface: wings, fastener: nylon-bolt-m55, count: 2}
  mounts:
    - {item: outrunner motor 28mm, glue: epoxy-jiont, area: "10 cm2", to: birch-ply-3m}
    - {item: propeller 9 x 6 with adapter, glue: pine, area: "10 cm2", to: pine}
"""
    told = {problem.field: problem for problem in problems_with(tmp_path, block)}
    nearest = {field: problem.nearest for field, problem in told.items()}
    assert nearest == {
        "structure.hold_down[0].surface": "wing",
        "structure.hold_down[0].fastener": "nylon-bolt-m5",
        "structure.mounts[0].item": "outrunner motor 28 mm, about 1000 turns a volt",
        "structure.mounts[0].glue": "epoxy-joint",
        "structure.mounts[0].to": "birch-ply-3mm",
        "structure.mounts[1].item": "",
        "structure.mounts[1].glue": "",
    }
    assert "rubber-band-6mm" in told["structure.hold_down[0].fastener"].allowed
    assert all(problem.line > 0 for problem in told.values())


def test_an_unknown_glue_of_a_joint_is_told(tmp_path: Path) -> None:
    part = (
        "    parts:\n      - {name: joiner, material: pine, run: {from: 0, to: 90}, "
        "size: {width: 3, height: 12}, joins: 0, glue: white-gleu}\n"
    )
    (problem,) = problems_with(tmp_path, "", ("    parts:\n", part))
    assert problem.field == "surfaces.wing.parts[0].glue"
    assert problem.nearest == "white-glue"
