"""Measured propellers from a file: what is read, and what is refused in plain words."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from plansgen.library.folder import read_design
from plansgen.library.models import DriveChange
from plansgen.library.propeller_table import MOST_ROWS, read_rows
from plansgen.problems import BadInput, Problem
from tests.designs import file_of, powered

REPOSITORY = Path(__file__).resolve().parents[2]
GOOD = "J, CT, CP\n0, 0.1, 0.05\n0.3, 0.08, 0.05\n0.7, -0.01, 0.01\n"


def refusals(text: str) -> list[Problem]:
    with pytest.raises(BadInput) as caught:
        read_rows(text, shown="own.csv")
    return list(caught.value.problems)


def test_rows_are_read_as_written() -> None:
    rows = read_rows("# a note\n\n" + GOOD.lower(), shown="own.csv")
    assert [(row.j, row.ct, row.cp, row.rpm) for row in rows] == [
        (0.0, 0.1, 0.05, None),
        (0.3, 0.08, 0.05, None),
        (0.7, -0.01, 0.01, None),
    ]


def test_a_table_needs_no_head_and_may_hold_several_speeds() -> None:
    text = "0,.1,.05,4000\n.3,.08,.05,4000\n0,.11,.05,6000\n.3,.09,.05,6000"
    assert [row.rpm for row in read_rows(text, shown="own.csv")] == [4000, 4000, 6000, 6000]


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("", 0, "two rows or more"),
        ("J, CT, CP\n", 0, "two rows or more"),
        ("0, 0.1, 0.05", 1, "two rows or more"),
        ("CT, CP, J\n0, 0.1, 0.05\n0.3, 0.08, 0.05\n", 1, "does not name the columns"),
        (GOOD + "0.8, nan, 0.01", 5, '"nan" is not a number'),
        (GOOD + "0.8, 1e999, 0.01", 5, '"1e999" is not a number'),
        (GOOD + "0.8, =1+1, 0.01", 5, '"=1+1" is not a number'),
        (GOOD + "0.8; 0,1; 0,01", 5, '"0.8; 0" is not a number'),
        (GOOD + "0.8, 0.1", 5, "is not three or four numbers"),
        (GOOD + "0.8, 0.1, 0.1, 5000, 7", 5, "is not three or four numbers"),
        (GOOD + "8, 0.1, 0.1", 5, "J of 8 is out of range 0 to 4"),
        (GOOD + "0.8, 10, 5", 5, "CT of 10 is out of range -1 to 1"),
        (GOOD + "0.8, 0, 5", 5, "CP of 5 is out of range"),
        (GOOD + "0.8, 0, 0, 3", 5, "rpm of 3 is out of range"),
        (GOOD + "0.7, -0.02, 0.01", 5, "J must rise"),
        (GOOD + "0.8, -0.02, 0.01, 5000", 5, "rpm stands in every row or in none"),
        ("0, -0.1, 0.05\n0.3, 0.08, 0.05", 1, "CT and CP must be above 0"),
        (
            "0,.1,.05,4000\n.3,.08,.05,4000\n0,0,.05,6000\n.3,-.1,.05,6000",
            3,
            "above 0 where a new rpm begins",
        ),
        (
            "0,.1,.05,6000\n.3,.08,.05,6000\n0,.1,.05,4000\n.3,.1,.05,4000",
            3,
            "rpm must rise from block to block",
        ),
        ("0,.1,.05,4000\n.3,.08,.05,4000\n0,.1,.05,6000", 3, "each rpm needs two rows"),
    ],
)
def test_refused(text: str, line: int, words: str) -> None:
    (problem,) = refusals(text)
    assert words in problem.wrong
    assert problem.line == line


def test_every_wrong_line_is_told_and_a_long_table_is_not_gone_through() -> None:
    assert [problem.line for problem in refusals(GOOD + "x\n0.8, 0, 0\ny")] == [5, 7]
    (problem,) = refusals("0,0,0\n" * (MOST_ROWS + 1))
    assert problem.allowed == f"at most {MOST_ROWS}"


def test_another_propeller_drops_what_was_measured_on_this_one() -> None:
    raw = powered()
    rows = [{"j": 0, "ct": 0.1, "cp": 0.05}, {"j": 0.3, "ct": 0.08, "cp": 0.05}]
    raw["power"]["drives"][0] |= {"measured": rows}
    power = file_of(raw).power
    assert power is not None
    (drive,) = power.drives
    assert len(drive.measured) == 2
    assert drive.changed(None) is drive
    assert drive.changed(DriveChange(kv=900)).measured == drive.measured
    other = drive.changed(DriveChange(pitch=150))
    assert (other.pitch, other.kv, other.measured) == (0.15, drive.kv, ())


# --- in its folder ---------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A design whose propeller was measured."""
    made = tmp_path / "designs" / "dunlin"
    shutil.copytree(REPOSITORY / "designs" / "dunlin", made)
    text = (made / "design.yaml").read_text()
    assert text.count("      pitch: ") == 1
    (made / "design.yaml").write_text(
        text.replace("      pitch: ", "      table: propellers/own.csv\n      pitch: ")
    )
    (made / "propellers").mkdir()
    (made / "propellers" / "own.csv").write_text(GOOD)
    return made


def test_a_table_is_read_with_its_design(folder: Path) -> None:
    design = read_design(folder.parents[1], "dunlin")
    assert design.file.power is not None
    assert [row.j for row in design.file.power.drives[0].measured] == [0.0, 0.3, 0.7]
    (folder / "propellers" / "own.csv").write_text(GOOD.replace("0.08", "0.081"))
    assert read_design(folder.parents[1], "dunlin").fingerprint != design.fingerprint


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("../../../secret.csv", ""),
        ("/etc/passwd.csv", ""),
        ("propellers/none.csv", ""),
        ("notes.md", "must end in .csv or .txt"),
    ],
)
def test_a_table_lies_in_the_folder(folder: Path, name: str, words: str) -> None:
    (folder.parents[1] / "secret.csv").write_text(GOOD)
    path = folder / "design.yaml"
    path.write_text(path.read_text().replace("propellers/own.csv", name))
    with pytest.raises(BadInput) as caught:
        read_design(folder.parents[1], "dunlin")
    (problem,) = caught.value.problems
    assert problem.field == "power.drives[0].table"
    assert words in problem.wrong


def test_a_table_with_a_link_out_of_the_folder_is_refused(folder: Path) -> None:
    secret = folder.parents[1] / "secret.csv"
    secret.write_text(GOOD)
    (folder / "propellers" / "own.csv").unlink()
    (folder / "propellers" / "own.csv").symlink_to(secret)
    with pytest.raises(BadInput, match="link"):
        read_design(folder.parents[1], "dunlin")


def test_a_wrong_row_names_the_table_and_its_line(folder: Path) -> None:
    (folder / "propellers" / "own.csv").write_text(GOOD + "wind, rain, hail\n")
    with pytest.raises(BadInput) as caught:
        read_design(folder.parents[1], "dunlin")
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == ("designs/dunlin/propellers/own.csv", 5)
