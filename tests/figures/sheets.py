"""Drawings for tests: with the figures they were written from, and read back from their SVG."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from unittest import mock
from xml.etree import ElementTree

import numpy as np
import numpy.typing as npt

from plansgen.dossier import Dossier, work_out
from plansgen.figures.all import draw_all
from plansgen.figures.canvas import Canvas, SheetFigure
from plansgen.figures.save import Drawing
from plansgen.library.design import Design
from plansgen.library.folder import read_design

Array = npt.NDArray[np.float64]

REPOSITORY = Path(__file__).resolve().parents[2]
SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = r"-?\d+(?:\.\d+)?"


@dataclass(frozen=True)
class Stroke:
    """A path of an SVG file: its points in printed millimetres, y upwards, and its style."""

    points: Array
    pieces: tuple[Array, ...]
    style: dict[str, str]

    @property
    def width_pt(self) -> float:
        """Line width in points of the layout; zero for a fill."""
        return float(self.style.get("stroke-width", 0))

    @property
    def dashes(self) -> int:
        """How many lengths the dash pattern has."""
        return len([part for part in self.style.get("stroke-dasharray", "").split(",") if part])


@dataclass(frozen=True)
class Drawn:
    """A drawing, the figure it was written from, and the numbers behind it."""

    drawing: Drawing
    figure: SheetFigure
    dossier: Dossier


def drawn(design: Design) -> dict[str, Drawn]:
    """Every drawing of a design by name."""
    figures: list[SheetFigure] = []
    original = Canvas.figure

    def kept(canvas: Canvas) -> SheetFigure:
        figures.append(original(canvas))
        return figures[-1]

    dossier = work_out(design)
    with mock.patch.object(Canvas, "figure", kept):
        drawings = draw_all(design, dossier)
    assert len(figures) == len(drawings)
    return {
        name: Drawn(drawing, figure, dossier)
        for (name, drawing), figure in zip(drawings.items(), figures, strict=True)
    }


@cache
def demo_sheets(slug: str) -> dict[str, Drawn]:
    """Every drawing of a demo design, made once for all tests."""
    return drawn(read_design(REPOSITORY, slug))


def root_of(drawing: Drawing) -> ElementTree.Element:
    """The SVG's root element."""
    return ElementTree.fromstring(drawing.svg)


def view_box(drawing: Drawing) -> tuple[float, float]:
    """Width and height of the layout in points."""
    _, _, width, height = map(float, root_of(drawing).attrib["viewBox"].split())
    return width, height


def texts(drawing: Drawing) -> list[str]:
    """Every lettering of a drawing."""
    return ["".join(text.itertext()).strip() for text in root_of(drawing).iter(f"{SVG}text")]


def strokes(drawing: Drawing) -> Iterator[Stroke]:
    """Every path of a drawing but the paper."""
    width, height = view_box(drawing)
    per_pt = drawing.width_mm / width
    paths = [path for path in root_of(drawing).iter(f"{SVG}path") if "style" in path.attrib]
    for path in paths[1:]:
        pairs = re.findall(rf"([MLCQ]?)\s*((?:{_NUMBER}\s+{_NUMBER}\s*)+)", path.attrib["d"])
        pieces: list[list[tuple[float, float]]] = []
        for letter, run in pairs:
            numbers = [float(number) for number in re.findall(_NUMBER, run)]
            points = [
                (x * per_pt, (height - y) * per_pt)
                for x, y in zip(numbers[::2], numbers[1::2], strict=True)
            ]
            if letter == "M":
                pieces.append([])
            pieces[-1] += points
        style = dict(
            entry.strip().split(": ", 1) for entry in path.attrib["style"].split(";") if entry
        )
        arrays = tuple(np.array(piece) for piece in pieces)
        yield Stroke(np.vstack(arrays), arrays, style)
