"""Flat parts: sizes, mirror images, turns, and what cannot be cut."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from plansgen.patterns.flat import (
    FlatPart,
    Label,
    Outline,
    PatternLine,
    faults,
    lengths_by_kind,
    mirrored,
    rotated,
    signed_area,
)
from tests.patterns.instances import part, rectangle

WEB = part(
    "web",
    rectangle(0.2, 0.05),
    holes=(((0.05, 0.01), (0.08, 0.01), (0.08, 0.05 - 0.01), (0.05, 0.05 - 0.01)),),
    lines=(PatternLine("score", ((0.0, 0.02), (0.2, 0.02))),),
    labels=(Label(0.1, 0.025, "web", angle=0.2),),
    grain=0.3,
)


def test_sizes() -> None:
    assert WEB.area == pytest.approx(0.2 * 0.05 - 0.03 * 0.03)
    assert WEB.area == pytest.approx(WEB.polygon.area)
    assert WEB.bounds == (0.0, 0.0, 0.2, 0.05)
    assert lengths_by_kind(WEB) == pytest.approx({"cut": 0.5 + 0.12, "score": 0.2})


def test_a_mirror_image_is_still_counter_clockwise() -> None:
    image = mirrored(WEB)
    assert signed_area(image.outline) == pytest.approx(signed_area(WEB.outline))
    assert image.bounds == (-0.2, 0.0, 0.0, 0.05)
    assert image.grain == pytest.approx(math.pi - 0.3)
    assert (image.labels[0].x, image.labels[0].angle) == (-0.1, -0.2)
    assert mirrored(image).polygon.equals_exact(WEB.polygon, 1e-12, normalize=True)


def test_quarter_turns_are_exact() -> None:
    once = rotated(WEB, math.pi / 2)
    assert once.bounds == (-0.05, 0.0, 0.0, 0.2)
    assert once.grain == pytest.approx(0.3 + math.pi / 2)
    assert rotated(once, 1.5 * math.pi).outline == WEB.outline


def test_any_turn_keeps_the_area() -> None:
    assert rotated(WEB, 0.7).area == pytest.approx(WEB.area)


BOW: Outline = ((0.0, 0.0), (0.1, 0.1), (0.1, 0.0), (0.0, 0.1))
TWICE: Outline = ((0.0, 0.0), (0.0, 0.0), (0.1, 0.0), (0.1, 0.1))


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (replace(WEB, outline=()), "fewer than three points"),
        (replace(WEB, outline=((0.0, 0.0), (1.0, 0.0), (2.0, 0.0))), "has no area"),
        (replace(WEB, outline=BOW), "crosses or touches itself"),
        (replace(WEB, outline=TWICE), "the same point twice in a row"),
        (replace(WEB, outline=(*WEB.outline, WEB.outline[0])), "repeats its first point"),
        (replace(WEB, outline=((0.0, 0.0), (math.nan, 0.0), (0.1, 0.1))), "is not a number"),
        (replace(WEB, holes=(BOW,)), "the hole crosses"),
        (replace(WEB, holes=(rectangle(0.3, 0.02),)), "holes overlap or cross the outline"),
        (replace(WEB, key="Web 1"), "not small letters"),
        (replace(WEB, thickness=0.0), "thickness must be more than nothing"),
        (replace(WEB, count=0), "at least one of it"),
        (replace(WEB, grain=math.inf), "grain's angle is not a number"),
    ],
)
def test_what_cannot_be_cut_is_told(wrong: FlatPart, words: str) -> None:
    (told,) = faults(wrong)
    assert words in told


def test_a_sound_part_has_no_faults() -> None:
    assert faults(WEB) == []
