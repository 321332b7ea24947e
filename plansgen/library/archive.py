"""Files out of an untrusted ZIP or folder: into memory, within limits, never written from here.

A ZIP can name files outside its place, claim sizes it does not have, or be small and unpack to
more than the disk holds. So every name is checked before anything is unpacked, everything is
counted as it is unpacked, and one bad name refuses the whole.
"""

from __future__ import annotations

import re
import stat
import struct
import unicodedata
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from plansgen.library.files import check_path_text
from plansgen.library.text import shown_value
from plansgen.problems import BadInput, Problem


@dataclass(frozen=True)
class Most:
    """How much may come in; far above any real design. Sizes in bytes."""

    archive: int = 256 * 2**20
    entries: int = 2000
    one: int = 32 * 2**20
    together: int = 256 * 2**20
    ratio: int = 200
    free: int = 2**16  # of a file this small the ratio does not matter


MOST = Most()
_HIDDEN = ("__MACOSX",)
_ORDINARY = re.compile(r"[\w ./()+-]{1,250}")
_ENCRYPTED = 0x1
_CHUNK = 2**16
_END, _END_SIZE, _LARGE = b"PK\x05\x06", 22, b"PK\x06\x07"
_TAIL = 2**16 + _END_SIZE + 20
_LONGEST_ENTRY = 1024  # bytes in the list of files: 46, a name and what tools add


def read_archive(path: Path, *, most: Most = MOST) -> dict[str, bytes]:
    """Every file of a ZIP or a folder by its name; hidden ones are left out.

    Args:
        path: the ZIP or the folder.
        most: how much it may hold.

    Raises:
        BadInput: with every name that cannot be used, or why nothing can be.
    """
    shown = path.name or str(path)
    if path.is_dir():
        return _read_folder(path, shown, most)
    try:
        status = path.stat()
    except OSError:
        raise _bad(shown, "there is no such file or folder") from None
    if not stat.S_ISREG(status.st_mode):
        raise _bad(shown, "is not an ordinary file", "a ZIP or a folder")
    if status.st_size > most.archive:
        raise _bad(shown, f"is too large: {_mib(status.st_size)}", f"at most {_mib(most.archive)}")
    try:
        _refuse_long_list(path, shown, most)
        with zipfile.ZipFile(path) as archive:
            return _read_zip(archive, shown, most)
    except (zipfile.BadZipFile, zlib.error, EOFError, ValueError, NotImplementedError):
        raise _bad(shown, "is no ZIP, or a damaged one", "a ZIP or a folder") from None
    except (OSError, RuntimeError):
        raise _bad(shown, "cannot be read") from None


def _refuse_long_list(path: Path, shown: str, most: Most) -> None:
    """Look at the record at a ZIP's end before its list of files is read into memory whole.

    The record may stand before a comment, and its mark in the comment too: every one counts. The
    record for large ZIPs, before it, is not taken (APPNOTE 6.3.10, sections 4.3.15 and 4.3.16).
    """
    with path.open("rb") as file:
        file.seek(max(0, path.stat().st_size - _TAIL))
        tail = file.read(_TAIL)
    at = tail.find(_END)
    while at != -1 and at + _END_SIZE <= len(tail):
        (size,) = struct.unpack_from("<I", tail, at + 12)
        if size > most.entries * _LONGEST_ENTRY or tail[at - 20 : at - 16] == _LARGE:
            raise _bad(shown, "holds too many files", f"at most {most.entries}")
        at = tail.find(_END, at + 1)


# --- a ZIP -------------------------------------------------------------------------------------


def _read_zip(archive: zipfile.ZipFile, shown: str, most: Most) -> dict[str, bytes]:
    entries = archive.infolist()
    if len(entries) > most.entries:
        raise _bad(shown, f"holds {len(entries)} files", f"at most {most.entries}")
    problems = [
        Problem(shown, 0, "", wrong) for entry in entries for wrong in _entry_faults(entry, most)
    ]
    files = [entry for entry in entries if not _is_folder(entry)]
    problems += _clashes([entry.orig_filename for entry in files], shown)
    claimed = sum(entry.file_size for entry in files)
    if claimed > most.together:
        allowed = f"at most {_mib(most.together)}"
        problems.append(Problem(shown, 0, "", f"unpacks to {_mib(claimed)}", allowed))
    if problems:
        raise BadInput(problems)
    found: dict[str, bytes] = {}
    room = most.together
    for entry in files:
        if _is_hidden(entry.orig_filename):
            continue
        data = _unpacked(archive, entry, shown, min(room, most.one))
        room -= len(data)
        found[entry.orig_filename] = data
    return found


def _is_folder(entry: zipfile.ZipInfo) -> bool:
    return entry.orig_filename.endswith("/")


