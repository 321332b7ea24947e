"""An invented small wader in about twenty flat parts, laid out in rows on stock sheets."""

from __future__ import annotations

import math

from plansgen.patterns.flat import FlatPart, Label, PatternLine, mirrored
from plansgen.patterns.pages import Title
from plansgen.patterns.sheets import Piece, Sheet, shifted

TITLE = Title("Dunlin", "revision C", "3f9a1c2e")
HOSTILE = 'Brace <script>alert(1)</script> & "Flügel" Ωμ\u202e\x07 😀 漢 %%c \\U+0041'

Outline = tuple[tuple[float, float], ...]


def box(width: float, height: float, x: float = 0.0, y: float = 0.0) -> Outline:
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def disc(radius: float, count: int) -> Outline:
    turns = (2 * math.pi * k / count for k in range(count))
    return tuple((radius * math.cos(turn), radius * math.sin(turn)) for turn in turns)


def part(key: str, outline: Outline, **more: object) -> FlatPart:
    look = {"name": key.replace("-", " ").capitalize(), "material": "foam-board", **more}
    return FlatPart(key=key, thickness=0.005, outline=outline, **look)  # type: ignore[arg-type]


def wing_skin() -> FlatPart:
    """600 × 420 mm with every kind of line."""
    lines = (
        PatternLine("fold up", ((0, 0.21), (0.6, 0.21))),
        PatternLine("fold down", ((0, 0.30), (0.6, 0.28)), label="over the spar"),
        PatternLine("score", ((0, 0.22), (0.6, 0.215))),
        PatternLine("bevel", ((0, 0.42), (0.6, 0.40)), label="30°"),
        PatternLine("glue", box(0.56, 0.02, 0.02, 0.05), closed=True, label="spar"),
        PatternLine("hinge", ((0.35, 0.36), (0.59, 0.35)), label="aileron"),
        PatternLine("cut", ((0.35, 0.36), (0.35, 0.41))),
        PatternLine("mark", ((0.15, 0.09), (0.15, 0.19)), label="rib 1"),
        PatternLine("mark", ((0.3, 0.1),), label="balance"),
    )
    outline = ((0, 0), (0.6, 0.02), (0.6, 0.40), (0, 0.42))
    return part(
        "wing-skin", outline, lines=lines, mirrored=1, grain=0.0, step="wing", used="step 2: Wing"
    )


def rib(number: int, chord: float) -> FlatPart:
    """A section with a square spar slot; thickness law of the NACA four-digit series, 12 %."""

    def half(x: float) -> float:
        curve = 0.2969 * math.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4
        return 0.6 * chord * curve

    xs = [(1 - math.cos(math.pi * k / 30)) / 2 for k in range(31)]
    lower = [(chord * x, -0.6 * half(x)) for x in xs]
    upper = [(chord * x, half(x)) for x in xs]
    slot = box(0.006, 0.006, 0.3 * chord, -0.003)
    outline = (*lower, *upper[-1:0:-1])
    return part(f"rib-{number}", outline, holes=(slot,), mirrored=1, grain=0.0, step="ribs")


def former(number: int, w: float, h: float) -> FlatPart:
    """A frame with a tab on three sides."""
    t = 0.003
    bottom = ((0, 0), (w / 3, 0), (w / 3, -t), (2 * w / 3, -t), (2 * w / 3, 0), (w, 0))
    right = ((w, h / 3), (w + t, h / 3), (w + t, 2 * h / 3), (w, 2 * h / 3), (w, h), (0, h))
    left = ((0, 2 * h / 3), (-t, 2 * h / 3), (-t, h / 3), (0, h / 3))
    hole = box(0.02, 0.02, w / 2 - 0.01, h / 2 - 0.01)
    return part(
        f"former-{number}", (*bottom, *right, *left), holes=(hole,), grain=math.pi / 2, step="box"
    )


