"""Small drawings for the page that says what field words mean. None is to scale."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from plansgen.figures import style
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.dimensions import arrowhead
from plansgen.figures.save import Drawing, finish

WIDTH_MM = 110.0
_STEPS = 24
_LAYERS: tuple[tuple[float, float, style.Role], ...] = (
    (20.0, 21.5, "part_2"),
    (21.5, 30.5, "part"),
    (30.5, 32.0, "part_2"),
)  # lower face, core and upper face of a board: from, to, fill


def _section(
    canvas: Canvas, nose: Point, chord: float, *, degrees: float = 0.0, camber: float = 0.05
) -> Callable[[float, float], Point]:
    """Fill and outline a wing section; returns where a place on it (along, up; mm) lies.

    Thickness after the NACA four-digit form (E. N. Jacobs, NACA Report 460, from memory).
    """
    turn = math.radians(-degrees)
    cos, sin = math.cos(turn), math.sin(turn)

    def at(along: float, up: float) -> Point:
        return nose[0] + along * cos - up * sin, nose[1] + along * sin + up * cos

    def edge(sign: int) -> list[Point]:
        shares = [(1 - math.cos(math.pi * n / _STEPS)) / 2 for n in range(_STEPS + 1)]
        half = [
            0.6 * (0.2969 * s**0.5 - 0.126 * s - 0.3516 * s**2 + 0.2843 * s**3 - 0.1036 * s**4)
            for s in shares
        ]
        return [
            at(s * chord, (4 * camber * s * (1 - s) + sign * h) * chord)
            for s, h in zip(shares, half, strict=True)
        ]

    outline = edge(1) + edge(-1)[::-1]
    canvas.fill(outline, "part_2")
    canvas.line(outline, style.EDGE, closed=True)
    return at


def _span(canvas: Canvas, left: Point, right: Point, words: str, *, above: float = 1.5) -> None:
    """A measure between two places: a line with heads at both ends and its name at the middle."""
    canvas.line([left, right], style.NARROW)
    turn = math.degrees(math.atan2(right[1] - left[1], right[0] - left[0]))
    arrowhead(canvas, left, direction_deg=turn + 180)
    arrowhead(canvas, right, direction_deg=turn)
    canvas.text((left[0] + right[0]) / 2, (left[1] + right[1]) / 2 + above, words, align="center")


def _call(canvas: Canvas, place: Point, to: Point, words: str, *, left: bool = False) -> None:
    """A name with a line to its place."""
    canvas.line([place, to], style.NARROW)
    turn = math.degrees(math.atan2(place[1] - to[1], place[0] - to[0]))
    arrowhead(canvas, place, direction_deg=turn)
    dx = -1.5 if left else 1.5
    canvas.text(to[0] + dx, to[1], words, align="right" if left else "left", level="middle")


def _done(canvas: Canvas, name: str, caption: str, alt: str) -> Drawing:
    return finish(
        canvas.figure(), name=f"word-{name}", alt=alt, caption=f"{caption} (not to scale)"
    )


def _draw_section() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=50.0)
    at = _section(canvas, (16.0, 26.0), 78.0, degrees=6.0, camber=0.07)
    canvas.line([at(-4, 0), at(84, 0)], style.CENTRE_LINE)
    middle = [at(78 * s, 4 * 0.07 * s * (1 - s) * 78) for s in (n / _STEPS for n in range(25))]
    canvas.line(middle, style.CONSTRUCTION)
    canvas.line([(10.0, 8.0), (100.0, 8.0)], style.NARROW)
    canvas.text(10.0, 3.5, "reference line of the body")
    canvas.text(72.0, 10.5, "incidence: angle of chord to it", align="center")
    _call(canvas, at(0, 0), (22.0, 40.0), "leading edge")
    _call(canvas, at(39, 5.4), (56.0, 44.0), "camber")
    _call(canvas, at(78, 0), (95.0, 38.0), "trailing edge", left=True)
    _call(canvas, at(20, 0), (12.0, 15.5), "chord")
    return _done(
        canvas,
        "section",
        "Section of a wing",
        "A wing section, nose to the left and raised a little. The chord is the straight line from "
        "its leading to its trailing edge, the camber the bow of its middle line above the chord, "
        "and the incidence the angle between the chord and the reference line of the body.",
    )


def _draw_mean_chord() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=52.0)
    root, tip, half = 30.0, 14.0, 66.0
    left, top = 12.0, 46.0
    wing = [
        (left, top),
        (left + half, top - 8.0),
        (left + half, top - 8.0 - tip),
        (left, top - root),
    ]
    canvas.fill(wing, "part_2")
    canvas.line(wing, style.EDGE, closed=True)
    taper = tip / root
    chord = 2 / 3 * root * (1 + taper + taper**2) / (1 + taper)
    place = (root - chord) / (root - tip)
    x, y = left + place * half, top - 8.0 * place
    canvas.line([(x, y), (x, y - chord)], style.CONSTRUCTION)
    canvas.line([(left, top - root), (left, 4.0)], style.CENTRE_LINE)
    _call(canvas, (x, y - chord / 2), (x + 2.0, 7.0), "mean aerodynamic chord")
    canvas.text(left + 2.0, top - root / 2 - 4.0, "root chord")
    canvas.text(left + half + 2.0, top - 8.0 - tip / 2, "tip chord", level="middle")
    return _done(
        canvas,
        "mean-chord",
        "Where the mean aerodynamic chord lies",
        "Half of a tapered wing from above. The mean aerodynamic chord is shorter than the root "
        "chord, longer than the tip chord, and lies between them a little nearer to the root.",
    )


def _draw_dihedral() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=48.0)
    for foot, wing, words in (
        (34.0, [(55.0, 34.0), (100.0, 43.0)], "dihedral: one angle"),
        (11.0, [(55.0, 11.0), (80.0, 13.0), (100.0, 21.0)], "polyhedral: steeper outboard"),
    ):
        mirrored = [(110.0 - x, y) for x, y in reversed(wing)]
        canvas.line([*mirrored, *wing[1:]], style.EDGE)
        canvas.line([(10.0, foot), (100.0, foot)], style.CENTRE_LINE)
        canvas.text(55.0, foot - 6.0, words, align="center")
    return _done(
        canvas,
        "dihedral",
        "Dihedral and polyhedral, seen from ahead",
        "Two wings seen from ahead. With dihedral both halves rise straight to their tips; with "
        "polyhedral the outer panels rise more steeply than the inner ones.",
    )


def _draw_washout() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=46.0)
    for nose, chord, degrees, words in (
        ((12.0, 30.0), 60.0, 6.0, "root"),
        ((30.0, 10.0), 40.0, 1.0, "tip: nose lower than at the root"),
    ):
        at = _section(canvas, nose, chord, degrees=degrees)
        canvas.line([at(-3, 0), at(chord + 5, 0)], style.CENTRE_LINE)
        canvas.text(nose[0] + 2.0, nose[1] - 7.5, words)
    return _done(
        canvas,
        "washout",
        "Washout: the tip is twisted nose-down",
        "The sections of a wing at its root and at its tip, seen from the side. The root's nose is "
        "raised by some degrees, the tip's hardly: the difference is the washout.",
    )


def _draw_margin() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=50.0)
    _section(canvas, (12.0, 26.0), 86.0, camber=0.03)
    balance, neutral = (40.0, 27.5), (58.0, 27.5)
    for centre in (balance, neutral):
        canvas.arc(centre, radius_mm=2.0)
    for start in (0.0, 180.0):
        canvas.sector(balance, radius_mm=2.0, role="ink", start_deg=start, end_deg=start + 90.0)
    _call(canvas, (40.0, 29.8), (26.0, 44.0), "balance point")
    _call(canvas, (58.0, 29.8), (70.0, 41.0), "neutral point")
    for x in (40.0, 58.0):
        canvas.line([(x, 25.0), (x, 11.0)], style.NARROW)
    _span(canvas, (40.0, 13.0), (58.0, 13.0), "")
    canvas.text(61.0, 11.5, "static margin")
    for x in (12.0, 98.0):
        canvas.line([(x, 25.0), (x, 3.0)], style.NARROW)
    _span(canvas, (12.0, 5.0), (98.0, 5.0), "mean aerodynamic chord", above=0.8)
    return _done(
        canvas,
        "margin",
        "Static margin",
        "A wing section with the balance point ahead of the neutral point. The distance between "
        "them, as a share of the mean aerodynamic chord, is the static margin.",
    )


def _draw_tail_volume() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=56.0)
    body = [(8.0, 30.0), (30.0, 33.0), (100.0, 31.5), (100.0, 29.5), (30.0, 27.0)]
    wing = [(26.0, 8.0), (44.0, 8.0), (44.0, 52.0), (26.0, 52.0)]
    tail = [(88.0, 20.0), (98.0, 20.0), (98.0, 41.0), (88.0, 41.0)]
    canvas.fill(body, "part")
    for surface in (wing, tail):
        canvas.fill(surface, "part_2")
    for shape in (body, wing, tail):
        canvas.line(shape, style.EDGE, closed=True)
    ends = (30.5, 47.0), (90.5, 47.0)
    canvas.line([(30.5, 30.0), (30.5, 49.0)], style.CONSTRUCTION)
    canvas.line([(90.5, 30.0), (90.5, 49.0)], style.CONSTRUCTION)
    _span(canvas, *ends, "")
    canvas.text(66.0, 48.5, "tail arm", align="center")
    canvas.text(46.0, 11.0, "wing area")
    canvas.text(86.5, 22.0, "tail area", align="right")
    return _done(
        canvas,
        "tail-volume",
        "Tail arm and the areas of the tail volume",
        "A model from above, nose to the left. The tail arm runs from a quarter of the wing's "
        "chord to a quarter of the tail's. Tail area times tail arm over wing area times chord is "
        "the tail volume.",
    )


def _draw_linkage() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=48.0)
    servo = [(10.0, 8.0), (28.0, 8.0), (28.0, 18.0), (10.0, 18.0)]
    canvas.fill(servo, "part_2")
    canvas.line(servo, style.EDGE, closed=True)
    canvas.text(19.0, 13.0, "servo", align="center", level="middle")
    canvas.line([(22.0, 18.0), (22.0, 31.0)], style.EDGE)
    canvas.line([(30.0, 20.0), (72.0, 20.0)], style.EDGE)
    canvas.line([(72.0, 20.0), (98.0, 20.0)], style.EDGE)
    canvas.line([(72.0, 20.0), (97.0, 12.0)], style.HIDDEN)
    canvas.line([(72.0, 20.0), (97.0, 28.0)], style.HIDDEN)
    canvas.line([(75.0, 20.0), (72.0, 31.0)], style.EDGE)
    canvas.line([(22.0, 31.0), (72.0, 31.0)], style.EDGE)
    canvas.text(54.0, 33.0, "push rod", align="center")
    _call(canvas, (22.0, 25.0), (12.0, 38.0), "servo arm")
    _call(canvas, (73.2, 27.0), (75.0, 41.0), "control horn")
    _span(canvas, (101.0, 11.0), (101.0, 29.0), "")
    canvas.text(99.0, 5.5, "throw, up and down", align="right")
    return _done(
        canvas,
        "linkage",
        "From servo to control surface",
        "A servo's arm moves a push rod, the rod moves the control horn, and the horn swings the "
        "hinged surface. The throw is how far its trailing edge goes up and down.",
    )


def _draw_spar() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=48.0)
    _section(canvas, (8.0, 22.0), 92.0, camber=0.04)
    upper, lower, left = (28.4, 30.8), (20.0, 22.4), 34.0
    for foot, top in (upper, lower):
        cap = [(left, foot), (left + 8.0, foot), (left + 8.0, top), (left, top)]
        canvas.fill(cap, "band")
        canvas.line(cap, style.EDGE, closed=True)
    web = [(left + 3.0, 22.4), (left + 5.0, 22.4), (left + 5.0, 28.4), (left + 3.0, 28.4)]
    canvas.fill(web, "band")
    canvas.line(web, style.EDGE, closed=True)
    _call(canvas, (left + 6.0, 31.0), (50.0, 43.0), "upper spar cap")
    _call(canvas, (left + 6.0, 20.0), (50.0, 7.0), "lower spar cap")
    _call(canvas, (left + 5.0, 25.0), (60.0, 25.0), "web")
    _call(canvas, (82.0, 24.0), (86.0, 33.0), "rib")
    return _done(
        canvas,
        "spar",
        "A spar in a wing",
        "A rib with a spar in it: two strips, the upper and the lower spar cap, and the upright "
        "web that joins them.",
    )


def _draw_body() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=46.0)
    former = [(30.0, 6.0), (62.0, 6.0), (62.0, 38.0), (30.0, 38.0)]
    canvas.fill(former, "part_2")
    canvas.line(former, style.EDGE, closed=True)
    hole = [(36.0, 12.0), (56.0, 12.0), (56.0, 32.0), (36.0, 32.0)]
    canvas.fill(hole, "paper")
    canvas.line(hole, style.EDGE, closed=True)
    for x, y in ((30.0, 6.0), (58.0, 6.0), (30.0, 34.0), (58.0, 34.0)):
        stick = [(x, y), (x + 4.0, y), (x + 4.0, y + 4.0), (x, y + 4.0)]
        canvas.fill(stick, "band")
        canvas.line(stick, style.EDGE, closed=True)
    for x in (27.0, 62.0):
        side = [(x, 6.0), (x + 3.0, 6.0), (x + 3.0, 38.0), (x, 38.0)]
        canvas.fill(side, "part")
        canvas.line(side, style.EDGE, closed=True)
    inner = [(65.0, 14.0), (67.0, 14.0), (67.0, 30.0), (65.0, 30.0)]
    canvas.fill(inner, "band")
    canvas.line(inner, style.EDGE, closed=True)
    _call(canvas, (59.5, 22.0), (76.0, 8.0), "former")
    _call(canvas, (60.0, 36.0), (76.0, 41.0), "longeron")
    _call(canvas, (67.0, 24.0), (76.0, 24.0), "doubler")
    _call(canvas, (28.5, 22.0), (22.0, 30.0), "side", left=True)
    return _done(
        canvas,
        "body",
        "A body cut across",
        "A body cut across: the former is the frame that shapes it, longerons run along its four "
        "corners inside, and a doubler is a second layer glued on a side.",
    )


def _board(canvas: Canvas, left: float, right: float, *, slant: float) -> None:
    """Faced board seen end on; slant: how far its right end leans back for each mm up."""
    foot = 20.0
    for low, high, role in _LAYERS:
        ends = right - slant * (low - foot), right - slant * (high - foot)
        layer = [(left, low), (ends[0], low), (ends[1], high), (left, high)]
        canvas.fill(layer, role)
        canvas.line(layer, style.NARROW, closed=True)


def _draw_cuts() -> Drawing:
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=46.0)
    for left, words in ((6.0, "score line"), (32.0, "half cut"), (58.0, "bevel"), (84.0, "kerf")):
        canvas.text(left + 10.0, 12.0, words, align="center")
    for left, right, slant in (
        (6.0, 26.0, 0.0),
        (32.0, 52.0, 0.0),
        (58.0, 78.0, 0.75),
        (84.0, 93.0, 0.0),
        (95.0, 104.0, 0.0),
    ):
        _board(canvas, left, right, slant=slant)
    score = [(14.5, 32.0), (16.0, 28.0), (17.5, 32.0)]
    half = [(41.6, 32.0), (41.6, 21.5), (42.4, 21.5), (42.4, 32.0)]
    for cut in (score, half):
        canvas.fill(cut, "paper")
        canvas.line(cut, style.EDGE)
    canvas.line([(93.0, 34.0), (93.0, 39.0)], style.NARROW)
    canvas.line([(95.0, 34.0), (95.0, 39.0)], style.NARROW)
    return _done(
        canvas,
        "cuts",
        "Ways to work an edge or a fold, board seen end on",
        "Four boards seen end on: pressed in along a score line, cut through all but the lower "
        "face at a half cut, slanted at a bevel, and cut through with the kerf taken away.",
    )


_DRAWINGS: Mapping[str, Callable[[], Drawing]] = {
    "body": _draw_body,
    "cuts": _draw_cuts,
    "dihedral": _draw_dihedral,
    "linkage": _draw_linkage,
    "margin": _draw_margin,
    "mean-chord": _draw_mean_chord,
    "section": _draw_section,
    "spar": _draw_spar,
    "tail-volume": _draw_tail_volume,
    "washout": _draw_washout,
}


def draw_words() -> dict[str, Drawing]:
    """Every drawing of the page of words, by the name that the table of words uses."""
    return {name: draw() for name, draw in _DRAWINGS.items()}