def _entry_faults(entry: zipfile.ZipInfo, most: Most) -> Iterator[str]:
    name = entry.orig_filename  # as it stands there: the other one is cut at a zero byte
    shown = shown_value(name)
    if not _is_hidden(name):
        try:
            check_path_text(name.removesuffix("/") if _is_folder(entry) else name)
        except ValueError as wrong:
            yield str(wrong)
            return
    mode = stat.S_IFMT(entry.external_attr >> 16)
    if stat.S_ISLNK(mode):
        yield f"{shown} is a link; only files are taken"
    elif mode not in (0, stat.S_IFREG, stat.S_IFDIR):
        yield f"{shown} is a device; only files are taken"
    if entry.flag_bits & _ENCRYPTED:
        yield f"{shown} is locked with a password"
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        yield f"{shown} is packed in a way that is not read; pack it again as an ordinary ZIP"
    if entry.file_size > most.one:
        yield f"{shown} is too large: {_mib(entry.file_size)}; at most {_mib(most.one)}"
    elif entry.file_size > max(most.free, most.ratio * entry.compress_size):
        yield f"{shown} unpacks to more than {most.ratio} times its size"


def _unpacked(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, shown: str, room: int) -> bytes:
    """Unpack one file and stop as soon as it is larger than there is room for."""
    data = bytearray()
    with archive.open(entry) as file:
        while chunk := file.read(_CHUNK):
            data += chunk
            if len(data) > room:
                raise _bad(shown, f"{shown_value(entry.orig_filename)} unpacks to too much")
    return bytes(data)


# --- a folder ----------------------------------------------------------------------------------


def _read_folder(folder: Path, shown: str, most: Most) -> dict[str, bytes]:
    problems: list[Problem] = []
    found: dict[str, Path] = {}
    size = 0
    for name, path in _walk(folder):
        try:
            check_path_text(name)
        except ValueError as wrong:
            problems.append(Problem(shown, 0, "", str(wrong)))
            continue
        status = path.lstat()
        if not stat.S_ISREG(status.st_mode):
            kind = "a link" if stat.S_ISLNK(status.st_mode) else "not an ordinary file"
            words = f"{shown_value(name)} is {kind}; only files are taken"
            problems.append(Problem(shown, 0, "", words))
        elif status.st_size > most.one:
            words = f"{shown_value(name)} is too large: {_mib(status.st_size)}"
            problems.append(Problem(shown, 0, "", words, f"at most {_mib(most.one)}"))
        found[name] = path
        size += status.st_size
        if len(found) > most.entries or size > most.together:
            allowed = f"at most {most.entries} files of {_mib(most.together)} together"
            raise _bad(shown, "holds too much", allowed)
    problems += _clashes(found, shown)
    if problems:
        raise BadInput(problems)
    return {name: path.read_bytes() for name, path in found.items()}


def _walk(folder: Path, inner: str = "") -> Iterator[tuple[str, Path]]:
    """Everything in a folder that is no folder itself; links are not followed."""
    for path in sorted(folder.iterdir()):
        name = f"{inner}{path.name}"
        if _is_hidden(name):
            continue
        if path.is_dir() and not path.is_symlink():
            if name.count("/") < 10:
                yield from _walk(path, f"{name}/")
        else:
            yield name, path


# --- both --------------------------------------------------------------------------------------


def _is_hidden(name: str) -> bool:
    """What systems leave behind, by an ordinary name; any other name is checked, and refused."""
    parts = name.removesuffix("/").split("/")
    if any(part in ("", ".", "..") for part in parts) or not _ORDINARY.fullmatch(name):
        return False
    return any(part in _HIDDEN or part.startswith(".") for part in parts)


def _clashes(names: Iterable[str], shown: str) -> list[Problem]:
    """Names that are one file, or a file and a folder, where a and A are the same."""
    problems: list[Problem] = []
    seen: dict[str, str] = {}
    for name in names:
        folded = _folded(name)
        other = seen.get(folded)
        if other is None:
            seen[folded] = name
            continue
        words = f"{shown_value(other)} and {shown_value(name)} differ in case only"
        if other == name:
            words = f"{shown_value(name)} stands there twice"
        problems.append(Problem(shown, 0, "", words))
    for folded, name in seen.items():
        parts = folded.split("/")
        for length in range(1, len(parts)):
            if "/".join(parts[:length]) in seen:
                words = f"{shown_value(name)} lies in a file, as if that were a folder"
                problems.append(Problem(shown, 0, "", words))
                break
    return problems


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()


def _mib(size: int) -> str:
    return f"{size / 2**20:.3g} MiB"


def _bad(shown: str, wrong: str, allowed: str = "") -> BadInput:
    return BadInput([Problem(shown, 0, "", wrong, allowed)])
