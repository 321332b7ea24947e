"""Lines on a skin: folds, bevels, where ribs and sticks stand, spans, controls, balance marks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from plansgen.airframe.build import ControlSurface
from plansgen.balance.target import Target
from plansgen.library.models import Part
from plansgen.library.tables import Material
from plansgen.patterns.allowance import SCORE_ONLY, SQUARE_GROOVE, bevel_width, groove_width
from plansgen.patterns.flat import Outline, PatternLine
from plansgen.patterns.wraps import Piece, open_line

_TICK = 0.005  # length of a span tick [m]
_EVERY = 0.1  # ticks along the span [m]
_ALL = 0.9  # no more of the chord than this is bevelled
_MARK = 0.012  # length of a balance mark [m]


def fold_lines(piece: Piece) -> Iterator[PatternLine]:
    """Where a folded sheet bends; the inside is up, so every fold comes up."""
    thickness = piece.wrap.thickness
    if piece.wrap.round_nose and not piece.solid.folded:
        nose = piece.rung_at("upper", 0.0)
        if nose is not None:
            points = (piece.point(nose, piece.start), piece.point(nose, piece.end))
            yield PatternLine("mark", points, label="leading edge, roll here")
    for name, rung, angle in piece.bends:
        points = (piece.point(rung, piece.start), piece.point(rung, piece.end))
        words = f"{name}: fold up {math.degrees(angle):.0f}°"
        if angle <= SCORE_ONLY:
            yield PatternLine("score", points, label=words)
            continue
        if angle <= SQUARE_GROOVE and name != "under the nose":
            width = groove_width(angle=angle, thickness=thickness)
            words += f", groove {width * 1000:.1f} mm wide"
        yield PatternLine("fold up", points, label=words)


def bevel_line(piece: Piece) -> PatternLine | None:
    """How far in the lower trailing edge of a folded sheet is bevelled to its outer paper."""
    wrap, panel = piece.wrap, piece.panel
    if not (piece.solid.folded and wrap.upper and wrap.lower):
        return None
    if wrap.upper[1] < 1.0 or wrap.lower[1] < 1.0:
        return None
    widths = [_wedge(piece, number) for number in (panel.first, panel.last)]
    places = []
    for width, span, number in zip(
        widths, (piece.start, piece.end), (panel.first, panel.last), strict=True
    ):
        chord = piece.solid.stations[number].chord
        # At a pointed tip the whole of what is left is bevelled.
        rung = piece.rung("lower", 1.0 - min(width / chord if chord else 1.0, _ALL))
        if rung is None:
            return None
        places.append(piece.point(rung, span))
    wide = dict.fromkeys(f"{width * 1000:.0f}" for width in widths)
    label = f"bevel from here to the edge, {' to '.join(wide)} mm wide"
    return PatternLine("bevel", tuple(places), label=label)


def _wedge(piece: Piece, number: int) -> float:
    """Width of the bevel at a station, from the angle between both skins at the edge. [m]"""
    sides = piece.solid.sections[number]
    slopes = []
    for curve in (sides.upper, sides.lower):
        (x0, z0), (x1, z1) = curve.points[-2], curve.points[-1]
        slopes.append(math.atan2(z1 - z0, x1 - x0))
    return bevel_width(angle=slopes[1] - slopes[0], thickness=piece.wrap.thickness)


def both(piece: Piece, span: float) -> tuple[float, ...]:
    """A span on the piece: on both halves where it lies across the centre line."""
    return (span, -span) if piece.centre and span > 0.0 else (span,)


def run_lines(
    piece: Piece, parts: Sequence[Part], materials: Mapping[str, Material]
) -> Iterator[PatternLine]:
    """The middle of each stick and web on the skins that it touches; of several, the longest."""
    done: list[tuple[str, float, float, float]] = []
    runs = [p for p in parts if p.run is not None and materials[p.material].kind != "tape"]
    for part in sorted(runs, key=_length, reverse=True):
        assert part.run is not None
        for side in _touches(part):
            rung = piece.rung(side, part.run.at)
            a, b = max(part.run.from_, max(piece.start, 0.0)), min(part.run.to, piece.end)
            if rung is None or b - a < 0.001 or not 0 < rung < len(piece.line) - 1:
                continue
            if any(
                (side, part.run.at) == (s, at) and c <= a + 1e-9 and b - 1e-9 <= d
                for s, at, c, d in done
            ):
                continue
            done.append((side, part.run.at, a, b))
            if piece.solid.folded and side == "upper" and _on_fold(piece, rung):
                continue
            spans = [(-b, b)] if piece.centre and a <= 0.0 else [(a, b)]
            if piece.centre and a > 0.0:
                spans.append((-b, -a))
            for inner, outer in spans:
                points = (piece.point(rung, inner), piece.point(rung, outer))
                yield PatternLine("mark", points, label=f"middle of {part.name}")


def _length(part: Part) -> float:
    return part.run.to - part.run.from_ if part.run else 0.0


def _touches(part: Part) -> tuple[str, ...]:
    return {"top": ("upper",), "bottom": ("lower",)}.get(part.lies or "", ("lower", "upper"))


def _on_fold(piece: Piece, rung: float) -> bool:
    return any(abs(rung - bend) < 0.05 for _, bend, _ in piece.bends)


def rib_lines(piece: Piece, parts: Sequence[Part]) -> Iterator[PatternLine]:
    """Where each rib stands."""
    for part in parts:
        for span, name in named_ribs(part):
            for there in both(piece, span):
                if piece.start + 1e-6 < there < piece.end - 1e-6:
                    yield PatternLine("mark", open_line(piece.across(there)), label=name)


def named_ribs(part: Part) -> list[tuple[float, str]]:
    """Span and name of each rib of a part."""
    if part.ribs is None:
        return []
    names = part.ribs.names or tuple(f"{part.name} {n}" for n in range(1, len(part.ribs.at) + 1))
    return list(zip(part.ribs.at, names, strict=True))


def span_ticks(piece: Piece) -> Iterator[PatternLine]:
    """Ticks on both long edges every 100 mm from the root, with the span in millimetres."""
    first = math.ceil(piece.start / _EVERY + 1e-6)
    last = math.floor(piece.end / _EVERY - 1e-6)
    for number in range(first, last + 1):
        span = number * _EVERY
        line = piece.across(span)
        for edge, inner in ((line[0], line[1:]), (line[-1], line[-2::-1])):
            label = f"{abs(span) * 1000:.0f}"
            yield PatternLine("mark", (edge, _towards(edge, inner, _TICK)), label=label)


def _towards(start: tuple[float, float], line: Outline, length: float) -> tuple[float, float]:
    """A point so far from the start along a line. [m]"""
    here, left = start, length
    for point in line:
        step = math.dist(here, point)
        if step >= left:
            return (
                here[0] + (point[0] - here[0]) * left / step,
                here[1] + (point[1] - here[1]) * left / step,
            )
        here, left = point, left - step
    return here


def control_lines(piece: Piece, controls: Sequence[ControlSurface]) -> Iterator[PatternLine]:
    """Hinge line and ends of controls that are cut out once the skins are closed."""
    for control in controls:
        a, b = max(control.inboard, piece.start), min(control.outboard, piece.end)
        share = 1.0 - control.chord_share
        if b - a < 0.001:
            continue
        for side in ("upper", "lower"):
            rung, edge = piece.rung(side, share), piece.rung(side, 1.0)
            if rung is None:
                continue
            words = control.key.replace("_", " ")
            points = (piece.point(rung, a), piece.point(rung, b))
            label = f"hinge of the {words}, cut later"
            yield PatternLine("hinge", points, label=label)
            for span in (control.inboard, control.outboard):
                if edge is not None and piece.start + 1e-6 < span < piece.end - 1e-6:
                    ends = (piece.point(rung, span), piece.point(edge, span))
                    yield PatternLine("mark", ends, label=f"end of the {words}")


def balance_lines(piece: Piece, target: Target | None) -> Iterator[PatternLine]:
    """Where the model must balance, at the root, on every side that the piece covers."""
    root = piece.solid.stations[0]
    if target is None or piece.start > 0.0:
        return
    places = (
        ("balance", target.x),
        ("forward limit", target.forward_x),
        ("aft limit", target.aft_x),
    )
    for words, x in places:
        back = x - root.x
        for side in ("upper", "lower"):
            rung = piece.rung(side, back / root.chord) if 0 < back < root.chord else None
            if rung is None:
                continue
            length = _MARK if words == "balance" else _MARK / 2
            ends = (-length, length) if piece.centre else (0.0, length)
            points = tuple(piece.point(rung, span) for span in ends)
            yield PatternLine("mark", points, label=f"{words} {back * 1000:.0f} mm")