def parts() -> list[FlatPart]:
    formers = ((0.07, 0.08), (0.07, 0.09), (0.06, 0.07), (0.05, 0.05))
    stations = tuple(
        PatternLine("mark", ((x, 0.01 + x * 0.03), (x, 0.06)), label=f"former {k + 1}")
        for k, x in enumerate((0.05, 0.15, 0.25, 0.4))
    )
    side = ((0, 0), (0.55, 0.02), (0.55, 0.05), (0.3, 0.09), (0.1, 0.09), (0, 0.06))
    fold = PatternLine("fold up", ((0.1, 0.004), (0.1, 0.066)), label="fold up 12°")
    tail_lines = (
        PatternLine("hinge", ((0.004, 0.03), (0.356, 0.03)), label="elevator"),
        PatternLine("bevel", ((0.004, 0.032), (0.356, 0.032)), label="45°"),
    )
    screws = (PatternLine("mark", ((0.015, 0),)), PatternLine("mark", ((-0.015, 0),)))
    word = Label(0.18, 0.015, "elevator", 0.0, 0.0035)
    tail = ((0, 0), (0.36, 0), (0.34, 0.11), (0.02, 0.11))
    rudder = PatternLine("hinge", ((0.11, 0.0), (0.12, 0.14)), label="rudder")
    brace = ((0, 0), (0.06, 0.006), (0.12, 0), (0.12, 0.012), (0.06, 0.018), (0, 0.012))
    return [
        wing_skin(),
        *(rib(k + 1, 0.2 - 0.01 * k) for k in range(5)),
        *(former(k + 1, *size) for k, size in enumerate(formers)),
        part("wing-spar", box(0.58, 0.008), count=2, grain=0.0, step="spar"),
        part("tip-wedge", ((0, 0), (0.02, 0), (0, 0.012)), count=4, step="tips"),
        part("fuselage-side", side, lines=stations, mirrored=1, grain=0.0, step="box"),
        part("fuselage-bottom", ((0, 0), (0.55, 0.02), (0.55, 0.05), (0, 0.07)), lines=(fold,)),
        part("tailplane", tail, lines=tail_lines, labels=(word,), grain=0.0, step="tail"),
        part("fin", ((0, 0), (0.15, 0), (0.15, 0.14), (0.09, 0.14)), lines=(rudder,)),
        part("firewall", disc(0.025, 80), holes=(disc(0.005, 40),), lines=screws, grain=0.0),
        part("dihedral-brace", brace, name=HOSTILE, count=2, grain=0.0, step="spar"),
        part("doubler", ((0, 0), (0.12, 0), (0.12, 0.05), (0, 0.06)), count=2, step="box"),
        part("battery-tray", box(0.1, 0.04), holes=(box(0.01, 0.02, 0.02, 0.01),), step="box"),
        part("control-horn", ((0, 0), (0.02, 0), (0.012, 0.025), (0.006, 0.025)), count=4),
    ]


def sheets(width: float = 0.762, height: float = 0.508) -> list[Sheet]:
    """All copies in rows, the tallest first: crude, and independent of how parts are nested."""
    found: list[list[Piece]] = [[]]
    x = y = 0.01
    row = 0.0
    for flat in sorted(parts(), key=lambda p: p.bounds[1] - p.bounds[3]):
        for copy in range(flat.pieces):
            shown = mirrored(flat) if copy >= flat.count else flat
            west, south, east, north = shown.bounds
            if x + east - west > width - 0.01:
                x, y, row = 0.01, y + row + 0.008, 0.0
            if y + north - south > height - 0.01:
                found.append([])
                x, y, row = 0.01, 0.01, 0.0
            placed = shifted(shown, x=x - west, y=y - south)
            found[-1].append(Piece(placed, copy=copy + 1, turned_over=copy >= flat.count))
            x, row = x + east - west + 0.008, max(row, north - south)
    return [
        Sheet(f"Sheet {k + 1} of {len(found)}, foam board 5 mm", width, height, tuple(pieces))
        for k, pieces in enumerate(found)
    ]
