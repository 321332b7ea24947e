"""Outlines of sections given as files: read if they go once around, refused if they do not."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import yaml

from plansgen.airframe.build import build_airframe
from plansgen.airframe.sections import naca_outline
from plansgen.library.folder import read_design
from plansgen.problems import BadInput
from tests.designs import glider

UPPER, LOWER = naca_outline("2412", 40)
AROUND = np.vstack([UPPER[::-1], LOWER[1:]])


def text_of(points: np.ndarray, head: str = "") -> str:
    return head + "\n".join(f"{x:.6f} {z:.6f}" for x, z in points)


def read(folder: Path, text: str) -> float:
    """Write a design whose wing has this outline, read it, and give its girth in chords."""
    raw = glider()
    raw["surfaces"]["wing"]["section"] = "points sections/own.txt"
    design = folder / "designs" / "knot"
    (design / "sections").mkdir(parents=True)
    (design / "sections" / "own.txt").write_text(text, "utf-8")
    (design / "design.yaml").write_text(yaml.safe_dump(raw), "utf-8")
    found = read_design(folder, "knot")
    station = build_airframe(found.file, found.section_points).surface("wing").stations[0]
    return station.upper + station.lower


@pytest.mark.parametrize("scale", [1, 180])
@pytest.mark.parametrize("head", ["", "My own section\n", "# of the third rib\n\n"])
def test_an_outline_once_around(tmp_path: Path, head: str, scale: float) -> None:
    """Girth of the 2412 from NACA Report 460: 2.0414 chords, a little less through few points."""
    assert read(tmp_path, text_of(AROUND * scale, head)) == pytest.approx(2.0414, abs=2e-3)


def test_an_outline_from_underneath(tmp_path: Path) -> None:
    assert read(tmp_path, text_of(AROUND[::-1])) == pytest.approx(2.0414, abs=2e-3)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        # a common other order: top from the nose, then bottom from the nose; perhaps with counts
        (text_of(np.vstack([UPPER, LOWER])), "does not begin and end at the trailing edge"),
        (text_of(np.vstack([UPPER, LOWER]), "41. 41.\n"), "does not begin and end"),
        (text_of(UPPER), "does not begin and end"),
        (text_of(AROUND[:4]), "holds 4 points"),
        ("# nothing yet\n", "holds 0 points"),
        (text_of(AROUND, "title\n") + "\n1 2 3", "is not a pair"),
        (text_of(AROUND) + "\nnan 0", "is not finite"),
        (text_of(AROUND * [0, 1]), "points"),
    ],
)
def test_what_is_no_outline(tmp_path: Path, text: str, wrong: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, text)
    (problem,) = caught.value.problems
    assert wrong in problem.wrong
    assert problem.file == "designs/knot/sections/own.txt"
