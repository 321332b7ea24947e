"""The picture of the whole: a number for every part that has a place, and none over another."""

from __future__ import annotations

import math
import random
from functools import cache
from itertools import combinations
from xml.etree import ElementTree

import pytest
from shapely import LineString, Point

from plansgen.airframe.build import build_airframe
from plansgen.library.folder import read_design
from plansgen.patterns.cutting import cut_parts
from plansgen.patterns.result import PatternSet, work_out_patterns
from plansgen.site.balloon_places import balloon_places
from plansgen.site.whole_figure import WholeFigure, whole_figure
from tests.site.test_pages import REPOSITORY

SVG = "{http://www.w3.org/2000/svg}"
RADIUS = 11.0


@cache
def dunlin() -> tuple[PatternSet, WholeFigure]:
    design = read_design(REPOSITORY, "dunlin")
    airframe = build_airframe(design.file, design.section_points)
    patterns = work_out_patterns(design, airframe, cut_parts(design, airframe))
    assert patterns is not None
    made = whole_figure(patterns, name="Dunlin")
    assert made is not None
    return patterns, made


def picture(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(str(text).replace("<svg ", f'<svg xmlns="{SVG[1:-1]}" ', 1))


def test_every_part_is_numbered_as_in_the_list_or_named_as_absent() -> None:
    patterns, made = dunlin()
    keys = [part.key for part in patterns.parts]
    assert sorted([*made.numbered, *made.absent]) == sorted(keys)
    drawn = [text.text for text in picture(made.apart).iter(f"{SVG}text")]
    assert sorted(drawn, key=int) == [str(keys.index(key) + 1) for key in made.numbered]
    # What is given by a point alone cannot be drawn; everything else has its place.
    names = patterns.names
    assert {names[key] for key in made.absent} == {
        *("tip rib", "servo tray 60 x 60", "undercarriage plate")
    }


def test_balloons_lie_off_each_other_and_inside_the_picture() -> None:
    _, made = dunlin()
    root = picture(made.apart)
    _, _, wide, high = (float(side) for side in root.attrib["viewBox"].split())
    centres = [
        (float(circle.attrib["cx"]), float(circle.attrib["cy"]))
        for circle in root.iter(f"{SVG}circle")
        if circle.attrib["class"] == "pg-balloon"
    ]
    for a, b in combinations(centres, 2):
        assert math.dist(a, b) >= 2 * RADIUS - 0.2
    for x, y in centres:
        assert RADIUS <= x <= wide - RADIUS
        assert RADIUS <= y <= high - RADIUS
    assert wide <= 760  # a tablet held upright shows it without shrinking


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_leaders_do_not_cross(seed: int) -> None:
    rng = random.Random(seed)
    targets = [(rng.uniform(0, 700), rng.uniform(0, 400)) for _ in range(30)]
    free = [(24.0 * n, y) for n in range(30) for y in (-40.0, -70.0, 440.0, 470.0)]
    chosen = balloon_places(targets, free, radius=RADIUS)
    assert len(set(chosen)) == len(targets)
    lines = [LineString(pair) for pair in zip(targets, chosen, strict=True)]
    assert not [1 for a, b in combinations(lines, 2) if a.crosses(b)]
    under = [
        1
        for n, line in enumerate(lines)
        for m, spot in enumerate(chosen)
        if n != m and line.distance(Point(spot)) < RADIUS - 1e-6
    ]
    assert len(under) <= 1


def test_too_few_places_are_told() -> None:
    with pytest.raises(ValueError, match="2 balloons, but only 1 places"):
        balloon_places([(0, 0), (1, 1)], [(5, 5)], radius=RADIUS)
    assert balloon_places([], [], radius=RADIUS) == []
