"""Parts to nest: made up at random as model builders cut them, with a fixed seed."""

from __future__ import annotations

import math
from random import Random

from plansgen.patterns.flat import FlatPart, Outline
from plansgen.patterns.stock import StockSheet

BOARD = StockSheet("board 762 × 508", "board", 0.762, 0.508)


def rectangle(width: float, height: float) -> Outline:
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


def part(key: str, outline: Outline, **more: object) -> FlatPart:
    values: dict[str, object] = {"name": key, "material": "board", "thickness": 0.005}
    return FlatPart(key=key, outline=outline, **(values | more))  # type: ignore[arg-type]


def plane_parts(number: int, seed: int) -> list[FlatPart]:
    """Wing panels, fuselage sides, ribs, formers and gussets, as many as asked."""
    random = Random(seed)
    makers = (_panel, _side, _rib, _former, _gusset)
    weights = (2, 1, 4, 3, 2)
    return [part(f"p{n}", random.choices(makers, weights)[0](random)) for n in range(number)]


def _mm(*points: tuple[float, float]) -> Outline:
    return tuple((round(x * 10) / 1e4, round(y * 10) / 1e4) for x, y in points)


def _panel(random: Random) -> Outline:
    span, root = random.uniform(250, 480), random.uniform(140, 220)
    tip, sweep = root * random.uniform(0.6, 1), random.uniform(0, 40)
    return _mm((0, 0), (root, 0), (sweep + tip, span), (sweep, span))


def _side(random: Random) -> Outline:
    long, high = random.uniform(400, 650), random.uniform(60, 110)
    return _mm(
        (0, 0), (long, high * 0.3), (long, high * 0.6), (long * 0.55, high), (long * 0.1, high)
    )


def _rib(random: Random) -> Outline:
    chord, thick = random.uniform(120, 230), random.uniform(0.08, 0.14)
    xs = [(1 - math.cos(math.pi * i / 12)) / 2 for i in range(13)]
    half = [
        5
        * thick
        * (0.2969 * math.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)
        for x in xs
    ]
    upper = [(chord * x, chord * h) for x, h in zip(xs, half, strict=True)]
    lower = [(chord * x, -chord * h * 0.5) for x, h in zip(xs, half, strict=True)]
    return _mm(*lower, *reversed(upper[1:]))


def _former(random: Random) -> Outline:
    return _mm(
        *(
            (x * 1000, y * 1000)
            for x, y in rectangle(random.uniform(40, 90) / 1000, random.uniform(50, 110) / 1000)
        )
    )


def _gusset(random: Random) -> Outline:
    return _mm((0, 0), (random.uniform(30, 90), 0), (0, random.uniform(30, 90)))
