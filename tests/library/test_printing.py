"""The setting for a printer that does not print true."""

from __future__ import annotations

from pathlib import Path

import pytest

from plansgen.library.printing import Printer, printer_of
from plansgen.problems import BadInput


def kept(tmp_path: Path, text: str) -> Printer:
    (tmp_path / "mkdocs.yml").write_text(text)
    return printer_of(tmp_path)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("site_name: Plans\n", Printer()),
        ("", Printer()),
        ("extra: {other: 1}\n", Printer()),
        ("extra:\n  printing: {across: 99.6, along: 100.2}\n", Printer(99.6, 100.2)),
        ("extra:\n  printing: {across: 99}\n", Printer(99, 100.0)),
        # What the site engine has tags for is none of our business.
        ("a: !ENV X\nb: !!python/name:x.y\nextra: {printing: {along: 101}}\n", Printer(100.0, 101)),
    ],
)
def test_a_printer_is_read(tmp_path: Path, text: str, wanted: Printer) -> None:
    assert kept(tmp_path, text) == wanted


def test_everything_wrong_is_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        kept(tmp_path, "extra: {printing: {across: 80, along: yes, up: 3}}\n")
    fields = [problem.field for problem in caught.value.problems]
    assert sorted(fields) == [f"extra.printing.{key}" for key in ("across", "along", "up")]
    assert "at 100 %" in str(caught.value)


@pytest.mark.parametrize("text", ["extra: {printing: 99}\n", "extra: [\n", "a: .nan\nb: \x00\n"])
def test_what_cannot_be_read_is_told(tmp_path: Path, text: str) -> None:
    with pytest.raises(BadInput, match=r"mkdocs\.yml"):
        kept(tmp_path, text)


@pytest.mark.parametrize("value", [".nan", ".inf", '"99"', "null", "[]"])
def test_a_bar_is_a_number_of_millimetres(tmp_path: Path, value: str) -> None:
    with pytest.raises(BadInput, match="is not a number of millimetres"):
        kept(tmp_path, f"extra: {{printing: {{across: {value}}}}}\n")
