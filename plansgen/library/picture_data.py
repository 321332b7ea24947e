"""Pictures without what cameras and programs write into them: places, names, serial numbers.

A photograph may carry the position of the workshop (EXIF), its editing history (XMP, IPTC),
comments, a thumbnail of what was cropped away, or a second picture behind the first. Only what it
takes to draw the picture is kept, byte for byte; nothing is decoded or compressed anew.
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Iterator

# Chunks that change how a PNG looks (PNG, 3rd edition, W3C 2025, section 11).
_PNG_KEPT = frozenset(
    b"IHDR PLTE IDAT IEND tRNS cHRM gAMA iCCP sBIT sRGB cICP mDCV cLLI bKGD pHYs "
    b"acTL fcTL fdAT".split()
)
# Chunks of a WebP picture that are not private (RFC 9649, section 2.7).
_WEBP_KEPT = frozenset([b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP"])
_WEBP_EXIF_AND_XMP = 0b0000_1100  # flags in the first byte of VP8X
# After a scan: the next marker that is no stuffed byte, restart or fill (ITU-T T.81, B.1.1).
_NEXT_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
_START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9
_APP0, _APP1, _APP2, _APP14, _APP15, _COMMENT = 0xE0, 0xE1, 0xE2, 0xEE, 0xEF, 0xFE


def without_private_data(data: bytes, form: str, *, orientation: int = 1) -> bytes:
    """Return a picture's bytes with only what it takes to draw it.

    Args:
        data: a whole PNG, JPEG or WebP file.
        form: ``PNG``, ``JPEG`` or ``WEBP``.
        orientation: how a JPEG is to be turned, 1 to 8 as EXIF counts; kept, as nothing else says
            it.

    Raises:
        ValueError: the file's own structure does not hold.
    """
    try:
        if form == "PNG":
            return data[:8] + b"".join(_png_chunks(data))
        if form == "WEBP":
            return _webp(data)
        return _jpeg(data, orientation)
    except (struct.error, IndexError):
        raise ValueError("its structure cannot be followed") from None


def _png_chunks(data: bytes) -> Iterator[bytes]:
    at = 8
    while at < len(data):
        length, kind = struct.unpack_from(">I4s", data, at)
        end = at + 12 + length
        if kind in _PNG_KEPT:
            yield data[at:end] if kind != b"iCCP" else _unnamed_profile(data[at + 8 : end - 4])
        if kind == b"IEND":
            return
        at = end


def _unnamed_profile(profile: bytes) -> bytes:
    """A colour profile chunk under a plain name: the name is free text."""
    body = b"iCCP" + b"icc" + profile[profile.index(b"\0") :]
    return struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))


def _webp(data: bytes) -> bytes:
    end = struct.unpack_from("<I", data, 4)[0] + 8
    kept, at = b"", 12
    while at + 8 <= end:
        kind, length = struct.unpack_from("<4sI", data, at)
        following = at + 8 + length + length % 2
        chunk = data[at:following]
        if kind == b"VP8X":
            chunk = chunk[:8] + bytes([chunk[8] & ~_WEBP_EXIF_AND_XMP]) + chunk[9:]
        if kind in _WEBP_KEPT:
            kept += chunk
        at = following
    return b"RIFF" + struct.pack("<I", 4 + len(kept)) + b"WEBP" + kept


def _jpeg(data: bytes, orientation: int) -> bytes:
    pieces = [data[:2]]
    at = 2
    if orientation != 1:
        pieces.append(_orientation_segment(orientation))
    while data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker == _END_OF_IMAGE:
            return b"".join((*pieces, b"\xff\xd9"))
        end = at + 2 + struct.unpack_from(">H", data, at + 2)[0]
        if marker == _START_OF_SCAN:
            found = _NEXT_MARKER.search(data, end)
            end = found.start() if found else len(data)
        if _draws(marker, data[at + 4 : at + 16]):
            pieces.append(data[at:end])
        at = end
    raise ValueError("its structure cannot be followed")


def _draws(marker: int, begin: bytes) -> bool:
    """Whether a segment matters to how a JPEG looks: all but comments and most notes of programs.

    Kept of the notes: JFIF, colour profiles (ICC.1, annex B.4) and the colour transform.
    """
    if marker == _APP2:
        return begin.startswith(b"ICC_PROFILE\0")
    if marker == _APP0:
        return begin.startswith(b"JFIF\0")
    return marker == _APP14 or not (_APP0 <= marker <= _APP15 or marker == _COMMENT)


def _orientation_segment(orientation: int) -> bytes:
    """An EXIF segment that says nothing but how to turn the picture (tag 0x0112)."""
    entry = struct.pack(">HHIHH", 0x0112, 3, 1, orientation, 0)
    body = b"Exif\0\0MM\0*" + struct.pack(">IH", 8, 1) + entry + struct.pack(">I", 0)
    return b"\xff" + bytes([_APP1]) + struct.pack(">H", len(body) + 2) + body
