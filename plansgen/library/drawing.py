"""One part drawn as SVG: read as untrusted, and only what can be cut is taken.

Paths, rectangles, circles, ellipses and polygons become closed outlines in metres, y up. Whatever
else would change what is seen — scripts, links, styles that hide, text, pictures, clips — is
refused rather than passed over, so that what is cut is what was drawn.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from plansgen.library.outlines import Ring, one_part
from plansgen.library.svg_path import Point, subpaths

TOLERANCE = 0.05e-3
"""Curves are drawn with straight lines that stay so near. [m]"""

MOST_POINTS = 2000
MOST_ELEMENTS = 500
DEEPEST = 20
LARGEST = 3.0
"""No part is larger. [m]"""

_CHUNK = 8192  # characters read before the limits are looked at again
_CLOSES = 0.01e-3  # ends so near are one [m]
_SVG = "{http://www.w3.org/2000/svg}"
_UNITS = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "pt": 0.0254 / 72, "pc": 0.0254 / 6}
_NUMBER = r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*([a-z%]*)\s*")
_CALL = re.compile(r"\s*,?\s*([a-zA-Z]+)\s*\(([^()]*)\)")
_SILENT = frozenset({"title", "desc", "metadata"})
_SHAPES = frozenset({"path", "rect", "circle", "ellipse", "polygon"})
_HIDES = re.compile(r"(display\s*:\s*none|visibility\s*:\s*(hidden|collapse)|url\s*\()", re.I)
_REFUSED_ATTRIBUTES = ("clip-path", "mask", "filter", "marker-start", "marker-mid", "marker-end")

Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True)
class Drawing:
    """A drawn part: its outline and holes, counter-clockwise or not, y up. [m]"""

    outline: Ring
    holes: tuple[Ring, ...]


def read_drawing(text: str) -> Drawing:
    """Read one part from the text of an SVG file.

    Raises:
        ValueError: it cannot be read or holds what cannot be cut, with words for its author.
    """
    if re.search(r"<!(DOCTYPE|ENTITY|\[CDATA\[)", text, re.I) or "<?xml-stylesheet" in text:
        raise ValueError("holds a document type, an entity or a style sheet; save it as plain SVG")
    root = _parsed(text)
    if root.tag != f"{_SVG}svg":
        raise ValueError("is not an SVG drawing")
    rings = list(_Reader(root).rings())
    if sum(len(ring) for ring in rings) > MOST_POINTS:
        raise ValueError(f"has more than {MOST_POINTS} points")
    for ring in rings:
        if any(abs(value) > LARGEST for point in ring for value in point):
            raise ValueError(f"reaches further than {LARGEST:g} m")
    return Drawing(*one_part(rings))


def _parsed(text: str) -> ElementTree.Element:
    """The tree, refused while it is read when it is too deep or too long."""
    parser: ElementTree.XMLPullParser[ElementTree.Element] = ElementTree.XMLPullParser(
        ("start", "end")
    )
    depth = count = 0
    try:
        for at in range(0, len(text), _CHUNK):
            parser.feed(text[at : at + _CHUNK])
            for event in parser.read_events():
                depth += 1 if event[0] == "start" else -1
                count += event[0] == "start"
                if depth > DEEPEST or count > MOST_ELEMENTS:
                    raise ValueError(
                        f"holds more than {MOST_ELEMENTS} elements or {DEEPEST} levels of groups"
                    )
        parser.close()
        return ElementTree.fromstring(text)
    except ElementTree.ParseError as wrong:
        line, _ = wrong.position
        raise ValueError(f"is not well-formed XML near line {line}") from None


class _Reader:
    def __init__(self, root: ElementTree.Element) -> None:
        self.root = root
        self.unit, self.matrix = _page(root)
        self.left = MOST_POINTS

    def rings(self) -> Iterator[Ring]:
        waiting = [(child, self.matrix) for child in reversed(self.root)]
        _check_attributes(self.root)
        while waiting:
            element, outer = waiting.pop()
            name = _name(element)
            if name is None or name in _SILENT:
                continue
            if name == "defs" and len(element) == 0:
                continue
            if name not in _SHAPES and name != "g":
                raise ValueError(
                    f"holds <{name[:20]}>; only path, rect, circle, ellipse, polygon and groups "
                    "are read: turn text and copies into paths, and delete the rest"
                )
            _check_attributes(element)
            matrix = _times(outer, _transform(element.get("transform", "")))
            if name == "g":
                waiting += [(child, matrix) for child in reversed(element)]
                continue
            for points, closed in self._shape(name, element, matrix):
                yield self._ring(points, closed, matrix)

    def _shape(
        self, name: str, element: ElementTree.Element, matrix: Matrix
    ) -> list[tuple[list[Point], bool]]:
        a, b, c, d, _, _ = matrix
        scale = max(math.hypot(a, b), math.hypot(c, d))
        if not 1e-7 < scale < 1e3:
            raise ValueError("is scaled to nothing or beyond measure")
        return subpaths(_as_path(name, element), tolerance=TOLERANCE / scale, most=self.left)

    def _ring(self, points: list[Point], closed: bool, matrix: Matrix) -> Ring:
        a, b, c, d, e, f = matrix
        placed = [(a * x + c * y + e, b * x + d * y + f) for x, y in points]
        kept = [p for n, p in enumerate(placed) if n == 0 or math.dist(p, placed[n - 1]) > 1e-7]
        gap = math.dist(kept[0], kept[-1])
        if not closed and gap > _CLOSES:
            raise ValueError(
                f"holds an open line: its ends are {gap * 1000:.2f} mm apart; close it"
            )
        if len(kept) > 1 and gap <= _CLOSES:
            kept.pop()
        self.left -= len(points)
        return tuple(kept)


def _name(element: ElementTree.Element) -> str | None:
    """The name of an SVG element; None for what drawing programs keep for themselves."""
    if not isinstance(element.tag, str):  # a comment
        return None
    if not element.tag.startswith("{"):
        return element.tag
    return element.tag.removeprefix(_SVG) if element.tag.startswith(_SVG) else None


def _check_attributes(element: ElementTree.Element) -> None:
    for key, value in sorted(element.attrib.items()):
        name = key.rsplit("}", 1)[-1].lower()
        if name.startswith("on"):
            raise ValueError("holds a script")
        if name in ("href", "src"):
            raise ValueError("refers to something else; draw it in the file itself")
        if name in _REFUSED_ATTRIBUTES and value.strip() != "none":
            raise ValueError(f"uses {name}; only plain outlines are read")
        hidden = (name, value.strip()) in (("display", "none"), ("visibility", "hidden"))
        if hidden or (name == "style" and _HIDES.search(value)):
            raise ValueError("holds something hidden, or a reference in a style; delete it")
        if name in ("fill", "stroke") and "url" in value.lower():
            raise ValueError("refers to something else in a colour; use plain colours")


def _page(root: ElementTree.Element) -> tuple[float, Matrix]:
    """Size of a unit of the drawing, and the way from it to metres with y up."""
    box = [_plain(word, "viewBox") for word in root.get("viewBox", "").replace(",", " ").split()]
    if len(box) != 4 or min(box[2:]) <= 0:
        raise ValueError("has no viewBox of four numbers; without it nobody knows its size")
    scales = []
    for name, extent in (("width", box[2]), ("height", box[3])):
        found = _LENGTH.fullmatch(root.get(name, ""))
        if found is None or found[2] not in _UNITS:
            raise ValueError(f'needs a {name} in mm, cm or in, such as {name}="120mm"')
        scales.append(float(found[1]) * _UNITS[found[2]] / extent)
    if not min(scales) > 0 or abs(scales[0] / scales[1] - 1) > 1e-3:
        raise ValueError("is scaled differently in width and height, or not at all")
    unit = scales[0]
    return unit, (unit, 0.0, 0.0, -unit, -box[0] * unit, (box[1] + box[3]) * unit)


def _plain(word: str, what: str) -> float:
    if not re.fullmatch(_NUMBER, word.strip()):
        raise ValueError(f"has a {what} that is not a number: {word[:20]!a}")
    number = float(word)
    if not abs(number) < 1e6:
        raise ValueError(f"has a {what} that is too large")
    return number


def _times(outer: Matrix, own: Matrix) -> Matrix:
    a, b, c, d, e, f = outer
    p, q, r, s, t, u = own
    return (
        a * p + c * q,
        b * p + d * q,
        a * r + c * s,
        b * r + d * s,
        a * t + c * u + e,
        b * t + d * u + f,
    )


def _transform(text: str) -> Matrix:
    """The matrix of a transform attribute (SVG 1.1, section 7.6)."""
    matrix: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    at = 0
    while text[at:].strip():
        found = _CALL.match(text, at)
        if found is None:
            raise ValueError(f"has a transform that cannot be read: {text[:30]!a}")
        words = found[2].replace(",", " ").split()
        matrix = _times(matrix, _call(found[1], [_plain(w, "transform") for w in words]))
        at = found.end()
    return matrix


def _call(name: str, numbers: list[float]) -> Matrix:
    count = len(numbers)
    if name == "matrix" and count == 6:
        a, b, c, d, e, f = numbers
        return (a, b, c, d, e, f)
    if name == "translate" and count in (1, 2):
        return (1.0, 0.0, 0.0, 1.0, numbers[0], numbers[1] if count == 2 else 0.0)
    if name == "scale" and count in (1, 2):
        return (numbers[0], 0.0, 0.0, numbers[-1], 0.0, 0.0)
    if name == "rotate" and count in (1, 3):
        cos, sin = math.cos(math.radians(numbers[0])), math.sin(math.radians(numbers[0]))
        x, y = numbers[1:] if count == 3 else (0.0, 0.0)
        return (cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y)
    raise ValueError(
        f"uses the transform {name[:12]}; translate, scale, rotate and matrix are read"
    )


def _as_path(name: str, element: ElementTree.Element) -> str:
    """A basic shape as path data (SVG 1.1, section 9)."""

    def get(key: str) -> float:
        return _plain(element.get(key, "0").strip().removesuffix("px"), key)

    if name == "path":
        return element.get("d", "")
    if name == "polygon":
        words = element.get("points", "").replace(",", " ").split()
        if len(words) % 2 or len(words) < 6:
            raise ValueError("holds a polygon without three pairs of numbers")
        for word in words:
            _plain(word, "points")
        return f"M {' '.join(words)} Z"
    if name == "rect":
        return _rect(get("x"), get("y"), get("width"), get("height"), *_radii(element))
    x, y = get("cx"), get("cy")
    rx, ry = (get("r"),) * 2 if name == "circle" else (get("rx"), get("ry"))
    if min(rx, ry) <= 0:
        raise ValueError(f"holds a {name} without a radius")
    arc = f"A {rx!r} {ry!r} 0 0 1"
    return f"M {x - rx!r} {y!r} {arc} {x + rx!r} {y!r} {arc} {x - rx!r} {y!r} Z"


def _radii(element: ElementTree.Element) -> tuple[float, float]:
    rx = element.get("rx")
    ry = element.get("ry")
    values = [_plain(v.strip().removesuffix("px"), "radius") for v in (rx or ry, ry or rx) if v]
    return (values[0], values[1]) if values else (0.0, 0.0)


def _rect(x: float, y: float, wide: float, high: float, rx: float, ry: float) -> str:
    if min(wide, high) <= 0 or min(rx, ry) < 0:
        raise ValueError("holds a rect without width and height")
    rx, ry = min(rx, wide / 2), min(ry, high / 2)
    if rx == 0 or ry == 0:
        return f"M {x!r} {y!r} h {wide!r} v {high!r} h {-wide!r} Z"
    arc = f"a {rx!r} {ry!r} 0 0 1"
    return (
        f"M {x + rx!r} {y!r} h {wide - 2 * rx!r} {arc} {rx!r} {ry!r} v {high - 2 * ry!r} "
        f"{arc} {-rx!r} {ry!r} h {2 * rx - wide!r} {arc} {-rx!r} {-ry!r} v {2 * ry - high!r} "
        f"{arc} {rx!r} {-ry!r} Z"
    )
