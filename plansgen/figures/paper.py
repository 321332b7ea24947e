"""Which paper a drawing goes on, and at which scale.

The √2 of the paper sizes is also that of line widths and lettering heights (ISO 216, ISO 128-2,
ISO 3098-1, the latter two from memory), so a sheet laid out as A4 and enlarged to A3 keeps standard
lines and letters. Every sheet is laid out as A4; its scale says what it is once printed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from plansgen.figures.save import Drawing
from plansgen.figures.scales import Rect, Scale, choose_scale
from plansgen.library.tables import paper_sizes

_WORTH_IT = 1.15  # a larger paper must make the view so much larger on the page


@dataclass(frozen=True)
class PrintScale(Scale):
    """A drawing scale on a sheet that is laid out as A4 and enlarged when printed."""

    enlargement: float = 1.0

    def mm(self, length_m: float) -> float:
        """Millimetres of the layout; printed they are larger by the enlargement."""
        return super().mm(length_m) / self.enlargement


@dataclass(frozen=True)
class Setup:
    """Paper and scale of a drawing."""

    paper: str
    scale: PrintScale

    def printed(self, drawing: Drawing) -> Drawing:
        """The drawing at its printed size."""
        return enlarged(drawing, self.scale.enlargement)


def choose_paper(*, width_m: float, height_m: float, area: Rect) -> Setup:
    """A4, or A3 where that shows the view clearly larger on a page of given width.

    area: room for the view in the A4 layout. [mm]
    """
    sizes = paper_sizes()
    best: Setup | None = None
    for paper in ("a4", "a3"):
        enlargement = sizes[paper].height / sizes["a4"].height
        room = Rect(0.0, 0.0, area.width * enlargement, area.height * enlargement)
        scale = choose_scale(width_m=width_m, height_m=height_m, area=room)
        setup = Setup(sizes[paper].name, PrintScale(scale.drawn, scale.real, enlargement))
        if best is None or setup.scale.mm(1.0) > best.scale.mm(1.0) * _WORTH_IT:
            best = setup
    assert best is not None  # the loop runs
    return best


def enlarged(drawing: Drawing, factor: float) -> Drawing:
    """The same drawing, printed larger: only the size on the outermost element changes."""
    if factor == 1.0:
        return drawing
    width, height = drawing.width_mm * factor, drawing.height_mm * factor
    size = f'width="{width:.2f}mm" height="{height:.2f}mm"'.encode()

    def resized(svg: bytes) -> bytes:
        return re.sub(rb'width="[\d.]+mm" height="[\d.]+mm"', size, svg, count=1)

    return replace(
        drawing,
        svg=resized(drawing.svg),
        dark=resized(drawing.dark),
        width_mm=width,
        height_mm=height,
    )
