"""Small bodies for tests of their parts. Lengths in mm in the rows, metres in the results."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from plansgen.airframe.build import build_airframe
from plansgen.patterns.body_parts import BodyParts, body_parts
from plansgen.patterns.fit import Fit, prove
from plansgen.patterns.panel import Panel
from tests.designs import Raw, file_of, glider, stock

Row = tuple[float, float, float, float]  # x, width, height, z

ALL = ("sides", "bottom", "top", "front", "rear")
THICK = 0.005  # of the board in tests.designs


def cover(face: str, **more: Any) -> Raw:
    return {"name": face, "material": "board", "cover": face, **more}


def former(*at: float, **more: Any) -> Raw:
    return {"name": "former", "material": "board", "formers": {"at": list(at)}, **more}


def stick(**more: Any) -> Raw:
    size = {"width": 6, "height": 6}
    return {"name": "longeron", "material": "pine", "size": size, **more}


def cut(rows: Sequence[Row], parts: Sequence[Raw], **more: Any) -> BodyParts:
    """The parts of a glider that has one body."""
    raw = glider()
    frames = [dict(zip(("x", "width", "height", "z"), row, strict=True)) for row in rows]
    raw["bodies"] = {"box": {"role": "fuselage", "stations": frames, "parts": list(parts), **more}}
    file = file_of(raw)
    return body_parts(file, build_airframe(file, {}), stock(file))


def boxed(rows: Sequence[Row], *parts: Raw, faces: Sequence[str] = ALL, **more: Any) -> BodyParts:
    """A box of board with some of its faces and more parts."""
    return cut(rows, [*(cover(face) for face in faces), *parts], **more)


def fit_of(parts: BodyParts) -> Fit:
    return prove(parts.parts, seams=parts.seams, refolds=parts.refolds, slots=parts.slots)


def panel(parts: BodyParts, face: str, number: int = 0) -> Panel:
    """One of the panels on a face, outside first and nose first."""
    return [p for p in parts.panels if p.face == face][number]


def size(one: Panel) -> tuple[float, float]:
    """Length and height of a flat part. [mm]"""
    west, south, east, north = one.part.bounds
    return 1000 * (east - west), 1000 * (north - south)
