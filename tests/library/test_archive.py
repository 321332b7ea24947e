"""Hostile ZIPs and folders: nothing outside, nothing huge, nothing twice.

Attacks known from the trade: names with .. or a drive ("Zip Slip", CWE-22), links (CWE-59), and
small archives that unpack to much (CWE-409), after MITRE's Common Weakness Enumeration.
"""

from __future__ import annotations

import io
import os
import stat
import struct
import zipfile
from pathlib import Path

import pytest

from plansgen.library.archive import Most, read_archive
from plansgen.problems import BadInput

Entry = tuple[str, bytes]


def pack(path: Path, *entries: Entry | tuple[zipfile.ZipInfo, bytes], packed: bool = True) -> Path:
    kind = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    with zipfile.ZipFile(path, "w", kind) as archive:
        for name, data in entries:
            archive.writestr(name, data)
    return path


def refused(path: Path, most: Most | None = None) -> str:
    with pytest.raises(BadInput) as caught:
        read_archive(path, most=most or Most())
    return str(caught.value)


def test_a_good_zip(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("knot/design.yaml", b"x"), ("knot/steps/010-cut.md", b"y"))
    assert read_archive(path) == {"knot/design.yaml": b"x", "knot/steps/010-cut.md": b"y"}


def test_folders_and_what_systems_leave_behind_are_passed_over(tmp_path: Path) -> None:
    names = ["knot/", "knot/.DS_Store", "__MACOSX/knot/._design.yaml", ".git/config", "knot/a.md"]
    path = pack(tmp_path / "a.zip", *((name, b"") for name in names))
    assert list(read_archive(path)) == ["knot/a.md"]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("../evil.md", 'must not hold ".."'),
        ("knot/../../evil.md", 'must not hold ".."'),
        ("/etc/evil.md", "must be relative"),
        ("~/evil.md", "must be relative"),
        ("C:/evil.md", "is a Windows path with a drive"),
        ("C:evil.md", "is a Windows path with a drive"),
        ("..\\evil.md", "is a Windows path"),
        (".git\\config", "is a Windows path"),
        (".a/../../evil.md", "begins and ends with a letter"),
        ("\\\\host\\share\\evil.md", "is a Windows path"),
        ("knot/nul.md", "Windows keeps the name nul"),
        ("knot/COM1", "Windows keeps the name COM1"),
        ("knot//a.md", "has an empty part"),
        ("knot/a.md ", "begins and ends with a letter"),
        ("knot/a:b.md", "allowed: letters, digits"),
        ("knot/\u202ea.md", "allowed: letters, digits"),
        ("knot/a\u0301.md", "allowed: letters, digits"),
        ("knot/" + "a" * 300, "is too long"),
    ],
)
def test_names(tmp_path: Path, name: str, words: str) -> None:
    path = pack(tmp_path / "a.zip", ("knot/design.yaml", b"x"), (name, b"evil"))
    assert words in refused(path)


def test_a_name_with_a_zero_byte(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("knot/a_..png", b"x"))
    path.write_bytes(path.read_bytes().replace(b"a_..png", b"a\0..png"))
    assert r"\x00" in refused(path)


@pytest.mark.parametrize(
    ("mode", "words"),
    [
        (stat.S_IFLNK, "is a link"),
        (stat.S_IFCHR, "is a device"),
        (stat.S_IFIFO, "is a device"),
    ],
)
def test_links_and_devices(tmp_path: Path, mode: int, words: str) -> None:
    entry = zipfile.ZipInfo("knot/notes.md")
    entry.create_system, entry.external_attr = 3, (mode | 0o777) << 16
    assert words in refused(pack(tmp_path / "a.zip", (entry, b"/etc/passwd")))


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (["a.md", "A.md"], '"a.md" and "A.md" differ in case only'),
        (["Flügel.md", "FLÜGEL.MD"], "differ in case only"),
        (["photos", "photos/a.png"], "lies in a file"),
    ],
)
def test_names_that_clash(tmp_path: Path, names: list[str], words: str) -> None:
    assert words in refused(pack(tmp_path / "a.zip", *((name, b"x") for name in names)))


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("name", ["a", "knot/a.md"])
def test_a_name_that_stands_there_twice(tmp_path: Path, name: str) -> None:
    assert "stands there twice" in refused(pack(tmp_path / "a.zip", (name, b"x"), (name, b"y")))


# --- size --------------------------------------------------------------------------------------


def test_a_file_that_unpacks_to_much(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("a.md", bytes(10 * 2**20)))
    assert path.stat().st_size < 20_000
    assert "unpacks to more than 200 times its size" in refused(path)


