"""Shared pieces: merged with the design's own words on top, and faults told where they lie.

What merging must do is this program's own rule; there is no outside source for it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from plansgen.library.design import Design
from plansgen.library.folder import read_design
from plansgen.library.models import Body
from plansgen.library.shelf import check_shelf
from plansgen.library.used import where_used
from plansgen.problems import BadInput, Problem
from tests.designs import Raw, glider, item, skin

NACELLE = """\
plansgen: 1
title: Nacelle for a small motor
body:
  role: nacelle
  at: {x: 10, z: 4}
  stations:
    - {x: 0, width: 40, height: 42}
    - {x: 200, width: 30, height: 20}
  parts:
    - {name: nacelle skin, material: board, cover: all}
"""
MOUNT = """\
plansgen: 1
title: Motor mount
parts:
  - {name: motor plate, material: board, plate: {length: 40, width: 40}, at: {x: 2}}
  - name: mount stick
    material: pine
    size: {width: 5, height: 5}
    line: [{x: 0, y: 5}, {x: 60, y: 5}]
items:
  - {name: motor, kind: motor, mass: 30, at: {x: -10}}
  - {name: controller, kind: speed controller, mass: 12, at: {x: 40, z: -8}}
"""
BOARD = """\
plansgen: 1
title: The board of this winter
material: {name: club board, kind: sheet, areal_density: 455, thickness: 5}
cautions: [blade, sanding_dust]
step:
  title: Weigh the board
  minutes: 10
  tools: [kitchen scale]
  text: |
    Weigh a whole sheet.
