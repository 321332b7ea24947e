"""From a figure to files: the same figure always gives the same bytes."""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from xml.sax.saxutils import escape

import matplotlib as mpl
from matplotlib.figure import Figure

from plansgen.figures.lettering import clean
from plansgen.figures.style import MM_PER_INCH, PALETTE, RC

_NO_METADATA = {"Creator": None, "Date": None, "Format": None, "Type": None}
_NO_PDF_METADATA = {"Creator": None, "Producer": None, "CreationDate": None}

_OPENING = re.compile(rb"^.*?<svg\b[^>]*\bviewBox=\"([^\"]*)\"[^>]*>", re.DOTALL)
_TAG = re.compile(rb"<[^>]*>")
_COLOUR = re.compile(rb"#[0-9a-f]{6}\b")
# A thousandth of a point is 0.0004 mm; more digits only fill the file.
_LONG_NUMBER = re.compile(rb"(\.\d{3})\d+")

_DARK = {shade.light.encode(): shade.dark.encode() for shade in PALETTE.values()}


@dataclass(frozen=True)
class Drawing:
    """A finished drawing.

    name: file name without its ending.
    svg: on light paper.
    dark: the same on dark paper.
    alt: what the drawing shows, for those who cannot see it.
    caption: line below it.
    width_mm: true width.
    height_mm: true height.
    page: the drawing on light paper as a PDF page of its true size; only sheets have one.
    """

    name: str
    svg: bytes
    dark: bytes
    alt: str
    caption: str
    width_mm: float
    height_mm: float
    page: bytes = b""


def finish(figure: Figure, *, name: str, alt: str, caption: str, printed: bool = False) -> Drawing:
    """Write a figure in both colourings; ``alt`` and ``caption`` also go into the files.

    printed: whether it is also wanted as a page of a printed plan set.
    """
    svg = svg_bytes(figure, title=caption, description=alt)
    width, height = _size_mm(figure)
    page = pdf_page(figure, title=caption) if printed else b""
    return Drawing(name, svg, dark_twin(svg), alt, caption, width, height, page)


def pdf_page(figure: Figure, *, title: str) -> bytes:
    """The figure as one PDF page of its true size, in lines and letters: no date, no version.

    Args:
        figure: what to write.
        title: of the document.
    """
    out = io.BytesIO()
    metadata = {**_NO_PDF_METADATA, "Title": clean(title)}
    with mpl.rc_context({**RC, "pdf.fonttype": 42}), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=r"Glyph \d+ .*missing from font")
        figure.savefig(out, format="pdf", metadata=metadata, facecolor=figure.get_facecolor())
    return out.getvalue()


def svg_bytes(figure: Figure, *, title: str, description: str) -> bytes:
    """The figure as SVG: no date, no random ids, no program version, text as text.

    Args:
        figure: what to write.
        title: the drawing's accessible name.
        description: what it shows.
    """
    out = io.BytesIO()
    with mpl.rc_context(dict(RC)), warnings.catch_warnings():
        # A letter the measured font lacks is drawn with one of the reader's fonts.
        warnings.filterwarnings("ignore", message=r"Glyph \d+ .*missing from font")
        figure.savefig(out, format="svg", metadata=_NO_METADATA, facecolor=figure.get_facecolor())
    svg = _in_tags(_shorten_numbers, out.getvalue())
    width, height = _size_mm(figure)
    opening = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{width:g}mm" height="{height:g}mm" viewBox="%s" '
        'role="img" aria-labelledby="title desc">\n'
        f' <title id="title">{escape(clean(title))}</title>\n'
        f' <desc id="desc">{escape(clean(description))}</desc>'
    )
    return _OPENING.sub(
        lambda found: opening.replace("%s", found[1].decode(), 1).encode(), svg, count=1
    )


def dark_twin(svg: bytes) -> bytes:
    """The same drawing on dark paper: every colour of the palette becomes its twin.

    Raises:
        ValueError: the drawing has a colour that is not in the palette.
    """

    def twin(found: re.Match[bytes]) -> bytes:
        colour = found[0]
        if colour not in _DARK:
            raise ValueError(f"{colour.decode()} has no dark twin; use a colour of the palette")
        return _DARK[colour]

    return _in_tags(lambda tag: _COLOUR.sub(twin, tag), svg)


def _size_mm(figure: Figure) -> tuple[float, float]:
    width, height = figure.get_size_inches() * MM_PER_INCH
    return round(float(width), 3), round(float(height), 3)


def _in_tags(change: Callable[[bytes], bytes], svg: bytes) -> bytes:
    """Change what stands inside tags, never the words between them."""
    return _TAG.sub(lambda tag: change(tag[0]), svg)


def _shorten_numbers(tag: bytes) -> bytes:
    return _LONG_NUMBER.sub(rb"\1", tag)
