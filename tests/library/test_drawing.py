"""Drawn parts: an SVG file of a design's folder, measured, and what is refused of it."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from plansgen.library.drawing import TOLERANCE, read_drawing
from plansgen.library.folder import read_design
from plansgen.library.outlines import area, crossing, one_part
from plansgen.library.svg_path import subpaths
from plansgen.problems import BadInput

PAGE = 'width="100mm" height="50mm" viewBox="0 0 100 50"'
SQUARE = '<rect width="10" height="10"/>'


def svg(body: str, page: str = PAGE) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {page}>{body}</svg>'


# --- what is drawn is what is cut --------------------------------------------------------------


def test_millimetres_and_the_y_axis() -> None:
    drawing = read_drawing(svg('<polygon points="10,20 40,20 40,45"/>'))
    expected = {(0.01, 0.03), (0.04, 0.03), (0.04, 0.005)}
    assert {(round(x, 9), round(y, 9)) for x, y in drawing.outline} == expected


@pytest.mark.parametrize(
    ("page", "side"),
    [
        ('width="4in" height="2in" viewBox="0 0 100 50"', 0.4 * 0.0254),
        ('width="200mm" height="100mm" viewBox="0 0 100 50"', 0.020),
        ('width="10cm" height="5cm" viewBox="0 0 1000 500"', 0.001),
    ],
)
def test_size_of_a_unit(page: str, side: float) -> None:
    """A unit of the drawing is the page's width over the viewBox's (SVG 1.1, section 7.7)."""
    assert area(read_drawing(svg(SQUARE, page)).outline) == pytest.approx(side**2, rel=1e-9)


def test_circle_keeps_to_the_tolerance() -> None:
    """Of a circle of radius r drawn with straight lines none is further off than its sagitta."""
    drawing = read_drawing(svg('<circle cx="30" cy="20" r="18"/>'))
    away = [math.dist(p, (0.03, 0.03)) for p in drawing.outline]
    assert max(abs(a - 0.018) for a in away) < 1e-9
    pairs = zip(drawing.outline, drawing.outline[1:] + drawing.outline[:1], strict=True)
    middles = [math.dist(((a + c) / 2, (b + d) / 2), (0.03, 0.03)) for (a, b), (c, d) in pairs]
    assert 0.2 * TOLERANCE < 0.018 - min(middles) <= TOLERANCE


def test_curves_pass_where_de_casteljau_says() -> None:
    """The middle of a cubic curve is (p0 + 3 p1 + 3 p2 + p3)/8 (de Casteljau's construction)."""
    ((points, _),) = subpaths("M0 0 C 10 0 10 30 40 30", tolerance=0.001, most=1000)
    middle = ((0 + 30 + 30 + 40) / 8, (0 + 0 + 90 + 30) / 8)
    assert min(math.dist(p, middle) for p in points) < 0.2
    ((smooth, _),) = subpaths("M0 0 Q 10 20 20 0 T 40 0", tolerance=0.001, most=1000)
    assert max(y for _, y in smooth) == pytest.approx(10, abs=0.01)
    assert min(y for _, y in smooth) == pytest.approx(-10, abs=0.01)


def test_flags_of_an_arc_need_nothing_between_them() -> None:
    """The grammar of path data allows it (SVG 1.1, section 8.3.9)."""
    close = subpaths("M0 0a5 5 0 0110 0z", tolerance=0.01, most=100)
    apart = subpaths("M0 0 a 5 5 0 0 1 10 0 z", tolerance=0.01, most=100)
    assert close == apart
    assert min(y for _, y in close[0][0]) == pytest.approx(-5, abs=0.02)  # y down: sweep 1 goes up


def test_rounded_rectangle_and_hole() -> None:
    body = '<rect x="5" y="5" width="60" height="40" rx="6"/><circle cx="30" cy="25" r="8"/>'
    drawing = read_drawing(svg(body))
    assert area(drawing.outline) == pytest.approx((2400 - (4 - math.pi) * 36) * 1e-6, rel=1e-3)
    assert [area(h) for h in drawing.holes] == [pytest.approx(math.pi * 64e-6, rel=0.01)]


def test_transforms_go_from_the_inside_out() -> None:
    """translate(10 5) rotate(90) takes (4, 0) to (10, 9) (SVG 1.1, section 7.6)."""
    body = (
        '<g transform="translate(10 5)"><polygon transform="rotate(90)" points="0,0 4,0 4,2"/></g>'
    )
    drawing = read_drawing(svg(body))
    assert any(math.dist(p, (0.010, 0.050 - 0.009)) < 1e-9 for p in drawing.outline)
    whole = area(read_drawing(svg(f'<g transform="matrix(0 2 -2 0 50 3)">{SQUARE}</g>')).outline)
    assert whole == pytest.approx(400e-6)


def test_what_drawing_programs_leave_behind_is_passed_over() -> None:
    body = (
        "<title>t</title><metadata><x/></metadata><defs/><!-- note -->"
        '<a:view xmlns:a="http://example.org/editor" href="z"/>' + SQUARE
    )
    assert len(read_drawing(svg(body)).outline) == 4


# --- what is refused -------------------------------------------------------------------------

REFUSED = {
    "script": ("<script>x()</script>", "holds <script>"),
    "handler": ('<rect width="9" height="9" onclick="x()"/>', "holds a script"),
    "link": (f'<g href="http://example.org/x">{SQUARE}</g>', "refers to something else"),
    "use": ('<use href="#a"/>', "holds <use>"),
    "picture": ('<image width="9" height="9" href="a.png"/>', "holds <image>"),
    "foreign": ("<foreignObject/>", "holds <foreignObject>"),
    "text": ("<text>10</text>", "holds <text>"),
    "style sheet": ("<style>rect{display:none}</style>", "holds <style>"),
    "hidden": ('<rect width="9" height="9" style="display : none"/>', "hidden"),
    "hidden group": (f'<g visibility="hidden">{SQUARE}</g>', "hidden"),
    "colour from elsewhere": ('<rect width="9" height="9" fill="url(#a)"/>', "in a colour"),
    "clip": (f'<g clip-path="url(#a)">{SQUARE}</g>', "uses clip-path"),
    "skew": (f'<g transform="skewX(5)">{SQUARE}</g>', "uses the transform skewX"),
    "transform": (f'<g transform="rotate(5) and more">{SQUARE}</g>', "transform that cannot be"),
    "flattened": (f'<g transform="scale(0)">{SQUARE}</g>', "scaled to nothing"),
    "open": ('<path d="M0 0 10 0 10 10"/>', "open line: its ends are 14.14 mm apart"),
    "crossing": ('<path d="M0 0 10 10 10 0 0 8z"/>', "cross or touch"),
    "runs back": ('<path d="M0 0 20 0 10 0 10 10z"/>', "cross or touch"),
    "two parts": (SQUARE + '<rect x="20" width="9" height="9"/>', "two outlines beside each other"),
    "overlap": (SQUARE + '<rect x="5" y="5" width="9" height="9"/>', "cross or touch"),
    "piece in a hole": (
        '<rect width="40" height="40"/><rect x="5" y="5" width="30" height="30"/>'
        '<rect x="9" y="9" width="9" height="9"/>',
        "a piece inside a hole",
    ),
    "nothing": ("", "holds no closed outline"),
    "empty path": ('<path d=""/>', "holds no closed outline"),
    "path words": ('<path d="M0 0 L x 4"/>', "cannot be read at"),
    "path short": ('<path d="M0 0 L 4"/>', "lacks numbers"),
    "path start": ('<path d="L0 0 4 4z"/>', "does not begin with M"),
    "not finite": ('<path d="M0 0 L1e999 3 z"/>', "not finite"),
    "far away": ('<path d="M0 0 L9000 0 9000 9z"/>', "further than 3 m"),
    "huge curve": ('<path d="M0 0 C 9e5 0 9e5 9e5 0 9e5z"/>', "too large for its tolerance"),
    "no radius": ('<circle r="0"/>', "without a radius"),
    "percent": ('<rect width="50%" height="9"/>', "not a number"),
    "odd polygon": ('<polygon points="1,2 3"/>', "without three pairs"),
    "many points": (f'<path d="M0 0 {"1 1 0 0 " * 2000}z"/>', "more than 2000 points"),
    "many elements": (SQUARE * 501, "more than 500 elements"),
    "deep": ("<g>" * 40 + "</g>" * 40, "20 levels"),
}


@pytest.mark.parametrize(("body", "essence"), REFUSED.values(), ids=REFUSED)
def test_refused(body: str, essence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(essence)):
        read_drawing(svg(body))


@pytest.mark.parametrize(
    ("text", "essence"),
    [
        ('<!DOCTYPE svg [<!ENTITY a "b">]><svg>&a;</svg>', "entity"),
        (
            '<!doctype svg [<!entity x SYSTEM "file:///etc/passwd">]><svg>&x;</svg>',
            "document type",
        ),
        ('<?xml-stylesheet href="x.css"?>' + svg(SQUARE), "style sheet"),
        ("<svg", "not well-formed XML near line 1"),
        ("plain words", "not well-formed"),
        ("<html/>", "is not an SVG drawing"),
        (svg(SQUARE, ""), "has no viewBox"),
        (svg(SQUARE, 'viewBox="0 0 9 9"'), "needs a width in mm"),
        (svg(SQUARE, 'width="9" height="9" viewBox="0 0 9 9"'), "needs a width in mm"),
        (svg(SQUARE, 'width="9mm" height="8mm" viewBox="0 0 9 9"'), "scaled differently"),
        (svg(SQUARE, 'width="0mm" height="0mm" viewBox="0 0 9 9"'), "scaled differently"),
        (svg(SQUARE, 'width="9mm" height="9mm" viewBox="0 0 nan 9"'), "not a number"),
    ],
)
def test_page_refused(text: str, essence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(essence)):
        read_drawing(text)


def test_outlines_that_only_come_near_do_not_cross() -> None:
    comb = [(float(n % 2), n / 100) for n in range(200)]
    ring = (*comb, (5.0, 2.0), (5.0, -1.0))
    assert crossing([ring]) is None
    assert one_part([ring]) == (ring, ())


def test_a_drawing_made_to_take_long_is_given_up() -> None:
    """A thousand long edges side by side on a slant: every pair is near every other."""
    along = [n * 0.05 for n in range(900)]
    teeth = " ".join(f"{v},{v} {40 + v},{v - 40}" for v in along)
    back = f"{along[-1] + 45},{along[-1] - 45} 43,-47 -2,-2"
    with pytest.raises(ValueError, match="too intricate"):
        read_drawing(svg(f'<path d="M{teeth} {back}z"/>'))


# --- in a design folder ------------------------------------------------------------------------

HOME = Path(__file__).resolve().parents[2]
PART = "  - {name: tray, material: pine-sheet, drawing: drawings/tray.svg, at: {x: 100}}\n"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A copy of one demo design that has a drawn part more."""
    source = HOME / "designs" / "dunlin"
    folder = tmp_path / "designs" / "dunlin"
    (folder / "drawings").mkdir(parents=True)
    text = (source / "design.yaml").read_text("utf-8")
    line = PART.replace("pine-sheet", "birch-ply-3mm")
    (folder / "design.yaml").write_text(text.replace("\nparts:\n", f"\nparts:\n{line}"), "utf-8")
    return tmp_path


def test_drawing_of_a_design_becomes_points(library: Path) -> None:
    (library / "designs/dunlin/drawings/tray.svg").write_text(
        svg('<rect width="60" height="40"/><circle cx="20" cy="20" r="5"/>'), "utf-8"
    )
    design = read_design(library, "dunlin")
    (tray,) = (part for part in design.file.parts if part.name == "tray")
    assert tray.outline is not None
    assert len(tray.holes) == 1
    assert tray.own_area == pytest.approx(2400e-6 - math.pi * 25e-6, rel=1e-3)
    other = read_design(library, "dunlin").fingerprint
    assert other == design.fingerprint


@pytest.mark.parametrize(
    ("name", "body", "essence"),
    [
        ("drawings/tray.svg", "<script/>", "holds <script>"),
        ("drawings/gone.svg", None, "there is no file"),
        ("../tray.svg", None, "must not hold"),
        ("/tray.svg", None, "must be relative"),
        ("notes.md", None, "must end in one of .svg"),
    ],
)
def test_bad_drawing_is_told_at_its_line(
    library: Path, name: str, body: str | None, essence: str
) -> None:
    folder = library / "designs/dunlin"
    text = (folder / "design.yaml").read_text("utf-8").replace("drawings/tray.svg", name)
    (folder / "design.yaml").write_text(text, "utf-8")
    if body is not None:
        (folder / name).write_text(svg(body), "utf-8")
    with pytest.raises(BadInput) as told:
        read_design(library, "dunlin")
    (problem,) = told.value.problems
    assert essence in problem.wrong
    assert problem.field == "parts[0].drawing"
    assert problem.line > 0