"""


@pytest.fixture
def library(tmp_path: Path) -> Path:
    (tmp_path / "designs" / "knot").mkdir(parents=True)
    (tmp_path / "mkdocs.yml").write_text("site_name: Test\n")
    for name, text in (("nacelle", NACELLE), ("mount", MOUNT), ("board", BOARD)):
        share(tmp_path, name, text)
    return tmp_path


def share(library: Path, name: str, text: str) -> None:
    (library / "designs/_shared").mkdir(exist_ok=True)
    (library / "designs/_shared" / f"{name}.yaml").write_text(text)


def write(library: Path, raw: Raw, slug: str = "knot") -> None:
    folder = library / "designs" / slug
    folder.mkdir(exist_ok=True)
    (folder / "design.yaml").write_text(yaml.safe_dump(raw, sort_keys=False))


def with_nacelle(**more: Any) -> Raw:
    return glider() | {"bodies": {"pod": {"shared": "nacelle", **more}}}


def read(library: Path, raw: Raw) -> Design:
    write(library, raw)
    return read_design(library, "knot")


def pod(library: Path, **more: Any) -> Body:
    return read(library, with_nacelle(**more)).file.bodies["pod"]


def problems(library: Path, raw: Raw) -> list[Problem]:
    write(library, raw)
    with pytest.raises(BadInput) as caught:
        read_design(library, "knot")
    return list(caught.value.problems)


def problem(library: Path, raw: Raw) -> Problem:
    (found,) = problems(library, raw)
    return found


# --- merging -----------------------------------------------------------------------------------


def test_a_piece_stands_where_it_is_used(library: Path) -> None:
    body = pod(library)
    assert (body.role, body.at.x, len(body.stations)) == ("nacelle", 0.010, 2)


def test_own_words_win_key_by_key_and_lists_are_replaced(library: Path) -> None:
    frames = [{"x": 0, "width": 50, "height": 50}, {"x": 90, "width": 9, "height": 9}]
    body = pod(library, at={"y": 120}, mirror=True, stations=frames)
    assert (body.at.x, body.at.y, body.at.z) == (0.010, 0.120, 0.004)
    assert [frame.width for frame in body.stations] == [0.050, 0.009]
    assert [part.name for part in body.parts] == ["nacelle skin"]


def test_nothing_takes_a_key_out(library: Path) -> None:
    assert pod(library, at=None).at.x == 0.0


def test_a_shared_body_is_the_same_as_the_body_written_out(library: Path) -> None:
    raw = glider() | {"bodies": {"pod": yaml.safe_load(NACELLE)["body"]}}
    assert read(library, raw).file == read(library, with_nacelle()).file


def test_entries_take_the_place_of_their_use_and_move_with_it(library: Path) -> None:
    raw = glider()
    at = {"x": 100, "y": 20}
    raw["parts"] = [{"shared": "mount", "at": at}, skin(None, area=900, at={"x": 1})]
    raw["items"] = [item("a"), {"shared": "mount", "at": at}, item("b")]
    file = read(library, raw).file
    assert [one.name for one in file.items] == ["a", "motor", "controller", "b"]
    motor, controller = file.items[1:3]
    assert (motor.at.x, motor.at.y, motor.at.z) == (0.090, 0.020, 0.0)
    assert (controller.at.x, controller.at.y, controller.at.z) == (0.140, 0.020, -0.008)
    plate, stick = file.parts[:2]
    assert plate.at is not None
    assert plate.at.x == 0.102
    assert stick.line is not None
    assert [(point.x, point.y) for point in stick.line] == [(0.100, 0.025), (0.160, 0.025)]


def test_two_uses_of_one_piece_do_not_move_each_other(library: Path) -> None:
    raw = glider()
    raw["items"] = [{"shared": "mount", "at": {"x": x}} for x in (100, 300)]
    places = [one.at.x for one in read(library, raw).file.items]
    assert places == [0.090, 0.140, 0.290, 0.340]


def test_materials_dangers_and_steps_are_shared_too(library: Path) -> None:
    raw = glider() | {"hazards": [{"shared": "board"}, "magnets"]}
    raw["materials"]["board"] = {"shared": "board", "areal_density": 470}
    steps = library / "designs/knot/steps"
    steps.mkdir()
    (steps / "010-weigh.md").write_text("---\nshared: board\nminutes: 15\n---\n")
    (steps / "020-cut.md").write_text(
        "---\ntitle: Cut\nminutes: 5\ncautions: [{shared: board}]\n---\nCut it.\n"
    )
    (steps / "030-again.md").write_text("---\nshared: board\n---\nWeigh it again.\n")
    design = read(library, raw)
    assert design.file.materials["board"].areal_density == 0.470
    assert design.file.hazards == ("blade", "sanding_dust", "magnets")
    first, cut, again = design.steps
    assert (first.head.title, first.head.minutes) == ("Weigh the board", 15)
    assert first.text == "Weigh a whole sheet."
    assert cut.head.cautions == ("blade", "sanding_dust")
    assert again.text == "Weigh it again."


def test_a_piece_of_ones_own_wins_over_the_library(library: Path) -> None:
    own = library / "designs/knot/shared"
    own.mkdir()
    (own / "nacelle.yaml").write_text(NACELLE.replace("width: 40", "width: 44"))
    assert pod(library).stations[0].width == 0.044


def test_the_fingerprint_knows_the_pieces_and_only_those_used(library: Path) -> None:
    first = read(library, with_nacelle())
    share(library, "mount", MOUNT.replace("mass: 30", "mass: 31"))
    assert read(library, with_nacelle()).fingerprint == first.fingerprint
    share(library, "nacelle", NACELLE.replace("width: 40", "width: 41"))
    assert read(library, with_nacelle()).fingerprint != first.fingerprint
    assert first.shared == ("nacelle",)


# --- what is refused ---------------------------------------------------------------------------


def test_a_fault_of_a_piece_is_told_where_it_lies(library: Path) -> None:
    share(library, "nacelle", NACELLE.replace("width: 30", "width: -30"))
    found = problem(library, with_nacelle())
    assert (found.file, found.line) == ("designs/_shared/nacelle.yaml", 8)
    assert found.field == "bodies.pod.stations[1].width"


def test_a_fault_of_the_designs_own_words_is_told_there(library: Path) -> None:
    found = problem(library, with_nacelle(at={"q": 1}))
    assert found.file == "designs/knot/design.yaml"
    assert found.field == "bodies.pod.at.q"
    assert found.line > 20


def test_an_unknown_material_in_a_piece_is_told_there(library: Path) -> None:
    share(library, "nacelle", NACELLE.replace("material: board", "material: boord"))
    found = problem(library, with_nacelle())
    assert (found.file, found.line) == ("designs/_shared/nacelle.yaml", 10)
    assert found.nearest == "board"


@pytest.mark.parametrize(
    ("name", "words", "nearest"),
    [
        ("nacele", 'no shared piece "nacele"', "nacelle"),
        ("../knot/design", "is no name of a shared piece", ""),
        ("/etc/passwd", "is no name of a shared piece", ""),
        ("NACELLE", "is no name of a shared piece", ""),
        (7, "is no name of a shared piece", ""),
        (["nacelle"], "is no name of a shared piece", ""),
    ],
)
def test_names(library: Path, name: Any, words: str, nearest: str) -> None:
    found = problem(library, glider() | {"bodies": {"pod": {"shared": name}}})
    assert words in found.wrong
    assert found.nearest == nearest
    assert found.field == "bodies.pod.shared"
    assert found.allowed


def test_a_piece_of_another_kind(library: Path) -> None:
    found = problem(library, glider() | {"bodies": {"pod": {"shared": "mount"}}})
    assert found.wrong == 'the shared piece "mount" has no body'
    assert "this one has parts, items" in found.allowed


def test_a_use_where_nothing_is_shared_is_an_unknown_key(library: Path) -> None:
    raw = glider() | {"balance": {"shared": "nacelle"}}
    assert problem(library, raw).wrong == "is an unknown key"


def test_other_units(library: Path) -> None:
    share(library, "nacelle", NACELLE + "units: {length: in}\n")
    found = problem(library, with_nacelle())
    assert found.wrong == '"nacelle" counts in in, g and deg, this design in mm, g and deg'


@pytest.mark.parametrize("place", ["body:\n  shared: mount\n", "parts: [{shared: nacelle}]\n"])
def test_no_piece_uses_another(library: Path, place: str) -> None:
    share(library, "nacelle", f"plansgen: 1\ntitle: Chain\n{place}")
    section = place.split(":")[0]
    raw = glider()
    raw |= {"bodies": {"pod": {"shared": "nacelle"}}} if section == "body" else {}
    raw |= {"parts": [{"shared": "nacelle"}]} if section == "parts" else {}
    found = problem(library, raw)
    assert found.file == "designs/_shared/nacelle.yaml"
    assert found.wrong == "a shared piece cannot use another"
    assert found.line == (4 if section == "body" else 3)


def test_only_a_place_stands_beside_a_piece_of_several_entries(library: Path) -> None:
    found = problem(library, glider() | {"items": [{"shared": "mount", "mass": 3}]})
    assert found.wrong == 'cannot stand beside "mount", which has 2 entries'
    assert found.allowed == "at, mirror"
    found = problem(library, glider() | {"hazards": [{"shared": "board", "at": {}}]})
    assert found.allowed == "shared alone"


def test_places_with_units_are_not_added(library: Path) -> None:
    found = problem(library, glider() | {"items": [{"shared": "mount", "at": {"x": "1 in"}}]})
    assert found.field == "items[0].at.x"
    assert "bare numbers" in found.allowed


def test_too_many_uses(library: Path) -> None:
    found = problems(library, glider() | {"items": [{"shared": "mount"} for _ in range(102)]})
    assert "one shared piece too many" in " ".join(one.wrong for one in found)


def test_a_piece_that_is_repeated_beyond_measure(library: Path) -> None:
    entries = "".join(f"  - {{name: i{n}, mass: 1, at: {{x: 1, y: 1, z: 1}}}}\n" for n in range(90))
    share(library, "mount", f"plansgen: 1\ntitle: Many\nitems:\n{entries}")
    found = problem(library, glider() | {"items": [{"shared": "mount"}] * 99})
    assert found.wrong == "holds too many values with its shared pieces"


def test_links_are_refused(library: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.yaml").write_text(NACELLE)
    (library / "designs/_shared/nacelle.yaml").unlink()
    (library / "designs/_shared/nacelle.yaml").symlink_to(library / "designs/_shared/mount.yaml")
    assert "is a link" in problem(library, with_nacelle()).wrong


def test_a_piece_too_large(library: Path) -> None:
    share(library, "nacelle", NACELLE + "#" * 70_000)
    assert problem(library, with_nacelle()).wrong.startswith("is too large")


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("empty", "plansgen: 1\ntitle: Empty\n", "holds nothing that a design could use"),
        ("wrong", NACELLE.replace("body:", "bodi:"), "is an unknown key"),
        ("Loud", NACELLE, "is no shared piece"),
        ("broken", "plansgen: [", "not YAML"),
    ],
)
def test_pieces_that_nobody_uses_are_checked_too(
    library: Path, name: str, text: str, words: str
) -> None:
    check_shelf(library)
    share(library, name, text)
    with pytest.raises(BadInput, match=words):
        check_shelf(library)


# --- where used --------------------------------------------------------------------------------


def test_where_used(library: Path) -> None:
    raw = with_nacelle()
    raw["items"] = [{"shared": "mount", "at": {"x": 5}}]
    write(library, raw)
    write(library, with_nacelle(), "stint")
    (library / "designs/stint/steps").mkdir()
    (library / "designs/stint/steps/010-weigh.md").write_text("---\nshared: board\n---\n")
    write(library, glider(), "dunlin")
    found = where_used(library)
    assert {name: [use.design for use in uses] for name, uses in found.items()} == {
        "board": ["stint"],
        "mount": ["knot"],
        "nacelle": ["knot", "stint"],
    }
    assert list(found) == sorted(found)


def test_a_piece_that_nobody_uses_is_listed(library: Path) -> None:
    write(library, glider())
    assert where_used(library)["nacelle"] == ()
