"""Measured propellers: a table of thrust and power coefficients in the design's folder."""

from __future__ import annotations

import math
from pathlib import Path

from plansgen.library.drawn import Taken
from plansgen.library.files import safe_child
from plansgen.library.models import DesignFile, Drive, PropellerRow
from plansgen.library.models.power import wrong_row
from plansgen.library.stock import Trouble
from plansgen.library.text import Place, read_text, shown_value
from plansgen.problems import BadInput, Problem

MOST_BYTES = 64 * 1024
MOST_ROWS = 500
_COLUMNS = ("j", "ct", "cp", "rpm")
_HEADS = (_COLUMNS, _COLUMNS[:3])
# Wider than any model propeller; they catch percentages and slipped columns.
_RANGES = {"j": (0.0, 4.0), "ct": (-1.0, 1.0), "cp": (-1.0, 1.0), "rpm": (100.0, 100_000.0)}


def read_rows(text: str, *, shown: str) -> tuple[PropellerRow, ...]:
    """Measured rows of a table: J, CT, CP and perhaps rpm, one row a line.

    Blank lines and lines that begin with # say nothing; a first line of words must name the
    columns in that order.

    Args:
        text: the file as read.
        shown: its path as shown to the author.

    Raises:
        BadInput: with every line that cannot be used.
    """
    lines = [
        (number, [cell.strip() for cell in line.split(",")])
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    problems: list[Problem] = []
    if lines and not _is_number(lines[0][1][0]):
        number, cells = lines.pop(0)
        if tuple(cell.lower() for cell in cells) not in _HEADS:
            wrong = f"{shown_value(', '.join(cells))} does not name the columns"
            problems.append(Problem(shown, number, "", wrong, "J, CT, CP or J, CT, CP, rpm"))
    if len(lines) > MOST_ROWS:
        wrong, allowed = f"holds {len(lines)} rows", f"at most {MOST_ROWS}"
        raise BadInput([*problems, Problem(shown, 0, "", wrong, allowed)])
    rows: list[tuple[int, PropellerRow]] = []
    for number, cells in lines:
        try:
            rows.append((number, _row(cells)))
        except ValueError as wrong:
            allowed = "numbers J, CT, CP and perhaps rpm, with commas between"
            problems.append(Problem(shown, number, "", str(wrong), allowed))
    if not problems and (misfit := wrong_row([row for _, row in rows])):
        index, words = misfit
        problems.append(Problem(shown, rows[index][0] if rows else 0, "", words))
    if problems:
        raise BadInput(problems)
    return tuple(row for _, row in rows)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _row(cells: list[str]) -> PropellerRow:
    """One row; cells beyond a missing rpm are none."""
    if len(cells) not in (3, 4):
        raise ValueError(f"{shown_value(', '.join(cells))} is not three or four numbers")
    values: dict[str, float] = {}
    for name, cell in zip(_COLUMNS, cells, strict=False):
        if not _is_number(cell) or not math.isfinite(float(cell)):
            raise ValueError(f"{shown_value(cell)} is not a number")
        least, most = _RANGES[name]
        if not least <= float(cell) <= most:
            shown = "J" if name == "j" else name.upper() if name != "rpm" else name
            raise ValueError(f"{shown} of {float(cell):g} is out of range {least:g} to {most:g}")
        values[name] = float(cell)
    return PropellerRow(**values)


def with_tables(
    file: DesignFile, folder: Path, *, shown: str, trouble: Trouble, taken: Taken
) -> DesignFile:
    """The design with the rows of every propeller's table in its drive.

    Args:
        file: As validated.
        folder: The design's folder.
        shown: Its path as shown to the author.
        trouble: Notes what is wrong, at a place of the design file.
        taken: Counts what was read into the fingerprint.

    Raises:
        BadInput: a table is not text, or holds what cannot be used.
    """
    if file.power is None or all(drive.table is None for drive in file.power.drives):
        return file
    drives: list[Drive] = []
    problems: list[Problem] = []
    for number, drive in enumerate(file.power.drives):
        place: Place = ("power", "drives", number, "table")
        try:
            drives.append(_with_table(drive, folder, shown=shown, taken=taken))
        except ValueError as wrong:
            trouble(place, str(wrong))
        except BadInput as bad:
            problems.extend(bad.problems)
    if problems:
        raise BadInput(problems)
    if len(drives) < len(file.power.drives):
        return file
    power = file.power.model_copy(update={"drives": tuple(drives)})
    return file.model_copy(update={"power": power})


def _with_table(drive: Drive, folder: Path, *, shown: str, taken: Taken) -> Drive:
    name = drive.table
    if name is None:
        return drive
    if not name.lower().endswith((".csv", ".txt")):
        raise ValueError(f"{shown_value(name)} must end in .csv or .txt")
    child = safe_child(folder, name, kinds={"text"})
    text = read_text(child, shown=f"{shown}/{name}", most=MOST_BYTES)
    rows = read_rows(text, shown=f"{shown}/{name}")
    taken(name, text.encode())
    return drive.model_copy(update={"measured": rows})
