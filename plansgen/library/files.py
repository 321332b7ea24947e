"""Files that a design names: inside its folder, ordinarily named, and what they claim to be.

Names come from untrusted text and end up as paths on any system and as addresses on the web, so
only names that mean the same everywhere are taken.
"""

from __future__ import annotations

import io
import os
import re
import stat
import struct
import unicodedata
import warnings
import zlib
from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from plansgen.library.picture_data import without_private_data
from plansgen.library.text import shown_value
from plansgen.problems import nearest_name

if TYPE_CHECKING:
    from PIL import Image

FileKind = Literal["picture", "text", "drawing"]

_SUFFIXES: dict[str, FileKind] = {
    **dict.fromkeys((".png", ".jpg", ".jpeg", ".webp"), "picture"),
    **dict.fromkeys((".txt", ".md", ".yaml", ".dat", ".csv"), "text"),
    ".svg": "drawing",
}
_MOST_BYTES: dict[FileKind, int] = {"picture": 8 * 2**20, "text": 2**20, "drawing": 2**18}
_MOST_PIXELS = 40_000_000
_FIRST_ON_ITS_SIDE = 5  # of the eight orientations of EXIF
_PICTURE_FORMAT = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP"}

_LONGEST_NAME = 100
_LONGEST_PATH = 250
# Names that Windows keeps for devices, with any ending (Microsoft, "Naming Files, Paths, and
# Namespaces").
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$"}
    | {f"{port}{digit}" for port in ("com", "lpt") for digit in "0123456789¹²³"}
)
_EXTRA_CHARACTERS = frozenset(" -_.()")


def safe_child(folder: Path, name: str, *, kinds: Collection[FileKind]) -> Path:
    """Return the path of a file that a design names, after every check.

    Args:
        folder: the design's folder.
        name: the name as written, relative to the folder, with forward slashes.
        kinds: what the file may be.

    Raises:
        ValueError: with words for the author when the name or the file cannot be used.
    """
    check_path_text(name)
    suffix = Path(name).suffix.lower()
    if suffix == ".svg" and "picture" in kinds:
        raise ValueError(f"{shown_value(name)}: SVG pictures are not taken; save it as PNG")
    kind = _SUFFIXES.get(suffix)
    if kind is None or kind not in kinds:
        endings = ", ".join(end for end, of in sorted(_SUFFIXES.items()) if of in kinds)
        raise ValueError(f"{shown_value(name)} must end in one of {endings}")
    path = _existing(folder, name)
    _check_file(path, name, kind)
    if kind == "picture":
        read_picture(path)
    return path


def read_picture(path: Path) -> tuple[bytes, int, int]:
    """Return a picture's bytes without private data, and its width and height as shown. [px]

    Raises:
        ValueError: not the PNG, JPEG or WebP picture that its name says, too many pixels, or not
            all there.
    """
    shown, expected = shown_value(path.name), _PICTURE_FORMAT.get(path.suffix.lower(), "")
    data = path.read_bytes()
    actual = _format_of(data)
    if not actual or actual != expected:
        held = f"a {actual} picture" if actual else "no PNG, JPEG or WebP picture"
        raise ValueError(f"{shown} holds {held}; rename or save it again")
    width, height, orientation = _pixels(data, shown, expected)
    if width * height > _MOST_PIXELS:
        raise ValueError(
            f"{shown} has {width} x {height} pixels; at most {_MOST_PIXELS // 10**6} million"
        )
    if not _is_whole(data, expected):
        raise ValueError(f"{shown} is damaged or cut short; save it again")
    try:
        bare = without_private_data(data, expected, orientation=orientation)
    except ValueError as wrong:
        raise ValueError(f"{shown} is damaged: {wrong}; save it again") from None
    return (bare, height, width) if orientation >= _FIRST_ON_ITS_SIDE else (bare, width, height)


def list_folder(folder: Path, *, within: Path | None = None) -> tuple[str, ...]:
    """Return the names of what lies directly in a folder, sorted, hidden ones left out.

    Args:
        folder: the folder.
        within: the folder that links may not lead out of; else the folder itself.

    Raises:
        ValueError: no folder, a link that leads out, or two names that differ in case only.
    """
    try:
        names = sorted(child.name for child in folder.iterdir() if not child.name.startswith("."))
    except (FileNotFoundError, NotADirectoryError):
        raise ValueError(f"there is no folder {shown_value(folder.name)}") from None
    except OSError:
        raise ValueError(f"the folder {shown_value(folder.name)} cannot be read") from None
    wrong = [
        f"{shown_value(name)} is a link that leads out of the folder or nowhere"
        for name in names
        if (folder / name).is_symlink() and not _stays_within(folder / name, within or folder)
    ]
    seen: dict[str, str] = {}
    for name in names:
        other = seen.setdefault(unicodedata.normalize("NFC", name).casefold(), name)
        if other != name:
            wrong.append(f"{shown_value(other)} and {shown_value(name)} differ in case only")
    if wrong:
        raise ValueError("; ".join(wrong))
    return tuple(names)


# ---------------------------------------------------------------- the name


def check_path_text(name: str) -> None:
    """Check that a name means the same file on any system, inside the folder it is given for.

    Raises:
        ValueError: it does not, with words for the author.
    """
    shown = shown_value(name)
    if not name:
        raise ValueError("the file name is empty")
    if "\\" in name:
        raise ValueError(f"{shown} is a Windows path; write forward slashes: photos/spar.png")
    if re.match(r"[A-Za-z]:", name):
        raise ValueError(f"{shown} is a Windows path with a drive; name a file in the folder")
    if name.startswith(("/", "~")):
        raise ValueError(f"{shown} must be relative: name a file in the design's folder")
    if len(name) > _LONGEST_PATH:
        raise ValueError(f"{shown} is too long: at most {_LONGEST_PATH} characters")
    for part in name.split("/"):
        _check_name(part, shown)


