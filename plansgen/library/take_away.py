"""A design to take away: one ZIP with everything, the same bytes whenever it is made.

It holds ``source/`` (the design folder by itself), the files that are made from it, ``CREDITS.txt``
and ``contents.txt`` with the hash of every file. Nothing in it depends on the clock, the machine or
the order in which files are given.
"""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Iterator, Mapping

from plansgen.library.design import Design
from plansgen.library.files import check_path_text
from plansgen.library.shelf import USE
from plansgen.library.source import parse_yaml
from plansgen.library.take import SOURCE

_EPOCH = (1980, 1, 1, 0, 0, 0)  # the first date that a ZIP can say
_UNIX, _MODE = 3, 0o100644 << 16  # an ordinary file that everybody may read
_LEVEL = 9
_PACKED = (".pdf", ".png", ".jpg", ".jpeg", ".webp", ".zip")  # would not become smaller
_OWN = ("CREDITS.txt", "contents.txt")


def take_away_zip(design: Design, files: Mapping[str, bytes]) -> bytes:
    """Pack a design with what is made from it.

    Args:
        design: with the files it was read from.
        files: what is made from it, by name: plan set, patterns, dossier.

    Raises:
        ValueError: a name cannot be used, or is one of the ZIP's own.
    """
    for name in files:
        check_path_text(name)
        if name in _OWN or name.split("/")[0] == SOURCE:
            raise ValueError(f"{name} is a name of the take-away's own")
    whole = {
        **files,
        **{f"{SOURCE}/{name}": data for name, data in design.files.items()},
        _OWN[0]: credits_text(design).encode(),
    }
    whole[_OWN[1]] = "".join(_contents(whole)).encode()
    base = f"{design.slug}-{design.file.revision}/"
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name in sorted(whole):
            archive.writestr(*_entry(base + name, whole[name]), compresslevel=_LEVEL)
    return stream.getvalue()


def _entry(name: str, data: bytes) -> tuple[zipfile.ZipInfo, bytes]:
    entry = zipfile.ZipInfo(name, date_time=_EPOCH)
    entry.create_system, entry.external_attr = _UNIX, _MODE
    stored = name.lower().endswith(_PACKED)
    entry.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
    return entry, data


def _contents(files: Mapping[str, bytes]) -> Iterator[str]:
    """One line a file, as tools for such hashes write and check them."""
    for name in sorted(files):
        yield f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n"


def credits_text(design: Design) -> str:
    """Who made it, what others may do with it, and where it was taken from."""
    return "\n".join(_credit_lines(design)) + "\n"


def _credit_lines(design: Design) -> Iterator[str]:
    file, credits = design.file, design.file.credits
    yield f"{file.name}, revision {file.revision} of {file.date}"
    yield ""
    yield f"Designed by: {credits.designer}"
    if credits.owner:
        yield f"Owner: {credits.owner}"
    if credits.approved:
        yield f"Drawings checked by: {credits.approved}"
    yield from (f"Thanks to: {words}" for words in credits.thanks)
    yield f"Licence: {credits.licence}"
    yield from _shared_credits(design)
    for origin in design.origins:
        yield (
            f"Taken from: {origin.name}, revision {origin.revision} of {origin.date}, "
            f"by {origin.designer}, {origin.licence}"
        )
    yield f"Fingerprint: {design.fingerprint}"
    yield ""
    yield "A model aircraft only: never for carrying people. Local rules come first."


def _shared_credits(design: Design) -> Iterator[str]:
    """Who made the shared pieces that others made."""
    for name in design.shared:
        file = f"{USE}/{name}.yaml"
        piece = parse_yaml(design.files[file].decode(), shown=file).data
        if piece.get("credit"):
            yield f"{piece['title']}: {piece['credit']}"