def test_a_file_too_large(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("a.md", b"x" * 2000), packed=False)
    assert "is too large" in refused(path, Most(one=1000))


def test_too_much_together(tmp_path: Path) -> None:
    entries = [(f"{n}.md", os.urandom(600)) for n in range(4)]
    assert "unpacks to" in refused(pack(tmp_path / "a.zip", *entries), Most(together=2000))


def test_too_many_files(tmp_path: Path) -> None:
    entries = [(f"{n}.md", b"") for n in range(30)]
    assert "holds 30 files; allowed: at most 20" in refused(
        pack(tmp_path / "a.zip", *entries), Most(entries=20)
    )


def test_a_list_of_files_that_would_fill_the_memory(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("a.md", b"x"))
    data = bytearray(path.read_bytes())
    at = data.rfind(b"PK\x05\x06")
    struct.pack_into("<I", data, at + 12, 100 * 2**20)
    path.write_bytes(data)
    assert "holds too many files" in refused(path)


def test_a_zip_for_large_files(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("a.md", b"x"))
    data = path.read_bytes()
    at = data.rfind(b"PK\x05\x06")
    path.write_bytes(data[:at] + b"PK\x06\x07" + bytes(16) + data[at:])
    assert "holds too many files" in refused(path)


def test_a_size_that_is_not_true(tmp_path: Path) -> None:
    """The head says ten bytes and a megabyte comes: no more than said is believed, or nothing."""
    path = pack(tmp_path / "a.zip", ("a.md", bytes(2**20)))
    data = path.read_bytes()
    size = struct.pack("<I", 2**20)
    path.write_bytes(data.replace(size, struct.pack("<I", 10)))
    assert "damaged" in refused(path)


def test_an_archive_too_large(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("a.md", os.urandom(3000)))
    assert "is too large" in refused(path, Most(archive=2000))


# --- what is no ZIP ----------------------------------------------------------------------------


def test_what_cannot_be_opened(tmp_path: Path) -> None:
    assert "there is no such file" in refused(tmp_path / "none.zip")
    (tmp_path / "text.zip").write_text("no zip")
    assert "is no ZIP" in refused(tmp_path / "text.zip")
    (tmp_path / "empty.zip").write_bytes(b"")
    assert "is no ZIP" in refused(tmp_path / "empty.zip")
    os.mkfifo(tmp_path / "pipe.zip")
    assert "is not an ordinary file" in refused(tmp_path / "pipe.zip")


def test_a_damaged_zip(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("a.md", b"hello hello hello"), packed=False)
    path.write_bytes(path.read_bytes().replace(b"hello hello", b"hullo hello"))
    assert "damaged" in refused(path)
    path.write_bytes(path.read_bytes()[:60])
    assert "is no ZIP" in refused(path)


def test_a_locked_zip(tmp_path: Path) -> None:
    path = pack(tmp_path / "a.zip", ("a.md", b"x"))
    data = bytearray(path.read_bytes())
    data[data.find(b"PK\x01\x02") + 8] |= 1
    path.write_bytes(data)
    assert "is locked with a password" in refused(path)


def test_an_unusual_packing(tmp_path: Path) -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_LZMA) as archive:
        archive.writestr("a.md", b"x" * 100)
    (tmp_path / "a.zip").write_bytes(stream.getvalue())
    assert "is packed in a way that is not read" in refused(tmp_path / "a.zip")


# --- folders -----------------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "knot"
    (folder / "steps").mkdir(parents=True)
    (folder / "design.yaml").write_text("x")
    (folder / "steps/010-cut.md").write_text("y")
    return folder


def test_a_good_folder(folder: Path) -> None:
    (folder / ".git").mkdir()
    (folder / ".git/config").write_text("hidden")
    assert read_archive(folder) == {"design.yaml": b"x", "steps/010-cut.md": b"y"}


def test_links_in_a_folder(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.md").write_text("secret")
    (folder / "notes.md").symlink_to(tmp_path / "secret.md")
    (folder / "photos").symlink_to(tmp_path)
    told = refused(folder)
    assert '"notes.md" is a link' in told
    assert '"photos" is a link' in told


def test_a_pipe_in_a_folder(folder: Path) -> None:
    os.mkfifo(folder / "notes.md")
    assert "is not an ordinary file" in refused(folder)


def test_a_folder_too_large(folder: Path) -> None:
    assert "holds too much" in refused(folder, Most(entries=1))
    assert "is too large" in refused(folder, Most(one=0))
    (folder / "a\nb.md").write_text("x")
    assert "allowed: letters, digits" in refused(folder)