def _check_name(part: str, shown: str) -> None:
    """Check one part of a path."""
    if part in (".", ".."):
        raise ValueError(f'{shown} must not hold "{part}": name a file in the design\'s folder')
    if not part:
        raise ValueError(f"{shown} has an empty part: slashes stand between names only")
    if len(part) > _LONGEST_NAME:
        raise ValueError(f"{shown} is too long: at most {_LONGEST_NAME} characters a name")
    for char in part:
        if not char.isalnum() and char not in _EXTRA_CHARACTERS:
            raise ValueError(
                f"{shown} holds {shown_value(char)}; allowed: letters, digits, space and - _ . ( )"
            )
    if unicodedata.normalize("NFC", part) != part:
        raise ValueError(f"{shown} holds a letter whose accent is a character of its own")
    if part.startswith((".", " ", "-")) or part.endswith((".", " ")):
        raise ValueError(f"{shown}: a name begins and ends with a letter, digit, _ or bracket")
    if part.split(".")[0].rstrip().lower() in _DEVICES:
        raise ValueError(f"{shown}: Windows keeps the name {part.split('.')[0]} for a device")


# ---------------------------------------------------------------- the file


def _existing(folder: Path, name: str) -> Path:
    """Walk down to the file by exact names, as a system that tells a from A would."""
    path = folder
    for part in name.split("/"):
        try:
            present = [child.name for child in path.iterdir()]
        except OSError:
            present = []
        if part not in present:
            hint = _hint(path.relative_to(folder), nearest_name(part, present))
            raise ValueError(f"there is no file {shown_value(name)}{hint}")
        path = path / part
    if not _stays_within(path, folder):
        raise ValueError(f"{shown_value(name)} is a link that leads out of the folder or nowhere")
    return path


def _hint(folder: Path, near: str) -> str:
    return f"; did you mean {shown_value((folder / near).as_posix())}?" if near else ""


def _stays_within(path: Path, folder: Path) -> bool:
    try:
        return path.resolve(strict=True).is_relative_to(folder.resolve(strict=True))
    except (OSError, RuntimeError):  # a link to nowhere, or a ring of links
        return False


def _check_file(path: Path, name: str, kind: FileKind) -> None:
    status = path.stat()
    if stat.S_ISDIR(status.st_mode):
        raise ValueError(f"{shown_value(name)} is a folder, not a file")
    if not stat.S_ISREG(status.st_mode):
        raise ValueError(f"{shown_value(name)} is not an ordinary file")
    most = _MOST_BYTES[kind]
    if status.st_size > most:
        size = status.st_size / 2**20
        raise ValueError(
            f"{shown_value(name)} is too large: {size:.3g} MiB; at most {most / 2**20:g} MiB"
        )
    if status.st_size == 0:
        raise ValueError(f"{shown_value(name)} is empty")
    if not os.access(path, os.R_OK):
        raise ValueError(f"{shown_value(name)} may not be read: its permissions forbid it")


# ---------------------------------------------------------------- pictures


def _format_of(data: bytes) -> str:
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return "WEBP"
    return ""


def _pixels(data: bytes, shown: str, expected: str) -> tuple[int, int, int]:
    """Read size and orientation from the header; the picture itself is not decoded."""
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # its size warning; the caller has its own limit
            with Image.open(io.BytesIO(data), formats=[expected]) as picture:
                return (*picture.size, _orientation(picture) if expected == "JPEG" else 1)
    except Image.DecompressionBombError:
        raise ValueError(f"{shown} has far too many pixels") from None
    except Exception:  # whatever a damaged header makes the decoder raise
        raise ValueError(f"{shown} is damaged: its header cannot be read") from None


def _orientation(picture: Image.Image) -> int:
    """How to turn the picture, 1 to 8 as EXIF counts; 1 where it says nothing one can use."""
    value = picture.getexif().get(0x0112, 1)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _is_whole(data: bytes, expected: str) -> bool:
    """Tell whether the file's own structure reaches its end."""
    if expected == "PNG":
        return _png_is_whole(data)
    if expected == "WEBP":
        return len(data) >= 12 and struct.unpack_from("<I", data, 4)[0] + 8 <= len(data)
    return _jpeg_is_whole(data)


def _png_is_whole(data: bytes) -> bool:
    """Walk the chunks to IEND, checking each checksum (PNG, 3rd edition, W3C 2025, section 5.3)."""
    at = 8
    while at + 12 <= len(data):
        length, kind = struct.unpack_from(">I4s", data, at)
        end = at + 8 + length
        if end + 4 > len(data):
            return False
        if struct.unpack_from(">I", data, end)[0] != zlib.crc32(data[at + 4 : end]):
            return False
        if kind == b"IEND":
            return True
        at = end + 4
    return False


def _jpeg_is_whole(data: bytes) -> bool:
    """Walk the segments to the first scan, then look for the end mark (ITU-T T.81, annex B).

    A thumbnail in the header has an end mark of its own, hence the walk.
    """
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker, length = data[at + 1], struct.unpack_from(">H", data, at + 2)[0]
        if marker == 0xFF:  # a fill byte
            at += 1
            continue
        at += 2 + length
        if marker == 0xDA:
            return data.find(b"\xff\xd9", at) != -1
    return False
